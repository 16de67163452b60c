//! What `check` finds: the circuit that a scenario describes, before anything is simulated.
//!
//! Like the record of a job this holds every figure that a report shows, so that no report computes.

use super::ScenarioName;
use super::warning::Warning;
use serde::Serialize;

/// Everything `check` says of a scenario.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckReport {
    /// Version of the program.
    pub farwheel: &'static str,
    /// Title and file.
    pub scenario: ScenarioName,
    /// Fluids by role: old, new.
    pub fluids: Vec<FluidLine>,
    /// Every part, reservoir first, then along the circuit.
    pub parts: Vec<PartLine>,
    /// Fluid that the whole system holds, reservoir at its level included, mL.
    pub capacity_ml: f64,
    /// Paths to the bleeders, largest volume first (ties by file order).
    pub paths: Vec<PathLine>,
    /// What to expect when the feed valve of a pressure supply is first opened; `None` for other supplies.
    pub leak_test: Option<LeakTest>,
    /// What the transport model rests on, per line and hose.
    pub lines: Vec<LineLine>,
    /// Default values in use.
    pub defaults: Vec<DefaultLine>,
    /// Warnings.
    pub warnings: Vec<Warning>,
    /// The vehicle as described.
    pub vehicle: VehicleLine,
}

/// What the scenario says of the vehicle as a whole.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct VehicleLine {
    /// Side of the steering wheel, `left` or `right`; `None` where there is none.
    pub steering: Option<String>,
    /// Split of the circuits as in DIN 74000, if stated.
    pub split: Option<String>,
    /// Free text, if any.
    pub note: Option<String>,
    /// What kind of vehicle it is, if stated.
    pub kind: Option<String>,
}

/// One fluid.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FluidLine {
    /// `old fluid` or `new fluid`.
    pub role: &'static str,
    /// Grade as written in the scenario.
    pub grade: String,
    /// Water, mass % (of old fluid: where no part says otherwise).
    pub water_percent: f64,
    /// Boiling point at that water, °C (equilibrium reflux).
    pub boiling_c: f64,
    /// Kinematic viscosity at the job's temperature, mm²/s.
    pub viscosity_mm2_per_s: f64,
    /// Density at the job's temperature, its water included, kg/m³.
    pub density_kg_per_m3: f64,
}

/// One part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartLine {
    /// Its name.
    pub part: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// The parts that its fluid comes from; empty for the reservoir.
    pub from: Vec<String>,
}

/// The path to one bleeder.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PathLine {
    /// Name of the bleeder.
    pub bleeder: String,
    /// The parts passed, from the master cylinder to the part with the bleeder.
    pub parts: Vec<String>,
    /// Volume of these parts, mL (the reservoir is not counted).
    pub path_ml: f64,
    /// Length of the lines and hoses among them, m.
    pub length_m: f64,
}

/// The drop of the gauge when the feed valve is first opened (air in vessel, hose and under the cap share
/// the pressure).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LeakTest {
    /// Gauge pressure before, kPa.
    pub gauge_before_kpa: f64,
    /// Gauge pressure after it has settled, kPa.
    pub gauge_after_kpa: f64,
}

/// How a line or hose stands to the assumptions of the transport model.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineLine {
    /// Name of the line or hose.
    pub part: String,
    /// Mean transit time at the flow taken for the check, s.
    pub transit_s: f64,
    /// Diffusion number D·t/R² over the transit time (small: no mixing across the tube).
    pub diffusion_number: f64,
    /// Time in which the density difference of old and new fluid would overturn the
    /// cross-section, s; `None` if the densities do not differ.
    pub overturn_s: Option<f64>,
}

/// A key left out of the scenario and the value taken for it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DefaultLine {
    /// Table of the scenario, for instance `reservoir` or `parts.RR`.
    pub table: String,
    /// Key.
    pub key: &'static str,
    /// The value with its unit, as it could have been written in the file.
    pub value: String,
}
