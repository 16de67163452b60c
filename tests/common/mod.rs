//! What several tests share.
#![allow(dead_code)]

pub mod random;

use farwheel::scenario::Kinds;

/// The kinds and grades that scenarios may name.
pub fn kinds() -> Kinds {
    farwheel::job::intake::kinds()
}
