//! The master cylinder of a hydraulic clutch that draws from the brake reservoir.
//!
//! Its feed hose starts from an outlet of its own. At rest its port is wide beside that of a brake master
//! cylinder, so that only the hose is taken to resist (an estimate).

use super::{Built, Kind, no_wear};
use crate::circuit::chamber::Chamber;
use crate::scenario::chamber_keys::{POCKET, chamber_keys};
use crate::scenario::{
    bounds,
    spec::{Default, Ends, Form, Key, KindSpec, Role},
};

/// The kind `clutch master cylinder`.
pub(super) const KIND: Kind = Kind {
    spec: KindSpec {
        name: "clutch master cylinder",
        doc: "The clutch's own master cylinder, fed by a hose from an outlet of the reservoir.",
        ends: Ends::Node,
        role: Role::ClutchMaster,
        bleeds: false,
        holds: true,
        keys: chamber_keys!(
            [Key {
                name: "volume",
                doc: "Fluid volume with the pedal up.",
                form: Form::Quantity(&bounds::CHAMBER),
                default: Default::Required,
            }],
            POCKET,
            []
        ),
    },
    build: |s, _| Built::Node {
        chamber: Some(Chamber::with_pocket(s.si("volume"), s)),
        bleeder: None,
    },
    worn_m3: no_wear,
};
