//! What is taken for what was answered, or left open.

use super::given::Answers;
use crate::keys::worded::Word;
use crate::scenario::vehicle_kind::{RearBrakes, Split, Usual, VehicleKind};

/// What kind is taken: the one answered, or a hatchback.
pub(super) fn kind(answers: &Answers) -> VehicleKind {
    let mut kind = VehicleKind::Hatchback;
    let answered = answers.known("kind");
    if let Some(at) = kind.all().iter().position(|w| Some(*w) == answered) {
        kind.choose(at);
    }
    kind
}

/// What is usual for that kind.
pub(super) fn usual(answers: &Answers) -> Usual {
    kind(answers).usual()
}

/// What brakes the rear wheels.
pub(super) fn rear(answers: &Answers) -> Option<RearBrakes> {
    let mut rear = usual(answers).rear?;
    if let Some(at) = rear.all().iter().position(|w| answers.is("rear", w)) {
        rear.choose(at);
    }
    Some(rear)
}

/// How the circuits are split.
pub(super) fn split(answers: &Answers) -> Option<Split> {
    match answers.known("split") {
        Some("front/rear") => Some(Split::II),
        Some("diagonal") => Some(Split::X),
        _ => usual(answers).split,
    }
}

/// Whether there is an ABS or ESC unit.
pub(super) fn modulator(answers: &Answers) -> bool {
    // What was replaced is there.
    is_replaced(answers, UNIT)
        || answers.known("abs").map_or(usual(answers).modulator, |a| a == "yes")
}

/// What the ABS unit and the master cylinder are called where it is asked whether they were replaced.
pub(super) const UNIT: &str = "unit";
pub(super) const MASTER_CYLINDER: &str = "master cylinder";

/// Whether the part of this name was replaced.
pub(super) fn is_replaced(answers: &Answers, part: &str) -> bool {
    let question = match kind(answers) {
        VehicleKind::Motorcycle => "replaced_on_motorcycle",
        _ => "replaced",
    };
    let hose = || part.contains("hose");
    match answers.known(question) {
        Some("ABS unit") => part == UNIT,
        Some("left front brake") => part == "LF",
        Some("right front brake") => part == "RF",
        Some("left rear brake") => part == "LR",
        Some("right rear brake") => part == "RR",
        Some("front hoses") => hose() && part.ends_with('F'),
        // Where one hose leads to the axle, that is the one.
        Some("rear hoses") => hose() && !part.ends_with('F'),
        Some("calipers") => matches!(part, "left" | "right"),
        Some("hoses") => hose(),
        Some(other) => other == part,
        None => false,
    }
}

/// Whether the reservoir sits on the right.
pub(super) fn reservoir_right(answers: &Answers) -> bool {
    answers.known("reservoir_side").or(answers.known("steering")) == Some("right")
}

/// Whether the lines to the wheels start on the right: at the ABS unit, or without one at the master cylinder.
pub(super) fn lines_start_right(answers: &Answers) -> bool {
    match answers.known("unit_side").filter(|_| modulator(answers)) {
        Some(side) => side == "right",
        None => reservoir_right(answers),
    }
}

/// What pushes.
pub(super) fn supply_of(answers: &Answers) -> &str {
    answers.known("supply").unwrap_or("pressure bleeder")
}
