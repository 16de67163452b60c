//! What pushes: each supply one file. To add one: write its file, list it in [`Kind`] and in [`Supply`].

pub mod gravity;
pub mod pedal;
pub mod pressure_bleeder;
pub mod topping;
pub mod vacuum;

use crate::keys::Table;
use crate::keys::kind::kinds;
use crate::parts::passage::Passage;
use gravity::Gravity;
use pedal::Pedal;
use pressure_bleeder::{PressureBleeder, Vessel};
use topping::Topping;
use vacuum::Vacuum;

kinds! {
    /// A supply's kind with what its table says.
    pub enum Kind: Described {
        PressureBleeder(Vessel),
        Gravity(Gravity),
        Vacuum(Vacuum),
        Pedal(Pedal),
    }
}

/// A supply kind's table.
pub trait Described: Table {
    /// The word written after `kind =`.
    fn word(&self) -> &'static str;

    /// One sentence: what it is. Shown by `schema`.
    fn doc(&self) -> &'static str;

    /// The supply as it stands when the job begins.
    fn ready(&self) -> Supply;
}

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
    /// What its gauge shows, Pa: below zero for a vacuum, zero where there is none.
    pub fn gauge_pa(&self) -> f64 {
        match self {
            Self::PressureBleeder(p) => p.gauge_pa(),
            Self::Vacuum(v) => -v.vacuum.value,
            Self::Gravity(_) | Self::Pedal(_) => 0.0,
        }
    }

    /// Gauge pressure where the flow begins, Pa: at the head of the feed hose, over the open reservoir,
    /// or in the chambers of the master cylinder.
    pub fn push_pa(&self) -> f64 {
        match self {
            Self::PressureBleeder(p) => p.gauge_pa(),
            Self::Pedal(p) => p.pressure.value,
            Self::Gravity(_) | Self::Vacuum(_) => 0.0,
        }
    }

    /// Gauge pressure in the clear hose, Pa.
    pub fn at_bleeder_pa(&self) -> f64 {
        match self {
            Self::Vacuum(v) => -v.vacuum.value,
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
