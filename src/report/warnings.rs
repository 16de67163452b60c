//! Warnings in words.

use super::{View, grid};
use crate::harmless;
use crate::job::record::{Warning, in_units};

/// Warnings, each on its own paragraph; those that stop the job say so.
pub fn warnings(warnings: &[Warning], view: View) -> String {
    warnings.iter().map(|w| warning(w.stops_the_job(), w, view)).collect()
}

/// A warning on its own paragraph, as one that stops something or not.
pub(super) fn warning(stops: bool, w: &Warning, view: View) -> String {
    let what = if stops { "Stop" } else { "Warning" };
    let text = in_units(&harmless(&w.text), view.units);
    let kind = grid::alarm(&format!("{what}, {}:", w.kind));
    let plain = format!("{what}, {}: {text}", w.kind);
    // Broken into lines without styles, so that these take no columns.
    let lines = grid::paragraph(&plain, view.width, 2);
    match lines.strip_prefix(&format!("{what}, {}:", w.kind)) {
        Some(rest) => kind + rest,
        None => lines,
    }
}
