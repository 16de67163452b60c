//! Well-mixed stages with pockets, solved exactly over a step.

mod held;
pub(in crate::transport) mod pair;
mod variable;

use super::course::straighten;
use crate::parts::chamber::Chamber;
use crate::portable;
use pair::Pair;

/// A chamber with its fluid.
///
/// What comes in changes along a straight line within a step ([`super::course`]). To its mean c_in stages without
/// pocket, yₖ = cₖ − c_in and a = dv/V_stage, answer by yₖ(end) = Σⱼ yₖ₋ⱼ(0) e⁻ᵃ aʲ/j! (tanks in series, Levenspiel);
/// a stage with a pocket is a pair of linear equations, solved through the two real eigenvalues of its matrix. The
/// line's departure from its mean is added by itself, since all is linear. What leaves is the
/// mean over the step, in a form that stays exact however little passes: a difference of what is held before and after
/// would drown in its rounding.
///
/// A piston may sweep part of the volume out and let it in again ([`Stages::give`],
/// [`Stages::take_in`]): all stages shrink and grow alike, pockets keep their size.
#[derive(Debug, Clone)]
pub struct Stages {
    spec: Chamber,
    /// What a piston has swept out of it at the moment, m³.
    swept: f64,
    species: usize,
    /// Composition of each stage, [stage][species].
    active: Vec<f64>,
    /// Composition of each pocket, [stage][species]; empty without pockets.
    pocket: Vec<f64>,
    /// What an accumulator has taken up that does not mix with the rest, m³, and its composition.
    apart_m3: f64,
    apart: Vec<f64>,
    /// What came in last.
    before: Vec<f64>,
    /// Scratch: what flows on to the next stage, mean and end, or half rise; with pockets, what comes in, likewise, and
    /// what a stage begins with; without, two weights a stage and four more.
    scratch: Vec<f64>,
}

/// Parts of a piston's way (an estimate: tried with a master cylinder a quarter of which is pockets).
const PARTS: u32 = 4;

/// What a piece of a step passes at the most through stages with pockets, in volumes of a stage, and the most pieces.
const PIECE: f64 = 0.125;
const MOST_PIECES: u32 = 16;

impl Stages {
    /// A chamber filled with `filling`.
    pub fn new(spec: Chamber, filling: &[f64]) -> Self {
        let with_pocket = spec.pocket_share > 0.0;
        Self {
            spec,
            swept: 0.0,
            species: filling.len(),
            active: filling.repeat(spec.stages),
            pocket: if with_pocket { filling.repeat(spec.stages) } else { Vec::new() },
            apart_m3: 0.0,
            apart: Vec::new(),
            before: filling.to_vec(),
            scratch: vec![
                0.0;
                2 * filling.len()
                    + if with_pocket { 3 * filling.len() } else { 2 * (spec.stages + 2) }
            ],
        }
    }

    /// Its volume, m³: less than that of the part while a piston stands in it.
    pub fn volume(&self) -> f64 {
        self.spec.volume_m3 - self.swept + self.apart_m3
    }

    /// Volume of each stage and of its pocket, m³.
    fn sizes(&self) -> (f64, f64) {
        let n = self.spec.stages as f64;
        let pocket = self.spec.volume_m3 * self.spec.pocket_share / n;
        ((self.spec.volume_m3 - self.swept) / n - pocket, pocket)
    }

    /// Lets a piston sweep `dv` m³ out, forward through the outlet or `backward` through the inlet, while
    /// nothing comes in. Adds the amounts that leave (m³ · composition) to `leaving`.
    ///
    /// The stages shrink alike, so that stage k takes (k − 1)/n of the flow in and lets k/n out. With p
    /// the ratio of the volume after to that before, cₖ(after) = Σⱼ C(k − 1, j) pʲ (1 − p)ᵏ⁻¹⁻ʲ cⱼ₊₁
    /// (a death process, each of k − 1 dying with the rate of shrinking): the scheme of repeated
    /// interpolation below. One stage keeps its composition. Valid while the stages have some volume left.
    pub fn give(&mut self, dv: f64, dt: f64, backward: bool, leaving: &mut [f64]) {
        let parts = self.parts();
        for _ in 0..parts {
            self.give_at_once(dv / f64::from(parts), dt / f64::from(parts), backward, leaving);
        }
    }

    /// In how many parts a piston's way is gone, so that stages and pockets trade all along it.
    fn parts(&self) -> u32 {
        if self.pocket.is_empty() { 1 } else { PARTS }
    }

    fn give_at_once(&mut self, dv: f64, dt: f64, backward: bool, leaving: &mut [f64]) {
        let (s, n) = (self.species, self.spec.stages);
        self.trade(0.5 * dv, 0.5 * dt);
        let before = self.sizes().0;
        self.swept += dv;
        let after = self.sizes().0;
        let p = after / before;
        self.turn(backward);
        for (k, leaving) in leaving.iter_mut().enumerate() {
            let held: f64 = (0..n).map(|i| self.active[i * s + k]).sum();
            for round in 1..n {
                for i in (round..n).rev() {
                    let upstream = self.active[(i - 1) * s + k];
                    let own = &mut self.active[i * s + k];
                    *own = p * *own + (1.0 - p) * upstream;
                }
            }
            let still: f64 = (0..n).map(|i| self.active[i * s + k]).sum();
            *leaving += before * held - after * still;
        }
        self.turn(backward);
        self.trade(0.5 * dv, 0.5 * dt);
    }

    /// Lets the piston go back by `dv` m³ and fluid in at the inlet (amounts in m³ · composition) while
    /// nothing leaves.
    ///
    /// The stages grow alike: stage k takes (n − k + 1)/n of the flow in and passes (n − k)/n on. With
    /// p the ratio of the volume before to that after, m = n − k and y = c − c_in,
    /// yₖ(after) = Σⱼ≥ₘ C(j, m) pᵐ⁺¹ (1 − p)ʲ⁻ᵐ yₙ₋ⱼ (a birth process).
    pub fn take_in(&mut self, dv: f64, dt: f64, inflow: &[f64]) {
        let parts = self.parts();
        for _ in 0..parts {
            self.take_in_at_once(dv / f64::from(parts), dt / f64::from(parts), |k| inflow[k] / dv);
        }
    }

    fn take_in_at_once(&mut self, dv: f64, dt: f64, c_in: impl Fn(usize) -> f64) {
        let (s, n) = (self.species, self.spec.stages);
        self.trade(0.5 * dv, 0.5 * dt);
        let before = self.sizes().0;
        self.swept -= dv;
        let p = before / self.sizes().0;
        for k in 0..s {
            let c_in = c_in(k);
            // The last stage first: each needs what lay upstream of it before.
            for m in 0..n {
                let mut weight = portable::powi(p, m as i32 + 1);
                let mut y = 0.0;
                for j in m..n {
                    y += weight * (self.active[(n - 1 - j) * s + k] - c_in);
                    weight *= (1.0 - p) * (j + 1) as f64 / (j + 1 - m) as f64;
                }
                self.active[(n - 1 - m) * s + k] = c_in + y;
            }
        }
        self.trade(0.5 * dv, 0.5 * dt);
    }

    /// Turns the stages round if asked to, so that the first becomes the last.
    fn turn(&mut self, wanted: bool) {
        let (s, n) = (self.species, self.spec.stages);
        if !wanted {
            return;
        }
        for row in [&mut self.active, &mut self.pocket].into_iter().filter(|r| !r.is_empty()) {
            for i in 0..n / 2 {
                for k in 0..s {
                    row.swap(i * s + k, (n - 1 - i) * s + k);
                }
            }
        }
    }

    /// Lets stages and pockets trade what they do while `dv` m³ passes in `dt` s: half before the volume changes and half
    /// after (Strang 1968: what is split so is off by the square of the step).
    fn trade(&mut self, dv: f64, dt: f64) {
        if self.pocket.is_empty() {
            return;
        }
        let (stage, pocket) = self.sizes();
        let traded = self.spec.pocket_exchange * dv + pocket * dt / self.spec.pocket_time_s;
        let keep = portable::exp(-traded * (stage.recip() + pocket.recip()));
        self.relax(stage, pocket, keep);
    }

    /// Lets stages and pockets relax to their common mean, `keep` of the difference remaining.
    fn relax(&mut self, stage: f64, pocket: f64, keep: f64) {
        for (a, p) in self.active.iter_mut().zip(&mut self.pocket) {
            let mean = (stage * *a + pocket * *p) / (stage + pocket);
            *a = mean + (*a - mean) * keep;
            *p = mean + (*p - mean) * keep;
        }
    }

    /// Replaces what comes in, `dv` m³ over `dt` s, by what leaves in the same step: amounts (m³ · composition), and dv
    /// times the composition at the end of the step.
    pub fn pass(&mut self, dv: f64, dt: f64, flow: &mut [f64]) {
        let s = self.species;
        let through = dv * (1.0 - self.spec.bypass_share);
        let mut scratch = std::mem::take(&mut self.scratch);
        let (between, others) = scratch.split_at_mut(2 * s);
        for (b, c) in between.iter_mut().zip(flow.iter()) {
            *b = c / dv;
        }
        straighten(between, &mut self.before);
        for x in flow.iter_mut() {
            *x *= self.spec.bypass_share;
        }
        let (leaving, end) = flow.split_at_mut(s);
        if self.pocket.is_empty() {
            self.pass_stages(through, between, others, leaving);
        } else {
            let pieces = self.pieces(through);
            let (dv, dt) = (through / f64::from(pieces), dt / f64::from(pieces));
            let (inflow, began) = others.split_at_mut(2 * s);
            inflow.copy_from_slice(between);
            for piece in 0..pieces {
                // A piece of the line, from −1 to 1 of its half rise.
                let middle = f64::from(2 * piece + 1) / f64::from(pieces) - 1.0;
                for k in 0..s {
                    let (mean, rise) = (inflow[k], inflow[s + k]);
                    between[k] = mean + middle * rise;
                    between[s + k] = rise / f64::from(pieces);
                }
                for stage in 0..self.spec.stages {
                    self.pass_with_pocket(stage, (dv, dt), between, began);
                }
                for (x, b) in leaving.iter_mut().zip(&*between) {
                    *x += dv * b;
                }
            }
        }
        for (x, c) in end.iter_mut().zip(self.at_outlet()) {
            *x += through * c;
        }
        self.scratch = scratch;
    }

    /// In how many pieces a step passes stages with pockets: what one sends on to the next is taken as a straight line, and
    /// so must be short beside a stage.
    fn pieces(&self, through: f64) -> u32 {
        if self.spec.stages == 1 {
            return 1;
        }
        let stages = through / (PIECE * self.sizes().0);
        (1..MOST_PIECES).find(|&n| f64::from(n) >= stages).unwrap_or(MOST_PIECES)
    }

    /// What leaves now but for what goes past the stages: the composition of the last of them.
    pub fn at_outlet(&self) -> &[f64] {
        &self.active[(self.spec.stages - 1) * self.species..]
    }

    fn pass_stages(&mut self, dv: f64, between: &[f64], weights: &mut [f64], leaving: &mut [f64]) {
        let (s, n) = (self.species, self.spec.stages);
        let stage_volume = self.sizes().0;
        let a = dv / stage_volume;
        let (weights, sent) = weights.split_at_mut(n + 2);
        tanks_in_series(a, weights, sent);
        let stages = n as f64;
        // With P(k) = ∫₀ᵃ eᐨˢ sᵏᐨ¹/(k − 1)! ds, that is sent[k − 1], a rise by 1 about a mean of 0 brings stage k to
        // P(k)/2 − k P(k + 1)/a and lets −n P(n + 1)/2 + n (n + 1) P(n + 2)/(2 a) stage volumes out (by parts).
        let per_step = |sent: f64| if a > 0.0 { sent / a } else { 0.0 };
        let risen = |k: usize| 0.5 * sent[k - 1] - k as f64 * per_step(sent[k]);
        let let_out = 0.5 * stages * ((stages + 1.0) * per_step(sent[n + 1]) - sent[n]);
        for (k, leaving) in leaving.iter_mut().enumerate() {
            let (c_in, rise) = (between[k], 2.0 * between[s + k]);
            let mut out = rise * let_out;
            for (j, sent) in sent[..n].iter().enumerate() {
                out += sent * (self.active[(n - 1 - j) * s + k] - c_in);
            }
            for stage in (0..n).rev() {
                let mut y = rise * risen(stage + 1);
                for (j, weight) in weights.iter().enumerate().take(stage + 1) {
                    y += weight * (self.active[(stage - j) * s + k] - c_in);
                }
                self.active[stage * s + k] = c_in + y;
            }
            *leaving += dv * c_in + stage_volume * out;
        }
    }

    fn pass_with_pocket(
        &mut self,
        stage: usize,
        (dv, dt): (f64, f64),
        between: &mut [f64],
        began: &mut [f64],
    ) {
        let s = self.species;
        let (stage_volume, pocket_volume) = self.sizes();
        let traded = self.spec.pocket_exchange * dv + pocket_volume * dt / self.spec.pocket_time_s;
        let Pair { moved, mean, risen } = Pair::of(
            -(dv + traded) / stage_volume,
            traded / stage_volume,
            traded / pocket_volume,
            -traded / pocket_volume,
        );
        let per_rise = risen.map(|r| r * dv / stage_volume);
        // What a rise about a mean of 0 brings in must have gone out again.
        let let_out = -(stage_volume * per_rise[0] + pocket_volume * per_rise[1]) / dv;
        let (active, pocket) = (&mut self.active[stage * s..], &mut self.pocket[stage * s..]);
        let (flow, end) = between.split_at_mut(s);
        began.copy_from_slice(&active[..s]);
        for k in 0..s {
            let (c_in, rise) = (flow[k], 2.0 * end[k]);
            let (a, p) = (&mut active[k], &mut pocket[k]);
            let (ya, yp) = (*a - c_in, *p - c_in);
            *a = c_in + moved[0] * ya + moved[1] * yp + rise * per_rise[0];
            *p = c_in + moved[2] * ya + moved[3] * yp + rise * per_rise[1];
            flow[k] = c_in + mean[0] * ya + mean[1] * yp + rise * let_out;
            end[k] = *a;
        }
        straighten(between, began);
    }

    /// Whether standing changes it: only pockets trade at rest, if they do.
    pub fn changes_at_rest(&self) -> bool {
        !self.pocket.is_empty() && !self.spec.pocket_time_s.is_infinite()
    }

    /// Lets it stand for `dt` s.
    pub fn stand(&mut self, dt: f64) {
        if !self.changes_at_rest() {
            return;
        }
        let (stage, pocket) = self.sizes();
        let keep = portable::exp(-dt / self.spec.pocket_time_s * (1.0 + pocket / stage));
        self.relax(stage, pocket, keep);
    }
}

/// For a = dv/V_stage: eᐨᵃ aʲ/j! into `weights`, and into `sent` what a stage with j others behind it sends
/// out at the end, in stage volumes: ∫₀ᵃ eᐨˢ sʲ/j! ds = Σ eᐨᵃ aⁱ/i! over i > j.
///
/// For small a the sum is taken from its far end and for large a from 1 − eᐨᵃ on, so that what leaves is known
/// to rounding of itself, however little passes.
fn tanks_in_series(a: f64, weights: &mut [f64], sent: &mut [f64]) {
    let n = weights.len();
    let mut w = portable::exp(-a);
    for (j, slot) in weights.iter_mut().enumerate() {
        *slot = w;
        w *= a / (j + 1) as f64;
    }
    if a < 1.0 {
        let (mut rest, mut i) = (0.0, n);
        while w > f64::EPSILON * rest {
            rest += w;
            i += 1;
            w *= a / i as f64;
        }
        for j in (0..n).rev() {
            sent[j] = rest;
            rest += weights[j];
        }
    } else {
        let mut rest = -portable::exp_m1(-a);
        for (sent, weight) in sent.iter_mut().zip(weights.iter().skip(1).chain([&0.0])) {
            *sent = rest;
            rest -= weight;
        }
    }
}
