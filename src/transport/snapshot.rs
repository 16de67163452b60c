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

/// Cells along each lane.
const CELLS: usize = 96;

/// The contents of all lanes at one moment.
#[derive(Debug, Clone)]
pub struct Snapshot {
    species: usize,
    volume: f64,
    bands: Vec<(f64, f64)>,
    shares: Vec<f64>,
    /// Mean composition of [lane][cell][species], cells from the outlet on.
    cells: Vec<f64>,
    /// P at the cell edges, [lane][CELLS + 1][species].
    integral: Vec<f64>,
    /// ∫ P z⁻³ dz from this cell edge to 1, [lane][CELLS + 1][species] (not used at edge 0).
    moment: Vec<f64>,
}

impl Snapshot {
    /// Reads out what the lanes hold, from the history since throughput 0 and, if there is one,
    /// the snapshot then. What each lane holds is kept exactly.
    pub fn take(volume: f64, lanes: &Lanes, history: &History, before: Option<&Snapshot>) -> Self {
        let species = history.filling().len();
        let n = lanes.len();
        let mut s = Self {
            species,
            volume,
            bands: lanes.bands.clone(),
            shares: lanes.shares.clone(),
            cells: vec![0.0; n * CELLS * species],
            integral: Vec::new(),
            moment: Vec::new(),
        };
        let v = history.throughput();
        let mut at_edge = vec![0.0; (CELLS + 1) * species];
        for lane in 0..n {
            let (a, b) = lanes.bands[lane];
            // Amount between the inlet and position x, over V f/(b − a) per unit composition.
            for e in 0..=CELLS {
                let row = &mut at_edge[e * species..(e + 1) * species];
                row.fill(0.0);
                let x = e as f64 / CELLS as f64;
                entered_before(volume, history, v, (a, b), x, row);
            }
            for cell in 0..CELLS {
                // Cells are kept from the outlet on: position x from CELLS − 1 − cell.
                let x = CELLS - 1 - cell;
                let z = (cell as f64 / CELLS as f64, (cell + 1) as f64 / CELLS as f64);
                let size = 0.5 * (b * b - a * a) / CELLS as f64 * volume;
                let start = (lane * CELLS + cell) * species;
                for k in 0..species {
                    let amount = at_edge[(x + 1) * species + k] - at_edge[x * species + k];
                    s.cells[start + k] = amount / size;
                }
                if let Some(before) = before {
                    let mut remaining = vec![0.0; species];
                    before.add_moved(lane, v / volume, z, &mut remaining);
                    for (k, r) in remaining.iter().enumerate() {
                        s.cells[start + k] += r * volume / size;
                    }
                }
            }
        }
        s
    }

    /// Mixes the lanes at each cross-section to the given degree, by volume.
    pub fn remix(&mut self, degree: f64) {
        if degree <= 0.0 {
            return;
        }
        let n = self.shares.len();
        let weights: Vec<f64> =
            (0..n).map(|i| 0.5 * self.shares[i] * (self.bands[i].0 + self.bands[i].1)).collect();
        for cell in 0..CELLS {
            for k in 0..self.species {
                let at = |lane: usize| (lane * CELLS + cell) * self.species + k;
                let mean: f64 = (0..n).map(|i| weights[i] * self.cells[at(i)]).sum();
                for lane in 0..n {
                    let c = &mut self.cells[at(lane)];
                    *c += degree * (mean - *c);
                }
            }
        }
    }

    /// Lets the flow come from the other end.
    pub fn reverse(&mut self) {
        let s = self.species;
        for lane in self.cells.chunks_mut(CELLS * s) {
            for cell in 0..CELLS / 2 {
                for k in 0..s {
                    lane.swap(cell * s + k, (CELLS - 1 - cell) * s + k);
                }
            }
        }
    }

    /// Makes the integrals that reading out needs; call once the cells are as they shall be.
    pub fn finish(&mut self) {
        let (s, n) = (self.species, self.shares.len());
        let dz = 1.0 / CELLS as f64;
        self.integral = vec![0.0; n * (CELLS + 1) * s];
        self.moment = vec![0.0; n * (CELLS + 1) * s];
        for lane in 0..n {
            let base = lane * (CELLS + 1) * s;
            for cell in 0..CELLS {
                for k in 0..s {
                    self.integral[base + (cell + 1) * s + k] = self.integral[base + cell * s + k]
                        + self.cells[(lane * CELLS + cell) * s + k] * dz;
                }
            }
            for cell in (1..CELLS).rev() {
                let (z0, z1) = (cell as f64 * dz, (cell + 1) as f64 * dz);
                for k in 0..s {
                    self.moment[base + cell * s + k] =
                        self.moment[base + (cell + 1) * s + k] + self.piece(lane, cell, k, z0, z1);
                }
            }
        }
    }

    /// ∫ P z⁻³ dz between two positions within one cell.
    fn piece(&self, lane: usize, cell: usize, k: usize, z0: f64, z1: f64) -> f64 {
        let s = self.species;
        let p = self.cells[(lane * CELLS + cell) * s + k];
        let start = cell as f64 / CELLS as f64;
        let a = self.integral[lane * (CELLS + 1) * s + cell * s + k] - p * start;
        0.5 * a * (z0.powi(-2) - z1.powi(-2)) + p * (z0.recip() - z1.recip())
    }

    /// ∫ P z⁻³ dz from z to 1.
    fn moment_from(&self, lane: usize, k: usize, z: f64) -> f64 {
        let cell = ((z * CELLS as f64) as usize).min(CELLS - 1);
        let next = (cell + 1) as f64 / CELLS as f64;
        self.moment[(lane * (CELLS + 1) + cell + 1) * self.species + k]
            + self.piece(lane, cell, k, z, next)
    }

    /// All it holds (m³ · composition).
    pub fn total(&self, sum: &mut [f64]) {
        let s = self.species;
        for (lane, &share) in self.shares.iter().enumerate() {
            let size = self.volume * 0.5 * share * (self.bands[lane].0 + self.bands[lane].1);
            let end = (lane * (CELLS + 1) + CELLS) * s;
            for (k, sum) in sum.iter_mut().enumerate() {
                *sum += size * self.integral[end + k];
            }
        }
    }

    /// Adds what has left after `y` tube volumes of throughput (m³ · composition).
    pub fn add_left(&self, y: f64, sum: &mut [f64]) {
        if y <= 0.0 {
            return;
        }
        let s = self.species;
        for (lane, share) in self.shares.iter().enumerate() {
            let (a, b) = self.bands[lane];
            let scale = self.volume * share / (b - a);
            // Streamlines that have sent out all they held: θ below y.
            let done = y.clamp(a, b);
            let end = (lane * (CELLS + 1) + CELLS) * s;
            for (k, sum) in sum.iter_mut().enumerate() {
                let mut part = 0.5 * (done * done - a * a) * self.integral[end + k];
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

    /// Adds what one lane, moved on by `y` tube volumes, still holds between positions z.0 and z.1
    /// from the outlet, over V f/(θb − θa): ∫ θ [P(z.1 + y/θ) − P(z.0 + y/θ)] dθ.
    fn add_moved(&self, lane: usize, y: f64, z: (f64, f64), sum: &mut [f64]) {
        self.add_shifted(lane, y, z.1, 1.0, sum);
        self.add_shifted(lane, y, z.0, -1.0, sum);
    }

    /// Adds weight · ∫ θ P(min(1, z + y/θ)) dθ over the lane.
    fn add_shifted(&self, lane: usize, y: f64, z: f64, weight: f64, sum: &mut [f64]) {
        let (a, b) = self.bands[lane];
        let s = self.species;
        let base = lane * (CELLS + 1) * s;
        let area = 0.5 * (b * b - a * a);
        if y <= 0.0 {
            let at = z * CELLS as f64;
            let cell = (at as usize).min(CELLS - 1);
            for (k, sum) in sum.iter_mut().enumerate() {
                let p = self.cells[(lane * CELLS + cell) * s + k];
                let value =
                    self.integral[base + cell * s + k] + p * (z - cell as f64 / CELLS as f64);
                *sum += weight * area * value;
            }
            return;
        }
        // Streamlines whose shift reaches past the inlet hold nothing older than z = 1.
        let full = if z >= 1.0 { b } else { (y / (1.0 - z)).clamp(a, b) };
        for (k, sum) in sum.iter_mut().enumerate() {
            *sum += weight * 0.5 * (full * full - a * a) * self.integral[base + CELLS * s + k];
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
                let p = self.cells[(lane * CELLS + cell) * s + k];
                let c = self.integral[base + cell * s + k] + p * (z - start);
                *sum +=
                    weight * (0.5 * c * (theta * theta - next * next) + p * y * (theta - next));
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
