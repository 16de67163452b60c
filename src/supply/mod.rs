//! What pushes: each supply one file. To add one: write its file and list it in [`Kind`].

pub mod gravity;
pub mod pedal;
pub mod pressure_bleeder;
pub mod topping;
pub mod vacuum;

use crate::keys::Table;
use crate::keys::kind::{Called, kinds};
use crate::measures::ATMOSPHERE_PA;
use crate::parts::chamber::Chamber;
use crate::parts::passage::Passage;
use pedal::Pedal;
use pressure_bleeder::Vessel;
use std::fmt;
use topping::Topping;

kinds! {
    /// A supply's kind with what its table says.
    pub enum Kind: Described {
        PressureBleeder(Vessel),
        Gravity(gravity::Gravity),
        Vacuum(vacuum::Vacuum),
        Pedal(Pedal),
    }
}

/// A supply kind's table.
pub trait Described: Table {
    /// The word written after `kind =`.
    fn word(&self) -> &'static str;

    /// One sentence: what it is. Shown by `schema`.
    fn doc(&self) -> &'static str;

    /// Other words for it (common practice, no source).
    fn also(&self) -> &'static [&'static str] {
        &[]
    }

    /// What it is called.
    fn called(&self) -> Called {
        Called { name: self.word(), doc: self.doc(), also: self.also(), near: &[] }
    }

    /// The supply as it stands when the job begins.
    fn ready(&self) -> Box<dyn Supply>;

    /// The table itself if it is a pressure bleeder's, whose gauge studies vary.
    fn vessel(&self) -> Option<&Vessel> {
        None
    }

    /// As [`vessel`](Self::vessel), to be changed.
    fn vessel_mut(&mut self) -> Option<&mut Vessel> {
        None
    }
}

/// Fluid added to a supply that stands for an endless one, m³.
pub const ENDLESS_M3: f64 = 0.1;

/// A supply in use: all that a job asks of it. What a supply leaves unsaid is that of an open reservoir which nothing
/// but its own head empties.
pub trait Supply: fmt::Debug + Send + Sync + Copied {
    /// What its gauge shows, Pa: below zero for a vacuum, zero where there is none.
    fn gauge_pa(&self) -> f64 {
        0.0
    }

    /// Gauge pressure where the flow begins, Pa: at the head of the feed hose, over the open reservoir,
    /// or in the chambers of the master cylinder.
    fn push_pa(&self) -> f64 {
        0.0
    }

    /// What [`push_pa`](Self::push_pa) will be once so much more has left it.
    fn push_after_pa(&self, _sent_m3: f64) -> f64 {
        self.push_pa()
    }

    /// Gauge pressure at the end of the clear hose, Pa.
    fn at_bleeder_pa(&self) -> f64 {
        0.0
    }

    /// Way from the supply to the reservoir, which its cap then closes; `None` if the reservoir is open to the air.
    fn feed_hose(&self) -> Option<Passage> {
        None
    }

    /// The gauge that it is pumped to; `None` if it is not pumped.
    fn set_gauge(&self) -> Option<SetGauge> {
        None
    }

    /// What leaves it until its gauge falls to the mark at which it is pumped up, m³; infinite if it does not.
    fn until_low_m3(&self) -> f64 {
        f64::INFINITY
    }

    /// What is loaded into it; `None` if nothing is.
    fn loaded(&self) -> Option<Loaded> {
        None
    }

    /// How the reservoir is topped up by hand; `None` where a supply feeds it.
    fn topping(&self) -> Option<&Topping> {
        None
    }

    /// The strokes of the master cylinder's pistons by which it pushes; `None` if it pushes otherwise.
    fn strokes(&self) -> Option<&Pedal> {
        None
    }

    /// What does not fit in the table of this name or to the master cylinder's chambers.
    fn misfit(&self, _name: &str, _chambers: &[&Chamber]) -> Option<Misfit> {
        None
    }

    /// Makes it one that never runs dry: with [`ENDLESS_M3`] and so much more behind it, its gauge falling as if it
    /// held what is loaded and that much more; or topped up whatever its table says.
    fn never_dry(&mut self, more_m3: f64);

    /// Opens the feed valve, or lets pressures settle after pumping: gives what fills the feed hose and what rises in
    /// the reservoir, m³. `None` without a feed valve.
    fn settle(&mut self, _cap: &mut Cap) -> Option<(f64, f64)> {
        None
    }

    /// What it sends into the reservoir while `drained_m3` leaves, m³, of which the outlets in use can give
    /// `lasts_m3` without it.
    fn feed(&mut self, _drained_m3: f64, _lasts_m3: f64, _cap: Cap) -> Fed {
        Fed::default()
    }

    /// What can be drained before it runs dry, m³; infinite where only the reservoir does.
    fn until_dry_m3(&self, _cap: Cap) -> f64 {
        f64::INFINITY
    }

    /// The least absolute pressure with which it presses on the cap, Pa, where so much may leave it before anybody sees
    /// that its gauge is below the mark; that of the open air where nobody pumps it up.
    fn least_pa(&self, _unseen_m3: f64) -> f64 {
        ATMOSPHERE_PA
    }

    /// Pumps it up to a gauge pressure, or lets it off (0 relieves); `false` if there is nothing to pump.
    fn pump_to(&mut self, _gauge_pa: f64) -> bool {
        false
    }

    /// Loads so much more into what takes a load.
    fn load(&mut self, _volume_m3: f64) {}
}

/// What can be copied behind a pointer: every supply that can be cloned.
pub trait Copied {
    /// A copy of it.
    fn copied(&self) -> Box<dyn Supply>;
}

impl<S: Supply + Clone + 'static> Copied for S {
    fn copied(&self) -> Box<dyn Supply> {
        Box::new(self.clone())
    }
}

impl Clone for Box<dyn Supply> {
    fn clone(&self) -> Self {
        self.as_ref().copied()
    }
}

/// Gauge pressures between which a supply is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetGauge {
    /// It is pumped to, Pa.
    pub pa: f64,
    /// Mark below which it is pumped up again, Pa.
    pub low_mark_pa: Option<f64>,
}

/// What stands in a supply that is loaded, m³.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Loaded {
    /// Fluid in it.
    pub fluid_m3: f64,
    /// Fluid that cannot be reached.
    pub heel_m3: f64,
    /// What more it takes.
    pub room_m3: f64,
}

/// The air under the reservoir's cap.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cap {
    /// Its volume, m³.
    pub space_m3: f64,
    /// Its pressure times volume, Pa·m³; `None` while the cap is off.
    pub air_pa_m3: Option<f64>,
}

/// What a supply sends.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Fed {
    /// Into the reservoir, m³.
    pub reservoir_m3: f64,
    /// Into what of its feed hose was still air, m³.
    pub hose_m3: f64,
    /// Whether air reaches an outlet of the reservoir all the same.
    pub air_reaches_an_outlet: bool,
}

/// What does not fit in a supply's table.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// The key at fault.
    pub key: &'static str,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}
