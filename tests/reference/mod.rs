//! An independent reference solution of the main job.
//!
//! It shares no code with the program: lines and hoses by quadrature of the convolution integral
//! with E(θ) = 1/(2θ³) ([`line`]), stages, pockets and the reservoir by an ODE library
//! ([`mixed`], [`common_space`]). With one bleeder open at a time on a tree the drained volume decides everything, and a
//! [`ReferenceCar`] is told nothing of pressures or time; [`whole`] puts what pushes ([`push`]), what resists
//! ([`losses`], [`branches`], [`liquid`]) and the stop rules around it. What it claims of its own error is shown in
//! `tests/jobs/reference_self/`.
//!
//! # A whole job
//!
//! Describe the car as a [`ReferenceCar`]: the reservoir's common space and compartments, a list of parts
//! (each a laminar [`ReferenceKind::Line`] or well-mixed [`ReferenceKind::Mixed`] stages, shared
//! parts once), and for each bleeder a [`ReferencePath`] of part indices in the order of the flow. All
//! volumes in mL; a [`Composition`] holds any number of species (old fraction first, then for
//! instance origin tags), and each part starts with its own. Then
//!
//! ```ignore
//! let steps = [ReferenceStep::Open { path: 0, stop: Stop::clean(0.05, 60.0), rise: 0.0 }];
//! let (openings, error) = car.run_with_error(&steps, 0.1); // answers of a 0.05 mL grid
//! openings[0].clean_at_ml;            // error.clean_at_ml bounds its error
//! openings[0].left.parts[3];          // (volume mL, mean composition) of part 3 at the close
//! ```
//!
//! Conventions, where a model could mean something else:
//! - A part is mixed over its cross-section at both ends (cup at each joint), so a line and the
//!   hose behind it are two laminar parts in series; but for lines that run on from one another ([`row`]).
//! - A closed path waits as it is; a chamber or line shared with another path moves on with it.
//! - The clear hose holds `filling` at every opening. Seen is the mean over its first
//!   `watched_ml`, that is ∫ (1 − F) c dθ of what leaves the bleeder.
//! - Pocket exchange counts per volume drained through the part (bypass included) and per stage.
//! - Old fluid in the clear hose counts as drained.
//! - What counts as clean is the model's own rule, written from its text in docs/clean.md ([`eye`], [`dirt`]).
//!
//! # A simple circuit, exactly
//!
//! [`Washout`] and the functions beside it give clean points of elements in series, free of any
//! grid: `two_lines_clean_at_ml(v1, v2, 0.05)`, or
//! `Washout::step().stages(1, 12.0).line(43.5).seen(1.26, 1.0).clean_at_ml(0.05)`.

#![allow(dead_code, unused_imports)] // each test that includes this module uses a part of it

pub mod branches;
pub mod car;
pub mod common_space;
pub mod diffusing_tube;
pub mod dirt;
pub mod eye;
pub mod job;
pub mod line;
pub mod liquid;
pub mod losses;
pub mod mixed;
pub mod opening;
pub mod push;
pub mod quadrature;
pub mod reservoir;
pub mod row;
pub mod signal;
pub mod state;
pub mod unit;
pub mod washout;
pub mod whole;
pub mod working;

pub use car::{
    Composition, ReferenceCar, ReferenceKind, ReferenceLeft, ReferenceOpening, ReferencePart,
    ReferencePath, ReferenceStep, Stop,
};
pub use job::ReferenceError;
pub use mixed::Chamber;
pub use washout::{
    Washout, line_clean_at_ml, stage_and_line_clean_at_ml, stages_clean_at_ml,
    two_lines_clean_at_ml,
};
