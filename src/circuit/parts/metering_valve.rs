//! A metering valve: holds the front discs off until the rear drums have begun to bite.
//!
//! Below its hold-off pressure it may pass nothing, and a pressure bleeder stays far below it. Workshops
//! hold its stem in (or out) with a tool while they bleed or flush: common practice, no source.

use super::{Built, Kind, no_wear};
use crate::circuit::passage::Passage;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// What to do where it holds fluid back.
pub(super) const REMEDY: &str = "hold it open with the proper tool and write `held_open = true`, and take the tool off afterwards";

/// The kind `metering valve`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "metering valve",
        doc: "Holds the front brakes off below a pressure; it may pass nothing there unless it is held open.",
        ends: Ends::Through,
        role: Role::Valve,
        bleeds: false,
        holds: false,
        keys: &[
            Key {
                name: "held_open",
                doc: "Whether it is held open with a tool while the brakes are flushed.",
                form: Form::Flag,
                default: Default::Text("false"),
            },
            // 5 to 9 bar: common practice, no source. Some pass a little below 0.2 bar, which is left out.
            Key {
                name: "hold_off",
                doc: "Pressure difference below which it passes nothing (an estimate).",
                form: Form::Quantity(&bounds::CRACKING),
                default: Default::Text("700 kPa ± 200 kPa"),
            },
            Key {
                name: "bore",
                doc: "Bore of the equivalent round hole when it is open (an estimate).",
                form: Form::Quantity(&bounds::TUBE_BORE),
                default: Default::Text("2 mm ± 0.5 mm"),
            },
        ],
    },
    build: |s, _| {
        let bore_m = s.si("bore");
        Built::Through {
            passage: if s.flag("held_open") {
                Passage::Orifice { bore_m }
            } else {
                Passage::Check { cracking_pa: s.si("hold_off"), bore_m }
            },
            tube: None,
        }
    },
    worn_m3: no_wear,
};
