//! Lanes: the parallel paths that make up a laminar velocity profile.

use crate::portable;

/// The delays of a tube: bands of streamlines, each with the share of the flow it carries.
///
/// With s = r²/R² uniform in volume, a streamline moves at 2(1 − s) times the mean speed and needs
/// θ = 1/(2(1 − s)) tube volumes of throughput from end to end. A lane between sᵢ and sᵢ₊₁ has the
/// volume sᵢ₊₁ − sᵢ and carries the flow share (1 − sᵢ)² − (1 − sᵢ₊₁)². Lanes are of equal volume, but
/// for those at the wall, whose 1 − s shrinks to three quarters from one to the next: the wall holds
/// little, and holds it long (a clear hose is rinsed dozens of times before it looks clean, and what
/// is seen then still depends on how its wall lanes are told apart).
///
/// A band reaches from the delay at one edge of its lane to that at the other, where the next begins, so that
/// each end is read once; within it delays are spread evenly. What a lane carries is dealt out to its own band and
/// its two neighbours so that its flow, volume and second moment agree with E(θ) = 1/(2θ³) (of the outermost but
/// one flow and volume; the lane at the wall has no second moment), and the step response is a chain of straight
/// pieces close to F(θ) = 1 − 1/(4θ²).
///
/// Valid for laminar flow without diffusion: [`diffusion_number`] ≪ 1.
/// Source: Danckwerts 1953; Levenspiel, *Chemical Reaction Engineering* (laminar convective model).
#[derive(Debug, Clone, PartialEq)]
pub struct Lanes {
    /// Shortest and longest delay in each lane, in tube volumes.
    pub bands: Vec<(f64, f64)>,
    /// Share of the flow in each lane, summing to 1.
    pub shares: Vec<f64>,
    n: usize,
    /// Ends of all bands, rising: delay, and weight in the read-out of the second integral.
    edges: Vec<(f64, f64)>,
    /// Σ over this and all later edges of weight · θᵏ for k = 0, 1, 2.
    tails: Vec<[f64; 3]>,
}

/// Above this D t/R² lanes tell too little of a tube. There a line by itself looks clean a twelfth later than lanes say
/// to an eye that takes 20 % old fluid for clean, and a fifth later to one that takes 10 or 5 %: fluid from the wall
/// comes sooner, and thins out more slowly what is seen. Far above, the wall is cleared sooner than by lanes.
pub const SMALL_DIFFUSION: f64 = 0.01;

/// Diffusion number D t/R² of a tube, without a unit: how far what diffuses by D (m²/s) gets across it within the time
/// of one tube volume (s). Source: Taylor, *Proc. R. Soc. A* 219:186 (1953).
pub fn diffusion_number(diffusion_m2_s: f64, time_s: f64, bore_m: f64) -> f64 {
    diffusion_m2_s * time_s / (0.25 * bore_m * bore_m)
}

/// Half-width of the band of delays that stands for plug flow, in tube volumes.
const PLUG_HALF_WIDTH: f64 = 1.0 / 256.0;
/// The wall lanes go on until 1 − s falls below this: what lies beyond carries a millionth of the
/// flow.
const WALL: f64 = 1e-3;
/// The last lanes of equal volume that are split into ever thinner ones.
const SPLIT: usize = 4;
/// 1 − s at the end of a wall lane over that at its beginning; as between the last inner lanes.
const WALL_RATIO: f64 = 0.75;

impl Lanes {
    /// A parabolic profile whose inner lanes each hold one n-th of the volume; it takes four of them at least.
    pub fn laminar(n: usize) -> Self {
        let n = n.max(SPLIT);
        let mut inner: Vec<f64> = (SPLIT..=n).rev().map(|i| i as f64 / n as f64).collect();
        let mut last = SPLIT as f64 / n as f64;
        while last > WALL {
            last *= WALL_RATIO;
            inner.push(last);
        }
        // From the inner edge of the lane at the wall as far beyond its mean as that lies behind it.
        let ends: Vec<f64> = inner.iter().map(|a| 0.5 / a).chain([1.5 / last]).collect();
        let mut shares = vec![last * last; inner.len()];
        shares[..inner.len() - 1].fill(0.0);
        let inner: Vec<Moments> = inner.windows(2).map(|w| Moments::of_lane(w[0], w[1])).collect();
        deal_out(&inner, &ends, &mut shares);
        Self::from_ends(&ends, shares, n)
    }

    /// Plug flow: one lane, all of it delayed by one tube volume.
    pub fn plug() -> Self {
        Self::from_ends(&[1.0 - PLUG_HALF_WIDTH, 1.0 + PLUG_HALF_WIDTH], vec![1.0], 1)
    }

    /// Lanes enough for thresholds of the old fraction down to `threshold`.
    ///
    /// Where 1 − F equals the threshold, neighbouring edges lie Δθ/θ = 1/(n √threshold) apart, and the
    /// straight pieces are off by at most 3/8 (Δθ/θ)² in θ.
    pub fn for_threshold(threshold: f64) -> Self {
        Self::laminar(Self::count_for_threshold(threshold))
    }

    /// The `n` that [`Lanes::for_threshold`] takes.
    pub fn count_for_threshold(threshold: f64) -> usize {
        ((PER_ROOT / threshold.max(1e-4).sqrt()).ceil() as usize).clamp(12, 400)
    }

    /// Bands between these rising ends, with their shares.
    fn from_ends(ends: &[f64], shares: Vec<f64>, n: usize) -> Self {
        let bands: Vec<(f64, f64)> = ends.windows(2).map(|w| (w[0], w[1])).collect();
        let mut edges = Vec::with_capacity(ends.len());
        let mut before = 0.0;
        for (share, &(low, high)) in shares.iter().zip(&bands) {
            let density = share / (high - low);
            edges.push((low, density - before));
            before = density;
        }
        edges.extend(ends.last().map(|end| (*end, -before)));
        let mut tails = vec![[0.0; 3]; edges.len() + 1];
        for j in (0..edges.len()).rev() {
            let (theta, weight) = edges[j];
            for (k, power) in [1.0, theta, theta * theta].into_iter().enumerate() {
                tails[j][k] = tails[j + 1][k] + weight * power;
            }
        }
        Self { bands, shares, n, edges, tails }
    }

    /// The `n` of [`Lanes::laminar`]; 1 for plug flow.
    pub fn n(&self) -> usize {
        self.n
    }

    /// Whether they are those of plug flow.
    pub fn is_plug(&self) -> bool {
        self.n == 1
    }

    /// The longest delay, in tube volumes.
    pub fn longest(&self) -> f64 {
        self.edges.last().map_or(0.0, |e| e.0)
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
        0.5 * self.shares[i] * (self.bands[i].0 + self.bands[i].1)
    }

    /// Delay and read-out weight of the band ends, by rising delay.
    pub(super) fn edges(&self) -> &[(f64, f64)] {
        &self.edges
    }

    /// Σ weight·θᵏ over edges j and after, k = 0, 1, 2.
    pub(super) fn tail(&self, j: usize) -> [f64; 3] {
        self.tails[j]
    }

    /// Share of the flow with a delay below θ tube volumes, F(θ).
    pub fn f(&self, theta: f64) -> f64 {
        let bands = self.shares.iter().zip(&self.bands);
        bands.map(|(share, b)| share * ((theta - b.0) / (b.1 - b.0)).clamp(0.0, 1.0)).sum()
    }
}

/// See [`Lanes::count_for_threshold`].
const PER_ROOT: f64 = 8.0;

/// What is known of some part of the flow: its share, and mean and mean square of its delays.
#[derive(Debug, Clone, Copy)]
struct Moments {
    share: f64,
    mean: f64,
    square: f64,
}

impl Moments {
    /// Of the lane in which 1 − s falls from `a` to `b`, above 0.
    ///
    /// Mean delay: volume over flow, 1/(a + b). Mean square: ∫θ² dθ/(2θ³) = ½ ln(a/b) over the share.
    fn of_lane(a: f64, b: f64) -> Self {
        let share = a * a - b * b;
        Self { share, mean: 1.0 / (a + b), square: 0.5 * portable::ln(a / b) / share }
    }

    /// Of a band whose delays are spread evenly between two ends.
    fn of_band(low: f64, high: f64) -> Self {
        let square = (low * low + low * high + high * high) / 3.0;
        Self { share: 1.0, mean: 0.5 * (low + high), square }
    }

    /// Mean and mean square about another delay.
    fn about(self, delay: f64) -> (f64, f64) {
        (self.mean - delay, self.square - 2.0 * delay * self.mean + delay * delay)
    }
}

/// Adds to the shares of the bands between these ends what each lane carries, in its own band and two next to it, so
/// that its mean and mean square are kept. Of the last lane its mean is, by the band before it: beyond is the lane at
/// the wall, so wide that little of it would be much.
fn deal_out(lanes: &[Moments], ends: &[f64], shares: &mut [f64]) {
    let bands: Vec<Moments> = ends.windows(2).map(|w| Moments::of_band(w[0], w[1])).collect();
    for (i, lane) in lanes.iter().enumerate() {
        // About the middle of its own band, of which (0, own) is known.
        let middle = bands[i].mean;
        let (wanted, square) = lane.about(middle);
        let own = bands[i].about(middle).1;
        let (j, k) = if i == 0 { (1, 2) } else { (i - 1, i + 1) };
        let (x, xx) = bands[j].about(middle);
        let (p, q) = if i + 1 == lanes.len() {
            (wanted / x, 0.0)
        } else {
            let (y, yy) = bands[k].about(middle);
            let (zz, xx, yy) = (square - own, xx - own, yy - own);
            let determinant = x * yy - y * xx;
            ((wanted * yy - y * zz) / determinant, (x * zz - wanted * xx) / determinant)
        };
        shares[j] += lane.share * p;
        shares[k] += lane.share * q;
        shares[i] += lane.share * (1.0 - p - q);
    }
}
