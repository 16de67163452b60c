//! The orders that a class is shown.

use crate::circuit::Scenario;
use crate::study::order::{OrderError, arrangement, together};
use crate::study::ranking::{self, Ranked};
use serde::Serialize;

/// What an order is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Named {
    /// The scenario's own.
    Own,
    /// Bleeders in falling order of path volume.
    FarFirst,
    /// Bleeders in rising order of path volume.
    NearFirst,
}

/// An order with what it is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chosen {
    pub named: Vec<Named>,
    pub order: Vec<String>,
}

/// Orders that open bleeders in different turns, the scenario's own first.
pub(super) fn chosen(scenario: &Scenario) -> Result<Vec<Chosen>, OrderError> {
    let procedure = &scenario.procedure;
    let own: Vec<String> = together(procedure).concat();
    let names = |ranked: Vec<Ranked>| ranked.into_iter().map(|r| r.bleeder).collect();
    let far: Vec<String> = names(ranking::far_first(scenario));
    let near: Vec<String> = names(ranking::near_first(scenario));
    let mut chosen = vec![Chosen { named: vec![Named::Own], order: own }];
    // The scenario is run as it stands, so its own arrangement is that of its file.
    let mut known: Vec<Vec<usize>> = vec![(0..procedure.steps.len()).collect()];
    let others = [(Named::FarFirst, far), (Named::NearFirst, near)];
    for (named, order) in others {
        let turns = arrangement(procedure, &order)?;
        match known.iter().position(|k| *k == turns) {
            Some(same) => chosen[same].named.push(named),
            None => {
                known.push(turns);
                chosen.push(Chosen { named: vec![named], order });
            }
        }
    }
    Ok(chosen)
}
