//! What each bleeder took, one row an opening.

use super::words::shown;
use crate::job::record::{Opening, Record};
use crate::report::figures::{clean_at, clock, percent, rounded};
use serde::Serialize;

/// A row.
#[derive(Debug, Serialize)]
pub(super) struct Turn {
    bleeder: String,
    drained: String,
    clean: String,
    time: String,
    hose: String,
    path: String,
}

/// The rows, in the order in which bleeders were closed.
pub(super) fn turns(record: &Record) -> Vec<Turn> {
    record.openings.iter().map(turn).collect()
}

fn turn(o: &Opening) -> Turn {
    let pass = if o.pass > 1 { format!(", pass {}", o.pass) } else { String::new() };
    Turn {
        bleeder: shown(&o.bleeder) + &pass,
        drained: rounded(o.drained_ml, 0),
        clean: clean_at(o.clean_state, o.clean_at_ml),
        time: clock(o.flow_seconds),
        hose: percent(o.seen_old_fraction),
        path: percent(o.path_old_fraction),
    }
}
