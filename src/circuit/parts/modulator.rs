//! A hydraulic modulator (ABS/ESC), one part for each brake circuit it serves.
//!
//! A plain flush passes only the open inlet path. What lies behind the shut outlet valves (dead
//! volume of the low-pressure accumulator, return pump, damper) stays as it is: it is a body of fluid
//! of its own that no bleeder reaches.

use super::{Built, Kind, no_wear};
use crate::circuit::chamber::{Chamber, STAGES};
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec},
};

/// The kind `hydraulic modulator`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "hydraulic modulator",
        doc: "The ABS/ESC unit's share of one brake circuit.",
        ends: Ends::Node,
        bleeds: false,
        keys: &[
            Key {
                name: "passages",
                doc: "Volume of the passages that a plain flush goes through, all channels of this circuit.",
                form: Form::Quantity(&bounds::CHAMBER),
                default: Default::Text("2 mL"),
            },
            // Accumulator 0.5 mL of dead volume, pump 0.2 mL, damper 1 to 2 mL: practice, no source.
            Key {
                name: "trapped",
                doc: "Volume behind the shut outlet valves: accumulator at rest, return pump, damper.",
                form: Form::Quantity(&bounds::CHAMBER),
                default: Default::Text("2 mL"),
            },
            STAGES,
        ],
    },
    build: |s, _| Built::Node {
        chamber: Some(Chamber::from_section(s.si("passages"), s)),
        bleeder: None,
        trapped: Some(Chamber::mixed(s.si("trapped"))),
    },
    worn_m3: no_wear,
};
