//! A hydraulic modulator (ABS/ESC) with one or two brake circuits and their channels.
//!
//! A plain flush passes only the open inlet path. What lies behind the shut outlet valves (dead
//! volume of the low-pressure accumulator, return pump, damper) stays as it is: no bleeder reaches it.

use super::{Built, Kind, no_wear};
use crate::circuit::chamber::Chamber;
use crate::scenario::chamber_keys::STAGES;
use crate::scenario::section::Section;
use crate::scenario::{
    bounds,
    bounds::Bound,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// What the modulator's table says of each of its circuits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModulatorSpec {
    /// The passage of one channel.
    pub passage: Chamber,
    /// Bore of an inlet valve, m.
    pub inlet_m: f64,
    /// Bore of the isolation valve, m; `None` without ESC.
    pub isolation_m: Option<f64>,
    /// Dead volume of the accumulator, m³.
    pub dead_m3: f64,
    /// What the accumulator can take up, m³.
    pub swept_m3: f64,
    /// Chamber of the return pump, m³.
    pub pump_m3: f64,
    /// Damper, m³.
    pub damper_m3: f64,
    /// Volume that one cycle moves, m³.
    pub cycle_m3: f64,
    /// Time of one cycle, s.
    pub cycle_s: f64,
}

const fn quantity(
    name: &'static str,
    bound: &'static Bound,
    default: &'static str,
    doc: &'static str,
) -> Key {
    Key { name, doc, form: Form::Quantity(bound), default: Default::Text(default) }
}

/// The kind `hydraulic modulator`. Its volumes and bores are practice, no source.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "hydraulic modulator",
        doc: "The ABS/ESC unit. `from` names the line of each brake circuit; each part that starts from it is a channel.",
        ends: Ends::Node,
        role: Role::Modulator,
        bleeds: false,
        holds: true,
        keys: &[
            Key {
                name: "first_circuit",
                doc: "With two lines in `from`: the channels that the first feeds. The second feeds the others.",
                form: Form::Names,
                default: Default::Absent,
            },
            quantity(
                "passages",
                &bounds::CHAMBER,
                "1 mL",
                "Volume of each channel's passages, which a plain flush goes through.",
            ),
            STAGES,
            quantity(
                "inlet_orifice",
                &bounds::PORT_BORE,
                "0.7 mm",
                "Bore of each channel's inlet valve, open at rest.",
            ),
            Key {
                name: "esc",
                doc: "Whether each circuit has the isolation valve (open) and the suction valve (shut) of stability control.",
                form: Form::Flag,
                default: Default::Text("false"),
            },
            // Wider than an inlet valve: it feeds two of them. Estimate.
            quantity(
                "isolation_orifice",
                &bounds::PORT_BORE,
                "1.2 mm",
                "Bore of each circuit's isolation valve, with ESC.",
            ),
            quantity(
                "accumulator",
                &bounds::CHAMBER,
                "0.4 mL",
                "What each circuit's low-pressure accumulator holds at rest.",
            ),
            quantity(
                "accumulator_swept",
                &bounds::CHAMBER,
                "3 mL",
                "What each accumulator can take up while the unit works.",
            ),
            quantity(
                "pump_chamber",
                &bounds::CHAMBER,
                "0.2 mL",
                "Chamber of each circuit's return pump.",
            ),
            quantity("damper", &bounds::CHAMBER, "1.5 mL", "Damper behind each return pump."),
            // 2 mL/s: a return pump of 0.1 to 0.2 mL a revolution, at the low speed of a service
            // routine without back pressure. Estimate, no source.
            quantity(
                "cycle_volume",
                &bounds::CHAMBER,
                "0.5 mL",
                "What a circuit's outlet valves let into its accumulator in one cycle, and the pump returns.",
            ),
            quantity(
                "cycle_time",
                &bounds::WORK,
                "0.25 s",
                "Time of one cycle; with 0.5 mL the pump delivers 2 mL/s.",
            ),
        ],
    },
    build: |s, _| Built::Modulator(read(s)),
    worn_m3: no_wear,
};

fn read(s: &Section) -> ModulatorSpec {
    ModulatorSpec {
        passage: Chamber::of_stages(s.si("passages"), s),
        inlet_m: s.si("inlet_orifice"),
        isolation_m: s.flag("esc").then(|| s.si("isolation_orifice")),
        dead_m3: s.si("accumulator"),
        swept_m3: s.si("accumulator_swept"),
        pump_m3: s.si("pump_chamber"),
        damper_m3: s.si("damper"),
        cycle_m3: s.si("cycle_volume"),
        cycle_s: s.si("cycle_time"),
    }
}
