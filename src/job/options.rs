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
    /// Seed that the record names.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            supply: None,
            steps_per_path: 36.0,
            lanes: None,
            origins: true,
            estimate_error: true,
            check_every_step: false,
            endless: false,
            seed: 0,
        }
    }
}
