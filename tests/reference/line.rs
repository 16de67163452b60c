//! Laminar lines by quadrature of the convolution integral.
//!
//! Outlet c(v) = ∫ E(θ) c_in(v − Vθ) dθ, content mean c̄(v) = ∫ (1 − F(θ)) c_in(v − Vθ) dθ with
//! E(θ) = 1/(2θ³), F(θ) = 1 − 1/(4θ²) for θ ≥ ½ and 0 before: the purely convective parabolic
//! profile (Danckwerts, Chem. Eng. Sci. 2 (1953) 1; Levenspiel, Chemical Reaction Engineering).
//! (1 − F is the distribution of internal ages, so that its integral with the inflow is what is
//! in the line.) Over each cell of the inflow the integral of the kernel times a linear function
//! is taken in closed form: the only error is that of the piecewise-linear inflow.

use super::signal::{Grid, Signal};

/// What counts as nothing, mL.
const NOTHING_ML: f64 = 1e-9;

/// What an inflow is weighed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kernel {
    /// E(θ): gives what leaves.
    Leaving,
    /// 1 − F(θ): gives the mean of what is inside.
    Inside,
}

impl Kernel {
    /// ∫ k dθ and ∫ (θ − a) k dθ over `[a, b]`.
    pub fn moments(self, a: f64, b: f64) -> (f64, f64) {
        let (mut zeroth, mut first) = (0.0, 0.0);
        if a < 0.5 && self == Self::Inside {
            let d = b.min(0.5) - a;
            zeroth += d;
            first += 0.5 * d * d;
        }
        if b > 0.5 {
            let from = a.max(0.5);
            let d = b - from;
            let (z, f) = match self {
                Self::Leaving => {
                    (d * (from + b) / (4.0 * from * from * b * b), d * d / (4.0 * from * b * b))
                }
                Self::Inside => (d / (4.0 * from * b), 0.25 * log_less_share(d / from)),
            };
            zeroth += z;
            first += f + (from - a) * z;
        }
        (zeroth, first)
    }

    /// ∫ k dθ over `[a, ∞)`.
    pub fn tail(self, a: f64) -> f64 {
        match self {
            Self::Leaving if a < 0.5 => 1.0,
            Self::Leaving => 1.0 / (4.0 * a * a),
            Self::Inside if a < 0.5 => 1.0 - a,
            Self::Inside => 1.0 / (4.0 * a),
        }
    }

    /// Weights of the older and the newer end of a cell of lags `[a, b]` (θ).
    fn weights(self, a: f64, b: f64) -> (f64, f64) {
        let (zeroth, first) = self.moments(a, b);
        let older = first / (b - a);
        (older, zeroth - older)
    }
}

/// ln(1 + δ) − δ/(1 + δ), by its series where the difference would lose digits.
fn log_less_share(delta: f64) -> f64 {
    if delta > 0.02 {
        return delta.ln_1p() - delta / (1.0 + delta);
    }
    let mut sum = 0.0;
    let mut power = -delta;
    for k in 2..12 {
        power *= -delta;
        sum += power * f64::from(k - 1) / f64::from(k);
    }
    sum
}

/// A laminar line (or hose, or stretch of one) and all that ever flowed into it.
#[derive(Debug, Clone)]
pub struct LaminarLine {
    volume_ml: f64,
    /// What fills it at first, as steps: a change in composition, and how much of the line lies behind it, mL.
    initial: Vec<(f64, Vec<f64>)>,
    inflow: Vec<(f64, Signal)>,
    throughput_ml: f64,
}

impl LaminarLine {
    /// A line of this volume (mL), filled evenly with this composition.
    pub fn new(volume_ml: f64, initial: &[f64]) -> Self {
        Self::filled(&[(volume_ml, initial.to_vec())])
    }

    /// A line made of such pieces (mL), in the order of the flow, each filled evenly.
    pub fn filled(pieces: &[(f64, Vec<f64>)]) -> Self {
        let volume_ml = pieces.iter().map(|p| p.0).sum();
        let mut before = vec![0.0; pieces[0].1.len()];
        let mut behind_ml = volume_ml;
        let mut initial: Vec<(f64, Vec<f64>)> = vec![];
        for (ml, content) in pieces {
            let change: Vec<f64> = content.iter().zip(&before).map(|(c, b)| c - b).collect();
            if initial.is_empty() || change.iter().any(|c| *c != 0.0) {
                initial.push((behind_ml, change));
            }
            behind_ml -= ml;
            before.clone_from(content);
        }
        Self { volume_ml, initial, inflow: Vec::new(), throughput_ml: 0.0 }
    }

    fn species(&self) -> usize {
        self.initial[0].1.len()
    }

    /// Mean composition of what it was filled with.
    pub fn content_at_first(&self) -> Vec<f64> {
        let mut mean = vec![0.0; self.species()];
        self.left_of_filling(0.0, Kernel::Inside, &mut mean);
        mean
    }

    /// What is still seen of the first filling at one throughput. A step at x behind the beginning is the step at
    /// the beginning of a line that much shorter.
    fn left_of_filling(&self, at_ml: f64, kernel: Kernel, out: &mut [f64]) {
        out.fill(0.0);
        for (behind_ml, change) in &self.initial {
            let share = match kernel {
                Kernel::Leaving => 1.0,
                Kernel::Inside => behind_ml / self.volume_ml,
            };
            let left = share * kernel.tail(at_ml / behind_ml);
            for (o, c) in out.iter_mut().zip(change) {
                *o += c * left;
            }
        }
    }

    /// Lets the inflow in and gives the response over the same advance.
    pub fn advance(&mut self, inlet: &Signal, kernel: Kernel) -> Signal {
        let start = self.throughput_ml;
        self.inflow.push((start, inlet.clone()));
        self.throughput_ml += inlet.grid.end_ml;
        self.respond(start, inlet.grid, kernel)
    }

    /// What the beginning took in when so much (mL) had run through. At the beginning every radius holds the same.
    pub fn taken_in(&self, at_ml: f64) -> Vec<f64> {
        let stretch = self.inflow.iter().rev().find(|(start, _)| *start <= at_ml);
        let (start, inlet) = stretch.expect("fluid that has come down goes up again");
        (0..inlet.species).map(|s| inlet.value(s, at_ml - start)).collect()
    }

    /// Replaces what the beginning took in from this throughput on.
    pub fn take_in_anew(&mut self, from_ml: f64, inlet: &Signal) {
        let to_ml = from_ml + inlet.grid.end_ml;
        let mut kept = Vec::new();
        for (start, was) in self.inflow.drain(..) {
            let end = start + was.grid.end_ml;
            if end <= from_ml + NOTHING_ML || start >= to_ml - NOTHING_ML {
                kept.push((start, was));
                continue;
            }
            if start < from_ml - NOTHING_ML {
                kept.push((start, was.piece(0.0, from_ml - start)));
            }
            if end > to_ml + NOTHING_ML {
                kept.push((to_ml, was.piece(to_ml - start, was.grid.end_ml)));
            }
        }
        kept.push((from_ml, inlet.clone()));
        kept.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.inflow = kept;
    }

    /// All that has run through, mL.
    pub fn throughput_ml(&self) -> f64 {
        self.throughput_ml
    }

    /// Mean composition of the content.
    pub fn content(&self) -> Vec<f64> {
        let mut mean = vec![0.0; self.species()];
        self.direct(self.throughput_ml, Kernel::Inside, &mut mean);
        mean
    }

    /// The response at one throughput, cell by cell.
    fn direct(&self, at_ml: f64, kernel: Kernel, out: &mut [f64]) {
        self.left_of_filling(at_ml, kernel, out);
        for (start, inlet) in &self.inflow {
            for i in 0..inlet.grid.cells() {
                self.add_cell(at_ml - start, inlet, i, kernel, out);
            }
        }
    }

    /// Adds what cell `i` of a stretch of inflow gives `since_ml` after that stretch began.
    fn add_cell(&self, since_ml: f64, inlet: &Signal, i: usize, kernel: Kernel, out: &mut [f64]) {
        let a = (since_ml - inlet.grid.at(i + 1)) / self.volume_ml;
        let b = (since_ml - inlet.grid.at(i)) / self.volume_ml;
        // A cell that has not come in yet; half a cell never occurs, since points are shared.
        if a < -1e-9 * b.abs() - 1e-12 {
            return;
        }
        let (older, newer) = kernel.weights(a.max(0.0), b);
        for (s, o) in out.iter_mut().enumerate() {
            *o += older * inlet.node(i)[s] + newer * inlet.node(i + 1)[s];
        }
    }

    /// The response on a grid that begins at throughput `start_ml`. Weights depend on the lag
    /// alone, so they are made once for each stretch of inflow with the same step; stretches of other
    /// steps (a line that took a share of the flow) go cell by cell.
    fn respond(&self, start_ml: f64, grid: Grid, kernel: Kernel) -> Signal {
        let species = self.species();
        let alike = |inlet: &Signal| (grid.step_ml - inlet.grid.step_ml).abs() < 1e-12;
        let by_lag = |(start, inlet): &(f64, Signal)| {
            alike(inlet).then(|| {
                let ahead_ml = start_ml - start;
                let lags = Lags::new(ahead_ml, grid, inlet.grid, self.volume_ml, kernel);
                (lags, (0..species).map(|s| inlet.column(s)).collect::<Vec<_>>())
            })
        };
        let tables: Vec<_> = self.inflow.iter().map(by_lag).collect();
        let regular = grid.full_cells();
        Signal::from_fn(grid, species, |k, v, out| {
            if k > regular {
                return self.direct(start_ml + v, kernel, out);
            }
            self.left_of_filling(start_ml + v, kernel, out);
            for ((start, inlet), table) in self.inflow.iter().zip(&tables) {
                let since = start_ml + v - start;
                let Some((lags, columns)) = table else {
                    for i in 0..inlet.grid.cells() {
                        self.add_cell(since, inlet, i, kernel, out);
                    }
                    continue;
                };
                let full = inlet.grid.full_cells();
                let current = *start == start_ml;
                let upto = if current { full.min(k) } else { full };
                for (o, column) in out.iter_mut().zip(columns) {
                    *o += lags.response(k, &column[..=upto]);
                }
                if !current && full < inlet.grid.cells() {
                    self.add_cell(since, inlet, full, kernel, out);
                }
            }
        })
    }
}

/// Weights by lag of the full cells of a stretch of inflow, for the points of a grid of the same step: entry
/// `regular − k + i` belongs to point `k` of the grid and to cell `i`, or point `i`, of the stretch.
struct Lags {
    /// Full cells of the grid.
    regular: usize,
    /// Of a cell, for its older and its newer end.
    cells: Vec<(f64, f64)>,
    /// Of a point between two cells, by both.
    points: Vec<f64>,
}

impl Lags {
    /// Of a stretch of inflow that began `ahead_ml` before the grid does.
    fn new(ahead_ml: f64, grid: Grid, inlet: Grid, volume_ml: f64, kernel: Kernel) -> Self {
        let (regular, step) = (grid.full_cells(), grid.step_ml);
        let cell = |entry: usize| {
            let a = (ahead_ml + (regular as f64 - 1.0 - entry as f64) * step) / volume_ml;
            if a < -1e-9 {
                return (0.0, 0.0); // would look ahead of its time: never read
            }
            kernel.weights(a.max(0.0), a + step / volume_ml)
        };
        let cells: Vec<_> = (0..regular + inlet.full_cells()).map(cell).collect();
        let newer = std::iter::once(0.0).chain(cells.iter().map(|c| c.1));
        let points = cells.iter().zip(newer).map(|((older, _), newer)| older + newer).collect();
        Self { regular, cells, points }
    }

    /// What the cells between these points of one species give at point `k` of the grid.
    fn response(&self, k: usize, inflow: &[f64]) -> f64 {
        let (first, last) = (self.regular - k, self.regular - k + inflow.len() - 1);
        let [oldest, between @ .., newest] = inflow else { return 0.0 };
        let ends = self.cells[first].0 * oldest + self.cells[last - 1].1 * newest;
        ends + dot(&self.points[first + 1..last], between)
    }
}

/// Sum of products, in eight sums side by side.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let ((a, rest_of_a), (b, rest_of_b)) = (a.as_chunks::<8>(), b.as_chunks::<8>());
    let mut sums = [0.0; 8];
    for (a, b) in a.iter().zip(b) {
        for (sum, (a, b)) in sums.iter_mut().zip(a.iter().zip(b)) {
            *sum += a * b;
        }
    }
    let rest: f64 = rest_of_a.iter().zip(rest_of_b).map(|(a, b)| a * b).sum();
    sums.iter().sum::<f64>() + rest
}
