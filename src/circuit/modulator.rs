//! What a hydraulic modulator (ABS/ESC) is to the circuit: which nodes and links are its passages,
//! valves, accumulators, pumps and dampers, and what one cycle of its return pump moves.

/// A hydraulic modulator.
#[derive(Debug, Clone, PartialEq)]
pub struct Modulator {
    /// Name of the part.
    pub name: String,
    /// One or two brake circuits, kept apart inside.
    pub circuits: Vec<ModulatorCircuit>,
}

/// One brake circuit inside a modulator. Nodes and links by their index in the circuit.
///
/// At rest fluid can run only `entry` → isolation valve (with ESC) → `common` → inlet valve → passage →
/// the channel's line. Accumulator, return pump and damper hang on shut valves and on the damper's
/// throttle: a dead end.
#[derive(Debug, Clone, PartialEq)]
pub struct ModulatorCircuit {
    /// Node at which the line from the master cylinder ends.
    pub entry: usize,
    /// Node between isolation valve and inlet valves; the same as `entry` without ESC.
    pub common: usize,
    /// The channels.
    pub channels: Vec<Channel>,
    /// Node of the low-pressure accumulator; at rest it holds only its dead volume.
    pub accumulator: usize,
    /// Node of the return pump's chamber.
    pub pump: usize,
    /// Node of the damper.
    pub damper: usize,
    /// Link of the isolation valve (ESC only).
    pub isolation: Option<usize>,
    /// Links from `entry` through suction valve, pump and damper to `common` (ESC only).
    pub suction: Vec<usize>,
    /// Links from the reservoir to `common` and whether each is passed against its direction.
    pub supply: Vec<(usize, bool)>,
    /// Dead volume of the accumulator, m³.
    pub dead_m3: f64,
    /// Pressure at which the accumulator begins to take up fluid, Pa.
    pub opens_pa: f64,
    /// Volume that the accumulator can take up, m³.
    pub swept_m3: f64,
    /// Volume that one cycle moves, m³.
    pub cycle_m3: f64,
    /// Time that one cycle takes, s.
    pub cycle_s: f64,
    /// With ESC and a bleeder open: share of the pump's delivery that it draws from `entry`.
    pub suction_share: f64,
}

/// One channel: what one inlet and one outlet valve serve.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// Name of the line that starts from it.
    pub name: String,
    /// Node of its passage.
    pub passage: usize,
    /// Link of its inlet valve.
    pub inlet: usize,
    /// Bleeders behind it.
    pub bleeders: Vec<usize>,
}

impl ModulatorCircuit {
    /// The nodes that no plain flush reaches: accumulator, pump, damper.
    pub fn trapped(&self) -> [usize; 3] {
        [self.accumulator, self.pump, self.damper]
    }

    /// What the return pump delivers, m³/s.
    pub fn delivery_m3_s(&self) -> f64 {
        self.cycle_m3 / self.cycle_s
    }

    /// What it draws from the master cylinder while a bleeder is open, without back pressure, m³/s: nothing without ESC.
    pub fn drawn_m3_s(&self) -> f64 {
        if self.isolation.is_some() { self.suction_share * self.delivery_m3_s() } else { 0.0 }
    }
}
