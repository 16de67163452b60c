//! Bleeders opened together, and the loop of small steps until the last of them is closed.

use super::bleeder::{Open, early};
use super::clear_hose::{BOUND_CAPACITIES, CLOSE, FINEST, Rule};
use super::{pushing, sketch, strokes};
use crate::job::error::JobError;
use crate::job::record::{ClosedBy, Opening};
use crate::job::state::recorder::least_frames;
use crate::job::state::{Hydraulics, Job, Position};
use crate::job::survey::slow::NO_FLOW;
use crate::job::survey::{cautions, valves};
use crate::measures::to_ml;
use crate::scenario::procedure::StopRule;
use crate::transport::system::Step;

/// Fluid is not foretold further than this many of the last steps.
const LONGEST: f64 = 4.0;

/// Why the present step is no longer than it is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Limit {
    Resolution,
    Close(usize, ClosedBy),
    Dry,
    TopUp,
    /// A piston is at its stop.
    PedalStop,
}

/// Opens bleeders together and runs until all are closed; their records come in closing order.
pub(crate) fn run(
    job: &mut Job,
    bleeders: &[String],
    until: &StopRule,
    place: Position,
) -> Result<(), JobError> {
    let circuit = &job.setting.circuit;
    let bound_m3 = BOUND_CAPACITIES * circuit.capacity_m3();
    let rule = Rule::new(until, &job.setting.scenario.clear_hose, bound_m3);
    let bleeders: Vec<usize> = bleeders.iter().filter_map(|b| circuit.bleeder(b)).collect();
    job.note_supply();
    job.settle();
    let before = (job.strokes, job.books.drained);
    job.note_supply();
    let mut open: Vec<Open> = bleeders.into_iter().map(|b| Open::new(job, b, rule)).collect();
    let together_m3: f64 = open.iter().map(|o| o.path.pace_m3).sum();
    let mut done = Vec::new();
    let (mut hydraulics, mut moves) = (None, Moves::default());
    while !open.is_empty() {
        if hydraulics.is_none() {
            // One that has come to its end together with another must not wait for one more stroke.
            if let Some((i, by)) = open.iter().enumerate().find_map(|(i, o)| Some((i, o.due()?))) {
                done.push(open.remove(i).close(job, by, place));
                continue;
            }
            let numbers: Vec<usize> = open.iter().map(|o| o.bleeder).collect();
            strokes::stroke_if_over(job, &numbers);
            if job.dry {
                done.extend(open.drain(..).map(|o| o.close(job, ClosedBy::Supply, place)));
                break;
            }
            hydraulics = Some(job.network(&numbers)?);
            job.taken.network(&job.setting);
        }
        let Some(h) = &mut hydraulics else { break };
        let closed = advance(job, &mut open, h, &mut moves, place)?;
        job.count_step(open.len(), place)?;
        if let Some((i, by)) = closed {
            let closed: Vec<Open> = if by == ClosedBy::Supply {
                std::mem::take(&mut open)
            } else {
                vec![open.remove(i)]
            };
            done.extend(closed.into_iter().map(|o| o.close(job, by, place)));
        } else if !job.stroke.at_a_stop() {
            continue;
        }
        hydraulics.take().into_iter().for_each(|h| job.setting.networks.give_back(h));
    }
    strokes::release(job);
    if let Some(last) = done.last() {
        cautions::warn_of_no_pressure(job, &last.bleeder);
    }
    if let Some(sketched) = job.setting.sketched.as_ref().filter(|s| s.film) {
        let drained_m3 = job.books.drained - before.1;
        job.taken.frames +=
            least_frames(&job.setting, drained_m3, together_m3 / sketched.steps_per_path);
    }
    if job.dry {
        job.dry_at = when_dry(job, &done, before);
    }
    if job.setting.options.detail {
        job.balance();
    }
    job.openings.append(&mut done);
    Ok(())
}

/// When in this opening air came, and at which bleeder; `before` has strokes and drained volume at its
/// beginning.
fn when_dry(job: &Job, done: &[Opening], before: (u32, f64)) -> String {
    let dry = done.iter().filter(|o| o.closed_by == ClosedBy::Supply);
    let mut names: Vec<&str> = dry.map(|o| o.bleeder.as_str()).collect();
    if names.is_empty() {
        names.extend(done.last().map(|o| o.bleeder.as_str()));
    }
    let names = names.join(" and ");
    if job.supply.strokes().is_some() {
        format!("in stroke {} at {names}, as the pedal comes up", job.strokes - before.0)
    } else {
        format!("after {:.0} mL at {names}", to_ml(job.books.drained - before.1))
    }
}

/// Does one step; says which bleeder is to be closed, if any.
fn advance(
    job: &mut Job,
    open: &mut [Open],
    h: &mut Hydraulics,
    moves: &mut Moves,
    place: Position,
) -> Result<Option<(usize, ClosedBy)>, JobError> {
    // Until it is known what flows.
    job.taken.stands_for = 1.0;
    let gauge = job.supply.push_pa();
    h.solve(job.setting.flowing(), &job.system, gauge, longer(job, open))?;
    let stuck = h.exit_flow.iter().enumerate().position(|(i, q)| *q < NO_FLOW && !h.idle(i));
    if let Some(i) = stuck {
        let w = valves::no_flow(job, open[i].bleeder);
        job.warn(w.kind, w.text);
        return Ok(Some((i, ClosedBy::NoFlow)));
    }
    let Next { dt, limit } = next_step(job, open, h);
    if dt > 0.0 {
        transport(job, open, h, dt, moves, place)?;
    }
    Ok(match limit {
        // It may have turned dirty within the step that should have been its last, or darker.
        Limit::Close(i, ClosedBy::Clean) if !open[i].watcher.counts() => None,
        Limit::Close(i, by) => Some((i, by)),
        Limit::Dry => {
            job.dry = true;
            Some((0, ClosedBy::Supply))
        }
        Limit::PedalStop => None,
        Limit::TopUp => {
            pushing::top_up(job);
            None
        }
        Limit::Resolution => {
            pushing::re_pump(job);
            None
        }
    })
}

/// The next step: its duration in s, and what ends it.
#[derive(Debug, Clone, Copy)]
struct Next {
    dt: f64,
    limit: Limit,
}

impl Next {
    /// Makes the step shorter if `dt` is no longer than it.
    fn shorten(&mut self, dt: f64, limit: Limit) {
        if dt <= self.dt * (1.0 + CLOSE) {
            *self = Self { dt: dt.max(0.0), limit };
        }
    }
}

/// How many times as long as the last step the next one is to be, by the bleeder that lets it be shortest; 0 before the
/// first.
fn longer(job: &Job, open: &[Open]) -> f64 {
    let each = open.iter().filter(|o| o.step_m3 > 0.0).map(|o| next_m3(job, o) / o.step_m3);
    each.reduce(f64::min).map_or(0.0, |longer| longer.min(LONGEST))
}

/// How much a bleeder drains in the next step if nothing ends it before, m³.
fn next_m3(job: &Job, o: &Open) -> f64 {
    let usual = o.usual_step(&job.setting);
    if job.setting.sketched.is_some() {
        let most = if job.supply.feed_hose().is_some() { o.path.pace_m3 } else { f64::INFINITY };
        sketch::step(o, usual).min(most)
    } else {
        let usual = o.straight_step(&job.setting);
        o.watcher.step(usual, job.setting.options.steps_per_path).min(early(o.drained, usual))
    }
}

/// How long the next step is, and what ends it.
fn next_step(job: &Job, open: &[Open], h: &Hydraulics) -> Next {
    let mut next = Next { dt: f64::INFINITY, limit: Limit::Resolution };
    for (o, q) in open.iter().zip(&h.exit_flow) {
        next.dt = next.dt.min(next_m3(job, o) / q);
    }
    if let Some(work) = &job.working {
        next.dt = next.dt.min(work.cycle_s(&job.setting));
    }
    let total: f64 = h.exit_flow.iter().sum();
    let reservoir = &job.system.reservoir;
    next.shorten(job.supply.until_dry_m3(job.cap()) / total, Limit::Dry);
    if job.supply.strokes().is_some() {
        next.shorten(job.stroke.seconds_to_stop(&h.chamber_flow), Limit::PedalStop);
    } else if job.supply.feed_hose().is_none() {
        next.shorten(reservoir.seconds_until_air(&h.outlet_flow), Limit::Dry);
        // Last, so that an empty reservoir is topped up before anything flows.
        if let Some((low, _)) = job.refill() {
            next.shorten((reservoir.volume() - low) / total, Limit::TopUp);
        }
    }
    for (i, (o, q)) in open.iter().zip(&h.exit_flow).enumerate() {
        for (volume, by) in o.closings() {
            let mut dt = (volume - o.drained) / q;
            if by == ClosedBy::Clean {
                let usual = o.usual_step(&job.setting);
                let least = match job.setting.sketched {
                    Some(_) => sketch::least_step(usual),
                    None => o.watcher.least_step(usual),
                } / q;
                dt = dt.max(least).max(o.watcher.still_to_look_s());
            }
            next.shorten(dt, Limit::Close(i, by));
        }
        if let Some(time) = o.rule.time
            && o.drained >= o.rule.at_least
        {
            next.shorten(time - o.flowed_s(job), Limit::Close(i, ClosedBy::Time));
        }
    }
    // A little beyond the mark, since he pumps once it has fallen below; where it ends anyway but for a trickle, then.
    let low_s =
        job.supply.until_low_m3().max(open[0].least_step(&job.setting)) * (1.0 + CLOSE) / total;
    if low_s < next.dt * (1.0 - FINEST.1) {
        next = Next { dt: low_s, limit: Limit::Resolution };
    }
    next
}

/// Memory for one step, used again and again.
#[derive(Debug, Default)]
struct Moves {
    through: Vec<f64>,
    exits: Vec<(usize, f64)>,
    given: Vec<(usize, f64)>,
    leaving: Vec<f64>,
}

fn transport(
    job: &mut Job,
    open: &mut [Open],
    h: &Hydraulics,
    dt: f64,
    moves: &mut Moves,
    place: Position,
) -> Result<(), JobError> {
    let s = job.setting.species.len();
    let Moves { through, exits, given, leaving } = moves;
    through.clear();
    through.extend(h.link_flow.iter().map(|q| q * dt));
    if let Some(work) = &job.working {
        work.divert(&job.setting, dt, through);
    }
    exits.clear();
    exits.extend(
        (open.iter().zip(&h.exit_flow))
            .map(|(o, q)| (job.setting.circuit.bleeders[o.bleeder].node, q * dt)),
    );
    given.clear();
    given.extend(h.chamber_flow.iter().map(|(node, q)| (*node, q.max(0.0) * dt)));
    job.stroke.sweep(given);
    leaving.clear();
    leaving.resize(exits.len() * s, 0.0);
    let drained: f64 = exits.iter().map(|e| e.1).sum();
    let lasts = job.system.reservoir.seconds_until_air(&h.outlet_flow) / dt * drained;
    let feed_m3 = pushing::feed(job, drained, lasts);
    let feed = job.setting.new_fluid.as_slice();
    // When fluid in a loop turns round depends on how finely it is followed: a sketch says nothing of it.
    if job.setting.sketched.is_none() && job.system.turns_round(through) {
        let turning = |link: usize| job.system.turns(link, through);
        job.taken.before_snapshots(&job.setting, &job.system, place, turning)?;
    }
    if job.setting.sketched.is_some() {
        let drained = open.iter().zip(exits.iter().map(|e| e.1));
        job.taken.stands_for = sketch::steps(job, drained);
        job.system.next_stands_for(job.taken.stands_for);
    }
    let step = Step { through_m3: through, exits, given, feed_m3, feed, time_s: dt };
    job.system.step(&job.setting.circuit, &step, leaving).map_err(|_| JobError::RunsInACircle)?;
    job.system.next_stands_for(1.0);
    if let Some(work) = &job.working {
        work.beside(&job.setting, &mut job.system, dt);
    }
    job.clock_s += dt;
    job.flow_s += dt;
    h.note_fast(&mut job.fast, open[0].bleeder);
    let b = &mut job.books;
    b.drained += drained;
    b.gone_volume += drained;
    b.comes(feed_m3, &job.setting.new_fluid);
    for ((o, row), exit) in open.iter_mut().zip(leaving.chunks(s)).zip(exits.iter()) {
        for (gone, x) in job.books.gone.iter_mut().zip(row) {
            *gone += x;
        }
        if exit.1 > 0.0 {
            o.take(job, exit.1, row, exit.1 / dt, h.reynolds);
        }
    }
    job.note_supply();
    let rounding_m3 = job.rounding_m3();
    job.film_if_due(|setting| open.iter().map(|o| o.drawn(setting, rounding_m3)).collect());
    if job.setting.options.check_every_step {
        job.balance();
    }
    Ok(())
}
