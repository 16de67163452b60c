//! What can be said of a scenario before anything is simulated.

pub(crate) mod cautions;
pub(crate) mod check;
pub(crate) mod likely_mistakes;
pub(crate) mod pumps;
pub(crate) mod replaced;
pub(crate) mod slow;
pub(crate) mod valves;
