//! What every lane of a tube holds at one moment, cell by cell, and how it leaves afterwards.
//!
//! Taken when a wait remixes the cross-section or the flow turns round. Position z runs from the
//! outlet (0) to the inlet (1). A streamline with delay θ has sent past z₀ what lay between z₀ and
//! z₀ + y/θ after y tube volumes of throughput. With P(u) = ∫ p dz from z₀ to z₀ + u the lane with flow share
//! f and delays spread evenly over θa…θb has then sent past z₀
//!
//! f V/(θb − θa) ∫ θ P(min(1 − z₀, y/θ)) dθ,
//!
//! which for a piecewise constant p has a closed form (substitute u = y/θ: y² ∫ P u⁻³ du). What passes is read
//! at the outlet, z₀ = 0, and at joints between two lines on the way, at which cells begin.

use super::grid::Grid;
use super::history::History;
use super::lanes::Lanes;
use super::rows::Rows;
use crate::portable;

/// The contents of all lanes at one moment.
#[derive(Debug, Clone)]
pub struct Snapshot {
    volume: f64,
    bands: Vec<(f64, f64)>,
    shares: Vec<f64>,
    grid: Grid,
    /// Mean composition by lane, cell (from the outlet on) and species.
    cells: Rows,
    /// ∫ p dz from the outlet to the cell edges, by lane, edge and species.
    integral: Rows,
    /// Where what passes is read, in the order in which fluid gets there: the outlet last.
    gates: Vec<Gate>,
}

/// A place at which it is read what passes.
#[derive(Debug, Clone)]
struct Gate {
    /// Edge of a cell at which it lies.
    edge: usize,
    /// ∫ P u⁻³ du from this cell edge to the inlet, by lane, edge and species (used beyond `edge` only).
    moment: Rows,
}

impl Snapshot {
    /// Reads out what the lanes hold, from the history since throughput 0 and, if there is one,
    /// the snapshot then. What each lane holds is kept exactly.
    pub fn take(
        volume: f64,
        lanes: &Lanes,
        history: &History,
        before: Option<&Snapshot>,
        grid: Grid,
    ) -> Self {
        let species = history.species();
        let n = lanes.len();
        let mut cells = Rows::zeros(n, grid.cells(), species);
        let y = history.throughput() / volume;
        // Amount between the inlet and each cell edge, over f/(b − a) per unit composition.
        let mut at_edge = vec![0.0; (grid.cells() + 1) * species];
        let mut moved = vec![0.0; species];
        for lane in 0..n {
            let (a, b) = lanes.bands[lane];
            entered_before_edges(volume, history, (a, b), &grid, &mut at_edge);
            for (cell, row) in cells.lane_mut(lane).chunks_mut(species).enumerate() {
                let size = 0.5 * (b * b - a * a) / grid.fineness(cell) * volume;
                moved.fill(0.0);
                if let Some(before) = before {
                    let z = (grid.edge(cell), grid.edge(cell + 1));
                    before.add_moved(lane, y, z, &mut moved);
                }
                // Cells are kept from the outlet on, edges were read from the inlet on.
                let (near, far) = at_edge[(grid.cells() - 1 - cell) * species..].split_at(species);
                for (((c, far), near), moved) in row.iter_mut().zip(far).zip(near).zip(&moved) {
                    *c = (far - near) / size + volume / size * moved;
                }
            }
        }
        Self::of(volume, lanes, grid, cells)
    }

    /// What every lane holds alike: between two gates (before the first, between it and the next, … the outlet
    /// last) the composition of that row of `fillings`.
    pub fn filled(volume: f64, lanes: &Lanes, grid: Grid, fillings: &[&[f64]]) -> Self {
        let species = fillings.first().map_or(0, |row| row.len());
        let mut cells = Rows::zeros(lanes.len(), grid.cells(), species);
        for cell in 0..grid.cells() {
            // Gates are met from the inlet on, cells are kept from the outlet on.
            let passed = grid.gates().iter().filter(|edge| **edge > cell).count();
            for lane in 0..lanes.len() {
                cells.row_mut(lane, cell).copy_from_slice(fillings[passed]);
            }
        }
        Self::of(volume, lanes, grid, cells)
    }

    fn of(volume: f64, lanes: &Lanes, grid: Grid, cells: Rows) -> Self {
        let (n, count, species) = cells.dim();
        Self {
            volume,
            bands: lanes.bands.clone(),
            shares: lanes.shares.clone(),
            grid,
            cells,
            integral: Rows::zeros(n, count + 1, species),
            gates: Vec::new(),
        }
    }

    /// Numbers of a snapshot of this many species, on this grid.
    pub fn numbers_of(lanes: &Lanes, species: usize, grid: &Grid) -> usize {
        let edges = grid.cells() + 1;
        lanes.len() * species * (grid.cells() + (1 + grid.gates().len()) * edges)
    }

    /// Mixes the lanes at each cross-section, by volume, to the degree that holds at its position.
    pub fn remix(&mut self, degree_at: impl Fn(f64) -> f64) {
        let volumes = self.lane_volumes();
        let mut mean = vec![0.0; self.cells.dim().2];
        for cell in 0..self.grid.cells() {
            let degree = degree_at(0.5 * (self.grid.edge(cell) + self.grid.edge(cell + 1)));
            if degree <= 0.0 {
                continue;
            }
            self.mean_across(cell, &volumes, &mut mean);
            for lane in 0..volumes.len() {
                for (c, mean) in self.cells.row_mut(lane, cell).iter_mut().zip(&mean) {
                    *c += degree * (mean - *c);
                }
            }
        }
    }

    /// Whether mixing the lanes would change nothing but the rounding of a mean.
    pub fn is_mixed(&self) -> bool {
        let volumes = self.lane_volumes();
        let rounding = f64::EPSILON * self.shares.len() as f64;
        let mut mean = vec![0.0; self.cells.dim().2];
        (0..self.grid.cells()).all(|cell| {
            self.mean_across(cell, &volumes, &mut mean);
            let alike = |(c, mean): (&f64, &f64)| (c - mean).abs() <= rounding * mean.abs();
            (0..volumes.len()).all(|lane| self.cells.row(lane, cell).iter().zip(&mean).all(alike))
        })
    }

    /// Writes the mean composition at a cross-section, the lanes weighted by these volumes.
    fn mean_across(&self, cell: usize, volumes: &[f64], mean: &mut [f64]) {
        mean.fill(0.0);
        for (lane, volume) in volumes.iter().enumerate() {
            for (mean, c) in mean.iter_mut().zip(self.cells.row(lane, cell)) {
                *mean += volume * c;
            }
        }
    }

    /// Volume of each lane as a share of the tube's.
    fn lane_volumes(&self) -> Vec<f64> {
        self.shares.iter().zip(&self.bands).map(|(f, b)| 0.5 * f * (b.0 + b.1)).collect()
    }

    /// Lets the flow come from the other end.
    pub fn reverse(&mut self) {
        self.cells.reverse();
        self.grid.reverse();
    }

    /// Makes the integrals that reading out needs; call once the cells are as they shall be.
    pub fn finish(&mut self) {
        let (n, cells, species) = self.cells.dim();
        for lane in 0..n {
            let in_cells = self.cells.lane(lane).chunks(species);
            let integral = self.integral.lane_mut(lane);
            for (cell, row) in in_cells.enumerate().take(cells) {
                let dz = 1.0 / self.grid.fineness(cell);
                let (upto, next) = integral.split_at_mut((cell + 1) * species);
                let before = &upto[cell * species..];
                for ((next, before), c) in next.iter_mut().zip(before).zip(row) {
                    *next = before + c * dz;
                }
            }
        }
        self.gates = self.grid.gates().iter().map(|&edge| self.gate(edge)).collect();
    }

    fn gate(&self, edge: usize) -> Gate {
        let (n, cells, species) = self.cells.dim();
        let mut moment = Rows::zeros(n, cells + 1, species);
        let at = self.grid.edge(edge);
        for cell in (edge + 1..cells).rev() {
            let (u0, u1) = (self.grid.edge(cell) - at, self.grid.edge(cell + 1) - at);
            let of_integral = portable::powi(u0, -2) - portable::powi(u1, -2);
            let of_cell = u0.recip() - u1.recip();
            for lane in 0..n {
                let both = &mut moment.lane_mut(lane)[cell * species..(cell + 2) * species];
                let (this, next) = both.split_at_mut(species);
                let integrals = self.integral.row(lane, cell);
                let behind = self.integral.row(lane, edge);
                let rows = integrals.iter().zip(behind).zip(self.cells.row(lane, cell));
                for ((this, next), ((integral, behind), p)) in this.iter_mut().zip(next).zip(rows) {
                    let passed = integral - behind;
                    let piece = 0.5 * (passed - p * u0) * of_integral + p * of_cell;
                    *this = *next + piece;
                }
            }
        }
        Gate { edge, moment }
    }

    /// Adds weight · ∫ P u⁻³ du from u beyond the gate to the inlet in one lane, by species.
    fn add_moment_from(&self, gate: &Gate, lane: usize, u: f64, weight: f64, sum: &mut [f64]) {
        let at = self.grid.edge(gate.edge);
        let cell = self.grid.cell(at + u).max(gate.edge);
        let (start, next) = (self.grid.edge(cell) - at, self.grid.edge(cell + 1) - at);
        // As in `gate`.
        let of_integral = 0.5 * (portable::powi(u, -2) - portable::powi(next, -2));
        let of_cell = u.recip() - next.recip() - start * of_integral;
        let moments = gate.moment.row(lane, cell + 1);
        let integrals = self.integral.row(lane, cell);
        let cells = self.cells.row(lane, cell);
        for (((sum, moment), integral), c) in sum.iter_mut().zip(moments).zip(integrals).zip(cells)
        {
            *sum += weight * (moment + of_integral * integral + of_cell * c);
        }
        if gate.edge > 0 {
            // What lies behind the gate has no part in it; behind the outlet there is nothing.
            let behind = self.integral.row(lane, gate.edge);
            for (sum, behind) in sum.iter_mut().zip(behind) {
                *sum -= weight * of_integral * behind;
            }
        }
    }

    /// All it holds (m³ · composition).
    pub fn total(&self, sum: &mut [f64]) {
        for (lane, &share) in self.shares.iter().enumerate() {
            let size = self.volume * 0.5 * share * (self.bands[lane].0 + self.bands[lane].1);
            let whole = self.integral.row(lane, self.grid.cells());
            for (sum, whole) in sum.iter_mut().zip(whole) {
                *sum += size * whole;
            }
        }
    }

    /// Adds what has passed a gate after `y` tube volumes of throughput (m³ · composition).
    pub fn add_passed(&self, gate: usize, y: f64, sum: &mut [f64]) {
        // The square of less would be lost.
        if y <= 1e-150 {
            return;
        }
        let gate = &self.gates[gate];
        // How far the inlet is from the gate.
        let far_end = 1.0 - self.grid.edge(gate.edge);
        for (lane, share) in self.shares.iter().enumerate() {
            let (a, b) = self.bands[lane];
            let scale = self.volume * share / (b - a);
            // Streamlines that have sent past it all that lay before it: θ below y over that length.
            let done = (y / far_end).clamp(a, b);
            let all = scale * 0.5 * (done * done - a * a);
            let whole = self.integral.row(lane, self.grid.cells());
            let behind = self.integral.row(lane, gate.edge);
            for ((sum, whole), behind) in sum.iter_mut().zip(whole).zip(behind) {
                *sum += all * (whole - behind);
            }
            if done < b {
                let (far, near) = (y / b, y / done);
                self.add_moment_from(gate, lane, far, scale * y * y, sum);
                self.add_moment_from(gate, lane, near.min(far_end), -scale * y * y, sum);
            }
        }
    }

    /// Adds what all lanes, moved on by `y` tube volumes, still hold between two positions from the outlet
    /// (m³ · composition).
    pub fn add_still_held(&self, y: f64, between: (f64, f64), sum: &mut [f64]) {
        let mut moved = vec![0.0; sum.len()];
        for (lane, share) in self.shares.iter().enumerate() {
            let (a, b) = self.bands[lane];
            moved.fill(0.0);
            self.add_moved(lane, y, between, &mut moved);
            for (sum, moved) in sum.iter_mut().zip(&moved) {
                *sum += self.volume * share / (b - a) * moved;
            }
        }
    }

    /// Adds what one lane, moved on by `y` tube volumes, still holds between positions z.0 and z.1
    /// from the outlet, over V f/(θb − θa): ∫ θ [P(z.1 + y/θ) − P(z.0 + y/θ)] dθ.
    fn add_moved(&self, lane: usize, y: f64, z: (f64, f64), sum: &mut [f64]) {
        // The slowest streamline has sent on all that it held from there on.
        if y > 0.0 && y / (1.0 - z.0) >= self.bands[lane].1 {
            return;
        }
        self.add_shifted(lane, y, z.1, 1.0, sum);
        self.add_shifted(lane, y, z.0, -1.0, sum);
    }

    /// Adds weight · ∫ θ P(min(1, z + y/θ)) dθ over the lane.
    fn add_shifted(&self, lane: usize, y: f64, z: f64, weight: f64, sum: &mut [f64]) {
        let (a, b) = self.bands[lane];
        let area = 0.5 * (b * b - a * a);
        if y <= 0.0 {
            let cell = self.grid.cell(z);
            let into = z - self.grid.edge(cell);
            let rows = self.integral.row(lane, cell).iter().zip(self.cells.row(lane, cell));
            for (sum, (integral, p)) in sum.iter_mut().zip(rows) {
                *sum += weight * area * (integral + p * into);
            }
            return;
        }
        let cells = self.grid.cells();
        // Streamlines whose shift reaches past the inlet hold nothing older than z = 1.
        let full = if z >= 1.0 { b } else { (y / (1.0 - z)).clamp(a, b) };
        let gone = weight * 0.5 * (full * full - a * a);
        for (sum, whole) in sum.iter_mut().zip(self.integral.row(lane, cells)) {
            *sum += gone * whole;
        }
        // The rest: θ from b down to `full`; the shift y/θ grows meanwhile, cell by cell.
        let mut theta = b;
        for cell in self.grid.cell(z + y / theta)..cells {
            if theta <= full {
                break;
            }
            let (start, upper) = (self.grid.edge(cell), self.grid.edge(cell + 1));
            let next = if cell + 1 == cells {
                full
            } else if upper > z {
                (y / (upper - z)).clamp(full, theta)
            } else {
                theta
            };
            // P = P_c + p (z + y/θ − z_c): ∫θ P dθ = (P_c + p (z − z_c)) θ²/2 + p y θ.
            let (into, squares, moved) = (z - start, theta * theta - next * next, theta - next);
            let rows = self.integral.row(lane, cell).iter().zip(self.cells.row(lane, cell));
            for (sum, (integral, p)) in sum.iter_mut().zip(rows) {
                let c = integral + p * into;
                *sum += weight * (0.5 * c * squares + p * y * moved);
            }
            theta = next;
        }
    }
}

/// Writes what entered and lies between the inlet and each edge of the grid, from the inlet on, in a lane with these
/// shortest and longest delays, over f/(b − a) per unit composition (a history that follows a snapshot has an empty
/// filling, so nothing counts twice): ∫ [H(v) − H(v − Vθx)] dθ for an edge at x.
fn entered_before_edges(
    volume: f64,
    history: &History,
    (a, b): (f64, f64),
    grid: &Grid,
    at_edge: &mut [f64],
) {
    let v = history.end();
    at_edge.fill(0.0);
    // Further from the inlet lies what entered earlier, so the knots are met backwards.
    let mut knots = [history.knots() - 1; 2];
    for (e, row) in at_edge.chunks_mut(history.species()).enumerate().skip(1) {
        let x = grid.from_inlet(e);
        for (r, h) in row.iter_mut().zip(history.entered()) {
            *r += (b - a) * h;
        }
        // ∫ H(v − Vθx) dθ = [G(v − Vax) − G(v − Vbx)]/(Vx)
        for ((edge, sign), knot) in [(a, -1.0), (b, 1.0)].into_iter().zip(&mut knots) {
            let at = v - volume * edge * x;
            *knot = history.knot_before(at, *knot);
            history.add_second_integral_from(*knot, at, sign / (volume * x), row);
        }
    }
}
