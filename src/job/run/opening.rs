//! Bleeders opened together, and the loop of small steps until the last of them is closed.

use super::bleeder::Open;
use super::clear_hose::{CLOSE, Rule};
use super::{pushing, strokes};
use crate::job::error::JobError;
use crate::job::record::{ClosedBy, Opening};
use crate::job::state::hydraulics::{Fast, Hydraulics};
use crate::job::state::{Place, Setting, State};
use crate::job::survey::valves::{self, NO_FLOW};
use crate::measures::to_ml;
use crate::transport::system::Step;

/// Early steps are this share of what has been drained, at most.
const EARLY: f64 = 0.125;

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

/// Opens bleeders together and runs until all are closed; the records come in closing order.
pub(crate) fn run(
    setting: &Setting,
    state: &mut State,
    bleeders: &[usize],
    rule: Rule,
    place: Place,
) -> Result<Vec<Opening>, JobError> {
    state.note_supply(setting);
    state.settle(setting);
    let before = (state.strokes, state.books.drained);
    state.note_supply(setting);
    let mut open: Vec<Open> =
        bleeders.iter().map(|&b| Open::new(setting, state, b, rule)).collect();
    let mut done = Vec::new();
    let (mut hydraulics, mut moves) = (None, Moves::default());
    while !open.is_empty() {
        if hydraulics.is_none() {
            // One that has come to its end together with another must not wait for one more stroke.
            if let Some((i, by)) = open.iter().enumerate().find_map(|(i, o)| Some((i, o.due()?))) {
                done.push(open.remove(i).close(setting, state, by, place));
                continue;
            }
            let numbers: Vec<usize> = open.iter().map(|o| o.bleeder).collect();
            strokes::stroke_if_over(setting, state, &numbers);
            if state.dry {
                done.extend(
                    open.drain(..).map(|o| o.close(setting, state, ClosedBy::Supply, place)),
                );
                break;
            }
            hydraulics = Some(state.network(setting, &numbers)?);
            state.taken.network(setting);
        }
        let Some(h) = &mut hydraulics else { break };
        let closed = advance(setting, state, &mut open, h, &mut moves, place)?;
        state.count_step(setting, open.len(), place)?;
        if let Some((i, by)) = closed {
            let closed: Vec<Open> = if by == ClosedBy::Supply {
                std::mem::take(&mut open)
            } else {
                vec![open.remove(i)]
            };
            done.extend(closed.into_iter().map(|o| o.close(setting, state, by, place)));
            hydraulics = None;
        } else if state.stroke.at_a_stop() {
            hydraulics = None;
        }
    }
    strokes::release(setting, state);
    if state.dry {
        state.dry_at = when_dry(state, &done, before);
    }
    if setting.options.detail {
        state.balance(setting);
    }
    Ok(done)
}

/// When in this opening air came, and at which bleeder; `before` has strokes and drained volume at its
/// beginning.
fn when_dry(state: &State, done: &[Opening], before: (u32, f64)) -> String {
    let dry = done.iter().filter(|o| o.closed_by == ClosedBy::Supply);
    let mut names: Vec<&str> = dry.map(|o| o.bleeder.as_str()).collect();
    if names.is_empty() {
        names.extend(done.last().map(|o| o.bleeder.as_str()));
    }
    let names = names.join(" and ");
    if state.supply.strokes().is_some() {
        format!("in stroke {} at {names}, as the pedal comes up", state.strokes - before.0)
    } else {
        format!("after {:.0} mL at {names}", to_ml(state.books.drained - before.1))
    }
}

/// Does one step; says which bleeder is to be closed, if any.
fn advance(
    setting: &Setting,
    state: &mut State,
    open: &mut [Open],
    h: &mut Hydraulics,
    moves: &mut Moves,
    place: Place,
) -> Result<Option<(usize, ClosedBy)>, JobError> {
    let gauge = state.supply.push_pa();
    let drift = setting.options.flow_drift;
    h.solve(&setting.circuit, &state.system, &setting.blend, &setting.species, gauge, drift)?;
    let stuck = h.exit_flow.iter().enumerate().position(|(i, q)| *q < NO_FLOW && !h.idle(i));
    if let Some(i) = stuck {
        let w = valves::no_flow(setting, open[i].bleeder, state.supply.as_ref());
        state.warn(w.kind, w.text);
        return Ok(Some((i, ClosedBy::NoFlow)));
    }
    let Next { dt, limit } = next_step(setting, state, open, h);
    if dt > 0.0 {
        transport(setting, state, open, h, dt, (moves, place))?;
    }
    Ok(match limit {
        // It may have turned dirty within the step that should have been its last, or darker.
        Limit::Close(i, ClosedBy::Clean) if !open[i].watcher.counts() => None,
        Limit::Close(i, by) => Some((i, by)),
        Limit::Dry => {
            state.dry = true;
            Some((0, ClosedBy::Supply))
        }
        Limit::PedalStop => None,
        Limit::TopUp => {
            pushing::top_up(setting, state);
            None
        }
        Limit::Resolution => {
            pushing::re_pump(setting, state);
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

/// How long the next step is, and what ends it.
fn next_step(setting: &Setting, state: &State, open: &[Open], h: &Hydraulics) -> Next {
    let mut next = Next { dt: f64::INFINITY, limit: Limit::Resolution };
    for (o, q) in open.iter().zip(&h.exit_flow) {
        let usual = o.usual_step(setting);
        let fine = o.watcher.step(usual, setting.options.steps_per_path);
        // Begin with short steps: what lies close to the bleeder may have run clean before the first
        // usual steps are done.
        let begun = (EARLY * o.drained).clamp(usual / 6.0, usual);
        next.dt = next.dt.min(fine.min(begun) / q);
    }
    if let Some(work) = &state.working {
        next.dt = next.dt.min(work.cycle_s(setting));
    }
    let total: f64 = h.exit_flow.iter().sum();
    let reservoir = &state.system.reservoir;
    next.shorten(state.supply.until_dry_m3(state.cap(setting)) / total, Limit::Dry);
    if state.supply.strokes().is_some() {
        next.shorten(state.stroke.seconds_to_stop(&h.chamber_flow), Limit::PedalStop);
    } else if state.supply.feed_hose().is_none() {
        next.shorten(reservoir.seconds_until_air(&h.outlet_flow), Limit::Dry);
        // Last, so that an empty reservoir is topped up before anything flows.
        let refill = state.supply.topping().and_then(|t| setting.circuit.reservoir.refill(t));
        if let Some((low, _)) = refill {
            next.shorten((reservoir.volume() - low) / total, Limit::TopUp);
        }
    }
    for (i, (o, q)) in open.iter().zip(&h.exit_flow).enumerate() {
        for (volume, by) in o.closings() {
            let mut dt = (volume - o.drained) / q;
            if by == ClosedBy::Clean {
                let least = o.watcher.least_step(o.usual_step(setting)) / q;
                dt = dt.max(least).max(o.watcher.still_to_look_s());
            }
            next.shorten(dt, Limit::Close(i, by));
        }
        if let Some(time) = o.rule.time
            && o.drained >= o.rule.at_least
        {
            next.shorten(time - o.flowed_s(state), Limit::Close(i, ClosedBy::Time));
        }
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
    setting: &Setting,
    state: &mut State,
    open: &mut [Open],
    h: &Hydraulics,
    dt: f64,
    (moves, place): (&mut Moves, Place),
) -> Result<(), JobError> {
    let s = setting.species.len();
    let Moves { through, exits, given, leaving } = moves;
    through.clear();
    through.extend(h.link_flow.iter().map(|q| q * dt));
    if let Some(work) = &state.working {
        work.divert(setting, dt, through);
    }
    exits.clear();
    exits.extend(
        (open.iter().zip(&h.exit_flow))
            .map(|(o, q)| (setting.circuit.bleeders[o.bleeder].node, q * dt)),
    );
    given.clear();
    given.extend(h.chamber_flow.iter().map(|(node, q)| (*node, q.max(0.0) * dt)));
    state.stroke.sweep(given);
    leaving.clear();
    leaving.resize(exits.len() * s, 0.0);
    let drained: f64 = exits.iter().map(|e| e.1).sum();
    let lasts = state.system.reservoir.seconds_until_air(&h.outlet_flow) / dt * drained;
    let feed_m3 = pushing::feed(setting, state, drained, lasts);
    let feed = setting.new_fluid.as_slice();
    if state.system.turns_round(through) {
        let turning = |link: usize| state.system.turns(link, through);
        state.taken.before_snapshots(setting, &state.system, place, turning)?;
    }
    let step = Step { through_m3: through, exits, given, feed_m3, feed, time_s: dt };
    state.system.step(&setting.circuit, &step, leaving).map_err(|_| JobError::RunsInACircle)?;
    if let Some(work) = &state.working {
        work.beside(setting, &mut state.system, dt);
    }
    state.clock_s += dt;
    state.flow_s += dt;
    for &(link, reynolds) in &h.beyond_laminar {
        Fast { link, bleeder: open[0].bleeder, reynolds }.note(&mut state.fast);
    }
    let b = &mut state.books;
    b.drained += drained;
    b.gone_volume += drained;
    b.come_volume += feed_m3;
    for (come, c) in b.come.iter_mut().zip(&setting.new_fluid) {
        *come += feed_m3 * c;
    }
    for row in leaving.chunks(s) {
        for (gone, x) in b.gone.iter_mut().zip(row) {
            *gone += x;
        }
    }
    for ((o, row), exit) in open.iter_mut().zip(leaving.chunks(s)).zip(exits.iter()) {
        if exit.1 > 0.0 {
            o.take(setting, state, exit.1, row, exit.1 / dt, h.reynolds);
        }
    }
    state.note_supply(setting);
    state.film_if_due(setting, || open.iter().map(|o| o.drawn(setting)).collect());
    if setting.options.check_every_step {
        state.balance(setting);
    }
    Ok(())
}
