//! Lines and hoses that run straight on into one another: a line in pieces is one line, a joint remixes to its degree.

mod messages;
mod pieces;
mod tubes;

use crate::common;
use crate::common::cars;
