//! The repository itself: which room imports from which, what stands once, links and lengths of the pages.

mod docs;
mod rooms;
