//! The slave cylinder of a hydraulic clutch with the bleeder on it.

use super::caliper::{BLEEDER_CROSS_HOLE, BLEEDER_HEIGHT, BLEEDER_HOLE, SEAT_GAP, bleeder_passage};
use super::{Built, Kind, no_wear};
use crate::circuit::chamber::Chamber;
use crate::scenario::chamber_keys::{BYPASS, POCKET, chamber_keys};
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `clutch slave cylinder`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "clutch slave cylinder",
        doc: "The cylinder at the clutch, with a bleeder on it.",
        ends: Ends::Node,
        role: Role::ClutchSlave,
        bleeds: true,
        holds: true,
        keys: chamber_keys!(
            [Key {
                name: "volume",
                doc: "Fluid volume with the clutch engaged, passages included.",
                form: Form::Quantity(&bounds::CHAMBER),
                default: Default::Required,
            }],
            POCKET,
            [BYPASS, BLEEDER_HOLE, BLEEDER_CROSS_HOLE, SEAT_GAP, BLEEDER_HEIGHT]
        ),
    },
    build: |s, _| Built::Node {
        chamber: Some(Chamber::with_bleeder(s.si("volume"), s)),
        bleeder: Some(bleeder_passage(s)),
    },
    worn_m3: no_wear,
};
