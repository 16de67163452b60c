//! Rows of figures, a figure a species, of every lane: the same number of rows for each.

/// Lane by lane, in each row by row.
#[derive(Debug, Clone)]
pub(super) struct Rows {
    of_lane: usize,
    species: usize,
    figures: Vec<f64>,
}

impl Rows {
    /// All zero.
    pub(super) fn zeros(lanes: usize, of_lane: usize, species: usize) -> Self {
        Self { of_lane, species, figures: vec![0.0; lanes * of_lane * species] }
    }

    /// Lanes, rows of each, species.
    pub(super) fn dim(&self) -> (usize, usize, usize) {
        let lane = self.of_lane * self.species;
        (self.figures.len() / lane.max(1), self.of_lane, self.species)
    }

    /// The rows of a lane, one behind the other.
    #[inline]
    pub(super) fn lane(&self, lane: usize) -> &[f64] {
        let size = self.of_lane * self.species;
        &self.figures[lane * size..(lane + 1) * size]
    }

    /// The same, to be written.
    #[inline]
    pub(super) fn lane_mut(&mut self, lane: usize) -> &mut [f64] {
        let size = self.of_lane * self.species;
        &mut self.figures[lane * size..(lane + 1) * size]
    }

    /// A row of a lane.
    #[inline]
    pub(super) fn row(&self, lane: usize, at: usize) -> &[f64] {
        let first = (lane * self.of_lane + at) * self.species;
        &self.figures[first..first + self.species]
    }

    /// The same, to be written.
    #[inline]
    pub(super) fn row_mut(&mut self, lane: usize, at: usize) -> &mut [f64] {
        let first = (lane * self.of_lane + at) * self.species;
        &mut self.figures[first..first + self.species]
    }

    /// Lets the last row of each lane be its first.
    pub(super) fn reverse(&mut self) {
        let (lanes, rows, s) = self.dim();
        for lane in 0..lanes {
            let (front, back) = self.lane_mut(lane).split_at_mut(rows / 2 * s);
            for (a, b) in front.chunks_mut(s).zip(back.rchunks_mut(s)) {
                a.swap_with_slice(b);
            }
        }
    }
}
