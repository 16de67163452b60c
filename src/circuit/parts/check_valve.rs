//! A one-way valve with a cracking pressure (a residual-pressure valve is one, too).

use super::{Built, Kind, no_wear};
use crate::circuit::passage::Passage;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `check valve`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "check valve",
        doc: "A one-way valve that opens at a cracking pressure.",
        ends: Ends::Through,
        role: Role::Valve,
        bleeds: false,
        holds: false,
        keys: &[
            Key {
                name: "cracking",
                doc: "Pressure difference at which it begins to open.",
                form: Form::Quantity(&bounds::CRACKING),
                default: Default::Text("0 kPa"),
            },
            Key {
                name: "bore",
                doc: "Bore of the equivalent round hole when it is open.",
                form: Form::Quantity(&bounds::TUBE_BORE),
                default: Default::Text("2 mm"),
            },
        ],
    },
    build: |s, _| Built::Through {
        passage: Passage::Check { cracking_pa: s.si("cracking"), bore_m: s.si("bore") },
        tube: None,
    },
    worn_m3: no_wear,
};
