//! Lines and hoses that run straight on into one another: a line in pieces is one line, a joint remixes to its degree.

#[path = "../common/mod.rs"]
mod common;

#[path = "../common/cars.rs"]
mod cars;
mod messages;
mod pieces;
mod tubes;
