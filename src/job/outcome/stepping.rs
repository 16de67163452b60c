//! A job that a caller drives by hand: open a bleeder, let it run, look, close it.
//!
//! It takes the steps of a job that runs through, by the same code: [`flush`](crate::job::flush) only goes on to the end
//! without a halt.
//!
//! # However it is sliced
//!
//! A job goes on in small steps of its own, whose length follows from the fluid, the rule and the supply, never from who
//! looks. To look between two of them, [`advance_ml`](Stepping::advance_ml) and [`advance_s`](Stepping::advance_s) do a
//! part of the next step *on a copy*, at the flow rates of that step, and all looks read the copy. Going on drops the
//! copy and goes on from the job's own last step. So nothing is interpolated, and how a caller slices an opening does not
//! change one bit of what comes of it: stepped through, a procedure gives the record of [`flush`](crate::job::flush)
//! (without its estimates of error). Only [`close`](Stepping::close) makes the copy the job, for there the hand ends the
//! step: closing after 80 mL is what the stop rule `80 mL` does, but for rounding.
//!
//! What a job does by itself (a stop rule that closes, pumping up, topping up, a stroke of the pedal that ends) it does at
//! the end of its own steps, and these are made to end there. A stop rule by eye closes where it would in a run.
//!
//! # By hand
//!
//! ```
//! use farwheel::job::{options::Options, record::ClosedBy, stepping::Stepping};
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/compact-hatchback.toml"));
//! let scenario = farwheel::read(text, "compact-hatchback.toml")?;
//! let mut job = Stepping::begin(&scenario, &Options::default())?;
//! job.next_step()?; // the first step of its procedure: pumped up
//! job.open(&["RR"])?;
//! while job.advance_ml(10.0)? {
//!     let hose = &job.hoses()[0];
//!     println!("{:.0} mL, {:.0} % old to be seen", hose.drained_ml, 100.0 * hose.seen_old_fraction);
//!     if hose.seen_old_fraction < 0.05 {
//!         job.close("RR")?;
//!         break;
//!     }
//! }
//! assert_eq!(job.openings()[0].closed_by, ClosedBy::Hand);
//! assert!(job.close("RR").is_err(), "it is shut");
//! // The other wheels as the scenario says, and the record of it all.
//! job.skip_step()?;
//! job.rest()?;
//! let record = job.record()?;
//! assert_eq!(record.openings.len(), 4);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod seen;

pub use super::look::Hose;

use super::by_hand::{can_be_done, cannot, unknown};
use super::{once, shortage};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::{ClosedBy, Record};
use crate::job::run::opening::Opened;
use crate::job::run::procedure;
use crate::job::state::{Job, Position, Setting};
use crate::keys::{Place, Quantity};
use crate::measures::{from_kpa, from_ml};
use crate::scenario::procedure::{Action, Step, StopRule};
use std::sync::Arc;

/// The least that can be advanced by, mL or s: what is less is lost in rounding.
pub const LEAST_ADVANCE: f64 = 1e-6;
/// The most cells of a [profile](Stepping::profiles) along a line.
pub const MOST_CELLS: usize = 10_000;
/// Closer than this to where an advance is to end, m³ or s, it has ended: a thousandth of the least advance.
const THERE: (f64, f64) = (1e-15, 1e-9);

/// A job driven by hand. A clone parts from it and costs little.
///
/// Errors are [`JobError::CannotBeDone`] where something cannot be done as things stand, with what to do instead, and
/// leave the job as it was; others mean that it cannot be simulated any further.
#[derive(Debug, Clone)]
pub struct Stepping {
    /// As far as it has come in steps of its own.
    job: At,
    /// A little further on: what is looked at, if anything has flowed since.
    part: Option<Box<At>>,
    /// Steps of the procedure that have been done or left out.
    turn: usize,
    /// Whether anything was done beside the procedure.
    by_hand: bool,
}

/// A job with the bleeders that are open.
#[derive(Debug, Clone)]
struct At {
    job: Job,
    opened: Option<Opened>,
}

/// Where an advance ends.
#[derive(Clone, Copy)]
enum Until {
    /// Drained in the whole job, m³.
    Drained(f64),
    /// Time for which fluid has flowed in the whole job, s.
    Flowed(f64),
    /// No bleeder is open.
    Closed,
}

impl Stepping {
    /// A job before its first step, the vehicle set up. Of the options `estimate_error` has no effect.
    ///
    /// # Errors
    /// [`JobError`] if the scenario cannot be simulated.
    pub fn begin(scenario: &Scenario, options: &Options) -> Result<Self, JobError> {
        let job = procedure::begin(Arc::new(Setting::new(scenario, options)?))?;
        Ok(Self { job: At { job, opened: None }, part: None, turn: 0, by_hand: false })
    }

    /// Opens bleeders together and holds them open, until they are closed by hand; at the latest the program's own bound
    /// does that, ten times the fluid in the system. Nothing flows before an advance.
    ///
    /// # Errors
    /// If some bleeder is open, one is not there or named twice, or the supply has run dry.
    pub fn open(&mut self, bleeders: &[&str]) -> Result<(), JobError> {
        let bleeders = bleeders.iter().map(|b| (*b).to_owned()).collect();
        self.act(Action::Open { bleeders, until: StopRule::default() })
    }

    /// Takes fluid out of the reservoir with a syringe until `leave_ml` are left in it.
    ///
    /// # Errors
    /// As [`act`](Self::act).
    pub fn syringe(&mut self, leave_ml: f64) -> Result<(), JobError> {
        self.act(Action::Syringe { leave: Quantity::known(from_ml(leave_ml)) })
    }

    /// Pours new fluid into the reservoir up to `to_ml`.
    ///
    /// # Errors
    /// As [`act`](Self::act).
    pub fn top_up(&mut self, to_ml: f64) -> Result<(), JobError> {
        self.act(Action::TopUp { to: Quantity::known(from_ml(to_ml)) })
    }

    /// Lets everything stand for some seconds; how far the lines' cross-sections mix meanwhile follows from the fluids.
    ///
    /// # Errors
    /// As [`act`](Self::act).
    pub fn wait(&mut self, seconds: f64) -> Result<(), JobError> {
        self.act(Action::Wait { time: Quantity::known(seconds), remix: None })
    }

    /// Pumps a pressure bleeder up to this gauge pressure; with another supply there is only a warning.
    ///
    /// # Errors
    /// As [`act`](Self::act).
    pub fn pump_up(&mut self, gauge_kpa: f64) -> Result<(), JobError> {
        self.act(Action::RePump { gauge: Quantity::known(from_kpa(gauge_kpa)) })
    }

    /// Does by hand what a step of a procedure may do, in SI units; bleeders that it opens are open afterwards, to be
    /// advanced until its stop rule or a hand closes them.
    ///
    /// # Errors
    /// If some bleeder is open, the supply has run dry, a quantity lies beyond what a scenario may say, or what is named
    /// is not there.
    pub fn act(&mut self, action: Action) -> Result<(), JobError> {
        self.shut("close it first")?;
        self.wet()?;
        can_be_done(&self.job.job.setting.circuit, &action)?;
        let pass = self.last_pass();
        self.begin_step(&Step { line: Place::Nowhere, action }, Position { pass, step: 0 })?;
        self.by_hand = true;
        Ok(())
    }

    /// Does the next step of the scenario's procedure: all of it, but of bleeders that it opens, which are to be advanced.
    /// Says whether there was one.
    ///
    /// # Errors
    /// If some bleeder is open, or the supply has run dry.
    pub fn next_step(&mut self) -> Result<bool, JobError> {
        self.shut("close it or run it until it is closed")?;
        let setting = Arc::clone(&self.job.job.setting);
        let Some(((pass, step), next)) = setting.scenario.procedure.in_turn().nth(self.turn) else {
            return Ok(false);
        };
        self.wet()?;
        self.begin_step(next, Position { pass, step })?;
        self.turn += 1;
        Ok(true)
    }

    /// Leaves the next step of the procedure out. Says whether there was one.
    ///
    /// # Errors
    /// If some bleeder is open.
    pub fn skip_step(&mut self) -> Result<bool, JobError> {
        self.shut("close it or run it until it is closed")?;
        let skipped = self.upcoming().is_some();
        self.turn += usize::from(skipped);
        self.by_hand |= skipped;
        Ok(skipped)
    }

    /// Pass and number (both from 1) of the next step of the procedure, and the step; `None` after the last.
    pub fn upcoming(&self) -> Option<(u32, usize, &Step)> {
        let mut left = self.job.job.setting.scenario.procedure.in_turn().skip(self.turn);
        left.next().map(|((pass, number), step)| (pass, number, step))
    }

    /// Lets so much more, mL, run out of all open bleeders together, or less if they are all closed before. Says whether
    /// any is still open.
    ///
    /// # Errors
    /// If none is open, or it is no volume of [`LEAST_ADVANCE`] or more.
    pub fn advance_ml(&mut self, volume_ml: f64) -> Result<bool, JobError> {
        self.may_advance(volume_ml, "mL")?;
        self.advance(Until::Drained(self.now().job.books.drained + from_ml(volume_ml)))
    }

    /// Lets fluid flow for so long, s, or less if all bleeders are closed before. As in a stop rule by time, pauses in
    /// which somebody pumps up, tops up or lets the pedal up do not count; [`clock_s`](Self::clock_s) counts them. Says
    /// whether any bleeder is still open.
    ///
    /// # Errors
    /// If none is open, or it is no time of [`LEAST_ADVANCE`] or more.
    pub fn advance_s(&mut self, seconds: f64) -> Result<bool, JobError> {
        self.may_advance(seconds, "s")?;
        self.advance(Until::Flowed(self.now().job.flow_s + seconds))
    }

    /// Lets the open bleeders run until their stop rule has closed them all.
    ///
    /// # Errors
    /// If none is open, or nothing but a hand closes them.
    pub fn until_closed(&mut self) -> Result<(), JobError> {
        self.some_open()?;
        if self.held().next().is_some_and(|o| o.rule.is_endless()) {
            return self.shut("it is held open by hand: close it");
        }
        self.advance(Until::Closed).map(|_| ())
    }

    /// Closes an open bleeder.
    ///
    /// # Errors
    /// If it is shut, or not there.
    pub fn close(&mut self, bleeder: &str) -> Result<(), JobError> {
        let circuit = &self.job.job.setting.circuit;
        let Some(number) = circuit.bleeder(bleeder) else { return Err(unknown(circuit, bleeder)) };
        let Some(i) = self.held().position(|o| o.bleeder == number) else {
            return Err(cannot(format!("{bleeder} is shut already")));
        };
        if let Some(part) = self.part.take() {
            self.job = *part;
        }
        self.by_hand = true;
        let At { job, opened: Some(opened) } = &mut self.job else { return Ok(()) };
        opened.close(job, i, ClosedBy::Hand);
        self.job.end_if_closed()
    }

    /// Goes on to the end: open bleeders until their stop rule closes them, then what is left of the scenario's
    /// procedure. Ends early if the supply runs dry.
    ///
    /// # Errors
    /// If a bleeder is held open by hand.
    pub fn rest(&mut self) -> Result<(), JobError> {
        loop {
            if self.job.opened.is_some() {
                self.until_closed()?;
            }
            if self.ran_dry() || !self.next_step()? {
                return Ok(());
            }
        }
    }

    /// The record if the job ends here, with the time that the scenario says ending it takes.
    ///
    /// # Errors
    /// If some bleeder is open.
    pub fn record(&self) -> Result<Record, JobError> {
        self.shut("close it first")?;
        let mut job = self.job.job.clone();
        if !job.dry {
            job.clock_s += job.setting.tasks().finish.value;
        } else if self.by_hand {
            shortage::by_hand(&mut job);
        } else {
            shortage::foretell(&mut job)?;
        }
        once::record(job)
    }

    fn now(&self) -> &At {
        self.part.as_deref().unwrap_or(&self.job)
    }

    /// Bleeders that are open.
    fn held(&self) -> impl Iterator<Item = &crate::job::run::bleeder::Open> {
        self.now().opened.iter().flat_map(|opened| &opened.open)
    }

    /// The pass in which the last step of the procedure stood.
    fn last_pass(&self) -> u32 {
        let before = self.turn.checked_sub(1);
        let procedure = &self.job.job.setting.scenario.procedure;
        before.and_then(|turn| procedure.in_turn().nth(turn)).map_or(1, |((pass, _), _)| pass)
    }

    fn begin_step(&mut self, step: &Step, place: Position) -> Result<(), JobError> {
        let mut begun = self.job.clone();
        begun.opened = procedure::begin_step(&mut begun.job, step, place)?;
        self.job = begun;
        self.job.end_if_closed()
    }

    fn advance(&mut self, until: Until) -> Result<bool, JobError> {
        self.part = None;
        while let At { job, opened: Some(opened) } = &mut self.job {
            let (still, there) = match until {
                Until::Drained(m3) => (m3 - job.books.drained, THERE.0),
                Until::Flowed(s) => (s - job.flow_s, THERE.1),
                Until::Closed => (f64::INFINITY, 0.0),
            };
            if still <= there {
                break;
            }
            if let Some(whole) = opened.plan(job)? {
                let rate = if let Until::Drained(_) = until { opened.flow_m3_s() } else { 1.0 };
                let seconds = still / rate;
                // As good as the whole step: then it is one.
                if seconds < whole - THERE.1.min(there / rate) {
                    let mut part = Box::new(self.job.clone());
                    if let At { job, opened: Some(opened) } = &mut *part {
                        opened.part(job, seconds)?;
                    }
                    self.part = Some(part);
                    break;
                }
                opened.step(job)?;
            }
            self.job.end_if_closed()?;
        }
        Ok(self.job.opened.is_some())
    }

    fn may_advance(&self, by: f64, unit: &str) -> Result<(), JobError> {
        self.some_open()?;
        match by.is_finite() && by >= LEAST_ADVANCE {
            true => Ok(()),
            false => Err(cannot(format!(
                "a job cannot be advanced by {by} {unit}: advance it by a number from {LEAST_ADVANCE} on"
            ))),
        }
    }

    fn some_open(&self) -> Result<(), JobError> {
        match self.job.opened {
            Some(_) => Ok(()),
            None => Err(cannot("no bleeder is open: open one first".to_owned())),
        }
    }

    /// # Errors
    /// If some bleeder is open: which, and what to do.
    fn shut(&self, remedy: &str) -> Result<(), JobError> {
        let bleeders = &self.job.job.setting.circuit.bleeders;
        let open: Vec<&str> = self.held().map(|o| bleeders[o.bleeder].name.as_str()).collect();
        match open.as_slice() {
            [] => Ok(()),
            _ => Err(cannot(format!("{} is open: {remedy}", open.join(" and ")))),
        }
    }

    fn wet(&self) -> Result<(), JobError> {
        match self.job.job.dry {
            false => Ok(()),
            true => Err(cannot(format!(
                "the supply ran dry {}, and air would enter the circuit: nothing more can be done in this job",
                self.job.job.dry_at
            ))),
        }
    }
}

impl At {
    /// Ends the step that opened bleeders if all of them are closed.
    fn end_if_closed(&mut self) -> Result<(), JobError> {
        match self.opened.take_if(|opened| opened.open.is_empty()) {
            Some(opened) => procedure::end_opening(&mut self.job, opened),
            None => Ok(()),
        }
    }
}
