//! A tee or union block: paths meet and mix, nothing is stored.

use super::{Built, Kind, no_wear};
use crate::scenario::spec::{Ends, KindSpec, Role};

/// The kind `tee`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "tee",
        doc: "A tee or union block where paths meet.",
        ends: Ends::Node,
        role: Role::Tee,
        bleeds: false,
        holds: false,
        keys: &[],
    },
    build: |_, _| Built::Node { chamber: None, bleeder: None },
    worn_m3: no_wear,
};
