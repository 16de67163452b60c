//! What a part that holds fluid says of it, beside the keys of its kind.

use crate::keys::LeftOut::Absent;
use crate::keys::Quantity;
use crate::keys::bounds::{OLD_FRACTION, WATER};
use crate::keys::table::table;

table! {
    /// What is in a part when the job begins, as far as its table says.
    pub struct Contents {
        /// Water in it at the start, percent of the mass; absent, that of its old and of new fluid, each by its share.
        pub water: Option<Quantity> [&WATER] = Absent;
        /// Old fraction in it at the start; absent, all old.
        pub old_fraction: Option<Quantity> [&OLD_FRACTION] = Absent;
        /// Whether the part was replaced and filled with new fluid; figures hold once the air is out of it.
        pub replaced: bool = Absent;
    }
}
