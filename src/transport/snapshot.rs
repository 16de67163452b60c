//! What every lane of a tube holds at one moment, cell by cell, and how it leaves afterwards.
//!
//! Taken when a wait remixes the cross-section or the flow turns round. Position z runs from the
//! outlet (0) to the inlet (1). A streamline with delay θ has sent out what lay between z = 0 and
//! z = y/θ after y tube volumes of throughput. With P(z) = ∫₀ᶻ p dz the lane with flow share f and
//! delays spread evenly over θa…θb has then sent out
//!
//! f V/(θb − θa) ∫ θ P(min(1, y/θ)) dθ,
//!
//! which for a piecewise constant p has a closed form (substitute z = y/θ: y² ∫ P z⁻³ dz).

use super::history::History;
use super::lanes::Lanes;
use crate::portable;
use ndarray::{Array2, Array3, Axis};

/// Cells along each lane.
const CELLS: usize = 96;

/// The contents of all lanes at one moment.
#[derive(Debug, Clone)]
pub struct Snapshot {
    volume: f64,
    bands: Vec<(f64, f64)>,
    shares: Vec<f64>,
    /// Mean composition by lane, cell (from the outlet on) and species.
    cells: Array3<f64>,
    /// P at the cell edges, by lane, edge and species.
    integral: Array3<f64>,
    /// ∫ P z⁻³ dz from this cell edge to 1, by lane, edge and species (not used at edge 0).
    moment: Array3<f64>,
}

impl Snapshot {
    /// Reads out what the lanes hold, from the history since throughput 0 and, if there is one,
    /// the snapshot then. What each lane holds is kept exactly.
    pub fn take(volume: f64, lanes: &Lanes, history: &History, before: Option<&Snapshot>) -> Self {
        let species = history.species();
        let n = lanes.len();
        let mut cells = Array3::zeros((n, CELLS, species));
        let (v, y) = (history.end(), history.throughput() / volume);
        for lane in 0..n {
            let (a, b) = lanes.bands[lane];
            // Amount between the inlet and each cell edge, over f/(b − a) per unit composition.
            let mut at_edge = Array2::zeros((CELLS + 1, species));
            for (e, mut row) in at_edge.outer_iter_mut().enumerate() {
                let x = e as f64 / CELLS as f64;
                let mut sum = vec![0.0; species];
                entered_before(volume, history, v, (a, b), x, &mut sum);
                row.assign(&ndarray::aview1(&sum));
            }
            let size = 0.5 * (b * b - a * a) / CELLS as f64 * volume;
            let mut in_lane = cells.index_axis_mut(Axis(0), lane);
            for (cell, mut row) in in_lane.outer_iter_mut().enumerate() {
                // Cells are kept from the outlet on, edges were read from the inlet on.
                let x = CELLS - 1 - cell;
                row.assign(&((&at_edge.row(x + 1) - &at_edge.row(x)) / size));
                if let Some(before) = before {
                    let z = (cell as f64 / CELLS as f64, (cell + 1) as f64 / CELLS as f64);
                    let mut moved = vec![0.0; species];
                    before.add_moved(lane, y, z, &mut moved);
                    row.scaled_add(volume / size, &ndarray::aview1(&moved));
                }
            }
        }
        let edges = Array3::zeros((n, CELLS + 1, species));
        Self {
            volume,
            bands: lanes.bands.clone(),
            shares: lanes.shares.clone(),
            cells,
            integral: edges.clone(),
            moment: edges,
        }
    }

    /// Numbers of a snapshot of so many species.
    pub fn numbers_of(lanes: &Lanes, species: usize) -> usize {
        lanes.len() * species * (CELLS + 2 * (CELLS + 1))
    }

    /// Numbers kept.
    pub fn numbers(&self) -> usize {
        self.cells.len() + self.integral.len() + self.moment.len()
    }

    /// Mixes the lanes at each cross-section to the given degree, by volume.
    pub fn remix(&mut self, degree: f64) {
        if degree <= 0.0 {
            return;
        }
        let volumes: Vec<f64> =
            self.shares.iter().zip(&self.bands).map(|(f, b)| 0.5 * f * (b.0 + b.1)).collect();
        for mut across in self.cells.axis_iter_mut(Axis(1)) {
            // A lane a row, a species a column.
            let mean = ndarray::aview1(&volumes).dot(&across);
            for mut lane in across.outer_iter_mut() {
                lane.zip_mut_with(&mean, |c, mean| *c += degree * (mean - *c));
            }
        }
    }

    /// Lets the flow come from the other end.
    pub fn reverse(&mut self) {
        self.cells.invert_axis(Axis(1));
    }

    /// Makes the integrals that reading out needs; call once the cells are as they shall be.
    pub fn finish(&mut self) {
        let (n, _, species) = self.cells.dim();
        let dz = 1.0 / CELLS as f64;
        for lane in 0..n {
            for k in 0..species {
                for cell in 0..CELLS {
                    self.integral[[lane, cell + 1, k]] =
                        self.integral[[lane, cell, k]] + self.cells[[lane, cell, k]] * dz;
                }
                for cell in (1..CELLS).rev() {
                    let (z0, z1) = (cell as f64 * dz, (cell + 1) as f64 * dz);
                    self.moment[[lane, cell, k]] =
                        self.moment[[lane, cell + 1, k]] + self.piece(lane, cell, k, z0, z1);
                }
            }
        }
    }

    /// ∫ P z⁻³ dz between two positions within one cell.
    fn piece(&self, lane: usize, cell: usize, k: usize, z0: f64, z1: f64) -> f64 {
        let p = self.cells[[lane, cell, k]];
        let start = cell as f64 / CELLS as f64;
        let a = self.integral[[lane, cell, k]] - p * start;
        0.5 * a * (portable::powi(z0, -2) - portable::powi(z1, -2)) + p * (z0.recip() - z1.recip())
    }

    /// ∫ P z⁻³ dz from z to 1.
    fn moment_from(&self, lane: usize, k: usize, z: f64) -> f64 {
        let cell = ((z * CELLS as f64) as usize).min(CELLS - 1);
        let next = (cell + 1) as f64 / CELLS as f64;
        self.moment[[lane, cell + 1, k]] + self.piece(lane, cell, k, z, next)
    }

    /// All it holds (m³ · composition).
    pub fn total(&self, sum: &mut [f64]) {
        for (lane, &share) in self.shares.iter().enumerate() {
            let size = self.volume * 0.5 * share * (self.bands[lane].0 + self.bands[lane].1);
            for (k, sum) in sum.iter_mut().enumerate() {
                *sum += size * self.integral[[lane, CELLS, k]];
            }
        }
    }

    /// Adds what has left after `y` tube volumes of throughput (m³ · composition).
    pub fn add_left(&self, y: f64, sum: &mut [f64]) {
        if y <= 0.0 {
            return;
        }
        for (lane, share) in self.shares.iter().enumerate() {
            let (a, b) = self.bands[lane];
            let scale = self.volume * share / (b - a);
            // Streamlines that have sent out all they held: θ below y.
            let done = y.clamp(a, b);
            for (k, sum) in sum.iter_mut().enumerate() {
                let mut part = 0.5 * (done * done - a * a) * self.integral[[lane, CELLS, k]];
                if done < b {
                    let (far, near) = (y / b, y / done);
                    part += y
                        * y
                        * (self.moment_from(lane, k, far)
                            - self.moment_from(lane, k, near.min(1.0)));
                }
                *sum += scale * part;
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
        self.add_shifted(lane, y, z.1, 1.0, sum);
        self.add_shifted(lane, y, z.0, -1.0, sum);
    }

    /// Adds weight · ∫ θ P(min(1, z + y/θ)) dθ over the lane.
    fn add_shifted(&self, lane: usize, y: f64, z: f64, weight: f64, sum: &mut [f64]) {
        let (a, b) = self.bands[lane];
        let area = 0.5 * (b * b - a * a);
        if y <= 0.0 {
            let at = z * CELLS as f64;
            let cell = (at as usize).min(CELLS - 1);
            for (k, sum) in sum.iter_mut().enumerate() {
                let p = self.cells[[lane, cell, k]];
                let value = self.integral[[lane, cell, k]] + p * (z - cell as f64 / CELLS as f64);
                *sum += weight * area * value;
            }
            return;
        }
        // Streamlines whose shift reaches past the inlet hold nothing older than z = 1.
        let full = if z >= 1.0 { b } else { (y / (1.0 - z)).clamp(a, b) };
        for (k, sum) in sum.iter_mut().enumerate() {
            *sum += weight * 0.5 * (full * full - a * a) * self.integral[[lane, CELLS, k]];
        }
        // The rest: θ from b down to `full`; the shift y/θ grows meanwhile, cell by cell.
        let mut theta = b;
        let first = (((z + y / theta) * CELLS as f64) as usize).min(CELLS - 1);
        for cell in first..CELLS {
            if theta <= full {
                break;
            }
            let start = cell as f64 / CELLS as f64;
            let upper = (cell + 1) as f64 / CELLS as f64;
            let next = if cell + 1 == CELLS {
                full
            } else if upper > z {
                (y / (upper - z)).clamp(full, theta)
            } else {
                theta
            };
            // P = P_c + p (z + y/θ − z_c): ∫θ P dθ = (P_c + p (z − z_c)) θ²/2 + p y θ.
            for (k, sum) in sum.iter_mut().enumerate() {
                let p = self.cells[[lane, cell, k]];
                let c = self.integral[[lane, cell, k]] + p * (z - start);
                *sum += weight * (0.5 * c * (theta * theta - next * next) + p * y * (theta - next));
            }
            theta = next;
        }
    }
}

/// Adds what entered and lies between the inlet and position x of a lane, over f/(b − a) per unit
/// composition (a history that follows a snapshot has an empty filling, so nothing counts twice):
/// ∫ [H(v) − H(v − Vθx)] dθ.
fn entered_before(
    volume: f64,
    history: &History,
    v: f64,
    (a, b): (f64, f64),
    x: f64,
    row: &mut [f64],
) {
    if x == 0.0 {
        return;
    }
    for (r, h) in row.iter_mut().zip(history.entered()) {
        *r += (b - a) * h;
    }
    // ∫ H(v − Vθx) dθ = [G(v − Vax) − G(v − Vbx)]/(Vx)
    for (edge, sign) in [(a, -1.0), (b, 1.0)] {
        history.add_second_integral_at(v - volume * edge * x, sign / (volume * x), row);
    }
}
