//! What has entered a tube, as a function of its own throughput.
//!
//! The composition that entered is piecewise constant between knots. Kept with it are its first and
//! second integrals over throughput, so that any band of delays is read out exactly.
//!
//! The second integral grows with the square of the throughput, and what is read out is a small difference
//! of it: after hundreds of tube volumes little but rounding would be left. So throughput and both integrals
//! are counted from a base that follows ([`History::rebase`]), and a stretch is read from its later end. A
//! read-out whose weights are those of a band of delays (they sum to 0, their first moment to −1) is then lower
//! by what entered before the base, and [`History::entered`] too: their difference stays.

/// History of the composition `c(v)` that entered, `v` being the throughput since the base in m³.
///
/// Before the start the composition is that of the filling, without end.
#[derive(Debug, Clone)]
pub struct History {
    species: usize,
    /// Throughput at each knot, m³; the first is the start unless knots have been forgotten.
    at: Vec<f64>,
    /// For each knot: H = ∫c dv, then G = ∫H dv, both from the base on, then c of the stretch that ends there.
    rows: Vec<f64>,
    /// Where it all began, m³: 0 or, as the base has moved on, below.
    start: f64,
}

impl History {
    /// A history in which only `filling` has ever entered.
    pub fn new(filling: &[f64]) -> Self {
        let species = filling.len();
        let mut rows = vec![0.0; 2 * species];
        rows.extend(filling);
        Self { species, at: vec![0.0], rows, start: 0.0 }
    }

    /// Throughput since the base, m³.
    pub fn end(&self) -> f64 {
        self.at.last().copied().unwrap_or(0.0)
    }

    /// Throughput at the start, 0 or below, m³.
    pub fn start(&self) -> f64 {
        self.start
    }

    /// Throughput since the start, m³.
    pub fn throughput(&self) -> f64 {
        self.end() - self.start
    }

    /// Number of species.
    pub fn species(&self) -> usize {
        self.species
    }

    /// Number of knots.
    pub fn knots(&self) -> usize {
        self.at.len()
    }

    /// Numbers kept.
    pub fn numbers(&self) -> usize {
        Self::numbers_of(self.knots(), self.species)
    }

    /// Numbers of so many knots.
    pub fn numbers_of(knots: usize, species: usize) -> usize {
        knots * (1 + 3 * species)
    }

    /// Throughput at a knot, m³.
    pub fn at(&self, knot: usize) -> f64 {
        self.at[knot]
    }

    /// H at the end: all that entered since the base, by species.
    pub fn entered(&self) -> &[f64] {
        let last = 3 * self.species * (self.at.len() - 1);
        &self.rows[last..last + self.species]
    }

    /// Adds `dv` m³ of composition `c`.
    pub fn push(&mut self, dv: f64, c: &[f64]) {
        let s = self.species;
        let last = self.rows.len() - 3 * s;
        self.at.push(self.end() + dv);
        self.rows.resize(self.rows.len() + 3 * s, 0.0);
        let (old, new) = self.rows.split_at_mut(last + 3 * s);
        let (h, g) = (&old[last..last + s], &old[last + s..last + 2 * s]);
        let half = 0.5 * dv * dv;
        for k in 0..s {
            new[k] = h[k] + c[k] * dv;
            new[s + k] = g[k] + h[k] * dv + c[k] * half;
            new[2 * s + k] = c[k];
        }
    }

    /// Moves the base to the end, and forgets the knots that nothing at or after `still_read` needs; gives their
    /// number.
    pub fn rebase(&mut self, still_read: f64) -> usize {
        let s = self.species;
        let forgotten = self.knot_after(still_read, 0);
        self.at.drain(..forgotten);
        self.rows.drain(..3 * s * forgotten);
        let end = self.end();
        let last = self.rows.len() - 3 * s;
        let [h0, g0] = [0, s].map(|from| self.rows[last + from..last + from + s].to_vec());
        for (v, row) in self.at.iter_mut().zip(self.rows.chunks_mut(3 * s)) {
            *v -= end;
            for k in 0..s {
                row[s + k] -= g0[k] + h0[k] * *v;
                row[k] -= h0[k];
            }
        }
        self.start -= end;
        forgotten
    }

    /// Adds Σ weight · G(v) over several v of the stretch that ends at `knot` (before the start: of the filling,
    /// from knot 0): with x = v − at(knot), `moments` are Σ weight, Σ weight · x and Σ weight · x²/2.
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

    /// The first knot at or after `v` (the last one if there is none), searched upward from `from`.
    #[inline]
    pub fn knot_after(&self, v: f64, from: usize) -> usize {
        let mut k = from;
        while k + 1 < self.at.len() && self.at[k] < v {
            k += 1;
        }
        k
    }

    /// As [`Self::knot_after`], searched downward from `from`, which lies at or after it.
    #[inline]
    pub fn knot_before(&self, v: f64, from: usize) -> usize {
        let mut k = from;
        while k > 0 && self.at[k - 1] >= v {
            k -= 1;
        }
        k
    }

    /// Adds `weight · G(v)` for any v, before the start as well.
    pub fn add_second_integral_at(&self, v: f64, weight: f64, sum: &mut [f64]) {
        let knot = self.at.partition_point(|a| *a < v).min(self.at.len() - 1);
        self.add_second_integral_from(knot, v, weight, sum);
    }

    /// The same, with the first knot at or after v.
    #[inline]
    pub fn add_second_integral_from(&self, knot: usize, v: f64, weight: f64, sum: &mut [f64]) {
        let x = v - self.at[knot];
        self.add_second_integrals(knot, [weight, weight * x, 0.5 * weight * x * x], sum);
    }
}
