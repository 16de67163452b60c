//! The common space of a reservoir that is not one mixed body: stages in a row from the inlet to the outlets, pockets
//! beside them.

use crate::circuit::CommonSpace;
use crate::portable;
use crate::transport::chamber::pair::Pair;
use crate::transport::course::straighten;

/// What a piece of a step passes at the most through stages with pockets, in volumes of a stage, and the most pieces: as
/// in chambers.
const PIECE: f64 = 0.125;
const MOST_PIECES: u32 = 16;
/// Smaller a space does not get by this share in one step, lest a logarithm of nothing be taken.
const EMPTIED: f64 = 1e-16;

/// What stands in the stages and pockets of the common space.
///
/// As fluid F comes in and Q leaves, all n stages and their pockets grow or shrink alike, D = F − Q in all. So stage k
/// takes F − D (k − 1)/n in and passes F − D k/n on, and a pocket gives what it loses to its stage, or takes from it
/// what it gains. In the time τ with dτ = n dt/V all rates are constant, since all volumes are shares of V.
#[derive(Debug, Clone)]
pub(super) struct Places {
    spec: CommonSpace,
    species: usize,
    /// Composition of each stage, [stage][species].
    active: Vec<f64>,
    /// Composition of each pocket, [stage][species]; empty without pockets.
    pocket: Vec<f64>,
    /// Scratch: what flows on to the next stage, mean and half rise; what a stage begins with.
    between: Vec<f64>,
    began: Vec<f64>,
    /// Scratch: chances to have moved on by so many stages.
    weights: Vec<f64>,
}

/// What comes in and goes out in a step, and the volume before and after, m³.
#[derive(Debug, Clone, Copy)]
pub(super) struct Flows {
    pub inflow: f64,
    pub outflow: f64,
    pub before: f64,
    pub after: f64,
}

impl Flows {
    /// ln(V₁/V₀)/D, 1/m³; by series where the volume hardly changes.
    pub(super) fn turnover(&self) -> f64 {
        let change = self.inflow - self.outflow;
        let r = change / self.before;
        if r.abs() < 1e-6 {
            (1.0 - 0.5 * r) / self.before
        } else {
            portable::ln_1p(r.max(EMPTIED - 1.0)) / change
        }
    }
}

impl Places {
    /// Filled evenly; `None` where it is one mixed body.
    pub(super) fn new(spec: CommonSpace, filling: &[f64]) -> Option<Self> {
        let pockets = spec.pocket_share > 0.0;
        (spec.stages > 1 || pockets).then(|| Self {
            spec,
            species: filling.len(),
            active: filling.repeat(spec.stages),
            pocket: if pockets { filling.repeat(spec.stages) } else { Vec::new() },
            between: vec![0.0; 2 * filling.len()],
            began: vec![0.0; filling.len()],
            weights: vec![0.0; spec.stages],
        })
    }

    /// Volume of a stage and of its pocket where all of it is so large, m³.
    fn sizes(&self, volume: f64) -> (f64, f64) {
        let each = volume / self.spec.stages as f64;
        (each * (1.0 - self.spec.pocket_share), each * self.spec.pocket_share)
    }

    /// The compositions of stages and pockets.
    pub(super) fn each(&self) -> impl Iterator<Item = &[f64]> {
        self.active.chunks(self.species).chain(self.pocket.chunks(self.species))
    }

    /// What leaves it now.
    pub(super) fn at_outlet(&self) -> &[f64] {
        &self.active[(self.spec.stages - 1) * self.species..]
    }

    /// Writes what it holds where its volume is so large.
    pub(super) fn held(&self, volume: f64, sum: &mut [f64]) {
        let (stage, pocket) = self.sizes(volume);
        sum.fill(0.0);
        for (rows, size) in [(&self.active, stage), (&self.pocket, pocket)] {
            for row in rows.chunks(self.species) {
                for (s, c) in sum.iter_mut().zip(row) {
                    *s += size * c;
                }
            }
        }
    }

    /// Lets stages and pockets trade for `time_s` what they do at rest.
    pub(super) fn stand(&mut self, time_s: f64) {
        let CommonSpace { pocket_share: share, pocket_time_s, .. } = self.spec;
        if self.pocket.is_empty() || pocket_time_s.is_infinite() {
            return;
        }
        let keep = portable::exp(-time_s / (pocket_time_s * (1.0 - share)));
        for (a, p) in self.active.iter_mut().zip(&mut self.pocket) {
            let mean = (1.0 - share) * *a + share * *p;
            *a = mean + (*a - mean) * keep;
            *p = mean + (*p - mean) * keep;
        }
    }

    /// Turns the stages round: the first becomes the last.
    pub(super) fn turn(&mut self) {
        let (s, n) = (self.species, self.spec.stages);
        for rows in [&mut self.active, &mut self.pocket].into_iter().filter(|r| !r.is_empty()) {
            for i in 0..n / 2 {
                for k in 0..s {
                    rows.swap(i * s + k, (n - 1 - i) * s + k);
                }
            }
        }
    }

    /// Lets fluid of the composition `c_in` in and others out.
    pub(super) fn pass(&mut self, flows: Flows, c_in: &[f64]) {
        if flows.before <= 0.0 {
            for row in self.active.chunks_mut(self.species) {
                row.copy_from_slice(c_in);
            }
            for row in self.pocket.chunks_mut(self.species) {
                row.copy_from_slice(c_in);
            }
        } else if self.pocket.is_empty() {
            self.pass_stages(flows, c_in);
        } else {
            let pieces = self.pieces(flows);
            let part = f64::from(pieces).recip();
            let change = part * (flows.after - flows.before);
            for piece in 0..pieces {
                let before = flows.before + f64::from(piece) * change;
                self.pass_with_pockets(
                    Flows {
                        inflow: part * flows.inflow,
                        outflow: part * flows.outflow,
                        before,
                        after: before + change,
                    },
                    c_in,
                );
            }
        }
    }

    /// In τ stage k answers dc/dτ = aₖ (cₖ₋₁ − cₖ) with aₖ = F − D (k − 1)/n. What stands in it at the end was j stages
    /// before it with the chance e^(−aₖ τ) Πᵢ₌₀ʲ⁻¹ aₖ₋ᵢ/(i + 1) · (n/V₁)ʲ, and else has come in: a chain whose rates go up
    /// or down evenly, as in a birth process with immigration (any text on stochastic processes). With D = 0 it is
    /// that of tanks in series, with F = 0 or Q = 0 that of a chamber that a piston sweeps.
    fn pass_stages(&mut self, flows: Flows, c_in: &[f64]) {
        let (s, n) = (self.species, self.spec.stages as f64);
        let change = flows.inflow - flows.outflow;
        let time = n * flows.turnover();
        let after = flows.after.max(EMPTIED * flows.before);
        let rate = |stage: usize| (flows.inflow - change * stage as f64 / n).max(0.0);
        for stage in (0..self.spec.stages).rev() {
            let mut weight = portable::exp(-rate(stage) * time);
            for (j, slot) in self.weights[..=stage].iter_mut().enumerate() {
                *slot = weight;
                weight *= rate(stage - j) / (j + 1) as f64 * n / after;
            }
            for (k, c_in) in c_in.iter().enumerate() {
                let from = |j: usize| self.active[(stage - j) * s + k] - c_in;
                let y: f64 =
                    self.weights[..=stage].iter().enumerate().map(|(j, w)| w * from(j)).sum();
                self.active[stage * s + k] = c_in + y;
            }
        }
    }

    /// In how many pieces a step passes stages with pockets: what one sends on to the next is taken as a straight line,
    /// and so must be short beside a stage.
    fn pieces(&self, flows: Flows) -> u32 {
        if self.spec.stages == 1 {
            return 1;
        }
        let stage = self.sizes(flows.before.min(flows.after)).0;
        let stages = flows.inflow.max(flows.outflow) / stage;
        (1..MOST_PIECES).find(|&n| f64::from(n) * PIECE >= stages).unwrap_or(MOST_PIECES)
    }

    /// Stage after stage, each with its pocket a pair of linear equations with constant rates in τ.
    fn pass_with_pockets(&mut self, flows: Flows, c_in: &[f64]) {
        let s = self.species;
        let CommonSpace { stages, pocket_share: share, pocket_exchange, .. } = self.spec;
        let each = (flows.inflow - flows.outflow) / stages as f64;
        let time = stages as f64 * flows.turnover();
        let (before, after) = (self.sizes(flows.before), self.sizes(flows.after));
        self.between[..s].copy_from_slice(c_in);
        self.between[s..].fill(0.0);
        let mut inflow = flows.inflow;
        for stage in 0..stages {
            let outflow = (inflow - each).max(0.0);
            let traded = 0.5 * pocket_exchange * (inflow + outflow);
            let (gains, loses) =
                (traded + share * each.max(0.0), traded + share * (-each).max(0.0));
            let (stage_time, pocket_time) = (time / (1.0 - share), time / share);
            let Pair { moved, risen, .. } = Pair::of(
                -(inflow + loses) * stage_time,
                loses * stage_time,
                gains * pocket_time,
                -gains * pocket_time,
            );
            let per_rise = risen.map(|r| r * inflow * stage_time);
            let (mean, rise) = self.between.split_at_mut(s);
            let active = &mut self.active[stage * s..(stage + 1) * s];
            let pocket = &mut self.pocket[stage * s..(stage + 1) * s];
            self.began.copy_from_slice(active);
            for k in 0..s {
                let (m, r) = (mean[k], 2.0 * rise[k]);
                let (a, p) = (active[k], pocket[k]);
                let (ya, yp) = (a - m, p - m);
                active[k] = m + moved[0] * ya + moved[1] * yp + r * per_rise[0];
                pocket[k] = m + moved[2] * ya + moved[3] * yp + r * per_rise[1];
                // What has gone on is what came in and is no longer there; of a trickle that would be rounding.
                let gone = before.0 * a + before.1 * p + inflow * m
                    - after.0 * active[k]
                    - after.1 * pocket[k];
                mean[k] =
                    if outflow > super::TRICKLE * before.0 { gone / outflow } else { active[k] };
                rise[k] = active[k];
            }
            straighten(&mut self.between, &mut self.began);
            inflow = outflow;
        }
    }
}
