//! The order: openings with their figures, and the steps between them.

use super::bars::{Bar, bar};
use super::phrases::{clean, free, range, step, time, until};
use super::rules::at_most_everywhere;
use crate::report::Units;
use crate::report::figures::{pressure, psi, rounded};
use crate::report::wording::Words;
use crate::study::job_card::{BleederTask, JobCard, OtherStep, Push, Side, Task};
use serde::Serialize;

/// Openings that the page has room for, and how much of that a step of another kind and the box that stops
/// the job take.
const ROOM: f64 = 12.0;
const STEP_TAKES: f64 = 0.6;
pub(super) const BOX_TAKES: f64 = 3.0;

/// A row of the order.
#[derive(Debug, Default, Serialize)]
pub(super) struct CardRow {
    /// A step without a bleeder; the rest is then empty.
    pub(super) step: Option<String>,
    number: usize,
    /// Opened together with the row above.
    joined: bool,
    pass: Option<u32>,
    bleeder: String,
    /// Whose side of the vehicle it is on.
    side: Option<&'static str>,
    /// `long` or `longest` for a name that is set smaller.
    long: Option<&'static str>,
    millilitres: String,
    clean: String,
    range: Option<String>,
    until: String,
    time: Option<String>,
    bar: Option<Bar>,
}

/// Every opening.
pub(super) fn openings_of(card: &JobCard) -> impl Iterator<Item = &BleederTask> {
    card.tasks.iter().flat_map(|t| match t {
        Task::Open(tasks) => tasks.as_slice(),
        Task::Step(_) => &[],
    })
}

/// The rows that there is room for, and how many are left out.
pub(super) fn rows(card: &JobCard, w: &Words, units: Units) -> (Vec<CardRow>, usize) {
    let all: Vec<&BleederTask> = openings_of(card).collect();
    let drained = all.iter().filter_map(|t| t.opening.as_ref()).map(|o| o.drained_ml);
    let look = Look {
        longest_ml: drained.fold(1.0, f64::max),
        passes: all.iter().any(|t| t.pass > 1),
        at_most_told: at_most_everywhere(&all).is_some(),
    };
    let tick = |text: String| CardRow { step: Some(text), ..CardRow::default() };
    let mut rows = Vec::new();
    // With the cap off and before anything presses; then the supply is made ready and tried.
    let first = card.tasks.iter().position(|t| !before_the_supply(t)).unwrap_or(card.tasks.len());
    for (i, task) in card.tasks.iter().enumerate() {
        if i == first {
            rows.extend(made_ready(card, w, units).into_iter().map(tick));
        }
        match task {
            Task::Step(other) => rows.push(tick(step(other, card, units))),
            Task::Open(together) => {
                rows.extend(together.iter().enumerate().map(|(i, t)| opening(t, i > 0, &look)));
            }
        }
    }
    let all = rows.len();
    let room = if card.stopped() { ROOM - BOX_TAKES } else { ROOM };
    while room_taken(&rows) > room {
        rows.pop();
    }
    let left_out = all - rows.len();
    (rows, left_out)
}

/// The room that rows take, in openings.
pub(super) fn room_taken(rows: &[CardRow]) -> f64 {
    rows.iter().map(|row| if row.step.is_some() { STEP_TAKES } else { 1.0 }).sum()
}

/// What the rows of one card have in common.
struct Look {
    longest_ml: f64,
    passes: bool,
    at_most_told: bool,
}

fn opening(t: &BleederTask, joined: bool, look: &Look) -> CardRow {
    let o = t.opening.as_ref();
    let bleeder = free(&t.bleeder, 40);
    CardRow {
        step: None,
        number: t.number,
        joined,
        pass: look.passes.then_some(t.pass),
        long: match bleeder.chars().count() {
            0..=8 => None,
            9..=18 => Some("long"),
            _ => Some("long longest"),
        },
        bleeder,
        side: t.side.map(|side| match side {
            Side::Driver => "driver’s side",
            Side::Passenger => "passenger side",
        }),
        millilitres: o.map_or("–".to_owned(), |o| rounded(o.drained_ml, 0)),
        clean: clean(t),
        range: range(t),
        until: until(t, look.at_most_told),
        time: t.seconds.map(time),
        bar: o.map(|o| bar(&o.origins_ml, look.longest_ml)),
    }
}

/// Done with the cap off, before a supply is put on.
fn before_the_supply(task: &Task) -> bool {
    use OtherStep::{SetLevel, Syringe, TopUp};
    matches!(task, Task::Step(Syringe { .. } | TopUp { .. } | SetLevel { .. }))
}

/// How the supply is made ready and tried for leaks before the first bleeder is opened.
fn made_ready(card: &JobCard, w: &Words, units: Units) -> Vec<String> {
    let Push::Pressure { gauge_kpa, .. } = card.push else {
        return vec![format!(
            "Leak test: every joint and {} is dry, and the level stays with every {} shut",
            w.hose, w.screw
        )];
    };
    let ready =
        format!("Load, adapter on, feed valve shut, pump to {}", pressure(gauge_kpa, units));
    let test = card.leak_test.map(|l| {
        let (before, after) = (l.gauge_before_kpa, l.gauge_after_kpa);
        let (from, to) = match units {
            Units::Metric => (rounded(before, 0), rounded(after, 0) + " kPa"),
            Units::Us => (psi(before), psi(after) + " psi"),
        };
        format!(
            "Leak test, all shut: open the feed valve, the gauge falls once, from {from} to {to}; falling on is a leak"
        )
    });
    [ready].into_iter().chain(test).collect()
}
