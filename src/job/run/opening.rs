//! Bleeders opened together, and the loop of small steps until the last of them is closed.
//!
//! Whoever runs a job through and whoever drives it by hand take the same steps: each is planned ([`Opened::plan`]), then
//! done ([`Opened::step`]). By hand a part of the step planned may be done, on a copy ([`Opened::part`]).

use super::bleeder::Open;
use super::clear_hose::{BOUND_CAPACITIES, Rule};
use super::next::{Limit, Next, longer, next_step, upcoming_m3};
use super::{pushing, sketch, strokes};
use crate::job::error::JobError;
use crate::job::record::{ClosedBy, Opening};
use crate::job::state::{Hydraulics, Job, Position};
use crate::job::survey::slow::NO_FLOW;
use crate::job::survey::{cautions, pumps, valves};
use crate::measures::to_ml;
use crate::scenario::procedure::StopRule;
use crate::transport::system::Step;

/// Bleeders opened together: those that are still open, and the records of those closed, in closing order.
#[derive(Debug, Clone)]
pub(crate) struct Opened {
    pub open: Vec<Open>,
    done: Vec<Opening>,
    place: Position,
    /// Strokes and drained volume of the job before.
    before: (u32, f64),
    /// The network of those that are open, and the step that its flows were solved for.
    hydraulics: Option<Hydraulics>,
    next: Option<Next>,
    moves: Moves,
}

impl Opened {
    /// Opens bleeders together.
    pub(crate) fn new(
        job: &mut Job,
        bleeders: &[String],
        until: &StopRule,
        place: Position,
    ) -> Self {
        let circuit = &job.setting.circuit;
        let bound_m3 = BOUND_CAPACITIES * circuit.capacity_m3();
        let rule = Rule::new(until, &job.setting.scenario.clear_hose, bound_m3);
        let bleeders: Vec<usize> = bleeders.iter().filter_map(|b| circuit.bleeder(b)).collect();
        job.note_supply();
        job.settle();
        let before = (job.strokes, job.books.drained);
        job.note_supply();
        let open: Vec<Open> = bleeders.into_iter().map(|b| Open::new(job, b, rule)).collect();
        Self {
            done: Vec::new(),
            place,
            before,
            hydraulics: None,
            next: None,
            moves: Moves::default(),
            open,
        }
    }

    /// Which step of the procedure opened them.
    pub(crate) fn place(&self) -> Position {
        self.place
    }

    /// Solves for the flows of the next step; says how long it is, s, or `None` once all are closed. Asked again, it says
    /// the same until a step is done.
    ///
    /// # Errors
    /// [`JobError`] if it cannot be simulated.
    pub(crate) fn plan(&mut self, job: &mut Job) -> Result<Option<f64>, JobError> {
        while self.next.is_none() && !self.open.is_empty() {
            if self.hydraulics.is_none() {
                // One that has come to its end together with another must not wait for one more stroke.
                let mut each = self.open.iter().enumerate();
                if let Some((i, by)) = each.find_map(|(i, o)| Some((i, o.due()?))) {
                    self.close(job, i, by);
                    continue;
                }
                let numbers: Vec<usize> = self.open.iter().map(|o| o.bleeder).collect();
                strokes::stroke_if_over(job, &numbers);
                if job.dry {
                    self.close(job, 0, ClosedBy::Supply);
                    break;
                }
                self.hydraulics = Some(job.network(&numbers)?);
                job.taken.network(&job.setting);
            }
            let Some(h) = &mut self.hydraulics else { break };
            // Until it is known what flows.
            job.taken.stands_for = 1.0;
            // As it will be in the middle of the step.
            let gauge = job.supply.push_after_pa(0.5 * upcoming_m3(job, &self.open));
            h.solve(job.setting.flowing(), &job.system, gauge, longer(job, &self.open))?;
            let mut flows = h.exit_flow.iter().enumerate();
            if let Some(i) = flows.position(|(i, q)| *q < NO_FLOW && !h.idle(i)) {
                let w = valves::no_flow(job, self.open[i].bleeder);
                job.warn(w.kind, w.text);
                job.count_step(self.open.len(), self.place)?;
                self.close(job, i, ClosedBy::NoFlow);
            } else {
                self.next = Some(next_step(job, &self.open, h));
            }
        }
        Ok(self.next.map(|next| next.dt))
    }

    /// What flows out of all of them in the step planned, m³/s.
    pub(crate) fn flow_m3_s(&self) -> f64 {
        self.hydraulics.as_ref().map_or(0.0, |h| h.exit_flow.iter().sum())
    }

    /// Does one step, with what ends it; says whether there was one to do.
    ///
    /// # Errors
    /// [`JobError`] if it cannot be simulated.
    pub(crate) fn step(&mut self, job: &mut Job) -> Result<bool, JobError> {
        self.plan(job)?;
        let Some(Next { dt, limit }) = self.next else { return Ok(false) };
        self.flow(job, dt)?;
        let closed = match limit {
            // It may have turned dirty within the step that should have been its last, or darker.
            Limit::Close(i, ClosedBy::Clean) if !self.open[i].watcher.counts() => None,
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
        };
        job.count_step(self.open.len(), self.place)?;
        if let Some((i, by)) = closed {
            self.close(job, i, by);
        } else if job.stroke.at_a_stop() {
            self.network_back(job);
        }
        Ok(true)
    }

    /// Does `dt` s of the step planned, and nothing of what would end it.
    ///
    /// # Errors
    /// [`JobError`] if it cannot be simulated.
    pub(crate) fn part(&mut self, job: &mut Job, dt: f64) -> Result<(), JobError> {
        self.flow(job, dt)?;
        job.count_step(self.open.len(), self.place)
    }

    /// Lets fluid flow for `dt` s; whatever comes then has to be planned.
    fn flow(&mut self, job: &mut Job, dt: f64) -> Result<(), JobError> {
        self.next = None;
        let Some(h) = &self.hydraulics else { return Ok(()) };
        if dt > 0.0 {
            transport(job, &mut self.open, h, dt, &mut self.moves, self.place)?;
        }
        Ok(())
    }

    /// Closes the `i`-th of those open; all of them if the supply ran dry.
    pub(crate) fn close(&mut self, job: &mut Job, i: usize, by: ClosedBy) {
        let closed = if by == ClosedBy::Supply { 0..self.open.len() } else { i..i + 1 };
        self.done.extend(self.open.drain(closed).map(|o| o.close(job, by, self.place)));
        self.network_back(job);
    }

    /// The network holds no longer.
    fn network_back(&mut self, job: &Job) {
        self.next = None;
        self.hydraulics.take().into_iter().for_each(|h| job.setting.networks.give_back(h));
    }

    /// What follows once all are closed.
    pub(crate) fn end(mut self, job: &mut Job) {
        strokes::release(job);
        if let Some(last) = self.done.last() {
            cautions::warn_of_no_pressure(job, &last.bleeder);
        }
        if job.dry {
            job.dry_at = when_dry(job, &self.done, self.before);
        }
        if job.setting.options.detail {
            job.balance();
        }
        job.openings.append(&mut self.done);
    }
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

/// Memory for one step, used again and again.
#[derive(Debug, Clone, Default)]
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
        work.beside(&job.setting, &mut job.system, dt, through);
    }
    job.clock_s += dt;
    job.flow_s += dt;
    h.note_fast(&mut job.fast, open[0].bleeder);
    if let Some(w) = pumps::starved(h.before_pump_pa) {
        job.warn_of_kind(w);
    }
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
    if job.setting.options.check_every_step {
        job.balance();
    }
    Ok(())
}
