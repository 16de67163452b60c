//! Orders ranked.

mod csv;
mod table;
mod verdict;

use super::{Report, Sheet, View};
use crate::study::orders::Orders;

impl Report for Orders {
    fn blocks(&self, view: View) -> Vec<String> {
        table::blocks(self, view)
    }

    fn warnings(&self, view: View) -> String {
        table::warnings(self, view)
    }

    fn csv(&self) -> Option<Sheet> {
        Some(csv::render(self))
    }

    fn partial(&self) -> bool {
        self.partial
    }

    fn stopped(&self) -> bool {
        self.own().is_some_and(|own| own.stopped || own.runs_short())
    }
}
