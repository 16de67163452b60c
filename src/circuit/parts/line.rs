//! A rigid line, and what hoses share with it.

use super::{Built, Kind, Tube, Vehicle, no_wear};
use crate::circuit::passage::{Passage, hole_area_m2};
use crate::portable;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds, joints,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// Minor-loss coefficient of one smooth 90° bend of a brake line (radius about five bores).
/// Source: handbook range 0.2 to 0.3 for long-radius bends, from memory.
const K_BEND: f64 = 0.25;
/// Minor-loss coefficient of the union at the beginning, a sharp entry (from memory).
pub(in crate::circuit) const K_ENTRY: f64 = 0.5;
/// Minor-loss coefficient of the union at the end, a sharp exit (from memory).
pub(in crate::circuit) const K_EXIT: f64 = 1.0;

pub(super) const BENDS: Key = Key {
    name: "bends",
    doc: "Number of 90° bends.",
    form: Form::Count(0, 100),
    default: Default::Text("0"),
};
/// A bend turns the fluid over partly: Dean's secondary flow at Re ≈ 80 in a bend of nine radii
/// moves fluid sideways by about a third of the radius in a quarter turn (estimate after Dean
/// 1928, from memory), taken as a tenth of a full remix.
pub(super) const REMIX_PER_BEND: Key = Key {
    name: "remix_per_bend",
    doc: "Degree to which one bend mixes the cross-section: 0 not at all, 1 fully.",
    form: Form::Quantity(&bounds::SHARE),
    default: Default::Text("10 %"),
};
pub(super) const JOINT_REMIX: Key = Key {
    name: joints::JOINT_REMIX,
    doc: "Where it runs on from another line or hose: degree to which the joint mixes the cross-section, and has the loss of a sharp end and beginning. Left out, 0 % from a line to a line, or a hose to a hose, of one bore, and 100 % else.",
    form: Form::Quantity(&bounds::SHARE),
    default: Default::Rule(
        "0 % from a line to a line, or a hose to a hose, of one bore; else 100 %",
    ),
};
pub(super) const PROFILE: Key = Key {
    name: "profile",
    doc: "How fluid moves through it: laminar (fast in the middle, slow at the wall) or as a plug.",
    form: Form::Word(&["laminar", "plug"]),
    default: Default::Text("laminar"),
};

/// The kind `line`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "line",
        doc: "A rigid tube.",
        ends: Ends::Through,
        role: Role::Line,
        bleeds: false,
        holds: true,
        keys: &[
            Key {
                name: "length",
                doc: "Length along the tube.",
                form: Form::Quantity(&bounds::TUBE_LENGTH),
                default: Default::Required,
            },
            Key {
                name: "bore",
                doc: "Inside diameter: 3.33 mm is that of 4.75 mm tube with a 0.71 mm wall.",
                form: Form::Quantity(&bounds::TUBE_BORE),
                default: Default::Text("3.33 mm"),
            },
            BENDS,
            REMIX_PER_BEND,
            PROFILE,
            JOINT_REMIX,
        ],
    },
    build,
    worn_m3: no_wear,
};

/// Makes a tube. Its bends are gathered in one remix half way, of degree 1 − (1 − m)ⁿ for n bends of
/// degree m; write a line as several parts where that is too coarse.
pub(super) fn build(s: &Section, _: Vehicle) -> Built {
    let (bore_m, length_m) = (s.si("bore"), s.si("length"));
    let bends = f64::from(s.count("bends").unwrap_or(0));
    let per_bend = s.find_si("remix_per_bend").unwrap_or(0.0);
    Built::Through {
        passage: Passage::Tube { bore_m, length_m, minor_k: K_ENTRY + K_EXIT + K_BEND * bends },
        tube: Some(Tube {
            volume_m3: hole_area_m2(bore_m) * length_m,
            remix: 1.0 - portable::powf(1.0 - per_bend, bends),
            plug: s.text("profile") == Some("plug"),
        }),
    }
}
