//! Lanes: the parallel plug-flow paths that make up a laminar velocity profile.

/// The delays of a tube: bands of streamlines, each with the share of the flow it carries.
///
/// With s = r²/R² uniform in volume, a streamline moves at 2(1 − s) times the mean speed and needs
/// θ = 1/(2(1 − s)) tube volumes of throughput from end to end. Lane i of N lies between s = i/N and
/// (i + 1)/N, carries the flow share (1 − sᵢ)² − (1 − sᵢ₊₁)², and its delays are spread evenly between
/// those of its two edges; F(θ) = 1 − 1/(4θ²) is therefore exact at every edge and a straight line in
/// between. The last lane, whose outer edge stands still, ends at θ = N + ½, which makes the
/// volume of all lanes together exactly that of the tube.
///
/// Valid for laminar flow without diffusion: D t/R² ≪ 1.
/// Source: Danckwerts 1953; Levenspiel, *Chemical Reaction Engineering* (laminar convective model).
#[derive(Debug, Clone, PartialEq)]
pub struct Lanes {
    /// Delay at the lane edges, in tube volumes; N + 1 of them, rising.
    pub edges: Vec<f64>,
    /// Share of the flow in each lane; N of them, summing to 1.
    pub shares: Vec<f64>,
    /// Weight of each edge in the read-out of the second integral.
    weights: Vec<f64>,
    /// Σ over this and all later edges of weight · θᵏ for k = 0, 1, 2.
    tails: Vec<[f64; 3]>,
}

/// Half-width of the band of delays that stands for plug flow, in tube volumes.
const PLUG_HALF_WIDTH: f64 = 1.0 / 256.0;

impl Lanes {
    /// N lanes of a parabolic profile.
    ///
    /// # Panics
    /// If `n` is below 2.
    pub fn laminar(n: usize) -> Self {
        assert!(n >= 2, "a laminar profile takes at least two lanes");
        let count = n as f64;
        // 1 − s at the edges.
        let inner = |i: usize| (n - i) as f64 / count;
        let mut edges: Vec<f64> = (0..n).map(|i| 0.5 / inner(i)).collect();
        edges.push(count + 0.5);
        let shares = (0..n).map(|i| inner(i).powi(2) - inner(i + 1).powi(2)).collect();
        Self::from_bands(edges, shares)
    }

    /// Plug flow: one lane, all of it delayed by one tube volume.
    pub fn plug() -> Self {
        Self::from_bands(vec![1.0 - PLUG_HALF_WIDTH, 1.0 + PLUG_HALF_WIDTH], vec![1.0])
    }

    /// Lanes enough for thresholds of the old fraction down to `threshold`: the straight line
    /// between edges is then off by less than 0.3 % in θ where 1 − F equals the threshold.
    ///
    /// With Δθ/θ = 1/(N √threshold) the error is at most 3/8 (Δθ/θ)².
    pub fn for_threshold(threshold: f64) -> Self {
        Self::laminar(Self::count_for_threshold(threshold))
    }

    /// How many lanes [`Lanes::for_threshold`] takes.
    pub fn count_for_threshold(threshold: f64) -> usize {
        ((12.0 / threshold.max(1e-4).sqrt()).ceil() as usize).clamp(24, 200)
    }

    fn from_bands(edges: Vec<f64>, shares: Vec<f64>) -> Self {
        let density: Vec<f64> =
            shares.iter().zip(edges.windows(2)).map(|(f, e)| f / (e[1] - e[0])).collect();
        let n = density.len();
        let weights: Vec<f64> = (0..=n)
            .map(|j| {
                let after = if j < n { density[j] } else { 0.0 };
                let before = if j > 0 { density[j - 1] } else { 0.0 };
                after - before
            })
            .collect();
        let mut tails = vec![[0.0; 3]; n + 2];
        for j in (0..=n).rev() {
            for (k, power) in [1.0, edges[j], edges[j] * edges[j]].into_iter().enumerate() {
                tails[j][k] = tails[j + 1][k] + weights[j] * power;
            }
        }
        Self { edges, shares, weights, tails }
    }

    /// Number of lanes.
    pub fn len(&self) -> usize {
        self.shares.len()
    }

    /// Never true.
    pub fn is_empty(&self) -> bool {
        self.shares.is_empty()
    }

    /// Volume of lane i as a share of the tube's.
    pub fn volume_share(&self, i: usize) -> f64 {
        0.5 * self.shares[i] * (self.edges[i] + self.edges[i + 1])
    }

    /// Weight of edge j in the read-out.
    #[inline]
    pub(super) fn weight(&self, j: usize) -> f64 {
        self.weights[j]
    }

    /// Σ weight·θᵏ over edges j and after, k = 0, 1, 2.
    #[inline]
    pub(super) fn tail(&self, j: usize) -> [f64; 3] {
        self.tails[j]
    }

    /// Cumulative share of the flow with a delay below θ tube volumes, F(θ).
    pub fn f(&self, theta: f64) -> f64 {
        let mut sum = 0.0;
        for (share, e) in self.shares.iter().zip(self.edges.windows(2)) {
            sum += share * ((theta - e[0]) / (e[1] - e[0])).clamp(0.0, 1.0);
        }
        sum
    }
}
