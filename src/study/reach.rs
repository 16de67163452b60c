//! Reach: what share of a part's old fluid each opening moves on, and which openings cannot move any of it.

use super::{StudyError, for_sums};
use crate::circuit::{Circuit, Scenario, reach};
use crate::job::options::Options;
use crate::job::record::PartLeft;
use crate::job::resume::{Ready, Underway};
use crate::scenario::procedure::Action;
use serde::Serialize;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reach {
    /// The openings, in the order in which they are done.
    pub openings: Vec<Opened>,
    /// The parts that hold old fluid at first, the reservoir first, then along the circuit.
    pub parts: Vec<PartReach>,
}

/// One step that opens one bleeder, or several together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Opened {
    /// Pass, from 1.
    pub pass: u32,
    /// Step of the procedure, from 1.
    pub step: usize,
    /// The bleeders.
    pub bleeders: Vec<String>,
}

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartReach {
    /// Its name.
    pub part: String,
    /// Its kind.
    pub kind: &'static str,
    /// Old fluid in it at first, mL.
    pub old_ml: f64,
    /// Of each opening, the share of that old fluid by which there is less in it afterwards: what has run on, less what has
    /// come in from before it.
    pub moved: Vec<f64>,
    /// Of each opening, whether the graph lets it move any: whether fluid can run from the reservoir through this part to a
    /// bleeder that is opened, with all valves at rest. Where it does not, the share is 0 whatever the volumes are.
    pub reached: Vec<bool>,
    /// The share moved by what is no opening: a syringe, a modulator that is worked.
    pub moved_otherwise: f64,
    /// The share left. This and the shares moved make 1.
    pub left: f64,
}

impl PartReach {
    /// Whether no opening can move any of it.
    pub fn trapped(&self) -> bool {
        !self.reached.contains(&true)
    }
}

/// Runs a scenario's own procedure, looking into every part before and after each opening.
///
/// # Errors
/// [`StudyError`].
pub fn study(scenario: &Scenario, options: &Options) -> Result<Reach, StudyError> {
    let mut job = Ready::new(scenario, &for_sums(options))?.sums_only().begin()?;
    let first = job.left().parts;
    let (mut before, mut openings) = (old_ml(&job), Vec::new());
    let (mut moved, mut otherwise) = (Vec::new(), vec![0.0; first.len()]);
    for ((pass, step), what) in scenario.procedure.in_turn() {
        job.act(what, pass, step)?;
        let after = old_ml(&job);
        let less: Vec<f64> = before.iter().zip(&after).map(|(b, a)| b - a).collect();
        if let Action::Open { bleeders, .. } = &what.action {
            openings.push(Opened { pass, step, bleeders: bleeders.clone() });
            moved.push(less);
        } else {
            otherwise.iter_mut().zip(&less).for_each(|(sum, x)| *sum += x);
        }
        before = after;
    }
    let reached: Vec<(Vec<bool>, Vec<bool>)> =
        openings.iter().map(|o| reached_by(scenario.circuit(), &o.bleeders)).collect();
    let parts = first.iter().enumerate().filter_map(|(i, part)| {
        let old_ml = part.old_fraction * part.volume_ml;
        (old_ml > NOTHING_ML).then(|| PartReach {
            part: part.part.clone(),
            kind: part.kind,
            old_ml,
            moved: moved.iter().map(|m| m[i] / old_ml).collect(),
            reached: reached.iter().map(|r| stands_in(scenario.circuit(), part, r)).collect(),
            moved_otherwise: otherwise[i] / old_ml,
            left: before[i] / old_ml,
        })
    });
    Ok(Reach { parts: parts.collect(), openings })
}

/// A part with less old fluid has none, mL.
const NOTHING_ML: f64 = 1e-3;

fn old_ml(job: &Underway) -> Vec<f64> {
    let of = |p: &PartLeft| if p.holds_some() { p.old_fraction * p.volume_ml } else { 0.0 };
    job.left().parts.iter().map(of).collect()
}

/// Nodes and links through which fluid can run if these bleeders alone are open.
fn reached_by(circuit: &Circuit, bleeders: &[String]) -> (Vec<bool>, Vec<bool>) {
    let mut some = circuit.clone();
    some.bleeders.retain(|b| bleeders.contains(&b.name));
    reach::reached(&some)
}

/// Whether the part is among these nodes and links.
fn stands_in(circuit: &Circuit, part: &PartLeft, (nodes, links): &(Vec<bool>, Vec<bool>)) -> bool {
    let node = circuit.nodes.iter().position(|n| n.name == part.part && n.kind == part.kind);
    let link = circuit.links.iter().position(|l| l.name == part.part && l.kind == part.kind);
    part.kind == "reservoir" || node.is_some_and(|i| nodes[i]) || link.is_some_and(|i| links[i])
}
