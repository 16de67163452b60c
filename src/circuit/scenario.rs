//! A checked scenario with its circuit.

use super::{BuildError, Circuit};
use crate::scenario::model::Tables;
use crate::scenario::procedure::Procedure;
use crate::scenario::quantities::Address;
use std::ops::Deref;
use std::sync::Arc;

/// A checked scenario: its tables, and the circuit built from them. The two cannot get out of step: what changes the
/// tables builds the circuit anew.
#[derive(Debug, Clone, PartialEq)]
pub struct Scenario {
    tables: Arc<Tables>,
    circuit: Arc<Circuit>,
}

impl Scenario {
    /// Builds the circuit of these tables.
    ///
    /// # Errors
    /// If a quantity is negative, zero where it can't be, or no number; or if the parts do not join to a circuit in which every bleeder is reached.
    pub fn new(mut tables: Tables) -> Result<Self, BuildError> {
        // What code puts there may lie a little beyond what a file may say, but nothing can be of no size.
        let none = tables.quantities_mut().into_iter().find_map(|(place, bound, q)| {
            let can_be = q.value > 0.0 || (q.value == 0.0 && bound.min == 0.0) || bound.min < 0.0;
            (!(can_be && q.value.is_finite())).then_some((place, bound, q.value))
        });
        if let Some((place, bound, value)) = none {
            let (line, span) = match place {
                Address::Key(at, key) => tables.written(at).place_of(key),
                Address::Step(step, _) => (tables.procedure.steps[step].line, 0..0),
            };
            let what = format!("{} can't be {value} (SI)", bound.name);
            let remedy = format!("let it be from {} to {}", bound.min, bound.max);
            return Err(BuildError { line, span, what, remedy });
        }
        let circuit = Circuit::build(&tables)?;
        Ok(Self { tables: Arc::new(tables), circuit: Arc::new(circuit) })
    }

    /// Its tables and its circuit, to be shared.
    pub(crate) fn shared(&self) -> (Arc<Tables>, Arc<Circuit>) {
        (Arc::clone(&self.tables), Arc::clone(&self.circuit))
    }

    /// Its circuit.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The same with its tables changed.
    ///
    /// # Errors
    /// As [`Scenario::new`].
    pub fn changed(&self, change: impl FnOnce(&mut Tables)) -> Result<Self, BuildError> {
        let mut tables = Tables::clone(&self.tables);
        change(&mut tables);
        Self::new(tables)
    }

    /// The same with another procedure.
    pub fn with_procedure(&self, procedure: Procedure) -> Self {
        let mut out = self.clone();
        Arc::make_mut(&mut out.tables).procedure = procedure;
        out
    }
}

impl Deref for Scenario {
    type Target = Tables;

    fn deref(&self) -> &Tables {
        &self.tables
    }
}
