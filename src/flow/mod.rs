//! flow
