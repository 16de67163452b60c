//! What the end of a job is to be like, and whether it is.

use crate::circuit::Circuit;
use crate::circuit::reach;
use crate::job::record::{Left, PartLeft};
use crate::study::Miss;
use serde::Serialize;

/// What is to be reached, each if stated.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Targets {
    /// Old fraction of no part more than this, parts that no bleeder of the procedure reaches left out.
    pub old_anywhere: Option<f64>,
    /// Old fraction of the whole system, what no bleeder reaches included, no more than this.
    pub old_overall: Option<f64>,
    /// Water in the whole system no more than this, mass %.
    pub water_percent: Option<f64>,
    /// Boiling point at no place in a wheel brake below this, its pocket included, °C.
    pub boiling_c: Option<f64>,
}

impl Targets {
    /// Whether nothing is asked for.
    pub fn none(&self) -> bool {
        *self == Self::default()
    }
}

/// A target counts as met if it is met by this share of itself: sums that carry more species than a study
/// does differ in the last digits.
const EPSILON: f64 = 1e-9;

/// Judges what is left.
#[derive(Debug, Clone)]
pub(super) struct Judge {
    pub targets: Targets,
    /// Of each part of [`Left`]: whether a bleeder of the procedure reaches it.
    reached: Vec<bool>,
    /// Of each part: whether it is a wheel brake.
    wheel: Vec<bool>,
    /// Of each part: the group of bleeders that alone draws through it.
    own: Vec<Option<usize>>,
}

impl Judge {
    /// For a circuit whose bleeders are opened in these groups; `left` is what any job on it leaves.
    pub fn new(targets: Targets, circuit: &Circuit, groups: &[Vec<String>], left: &Left) -> Self {
        let through = |opened: &dyn Fn(&str) -> bool| -> Vec<String> {
            let mut some = circuit.clone();
            some.bleeders.retain(|b| opened(&b.name));
            let unreached = reach::unreached(&some);
            let names = left.parts.iter().map(|p| p.part.clone());
            names.filter(|p| !unreached.iter().any(|u| u.0 == *p)).collect()
        };
        let opened = |b: &str| groups.iter().flatten().any(|g| g == b);
        let all = through(&opened);
        let mut own = vec![None; left.parts.len()];
        for (i, group) in groups.iter().enumerate() {
            let mine = through(&|b| group.iter().any(|g| g == b));
            let others = match groups.len() {
                1 => vec!["reservoir".to_owned()],
                _ => through(&|b| opened(b) && !group.iter().any(|g| g == b)),
            };
            for (part, own) in left.parts.iter().zip(&mut own) {
                if mine.contains(&part.part) && !others.contains(&part.part) {
                    *own = Some(i);
                }
            }
        }
        let brakes: Vec<&str> = circuit
            .nodes
            .iter()
            .filter(|n| n.role.is_service_brake())
            .map(|n| n.name.as_str())
            .collect();
        Self {
            targets,
            reached: left.parts.iter().map(|p| all.contains(&p.part)).collect(),
            wheel: left.parts.iter().map(|p| brakes.contains(&p.part.as_str())).collect(),
            own,
        }
    }

    /// The same with other targets.
    pub fn with(&self, targets: Targets) -> Self {
        Self { targets, ..self.clone() }
    }

    /// By how much each target is missed, each in its own unit; none is above zero where all are met.
    pub fn excess(&self, left: &Left) -> Vec<f64> {
        let t = &self.targets;
        let whole = [(left.old_fraction, t.old_overall), (left.water_percent, t.water_percent)];
        let whole = whole.into_iter().filter_map(|(v, t)| t.map(|t| v - t * (1.0 - EPSILON)));
        whole.chain(self.excess_of_parts(left, |_| true)).collect()
    }

    /// Whether the parts that only this group draws through meet what is asked of single parts.
    pub fn own_fit(&self, left: &Left, group: usize) -> bool {
        self.excess_of_parts(left, |i| self.own[i] == Some(group)).all(|e| e <= 0.0)
    }

    /// Whether anything is asked of single parts.
    pub fn asks_of_parts(&self) -> bool {
        self.targets.old_anywhere.is_some() || self.targets.boiling_c.is_some()
    }

    fn excess_of_parts(
        &self,
        left: &Left,
        which: impl Fn(usize) -> bool,
    ) -> impl Iterator<Item = f64> {
        let t = self.targets;
        left.parts.iter().enumerate().filter(move |(i, _)| which(*i)).flat_map(move |(i, p)| {
            let old = t.old_anywhere.filter(|_| self.reached[i]);
            let hot = t.boiling_c.filter(|_| self.wheel[i]);
            let old = old.map(|t| p.old_fraction - t * (1.0 - EPSILON));
            let hot = hot.map(|t| t * (1.0 + EPSILON) - p.lowest_boiling_c);
            old.into_iter().chain(hot)
        })
    }

    /// Old fluid in the parts that only this group draws through, mL.
    pub fn own_old_ml(&self, left: &Left, group: usize) -> f64 {
        let parts = left.parts.iter().zip(&self.own);
        parts.filter(|(_, o)| **o == Some(group)).map(|(p, _)| p.old_fraction * p.volume_ml).sum()
    }

    /// Volume of those parts, mL.
    pub fn own_ml(&self, left: &Left, group: usize) -> f64 {
        let parts = left.parts.iter().zip(&self.own);
        parts.filter(|(_, o)| **o == Some(group)).map(|(p, _)| p.volume_ml).sum()
    }

    /// Names of those parts.
    pub fn own_names(&self, left: &Left, group: usize) -> Vec<String> {
        let parts = left.parts.iter().zip(&self.own);
        parts.filter(|(_, o)| **o == Some(group)).map(|(p, _)| p.part.clone()).collect()
    }

    /// Old fluid where no bleeder of the procedure reaches, mL.
    pub fn unreached_old_ml(&self, left: &Left) -> f64 {
        let parts = left.parts.iter().zip(&self.reached);
        parts.filter(|(_, r)| !**r).map(|(p, _)| p.old_fraction * p.volume_ml).sum()
    }

    /// Names of the parts that no bleeder of the procedure reaches.
    pub fn unreached(&self, left: &Left) -> Vec<String> {
        let parts = left.parts.iter().zip(&self.reached);
        parts.filter(|(_, r)| !**r).map(|(p, _)| p.part.clone()).collect()
    }

    /// Whether there is a wheel brake whose boiling point can be asked for.
    pub fn has_wheels(&self) -> bool {
        self.wheel.contains(&true)
    }

    /// The wheel brake that boils first.
    pub fn first_to_boil<'a>(&self, left: &'a Left) -> Option<&'a PartLeft> {
        among(left, &self.wheel).min_by(|a, b| a.lowest_boiling_c.total_cmp(&b.lowest_boiling_c))
    }

    /// The targets missed.
    pub fn misses(&self, left: &Left) -> Vec<Miss> {
        let t = &self.targets;
        let mut out = Vec::new();
        let mut note = |missed: bool, target: String, reached: String| {
            if missed {
                out.push(Miss { target, reached });
            }
        };
        if let Some(target) = t.old_anywhere
            && let Some(p) =
                among(left, &self.reached).max_by(|a, b| a.old_fraction.total_cmp(&b.old_fraction))
        {
            note(
                p.old_fraction > target * (1.0 - EPSILON),
                format!("old fluid anywhere at most {:.3} %", 100.0 * target),
                format!("{:.3} % in {}", 100.0 * p.old_fraction, p.part),
            );
        }
        if let Some(target) = t.old_overall {
            note(
                left.old_fraction > target * (1.0 - EPSILON),
                format!("old fluid overall at most {:.3} %", 100.0 * target),
                format!("{:.3} %", 100.0 * left.old_fraction),
            );
        }
        if let Some(target) = t.water_percent {
            note(
                left.water_percent > target * (1.0 - EPSILON),
                format!("water in the whole system at most {target:.3} %"),
                format!("{:.3} %", left.water_percent),
            );
        }
        if let (Some(target), Some(p)) = (t.boiling_c, self.first_to_boil(left)) {
            note(
                p.lowest_boiling_c < target * (1.0 + EPSILON),
                format!("boiling point at the wheel brakes at least {target:.1} °C"),
                format!("{:.1} °C in {}", p.lowest_boiling_c, p.part),
            );
        }
        out
    }
}

/// Those of the parts left that `which` marks.
fn among<'a>(left: &'a Left, which: &[bool]) -> impl Iterator<Item = &'a PartLeft> {
    left.parts.iter().zip(which).filter(|(_, w)| **w).map(|(p, _)| p)
}
