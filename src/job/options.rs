//! How a job is run: numbers that change accuracy or effort, not the vehicle.

/// Options of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Options {
    /// Name of the supply to use; `None` takes the one that the procedure names.
    pub supply: Option<String>,
    /// Steps in which a bleeder's path volume is drained (or, behind a large shared line, four times
    /// what that bleeder alone draws from); more is finer.
    pub steps_per_path: f64,
    /// Lanes of a laminar profile; `None` takes as many as the strictest threshold needs.
    pub lanes: Option<usize>,
    /// Whether origins are told apart; without, only old fluid and water are carried.
    pub origins: bool,
    /// Whether the error of the answers is estimated, by running the job twice more, coarser.
    pub estimate_error: bool,
    /// Whether conservation is checked at every step instead of every opening.
    pub check_every_step: bool,
    /// Whether the supply never runs dry, to find out how much a job takes; its gauge falls as if it held
    /// what the scenario says.
    pub endless: bool,
    /// Whether curves over time are kept, conservation is checked at every opening, and it is worked out what a
    /// hydraulic modulator would bring out on the road; studies of many jobs do without, which changes no other
    /// figure.
    pub detail: bool,
    /// How far viscosities and the pressure that pushes may drift before flows are solved for anew, as a
    /// share; 0 solves at every step. While one bleeder at a time is open on a tree, only times depend on it.
    pub flow_drift: f64,
    /// Seed that the record names.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            supply: None,
            steps_per_path: 9.0,
            lanes: None,
            origins: true,
            estimate_error: true,
            check_every_step: false,
            endless: false,
            detail: true,
            flow_drift: 0.0,
            seed: 0,
        }
    }
}

impl Options {
    /// For a study of many jobs that asks for sums alone: one run each, origins not told apart, no curves,
    /// and a supply that never runs dry, so that no answer is cut off.
    pub fn for_sums(seed: u64) -> Self {
        Self {
            origins: false,
            estimate_error: false,
            endless: true,
            detail: false,
            seed,
            ..Self::default()
        }
    }

    /// For many draws of such a study, of which only differences between jobs in the same draw are asked
    /// for: half the steps, twelve lanes, and flows solved for only where they have changed by a twentieth.
    pub fn for_draws(seed: u64) -> Self {
        Self { steps_per_path: 4.0, lanes: Some(12), flow_drift: 0.05, ..Self::for_sums(seed) }
    }
}
