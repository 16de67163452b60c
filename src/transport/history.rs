//! What has entered a tube, as a function of its own throughput.
//!
//! The composition that entered is piecewise constant between knots. Kept with it are its first and
//! second integrals over throughput, so that any band of delays is read out exactly.

/// History of the composition `c(v)` that entered, `v` being the throughput in m³.
///
/// Before the first knot (v ≤ 0) the composition is that of the filling, without end.
#[derive(Debug, Clone)]
pub struct History {
    species: usize,
    /// Throughput at each knot, m³; the first is 0.
    at: Vec<f64>,
    /// For each knot: H = ∫c dv, then G = ∫H dv, then c of the stretch that follows.
    rows: Vec<f64>,
    /// c before the first knot.
    filling: Vec<f64>,
}

impl History {
    /// A history in which only `filling` has ever entered.
    pub fn new(filling: &[f64]) -> Self {
        let species = filling.len();
        Self { species, at: vec![0.0], rows: vec![0.0; 3 * species], filling: filling.to_vec() }
    }

    /// Throughput so far, m³.
    pub fn throughput(&self) -> f64 {
        self.at.last().copied().unwrap_or(0.0)
    }

    /// Number of knots.
    pub fn knots(&self) -> usize {
        self.at.len()
    }

    /// Numbers kept.
    pub fn numbers(&self) -> usize {
        self.at.len() + self.rows.len()
    }

    /// Composition before the first knot.
    pub fn filling(&self) -> &[f64] {
        &self.filling
    }

    /// Throughput at a knot, m³.
    pub fn at(&self, knot: usize) -> f64 {
        self.at[knot]
    }

    /// H at the end: all that entered since v = 0, by species.
    pub fn entered(&self) -> &[f64] {
        let start = 3 * self.species * (self.at.len() - 1);
        &self.rows[start..start + self.species]
    }

    /// Adds `dv` m³ of composition `c`.
    pub fn push(&mut self, dv: f64, c: &[f64]) {
        let s = self.species;
        let last = 3 * s * (self.at.len() - 1);
        self.rows[last + 2 * s..last + 3 * s].copy_from_slice(c);
        self.at.push(self.at[self.at.len() - 1] + dv);
        self.rows.resize(self.rows.len() + 3 * s, 0.0);
        let (old, new) = self.rows.split_at_mut(last + 3 * s);
        let (h, g) = (&old[last..last + s], &old[last + s..last + 2 * s]);
        let half = 0.5 * dv * dv;
        for k in 0..s {
            new[k] = h[k] + c[k] * dv;
            new[s + k] = g[k] + h[k] * dv + c[k] * half;
        }
    }

    /// Adds Σ weight · G(v) over several v of the stretch that follows `knot`: with x = v − at(knot),
    /// `moments` are Σ weight, Σ weight · x and Σ weight · x²/2.
    #[inline]
    pub fn add_second_integrals(&self, knot: usize, moments: [f64; 3], sum: &mut [f64]) {
        let s = self.species;
        let row = &self.rows[3 * s * knot..3 * s * (knot + 1)];
        let (h, rest) = row.split_at(s);
        let (g, c) = rest.split_at(s);
        let [w, wx, wxx] = moments;
        for (((sum, g), h), c) in sum.iter_mut().zip(g).zip(h).zip(c) {
            *sum += w * g + wx * h + wxx * c;
        }
    }

    /// The last knot at or before `v`, searched upward from `from`.
    #[inline]
    pub fn knot_before(&self, v: f64, from: usize) -> usize {
        let mut k = from;
        while k + 1 < self.at.len() && self.at[k + 1] <= v {
            k += 1;
        }
        k
    }

    /// Adds `weight · G(v)` for any v, before the first knot as well.
    pub fn add_second_integral_at(&self, v: f64, weight: f64, sum: &mut [f64]) {
        if v <= 0.0 {
            let half = weight * 0.5 * v * v;
            for (sum, c) in sum.iter_mut().zip(&self.filling) {
                *sum += half * c;
            }
        } else {
            let knot = self.at.partition_point(|a| *a <= v) - 1;
            let x = v - self.at[knot];
            self.add_second_integrals(knot, [weight, weight * x, 0.5 * weight * x * x], sum);
        }
    }
}
