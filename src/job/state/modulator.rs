//! A hydraulic modulator worked: by the workshop's service routine, or once on the road.
//!
//! # The model
//! A quasi-steady estimate in cycles. In each cycle the outlet valves of the channels worked let a known
//! volume (`cycle_volume`, in equal shares) out of their passages into the accumulator of their
//! circuit, where `accumulator_exchange` of it mixes with all that is there; the return pump sends as much of what the
//! accumulator holds through its chamber and the damper, which `damper_exchange` of it passes, to the inlet valves, and
//! through them into the same passages. A first volume comes down from the master cylinder to fill the accumulator; at
//! the end the pump empties it, and that volume goes back up through the compensating port. All moves are exact, and
//! nothing is lost.
//!
//! An accumulator takes up nothing where the pressure stays below `accumulator_opens`: then nothing is cycled. What
//! presses is the supply, or, with ESC, the pump, which builds pressure out of what it draws from the master cylinder.
//!
//! Assumptions:
//! - What a wheel's line gives when an outlet valve opens, and takes when the inlet valve opens again,
//!   is the same fluid, for slow viscous flow runs back as it came (reversibility of creeping flow;
//!   G. I. Taylor's demonstration, from memory). So lines are left as they were, and what could get
//!   into them is what leaves the passages.
//! - Pump chamber and passages mix fully.
//! - The pump delivers `cycle_volume` each `cycle_time`, whatever the pressure in accumulator and passages.
//! - The supply's pressure stands at the unit in full: heights and what flow costs on the way count for nothing.
//! - With the pump off the accumulator takes up what it can and keeps it until the pump runs.
//! - With bleeders open the supply pushes as in any opening, and cycles go on beside. With ESC the isolation valve of
//!   each circuit that has one of them open is then shut, but for the check valve beside it, which lets fluid through
//!   toward the wheels as the open valve would (from memory), and the suction valve open: `suction_share` of the pump's
//!   delivery comes from the master cylinder's side and is pushed out at the bleeders, whatever the supply does; the
//!   rest comes from the accumulator. So out of these bleeders comes what the pump draws, or, where the supply alone
//!   would send more, that.

use super::drawing::Drawing;
use super::setting::Setting;
use crate::circuit::modulator::ModulatorCircuit;
use crate::job::error::JobError;
use crate::transport::system::System;

/// Least share of the reservoir's fluid that filling an accumulator leaves in it.
const LEFT_IN_RESERVOIR: f64 = 0.5;

/// A modulator at work while bleeders are open.
#[derive(Debug, Clone)]
pub(crate) struct Work {
    modulator: usize,
    /// Channels worked, by circuit.
    channels: Vec<Vec<usize>>,
    pump: bool,
    /// What presses on the accumulators, Pa.
    pressure_pa: f64,
}

impl Work {
    /// These channels of a modulator, all if none is named, while a supply presses.
    pub(crate) fn of(
        setting: &Setting,
        modulator: usize,
        channels: &[String],
        (pump, pressure_pa): (bool, f64),
    ) -> Self {
        let mut work = Self { pump, pressure_pa, ..Self::all(setting, modulator) };
        if !channels.is_empty() {
            let circuits = &setting.circuit.modulators[modulator].circuits;
            for (c, worked) in circuits.iter().zip(&mut work.channels) {
                worked.retain(|i| channels.contains(&c.channels[*i].name));
            }
        }
        work
    }

    /// All channels of a modulator, pump on, a foot on the pedal.
    pub(crate) fn all(setting: &Setting, modulator: usize) -> Self {
        let circuits = &setting.circuit.modulators[modulator].circuits;
        let channels = circuits.iter().map(|c| (0..c.channels.len()).collect()).collect();
        Self { modulator, channels, pump: true, pressure_pa: f64::INFINITY }
    }

    /// Whether a circuit's accumulator takes up fluid: what presses is the supply, or with ESC the pump, out of what it
    /// draws from the master cylinder.
    fn takes_up(&self, m: &ModulatorCircuit) -> bool {
        (self.pump && m.drawn_m3_s() > 0.0) || self.pressure_pa >= m.opens_pa
    }

    /// The pressure at which the accumulators would open that stay shut, Pa; `None` if none does.
    pub(crate) fn stay_shut_below_pa(&self, setting: &Setting) -> Option<f64> {
        let shut = self.circuits(setting).filter(|(m, _)| !self.takes_up(m));
        shut.map(|(m, _)| m.opens_pa).reduce(f64::min)
    }

    /// What its pump draws through the suction valves of the circuits worked while a bleeder is open.
    pub(crate) fn drawings(&self, setting: &Setting) -> Vec<Drawing> {
        let drawing = |(m, _): (&ModulatorCircuit, _)| {
            let (isolation, &[suction, pump, _]) = (m.isolation?, m.suction.as_slice()) else {
                return None;
            };
            let drawn_m3_s = m.drawn_m3_s();
            (drawn_m3_s > 0.0).then_some(Drawing { isolation, suction, pump, drawn_m3_s })
        };
        self.circuits(setting).filter(|_| self.pump).filter_map(drawing).collect()
    }

    /// Circuits in which some channel is worked.
    fn circuits<'a>(
        &'a self,
        setting: &'a Setting,
    ) -> impl Iterator<Item = (&'a ModulatorCircuit, &'a [usize])> {
        let circuits = &setting.circuit.modulators[self.modulator].circuits;
        circuits
            .iter()
            .zip(&self.channels)
            .filter(|(_, w)| !w.is_empty())
            .map(|(c, w)| (c, w.as_slice()))
    }

    /// Time of the shortest cycle, s: no step of an opening is longer.
    pub(crate) fn cycle_s(&self, setting: &Setting) -> f64 {
        self.circuits(setting).map(|(c, _)| c.cycle_s).fold(f64::INFINITY, f64::min)
    }

    /// The first volume from the master cylinder into each accumulator. With the pump off, as much as
    /// comes in `time_s`.
    pub(crate) fn begin(
        &self,
        setting: &Setting,
        system: &mut System,
        time_s: f64,
    ) -> Result<(), JobError> {
        for (m, working) in self.circuits(setting).filter(|(m, _)| self.takes_up(m)) {
            let held = system.taken_up_m3(m);
            let wanted = if self.pump {
                m.cycle_m3 - held
            } else {
                (m.swept_m3 - held).min(m.delivery_m3_s() * time_s)
            };
            let Some(outlet) = m.supply.first().and_then(|l| setting.circuit.links[l.0].outlet)
            else {
                continue;
            };
            let mut row = vec![0.0; setting.species.len()];
            let most = LEFT_IN_RESERVOIR * system.reservoir.held_for(outlet, &mut row);
            let dv = wanted.min(most);
            if dv > 0.0 {
                system
                    .fill_accumulator(&setting.circuit, m, working, dv, m.cycle_s)
                    .map_err(|_| JobError::RunsInACircle)?;
            }
        }
        Ok(())
    }

    /// Cycles that the pump manages in `time_s` of what it does not draw from the master cylinder, which it does
    /// where `through` says that fluid goes through a circuit's suction valve; `watch` looks at the system after each.
    fn cycles(
        &self,
        setting: &Setting,
        system: &mut System,
        time_s: f64,
        through: &[f64],
        mut watch: impl FnMut(&System),
    ) {
        if !self.pump {
            return;
        }
        for (m, working) in self.circuits(setting).filter(|(m, _)| self.takes_up(m)) {
            let draws = m.suction.first().and_then(|l| through.get(*l)).is_some_and(|dv| *dv > 0.0);
            let share = if draws { 1.0 - m.suction_share } else { 1.0 };
            let each = system.taken_up_m3(m).min(m.cycle_m3);
            // Counted in cycles, each of what there is to move: it may be next to nothing.
            let mut left = share * time_s / m.cycle_s;
            while each > 0.0 && left > 1e-12 {
                let part = left.min(1.0);
                system.circulate(m, working, part * each, part * m.cycle_s);
                watch(system);
                left -= part;
            }
        }
    }

    /// The pump empties the accumulators; a check valve on the way up keeps the fluid in.
    pub(crate) fn end(&self, setting: &Setting, system: &mut System) -> Result<(), JobError> {
        use crate::parts::passage::Passage;
        for (m, _) in self.circuits(setting).filter(|_| self.pump) {
            let one_way = |l: &(usize, bool)| {
                !l.1 && matches!(setting.circuit.links[l.0].passage, Passage::Check { .. })
            };
            if !m.supply.iter().any(one_way) {
                system
                    .empty_accumulator(&setting.circuit, m, m.cycle_s)
                    .map_err(|_| JobError::RunsInACircle)?;
            }
        }
        Ok(())
    }

    /// The whole routine with every bleeder shut.
    pub(crate) fn shut(
        &self,
        setting: &Setting,
        system: &mut System,
        time_s: f64,
        watch: impl FnMut(&System),
    ) -> Result<(), JobError> {
        self.shut_begin(setting, system, time_s, watch)?;
        self.shut_end(setting, system, time_s)
    }

    /// The routine with every bleeder shut, up to the last cycle.
    pub(crate) fn shut_begin(
        &self,
        setting: &Setting,
        system: &mut System,
        time_s: f64,
        watch: impl FnMut(&System),
    ) -> Result<(), JobError> {
        self.begin(setting, system, time_s)?;
        self.cycles(setting, system, time_s, &[], watch);
        Ok(())
    }

    /// What follows [`Self::shut_begin`]: what stood for that time has stood, and the pump empties the accumulators.
    pub(crate) fn shut_end(
        &self,
        setting: &Setting,
        system: &mut System,
        time_s: f64,
    ) -> Result<(), JobError> {
        system.stand(time_s, |_| 0.0);
        self.end(setting, system)
    }

    /// While bleeders are open: the cycles of a step of `dt` s, in which so much goes through each link.
    pub(crate) fn beside(&self, setting: &Setting, system: &mut System, dt: f64, through: &[f64]) {
        self.cycles(setting, system, dt, through, |_| {});
    }
}
