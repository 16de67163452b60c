//! What a vehicle, its controls and what holds it up are called, where words differ by its kind: warnings, card and
//! page take them from here.

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

const LEVER: Spoken =
    Spoken { pedal: "lever", limb: "hand", firm: "lever firm, tried several times", ..MOTORCYCLE };

const FOOT_PEDAL: Spoken =
    Spoken { pedal: "pedal", limb: "foot", firm: "pedal firm, tried several times", ..MOTORCYCLE };

impl Vehicle {
    /// What it is called.
    pub fn spoken(&self) -> &'static Spoken {
        match self.kind {
            Some(VehicleKind::Motorcycle) => &MOTORCYCLE,
            _ => &CAR,
        }
    }

    /// What it is called where its brake goes by these names: of a motorcycle a hand works the front brake, a foot the
    /// rear one (common practice, no source). Names that speak of both or of neither leave it open.
    pub fn spoken_of<'a>(&self, names: impl Iterator<Item = &'a str>) -> &'static Spoken {
        let (mut front, mut rear) = (false, false);
        for name in names {
            let words = name.split(|c: char| !c.is_alphanumeric());
            for word in words {
                front |= word.eq_ignore_ascii_case("front");
                rear |= word.eq_ignore_ascii_case("rear");
            }
        }
        match (self.kind, front, rear) {
            (Some(VehicleKind::Motorcycle), true, false) => &LEVER,
            (Some(VehicleKind::Motorcycle), false, true) => &FOOT_PEDAL,
            _ => self.spoken(),
        }
    }
}
