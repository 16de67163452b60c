//! What several tests share.
#![allow(dead_code)]

pub mod kinds;
pub mod random;
