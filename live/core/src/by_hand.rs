//! Jobs driven by hand: begun, and then asked of by their number.
//!
//! Whoever holds a bleeder open closes it: a scenario's own stop rule does not. What its procedure does before the first
//! opening (loading, pumping up) is done before the first opening here too.

mod told;

use crate::change::Changed;
use crate::question::{Asked, Failure};
use farwheel::Scenario;
use farwheel::job::check;
use farwheel::job::check::PathLine;
use farwheel::job::stepping::Stepping;
use farwheel::scenario::procedure::{Action, StopRule};
use serde_json::{Value, json};
use std::cell::RefCell;

/// Jobs kept at the same time; with one more, the oldest is dropped.
const MOST_JOBS: usize = 4;

/// A job that is kept.
struct Kept {
    number: u64,
    scenario: Scenario,
    paths: Vec<PathLine>,
    job: Stepping,
    /// The job as it stood when the bleeder was opened that is open, or was last.
    opened: Option<Stepping>,
}

#[derive(Default)]
struct Jobs {
    begun: u64,
    kept: Vec<Kept>,
}

thread_local! {
    static JOBS: RefCell<Jobs> = RefCell::default();
}

pub fn by_hand(mut asked: Asked) -> Result<Value, Failure> {
    let what: String = asked.take("do")?;
    JOBS.with_borrow_mut(|jobs| {
        // Sets a vehicle up; nothing has been done yet.
        if what == "begin" {
            return jobs.begin(&asked.rest()?);
        }
        let number = asked.take("job")?;
        // Forgets it.
        if what == "drop" {
            return jobs.forget(number);
        }
        jobs.get(number)?.do_so(&what, asked)
    })
}

impl Jobs {
    fn begin(&mut self, changed: &Changed) -> Result<Value, Failure> {
        let asked = changed.job()?;
        let job = Stepping::begin(&asked.scenario, &asked.options)?;
        let paths = check(&asked.scenario, &asked.options)?.paths;
        self.begun += 1;
        let dropped = (self.kept.len() >= MOST_JOBS).then(|| self.kept.remove(0).number);
        let kept = Kept { number: self.begun, scenario: asked.scenario, paths, job, opened: None };
        let mut now = kept.now();
        // Said, so that nobody wonders where it went.
        now["dropped"] = json!(dropped);
        self.kept.push(kept);
        Ok(now)
    }

    fn get(&mut self, number: u64) -> Result<&mut Kept, Failure> {
        self.kept.iter_mut().find(|k| k.number == number).ok_or_else(|| gone(number))
    }

    fn forget(&mut self, number: u64) -> Result<Value, Failure> {
        let at = self.kept.iter().position(|k| k.number == number).ok_or_else(|| gone(number))?;
        self.kept.remove(at);
        Ok(json!({ "job": number }))
    }
}

fn gone(number: u64) -> Failure {
    Failure::Error(format!(
        "job {number} is not kept: it was never begun, or dropped for a later one; begin it again"
    ))
}

impl Kept {
    fn do_so(&mut self, what: &str, mut asked: Asked) -> Result<Value, Failure> {
        let mut figure = |name| asked.take::<f64>(name);
        match what {
            // Opens a bleeder and holds it open.
            "open" => self.open(&asked.take::<String>("bleeder")?),
            // Lets fluid flow for some seconds.
            "advance_s" => {
                let seconds = figure("seconds")?;
                self.advance(|j| j.advance_s(seconds))
            }
            // Lets some millilitres run.
            "advance_ml" => {
                let ml = figure("ml")?;
                self.advance(|j| j.advance_ml(ml))
            }
            // Looks, and does nothing.
            "look" => Ok(self.now()),
            // Closes the bleeder that is open.
            "close" => self.close(),
            // Takes fluid out of the reservoir until so much is left.
            "syringe" => {
                let leave_ml = figure("leave_ml")?;
                self.act(|j| j.syringe(leave_ml))
            }
            // Pours new fluid into the reservoir.
            "top_up" => {
                let to_ml = figure("to_ml")?;
                self.act(|j| j.top_up(to_ml))
            }
            // Lets everything stand.
            "wait" => {
                let seconds = figure("seconds")?;
                self.act(|j| j.wait(seconds))
            }
            // Does the next step of the scenario's procedure that opens no bleeder.
            "step" => self.step(),
            // Leaves the rest of the job to the scenario's procedure.
            "go_on" => self.act(Stepping::rest),
            // What it comes to if it ends here.
            "record" => Ok(json!({ "record": self.job.record()? })),
            other => Err(Failure::Error(format!("nothing is done that is called `{other}`"))),
        }
    }

    fn open(&mut self, bleeder: &str) -> Result<Value, Failure> {
        // On a copy: what cannot be opened leaves no half of it done.
        let mut job = self.job.clone();
        if job.openings().is_empty() {
            while next(&job).is_some_and(|a| !opens(a)) && job.next_step()? {}
        }
        let until = self.watched_by(bleeder);
        job.act(Action::Open { bleeders: vec![bleeder.to_owned()], until })?;
        self.opened = Some(job.clone());
        self.job = job;
        Ok(self.now())
    }

    /// The scenario's own eye, where it opens this bleeder; but it closes nothing.
    fn watched_by(&self, bleeder: &str) -> StopRule {
        let own = self.scenario.procedure.steps.iter().find_map(|s| match &s.action {
            Action::Open { bleeders, until } if bleeders.iter().any(|b| b == bleeder) => {
                Some(until)
            }
            _ => None,
        });
        own.map_or_else(StopRule::default, |own| StopRule {
            threshold: own.threshold,
            hold: own.hold,
            ..StopRule::default()
        })
    }

    fn advance(
        &mut self,
        by: impl FnOnce(&mut Stepping) -> Result<bool, farwheel::job::error::JobError>,
    ) -> Result<Value, Failure> {
        match by(&mut self.job)? {
            true => Ok(self.now()),
            false => Ok(self.closed()?),
        }
    }

    fn close(&mut self) -> Result<Value, Failure> {
        let open: Vec<String> = self.job.hoses().into_iter().map(|h| h.bleeder).collect();
        if open.is_empty() {
            return Err(Failure::Error("no bleeder is open: open one first".to_owned()));
        }
        for bleeder in open {
            self.job.close(&bleeder)?;
        }
        self.closed()
    }

    /// After an opening of the procedure's was done by hand instead, it is passed over.
    fn pass_openings(&mut self) -> Result<(), Failure> {
        while next(&self.job).is_some_and(opens) && self.job.skip_step()? {}
        Ok(())
    }

    fn closed(&mut self) -> Result<Value, Failure> {
        self.pass_openings()?;
        let mut now = self.now();
        now["closed"] = told::closed(self)?;
        Ok(now)
    }

    fn step(&mut self) -> Result<Value, Failure> {
        if !self.job.next_step()? {
            return Err(Failure::Error("the procedure has no further step".to_owned()));
        }
        if !self.job.hoses().is_empty() {
            self.job.until_closed()?;
        }
        if !self.job.openings().is_empty() {
            self.pass_openings()?;
        }
        Ok(self.now())
    }

    fn act(
        &mut self,
        what: impl FnOnce(&mut Stepping) -> Result<(), farwheel::job::error::JobError>,
    ) -> Result<Value, Failure> {
        what(&mut self.job)?;
        Ok(self.now())
    }

    fn now(&self) -> Value {
        told::now(self)
    }
}

fn next(job: &Stepping) -> Option<&Action> {
    job.upcoming().map(|(_, _, step)| &step.action)
}

fn opens(action: &Action) -> bool {
    matches!(action, Action::Open { .. })
}
