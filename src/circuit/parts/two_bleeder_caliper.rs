//! A fixed caliper of two halves with a bleeder each.
//!
//! Fluid comes into the half of the first bleeder named; two passages, one at each end of the caliper,
//! join the halves, so that they form a loop. Their own fluid counts as part of the halves.

use super::caliper::{
    BLEEDER_CROSS_HOLE, BLEEDER_HEIGHT, BLEEDER_HOLE, NEW_PADS, PAD_WEAR, SEAT_GAP, WORN_PADS,
    bleeder_passage, volume_m3, worn_m3,
};
use super::{Built, Kind, Vehicle};
use crate::circuit::chamber::Chamber;
use crate::circuit::passage::Passage;
use crate::scenario::chamber_keys::{BYPASS, POCKET, chamber_keys};
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// Loss of a drilled passage's sharp entry (0.5) and exit (1.0), on its own velocity (from memory).
const K_ENDS: f64 = 1.5;

/// The kind `two-bleeder caliper`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "two-bleeder caliper",
        doc: "A caliper of two halves with a bleeder each, joined by a passage at both ends; `bleeders` names that of the half with the inlet, then the other.",
        ends: Ends::Node,
        role: Role::HalvedCaliper,
        bleeds: true,
        holds: true,
        keys: chamber_keys!(
            [NEW_PADS, WORN_PADS, PAD_WEAR],
            POCKET,
            [
                BYPASS,
                // Drilled or piped passages of 2 to 3 mm over a hand's breadth: an estimate.
                Key {
                    name: "crossover_bore",
                    doc: "Bore of the passages between the halves (an estimate).",
                    form: Form::Quantity(&bounds::TUBE_BORE),
                    default: Default::Text("2.5 mm ± 0.5 mm"),
                },
                Key {
                    name: "crossover_near",
                    doc: "Length of the passage at the end with the inlet.",
                    form: Form::Quantity(&bounds::TUBE_LENGTH),
                    default: Default::Text("80 mm"),
                },
                Key {
                    name: "crossover_far",
                    doc: "Length of the way over the far end.",
                    form: Form::Quantity(&bounds::TUBE_LENGTH),
                    default: Default::Text("160 mm"),
                },
                BLEEDER_HOLE,
                BLEEDER_CROSS_HOLE,
                SEAT_GAP,
                BLEEDER_HEIGHT,
            ]
        ),
    },
    build,
    worn_m3,
};

fn build(s: &Section, vehicle: Vehicle) -> Built {
    let crossover = |length| Passage::Tube {
        bore_m: s.si("crossover_bore"),
        length_m: s.si(length),
        minor_k: K_ENDS,
    };
    Built::Halves {
        half: Chamber::with_bleeder(0.5 * volume_m3(s, vehicle), s),
        bleeder: bleeder_passage(s),
        crossovers: [crossover("crossover_near"), crossover("crossover_far")],
    }
}
