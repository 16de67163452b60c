//! What has entered a tube, as a function of its own throughput.
//!
//! The composition that entered is a chain of straight pieces, one a step ([`super::course`]). Kept with it are its
//! first and second integrals over throughput, so that any band of delays is read out exactly.
//!
//! The second integral grows with the square of the throughput, and what is read out is a small difference
//! of it: after hundreds of tube volumes little but rounding would be left. So throughput and both integrals
//! are counted from a base that follows ([`History::rebase`]), and a stretch is read from its later end. A
//! read-out whose weights are those of a band of delays (they sum to 0, their first moment to −1) is then lower
//! by what entered before the base, and [`History::entered`] too: their difference stays.

/// Numbers of a species that a knot keeps.
const ROW: usize = 4;

/// History of the composition `c(v)` that entered, `v` being the throughput since the base in m³.
///
/// Before the start the composition is that of the filling, without end.
#[derive(Debug, Clone)]
pub struct History {
    species: usize,
    /// Throughput at each knot, m³; the first is the start unless knots have been forgotten.
    at: Vec<f64>,
    /// For each knot: H = ∫c dv, then G = ∫H dv, both from the base on, then of the stretch that ends there c at its
    /// end, then dc/dv.
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
        rows.resize(ROW * species, 0.0);
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
        knots * (1 + ROW * species)
    }

    /// Throughput at a knot, m³.
    pub fn at(&self, knot: usize) -> f64 {
        self.at[knot]
    }

    /// H at the end: all that entered since the base, by species.
    pub fn entered(&self) -> &[f64] {
        let last = ROW * self.species * (self.at.len() - 1);
        &self.rows[last..last + self.species]
    }

    /// Adds `dv` m³ whose composition has the mean and the half rise of `line`, one behind the other.
    pub fn push(&mut self, dv: f64, line: &[f64]) {
        let s = self.species;
        let last = self.rows.len() - ROW * s;
        self.at.push(self.end() + dv);
        self.rows.resize(self.rows.len() + ROW * s, 0.0);
        let (old, new) = self.rows.split_at_mut(last + ROW * s);
        let (h, g) = (&old[last..last + s], &old[last + s..last + 2 * s]);
        let (half, per_volume) = (0.5 * dv * dv, 2.0 / dv);
        for k in 0..s {
            let (mean, rise) = (line[k], line[s + k]);
            new[k] = h[k] + mean * dv;
            // ∫∫ of a line that begins at mean − rise and ends at mean + rise.
            new[s + k] = g[k] + h[k] * dv + (mean - rise * (1.0 / 3.0)) * half;
            new[2 * s + k] = mean + rise;
            new[3 * s + k] = rise * per_volume;
        }
    }

    /// Moves the base to the end, and forgets the knots that nothing at or after `still_read` needs; gives their
    /// number.
    pub fn rebase(&mut self, still_read: f64) -> usize {
        let s = self.species;
        let forgotten = self.knot_after(still_read, 0);
        self.at.drain(..forgotten);
        self.rows.drain(..ROW * s * forgotten);
        let end = self.end();
        let last = self.rows.len() - ROW * s;
        let [h0, g0] = [0, s].map(|from| self.rows[last + from..last + from + s].to_vec());
        for (v, row) in self.at.iter_mut().zip(self.rows.chunks_mut(ROW * s)) {
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
    /// from knot 0): with x = v − at(knot), `moments` are Σ weight · xᵏ/k! for k = 0 … 3.
    #[inline]
    pub fn add_second_integrals(&self, knot: usize, moments: [f64; 4], sum: &mut [f64]) {
        let s = self.species;
        let row = &self.rows[ROW * s * knot..ROW * s * (knot + 1)];
        let (h, rest) = row.split_at(s);
        let (g, rest) = rest.split_at(s);
        let (c, slope) = rest.split_at(s);
        let [w, wx, wxx, wxxx] = moments;
        for ((((sum, g), h), c), slope) in sum.iter_mut().zip(g).zip(h).zip(c).zip(slope) {
            *sum += w * g + wx * h + wxx * c + wxxx * slope;
        }
    }

    /// The same for H, the derivative of G.
    #[inline]
    pub fn add_first_integrals(&self, knot: usize, moments: [f64; 4], sum: &mut [f64]) {
        let s = self.species;
        let row = &self.rows[ROW * s * knot..ROW * s * (knot + 1)];
        let (h, rest) = row.split_at(s);
        let (c, slope) = rest[s..].split_at(s);
        let [w, wx, wxx, _] = moments;
        for (((sum, h), c), slope) in sum.iter_mut().zip(h).zip(c).zip(slope) {
            *sum += w * h + wx * c + wxx * slope;
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

    /// Adds `weight · H(v)` for any v.
    pub fn add_first_integral_at(&self, v: f64, weight: f64, sum: &mut [f64]) {
        let knot = self.at.partition_point(|a| *a < v).min(self.at.len() - 1);
        let x = v - self.at[knot];
        self.add_first_integrals(knot, [weight, weight * x, 0.5 * weight * x * x, 0.0], sum);
    }

    /// As [`Self::add_second_integral_at`], with the first knot at or after v.
    #[inline]
    pub fn add_second_integral_from(&self, knot: usize, v: f64, weight: f64, sum: &mut [f64]) {
        let x = v - self.at[knot];
        let square = 0.5 * weight * x * x;
        let moments = [weight, weight * x, square, square * x * (1.0 / 3.0)];
        self.add_second_integrals(knot, moments, sum);
    }
}
