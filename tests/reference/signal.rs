//! Concentrations as piecewise-linear functions of the drained volume.

/// The points at which an advance of `end_ml` is sampled: every `step_ml`, and the end itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Distance of the points, mL.
    pub step_ml: f64,
    /// Length of the advance, mL; the last cell may be shorter than the others.
    pub end_ml: f64,
}

impl Grid {
    /// Cells of the grid (at least one; a last cell thinner than a millionth of a step is merged
    /// into the one before it).
    pub fn cells(&self) -> usize {
        ((self.end_ml / self.step_ml - 1e-6).ceil() as usize).max(1)
    }

    /// Number of cells that are exactly one step long.
    pub fn full_cells(&self) -> usize {
        let cells = self.cells();
        let last = self.end_ml - (cells - 1) as f64 * self.step_ml;
        if (last - self.step_ml).abs() < 1e-9 * self.step_ml { cells } else { cells - 1 }
    }

    /// Volume at point `k` (0 ..= cells), mL.
    pub fn at(&self, k: usize) -> f64 {
        if k >= self.cells() { self.end_ml } else { k as f64 * self.step_ml }
    }
}

/// Composition over an advance: `species` values at each point of a grid, linear in between.
#[derive(Debug, Clone, PartialEq)]
pub struct Signal {
    /// Where it is sampled.
    pub grid: Grid,
    /// Number of species.
    pub species: usize,
    values: Vec<f64>,
}

impl Signal {
    /// A signal from what `at` says of volume (mL) at point `k`; `at` fills one composition.
    pub fn from_fn(grid: Grid, species: usize, mut at: impl FnMut(usize, f64, &mut [f64])) -> Self {
        let points = grid.cells() + 1;
        let mut values = vec![0.0; points * species];
        for (k, node) in values.chunks_mut(species).enumerate() {
            at(k, grid.at(k), node);
        }
        Self { grid, species, values }
    }

    /// The same composition throughout.
    pub fn constant(grid: Grid, composition: &[f64]) -> Self {
        Self::from_fn(grid, composition.len(), |_, _, node| {
            node.copy_from_slice(composition);
        })
    }

    /// Composition at point `k`.
    pub fn node(&self, k: usize) -> &[f64] {
        &self.values[k * self.species..(k + 1) * self.species]
    }

    /// One species at all points.
    pub fn column(&self, species: usize) -> Vec<f64> {
        self.values.iter().copied().skip(species).step_by(self.species).collect()
    }

    /// Composition at the end.
    pub fn last(&self) -> &[f64] {
        self.node(self.grid.cells())
    }

    /// One species at `volume_ml`, held constant beyond the ends.
    pub fn value(&self, species: usize, volume_ml: f64) -> f64 {
        let cells = self.grid.cells();
        let k = ((volume_ml / self.grid.step_ml).max(0.0) as usize).min(cells - 1);
        let (from, to) = (self.grid.at(k), self.grid.at(k + 1));
        let share = ((volume_ml - from) / (to - from)).clamp(0.0, 1.0);
        self.node(k)[species] * (1.0 - share) + self.node(k + 1)[species] * share
    }

    /// Volume of each species that passed, mL (exact for the piecewise-linear function).
    pub fn integral(&self) -> Vec<f64> {
        let mut sum = vec![0.0; self.species];
        for k in 0..self.grid.cells() {
            let width = self.grid.at(k + 1) - self.grid.at(k);
            for (s, total) in sum.iter_mut().enumerate() {
                *total += 0.5 * width * (self.node(k)[s] + self.node(k + 1)[s]);
            }
        }
        sum
    }

    /// The same where only a share of the volume comes by.
    pub fn stretched(&self, share: f64) -> Self {
        let Grid { step_ml, end_ml } = self.grid;
        let grid = Grid { step_ml: share * step_ml, end_ml: share * end_ml };
        Self { grid, ..self.clone() }
    }

    /// A piece of it, from one volume to another, on a grid of the same step of its own.
    pub fn piece(&self, from_ml: f64, to_ml: f64) -> Self {
        let grid = Grid { step_ml: self.grid.step_ml, end_ml: to_ml - from_ml };
        Self::from_fn(grid, self.species, |_, ml, node| {
            for (s, c) in node.iter_mut().enumerate() {
                *c = self.value(s, from_ml + ml);
            }
        })
    }

    /// The same, the last first.
    pub fn turned(&self) -> Self {
        Self::from_fn(self.grid, self.species, |_, ml, node| {
            for (s, c) in node.iter_mut().enumerate() {
                *c = self.value(s, self.grid.end_ml - ml);
            }
        })
    }

    /// `a` times this plus `b` times the other, point by point.
    pub fn blend(&self, a: f64, other: &Self, b: f64) -> Self {
        let mut sum = self.clone();
        for (x, y) in sum.values.iter_mut().zip(&other.values) {
            *x = a * *x + b * y;
        }
        sum
    }
}
