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
use crate::portable;
use ndarray::{Array3, Axis};

/// The contents of all lanes at one moment.
#[derive(Debug, Clone)]
pub struct Snapshot {
    volume: f64,
    bands: Vec<(f64, f64)>,
    shares: Vec<f64>,
    grid: Grid,
    /// Mean composition by lane, cell (from the outlet on) and species.
    cells: Array3<f64>,
    /// ∫ p dz from the outlet to the cell edges, by lane, edge and species.
    integral: Array3<f64>,
    /// Where what passes is read, in the order in which fluid gets there: the outlet last.
    gates: Vec<Gate>,
}

/// A place at which it is read what passes.
#[derive(Debug, Clone)]
struct Gate {
    /// Edge of a cell at which it lies.
    edge: usize,
    /// ∫ P u⁻³ du from this cell edge to the inlet, by lane, edge and species (used beyond `edge` only).
    moment: Array3<f64>,
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
        let mut cells = Array3::zeros((lanes.len(), grid.cells(), species));
        let y = history.throughput() / volume;
        // Of what was there before, what lies between the outlet and each cell edge.
        let mut shifted = vec![0.0; (grid.cells() + 1) * species];
        // Of what entered, at each cell edge from the inlet on: what the first end of the lane's band reads, and the
        // other, which is the first of the next lane's.
        let (mut read, mut next) = (shifted.clone(), shifted.clone());
        if let Some((first, _)) = lanes.bands.first() {
            read_at_edges(volume, history, *first, &grid, &mut read);
        }
        for (lane, &(a, b)) in lanes.bands.iter().enumerate() {
            read_at_edges(volume, history, b, &grid, &mut next);
            if let Some(before) = before {
                shifted.fill(0.0);
                for (edge, row) in shifted.chunks_mut(species).enumerate() {
                    before.add_shifted(lane, y, grid.edge(edge), 1.0, row);
                }
            }
            for cell in 0..grid.cells() {
                let size = 0.5 * (b * b - a * a) / grid.fineness(cell);
                // Cells are kept from the outlet on, edges were read from the inlet on.
                let from_inlet = grid.cells() - 1 - cell;
                let ends = between(&next, from_inlet, species);
                let entered = ends.zip(between(&read, from_inlet, species));
                let moved = between(&shifted, cell, species);
                let row = row_mut(&mut cells, lane, cell).iter_mut();
                for ((c, (next, read)), moved) in row.zip(entered).zip(moved) {
                    *c = (next - read) / (size * volume) + moved / size;
                }
            }
            std::mem::swap(&mut read, &mut next);
        }
        Self::of(volume, lanes, grid, cells)
    }

    /// What every lane holds alike: between two gates (before the first, between it and the next, … the outlet
    /// last) the composition of that row of `fillings`.
    pub fn filled(volume: f64, lanes: &Lanes, grid: Grid, fillings: &[&[f64]]) -> Self {
        let species = fillings.first().map_or(0, |row| row.len());
        let mut cells = Array3::zeros((lanes.len(), grid.cells(), species));
        for (cell, mut across) in cells.axis_iter_mut(Axis(1)).enumerate() {
            // Gates are met from the inlet on, cells are kept from the outlet on.
            let passed = grid.gates().iter().filter(|edge| **edge > cell).count();
            across.assign(&ndarray::aview1(fillings[passed]));
        }
        Self::of(volume, lanes, grid, cells)
    }

    fn of(volume: f64, lanes: &Lanes, grid: Grid, cells: Array3<f64>) -> Self {
        let (n, count, species) = cells.dim();
        Self {
            volume,
            bands: lanes.bands.clone(),
            shares: lanes.shares.clone(),
            grid,
            cells,
            integral: Array3::zeros((n, count + 1, species)),
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
        for (cell, mut across) in self.cells.axis_iter_mut(Axis(1)).enumerate() {
            let degree = degree_at(0.5 * (self.grid.edge(cell) + self.grid.edge(cell + 1)));
            if degree <= 0.0 {
                continue;
            }
            // A lane a row, a species a column.
            let mean = ndarray::aview1(&volumes).dot(&across);
            for mut lane in across.outer_iter_mut() {
                lane.zip_mut_with(&mean, |c, mean| *c += degree * (mean - *c));
            }
        }
    }

    /// Whether mixing the lanes would change nothing but the rounding of a mean.
    pub fn is_mixed(&self) -> bool {
        let volumes = self.lane_volumes();
        let rounding = f64::EPSILON * self.shares.len() as f64;
        self.cells.axis_iter(Axis(1)).all(|across| {
            let mean = ndarray::aview1(&volumes).dot(&across);
            let alike = |(c, mean): (&f64, &f64)| (c - mean).abs() <= rounding * mean.abs();
            across.outer_iter().all(|lane| lane.iter().zip(&mean).all(alike))
        })
    }

    /// Volume of each lane as a share of the tube's.
    fn lane_volumes(&self) -> Vec<f64> {
        self.shares.iter().zip(&self.bands).map(|(f, b)| 0.5 * f * (b.0 + b.1)).collect()
    }

    /// Lets the flow come from the other end.
    pub fn reverse(&mut self) {
        self.cells.invert_axis(Axis(1));
        self.cells = self.cells.as_standard_layout().into_owned();
        self.grid.reverse();
    }

    /// Makes the integrals that reading out needs; call once the cells are as they shall be.
    pub fn finish(&mut self) {
        let (n, cells, species) = self.cells.dim();
        for lane in 0..n {
            let mut sum = vec![0.0; species];
            for cell in 0..cells {
                let dz = 1.0 / self.grid.fineness(cell);
                for (sum, c) in sum.iter_mut().zip(row(&self.cells, lane, cell)) {
                    *sum += c * dz;
                }
                row_mut(&mut self.integral, lane, cell + 1).copy_from_slice(&sum);
            }
        }
        self.gates = self.grid.gates().iter().map(|&edge| self.gate(edge)).collect();
    }

    fn gate(&self, edge: usize) -> Gate {
        let (n, cells, species) = self.cells.dim();
        let mut moment = Array3::zeros((n, cells + 1, species));
        let at = self.grid.edge(edge);
        let factors = |cell: usize| {
            let (u0, u1) = (self.grid.edge(cell) - at, self.grid.edge(cell + 1) - at);
            let of_integral = 0.5 * (portable::powi(u0, -2) - portable::powi(u1, -2));
            [of_integral, u0.recip() - u1.recip() - u0 * of_integral]
        };
        let factors: Vec<[f64; 2]> = (edge + 1..cells).map(factors).collect();
        for lane in 0..n {
            let behind = row(&self.integral, lane, edge);
            let mut sum = vec![0.0; species];
            for (cell, [of_integral, of_cell]) in (edge + 1..cells).zip(&factors).rev() {
                let integrals = row(&self.integral, lane, cell).iter().zip(behind);
                let parts = integrals.zip(row(&self.cells, lane, cell));
                for (sum, ((integral, behind), p)) in sum.iter_mut().zip(parts) {
                    *sum += of_integral * (integral - behind) + of_cell * p;
                }
                row_mut(&mut moment, lane, cell).copy_from_slice(&sum);
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
        let moments = row(&gate.moment, lane, cell + 1);
        let integrals = row(&self.integral, lane, cell);
        let cells = row(&self.cells, lane, cell);
        for (((sum, moment), integral), c) in sum.iter_mut().zip(moments).zip(integrals).zip(cells)
        {
            *sum += weight * (moment + of_integral * integral + of_cell * c);
        }
        if gate.edge > 0 {
            // What lies behind the gate has no part in it; behind the outlet there is nothing.
            let behind = row(&self.integral, lane, gate.edge);
            for (sum, behind) in sum.iter_mut().zip(behind) {
                *sum -= weight * of_integral * behind;
            }
        }
    }

    /// All it holds (m³ · composition).
    pub fn total(&self, sum: &mut [f64]) {
        for (lane, &share) in self.shares.iter().enumerate() {
            let size = self.volume * 0.5 * share * (self.bands[lane].0 + self.bands[lane].1);
            for (k, sum) in sum.iter_mut().enumerate() {
                *sum += size * self.integral[[lane, self.grid.cells(), k]];
            }
        }
    }

    /// Adds what has passed a gate after `y` tube volumes of throughput (m³ · composition) and, if asked for, what
    /// passes it then (composition).
    ///
    /// Of I = ∫ θ P(y/θ) dθ, which is y² ∫ P u⁻³ du, the derivative by y is [2 I + θa² P(y/θa) − θb² P(y/θb)]/y.
    pub fn add_passed(&self, gate: usize, y: f64, sum: &mut [f64], now: &mut [f64]) {
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
            let whole = row(&self.integral, lane, self.grid.cells());
            let behind = row(&self.integral, lane, gate.edge);
            for ((sum, whole), behind) in sum.iter_mut().zip(whole).zip(behind) {
                *sum += all * (whole - behind);
            }
            if done < b {
                let (far, near) = (y / b, (y / done).min(far_end));
                self.add_moment_from(gate, lane, far, scale * y * y, sum);
                self.add_moment_from(gate, lane, near, -scale * y * y, sum);
                if !now.is_empty() {
                    let per_y = share / (b - a) / y;
                    self.add_moment_from(gate, lane, far, 2.0 * per_y * y * y, now);
                    self.add_moment_from(gate, lane, near, -2.0 * per_y * y * y, now);
                    self.add_up_to(gate, lane, near, per_y * done * done, now);
                    self.add_up_to(gate, lane, far, -per_y * b * b, now);
                }
            }
        }
    }

    /// Adds weight · P(u) of one lane, by species.
    fn add_up_to(&self, gate: &Gate, lane: usize, u: f64, weight: f64, sum: &mut [f64]) {
        let z = self.grid.edge(gate.edge) + u;
        let cell = self.grid.cell(z).max(gate.edge);
        let into = z - self.grid.edge(cell);
        let upto = row(&self.integral, lane, cell).iter().zip(row(&self.cells, lane, cell));
        for ((sum, (upto, p)), behind) in
            sum.iter_mut().zip(upto).zip(row(&self.integral, lane, gate.edge))
        {
            *sum += weight * (upto + p * into - behind);
        }
    }

    /// Adds what all lanes, moved on by `y` tube volumes, still hold between two positions from the outlet
    /// (m³ · composition).
    pub fn add_still_held(&self, y: f64, between: (f64, f64), sum: &mut [f64]) {
        let mut moved = vec![0.0; sum.len()];
        for (lane, share) in self.shares.iter().enumerate() {
            let (a, b) = self.bands[lane];
            moved.fill(0.0);
            self.add_shifted(lane, y, between.1, 1.0, &mut moved);
            self.add_shifted(lane, y, between.0, -1.0, &mut moved);
            for (sum, moved) in sum.iter_mut().zip(&moved) {
                *sum += self.volume * share / (b - a) * moved;
            }
        }
    }

    /// Adds weight · ∫ θ P(min(1, z + y/θ)) dθ over the lane: times V f/(θb − θa), what it still holds between the
    /// outlet and z once it has moved on by `y` tube volumes, and what has left.
    fn add_shifted(&self, lane: usize, y: f64, z: f64, weight: f64, sum: &mut [f64]) {
        let (a, b) = self.bands[lane];
        let area = 0.5 * (b * b - a * a);
        if y <= 0.0 {
            let cell = self.grid.cell(z);
            let into = z - self.grid.edge(cell);
            let parts = row(&self.integral, lane, cell).iter().zip(row(&self.cells, lane, cell));
            for (sum, (integral, p)) in sum.iter_mut().zip(parts) {
                *sum += weight * area * (integral + p * into);
            }
            return;
        }
        let cells = self.grid.cells();
        // Streamlines whose shift reaches past the inlet hold nothing older than z = 1.
        let full = if z >= 1.0 { b } else { (y / (1.0 - z)).clamp(a, b) };
        if full > a {
            let area = weight * 0.5 * (full * full - a * a);
            for (sum, whole) in sum.iter_mut().zip(row(&self.integral, lane, cells)) {
                *sum += area * whole;
            }
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
            let of_integral = weight * 0.5 * (theta * theta - next * next);
            let of_cell = of_integral * (z - start) + weight * y * (theta - next);
            let parts = row(&self.integral, lane, cell).iter().zip(row(&self.cells, lane, cell));
            for (sum, (integral, p)) in sum.iter_mut().zip(parts) {
                *sum += of_integral * integral + of_cell * p;
            }
            theta = next;
        }
    }
}

/// All species of one lane at one cell or edge.
fn row(of: &Array3<f64>, lane: usize, at: usize) -> &[f64] {
    let (_, rows, species) = of.dim();
    let start = (lane * rows + at) * species;
    &of.as_slice().expect("kept in standard layout")[start..start + species]
}

fn row_mut(of: &mut Array3<f64>, lane: usize, at: usize) -> &mut [f64] {
    let (_, rows, species) = of.dim();
    let start = (lane * rows + at) * species;
    &mut of.as_slice_mut().expect("kept in standard layout")[start..start + species]
}

/// By how much more one edge has in its row than the edge before, by species.
fn between(rows: &[f64], edge: usize, species: usize) -> impl Iterator<Item = f64> {
    let (near, far) = rows[edge * species..(edge + 2) * species].split_at(species);
    far.iter().zip(near).map(|(far, near)| far - near)
}

/// What entered and lies between the inlet and position x of a lane, over f/(θb − θa) per unit composition, is
/// ∫ [H(v) − H(v − Vθx)] dθ from θa to θb (a history that follows a snapshot has an empty filling, so nothing counts
/// twice). Writes what one end θ of a band has a part in that, θ H(v) + G(v − Vθx)/(Vx), a row for each cell edge from
/// the inlet on, where it is 0.
fn read_at_edges(volume: f64, history: &History, theta: f64, grid: &Grid, rows: &mut [f64]) {
    let species = history.species();
    // Further from the inlet lies what entered earlier, so the knots are met backwards.
    let mut knot = history.last_knot();
    for (edge, row) in rows.chunks_mut(species).enumerate() {
        row.fill(0.0);
        let x = grid.from_inlet(edge);
        if x > 0.0 {
            let at = history.end() - volume * theta * x;
            knot = history.knot_before(at, knot);
            history.add_second_integral_from(knot, at, 1.0 / (volume * x), row);
            for (r, h) in row.iter_mut().zip(history.entered()) {
                *r += theta * h;
            }
        }
    }
}
