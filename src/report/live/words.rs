//! Names on the page.

use crate::harmless;
use crate::report::figures::shortened;
use crate::scenario::limits::LONGEST_NAME;

/// Columns that the title takes at most.
const LONGEST_TITLE: usize = 160;

/// A name as the page shows it.
pub(super) fn shown(name: &str) -> String {
    shortened(&harmless(name), LONGEST_NAME)
}

/// The title as the page shows it.
pub(super) fn title(title: &str) -> String {
    shortened(&harmless(title), LONGEST_TITLE)
}
