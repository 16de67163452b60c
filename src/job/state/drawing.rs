//! A modulator's pump that draws from the master cylinder, as the flow network has it.

use crate::circuit::Circuit;
use crate::parts::passage::Passage;
use std::borrow::Cow;

/// Pressure against which such a pump delivers nothing more, Pa: 200 bar, what hard braking takes (from memory).
pub(super) const STALL_PA: f64 = 200e5;

/// A circuit of a modulator whose pump draws from the master cylinder: its isolation valve, its suction valve and the
/// pump's outlet, by their links, and what it delivers without back pressure, m³/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Drawing {
    pub isolation: usize,
    pub suction: usize,
    pub pump: usize,
    pub drawn_m3_s: f64,
}

/// The circuit with the valves as they stand while these pumps draw: suction valves open, isolation valves shut but for
/// the check valves beside them.
pub(super) fn drawn_through<'c>(circuit: &'c Circuit, drawings: &[Drawing]) -> Cow<'c, Circuit> {
    let mut circuit = Cow::Borrowed(circuit);
    for drawing in drawings {
        let links = &mut circuit.to_mut().links;
        links[drawing.suction].shut = false;
        if let Passage::Orifice { bore_m, .. } = links[drawing.isolation].passage {
            links[drawing.isolation].passage = Passage::Check { cracking_pa: 0.0, bore_m };
        }
    }
    circuit
}
