//! What pushes: each supply one file. To add one: write its file, list it in [`KINDS`] and in [`Supply`].

pub mod gravity;
pub mod pressure_bleeder;

use crate::circuit::passage::Passage;
use crate::scenario::model;
use crate::scenario::spec::KindSpec;
use gravity::Gravity;
use pressure_bleeder::PressureBleeder;

/// Atmospheric pressure, Pa (standard atmosphere, ISO 2533).
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// Every supply kind. A new one is listed here.
pub const KINDS: &[KindSpec] = &[pressure_bleeder::SPEC, gravity::SPEC];

/// A supply in use.
#[derive(Debug, Clone, PartialEq)]
pub enum Supply {
    /// A vessel with an air cushion.
    PressureBleeder(PressureBleeder),
    /// The reservoir's own head, topped up by hand.
    Gravity(Gravity),
}

impl Supply {
    /// The supply as the scenario describes it; `None` for a kind this version cannot run.
    pub fn new(described: &model::Supply) -> Option<Self> {
        match described.kind {
            "pressure bleeder" => {
                Some(Self::PressureBleeder(PressureBleeder::new(&described.section)))
            }
            "gravity" => Some(Self::Gravity(Gravity::new(&described.section))),
            _ => None,
        }
    }

    /// Gauge pressure at the beginning of the feed, Pa.
    pub fn gauge_pa(&self) -> f64 {
        match self {
            Self::PressureBleeder(p) => p.gauge_pa(),
            Self::Gravity(_) => 0.0,
        }
    }

    /// Way from the supply to the reservoir; `None` if the reservoir is open to the air.
    pub fn feed(&self) -> Option<Passage> {
        match self {
            Self::PressureBleeder(p) => Some(p.feed_hose),
            Self::Gravity(_) => None,
        }
    }

    /// Fluid in the supply, m³; `None` if it holds none.
    pub fn fluid_m3(&self) -> Option<f64> {
        match self {
            Self::PressureBleeder(p) => Some(p.fluid_m3),
            Self::Gravity(_) => None,
        }
    }
}
