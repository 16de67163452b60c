//! placeholder until merge
