//! Joints: where a line or hose runs straight on into another, without a tee or a valve.

use super::{BuildError, error};
use crate::circuit::{Circuit, Link};
use crate::keys::{Place, Role};
use crate::parts::passage::Passage;
use crate::parts::{K_ENTRY, K_EXIT};
use crate::scenario::model::Tables;

/// Bores that differ by no more than this share are one: the wall of drawn tube is within 0.05 mm or so either
/// side, so two tubes of 3.33 mm are within 3 %; the next size differs by 5 % (4.75 and 5 mm tube; from memory).
const ONE_BORE: f64 = 0.04;

/// Places at which it is read what passes, of all stretches of lines that run on into one another.
const MOST_READ: usize = 3_000;

/// The degree to which a joint mixes the cross-section where the scenario states none.
///
/// Lines of one bore, or hoses: 0, since nothing shows that there is a fitting; it may be one line written in
/// pieces. Else 1: a change of bore, and the end of a hose, which is crimped over a narrower insert, are a sudden
/// contraction and expansion, and behind it a jet that turns the fluid over (an estimate, to the side of more
/// mixing; no source that measures it in lanes). A plug has no lanes to keep.
fn by_default(before: &Link, after: &Link) -> f64 {
    let (Some((a, _)), Some((b, _))) = (before.bore_and_length_m(), after.bore_and_length_m())
    else {
        return 1.0;
    };
    let one_bore = (a - b).abs() <= ONE_BORE * a.max(b);
    if before.kind == after.kind && one_bore { 0.0 } else { 1.0 }
}

/// Finds the joints and settles what they remix and cost.
///
/// The end of a line and the beginning of the next are booked with each line as if both were sharp. What does not turn
/// the fluid over costs nothing: a joint takes the part of both that its degree tells.
pub(super) fn settle(circuit: &mut Circuit, scenario: &Tables) -> Result<(), BuildError> {
    for after in 0..circuit.links.len() {
        let stated = circuit.links[after].joint.take();
        let node = circuit.links[after].from;
        let ends_here = |l: &Link| l.to == node && l.tube.is_some();
        let (true, true, Some(before)) = (
            circuit.links[after].tube.is_some(),
            circuit.nodes[node].role == Role::Joint,
            circuit.links.iter().position(ends_here),
        ) else {
            continue;
        };
        let (a, b) = (&circuit.links[before], &circuit.links[after]);
        let plug = |l: &Link| l.tube.is_some_and(|t| t.plug);
        let degree = match (plug(a), plug(b)) {
            (false, false) => stated.unwrap_or_else(|| by_default(a, b)),
            (true, true) => by_default(a, b),
            _ => 1.0,
        };
        circuit.links[after].joint = Some(degree);
        for (link, k) in [(before, K_EXIT), (after, K_ENTRY)] {
            if let Passage::Tube { minor_k, .. } = &mut circuit.links[link].passage {
                *minor_k -= (1.0 - degree) * k;
            }
        }
    }
    not_too_many(circuit, scenario)
}

/// Stretches from one place that remixes to another grow with the square of the number of places in a row.
fn not_too_many(circuit: &Circuit, scenario: &Tables) -> Result<(), BuildError> {
    let goes_on = |l: &Link| l.joint.is_some_and(|degree| degree < 1.0);
    for first in circuit.links.iter().filter(|l| l.tube.is_some() && !goes_on(l)) {
        // Degree of each place, and whether it is a joint.
        let mut places = vec![(1.0, true)];
        let (mut last, mut lines) = (first, 1);
        loop {
            let bends = last.tube.map_or(0.0, |t| t.remix);
            places.extend((bends > 0.0).then_some((bends, false)));
            let next = circuit.links.iter().find(|l| l.from == last.to && goes_on(l));
            places.push((next.and_then(|l| l.joint).unwrap_or(1.0), true));
            let Some(next) = next else { break };
            (last, lines) = (next, lines + 1);
        }
        if read(&places) > MOST_READ {
            let line = scenario.parts.iter().find(|p| p.name == last.name);
            return Err(error(
                line.map_or(Place::Nowhere, |p| p.written.line),
                format!(
                    "{lines} lines and hoses in a row run on into one another up to \"{}\", with more bends and joints than are carried",
                    last.name
                ),
                "write them as fewer, longer ones, or give one of them `joint_remix = \"100 %\"`",
            ));
        }
    }
    Ok(())
}

fn read(places: &[(f64, bool)]) -> usize {
    let mut count = 0;
    for from in (0..places.len()).filter(|&i| places[i].0 > 0.0) {
        let mut joints = 0;
        for &(degree, joint) in &places[from + 1..] {
            if degree > 0.0 {
                count += joints + 1;
            }
            if degree >= 1.0 {
                break;
            }
            joints += usize::from(joint);
        }
    }
    count
}
