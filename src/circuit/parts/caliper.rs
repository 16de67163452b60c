//! A disc-brake caliper (or one half of it) with the bleeder on it.

use super::{Built, Kind, Vehicle};
use crate::circuit::chamber::Chamber;
use crate::circuit::passage::{Passage, bore_of_holes_in_a_row, hole_area_m2};
use crate::scenario::chamber_keys::{BYPASS, POCKET, chamber_keys};
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};
use std::f64::consts::PI;

pub(super) const BLEEDER_HOLE: Key = Key {
    name: "bleeder_hole",
    doc: "Axial hole of the bleeder screw.",
    form: Form::Quantity(&bounds::PORT_BORE),
    default: Default::Text("2 mm"),
};
pub(super) const BLEEDER_CROSS_HOLE: Key = Key {
    name: "bleeder_cross_hole",
    doc: "Cross hole of the bleeder screw.",
    form: Form::Quantity(&bounds::PORT_BORE),
    default: Default::Text("1.5 mm"),
};
/// Half a turn of an M8 × 1.25 or M10 × 1 screw lifts the cone 0.5 to 0.6 mm; across a 45° seat the
/// gap is 0.7 of that.
pub(super) const SEAT_GAP: Key = Key {
    name: "seat_gap",
    doc: "Gap between cone and seat with the bleeder open, measured across the gap.",
    form: Form::Quantity(&bounds::SEAT_GAP),
    default: Default::Text("0.35 mm"),
};

pub(super) const BLEEDER_HEIGHT: Key = Key {
    name: "height",
    doc: "Height of the bleeder above the ground.",
    form: Form::Quantity(&bounds::HEIGHT),
    default: Default::Text("0.35 m"),
};

pub(super) const NEW_PADS: Key = Key {
    name: "new_pads",
    doc: "Fluid volume behind the pistons with new pads, passages included.",
    form: Form::Quantity(&bounds::CHAMBER),
    default: Default::Required,
};
pub(super) const WORN_PADS: Key = Key {
    name: "worn_pads",
    doc: "The same with pads worn out; left out, wear does not change it.",
    form: Form::Quantity(&bounds::CHAMBER),
    default: Default::Absent,
};
pub(super) const PAD_WEAR: Key = Key {
    name: "pad_wear",
    doc: "Wear of these pads; left out, that of the vehicle.",
    form: Form::Quantity(&bounds::PAD_WEAR),
    default: Default::Absent,
};

/// The kind `caliper`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "caliper",
        doc: "A disc-brake caliper, or one half of one, with a bleeder on it.",
        ends: Ends::Node,
        role: Role::Caliper,
        bleeds: true,
        holds: true,
        keys: chamber_keys!(
            [NEW_PADS, WORN_PADS, PAD_WEAR],
            POCKET,
            [BYPASS, BLEEDER_HOLE, BLEEDER_CROSS_HOLE, SEAT_GAP, BLEEDER_HEIGHT]
        ),
    },
    build,
    worn_m3,
};

pub(super) fn worn_m3(s: &Section, vehicle: Vehicle) -> f64 {
    let new = s.si("new_pads");
    let wear = s.find_si("pad_wear").unwrap_or(vehicle.pad_wear);
    wear * (s.find_si("worn_pads").unwrap_or(new) - new)
}

/// Volume as worn as the pads are, m³.
pub(super) fn volume_m3(s: &Section, vehicle: Vehicle) -> f64 {
    s.si("new_pads") + worn_m3(s, vehicle)
}

fn build(s: &Section, vehicle: Vehicle) -> Built {
    Built::Node {
        chamber: Some(Chamber::with_bleeder(volume_m3(s, vehicle), s)),
        bleeder: Some(bleeder_passage(s)),
    }
}

/// The bleeder screw: seat gap (a ring of the axial hole's diameter), cross hole, axial hole in a
/// row, as one orifice.
pub fn bleeder_passage(s: &Section) -> Passage {
    let hole_m = s.si("bleeder_hole");
    let ring_m2 = PI * hole_m * s.si("seat_gap");
    Passage::Orifice {
        bore_m: bore_of_holes_in_a_row(&[
            hole_area_m2(hole_m),
            hole_area_m2(s.si("bleeder_cross_hole")),
            ring_m2,
        ]),
    }
}
