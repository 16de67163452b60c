//! What an answer looks like on a terminal, and as CSV: each is a [`Report`]. Reports lay figures out; they
//! never compute one.

mod base64;
pub mod card;
mod check;
mod compare;
mod figures;
mod flush;
mod fonts;
mod grid;
mod layouts;
mod learn;
pub mod live;
pub mod mistakes;
mod orders;
mod plan;
mod pressures;
pub mod questions;
mod sheet;
mod spread;
mod temporary;
pub mod terminal;
mod warnings;
mod wording;
pub mod write;

pub use crate::json::{self, Flushed};
pub use crate::measures::Units;
pub use sheet::{Csv, Sheet, from_cell, to_cell};
pub use warnings::warnings;
pub use wording::Wording;

use serde::Serialize;

/// An answer that can be shown. As JSON it is what it serialises to.
pub trait Report: Serialize {
    /// The pieces of its table, without the warnings.
    fn blocks(&self, view: View) -> Vec<String>;

    /// The warnings with which the table ends; empty if there are none.
    fn warnings(&self, _view: View) -> String {
        String::new()
    }

    /// Its table as text; headings and warnings carry terminal styles, which whoever prints it takes out where they are
    /// not wanted.
    fn table(&self, view: View) -> String {
        let mut blocks = self.blocks(view);
        blocks.extend(Some(self.warnings(view)).filter(|w| !w.is_empty()));
        blocks.join("\n")
    }

    /// Its CSV; `None` if it has none.
    fn csv(&self) -> Option<Sheet> {
        None
    }

    /// Whether it was ended early, so that something is missing.
    fn partial(&self) -> bool {
        false
    }

    /// Whether a warning says that the job must not be done so.
    fn stopped(&self) -> bool {
        false
    }
}

/// How a report is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct View {
    /// Units of pressure and temperature.
    pub units: Units,
    /// Columns to use.
    pub width: u16,
    /// Whether every table is shown, not the answer alone.
    pub details: bool,
}

impl View {
    /// Columns used if the terminal does not say how many it has.
    pub const USUAL_WIDTH: u16 = 80;
    /// No report is made narrower: a terminal that says less has its lines broken by itself.
    pub const LEAST_WIDTH: u16 = 60;
    /// No report is made wider.
    pub const MOST_WIDTH: u16 = 100;

    /// A layout for the terminal that standard output goes to, if it is one.
    pub fn for_terminal(units: Units) -> Self {
        Self::of_width(units, grid::terminal_width().unwrap_or(Self::USUAL_WIDTH))
    }

    /// A layout for this many columns, within [`Self::LEAST_WIDTH`] and [`Self::MOST_WIDTH`].
    pub fn of_width(units: Units, width: u16) -> Self {
        let width = width.clamp(Self::LEAST_WIDTH, Self::MOST_WIDTH);
        Self { units, width, details: false }
    }

    /// The same with every table.
    pub fn in_detail(self) -> Self {
        Self { details: true, ..self }
    }
}
