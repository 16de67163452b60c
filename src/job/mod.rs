//! The procedure: steps, stop rules, the loop that runs them, the record it leaves.

pub mod check;
pub mod record;
pub mod shown;
