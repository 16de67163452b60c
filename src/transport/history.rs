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
/// Knots for which there is room at first.
const ROOM: usize = 32;

/// History of the composition `c(v)` that entered, `v` being the throughput since the base in m³.
///
/// Before the start the composition is that of the filling, without end.
#[derive(Debug)]
pub struct History {
    species: usize,
    /// For each knot: its throughput, m³ (of the first that of the start, unless knots have been forgotten); then, of every
    /// species, H = ∫c dv, then G = ∫H dv, both from the base on, then of the stretch that ends there c at its end, then
    /// dc/dv.
    knots: Vec<f64>,
    /// Where it all began, m³: 0 or, as the base has moved on, below.
    start: f64,
}

/// A copy is made to be pushed on: with room for that.
impl Clone for History {
    fn clone(&self) -> Self {
        let mut knots = Vec::with_capacity(self.knots.len() + ROOM * self.stride());
        knots.extend_from_slice(&self.knots);
        Self { species: self.species, knots, start: self.start }
    }
}

impl History {
    /// A history in which only `filling` has ever entered.
    pub fn new(filling: &[f64]) -> Self {
        let species = filling.len();
        let mut knots = Vec::with_capacity(ROOM * Self::numbers_of(1, species));
        knots.resize(1 + 2 * species, 0.0);
        knots.extend(filling);
        knots.resize(Self::numbers_of(1, species), 0.0);
        Self { species, knots, start: 0.0 }
    }

    /// Throughput since the base, m³.
    pub fn end(&self) -> f64 {
        self.last()[0]
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
        self.knots.len() / self.stride()
    }

    /// Numbers kept.
    pub fn numbers(&self) -> usize {
        self.knots.len()
    }

    /// Numbers of so many knots.
    pub fn numbers_of(knots: usize, species: usize) -> usize {
        knots * (1 + ROW * species)
    }

    fn stride(&self) -> usize {
        Self::numbers_of(1, self.species)
    }

    /// The last knot.
    fn last(&self) -> &[f64] {
        &self.knots[self.last_knot()..]
    }

    /// The last knot. A knot goes by the place of its numbers.
    pub fn last_knot(&self) -> usize {
        self.knots.len() - self.stride()
    }

    /// Throughput at a knot, m³.
    #[inline]
    pub fn at(&self, knot: usize) -> f64 {
        self.knots[knot]
    }

    /// H at the end: all that entered since the base, by species.
    pub fn entered(&self) -> &[f64] {
        &self.last()[1..=self.species]
    }

    /// Adds `dv` m³ whose composition has the mean and the half rise of `line`, one behind the other.
    pub fn push(&mut self, dv: f64, line: &[f64]) {
        match self.species {
            1 => self.push_of::<1>(dv, line, 1),
            2 => self.push_of::<2>(dv, line, 2),
            s => self.push_of::<0>(dv, line, s),
        }
    }

    /// Of S species; if S is 0, of `s`.
    #[inline]
    fn push_of<const S: usize>(&mut self, dv: f64, line: &[f64], s: usize) {
        let s = if S > 0 { S } else { s };
        let last = self.knots.len() - (1 + ROW * s);
        let (half, per_volume) = (0.5 * dv * dv, 2.0 / dv);
        let (mean, rise) = line[..2 * s].split_at(s);
        self.knots.push(self.knots[last] + dv);
        for (k, mean) in mean.iter().enumerate() {
            self.knots.push(self.knots[last + 1 + k] + mean * dv);
        }
        // ∫∫ of a line that begins at mean − rise and ends at mean + rise.
        for (k, (mean, rise)) in mean.iter().zip(rise).enumerate() {
            let (h, g) = (self.knots[last + 1 + k], self.knots[last + 1 + s + k]);
            self.knots.push(g + h * dv + (mean - rise * (1.0 / 3.0)) * half);
        }
        self.knots.extend(mean.iter().zip(rise).map(|(mean, rise)| mean + rise));
        self.knots.extend(rise.iter().map(|rise| rise * per_volume));
    }

    /// Moves the base to the end, and forgets the knots that nothing at or after `still_read` needs; gives by how much
    /// the places of all others are lower now.
    pub fn rebase(&mut self, still_read: f64) -> usize {
        let s = self.species;
        let forgotten = self.knot_after(still_read, 0);
        self.knots.drain(..forgotten);
        let last = self.last().to_vec();
        let (end, h0, g0) = (last[0], &last[1..=s], &last[1 + s..=2 * s]);
        for knot in self.knots.chunks_mut(Self::numbers_of(1, s)) {
            knot[0] -= end;
            let v = knot[0];
            for k in 0..s {
                knot[1 + s + k] -= g0[k] + h0[k] * v;
                knot[1 + k] -= h0[k];
            }
        }
        self.start -= end;
        forgotten
    }

    /// Adds weight · G(v) for a v of the stretch that ends at `knot` (before the start: of the filling, from knot 0),
    /// `moments` being [`moments`] of the weight and v − at(knot), or a sum of such over several v of it.
    pub fn add_second_integrals(&self, knot: usize, moments: [f64; 4], sum: &mut [f64]) {
        let s = self.species;
        let row = &self.knots[knot + 1..][..ROW * s];
        let [w, wx, wxx, wxxx] = moments;
        for (k, sum) in sum[..s].iter_mut().enumerate() {
            let (h, g, c, slope) = (row[k], row[s + k], row[2 * s + k], row[3 * s + k]);
            *sum += w * g + wx * h + wxx * c + wxxx * slope;
        }
    }

    /// The same for H, the derivative of G.
    pub fn add_first_integrals(&self, knot: usize, moments: [f64; 4], sum: &mut [f64]) {
        let s = self.species;
        let row = &self.knots[knot + 1..][..ROW * s];
        let [w, wx, wxx, _] = moments;
        for (k, sum) in sum[..s].iter_mut().enumerate() {
            *sum += w * row[k] + wx * row[2 * s + k] + wxx * row[3 * s + k];
        }
    }

    /// Both of them, of a history of S species.
    #[inline(always)]
    #[allow(clippy::inline_always)] // a loop of one round or two, in the innermost one of a flush
    pub fn add_both_integrals<const S: usize>(
        &self,
        knot: usize,
        [w, wx, wxx, wxxx]: [f64; 4],
        second: &mut [f64; S],
        first: &mut [f64; S],
    ) {
        let row = &self.knots[knot + 1..][..ROW * S];
        for k in 0..S {
            let (h, g, c, slope) = (row[k], row[S + k], row[2 * S + k], row[3 * S + k]);
            second[k] += w * g + wx * h + wxx * c + wxxx * slope;
            first[k] += w * h + wx * c + wxx * slope;
        }
    }

    /// The first knot at or after `v` (the last one if there is none), searched upward from `from`.
    #[inline]
    pub fn knot_after(&self, v: f64, from: usize) -> usize {
        let (stride, last) = (self.stride(), self.last_knot());
        let mut knot = from;
        // Most often it is the next or the same, as chance has it: told without a branch.
        knot += stride * usize::from((knot < last) & (self.knots[knot] < v));
        while knot < last && self.knots[knot] < v {
            knot += stride;
        }
        knot
    }

    /// As [`Self::knot_after`], searched downward from `from`, which lies at or after it.
    #[inline]
    pub fn knot_before(&self, v: f64, from: usize) -> usize {
        let (mut knot, stride) = (from, self.stride());
        while knot > 0 && self.knots[knot - stride] >= v {
            knot -= stride;
        }
        knot
    }

    /// The first knot at or after any `v` (the last one if there is none).
    fn knot_of(&self, v: f64) -> usize {
        let (mut low, mut high) = (0, self.knots() - 1);
        while low < high {
            let mid = low.midpoint(high);
            if self.at(mid * self.stride()) < v { low = mid + 1 } else { high = mid }
        }
        low * self.stride()
    }

    /// Adds `weight · G(v)` for any v, before the start as well.
    pub fn add_second_integral_at(&self, v: f64, weight: f64, sum: &mut [f64]) {
        self.add_second_integral_from(self.knot_of(v), v, weight, sum);
    }

    /// Adds `weight · H(v)` for any v.
    pub fn add_first_integral_at(&self, v: f64, weight: f64, sum: &mut [f64]) {
        let knot = self.knot_of(v);
        let x = v - self.at(knot);
        self.add_first_integrals(knot, [weight, weight * x, 0.5 * weight * x * x, 0.0], sum);
    }

    /// As [`Self::add_second_integral_at`], with the first knot at or after v.
    #[inline]
    pub fn add_second_integral_from(&self, knot: usize, v: f64, weight: f64, sum: &mut [f64]) {
        self.add_second_integrals(knot, moments(weight, v - self.at(knot)), sum);
    }
}

/// weight · xᵏ/k! for k = 0 … 3.
#[inline]
pub fn moments(weight: f64, x: f64) -> [f64; 4] {
    let first = weight * x;
    let second = 0.5 * first * x;
    [weight, first, second, second * x * (1.0 / 3.0)]
}
