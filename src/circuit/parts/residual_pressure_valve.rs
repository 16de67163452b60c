//! A residual-pressure valve: keeps a little pressure in a drum circuit so that the cups stay spread.
//!
//! A circuit has none unless its scenario names one: many drum brakes do without.

use super::{Built, Kind, no_wear};
use crate::circuit::passage::Passage;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// What to do where it holds fluid back.
pub(super) const REMEDY: &str = "push harder than it holds back, within the maker's limit, or by pedal; a flush by gravity can't open it";

/// The kind `residual-pressure valve`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "residual-pressure valve",
        doc: "A check valve that keeps a residual pressure in a drum circuit; it stands in the line to it.",
        ends: Ends::Through,
        role: Role::Valve,
        bleeds: false,
        holds: false,
        keys: &[
            // About 10 psi for drums (2 psi where a disc circuit has one): common practice, no source.
            Key {
                name: "cracking",
                doc: "Pressure difference at which it begins to open toward the wheels.",
                form: Form::Quantity(&bounds::CRACKING),
                default: Default::Text("70 kPa ± 15 kPa"),
            },
            Key {
                name: "bore",
                doc: "Bore of the equivalent round hole when it is open (an estimate).",
                form: Form::Quantity(&bounds::TUBE_BORE),
                default: Default::Text("2 mm ± 0.5 mm"),
            },
        ],
    },
    build: |s, _| Built::Through {
        passage: Passage::Check { cracking_pa: s.si("cracking"), bore_m: s.si("bore") },
        tube: None,
    },
    worn_m3: no_wear,
};
