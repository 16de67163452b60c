//! What several tests share.
#![allow(dead_code)]

pub mod random;
