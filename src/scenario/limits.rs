//! How much a scenario may hold. A vehicle takes a small part of it; beyond it, a message says so instead of a
//! program that fills the memory. What a job may take of time and memory stands in
//! [`job::limits`](crate::job::limits).

/// Bytes of the file. A car takes about 2 kB.
pub const LARGEST_FILE: u64 = 1_000_000;
/// Values set over those of the file.
pub const MOST_SETTINGS: usize = 100;
/// Parts, and templates for them.
pub const MOST_PARTS: usize = 500;
/// Bleeders of all parts together.
pub const MOST_BLEEDERS: usize = 200;
/// Chambers of the master cylinder, and outlets of the reservoir. Every circuit behind one has old fluid of its own
/// to be told apart.
pub const MOST_OUTLETS: usize = 8;
/// Supplies.
pub const MOST_SUPPLIES: usize = 50;
/// Steps in each list of the procedure.
pub const MOST_STEPS: usize = 500;
/// Bleeders opened, one by one, in all passes together.
pub const MOST_OPENINGS: usize = 2_000;
/// Names in a list.
pub const MOST_NAMES: usize = 200;
/// Characters of a name of a part, chamber, bleeder or supply.
pub const LONGEST_NAME: usize = 60;
