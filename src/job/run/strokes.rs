//! Pedal strokes: what each does to the chambers of the master cylinder, and what lets the pedal up.
//!
//! Only chambers from which fluid reaches an open bleeder are moved, each to its own stop. A chamber on a
//! closed circuit is left as it is: before its port is closed it would trade a few tenths of a millilitre
//! with its compartment, which is not followed. A bleeder whose rule is met is shut there, within the
//! stroke; the pedal then comes up from where it stands.

use super::pushing;
use crate::circuit::paths;
use crate::job::state::stroke::{Driven, OVER};
use crate::job::state::{Setting, State};

/// Fluid within this share above the mark counts as fallen to it.
const AT_THE_MARK: f64 = 1e-6;
/// Lets the pedal up and begins the next stroke, if no chamber has anything left for these open bleeders.
/// Does nothing with another supply. The reservoir may run dry over it (`state.dry`).
pub(crate) fn stroke_if_over(setting: &Setting, state: &mut State, open: &[usize]) {
    let Some(&pedal) = state.supply.strokes() else { return };
    if !state.stroke.0.is_empty() && !state.stroke.able(&setting.circuit, open).is_empty() {
        return;
    }
    release(setting, state);
    if state.dry {
        return;
    }
    state.strokes += 1;
    let c = &setting.circuit;
    for node in paths::chambers_of(c, open) {
        let (Some(chamber), Some(outlet)) = (c.nodes[node].chamber, c.nodes[node].tag.outlet)
        else {
            continue;
        };
        let back = pedal.port_closing.value;
        let whole_m3 = pedal.sweep_m3(&chamber) - back;
        if back > 0.0 {
            state.system.send_back(node, outlet, back);
        }
        state.stroke.0.push(Driven { node, outlet, whole_m3, left_m3: whole_m3, missing_m3: back });
    }
    state.note_supply(setting);
}

/// Bleeder shut, pedal up: each chamber draws from its compartment what it gave off, and the reservoir
/// is topped up if it has fallen so far. If it cannot give enough, air is drawn: `state.dry`.
pub(crate) fn release(setting: &Setting, state: &mut State) {
    let Some(&pedal) = state.supply.strokes() else { return };
    if !state.stroke.0.is_empty() {
        let mut wanted = vec![0.0; setting.circuit.reservoir.outlets.len()];
        for d in &state.stroke.0 {
            wanted[d.outlet] += d.missing_m3;
        }
        // Taken as flows that last one second: the share of it that the reservoir can serve.
        let share = state.system.reservoir.seconds_until_air(&wanted);
        // A reservoir drained to the last drop still serves the stroke that drains it.
        let served = if share >= 1.0 - OVER { 1.0 } else { share };
        let draws: Vec<_> =
            state.stroke.0.drain(..).map(|d| (d.node, d.outlet, served * d.missing_m3)).collect();
        state.system.draw_in(&draws, pedal.between_strokes.value);
        state.clock_s += pedal.between_strokes.value;
        state.dry = served < 1.0;
        state.note_supply(setting);
        if setting.options.check_every_step {
            state.balance(setting);
        }
    }
    let refill = state.supply.topping().and_then(|t| setting.circuit.reservoir.refill(t));
    let low = refill.map(|(low, _)| low);
    // Whole strokes often end exactly at the mark; rounding must not decide whether it is reached.
    let volume = state.system.reservoir.volume();
    if !state.dry && low.is_some_and(|low| volume <= low * (1.0 + AT_THE_MARK)) {
        pushing::top_up(setting, state);
    }
}
