//! What can go wrong in a network.

use std::fmt;

/// Why a network has no solution, or none was found.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum FlowError {
    /// An element joins a node to itself.
    SelfJoined {
        /// Name of the element.
        part: String,
    },
    /// An element names a node that the network does not have.
    NoSuchNode {
        /// Name of the element.
        part: String,
        /// The number it gave.
        node: usize,
    },
    /// The figures of an element make no law.
    BadLaw {
        /// Name of the element.
        part: String,
        /// What is wrong, in words that follow the name.
        what: &'static str,
    },
    /// No path leads from a node to any node of fixed pressure.
    Unreachable {
        /// Name of the node.
        node: String,
    },
    /// As many fixed pressures as nodes and as many contents as elements are needed.
    WrongLength {
        /// What there is a wrong number of.
        what: &'static str,
        /// How many are needed.
        needed: usize,
        /// How many were given.
        given: usize,
    },
    /// A fixed pressure, or the density or viscosity in an element, is not a usable number.
    BadNumber {
        /// Name of the node or element.
        part: String,
        /// What is wrong, in words that follow the name.
        what: &'static str,
    },
    /// Pressures and flows did not settle.
    NotConverged {
        /// Name of the element whose pressures agree worst with its flow.
        part: String,
        /// By how much they disagree, Pa.
        residual_pa: f64,
        /// Iterations made.
        iterations: u32,
    },
}

impl fmt::Display for FlowError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SelfJoined { part } => write!(f, "{part} is joined to itself"),
            Self::NoSuchNode { part, node } => {
                write!(f, "{part} is joined to node {node}, which does not exist")
            }
            Self::BadLaw { part, what } | Self::BadNumber { part, what } => {
                write!(f, "{part} {what}")
            }
            Self::Unreachable { node } => {
                write!(f, "no path leads from {node} to a place of known pressure")
            }
            Self::WrongLength { what, needed, given } => {
                write!(f, "{needed} {what} needed, {given} given")
            }
            Self::NotConverged { part, residual_pa, iterations } => write!(
                f,
                "the flow did not settle in {iterations} iterations; worst at {part}, where \
                 pressures and flow disagree by {residual_pa:.3e} Pa"
            ),
        }
    }
}

impl std::error::Error for FlowError {}
