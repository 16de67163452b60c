//! The kinds of steps a procedure knows, and the keys each takes.

use super::step_quantity::StepQuantity;
use crate::keys::{Bound, Form, Key, LeftOut};

/// What the value of a step's verb is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum VerbForm {
    Names,
    Name,
    Quantity(&'static Bound),
    /// A volume in the reservoir, or `min` or `max`.
    Level(&'static Bound),
    True,
}

/// One kind of step.
#[derive(Debug)]
pub(crate) struct Verb {
    pub(crate) name: &'static str,
    pub(crate) doc: &'static str,
    pub(crate) form: VerbForm,
    pub(crate) keys: &'static [Key],
}

const fn verb(name: &'static str, form: VerbForm, doc: &'static str, keys: &'static [Key]) -> Verb {
    Verb { name, doc, form, keys }
}

/// Every kind of step.
pub(crate) static VERBS: &[Verb] = &[
    verb(
        "open",
        VerbForm::Names,
        "Open one or several bleeders together, and close them by the stop rule.",
        &[UNTIL],
    ),
    verb(
        "syringe",
        VerbForm::Level(StepQuantity::Syringe.bound()),
        "Take fluid out of the reservoir with a syringe until this much is left.",
        &[],
    ),
    verb(
        "top_up",
        VerbForm::Level(StepQuantity::TopUp.bound()),
        "Pour new fluid into the reservoir up to this volume.",
        &[],
    ),
    verb(
        "load",
        VerbForm::Quantity(StepQuantity::Load.bound()),
        "Fill this much more new fluid into the supply.",
        &[],
    ),
    verb(
        "re_pump",
        VerbForm::Quantity(StepQuantity::RePump.bound()),
        "Pump the supply up to this gauge pressure.",
        &[],
    ),
    verb(
        "wait",
        VerbForm::Quantity(StepQuantity::Wait.bound()),
        "Let everything stand.",
        &[Key {
            name: "remix",
            doc: "Degree to which each line's cross-section mixes meanwhile; absent, it follows from density and time.",
            form: Form::Quantity(StepQuantity::Remix.bound()),
            left_out: LeftOut::Absent,
        }],
    ),
    verb(
        "work_modulator",
        VerbForm::Name,
        "Work the hydraulic modulator as a workshop's service routine does.",
        &[
            Key {
                name: "channels",
                doc: "Channels worked: names of the parts that start from the modulator; absent, all.",
                form: Form::Names,
                left_out: LeftOut::Absent,
            },
            Key {
                name: "time",
                doc: "How long.",
                form: Form::Quantity(StepQuantity::Work.bound()),
                left_out: LeftOut::Text("10 s"),
            },
            Key {
                name: "pump",
                doc: "Whether the return pump runs.",
                form: Form::Flag,
                left_out: LeftOut::Text("true"),
            },
            Key {
                name: "bleeders",
                doc: "Bleeders that are open meanwhile, so that the supply pushes; absent, all are shut.",
                form: Form::Names,
                left_out: LeftOut::Absent,
            },
        ],
    ),
    verb("relieve", VerbForm::True, "Let the pressure off the supply.", &[]),
    verb(
        "set_level",
        VerbForm::Level(StepQuantity::SetLevel.bound()),
        "Bring the reservoir to this volume, between MIN and MAX.",
        &[],
    ),
];

/// The key `until`, in steps and in `[procedure]`.
pub(crate) const UNTIL: Key = Key {
    name: "until",
    doc: "When to close: clean, a volume, a time, or a mix joined by commas.",
    form: Form::Text,
    left_out: LeftOut::Required,
};
