//! Pedal strokes: what each does to the chambers of the master cylinder, and what lets the pedal up.
//!
//! Only chambers from which fluid reaches an open bleeder are moved, each to its own stop. A chamber on a
//! closed circuit is left as it is: before its port is closed it would trade a few tenths of a millilitre
//! with its compartment, which is not followed. A bleeder whose rule is met is shut there, within the
//! stroke; the pedal then comes up from where it stands.

use super::pushing;
use crate::circuit::paths;
use crate::job::state::{Driven, Job, OVER};

/// Fluid within this share above the mark counts as fallen to it.
const AT_THE_MARK: f64 = 1e-6;
/// Lets the pedal up and begins the next stroke, if no chamber has anything left for these open bleeders.
/// Does nothing with another supply. The reservoir may run dry over it (`state.dry`).
pub(crate) fn stroke_if_over(job: &mut Job, open: &[usize]) {
    let Some(&pedal) = job.supply.strokes() else { return };
    if !job.stroke.0.is_empty() && !job.stroke.able(&job.setting.circuit, open).is_empty() {
        return;
    }
    release(job);
    if job.dry {
        return;
    }
    job.strokes += 1;
    let c = &job.setting.circuit;
    for node in paths::chambers_of(c, open) {
        let (Some(chamber), Some(outlet)) = (c.nodes[node].chamber, c.nodes[node].tag.outlet)
        else {
            continue;
        };
        let back = pedal.port_closing.value;
        let whole_m3 = pedal.sweep_m3(&chamber) - back;
        if back > 0.0 {
            job.system.send_back(node, outlet, back);
        }
        job.stroke.0.push(Driven { node, outlet, whole_m3, left_m3: whole_m3, missing_m3: back });
    }
    job.note_supply();
}

/// Bleeder shut, pedal up: each chamber draws from its compartment what it gave off, and the reservoir
/// is topped up if it has fallen so far. If it cannot give enough, air is drawn: `state.dry`.
pub(crate) fn release(job: &mut Job) {
    let Some(&pedal) = job.supply.strokes() else { return };
    if !job.stroke.0.is_empty() {
        let mut wanted = vec![0.0; job.setting.circuit.reservoir.outlets.len()];
        for d in &job.stroke.0 {
            wanted[d.outlet] += d.missing_m3;
        }
        // Taken as flows that last one second: the share of it that the reservoir can serve.
        let share = job.system.reservoir.seconds_until_air(&wanted);
        // A reservoir drained to the last drop still serves the stroke that drains it.
        let served = if share >= 1.0 - OVER { 1.0 } else { share };
        let draws: Vec<_> =
            job.stroke.0.drain(..).map(|d| (d.node, d.outlet, served * d.missing_m3)).collect();
        job.system.draw_in(&draws, pedal.between_strokes.value);
        job.clock_s += pedal.between_strokes.value;
        job.dry = served < 1.0;
        job.note_supply();
        if job.setting.options.check_every_step {
            job.balance();
        }
    }
    // Whole strokes often end exactly at the mark; rounding must not decide whether it is reached.
    let volume = job.system.reservoir.volume();
    if !job.dry && job.refill().is_some_and(|(low, _)| volume <= low * (1.0 + AT_THE_MARK)) {
        pushing::top_up(job);
    }
}
