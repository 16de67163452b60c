//! A drum-brake wheel cylinder: inlet and bleeder both open between the cups, so the pockets lie
//! toward the pistons.

use super::caliper::{BLEEDER_CROSS_HOLE, BLEEDER_HEIGHT, BLEEDER_HOLE, SEAT_GAP, bleeder_passage};
use super::{Built, Kind, Vehicle};
use crate::circuit::chamber::Chamber;
use crate::scenario::chamber_keys::{BYPASS, POCKET, chamber_keys};
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `wheel cylinder`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "wheel cylinder",
        doc: "A drum-brake wheel cylinder with a bleeder on it.",
        ends: Ends::Node,
        role: Role::WheelCylinder,
        bleeds: true,
        holds: true,
        keys: chamber_keys!(
            [
                Key {
                    name: "volume",
                    doc: "Fluid volume between the cups, passages included.",
                    form: Form::Quantity(&bounds::CHAMBER),
                    default: Default::Required,
                },
                Key {
                    name: "worn_shoes",
                    doc: "The same with shoes worn out; left out, wear does not change it.",
                    form: Form::Quantity(&bounds::CHAMBER),
                    default: Default::Absent,
                },
            ],
            Key {
                doc: "Share of the volume that lies toward the pistons, past inlet and bleeder.",
                default: Default::Text("30 %"),
                ..POCKET
            },
            [BYPASS, BLEEDER_HOLE, BLEEDER_CROSS_HOLE, SEAT_GAP, BLEEDER_HEIGHT]
        ),
    },
    build: |s, vehicle| Built::Node {
        chamber: Some(Chamber::with_bleeder(s.si("volume") + worn_m3(s, vehicle), s)),
        bleeder: Some(bleeder_passage(s)),
    },
    worn_m3,
};

fn worn_m3(s: &Section, vehicle: Vehicle) -> f64 {
    let new = s.si("volume");
    vehicle.pad_wear * (s.find_si("worn_shoes").unwrap_or(new) - new)
}
