//! What a job or a check looks like on a terminal, and as JSON or CSV. Reports lay figures out; they never
//! compute one.

mod base64;
pub mod card;
pub mod check;
pub mod csv;
mod figures;
mod fonts;
mod grid;
pub mod json;
pub mod layouts_csv;
pub mod layouts_table;
pub mod lesson;
pub mod mistakes;
mod modulator;
pub mod orders_csv;
pub mod orders_table;
pub mod plan_csv;
pub mod plan_table;
pub mod pressures_csv;
pub mod pressures_table;
mod sheet;
pub mod spread_csv;
pub mod spread_table;
pub mod table;
mod under_way;
mod wording;
pub mod write;

pub use wording::Wording;

/// Units of pressure and temperature in a table. Volumes are in millilitres in both, as catch bottles are
/// marked; US totals have fluid ounces beside them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Units {
    /// kPa with psi beside it, °C.
    #[default]
    Metric,
    /// psi, °F, and US fluid ounces beside totals.
    Us,
}

/// How a report is laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct View {
    /// Units of pressure and temperature.
    pub units: Units,
    /// Columns to use.
    pub width: u16,
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

    /// A layout for so many columns, within [`Self::LEAST_WIDTH`] and [`Self::MOST_WIDTH`].
    pub fn of_width(units: Units, width: u16) -> Self {
        Self { units, width: width.clamp(Self::LEAST_WIDTH, Self::MOST_WIDTH) }
    }
}
