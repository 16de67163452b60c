//! What a technician writes down, and how far it may be off.

use crate::circuit::Scenario;
use crate::job::record::{Opening, Record};
use crate::keys::worded::worded;
use crate::measures::to_ml;
use crate::portable;

worded! {
    /// What was read.
    pub enum What {
        /// Millilitres drained there, mL.
        Drained = "drained",
        /// Time that fluid ran there, s.
        Seconds = "seconds",
        /// The supply's gauge, kPa.
        Gauge = "gauge",
        /// Boiling point, °C.
        Boiling = "boiling",
        /// Water, mass %.
        Water = "water",
        /// Old fluid in what is seen, as a share.
        Colour = "colour",
        /// Left in the vessel, mL.
        LeftInVessel = "left in vessel",
        /// What the reservoir holds, mL.
        Level = "level",
        /// Wear of the pads, as a share.
        PadWear = "pad wear",
    }
}

worded! {
    /// When it was read.
    pub enum When {
        /// Before the job.
        Before = "before",
        /// As the bleeder was closed.
        Close = "close",
        /// After the job.
        After = "after",
    }
}

/// A reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The bleeder, `reservoir`, `wheels`, `vessel` or `car`, or after the job any part.
    pub at: String,
    /// When.
    pub when: When,
    /// What.
    pub what: What,
    /// Figure, in the unit of `what`.
    pub value: f64,
    /// Whether it stands for at least this much: the bleeder was closed by its cap.
    pub at_least: bool,
    /// Standard deviation of its error, in the same unit.
    pub error: f64,
}

/// Standard deviation of what the model itself is off, as a share of millilitres and of seconds at a bleeder (estimates).
pub const MODEL_ML: f64 = 0.03;
/// As above.
pub const MODEL_SECONDS: f64 = 0.10;

impl What {
    /// Whether it enters as a logarithm: errors of what is counted up grow with it.
    pub fn is_logarithm(self) -> bool {
        matches!(self, Self::Drained | Self::Seconds)
    }

    /// Standard deviation of a reading's error where nothing else is said; estimates, but where a source is named.
    pub fn usual_error(self, value: f64) -> f64 {
        /// Half a range over the deviation of what lies evenly in it.
        const EVEN: f64 = 1.732_050_807_568_877_2;
        match self {
            // A catch bottle with marks every 10 mL.
            Self::Drained | Self::LeftInVessel => portable::hypot(5.0, 0.02 * value),
            Self::Seconds => 2.0,
            // A dial of 4 bar of class 2.5 (EN 837-1, from memory), and a quarter of a division of 10 kPa for reading it.
            Self::Gauge => portable::hypot(0.025 * 400.0 / EVEN, 2.5),
            Self::Boiling => 8.0,
            Self::Water => 1.0,
            Self::Colour => 0.05,
            Self::Level => 5.0,
            Self::PadWear => 0.1,
        }
    }

    /// Its unit, as a person says it.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Drained | Self::LeftInVessel | Self::Level => "mL",
            Self::Seconds => "s",
            Self::Gauge => "kPa",
            Self::Boiling => "°C",
            Self::Water | Self::Colour | Self::PadWear => "%",
        }
    }

    /// As [`Self::unit`] has it, of a figure in the unit of readings.
    pub fn spoken(self, value: f64) -> f64 {
        match self {
            Self::Colour | Self::PadWear => 100.0 * value,
            _ => value,
        }
    }
}

/// The figure in the coordinate in which its error is normal.
pub(super) fn coordinate(what: What, value: f64) -> f64 {
    if what.is_logarithm() { portable::ln(value.max(1e-3)) } else { value }
}

/// Back from there.
pub(super) fn from_coordinate(what: What, coordinate: f64) -> f64 {
    if what.is_logarithm() { portable::exp(coordinate) } else { coordinate }
}

impl Reading {
    /// What it is, in words.
    pub fn in_words(&self) -> String {
        let (at, what) = (&self.at, self.what);
        match (self.when, self.at.as_str()) {
            (When::Close, _) => format!("{what} at {at}"),
            (_, "car" | "vessel") => what.to_string(),
            (When::Before, _) => format!("{what} of the {at} before"),
            (When::After, _) => format!("{what} of {at} after"),
        }
    }

    /// Standard deviation in the coordinate, the model's own among it.
    pub(super) fn sd(&self) -> f64 {
        let relative = self.error / self.value.max(1e-3);
        match self.what {
            What::Drained => portable::hypot(relative, MODEL_ML),
            What::Seconds => portable::hypot(relative, MODEL_SECONDS),
            What::LeftInVessel => portable::hypot(self.error, MODEL_ML * self.value),
            _ => self.error,
        }
    }

    /// What a job says of it; `None` if the job has nothing of the kind. `nth` is which opening of this bleeder is meant,
    /// from 0.
    pub(super) fn predicted(
        &self,
        nth: usize,
        scenario: &Scenario,
        record: &Record,
    ) -> Option<f64> {
        let opening = || record.openings.iter().filter(|o| o.bleeder == self.at).nth(nth);
        match (self.what, self.when) {
            (What::Drained, When::Close) => opening().map(|o: &Opening| o.drained_ml),
            (What::Seconds, When::Close) => opening().map(|o| o.flow_seconds),
            (What::Gauge, When::Close) => opening().map(|o| o.gauge_end_kpa),
            (What::Colour, When::Close) => opening().map(|o| o.seen_old_fraction),
            (What::Gauge, When::Before) => record.openings.first().map(|o| o.gauge_start_kpa),
            (What::LeftInVessel, When::After) => record.totals.fluid.map(|f| f.left_ml),
            (What::Level, When::Before) => Some(to_ml(scenario.reservoir.level.value)),
            (What::PadWear, When::Before) => Some(scenario.vehicle.pad_wear.value),
            (What::Water, When::Before) => self.water_before(scenario),
            (What::Boiling, When::Before) => {
                let fluid = scenario.old_fluid.fluid();
                self.water_before(scenario).map(|w| fluid.boiling().boiling_c(w))
            }
            (What::Water, When::After) => self.part(record).map(|p| p.water_percent),
            (What::Boiling, When::After) => self.part(record).map(|p| p.boiling_c),
            _ => None,
        }
    }

    fn water_before(&self, scenario: &Scenario) -> Option<f64> {
        let old = &scenario.old_fluid;
        let of = match self.at.as_str() {
            "reservoir" => old.water_reservoir,
            "wheels" => old.water_wheel_brakes,
            _ => return None,
        };
        Some(100.0 * of.unwrap_or(old.water).value)
    }

    fn part<'r>(&self, record: &'r Record) -> Option<&'r crate::job::record::PartLeft> {
        record.left.holding().find(|p| p.part == self.at)
    }
}
