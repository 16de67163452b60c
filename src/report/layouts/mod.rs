//! Layouts side by side.

mod csv;
pub(super) mod table;

use super::{Report, Sheet, View};
use crate::study::layouts::Layouts;

impl Report for Layouts {
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
        Layouts::stopped(self)
    }
}
