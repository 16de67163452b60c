//! A plan. What stops it is told apart from the table.

mod csv;
mod table;

use super::{Report, Sheet, View};
use crate::study::plan::Plan;

impl Report for Plan {
    fn blocks(&self, view: View) -> Vec<String> {
        table::blocks(self, view)
    }

    fn csv(&self) -> Option<Sheet> {
        Some(csv::render(self))
    }

    fn partial(&self) -> bool {
        self.partial
    }

    fn stopped(&self) -> bool {
        self.record.stopped()
    }
}
