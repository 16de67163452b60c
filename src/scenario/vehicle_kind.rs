//! Kinds of vehicles, and what is usual for each: a kind is one entry of the list below.
//!
//! All of it is common practice without a source, from vehicles of each class looked at, but for the tube: 4.75 × 0.71
//! and 6 × 0.71 mm are sizes of ISO 4038 and SAE J527 (from memory).

use crate::keys::worded::worded;
use crate::measures::MM;

worded! {
    /// How the circuits are split, as in DIN 74000. Other words: common practice, no source.
    pub enum Split {
        /// One circuit an axle.
        II = "II" | "front/rear" | "front-rear" | "front and rear" | "axle",
        /// Diagonal.
        X = "X" | "diagonal",
        /// One circuit for all wheels, one for the front.
        HI = "HI",
        /// The front and one rear wheel in each.
        LL = "LL" | "triangular",
        /// All wheels in each.
        HH = "HH",
    }
}

worded! {
    /// What kind of vehicle it is. Other words: common practice, no source.
    pub enum VehicleKind {
        /// A city car.
        CityCar = "city car" | "small car" | "subcompact",
        /// A hatchback.
        Hatchback = "hatchback" | "hatch" | "compact car",
        /// A saloon.
        Saloon = "saloon" | "sedan",
        /// An estate.
        Estate = "estate" | "estate car" | "station wagon" | "wagon",
        /// An SUV.
        Suv = "SUV" | "sport utility vehicle" | "off-roader",
        /// A pickup.
        Pickup = "pickup" | "pick-up" | "pickup truck",
        /// A van.
        Van = "van" | "panel van",
        /// A roadster.
        Roadster = "roadster" | "convertible" | "sports car",
        /// A motorcycle.
        Motorcycle = "motorcycle" | "motorbike" | "bike",
    }
}

worded! {
    /// What brakes the rear wheels.
    pub enum RearBrakes {
        /// Discs.
        Discs = "discs",
        /// Discs whose calipers hold a parking-brake mechanism in the piston.
        ParkingPiston = "discs with a parking-brake piston",
        /// Drums.
        Drums = "drums",
    }
}

/// Pistons of one caliper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pistons {
    /// How many.
    pub number: u32,
    /// Diameter, m.
    pub diameter_m: f64,
}

/// What is usual for a kind of vehicle. Spreads are half-widths that hold nine in ten, as shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Usual {
    /// Distance of the axles, m, and its spread.
    pub wheelbase_m: (f64, f64),
    /// Distance of the wheels of an axle, m.
    pub track_m: f64,
    /// How the circuits are split; `None` for a single circuit.
    pub split: Option<Split>,
    /// What brakes the rear wheels; `None` for a motorcycle, each of whose brakes is a scenario of its own.
    pub rear: Option<RearBrakes>,
    /// Pistons of a front caliper.
    pub front_pistons: Pistons,
    /// Diameter of a rear caliper's piston, m.
    pub rear_piston_m: f64,
    /// Bore of a rear wheel cylinder, m.
    pub wheel_cylinder_m: f64,
    /// Bore of the master cylinder and stroke of each chamber, m.
    pub master_m: (f64, f64),
    /// Length of each chamber that the stroke does not sweep, m.
    pub dead_m: f64,
    /// Bore of the tube to the rear, m.
    pub rear_tube_m: f64,
    /// Whether it has an ABS or ESC unit.
    pub modulator: bool,
    /// Height of the reservoir above the ground, m.
    pub reservoir_m: f64,
    /// MIN, brim and each compartment as shares of MAX; no dividing wall where there is one circuit.
    pub min_of_max: f64,
    /// See `min_of_max`.
    pub brim_of_max: f64,
    /// See `min_of_max`.
    pub compartment_of_max: Option<f64>,
    /// Names of the master cylinder's chambers.
    pub chambers: &'static [&'static str],
}

/// A car; the entries below say in what they differ.
const CAR: Usual = Usual {
    wheelbase_m: (2.58, 0.05),
    track_m: 1.50,
    split: Some(Split::X),
    rear: Some(RearBrakes::Discs),
    front_pistons: Pistons { number: 1, diameter_m: 54.0 * MM },
    rear_piston_m: 37.0 * MM,
    wheel_cylinder_m: 20.6 * MM,
    master_m: (22.2 * MM, 18.0 * MM),
    dead_m: 9.5 * MM,
    rear_tube_m: 3.33 * MM,
    modulator: true,
    reservoir_m: 0.90,
    min_of_max: 0.53,
    brim_of_max: 1.30,
    compartment_of_max: Some(0.18),
    chambers: &["primary", "secondary"],
};

/// A front caliper with one piston of this diameter in mm.
const fn one(diameter_mm: f64) -> Pistons {
    Pistons { number: 1, diameter_m: diameter_mm * MM }
}

/// One with two.
const fn two(diameter_mm: f64) -> Pistons {
    Pistons { number: 2, diameter_m: diameter_mm * MM }
}

impl VehicleKind {
    /// What is usual for it.
    pub const fn usual(self) -> Usual {
        match self {
            Self::CityCar => Usual {
                wheelbase_m: (2.40, 0.06),
                track_m: 1.42,
                rear: Some(RearBrakes::Drums),
                front_pistons: one(48.0),
                rear_piston_m: 34.0 * MM,
                wheel_cylinder_m: 19.05 * MM,
                master_m: (20.6 * MM, 18.0 * MM),
                ..CAR
            },
            Self::Hatchback => CAR,
            Self::Saloon => Usual {
                wheelbase_m: (2.75, 0.06),
                track_m: 1.55,
                front_pistons: one(57.0),
                rear_piston_m: 41.0 * MM,
                wheel_cylinder_m: 22.2 * MM,
                master_m: (23.8 * MM, 18.0 * MM),
                ..CAR
            },
            Self::Estate => Usual {
                wheelbase_m: (2.78, 0.06),
                track_m: 1.55,
                front_pistons: one(58.0),
                rear_piston_m: 41.5 * MM,
                wheel_cylinder_m: 22.2 * MM,
                master_m: (23.8 * MM, 18.0 * MM),
                ..CAR
            },
            Self::Suv => Usual {
                wheelbase_m: (2.70, 0.07),
                track_m: 1.58,
                front_pistons: one(60.0),
                rear_piston_m: 44.0 * MM,
                wheel_cylinder_m: 23.8 * MM,
                master_m: (25.4 * MM, 19.0 * MM),
                reservoir_m: 1.05,
                ..CAR
            },
            Self::Pickup => Usual {
                wheelbase_m: (3.30, 0.12),
                track_m: 1.62,
                split: Some(Split::II),
                rear: Some(RearBrakes::Drums),
                front_pistons: two(50.0),
                rear_piston_m: 45.0 * MM,
                wheel_cylinder_m: 23.8 * MM,
                master_m: (27.0 * MM, 22.0 * MM),
                rear_tube_m: 4.58 * MM,
                reservoir_m: 1.15,
                ..CAR
            },
            Self::Van => Usual {
                wheelbase_m: (3.60, 0.15),
                track_m: 1.72,
                split: Some(Split::II),
                front_pistons: two(48.0),
                rear_piston_m: 46.0 * MM,
                wheel_cylinder_m: 25.4 * MM,
                master_m: (25.4 * MM, 20.0 * MM),
                rear_tube_m: 4.58 * MM,
                reservoir_m: 1.20,
                ..CAR
            },
            Self::Roadster => Usual {
                wheelbase_m: (2.30, 0.06),
                track_m: 1.40,
                split: Some(Split::II),
                front_pistons: one(51.0),
                rear_piston_m: 34.0 * MM,
                wheel_cylinder_m: 19.05 * MM,
                master_m: (20.6 * MM, 18.0 * MM),
                modulator: false,
                reservoir_m: 0.85,
                ..CAR
            },
            Self::Motorcycle => Usual {
                wheelbase_m: (1.45, 0.08),
                track_m: 0.0,
                split: None,
                rear: None,
                front_pistons: Pistons { number: 4, diameter_m: 32.0 * MM },
                master_m: (16.0 * MM, 12.0 * MM),
                dead_m: 3.0 * MM,
                modulator: false,
                reservoir_m: 1.05,
                min_of_max: 0.46,
                brim_of_max: 1.2,
                compartment_of_max: None,
                chambers: &["lever"],
                ..CAR
            },
        }
    }
}
