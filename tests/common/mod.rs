//! What several tests share: kinds that stand for those of the later rooms.
#![allow(dead_code)]

use farwheel::scenario::spec::{Default, Ends, Form, Key, KindSpec};
use farwheel::scenario::{Family, GradeName, Kinds, bounds};

const fn key(name: &'static str, form: Form, default: Default) -> Key {
    Key { name, doc: "A key for tests.", form, default }
}

const fn kind(name: &'static str, ends: Ends, bleeds: bool, keys: &'static [Key]) -> KindSpec {
    KindSpec { name, doc: "A kind for tests.", ends, bleeds, keys }
}

static TUBE: &[Key] = &[
    key("bore", Form::Quantity(&bounds::TUBE_BORE), Default::Text("3.2 mm")),
    key("length", Form::Quantity(&bounds::TUBE_LENGTH), Default::Text("0.4 m")),
    key("bends", Form::Count(0, 100), Default::Text("0")),
];

static LINE: &[Key] = &[
    key("bore", Form::Quantity(&bounds::TUBE_BORE), Default::Required),
    key("length", Form::Quantity(&bounds::TUBE_LENGTH), Default::Required),
    key("bends", Form::Count(0, 100), Default::Text("0")),
];

static CALIPER: &[Key] = &[
    key("new_pads", Form::Quantity(&bounds::CHAMBER), Default::Required),
    key("worn_pads", Form::Quantity(&bounds::CHAMBER), Default::Required),
];

static PARTS: &[KindSpec] = &[
    kind("line", Ends::Through, false, LINE),
    kind("hose", Ends::Through, false, TUBE),
    kind(
        "check valve",
        Ends::Through,
        false,
        &[key("cracking", Form::Quantity(&bounds::CRACKING), Default::Text("10 kPa"))],
    ),
    kind("tee", Ends::Node, false, &[]),
    kind("caliper", Ends::Node, true, CALIPER),
    kind(
        "wheel cylinder",
        Ends::Node,
        true,
        &[key("volume", Form::Quantity(&bounds::CHAMBER), Default::Required)],
    ),
    kind("hydraulic modulator", Ends::Node, false, &[]),
];

static SUPPLIES: &[KindSpec] = &[
    kind(
        "pressure bleeder",
        Ends::Node,
        false,
        &[
            key("loaded", Form::Quantity(&bounds::LOADED), Default::Required),
            key("gauge", Form::Quantity(&bounds::GAUGE), Default::Required),
            key("re_pump_below", Form::Quantity(&bounds::GAUGE), Default::Absent),
        ],
    ),
    kind("gravity", Ends::Node, false, &[]),
];

static GRADES: &[GradeName] = &[
    GradeName { name: "DOT 3", family: Family::Glycol },
    GradeName { name: "DOT 4", family: Family::Glycol },
    GradeName { name: "DOT 5.1", family: Family::Glycol },
    GradeName { name: "DOT 5", family: Family::Silicone },
    GradeName { name: "mineral oil", family: Family::MineralOil },
];

/// Kinds and grades for tests of the reader.
pub fn kinds() -> Kinds {
    Kinds { parts: PARTS, supplies: SUPPLIES, grades: GRADES }
}

pub mod random;
