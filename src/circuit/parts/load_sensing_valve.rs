//! A load-sensing proportioning valve in the line to the rear axle.
//!
//! A linkage to the axle sets it: with the wheels hanging it takes the car for empty and may pass
//! little. What it passes then differs from valve to valve; the figures are estimates with wide spreads.

use super::{Built, Kind, no_wear};
use crate::circuit::passage::Passage;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// What to do where it holds fluid back.
pub(super) const REMEDY: &str =
    "put the weight on the axle or hold the lever up, and write `suspension = \"loaded\"`";

/// The word for wheels that hang.
pub(super) const HANGING: &str = "hanging";

/// The kind `load-sensing proportioning valve`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "load-sensing proportioning valve",
        doc: "Limits the rear brakes by the load on the axle; with the wheels hanging it may pass little.",
        ends: Ends::Through,
        role: Role::Valve,
        bleeds: false,
        holds: false,
        keys: &[
            Key {
                name: "suspension",
                doc: "Whether the axle carries the car while it is flushed, or the wheels hang (as on a lift under the frame).",
                form: Form::Word(&["loaded", HANGING]),
                default: Default::Text(HANGING),
            },
            Key {
                name: "bore",
                doc: "Bore of the equivalent round hole with the axle loaded (an estimate).",
                form: Form::Quantity(&bounds::PORT_BORE),
                default: Default::Text("2 mm ± 0.5 mm"),
            },
            Key {
                name: "bore_hanging",
                doc: "The same with the wheels hanging (an estimate).",
                form: Form::Quantity(&bounds::PORT_BORE),
                default: Default::Text("0.5 mm ± 0.2 mm"),
            },
            Key {
                name: "cracking_hanging",
                doc: "Pressure difference at which it begins to pass with the wheels hanging (an estimate; 0: it always passes).",
                form: Form::Quantity(&bounds::CRACKING),
                default: Default::Text("20 kPa ± 20 kPa"),
            },
        ],
    },
    build,
    worn_m3: no_wear,
};

fn build(s: &Section, _: super::Vehicle) -> Built {
    let hanging = s.text("suspension") == Some(HANGING);
    let bore_m = s.si(if hanging { "bore_hanging" } else { "bore" });
    let cracking_pa = if hanging { s.si("cracking_hanging") } else { 0.0 };
    let passage = if cracking_pa > 0.0 {
        Passage::Check { cracking_pa, bore_m }
    } else {
        Passage::Orifice { bore_m }
    };
    Built::Through { passage, tube: None }
}
