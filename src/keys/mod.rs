//! What may be written in a scenario, before anything is read: quantities and their bounds, words, keys, and the
//! tables that hold them.
//!
//! A table is a plain struct with one field for each of its keys. Its [`Table::each`] says of every field what the
//! key is called, what it may hold and what holds when it is left out; reader, schema, the list of defaults in
//! `check`, messages, and whatever draws or changes quantities all follow from that one place.

pub mod bounds;
pub mod kind;
pub mod quantity;
pub mod read;
pub mod table;
pub mod units;
pub mod worded;

pub use bounds::Bound;
pub use kind::{Ends, KindSpec, Role};
pub use quantity::{Quantity, Spread};
pub use read::{Place, Read, Written};
pub use table::{Form, Key, LeftOut, Slot, Table, keys_of, quantities};
