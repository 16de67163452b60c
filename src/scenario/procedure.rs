//! What the technician does: steps in order, and when each bleeder is closed.

use super::tables::Tasks;
use crate::keys::{Place, Quantity, Read};

/// The procedure of a scenario.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Procedure {
    /// The other keys of `[procedure]`: `supply`, `passes`, and the times that make up the bay time.
    pub tasks: Read<Tasks>,
    /// The steps of one pass, in order.
    pub steps: Vec<Step>,
}

impl Procedure {
    /// All that is done, in turn: pass and number of the step (both from 1), and the step.
    pub fn in_turn(&self) -> impl Iterator<Item = ((u32, usize), &Step)> {
        (1..=self.tasks.passes.max(1)).flat_map(move |pass| {
            let steps = self.steps.iter().enumerate();
            steps
                .filter(move |(_, step)| pass == 1 || matches!(step.action, Action::Open { .. }))
                .map(move |(i, step)| ((pass, i + 1), step))
        })
    }

    /// Whether a bleeder is opened again after this pass and step (both counted from 1).
    pub fn opens_again(&self, bleeder: &str, after: (u32, usize)) -> bool {
        let mut later = self.in_turn().skip_while(|(place, _)| *place <= after);
        later.any(|(_, step)| match &step.action {
            Action::Open { bleeders, .. } => bleeders.iter().any(|b| b == bleeder),
            _ => false,
        })
    }
}

/// One step and where it stands in the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Where it stands.
    pub line: Place,
    /// What is done.
    pub action: Action,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Open one or several bleeders together and close them by the stop rule.
    Open {
        /// Bleeder names.
        bleeders: Vec<String>,
        /// When to close.
        until: StopRule,
    },
    /// Take fluid out of the reservoir with a syringe until this volume is left in it.
    Syringe {
        /// Volume left in the reservoir, m³.
        leave: Quantity,
    },
    /// Pour new fluid into the reservoir up to this volume.
    TopUp {
        /// Volume in the reservoir afterwards, m³.
        to: Quantity,
    },
    /// Fill the supply with this much more new fluid.
    Load {
        /// Volume added, m³.
        volume: Quantity,
    },
    /// Pump the supply up to this gauge pressure.
    RePump {
        /// Gauge pressure afterwards, Pa.
        gauge: Quantity,
    },
    /// Let everything stand.
    Wait {
        /// How long, s.
        time: Quantity,
        /// Degree to which each line's cross-section mixes meanwhile, 0 to 1; `None` means it
        /// follows from the density difference and the time.
        remix: Option<Quantity>,
    },
    /// Work the hydraulic modulator as a workshop's service routine does.
    WorkModulator {
        /// Name of the modulator part.
        modulator: String,
        /// Channels worked; empty means all.
        channels: Vec<String>,
        /// How long, s.
        time: Quantity,
        /// Whether the return pump runs.
        pump: bool,
        /// Bleeders that are open meanwhile.
        bleeders: Vec<String>,
    },
    /// Let the pressure off the supply.
    Relieve,
    /// Bring the reservoir to this volume: excess is taken out, a lack poured in.
    SetLevel {
        /// Volume in the reservoir afterwards, m³.
        to: Quantity,
    },
}

/// When a bleeder is closed. Of the parts given, `at_least` holds it open, `at_most`
/// closes it in any case, and in between `volume`, `time` or `clean` closes it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StopRule {
    /// Close once what is seen counts as clean.
    pub clean: bool,
    /// Threshold of the old fraction seen; `None` takes that of `[clear_hose]`.
    pub threshold: Option<Quantity>,
    /// Further volume for which it must stay clean, m³; `None` takes that of `[clear_hose]`.
    pub hold: Option<Quantity>,
    /// Close at this drained volume, m³.
    pub volume: Option<Quantity>,
    /// Close after this time, s.
    pub time: Option<Quantity>,
    /// Not before this drained volume, m³.
    pub at_least: Option<Quantity>,
    /// At the latest at this drained volume, m³.
    pub at_most: Option<Quantity>,
}
