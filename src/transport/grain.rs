//! How finely a run tells fluid apart.

use super::lanes::Lanes;
use std::sync::Arc;

/// How finely a run tells fluid apart.
#[derive(Debug, Clone)]
pub struct Grain {
    /// Lanes of a laminar profile.
    pub lanes: Arc<Lanes>,
    /// Number of species.
    pub species: usize,
}

impl Grain {
    /// The lanes that a tube with these would have: a plug stays one.
    pub fn lanes_for<'a>(&'a self, own: &'a Lanes) -> &'a Lanes {
        if own.is_plug() { own } else { &self.lanes }
    }
}
