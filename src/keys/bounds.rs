//! Every bounded quantity of a scenario, defined once: name, dimension, range, and what of the range is usual.
//! Reading, messages, the JSON Schema and the generators of the tests all use these.

use super::units::Dimension;
use crate::measures::{HOUR, KPA, MINUTE, ML, MM, MM2_PER_S, PSI, YEAR, ZERO_CELSIUS_K};

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
    /// From where to where the values of vehicles and shops lie, SI: beyond it a value is taken, and called unusual
    /// (common practice, no source).
    pub usual: (f64, f64),
}

impl Bound {
    /// Whether this is that very bound, not one of equal figures.
    pub fn is(&'static self, other: &'static Self) -> bool {
        std::ptr::eq(self, other)
    }

    /// Whether a value, SI, lies where those of vehicles and shops lie; the ends do, however they were rounded.
    pub fn is_usual(&self, si: f64) -> bool {
        let slack = 1e-9 * (self.max - self.min);
        (self.usual.0 - slack..=self.usual.1 + slack).contains(&si)
    }
}

/// Smallest and largest of all chambers, m³.
const CHAMBER_M3: (f64, f64) = (0.05 * ML, 1000.0 * ML);
/// Shortest and longest of all tubes, m.
const TUBE_M: (f64, f64) = (1.0 * MM, 50.0);

macro_rules! bounds {
    ($($(#[$doc:meta])* $id:ident = $name:literal, $dimension:ident,
        $min:expr => $max:expr, usual $from:expr => $to:expr;)*) => {
        $($(#[$doc])* pub static $id: Bound = Bound {
            name: $name,
            dimension: Dimension::$dimension,
            min: $min,
            max: $max,
            usual: ($from, $to),
        };)*
        /// All of them, for tests and the schema.
        pub static ALL: &[&Bound] = &[$(&$id),*];
    };
}

bounds! {
    /// Temperature of the vehicle and everything in it, K: from −40 °C, where brake fluids are
    /// specified, to a hot bay. Usual: a yard in frost to one in the sun.
    TEMPERATURE = "temperature", Temperature,
        ZERO_CELSIUS_K - 40.0 => ZERO_CELSIUS_K + 80.0, usual ZERO_CELSIUS_K - 15.0 => ZERO_CELSIUS_K + 50.0;
    /// Any share of a whole.
    SHARE = "share", Share, 0.0 => 1.0, usual 0.0 => 1.0;
    /// Wear of the pads: 0 new, 1 worn out.
    PAD_WEAR = "pad wear", Share, 0.0 => 1.0, usual 0.0 => 1.0;
    /// By which share of the fluid orders must differ to count as different.
    MARGIN = "margin", Share, 0.0 => 1.0, usual 0.0 => 0.5;
    /// Old fluid as a share of the volume.
    OLD_FRACTION = "old fraction", Share, 0.0 => 1.0, usual 0.0 => 1.0;
    /// Water as a share of the mass. Glycol fluids left open take up several percent.
    WATER = "water", Share, 0.0 => 0.10, usual 0.0 => 0.08;
    /// Gauge pressure of a supply, Pa. Usual: what shops pump to, 10 to 20 psi, with room on both sides.
    GAUGE = "gauge pressure", Pressure, 1.0 * KPA => 500.0 * KPA, usual 5.0 * PSI => 30.0 * PSI;
    /// The maker's limit on it, Pa.
    GAUGE_LIMIT = "gauge pressure limit", Pressure, 1.0 * KPA => 1000.0 * KPA, usual 8.0 * PSI => 60.0 * PSI;
    /// Suction at a bleeder, Pa below the atmosphere; at most a full vacuum. Usual: hand pumps and venturis.
    SUCTION = "suction", Pressure, 1.0 * KPA => 101.0 * KPA, usual 25.0 * KPA => 96.0 * KPA;
    /// Pressure that a foot on the pedal holds in the master cylinder, Pa: from hardly any to hard braking.
    PEDAL_PRESSURE = "pedal pressure", Pressure, 10.0 * KPA => 15_000.0 * KPA, usual 20.0 * KPA => 10_000.0 * KPA;
    /// Share of the pedal's full stroke that is used. Some fluid stays before the piston at its stop.
    STROKE_USED = "share of the stroke", Share, 0.02 => 0.95, usual 0.2 => 0.95;
    /// Equilibrium reflux boiling point, K. Usual: from the wet limit of DOT 3 to well above the dry one of DOT 5.1.
    BOILING_POINT = "boiling point", Temperature,
        ZERO_CELSIUS_K + 100.0 => ZERO_CELSIUS_K + 400.0, usual ZERO_CELSIUS_K + 130.0 => ZERO_CELSIUS_K + 350.0;
    /// Kinematic viscosity at −40 °C, m²/s. Usual: the standards' limits of 750 to 1,800 and thinner fluid.
    VISCOSITY_COLD = "viscosity at -40 °C", KinematicViscosity,
        50.0 * MM2_PER_S => 10_000.0 * MM2_PER_S, usual 100.0 * MM2_PER_S => 2_000.0 * MM2_PER_S;
    /// Kinematic viscosity at 100 °C, m²/s. Usual: the standards' least of 1.5, and what silicone has.
    VISCOSITY_HOT = "viscosity at 100 °C", KinematicViscosity,
        0.5 * MM2_PER_S => 50.0 * MM2_PER_S, usual 1.5 * MM2_PER_S => 20.0 * MM2_PER_S;
    /// Density at 20 °C, kg/m³. Usual: mineral oil to glycol.
    DENSITY = "density", Density, 700.0 => 1300.0, usual 800.0 => 1150.0;
    /// One compartment of the reservoir, m³.
    COMPARTMENT = "compartment volume", Volume, 0.5 * ML => 1000.0 * ML, usual 3.0 * ML => 300.0 * ML;
    /// A volume in the reservoir, m³.
    RESERVOIR = "reservoir volume", Volume, 1.0 * ML => 5000.0 * ML, usual 10.0 * ML => 1200.0 * ML;
    /// How much is in the reservoir, or is to be, m³.
    LEVEL = "reservoir volume", Volume, 1.0 * ML => 5000.0 * ML, usual 5.0 * ML => 1200.0 * ML;
    /// A volume up to a mark of the reservoir, m³.
    MARK = "reservoir volume", Volume, 1.0 * ML => 5000.0 * ML, usual 5.0 * ML => 1200.0 * ML;
    /// What a syringe may leave in the reservoir, m³; it can be emptied.
    RESERVOIR_LEFT = "volume left in the reservoir", Volume, 0.0 => 5000.0 * ML, usual 0.0 => 1200.0 * ML;
    /// Height above the ground, m.
    HEIGHT = "height", Length, 0.0 => 4.0, usual 0.05 => 2.5;
    /// A chamber of the master cylinder, m³. Usual: a motorcycle's to a light truck's.
    MASTER_CHAMBER = "chamber volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 1.0 * ML => 60.0 * ML;
    /// Fluid in a caliper, m³. Usual: one small piston with new pads to large ones with worn pads.
    CALIPER = "caliper volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 1.0 * ML => 200.0 * ML;
    /// Diameter of a piston in a caliper, m.
    PISTON = "piston diameter", Length, 5.0 * MM => 150.0 * MM, usual 20.0 * MM => 75.0 * MM;
    /// Bore of a master cylinder, m.
    MASTER_BORE = "master cylinder bore", Length, 5.0 * MM => 60.0 * MM, usual 9.0 * MM => 45.0 * MM;
    /// Distance of the axles, m.
    WHEELBASE = "wheelbase", Length, 0.5 => 8.0, usual 1.2 => 5.0;
    /// Distance of the wheels of an axle, m.
    TRACK = "track width", Length, 0.5 => 3.0, usual 1.1 => 2.1;
    /// Time since the fluid was last changed, s.
    AGE = "age", Time, 0.0 => 50.0 * YEAR, usual 0.0 => 15.0 * YEAR;
    /// Fluid in a wheel cylinder, m³.
    WHEEL_CYLINDER = "wheel cylinder volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 0.5 * ML => 60.0 * ML;
    /// Fluid in a cylinder of a hydraulic clutch, m³.
    CLUTCH_CYLINDER = "clutch cylinder volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 1.0 * ML => 60.0 * ML;
    /// Fluid in any other chamber, m³.
    CHAMBER = "chamber volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 0.1 * ML => 200.0 * ML;
    /// Fluid in a room of a hydraulic modulator, or moved by its pump, m³.
    MODULATOR_ROOM = "modulator volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 0.05 * ML => 20.0 * ML;
    /// Fluid in a room of it that a unit may lack, m³.
    MODULATOR_EXTRA = "modulator volume", Volume, 0.0 => CHAMBER_M3.1, usual 0.0 => 20.0 * ML;
    /// Pressure at which an accumulator's spring gives way, Pa. Usual: from none to what a wheel on ice may keep.
    ACCUMULATOR_OPENS = "opening pressure", Pressure, 0.0 => 2_000.0 * KPA, usual 0.0 => 1_000.0 * KPA;
    /// What a full stroke of the pedal displaces, m³.
    STROKE = "stroke volume", Volume, CHAMBER_M3.0 => CHAMBER_M3.1, usual 1.0 * ML => 60.0 * ML;
    /// A volume that may be nothing, m³.
    SMALL_VOLUME = "volume", Volume, 0.0 => 1000.0 * ML, usual 0.0 => 250.0 * ML;
    /// Bore of a port, an orifice or a valve, m.
    PORT_BORE = "bore", Length, 0.1 * MM => 10.0 * MM, usual 0.2 * MM => 6.0 * MM;
    /// Length of a hole: of a bleeder screw, or through a wall, m.
    HOLE_LENGTH = "length", Length, 0.0 => 200.0 * MM, usual 0.0 => 60.0 * MM;
    /// Bore of a brake line or hose, m. Usual: tube of 3/16 in to 3/8 in outside.
    TUBE_BORE = "bore", Length, 0.5 * MM => 25.0 * MM, usual 1.0 * MM => 8.0 * MM;
    /// Bore of a feed hose or clear hose, m.
    SHOP_HOSE_BORE = "bore", Length, 0.5 * MM => 25.0 * MM, usual 2.0 * MM => 13.0 * MM;
    /// Length of a brake line, m. Usual: from a short link to a long vehicle.
    TUBE_LENGTH = "length", Length, TUBE_M.0 => TUBE_M.1, usual 100.0 * MM => 15.0;
    /// Length of a brake hose, m. Usual: from a wheel's to one all along a motorcycle.
    HOSE_LENGTH = "length", Length, TUBE_M.0 => TUBE_M.1, usual 50.0 * MM => 3.0;
    /// Length of the hose from a pressure bleeder to the cap, m.
    FEED_HOSE_LENGTH = "length", Length, TUBE_M.0 => TUBE_M.1, usual 0.3 => 10.0;
    /// Length of a clear hose, m; 0 resists nothing.
    CLEAR_HOSE_LENGTH = "length", Length, 0.0 => 10.0, usual 0.2 => 3.0;
    /// Height of one thing above another, m; below it negative.
    ABOVE = "height", Length, -4.0 => 4.0, usual -2.0 => 2.0;
    /// Length of a passage in a caliper, m.
    CROSSOVER_LENGTH = "length", Length, TUBE_M.0 => TUBE_M.1, usual 5.0 * MM => 0.5;
    /// Pressure at which a valve begins to open, Pa.
    CRACKING = "cracking pressure", Pressure, 0.0 => 1000.0 * KPA, usual 0.0 => 1000.0 * KPA;
    /// Share of a chamber that trades fluid only slowly.
    POCKET = "pocket share", Share, 0.0 => 0.95, usual 0.0 => 0.8;
    /// Fluid a pocket trades, as a share of what flows through.
    POCKET_EXCHANGE = "pocket exchange", Share, 1e-4 => 10.0, usual 1e-3 => 2.0;
    /// Time in which a pocket trades its own volume at rest, s.
    POCKET_TIME = "pocket time", Time, 1.0 => 1e6, usual 1.0 => 1e6;
    /// Share of the flow that passes a chamber by.
    BYPASS = "bypass share", Share, 0.0 => 0.9, usual 0.0 => 0.9;
    /// Gap between cone and seat of an open bleeder, m.
    SEAT_GAP = "seat gap", Length, 0.01 * MM => 3.0 * MM, usual 0.05 * MM => 1.5 * MM;
    /// Exponent of an air cushion: 1 isothermal, 1.4 adiabatic.
    EXPONENT = "exponent", Number, 1.0 => 1.4, usual 1.0 => 1.4;
    /// Length of clear hose that is watched, m.
    WATCHED = "watched length", Length, 1.0 * MM => 3.0, usual 10.0 * MM => 1.5;
    /// Old fraction below which fluid counts as clean; 0 would never be met, 1 always.
    THRESHOLD = "threshold", Share, 1e-4 => 0.9, usual 0.01 => 0.6;
    /// Time for which a clear hose is looked at, s.
    LOOK = "time of looking", Time, 0.0 => 60.0, usual 0.0 => 30.0;
    /// Volume for which it must stay clean, m³.
    HOLD = "hold volume", Volume, 0.0 => 2000.0 * ML, usual 0.0 => 500.0 * ML;
    /// Volume drained at one bleeder, m³.
    DRAINED = "drained volume", Volume, 0.1 * ML => 10_000.0 * ML, usual 5.0 * ML => 2_000.0 * ML;
    /// Steps in which a plan counts what is drained, m³.
    GRID = "grid", Volume, 0.5 * ML => 200.0 * ML, usual 0.5 * ML => 200.0 * ML;
    /// Share of drawn vehicles for which a plan is to hold: of all, or of some.
    SURE = "share of the draws", Share, 0.01 => 1.0, usual 0.5 => 1.0;
    /// Time for which a bleeder stays open, s.
    OPEN_TIME = "time open", Time, 0.1 => 4.0 * HOUR, usual 2.0 => 1.0 * HOUR;
    /// What a bottle of new fluid holds.
    BOTTLE = "bottle", Volume, 10.0 * ML => 50_000.0 * ML, usual 100.0 * ML => 25_000.0 * ML;
    /// Fluid loaded into a supply, m³.
    LOADED = "loaded volume", Volume, 1.0 * ML => 20_000.0 * ML, usual 50.0 * ML => 10_000.0 * ML;
    /// What somebody says to pour into a pressure bleeder, m³: less than a small bottle fills neither the dip tube's end
    /// nor the feed hose.
    POURED = "what is poured in", Volume, 250.0 * ML => 20_000.0 * ML, usual 250.0 * ML => 10_000.0 * ML;
    /// Volume of a supply's vessel, m³.
    VESSEL = "vessel volume", Volume, 10.0 * ML => 50_000.0 * ML, usual 500.0 * ML => 30_000.0 * ML;
    /// A wait, s.
    WAIT = "wait", Time, 0.1 => 48.0 * HOUR, usual 1.0 => 48.0 * HOUR;
    /// Time for which a modulator is worked, s.
    WORK = "working time", Time, 0.1 => 1.0 * HOUR, usual 0.1 => 10.0 * MINUTE;
    /// Time a task takes beside the flow itself, s.
    TASK = "time", Time, 0.0 => 8.0 * HOUR, usual 0.0 => 2.0 * HOUR;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_a_range() {
        for b in ALL {
            assert!(b.min < b.max && b.min.is_finite() && b.max.is_finite(), "{}", b.name);
            assert!(b.min >= 0.0 || b.is(&ABOVE), "{}", b.name);
            let (from, to) = b.usual;
            assert!(b.min <= from && from < to && to <= b.max, "{}", b.name);
        }
    }
}
