//! A one-way valve with a cracking pressure (a residual-pressure valve is one, too).

use super::line::BORE;
use super::{Built, Kind, no_wear};
use crate::circuit::passage::Passage;
use crate::scenario::{
    bounds::Bound,
    spec::{Default, Ends, Form, Key, KindSpec},
    units::Dimension,
};

const CRACKING: Bound =
    Bound { name: "cracking", dimension: Dimension::Pressure, min: 0.0, max: 1e6 };

/// The kind `check valve`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "check valve",
        doc: "A one-way valve that opens at a cracking pressure.",
        ends: Ends::Through,
        bleeds: false,
        keys: &[
            Key {
                name: "cracking",
                doc: "Pressure difference at which it begins to open.",
                form: Form::Quantity(&CRACKING),
                default: Default::Text("0 kPa"),
            },
            Key {
                name: "bore",
                doc: "Bore of the equivalent round hole when it is open.",
                form: Form::Quantity(&BORE),
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
