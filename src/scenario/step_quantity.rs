//! The quantities that steps hold, each with its name and its one bound: the reader accepts what lies within,
//! and no random draw goes beyond.

use super::procedure::{Action, StopRule};
use crate::keys::Quantity;
use crate::keys::bounds::{self, Bound};

/// A quantity that a step holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepQuantity {
    /// A stop rule's threshold.
    Threshold,
    /// A stop rule's hold.
    Hold,
    /// The volume at which a stop rule closes.
    Volume,
    /// The time after which a stop rule closes.
    Time,
    /// The volume before which a stop rule does not close.
    AtLeast,
    /// The volume at which a stop rule closes in any case.
    AtMost,
    /// What a syringe leaves.
    Syringe,
    /// Up to where the reservoir is topped up.
    TopUp,
    /// What is loaded.
    Load,
    /// Gauge pressure that is pumped to.
    RePump,
    /// Time waited.
    Wait,
    /// Degree of mixing in a wait.
    Remix,
    /// Time for which a modulator is worked.
    Work,
    /// Where the reservoir's level is set.
    SetLevel,
}

impl StepQuantity {
    /// Its bound.
    pub const fn bound(self) -> &'static Bound {
        match self {
            Self::Threshold => &bounds::THRESHOLD,
            Self::Hold => &bounds::HOLD,
            Self::Volume | Self::AtLeast | Self::AtMost => &bounds::DRAINED,
            Self::Time => &bounds::OPEN_TIME,
            Self::Syringe => &bounds::RESERVOIR_LEFT,
            Self::TopUp | Self::SetLevel => &bounds::LEVEL,
            Self::Load => &bounds::LOADED,
            Self::RePump => &bounds::GAUGE,
            Self::Wait => &bounds::WAIT,
            Self::Remix => &bounds::SHARE,
            Self::Work => &bounds::WORK,
        }
    }

    /// What it is called beside the step's number.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Threshold => "threshold",
            Self::Hold => "hold",
            Self::Volume => "volume",
            Self::Time => "time",
            Self::AtLeast => "at least",
            Self::AtMost => "at most",
            Self::Syringe => "syringe",
            Self::TopUp => "top up",
            Self::Load => "load",
            Self::RePump => "re-pump",
            Self::Wait => "wait",
            Self::Remix => "remix",
            Self::Work => "working time",
            Self::SetLevel => "set level",
        }
    }
}

impl Action {
    /// Every quantity of the step. All fields are named here, so that a new one cannot be forgotten.
    pub fn quantities_mut(&mut self) -> Vec<(StepQuantity, &mut Quantity)> {
        match self {
            Self::Open { bleeders: _, until } => until.quantities_mut(),
            Self::Syringe { leave } => vec![(StepQuantity::Syringe, leave)],
            Self::TopUp { to } => vec![(StepQuantity::TopUp, to)],
            Self::Load { volume } => vec![(StepQuantity::Load, volume)],
            Self::RePump { gauge } => vec![(StepQuantity::RePump, gauge)],
            Self::Wait { time, remix } => {
                let remix = remix.as_mut().map(|q| (StepQuantity::Remix, q));
                std::iter::once((StepQuantity::Wait, time)).chain(remix).collect()
            }
            Self::WorkModulator { modulator: _, channels: _, time, pump: _, bleeders: _ } => {
                vec![(StepQuantity::Work, time)]
            }
            Self::Relieve => Vec::new(),
            Self::SetLevel { to } => vec![(StepQuantity::SetLevel, to)],
        }
    }
}

impl StopRule {
    fn quantities_mut(&mut self) -> Vec<(StepQuantity, &mut Quantity)> {
        let Self { clean: _, threshold, hold, volume, time, at_least, at_most } = self;
        let all = [
            (StepQuantity::Threshold, threshold),
            (StepQuantity::Hold, hold),
            (StepQuantity::Volume, volume),
            (StepQuantity::Time, time),
            (StepQuantity::AtLeast, at_least),
            (StepQuantity::AtMost, at_most),
        ];
        all.into_iter().filter_map(|(what, q)| Some((what, q.as_mut()?))).collect()
    }
}
