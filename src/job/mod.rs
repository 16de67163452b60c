//! The procedure: steps, stop rules, the loop that runs them, the record it leaves.

pub mod record;
