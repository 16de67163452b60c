//! A flexible hose: a tube with its own usual dimensions.

use super::line::{BENDS, JOINT_REMIX, PROFILE, REMIX_PER_BEND, build};
use super::{Kind, no_wear};
use crate::scenario::bounds;
use crate::scenario::spec::{Default, Ends, Form, Key, KindSpec, Role};

/// The kind `hose`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "hose",
        doc: "A flexible hose.",
        ends: Ends::Through,
        role: Role::Hose,
        bleeds: false,
        holds: true,
        keys: &[
            Key {
                name: "length",
                doc: "Length along the hose.",
                form: Form::Quantity(&bounds::TUBE_LENGTH),
                default: Default::Text("0.4 m"),
            },
            Key {
                name: "bore",
                doc: "Inside diameter.",
                form: Form::Quantity(&bounds::TUBE_BORE),
                default: Default::Text("3.2 mm"),
            },
            BENDS,
            REMIX_PER_BEND,
            PROFILE,
            JOINT_REMIX,
        ],
    },
    build,
    worn_m3: no_wear,
};
