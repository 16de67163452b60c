//! Ranges over random draws.

mod csv;
mod table;

use super::{Report, Sheet, View};
use crate::study::spread::Spread;

impl Report for Spread {
    fn blocks(&self, view: View) -> Vec<String> {
        table::blocks(self, view)
    }

    fn csv(&self) -> Option<Sheet> {
        Some(csv::render(self))
    }

    fn partial(&self) -> bool {
        self.partial
    }
}
