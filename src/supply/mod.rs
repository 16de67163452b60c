//! What pushes: each supply one file. To add one: write its file, list it in [`KINDS`] and in [`Supply`].

pub mod gravity;
pub mod pedal;
pub mod pressure_bleeder;
pub mod topping;
pub mod vacuum;

use crate::circuit::passage::Passage;
use crate::scenario::model;
use crate::scenario::spec::KindSpec;
use pedal::Pedal;
use pressure_bleeder::PressureBleeder;
use topping::Topping;
use vacuum::Vacuum;

/// Every supply kind. A new one is listed here.
pub const KINDS: &[KindSpec] = &[pressure_bleeder::SPEC, gravity::SPEC, vacuum::SPEC, pedal::SPEC];

/// A supply in use.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Supply {
    /// A vessel with an air cushion.
    PressureBleeder(PressureBleeder),
    /// The reservoir's own head, topped up by hand.
    Gravity(Topping),
    /// A vacuum at the clear hose.
    Vacuum(Vacuum),
    /// Strokes of the pedal.
    Pedal(Pedal),
}

impl Supply {
    /// The supply as the scenario describes it; `None` for a kind this version cannot run.
    pub fn new(described: &model::Supply) -> Option<Self> {
        let section = &described.section;
        match described.kind {
            "pressure bleeder" => Some(Self::PressureBleeder(PressureBleeder::new(section))),
            "gravity" => Some(Self::Gravity(Topping::new(section))),
            "vacuum" => Some(Self::Vacuum(Vacuum::new(section))),
            "pedal" => Some(Self::Pedal(Pedal::new(section))),
            _ => None,
        }
    }

    /// What its gauge shows, Pa: below zero for a vacuum, zero where there is none.
    pub fn gauge_pa(&self) -> f64 {
        match self {
            Self::PressureBleeder(p) => p.gauge_pa(),
            Self::Vacuum(v) => -v.suction_pa,
            Self::Gravity(_) | Self::Pedal(_) => 0.0,
        }
    }

    /// Gauge pressure where the flow begins, Pa: at the head of the feed hose, over the open reservoir,
    /// or in the chambers of the master cylinder.
    pub fn push_pa(&self) -> f64 {
        match self {
            Self::PressureBleeder(p) => p.gauge_pa(),
            Self::Pedal(p) => p.pressure_pa,
            Self::Gravity(_) | Self::Vacuum(_) => 0.0,
        }
    }

    /// Gauge pressure in the clear hose, Pa.
    pub fn at_bleeder_pa(&self) -> f64 {
        match self {
            Self::Vacuum(v) => -v.suction_pa,
            Self::PressureBleeder(_) | Self::Gravity(_) | Self::Pedal(_) => 0.0,
        }
    }

    /// Way from the supply to the reservoir; `None` if the reservoir is open to the air.
    pub fn feed(&self) -> Option<Passage> {
        match self {
            Self::PressureBleeder(p) => Some(p.feed_hose),
            Self::Gravity(_) | Self::Vacuum(_) | Self::Pedal(_) => None,
        }
    }

    /// Fluid in the supply, m³; `None` if it holds none.
    pub fn fluid_m3(&self) -> Option<f64> {
        match self {
            Self::PressureBleeder(p) => Some(p.fluid_m3),
            Self::Gravity(_) | Self::Vacuum(_) | Self::Pedal(_) => None,
        }
    }

    /// How the reservoir is topped up by hand; `None` where a supply feeds it.
    pub fn topping(&self) -> Option<&Topping> {
        match self {
            Self::PressureBleeder(_) => None,
            Self::Gravity(t) => Some(t),
            Self::Vacuum(v) => Some(&v.topping),
            Self::Pedal(p) => Some(&p.topping),
        }
    }

    /// As [`Supply::topping`], to be changed.
    pub fn topping_mut(&mut self) -> Option<&mut Topping> {
        match self {
            Self::PressureBleeder(_) => None,
            Self::Gravity(t) => Some(t),
            Self::Vacuum(v) => Some(&mut v.topping),
            Self::Pedal(p) => Some(&mut p.topping),
        }
    }
}
