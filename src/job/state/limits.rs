//! What a job may take of time and memory. A flush of a car takes a ten-thousandth of it; a scenario that asks for
//! more than is allowed is refused with what would be less, instead of running for hours or filling the memory.

use super::setting::{Position, Setting};
use crate::job::error::JobError;
use crate::job::record::at_line;
use crate::keys::Place;
use crate::transport::system::System;
use std::sync::atomic::Ordering;

/// Computing of one job, in ends of lanes read (some 7 ns each on a plain machine in 2026; the compact hatchback
/// takes about 15,000 of them): a minute or so.
pub const MOST_READINGS: u64 = 5_000_000_000;
/// Numbers of eight bytes that one job may keep: what has entered each line, snapshots of lines after a wait, curves.
/// 512 MB.
pub const MOST_NUMBERS: usize = 64_000_000;

/// What a step costs beside reading lanes, in readings a line or other link: flows, chambers, books.
const PER_LINK: u64 = 10;
/// What it costs to put the flow network together anew, likewise.
const PER_NETWORK: u64 = 100;
/// A job that takes no more than one part in so many of what is allowed is run at once; a larger one is sketched before.
const SMALL: u64 = 50;
/// Steps from one count of what is kept to the next; of a sketch, each of which stands for many.
const COUNTED_EVERY: (u32, u32) = (256, 16);
/// What a sketch may take itself, in readings: where it comes to no end by then, the job will tell.
const MOST_OF_A_SKETCH: u64 = MOST_READINGS / 40;
/// Numbers of a point on a clearing curve, and on that of the supply.
const POINTS: (usize, usize) = (6, 5);

/// A sketch must come to so many times what is allowed: where fluid goes round a loop and turns in the job but not in the
/// sketch, the job forgets what the sketch counts (on random cars a thousandth more was counted than was kept).
pub const CLEARLY: f64 = 1.1;

/// What a job takes, in what is limited.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Cost {
    /// Computing, in ends of lanes read.
    pub readings: u64,
    /// Numbers kept at a time.
    pub numbers: usize,
    /// Computing of the run by which this was found, in ends of lanes read: of a sketch less than that of the job.
    pub found_by: u64,
}

/// What a job has taken so far; a sketch counts what the job that it stands for would have taken, at the least.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Taken {
    beside_lanes: u64,
    points: usize,
    steps: u32,
    /// Of a sketch: steps for which the present one stands, and what it has taken itself.
    pub stands_for: f64,
    own: u64,
    /// Most numbers that were kept at a time.
    most: usize,
}

impl Taken {
    /// Steps taken so far.
    pub(crate) fn steps(&self) -> u32 {
        self.steps
    }

    /// A flow network was put together.
    pub(crate) fn network(&mut self, setting: &Setting) {
        self.add(PER_NETWORK * setting.circuit.links.len() as u64);
    }

    /// What it comes to.
    pub(crate) fn cost(&self, system: &System) -> Cost {
        let found_by = system.own_readings() + self.own;
        Cost { readings: self.readings(system), numbers: self.most, found_by }
    }

    /// Numbers that a step with this many bleeders open adds to the curves, where they are kept.
    fn points(kept: bool, open: usize) -> usize {
        if kept { POINTS.0 * open + POINTS.1 } else { 0 }
    }

    fn add(&mut self, beside_lanes: u64) {
        self.beside_lanes += beside_lanes;
        self.own += beside_lanes;
    }

    /// Computing so far.
    pub(crate) fn readings(&self, system: &System) -> u64 {
        system.readings() + self.beside_lanes
    }

    /// A modulator goes through this many cycles.
    pub(crate) fn cycles(&mut self, setting: &Setting, cycles: f64) {
        // A float saturates; an hour of cycles at most.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, as said
        let cycles = cycles.ceil() as u64;
        self.add(cycles * PER_LINK * setting.circuit.links.len() as u64);
    }

    /// Counts a step with this many bleeders open; says whether it is time to [`look`](Self::look).
    pub(crate) fn step(&mut self, setting: &Setting, open: usize) -> bool {
        let links = PER_LINK * setting.circuit.links.len() as u64;
        self.steps = self.steps.wrapping_add(1);
        match &setting.sketched {
            None => {
                self.add(links);
                self.points += Self::points(setting.options.detail, open);
                self.steps.is_multiple_of(COUNTED_EVERY.0)
            }
            // Floats saturate.
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturate, as said
            Some(sketched) => {
                self.beside_lanes += (self.stands_for * links as f64) as u64;
                let points = Self::points(sketched.detail, open);
                self.points += (self.stands_for * points as f64) as usize;
                self.own += links;
                self.steps.is_multiple_of(COUNTED_EVERY.1)
            }
        }
    }

    /// Whether the job is within what is allowed.
    ///
    /// # Errors
    /// If it is not, or if it need not go on.
    pub(crate) fn look(
        &mut self,
        setting: &Setting,
        system: &System,
        place: Position,
    ) -> Result<(), JobError> {
        let sketched_out =
            setting.sketched.is_some() && system.own_readings() + self.own > MOST_OF_A_SKETCH;
        if sketched_out || setting.not_wanted.load(Ordering::Relaxed) {
            return Err(JobError::GivenUp);
        }
        let readings = self.readings(system);
        let numbers = system.numbers() + self.points;
        let is_small =
            readings < MOST_READINGS / SMALL && numbers as u64 <= MOST_NUMBERS as u64 / SMALL;
        if setting.only_if_small && !is_small {
            return Err(JobError::GivenUp);
        }
        if is_beyond(setting, readings, MOST_READINGS) {
            return Err(too_much(setting, place, "computing (a minute or so)", LESS));
        }
        self.most = self.most.max(numbers);
        if is_beyond(setting, numbers as u64, MOST_NUMBERS as u64) {
            return Err(too_much(setting, place, MEMORY, LESS));
        }
        Ok(())
    }

    /// Whether snapshots of these lines (their links) fit into what is allowed.
    ///
    /// # Errors
    /// If they do not.
    pub(crate) fn before_snapshots(
        &self,
        setting: &Setting,
        system: &System,
        place: Position,
        of: impl Fn(usize) -> bool,
    ) -> Result<(), JobError> {
        let numbers = system.numbers_of_snapshots(of) + self.points;
        if !is_beyond(setting, numbers as u64, MOST_NUMBERS as u64) {
            return Ok(());
        }
        let remedy = "raise the strictest threshold (the lower it is, the more lanes a line has), let nothing wait, or describe fewer lines";
        Err(too_much(setting, place, MEMORY, remedy))
    }
}

/// Whether it is more than is allowed; of a sketch, clearly.
fn is_beyond(setting: &Setting, taken: u64, most: u64) -> bool {
    match setting.sketched {
        Some(_) => taken as f64 > CLEARLY * most as f64,
        None => taken > most,
    }
}

/// Whether what the lines hold at first fits into what is allowed.
///
/// # Errors
/// If it does not.
pub(crate) fn before_filling(setting: &Setting) -> Result<(), JobError> {
    let species = setting.species.len();
    let numbers = System::numbers_of_fillings(&setting.circuit, &setting.lanes, species);
    if numbers <= MOST_NUMBERS {
        return Ok(());
    }
    Err(JobError::TooLarge {
        what: format!(
            "the lines in a row that are filled differently take more {MEMORY} than is allowed; raise the strictest threshold (the lower it is, the more lanes a line has), fill them alike, or describe fewer lines"
        ),
    })
}

const MEMORY: &str = "memory (512 MB)";
const LESS: &str = "let it drain less, by `at most`, in fewer passes or by a threshold that is not so low, or describe fewer parts";

fn too_much(setting: &Setting, place: Position, of: &str, remedy: &str) -> JobError {
    let step = setting.scenario.procedure.steps.get(place.step.wrapping_sub(1));
    let at = match place.step {
        0 => "what is done by hand".to_owned(),
        number => {
            let line = at_line(step.map_or(Place::Nowhere, |s| s.line));
            format!("step {number} of the procedure{line}, pass {}", place.pass)
        }
    };
    JobError::TooLarge { what: format!("{at}: the job takes more {of} than is allowed; {remedy}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::options::Options;
    use crate::job::state::Job;
    use std::sync::Arc;

    fn job() -> (Arc<Setting>, Job) {
        let car = include_str!("../../../scenarios/compact-hatchback.toml");
        let car = crate::read(car, "car.toml").expect("a good scenario");
        let setting = Arc::new(Setting::new(&car, &Options::default()).expect("a circuit"));
        let job = Job::new(Arc::clone(&setting)).expect("a job");
        (setting, job)
    }

    const FIRST: Position = Position { pass: 1, step: 1 };

    #[test]
    fn a_job_within_what_is_allowed_goes_on_and_one_beyond_says_where_it_stands() {
        let (_, mut job) = job();
        job.taken.beside_lanes = MOST_READINGS;
        assert_eq!(job.within_limits(FIRST), Ok(()));
        job.taken.beside_lanes += 1;
        let told = job.within_limits(FIRST).expect_err("too much").to_string();
        for words in ["step 1 of the procedure (line ", "more computing", "let it drain less"] {
            assert!(told.contains(words), "{told}");
        }
    }

    #[test]
    fn a_job_that_is_to_be_small_is_given_up_beyond_a_small_share() {
        let (setting, _) = job();
        let setting = Arc::new(Setting { only_if_small: true, ..Setting::clone(&setting) });
        let mut job = Job::new(setting).expect("a job");
        job.taken.beside_lanes = MOST_READINGS / SMALL - 1;
        assert_eq!(job.within_limits(FIRST), Ok(()));
        job.taken.beside_lanes += 1;
        assert_eq!(job.within_limits(FIRST), Err(JobError::GivenUp));
    }

    /// A coarser run beside one that has failed.
    #[test]
    fn a_job_that_nobody_asks_for_ends() {
        let (setting, mut job) = job();
        setting.not_wanted.store(true, Ordering::Relaxed);
        assert_eq!(job.within_limits(FIRST), Err(JobError::GivenUp));
    }

    /// The same few steps again and again come to an end by themselves.
    #[test]
    fn an_endless_job_is_ended() {
        let (setting, mut job) = job();
        job.taken.beside_lanes = MOST_READINGS - 1_000_000;
        let links = setting.circuit.links.len() as u64;
        let ended = (0..1_000_000 / links).find(|_| {
            job.taken.network(&setting);
            job.count_step(1, FIRST).is_err()
        });
        assert!(ended.is_some());
    }

    /// What is stated for users: a flush of a car is far below.
    #[test]
    fn a_flush_of_a_car_takes_a_small_part() {
        let (setting, mut job) = job();
        for (place, step) in setting.scenario.procedure.in_turn() {
            let place = Position { pass: place.0, step: place.1 };
            crate::job::run::procedure::one_step(&mut job, step, place).expect("a step");
        }
        let readings = job.taken.readings(&job.system);
        let numbers = job.system.numbers() + job.taken.points;
        assert!((30_000..MOST_READINGS / 10_000).contains(&readings), "{readings}");
        assert!((10_000..MOST_NUMBERS / 100).contains(&numbers), "{numbers}");
    }
}
