//! Which unknown matters, from as many jobs as were finished.

use super::{Direction, Matter, Outcome};
use crate::sorting;
use crate::study::chance::sensitivity::{indices, rank_correlation};
use crate::study::chance::unknowns::Unknown;

/// What the sensitivities are of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Of {
    Drained,
    LeftOld,
}

impl Of {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Drained => "drained_ml",
            Self::LeftOld => "left_old_ml",
        }
    }

    fn values(self, outcomes: &[Outcome]) -> Vec<f64> {
        let value = |o: &Outcome| match self {
            Self::Drained => o.drained_ml,
            Self::LeftOld => o.left_old_ml,
        };
        outcomes.iter().map(value).collect()
    }
}

/// Sensitivities of what is drained, or of the old fluid left where counted millilitres leave nothing to
/// vary in that.
pub(super) struct Answer {
    pub(super) of: Of,
    fa: Vec<f64>,
    /// In the order of the unknowns.
    matters: Vec<Matter>,
}

impl Answer {
    pub(super) fn new(unknowns: &[Unknown], a: &[Vec<f64>], set_a: &[Outcome]) -> Self {
        let drained = Of::Drained.values(set_a);
        let varies = drained.iter().any(|x| (x - drained[0]).abs() > 1e-6);
        let of = if varies { Of::Drained } else { Of::LeftOld };
        let fa = of.values(set_a);
        let matter = |(u, draws): (&Unknown, &Vec<f64>)| {
            let rank_correlation = rank_correlation(&draws[..fa.len()], &fa);
            Matter {
                quantity: u.name.clone(),
                rank_correlation,
                indices: None,
                spread: u.whose,
                direction: Direction::of(rank_correlation, fa.len()),
            }
        };
        let matters = unknowns.iter().zip(a).map(matter).collect();
        Self { of, fa, matters }
    }

    pub(super) fn strongest_first(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.matters.len()).collect();
        let strength = |k: usize| self.matters[k].rank_correlation.abs();
        sorting::by(&mut order, |&x, &y| strength(y).total_cmp(&strength(x)));
        order
    }

    /// `more` holds set b and then a block of `n` for each unknown in `order`, as far as they got.
    pub(super) fn add_indices(&mut self, order: &[usize], more: &[Outcome], n: usize, seed: u64) {
        let mut blocks = more.chunks_exact(n);
        let Some(b) = blocks.next() else { return };
        let fb = self.of.values(b);
        for (&k, block) in order.iter().zip(blocks) {
            let matter = &mut self.matters[k];
            let fab = self.of.values(block);
            matter.indices = Some(indices(&self.fa, &fb, &fab, seed, &matter.quantity));
        }
    }

    /// Those that matter most first; none of too few draws.
    pub(super) fn matters(mut self, enough: bool) -> Vec<Matter> {
        if !enough {
            return Vec::new();
        }
        let total = |m: &Matter| m.indices.map_or(f64::NEG_INFINITY, |i| i.total.value);
        sorting::by(&mut self.matters, |x, y| {
            total(y)
                .total_cmp(&total(x))
                .then(y.rank_correlation.abs().total_cmp(&x.rank_correlation.abs()))
        });
        self.matters
    }
}
