//! Every stretch of a job on the clock, from when until when: setting up, syringe, waits, pumping up, each opening,
//! moving from wheel to wheel, working a modulator with the chambers that are worked.

use crate::circuit::{Circuit, Scenario};
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::{Does, StepDone};
use crate::job::stepping::Stepping;
use crate::scenario::procedure::Action;
use crate::sorting;
use serde::Serialize;

/// What is done in a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Setting up before the first step.
    SetUp,
    /// A bleeder is open.
    Open,
    /// The next wheel is gone to and made ready.
    Move,
    /// The job is ended.
    Finish,
    /// A step that opens none, or what is done of itself while a bleeder is open.
    Step(Does),
}

impl Doing {
    /// What it is called.
    pub fn words(self) -> &'static str {
        match self {
            Self::SetUp => "set up",
            Self::Open => "open",
            Self::Move => "move on",
            Self::Finish => "finish",
            Self::Step(does) => does.words(),
        }
    }
}

impl Serialize for Doing {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.words())
    }
}

/// A stretch of the clock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stretch {
    /// What is done.
    pub doing: Doing,
    /// Begin, s from the start of the job.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Pass and step of the procedure, from 1; `None` beside the procedure.
    pub place: Option<(u32, usize)>,
    /// The bleeder that is open, or those that are open while a modulator is worked.
    pub bleeders: Vec<String>,
    /// Drained, or moved into the reservoir or the supply (out of it negative), mL.
    pub moved_ml: f64,
    /// Chambers of a modulator that are worked.
    pub chambers: Vec<String>,
}

/// The stretches of a job in the order in which they begin; an opening stands before what is done while it is open.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated.
pub fn time_line(scenario: &Scenario, options: &Options) -> Result<Vec<Stretch>, JobError> {
    let mut job = Stepping::begin(scenario, options)?;
    let tasks = &scenario.procedure.tasks;
    let mut line = vec![stretch(Doing::SetUp, 0.0, job.clock_s())];
    while let Some((pass, number, step)) = job.upcoming() {
        if job.ran_dry() {
            return Ok(line);
        }
        let action = step.action.clone();
        let (start_s, steps, openings) = (job.clock_s(), job.steps().len(), job.openings().len());
        job.next_step()?;
        if !job.hoses().is_empty() {
            job.until_closed()?;
        }
        let place = Some((pass, number));
        let opened = &job.openings()[openings..];
        let closed_s = opened.iter().map(|o| o.closed_s).fold(start_s, f64::max);
        let mut these: Vec<Stretch> = Vec::new();
        if let Action::WorkModulator { modulator, channels, bleeders, .. } = &action {
            let end_s = if opened.is_empty() { job.clock_s() } else { closed_s };
            these.push(Stretch {
                place,
                bleeders: bleeders.clone(),
                chambers: worked(scenario.circuit(), modulator, channels),
                ..stretch(Doing::Step(Does::WorkModulator), start_s, end_s)
            });
        }
        these.extend(opened.iter().map(|o| Stretch {
            place,
            bleeders: vec![o.bleeder.clone()],
            moved_ml: o.drained_ml,
            ..stretch(Doing::Open, o.opened_s, o.closed_s)
        }));
        let done = job.steps()[steps..].iter().filter(|s| s.does != Does::WorkModulator);
        these.extend(done.map(|s| {
            let took_s = match s.does {
                Does::RePump => tasks.per_re_pump.value,
                Does::TopUp => tasks.per_top_up.value,
                _ => 0.0,
            };
            // What is a step of the procedure took all of it; what is done of itself, its own time.
            let start_s = if s.step > 0 { start_s } else { s.at_s - took_s };
            beside(s, start_s, place)
        }));
        sorting::by(&mut these, |a, b| a.start_s.total_cmp(&b.start_s));
        line.extend(these);
        if !opened.is_empty() && job.clock_s() > closed_s {
            line.push(stretch(Doing::Move, closed_s, job.clock_s()));
        }
    }
    if !job.ran_dry() {
        let now = job.clock_s();
        line.push(stretch(Doing::Finish, now, now + tasks.finish.value));
    }
    Ok(line)
}

fn stretch(doing: Doing, start_s: f64, end_s: f64) -> Stretch {
    let (bleeders, chambers) = (Vec::new(), Vec::new());
    Stretch { doing, start_s, end_s, place: None, bleeders, moved_ml: 0.0, chambers }
}

fn beside(s: &StepDone, start_s: f64, place: Option<(u32, usize)>) -> Stretch {
    let place = place.filter(|_| s.step > 0);
    Stretch { place, moved_ml: s.moved_ml, ..stretch(Doing::Step(s.does), start_s, s.at_s) }
}

/// The accumulators, pumps and dampers of the circuits of which a channel is worked, then the passages of those channels;
/// no channel named stands for all.
fn worked(circuit: &Circuit, modulator: &str, channels: &[String]) -> Vec<String> {
    let Some(m) = circuit.modulators.iter().find(|m| m.name == modulator) else {
        return Vec::new();
    };
    let named = |name: &String| channels.is_empty() || channels.contains(name);
    let mut nodes: Vec<usize> = Vec::new();
    for c in m.circuits.iter().filter(|c| c.channels.iter().any(|ch| named(&ch.name))) {
        nodes.extend(c.trapped());
        nodes.extend(c.channels.iter().filter(|ch| named(&ch.name)).map(|ch| ch.passage));
    }
    nodes.into_iter().map(|n| circuit.nodes[n].name.clone()).collect()
}
