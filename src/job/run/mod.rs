//! The steps of a procedure, and the loop of small steps while bleeders are open.

pub(crate) mod bleeder;
pub(crate) mod clear_hose;
pub(crate) mod modulator;
mod next;
pub(crate) mod opening;
pub(crate) mod procedure;
pub(crate) mod pushing;
mod sketch;
pub(crate) mod strokes;
