//! The keys of a volume that mixes, written once: a table that takes a pocket takes all that says how it trades.

use super::bounds;
use super::spec::{Default, Form, Key};

/// How many stages the chamber counts as.
pub const STAGES: Key = Key {
    name: "stages",
    doc: "How many equal well-mixed stages the chamber counts as: 1 mixes fully, more come nearer to plug flow.",
    form: Form::Count(1, 20),
    default: Default::Text("1"),
};
/// Share of the volume in pockets.
pub const POCKET: Key = Key {
    name: "pocket",
    doc: "Share of the volume in dead corners that trade fluid slowly with the rest.",
    form: Form::Quantity(&bounds::POCKET),
    default: Default::Text("0 %"),
};
/// Exchange with the pocket per through-flow.
pub const POCKET_EXCHANGE: Key = Key {
    name: "pocket_exchange",
    doc: "Fluid that each stage's pocket trades, as a share of what flows through the stage (what goes by the bypass does not count).",
    form: Form::Quantity(&bounds::POCKET_EXCHANGE),
    default: Default::Text("10 %"),
};
/// Exchange with the pocket at rest.
pub const POCKET_TIME: Key = Key {
    name: "pocket_time",
    doc: "Time in which the pocket trades its own volume even at rest; left out, it trades only while fluid flows.",
    form: Form::Quantity(&bounds::POCKET_TIME),
    default: Default::Absent,
};
/// Share of the flow past a chamber with a bleeder.
pub const BYPASS: Key = Key {
    name: "bypass",
    doc: "Share of the flow that runs straight to the bleeder without mixing.",
    form: Form::Quantity(&bounds::BYPASS),
    default: Default::Text("0 %"),
};

/// The keys of a table that describes a chamber with a pocket: those before, stages and pocket (told in the
/// table's own words if need be), those behind.
macro_rules! chamber_keys {
    ([$($before:expr),* $(,)?], $pocket:expr, [$($behind:expr),* $(,)?]) => {
        &[
            $($before,)*
            $crate::scenario::chamber_keys::STAGES,
            $pocket,
            $crate::scenario::chamber_keys::POCKET_EXCHANGE,
            $crate::scenario::chamber_keys::POCKET_TIME,
            $($behind,)*
        ]
    };
}
pub(crate) use chamber_keys;
