//! Every bounded quantity of a scenario, defined once: name, dimension, range.
//! Reading, messages, the JSON Schema and the generators of the tests all use these.

use super::units::Dimension;
use crate::measures::{HOUR, KPA, ML, MM, MM2_PER_S, ZERO_CELSIUS_K};

/// A quantity's name, dimension and the closed range a scenario may give it (SI units).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// What messages call it, for instance `bore`.
    pub name: &'static str,
    /// Its dimension, which fixes the units that are understood.
    pub dimension: Dimension,
    /// Smallest value accepted, SI.
    pub min: f64,
    /// Largest value accepted, SI.
    pub max: f64,
}

impl Bound {
    /// Whether this is that very bound, not one of equal figures.
    pub fn is(&'static self, other: &'static Self) -> bool {
        std::ptr::eq(self, other)
    }
}

macro_rules! bounds {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $dimension:ident, $min:expr, $max:expr;)*) => {
        $($(#[$doc])* pub static $id: Bound = Bound {
            name: $name,
            dimension: Dimension::$dimension,
            min: $min,
            max: $max,
        };)*
        /// All of them, for tests and the schema.
        pub static ALL: &[&Bound] = &[$(&$id),*];
    };
}

bounds! {
    /// Temperature of the vehicle and everything in it, K: from −40 °C, where brake fluids are
    /// specified, to a hot bay.
    TEMPERATURE = "temperature", Temperature, ZERO_CELSIUS_K - 40.0, ZERO_CELSIUS_K + 80.0;
    /// Any share of a whole.
    SHARE = "share", Share, 0.0, 1.0;
    /// Wear of the pads: 0 new, 1 worn out.
    PAD_WEAR = "pad wear", Share, 0.0, 1.0;
    /// Old fluid as a share of the volume.
    OLD_FRACTION = "old fraction", Share, 0.0, 1.0;
    /// Water as a share of the mass. Glycol fluids left open take up several percent.
    WATER = "water", Share, 0.0, 0.10;
    /// Gauge pressure of a supply, Pa.
    GAUGE = "gauge pressure", Pressure, 1.0 * KPA, 500.0 * KPA;
    /// The maker's limit on it, Pa.
    GAUGE_LIMIT = "gauge pressure limit", Pressure, 1.0 * KPA, 1000.0 * KPA;
    /// Suction at a bleeder, Pa below the atmosphere; at most a full vacuum.
    SUCTION = "suction", Pressure, 1.0 * KPA, 101.0 * KPA;
    /// Pressure that a foot on the pedal holds in the master cylinder, Pa: from hardly any to hard braking.
    PEDAL_PRESSURE = "pedal pressure", Pressure, 10.0 * KPA, 15_000.0 * KPA;
    /// Share of the pedal's full stroke that is used. Some fluid stays before the piston at its stop.
    STROKE_USED = "share of the stroke", Share, 0.02, 0.95;
    /// Equilibrium reflux boiling point, K.
    BOILING_POINT = "boiling point", Temperature, ZERO_CELSIUS_K + 100.0, ZERO_CELSIUS_K + 400.0;
    /// Kinematic viscosity at −40 °C, m²/s.
    VISCOSITY_COLD = "viscosity at -40 °C", KinematicViscosity, 50.0 * MM2_PER_S, 10_000.0 * MM2_PER_S;
    /// Kinematic viscosity at 100 °C, m²/s.
    VISCOSITY_HOT = "viscosity at 100 °C", KinematicViscosity, 0.5 * MM2_PER_S, 50.0 * MM2_PER_S;
    /// Density at 20 °C, kg/m³.
    DENSITY = "density", Density, 700.0, 1300.0;
    /// One compartment of the reservoir, m³.
    COMPARTMENT = "compartment volume", Volume, 0.5 * ML, 1000.0 * ML;
    /// A volume in the reservoir, m³.
    RESERVOIR = "reservoir volume", Volume, 1.0 * ML, 5000.0 * ML;
    /// How much is in the reservoir, or is to be, m³.
    LEVEL = "reservoir volume", Volume, 1.0 * ML, 5000.0 * ML;
    /// A volume up to a mark of the reservoir, m³.
    MARK = "reservoir volume", Volume, 1.0 * ML, 5000.0 * ML;
    /// What a syringe may leave in the reservoir, m³; it can be emptied.
    RESERVOIR_LEFT = "volume left in the reservoir", Volume, 0.0, 5000.0 * ML;
    /// Height above the ground, m.
    HEIGHT = "height", Length, 0.0, 4.0;
    /// A well-mixed chamber, m³.
    CHAMBER = "chamber volume", Volume, 0.05 * ML, 1000.0 * ML;
    /// A volume that may be nothing, m³.
    SMALL_VOLUME = "volume", Volume, 0.0, 1000.0 * ML;
    /// Bore of a port, an orifice or a valve, m.
    PORT_BORE = "bore", Length, 0.1 * MM, 10.0 * MM;
    /// Bore of a line or hose, m.
    TUBE_BORE = "bore", Length, 0.5 * MM, 25.0 * MM;
    /// Length of a line or hose, m.
    TUBE_LENGTH = "length", Length, 1.0 * MM, 50.0;
    /// Pressure at which a valve begins to open, Pa.
    CRACKING = "cracking pressure", Pressure, 0.0, 1000.0 * KPA;
    /// Share of a chamber that trades fluid only slowly.
    POCKET = "pocket share", Share, 0.0, 0.95;
    /// Fluid a pocket trades, as a share of what flows through.
    POCKET_EXCHANGE = "pocket exchange", Share, 1e-4, 10.0;
    /// Time in which a pocket trades its own volume at rest, s.
    POCKET_TIME = "pocket time", Time, 1.0, 1e6;
    /// Share of the flow that passes a chamber by.
    BYPASS = "bypass share", Share, 0.0, 0.9;
    /// Gap between cone and seat of an open bleeder, m.
    SEAT_GAP = "seat gap", Length, 0.01 * MM, 3.0 * MM;
    /// Exponent of an air cushion: 1 isothermal, 1.4 adiabatic.
    EXPONENT = "exponent", Number, 1.0, 1.4;
    /// Length of clear hose that is watched, m.
    WATCHED = "watched length", Length, 1.0 * MM, 3.0;
    /// Old fraction below which fluid counts as clean; 0 would never be met, 1 always.
    THRESHOLD = "threshold", Share, 1e-4, 0.9;
    /// Time for which a clear hose is looked at, s.
    LOOK = "time of looking", Time, 0.0, 60.0;
    /// Volume for which it must stay clean, m³.
    HOLD = "hold volume", Volume, 0.0, 2000.0 * ML;
    /// Volume drained at one bleeder, m³.
    DRAINED = "drained volume", Volume, 0.1 * ML, 10_000.0 * ML;
    /// Time for which a bleeder stays open, s.
    OPEN_TIME = "time open", Time, 0.1, 4.0 * HOUR;
    /// What a bottle of new fluid holds.
    BOTTLE = "bottle", Volume, 10.0 * ML, 50_000.0 * ML;
    /// Fluid loaded into a supply, m³.
    LOADED = "loaded volume", Volume, 1.0 * ML, 20_000.0 * ML;
    /// Volume of a supply's vessel, m³.
    VESSEL = "vessel volume", Volume, 10.0 * ML, 50_000.0 * ML;
    /// A wait, s.
    WAIT = "wait", Time, 0.1, 48.0 * HOUR;
    /// Time for which a modulator is worked, s.
    WORK = "working time", Time, 0.1, 1.0 * HOUR;
    /// Time a task takes beside the flow itself, s.
    TASK = "time", Time, 0.0, 8.0 * HOUR;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_a_range() {
        for b in ALL {
            assert!(b.min < b.max && b.min.is_finite() && b.max.is_finite(), "{}", b.name);
            assert!(b.min >= 0.0, "{}", b.name);
        }
    }
}
