//! A job.

mod csv;
mod modulator;
mod table;
mod verdict;

use super::{Report, Sheet, View, warnings};
use crate::job::record::Record;

impl Report for Record {
    fn blocks(&self, view: View) -> Vec<String> {
        table::blocks(self, view)
    }

    fn warnings(&self, view: View) -> String {
        warnings(&self.warnings, view)
    }

    fn csv(&self) -> Option<Sheet> {
        Some(csv::render(self))
    }

    fn stopped(&self) -> bool {
        Record::stopped(self)
    }
}
