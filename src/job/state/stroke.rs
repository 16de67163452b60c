//! A pedal stroke: what the chambers of the master cylinder have given off and can still give.

use crate::circuit::{Circuit, paths};

/// A stroke is over when less than this share of it is left.
pub(crate) const OVER: f64 = 1e-9;

/// A chamber during a stroke.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Driven {
    pub node: usize,
    pub outlet: usize,
    /// What it gives off in a whole stroke, m³, without the port-closing volume.
    pub whole_m3: f64,
    /// What it can still give off, m³; 0 at its stop.
    pub left_m3: f64,
    /// What it must draw in when the pedal comes up, m³.
    pub missing_m3: f64,
}

/// Chambers of the master cylinder while the pedal is down; none while it is up.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stroke(pub Vec<Driven>);

impl Stroke {
    /// Chambers that can push fluid to these open bleeders now, by node: within a stroke those not yet
    /// at their stop; before the first stroke all that are fit to.
    pub(crate) fn able(&self, circuit: &Circuit, open: &[usize]) -> Vec<usize> {
        let at_stop = |node: usize| self.0.iter().any(|d| d.node == node && d.left_m3 <= 0.0);
        let fit = paths::chambers_of(circuit, open);
        fit.into_iter().filter(|&node| !at_stop(node)).collect()
    }

    /// Time until the first of the chambers is at its stop, s; flows out of them in m³/s, by node.
    pub(crate) fn seconds_to_stop(&self, flows: &[(usize, f64)]) -> f64 {
        let of = |d: &Driven| flows.iter().find(|f| f.0 == d.node && f.1 > 0.0).map(|f| f.1);
        let seconds = self.0.iter().filter_map(|d| Some(d.left_m3 / of(d)?));
        seconds.fold(f64::INFINITY, f64::min)
    }

    /// Books what the chambers give off in a step.
    pub(crate) fn sweep(&mut self, given: &[(usize, f64)]) {
        for d in &mut self.0 {
            let dv: f64 = given.iter().filter(|g| g.0 == d.node).map(|g| g.1).sum();
            d.left_m3 -= dv;
            d.missing_m3 += dv;
            if d.left_m3 <= OVER * d.whole_m3 {
                d.left_m3 = 0.0;
            }
        }
    }

    /// Whether some chamber is at its stop, so that another network of flow holds.
    pub(crate) fn at_a_stop(&self) -> bool {
        self.0.iter().any(|d| d.left_m3 == 0.0)
    }
}
