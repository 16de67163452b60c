//! Pressures and flow rates at an instant.
//!
//! [`laws`] say what a part costs in pressure at a flow; a [`Network`] joins [`Element`]s at nodes;
//! a [`Solver`] finds the pressures and flows that agree with fixed pressures at some nodes, and
//! [`continuity`] makes the flows balance exactly, so that transport conserves what it moves.
//!
//! ```
//! use farwheel::flow::{Contents, Element, Law, Network, Solver};
//!
//! let line = |length_m| Law::Tube { bore_m: 3.33e-3, length_m, minor_k: 0.0, rise_m: 0.0, roughness_m: 0.0 };
//! let element = |from, to, law, name: &str| Element { from, to, law, name: name.into() };
//! let mut solver = Solver::new(Network {
//!     nodes: ["supply", "tee", "left bleeder", "right bleeder"].map(String::from).to_vec(),
//!     elements: vec![
//!         element(0, 1, line(3.0), "shared line"),
//!         element(1, 2, line(1.0), "left line"),
//!         element(1, 3, line(1.0), "right line"),
//!     ],
//! })?;
//! let fluid = Contents { density_kg_m3: 1060.0, nu_m2_s: 15e-6 };
//! // The right bleeder is shut: its node has no fixed pressure, and its line is a dead end.
//! let solution = solver.solve(&[Some(100e3), None, Some(0.0), None], &[fluid; 3])?;
//! assert!((solution.pressures_pa[1] - 25e3).abs() < 1e-6);
//! assert_eq!(solution.flows_m3_s[2], 0.0);
//! # Ok::<(), farwheel::flow::FlowError>(())
//! ```

pub mod continuity;
mod elimination;
mod error;
pub mod laws;
mod network;
mod row;
mod solver;

pub use continuity::{Correction, Projection};
pub use error::FlowError;
pub use laws::{Contents, Law};
pub use network::{Element, Network};
pub use solver::{Solution, Solver};
