//! What `compare` answers: one car, what decides on it; several, side by side and under a shop's standard.

use super::decides::Decides;
use super::flips::Flips;
use super::layouts::Layouts;
use super::reach::Reach;
use super::standard::Standard;
use serde::Serialize;

/// The answer. What was not asked for is left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// Far wheel first and near wheel first, side by side.
    #[serde(flatten)]
    pub layouts: Layouts,
    /// Of one car, what decides on it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decides: Option<Decides>,
    /// The cars under a shop's standard.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standard: Option<Standard>,
    /// When the order matters, car by car.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flips: Option<Vec<Flips>>,
    /// Of one car, what each opening reaches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<Reach>,
}

impl Compared {
    /// Layouts alone.
    pub fn of(layouts: Layouts) -> Self {
        Self { layouts, decides: None, standard: None, flips: None, reach: None }
    }

    /// Whether any job must be stopped (exit status 3).
    pub fn stopped(&self) -> bool {
        let fails = |s: &Standard| s.cars.iter().any(|c| c.stopped);
        self.layouts.stopped() || self.standard.as_ref().is_some_and(fails)
    }
}

/// The answer for one car.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OneCar(pub Compared);

/// The answer for several.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fleet(pub Compared);
