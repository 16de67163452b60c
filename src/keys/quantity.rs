//! A number in SI units, with the spread that random draws may give it.

use serde::Serialize;

/// Half the width of the central 90 % interval of a normal distribution, in standard deviations
/// (the 95 % point of the standard normal distribution).
pub const HALF_OF_90_PERCENT: f64 = 1.644_853_626_951_472_2;

/// How an uncertain quantity is distributed (SI units).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "shape")]
#[non_exhaustive]
pub enum Spread {
    /// None: the value is declared exact, and no spread by default takes its place.
    Exact,
    /// Normal with this standard deviation, cut off at the quantity's bounds.
    Normal {
        /// Standard deviation, SI.
        sd: f64,
    },
    /// Log-normal whose median is the value; `sd_log` is the standard deviation of the logarithm.
    LogNormal {
        /// Standard deviation of ln(value).
        sd_log: f64,
    },
    /// Evenly between two ends.
    Uniform {
        /// Lower end, SI.
        low: f64,
        /// Upper end, SI.
        high: f64,
    },
    /// Triangular with its peak at the value.
    Triangular {
        /// Lower end, SI.
        low: f64,
        /// Upper end, SI.
        high: f64,
    },
}

/// A value in SI units and, where stated, its spread.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Quantity {
    /// The value, SI.
    pub value: f64,
    /// What random draws do with it; `None` means that nothing is said, and a spread by default may stand in.
    pub spread: Option<Spread>,
}

impl Quantity {
    /// A value of which no spread is said.
    pub const fn known(value: f64) -> Self {
        Self { value, spread: None }
    }

    /// A value of which nine in ten lie within `half` to either side.
    pub fn within(value: f64, half: f64) -> Self {
        Self { value, spread: Some(Spread::Normal { sd: half / HALF_OF_90_PERCENT }) }
    }

    /// Half the width within which about nine in ten lie, SI; 0 without a spread.
    pub fn half_width(&self) -> f64 {
        match self.spread {
            Some(Spread::Normal { sd }) => HALF_OF_90_PERCENT * sd,
            Some(Spread::LogNormal { sd_log }) => HALF_OF_90_PERCENT * sd_log * self.value,
            Some(Spread::Uniform { low, high }) => 0.45 * (high - low),
            // Of a symmetric triangle: 1 − √0.1 of half its base.
            Some(Spread::Triangular { low, high }) => 0.5 * (1.0 - 0.1_f64.sqrt()) * (high - low),
            Some(Spread::Exact) | None => 0.0,
        }
    }
}
