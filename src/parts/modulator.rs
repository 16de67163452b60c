//! A hydraulic modulator (ABS/ESC) with one or two brake circuits and their channels.
//!
//! A plain flush passes only the open inlet path. What lies behind the shut outlet valves (dead
//! volume of the low-pressure accumulator, return pump, damper) stays as it is: no bleeder reaches it.

use super::chamber::Chamber;
use super::contents::Contents;
use super::mixing::Stages;
use super::{Built, Part};
use crate::keys::LeftOut::{Absent, Text};
use crate::keys::bounds::{
    ACCUMULATOR_OPENS, MODULATOR_EXTRA, MODULATOR_ROOM, PORT_BORE, SHARE, WORK,
};
use crate::keys::table::table;
use crate::keys::{KindSpec, Quantity, Role};

/// What the modulator's table says of each of its circuits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModulatorSpec {
    /// The passage of one channel.
    pub passage: Chamber,
    /// Bore of an inlet valve, m.
    pub inlet_m: f64,
    /// Bore of the isolation valve, m; `None` without ESC.
    pub isolation_m: Option<f64>,
    /// What the accumulator holds at rest and how that mixes with what it takes up: all but its bypass.
    pub accumulator: Chamber,
    /// Pressure at which the accumulator begins to take up fluid, Pa.
    pub opens_pa: f64,
    /// What the accumulator can take up, m³.
    pub swept_m3: f64,
    /// Chamber of the return pump, m³.
    pub pump_m3: f64,
    /// Damper, past which goes what it does not trade; `None` without one.
    pub damper: Option<Chamber>,
    /// With ESC and a bleeder open: share of the pump's delivery that it draws from the master cylinder, 0 to 1.
    pub suction_share: f64,
    /// Volume that one cycle moves, m³.
    pub cycle_m3: f64,
    /// Time of one cycle, s.
    pub cycle_s: f64,
}

table! {
    /// The table of a hydraulic modulator. Its volumes and bores are practice, no source.
    pub struct Modulator {
        /// With two lines in `from`: the channels that the first feeds. The second feeds the others.
        pub first_circuit: Vec<String> = Absent;
        /// Volume of each channel's passages, which a plain flush goes through.
        pub passages: Quantity [&MODULATOR_ROOM] = Text("1 mL");
        /// Stages.
        pub stages: Stages;
        /// Bore of each channel's inlet valve, open at rest.
        pub inlet_orifice: Quantity [&PORT_BORE] = Text("0.7 mm");
        /// Whether each circuit has the isolation valve (open) and the suction valve (shut) of stability control.
        pub esc: bool = Text("false");
        // Wider than an inlet valve: it feeds two of them. Estimate.
        /// Bore of each circuit's isolation valve, with ESC.
        pub isolation_orifice: Quantity [&PORT_BORE] = Text("1.2 mm");
        /// What each circuit's low-pressure accumulator holds at rest.
        pub accumulator: Quantity [&MODULATOR_EXTRA] = Text("0.4 mL");
        // Some bar: it must give way to what a locked wheel on ice is to keep, and the pump must empty it. From memory.
        /// Pressure at which each accumulator's spring gives way, so that it takes up fluid.
        pub accumulator_opens: Quantity [&ACCUMULATOR_OPENS] = Text("2 bar");
        // Halfway between a dead end and a passage: nobody says which of the two a unit has. No source.
        /// Share of what enters the accumulator that mixes with what it holds at rest; the rest leaves as it came.
        pub accumulator_exchange: Quantity [&SHARE] = Text("50 %");
        /// What each accumulator can take up while the unit works.
        pub accumulator_swept: Quantity [&MODULATOR_ROOM] = Text("3 mL");
        /// Chamber of each circuit's return pump.
        pub pump_chamber: Quantity [&MODULATOR_ROOM] = Text("0.2 mL");
        /// Damper behind each return pump.
        pub damper: Quantity [&MODULATOR_EXTRA] = Text("1.5 mL");
        // As the accumulator's.
        /// Share of what the pump delivers that goes through the damper and mixes there; the rest goes past it.
        pub damper_exchange: Quantity [&SHARE] = Text("50 %");
        // 2 mL/s: a return pump of 0.1 to 0.2 mL a revolution, at the low speed of a service routine without back
        // pressure. Estimate, no source.
        /// What a circuit's outlet valves let into its accumulator in one cycle, and the pump returns.
        pub cycle_volume: Quantity [&MODULATOR_ROOM] = Text("0.5 mL");
        /// Time of one cycle; with 0.5 mL the pump delivers 2 mL/s.
        pub cycle_time: Quantity [&WORK] = Text("0.25 s");
        // Half: a routine builds pressure and lets it off in turn. Estimate, no source.
        /// With ESC and a bleeder open: share of its delivery that the pump draws from the master cylinder and sends to the bleeder; the rest it draws from the accumulator.
        pub suction_share: Quantity [&SHARE] = Text("50 %");
        /// Contents.
        pub contents: Contents;
    }
}

/// A room of one stage with which this share of what passes mixes.
fn trading(volume_m3: f64, exchange: f64) -> Chamber {
    Chamber { bypass_share: 1.0 - exchange, ..Chamber::mixed(volume_m3) }
}

impl Part for Modulator {
    fn spec(&self) -> KindSpec {
        KindSpec::node(
            "hydraulic modulator",
            Role::Modulator,
            "The ABS/ESC unit. `from` names the line of each brake circuit; each part that starts from it is a channel.",
        )
        .also(&["ABS modulator", "hydraulic control unit"])
        .near(&[
            ("ABS", ""),
            ("ABS unit", ""),
            ("ABS pump", ""),
            ("ABS block", ""),
            ("ESC", ""),
            ("ESC unit", ""),
            ("HCU", ""),
            ("modulator", ""),
        ])
    }

    fn build(&self, _: f64) -> Built {
        Built::Modulator(ModulatorSpec {
            passage: Chamber {
                stages: self.stages.stages as usize,
                ..Chamber::mixed(self.passages.value)
            },
            inlet_m: self.inlet_orifice.value,
            isolation_m: self.esc.then_some(self.isolation_orifice.value),
            accumulator: trading(self.accumulator.value, self.accumulator_exchange.value),
            opens_pa: self.accumulator_opens.value,
            swept_m3: self.accumulator_swept.value,
            pump_m3: self.pump_chamber.value,
            damper: (self.damper.value > 0.0)
                .then(|| trading(self.damper.value, self.damper_exchange.value)),
            suction_share: self.suction_share.value,
            cycle_m3: self.cycle_volume.value,
            cycle_s: self.cycle_time.value,
        })
    }

    fn contents(&self) -> Option<&Contents> {
        Some(&self.contents)
    }

    fn idle(&self) -> Vec<(&'static str, &'static str)> {
        let mut idle = Vec::new();
        if !self.esc {
            let esc = "it has no stability control: write `esc = true` if it does";
            idle.extend([("isolation_orifice", esc), ("suction_share", esc)]);
        }
        if self.damper.value <= 0.0 {
            idle.push((
                "damper_exchange",
                "it has no damper: write `damper = \"1.5 mL\"` if it does",
            ));
        }
        if self.accumulator.value <= 0.0 {
            let room = "its accumulators hold nothing at rest: write `accumulator = \"0.4 mL\"` if they do";
            idle.push(("accumulator_exchange", room));
        }
        idle
    }

    fn only_worked(&self) -> &'static [&'static str] {
        &[
            "accumulator_opens",
            "accumulator_exchange",
            "accumulator_swept",
            "damper_exchange",
            "cycle_volume",
            "cycle_time",
            "suction_share",
        ]
    }
}
