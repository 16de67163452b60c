//! Every table of a scenario, and every quantity in it, with where it stands: what draws or changes quantities goes
//! through here, and misses none.

use super::model::Tables;
use super::procedure::{Procedure, Step};
use super::step_quantity::StepQuantity;
use crate::keys::{Bound, Quantity, Table, Written, quantities};

/// A table of the scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum At {
    /// `[described]`
    Described,
    /// `[vehicle]`
    Vehicle,
    /// `[old_fluid]`
    OldFluid,
    /// `[new_fluid]`
    NewFluid,
    /// `[reservoir]`
    Reservoir,
    /// `[master_cylinder]`
    MasterCylinder,
    /// `[clear_hose]`
    ClearHose,
    /// `[procedure]`
    Procedure,
    /// A part, by its index.
    Part(usize),
    /// A supply, by its index.
    Supply(usize),
}

/// Where a quantity stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Address {
    /// A key of a table.
    Key(At, &'static str),
    /// A step, by its index.
    Step(usize, StepQuantity),
}

type Each<'s> = Vec<(At, &'s mut Written, &'s mut dyn Table)>;

impl Tables {
    /// Every table, in the order in which the data flows.
    pub fn tables_mut(&mut self) -> Vec<(At, &mut Written, &mut dyn Table)> {
        self.tables_and_steps().0
    }

    fn tables_and_steps(&mut self) -> (Each<'_>, &mut [Step]) {
        let Self {
            title: _,
            file: _,
            set: _,
            described,
            vehicle,
            old_fluid,
            new_fluid,
            reservoir,
            master_cylinder,
            parts,
            supplies,
            clear_hose,
            procedure,
            unusual: _,
        } = self;
        let Procedure { tasks, steps } = procedure;
        let mut all: Each<'_> = vec![
            (At::Described, &mut described.written, &mut described.values),
            (At::Vehicle, &mut vehicle.written, &mut vehicle.values),
            (At::OldFluid, &mut old_fluid.written, &mut old_fluid.values),
            (At::NewFluid, &mut new_fluid.written, &mut new_fluid.values),
            (At::Reservoir, &mut reservoir.written, &mut reservoir.values),
            (At::MasterCylinder, &mut master_cylinder.written, &mut master_cylinder.values),
            (At::ClearHose, &mut clear_hose.written, &mut clear_hose.values),
            (At::Procedure, &mut tasks.written, &mut tasks.values),
        ];
        for (i, p) in parts.iter_mut().enumerate() {
            all.push((At::Part(i), &mut p.written, &mut *p.kind));
        }
        for (i, s) in supplies.iter_mut().enumerate() {
            all.push((At::Supply(i), &mut s.written, &mut *s.kind));
        }
        (all, steps)
    }

    /// Every quantity that is there, with its bound: those of the tables, then those of the steps.
    pub fn quantities_mut(&mut self) -> Vec<(Address, &'static Bound, &mut Quantity)> {
        let (tables, steps) = self.tables_and_steps();
        let mut all = Vec::new();
        for (at, _, table) in tables {
            let of_table = quantities(table).into_iter();
            all.extend(of_table.map(|(key, bound, q)| (Address::Key(at, key), bound, q)));
        }
        for (i, step) in steps.iter_mut().enumerate() {
            let of_step = step.action.quantities_mut().into_iter();
            all.extend(of_step.map(|(what, q)| (Address::Step(i, what), what.bound(), q)));
        }
        all
    }

    /// How a table stands in the file.
    pub fn written(&self, at: At) -> &Written {
        match at {
            At::Described => &self.described.written,
            At::Vehicle => &self.vehicle.written,
            At::OldFluid => &self.old_fluid.written,
            At::NewFluid => &self.new_fluid.written,
            At::Reservoir => &self.reservoir.written,
            At::MasterCylinder => &self.master_cylinder.written,
            At::ClearHose => &self.clear_hose.written,
            At::Procedure => &self.procedure.tasks.written,
            At::Part(i) => &self.parts[i].written,
            At::Supply(i) => &self.supplies[i].written,
        }
    }
}
