//! Pedal strokes: what each does to the chambers of the master cylinder, and what lets the pedal up.
//!
//! Only chambers from which fluid reaches an open bleeder are moved, each to its own stop. A chamber on a
//! closed circuit is left as it is: before its port is closed it would trade a few tenths of a millilitre
//! with its compartment, which is not followed. A bleeder whose rule is met is shut there, within the
//! stroke; the pedal then comes up from where it stands.

use super::pushing;
use super::state::{Setting, State};
use crate::circuit::paths;
use crate::supply::Supply;

/// Fluid within this share above the mark counts as fallen to it.
const AT_THE_MARK: f64 = 1e-6;
/// A stroke is over when less than this share of it is left.
const OVER: f64 = 1e-9;

/// A chamber during a stroke.
#[derive(Debug, Clone, Copy)]
pub(super) struct Driven {
    node: usize,
    outlet: usize,
    /// What it gives off in a whole stroke, m³, without the port-closing volume.
    whole_m3: f64,
    /// What it can still give off, m³; 0 at its stop.
    left_m3: f64,
    /// What it must draw in when the pedal comes up, m³.
    missing_m3: f64,
}

/// Chambers that can push fluid to these open bleeders now, by node: within a stroke those not yet
/// at their stop; before the first stroke all that are fit to.
pub(super) fn able(setting: &Setting, state: &State, open: &[usize]) -> Vec<usize> {
    let fit = paths::chambers_of(&setting.circuit, open);
    let at_stop = |node: usize| state.stroke.iter().any(|d| d.node == node && d.left_m3 <= 0.0);
    fit.into_iter().filter(|&node| !at_stop(node)).collect()
}

/// Lets the pedal up and begins the next stroke, if no chamber has anything left for these open bleeders.
/// Does nothing with another supply. The reservoir may run dry over it (`state.dry`).
pub(super) fn stroke_if_over(setting: &Setting, state: &mut State, open: &[usize]) {
    let Supply::Pedal(pedal) = state.supply else { return };
    if !state.stroke.is_empty() && !able(setting, state, open).is_empty() {
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
        state.stroke.push(Driven { node, outlet, whole_m3, left_m3: whole_m3, missing_m3: back });
    }
    state.note_supply(setting);
}

/// Time until the first of the chambers is at its stop, s; flows out of them in m³/s, by node.
pub(super) fn seconds_to_stop(state: &State, flows: &[(usize, f64)]) -> f64 {
    let of = |d: &Driven| flows.iter().find(|f| f.0 == d.node && f.1 > 0.0).map(|f| f.1);
    let seconds = state.stroke.iter().filter_map(|d| Some(d.left_m3 / of(d)?));
    seconds.fold(f64::INFINITY, f64::min)
}

/// Books what the chambers give off in a step.
pub(super) fn sweep(state: &mut State, given: &[(usize, f64)]) {
    for d in &mut state.stroke {
        let dv: f64 = given.iter().filter(|g| g.0 == d.node).map(|g| g.1).sum();
        d.left_m3 -= dv;
        d.missing_m3 += dv;
        if d.left_m3 <= OVER * d.whole_m3 {
            d.left_m3 = 0.0;
        }
    }
}

/// Whether some chamber is at its stop, so that another network of flow holds.
pub(super) fn at_a_stop(state: &State) -> bool {
    state.stroke.iter().any(|d| d.left_m3 == 0.0)
}

/// Bleeder shut, pedal up: each chamber draws from its compartment what it gave off, and the reservoir
/// is topped up if it has fallen so far. If it cannot give enough, air is drawn: `state.dry`.
pub(super) fn release(setting: &Setting, state: &mut State) {
    let Supply::Pedal(pedal) = state.supply else { return };
    if !state.stroke.is_empty() {
        let mut wanted = vec![0.0; setting.circuit.reservoir.outlets.len()];
        for d in &state.stroke {
            wanted[d.outlet] += d.missing_m3;
        }
        // Taken as flows that last one second: the share of it that the reservoir can serve.
        let share = state.system.reservoir.seconds_until_air(&wanted);
        // A reservoir drained to the last drop still serves the stroke that drains it.
        let served = if share >= 1.0 - OVER { 1.0 } else { share };
        let draws: Vec<_> =
            state.stroke.drain(..).map(|d| (d.node, d.outlet, served * d.missing_m3)).collect();
        state.system.draw_in(&draws, pedal.between_strokes.value);
        state.clock_s += pedal.between_strokes.value;
        state.dry = served < 1.0;
        state.note_supply(setting);
        if setting.options.check_every_step {
            state.balance(setting);
        }
    }
    let low = setting.circuit.reservoir.refill(&pedal.topping).map(|(low, _)| low);
    // Whole strokes often end exactly at the mark; rounding must not decide whether it is reached.
    let volume = state.system.reservoir.volume();
    if !state.dry && low.is_some_and(|low| volume <= low * (1.0 + AT_THE_MARK)) {
        pushing::top_up(setting, state);
    }
}
