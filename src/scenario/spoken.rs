//! What a vehicle, its controls and what holds it up are called, where words differ by its kind: warnings, card and
//! lesson take them from here.

use super::tables::Vehicle;
use super::vehicle_kind::VehicleKind;
use serde::Serialize;

/// The words (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Spoken {
    /// The vehicle.
    pub vehicle: &'static str,
    /// Several of them.
    pub vehicles: &'static str,
    /// What the brakes are worked by.
    pub pedal: &'static str,
    /// What works that.
    pub limb: &'static str,
    /// How firmness is tried before it is driven.
    pub firm: &'static str,
    /// What it stands on with a wheel off; `None`: stands, which are called otherwise in the US than in the UK.
    pub stand: Option<&'static str>,
    /// Whether somebody steers from one side, so that wheels are on the driver's side or the other.
    pub sides: bool,
}

const CAR: Spoken = Spoken {
    vehicle: "car",
    vehicles: "cars",
    pedal: "pedal",
    limb: "foot",
    firm: "pedal firm with the engine off, then running",
    stand: None,
    sides: true,
};

const MOTORCYCLE: Spoken = Spoken {
    vehicle: "motorcycle",
    vehicles: "motorcycles",
    pedal: "lever or pedal",
    limb: "hand or foot",
    firm: "lever or pedal firm, tried several times",
    stand: Some("a paddock stand"),
    sides: false,
};

impl Vehicle {
    /// What it is called.
    pub fn spoken(&self) -> &'static Spoken {
        match self.kind {
            Some(VehicleKind::Motorcycle) => &MOTORCYCLE,
            _ => &CAR,
        }
    }
}
