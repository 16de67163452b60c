//! The reservoir: a common space over one compartment an outlet.

mod places;

use super::course::straighten;
use crate::circuit;
use crate::portable;
use places::{Flows, Places};

/// The reservoir with its fluid. Amounts are m³ · composition.
///
/// That its common space is one mixed body unless the scenario says otherwise is a middle: the laminar round jet that
/// comes in draws 8 π ν z of what is around it along (H. Schlichting, *Boundary-Layer Theory*, ch. on free jets), some
/// 15 mL/s at z = 40 mm in fluid of 15 mm²/s, six times what is fed, so that what lies below it is turned over; corners
/// behind baffles and a float are not, and some of what comes in may reach an outlet before it has mixed.
#[derive(Debug, Clone)]
pub struct Reservoir {
    compartment_m3: f64,
    /// Share of what is fed that runs straight to the outlets.
    bypass: f64,
    common: Pool,
    /// Stages and pockets of the common space, where it is not one mixed body.
    places: Option<Places>,
    compartments: Vec<Pool>,
    /// Scratch: the line of what is fed.
    fed: Vec<f64>,
    /// Scratch: what leaves the common space in a step, mean and end, or half rise.
    down: Vec<f64>,
    /// What left it last.
    before: Vec<f64>,
}

/// A well-mixed body of fluid whose volume changes.
#[derive(Debug, Clone)]
struct Pool {
    volume: f64,
    amounts: Vec<f64>,
}

/// What leaves a volume in a step counts as a trickle below this share of it. As the difference of amounts it would be
/// known to rounding over this share, 1e-16 over 1e-9, of the mixture (an estimate).
const TRICKLE: f64 = 1e-9;

impl Pool {
    fn add(&mut self, dv: f64, c: &[f64]) {
        self.volume += dv;
        for (a, c) in self.amounts.iter_mut().zip(c) {
            *a += dv * c;
        }
    }

    /// Writes `outflow` times its composition now; times the mean of what it sent out, if it is empty.
    fn write_end(&self, outflow: f64, sent: &[f64], end: &mut [f64]) {
        if self.volume > 0.0 {
            for (end, a) in end.iter_mut().zip(&self.amounts) {
                *end = outflow * a / self.volume;
            }
        } else {
            end.copy_from_slice(sent);
        }
    }

    /// Takes `dv` out as it is; adds the amounts to `taken`.
    fn take(&mut self, dv: f64, taken: &mut [f64]) {
        if self.volume <= 0.0 {
            return;
        }
        let share = (dv / self.volume).min(1.0);
        for (a, t) in self.amounts.iter_mut().zip(taken) {
            *t += share * *a;
            *a -= share * *a;
        }
        self.volume -= dv;
    }

    /// Receives `inflow` m³ whose composition has the mean and the half rise of `line` and sends out `outflow` m³ at
    /// steady rates; writes the amounts sent out. Exact: with V = V₀ + D s, c − c_in falls as (V/V₀)^(−F/D).
    fn pass(&mut self, inflow: f64, line: &[f64], outflow: f64, out: &mut [f64]) {
        let before = self.volume;
        let after = (before + inflow - outflow).max(0.0);
        let keep = if inflow <= 0.0 {
            1.0
        } else if before <= 0.0 || after <= 0.0 {
            0.0
        } else {
            portable::exp(-inflow * Flows { inflow, outflow, before, after }.turnover())
        };
        let trickle = outflow < TRICKLE * before;
        let risen = risen(inflow, outflow, (before, after), keep);
        let (c_in, rise) = line.split_at(self.amounts.len());
        for (((a, c), rise), o) in self.amounts.iter_mut().zip(c_in).zip(rise).zip(out) {
            let now = if before > 0.0 { *a / before } else { *c };
            let end = (c + (now - c) * keep + 2.0 * rise * risen) * after;
            // The difference of two large amounts says nothing of a trickle.
            *o = if trickle { outflow * now } else { *a + inflow * c - end };
            *a = if trickle { *a + inflow * c - *o } else { end };
        }
        self.volume = after;
    }
}

/// What a composition that rises by 1 about a mean of 0 while so much comes in and goes out makes of that in a pool whose
/// volume goes from one to the other: with r the steps' share gone by, r − ½ − V(r)/(F + D) follows the inflow, and
/// what it lacks at first falls as the rest does.
fn risen(inflow: f64, outflow: f64, (before, after): (f64, f64), keep: f64) -> f64 {
    if inflow <= 0.0 || before <= 0.0 || after <= 0.0 {
        return 0.0;
    }
    let replaced = inflow / after;
    if replaced < 1e-3 {
        return replaced * replaced / 12.0;
    }
    let both = 2.0 * inflow - outflow;
    // At 0 itself the logarithm that stands for the power is as near as rounding lets it be.
    let both = if both.abs() < 1e-6 * inflow { 1e-6 * inflow } else { both };
    0.5 - after / both + keep * (0.5 + before / both)
}

impl Reservoir {
    /// A reservoir as the circuit describes it, filled with `filling`; compartments fill first.
    pub fn new(spec: &circuit::Reservoir, filling: &[f64]) -> Self {
        let empty = || Pool { volume: 0.0, amounts: vec![0.0; filling.len()] };
        let mut reservoir = Self {
            compartment_m3: spec.compartment_m3,
            bypass: spec.common.bypass_share,
            common: empty(),
            places: Places::new(spec.common, filling),
            compartments: spec.outlets.iter().map(|_| empty()).collect(),
            fed: vec![0.0; 2 * filling.len()],
            down: vec![0.0; 2 * filling.len()],
            before: filling.to_vec(),
        };
        reservoir.pour(spec.level_m3, filling);
        reservoir
    }

    /// Fluid in all of it, m³.
    pub fn volume(&self) -> f64 {
        self.common.volume + self.compartments.iter().map(|c| c.volume).sum::<f64>()
    }

    /// Writes the amounts held.
    pub fn held(&self, sum: &mut [f64]) {
        sum.copy_from_slice(&self.common.amounts);
        for pool in &self.compartments {
            for (s, a) in sum.iter_mut().zip(&pool.amounts) {
                *s += a;
            }
        }
    }

    /// The compositions of stages and pockets of the common space, where it is not one mixed body and holds more than
    /// `least_m3`.
    pub fn places(&self, least_m3: f64) -> impl Iterator<Item = &[f64]> {
        self.places.iter().filter(move |_| self.common.volume > least_m3).flat_map(Places::each)
    }

    /// Common space and compartments: volume (m³) and amounts.
    pub fn bodies(&self) -> impl Iterator<Item = (f64, &[f64])> {
        let pools = std::iter::once(&self.common).chain(&self.compartments);
        pools.map(|p| (p.volume, p.amounts.as_slice()))
    }

    /// Amount held (m³ ·) of what `of` makes of amounts, for instance the old fluid.
    pub fn held_of(&self, of: impl Fn(&[f64]) -> f64) -> f64 {
        of(&self.common.amounts) + self.compartments.iter().map(|p| of(&p.amounts)).sum::<f64>()
    }

    /// Writes the amounts held in the common space and the compartment of one outlet; gives their
    /// volume, m³.
    pub fn held_for(&self, outlet: usize, sum: &mut [f64]) -> f64 {
        let own = &self.compartments[outlet];
        for ((s, a), b) in sum.iter_mut().zip(&self.common.amounts).zip(&own.amounts) {
            *s = a + b;
        }
        self.common.volume + own.volume
    }

    /// As [`Self::held_of`], of what stands over an outlet.
    pub fn held_over(&self, outlet: usize, of: impl Fn(&[f64]) -> f64) -> f64 {
        of(&self.common.amounts) + of(&self.compartments[outlet].amounts)
    }

    /// What stands over an outlet, in its compartment and in the common space, m³.
    pub fn over_outlet_m3(&self, outlet: usize) -> f64 {
        self.common.volume + self.compartments[outlet].volume
    }

    /// Pours fluid in: compartments that are not full take it first, each by what it lacks.
    pub fn pour(&mut self, volume: f64, c: &[f64]) {
        let lack: f64 = self.compartments.iter().map(|p| self.compartment_m3 - p.volume).sum();
        let into = volume.min(lack);
        if lack > 0.0 {
            for pool in &mut self.compartments {
                let share = (self.compartment_m3 - pool.volume) / lack;
                pool.add(into * share, c);
            }
        }
        if volume > into {
            self.rise(volume - into, c);
        }
    }

    /// Lets fluid into the common space where nothing leaves it.
    fn rise(&mut self, dv: f64, c: &[f64]) {
        if let Some(places) = &mut self.places {
            let before = self.common.volume;
            places.pass(Flows { inflow: dv, outflow: 0.0, before, after: before + dv }, c);
        }
        self.common.add(dv, c);
    }

    /// Lets it stand for `time_s`: pockets trade by the clock, if they do.
    pub fn stand(&mut self, time_s: f64) {
        if let Some(places) = &mut self.places {
            places.stand(time_s);
        }
    }

    /// What the common space sends out, as [`Pool::pass`] says, and the composition at its end behind it.
    fn pass_common(&mut self, inflow: f64, outflow: f64) {
        let s = self.before.len();
        let (out, end) = self.down.split_at_mut(s);
        let Some(places) = &mut self.places else {
            self.common.pass(inflow, &self.fed, outflow, out);
            return self.common.write_end(outflow, out, end);
        };
        let pool = &mut self.common;
        let before = pool.volume;
        let after = (before + inflow - outflow).max(0.0);
        places.pass(Flows { inflow, outflow, before, after }, &self.fed[..s]);
        let now = places.at_outlet();
        if outflow < TRICKLE * before {
            for (o, c) in out.iter_mut().zip(now) {
                *o = outflow * c;
            }
        } else {
            places.held(after, out);
            for ((o, a), c) in out.iter_mut().zip(&pool.amounts).zip(&self.fed) {
                *o = a + inflow * c - *o;
            }
        }
        for ((a, c), o) in pool.amounts.iter_mut().zip(&self.fed).zip(&*out) {
            *a += inflow * c - o;
        }
        pool.volume = after;
        if after > 0.0 {
            for (end, c) in end.iter_mut().zip(now) {
                *end = outflow * c;
            }
        } else {
            end.copy_from_slice(out);
        }
    }

    /// Takes fluid out from above: the common space first, then the compartments evenly. Adds the
    /// amounts taken to `taken`.
    pub fn draw(&mut self, volume: f64, taken: &mut [f64]) {
        let above = volume.min(self.common.volume);
        self.common.take(above, taken);
        let rest = volume - above;
        let held: f64 = self.compartments.iter().map(|p| p.volume).sum();
        if rest > 0.0 && held > 0.0 {
            for pool in &mut self.compartments {
                let share = pool.volume / held;
                pool.take((rest * share).min(pool.volume), taken);
            }
        }
    }

    /// Lets fluid come back up through an outlet.
    pub fn give_back(&mut self, outlet: usize, volume: f64, amounts: &[f64]) {
        let pool = &mut self.compartments[outlet];
        pool.volume += volume;
        for (a, b) in pool.amounts.iter_mut().zip(amounts) {
            *a += b;
        }
        let over = pool.volume - self.compartment_m3;
        if over > 0.0 {
            let mut up = vec![0.0; amounts.len()];
            pool.take(over, &mut up);
            up.iter_mut().for_each(|x| *x /= over);
            // It comes in where else fluid goes out.
            self.places.iter_mut().for_each(Places::turn);
            self.rise(over, &up);
            self.places.iter_mut().for_each(Places::turn);
        }
    }

    /// For how long fluid can leave through the outlets at the given flows (m³/s), with nothing coming
    /// in, before one of them draws air, s.
    pub fn seconds_until_air(&self, outflows_m3_s: &[f64]) -> f64 {
        let total: f64 = outflows_m3_s.iter().sum();
        // What reaches an outlet: all of the common space by demand, then its own compartment.
        let lasts = self.compartments.iter().zip(outflows_m3_s).filter(|(_, q)| **q > 0.0);
        lasts
            .map(|(pool, q)| pool.volume / q + self.common.volume / total)
            .fold(f64::INFINITY, f64::min)
    }

    /// One step: `feed` m³ of composition `c_feed` comes in, `outflows[i]` m³ leave through outlet i.
    /// Writes what leaves through each outlet into `leaving`: a row an outlet, amounts and, behind them, the outflow times
    /// the composition at the end of the step. Some of what is fed may run straight to the outlets.
    ///
    /// The caller keeps the step within [`Reservoir::seconds_until_air`].
    pub fn pass(&mut self, feed: f64, c_feed: &[f64], outflows: &[f64], leaving: &mut [f64]) {
        let total: f64 = outflows.iter().sum();
        let straight = (self.bypass * feed).min(total);
        if straight <= 0.0 {
            return self.pass_spaces(feed, c_feed, outflows, leaving);
        }
        let share = straight / total;
        let through: Vec<f64> = outflows.iter().map(|q| q * (1.0 - share)).collect();
        self.pass_spaces(feed - straight, c_feed, &through, leaving);
        for (row, q) in leaving.chunks_mut(2 * c_feed.len()).zip(outflows) {
            for (l, c) in row.iter_mut().zip(c_feed.iter().chain(c_feed)) {
                *l += q * share * c;
            }
        }
    }

    fn pass_spaces(&mut self, feed: f64, c_feed: &[f64], outflows: &[f64], leaving: &mut [f64]) {
        let s = c_feed.len();
        let total: f64 = outflows.iter().sum();
        self.down.fill(0.0);
        // New fluid is the same all along.
        let (c_in, rise) = self.fed.split_at_mut(s);
        c_in.copy_from_slice(c_feed);
        rise.fill(0.0);
        if self.compartment_m3 <= 0.0 {
            // No wall: the common space feeds every outlet.
            self.pass_common(feed, total);
            for (row, q) in leaving.chunks_mut(2 * s).zip(outflows) {
                let share = if total > 0.0 { q / total } else { 0.0 };
                for (l, o) in row.iter_mut().zip(&self.down) {
                    *l = o * share;
                }
            }
            return;
        }
        // What falls from the common space into each compartment: what it sends out, plus what it
        // lacks where the common space can give it.
        let full = self.compartment_m3;
        let lack = |pool: &Pool| (full - pool.volume).max(0.0);
        let sum_lack: f64 = self.compartments.iter().map(lack).sum();
        let wanted = sum_lack + total;
        let given = wanted.min(self.common.volume + feed);
        self.pass_common(feed, given);
        if given > 0.0 {
            for d in &mut self.down {
                *d /= given;
            }
            straighten(&mut self.down, &mut self.before);
        }
        for ((pool, row), outflow) in
            self.compartments.iter_mut().zip(leaving.chunks_mut(2 * s)).zip(outflows)
        {
            let into = if given >= wanted {
                lack(pool) + outflow
            } else if total > 0.0 {
                // Too little for all: those that send out come first.
                let for_outflow = given.min(total) * outflow / total;
                let over = (given - total).max(0.0);
                for_outflow + if sum_lack > 0.0 { over * lack(pool) / sum_lack } else { 0.0 }
            } else {
                given * lack(pool) / wanted
            };
            let (row, end) = row.split_at_mut(s);
            pool.pass(into, &self.down, *outflow, row);
            pool.write_end(*outflow, row, end);
        }
    }
}
