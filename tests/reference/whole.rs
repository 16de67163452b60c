//! A whole job from the car's figures alone: where a bleeder is closed, how the reservoir and the supply
//! stand meanwhile and how long it takes are worked out here, not taken from the program.
//!
//! Time is ∫ dV/Q, with the flow Q of [`branches`](super::branches) at both ends of each stretch; the viscosity in each thing is
//! that of what it holds in the mean. What the model's rules say is taken over as rules: what counts as clean
//! ([`eye`](super::eye), [`dirt`](super::dirt)) is written from their text;
//! the pressure in the reservoir is that of the supply less the feed hose's loss, at its stated height.

use super::branches::Element;
use super::car::{ReferenceCar, ReferenceLeft};
use super::liquid::Mixture;
use super::opening::Run;
use super::push::Push;

/// A car, what pushes, and what is done.
#[derive(Debug, Clone)]
pub struct Flush {
    /// The car before the first task.
    pub car: ReferenceCar,
    /// Old and new fluid.
    pub mixture: Mixture,
    /// What costs pressure.
    pub elements: Vec<Element>,
    /// For each path of the car: its elements, and the height of its bleeder above the reservoir's level, m.
    pub ways: Vec<(Vec<usize>, f64)>,
    /// What pushes.
    pub push: Push,
    /// The reservoir when it is full to the brim, mL.
    pub brim_ml: f64,
    /// What is done.
    pub tasks: Vec<Task>,
}

/// Something the technician does.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// Opens bleeders together, each closed by the rule.
    Open {
        /// Indices of the paths.
        paths: Vec<usize>,
        /// When to close.
        rule: Rule,
    },
    /// Draws the reservoir down to this volume, mL.
    Draw(f64),
    /// Fills the reservoir up to this volume, mL.
    Fill(f64),
    /// Pumps the vessel up until the gauge reads this, Pa.
    Pump(f64),
    /// Works a unit.
    Work(Working),
}

/// How a unit is worked.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// Circuits of the car's unit, and their channels that are worked.
    pub circuits: Vec<(usize, Vec<usize>)>,
    /// For how long, s.
    pub seconds: f64,
    /// Whether the pump runs.
    pub pump: bool,
    /// Paths whose bleeders are open meanwhile.
    pub paths: Vec<usize>,
    /// What would count as clean there.
    pub rule: Rule,
}

/// When a bleeder is closed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Once it has looked clean for long enough.
    pub clean: bool,
    /// What counts as clean.
    pub threshold: f64,
    /// For how much more it must stay so, mL; `None`: by what lies behind dirt.
    pub hold_ml: Option<f64>,
    /// For how long fluid must have flowed before anything counts, s.
    pub least_look_s: f64,
    /// At this volume, mL.
    pub volume_ml: Option<f64>,
    /// Not before, mL.
    pub at_least_ml: f64,
    /// In any case, mL.
    pub at_most_ml: f64,
}

/// What a bleeder was at its close.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CleanState {
    /// Clean, and never seen otherwise.
    Already,
    /// Clean, and dirty before.
    Reached,
    /// Once clean and dirty since.
    Lost,
    /// Never clean for long enough.
    NotReached,
}

/// What closing as clean waited for beyond threshold, hold and least volume.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitedFor {
    /// The time to look.
    LeastLook,
    /// That what is seen gets no darker.
    Rising,
    /// A watched length.
    WatchedLength,
}

/// One bleeder opened once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opened {
    /// Index of the path.
    pub path: usize,
    /// Since when it had been clean, once that had lasted, mL.
    pub clean_at_ml: Option<f64>,
    /// What it was at the close.
    pub state: CleanState,
    /// For how long clean had to last, as it stood at the close, mL.
    pub hold_ml: Option<f64>,
    /// What came last.
    pub waited_for: Option<WaitedFor>,
    /// Drained until it was closed, mL.
    pub drained_ml: f64,
    /// Open for so long, s.
    pub seconds: f64,
}

/// What came of a job.
#[derive(Debug, Clone)]
pub struct Done {
    /// The bleeders, in the order in which they were closed.
    pub opened: Vec<Opened>,
    /// Time with a bleeder open, s.
    pub seconds: f64,
    /// Times the vessel was pumped up while a bleeder was open.
    pub pumped: usize,
    /// What is left in the car.
    pub left: ReferenceLeft,
}

impl Done {
    /// Drained at all bleeders, mL.
    pub fn drained_ml(&self) -> f64 {
        self.opened.iter().map(|o| o.drained_ml).sum()
    }
}

impl Flush {
    /// Does it all on a grid of this step (mL).
    ///
    /// # Panics
    /// If air would reach an outlet of the reservoir, or nothing flows.
    pub fn run(&self, step_ml: f64) -> Done {
        let mut run = Run::new(self, step_ml);
        let (mut opened, mut seconds) = (Vec::new(), 0.0);
        for task in &self.tasks {
            match task {
                Task::Draw(leave_ml) => run.draw(*leave_ml),
                Task::Fill(to_ml) => run.fill(*to_ml),
                Task::Pump(gauge_pa) => run.pump(*gauge_pa),
                Task::Work(work) => seconds += run.work(work, &mut opened),
                Task::Open { paths, rule } => seconds += run.open(paths, rule, &mut opened),
            }
        }
        Done { opened, seconds, pumped: run.pumped, left: run.state.left(&self.car) }
    }
}
