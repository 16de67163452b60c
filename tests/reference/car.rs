//! What the reference is told: a car and the steps of the job.

use super::mixed::Chamber;
use super::unit::UnitCircuit;
use super::whole::Rule;

/// Composition: one value for each species, 0 to 1; the first is the old fraction.
pub type Composition = Vec<f64>;

/// Everything of a car that decides where old and new fluid go, one bleeder open at a time.
#[derive(Debug, Clone)]
pub struct ReferenceCar {
    /// Common space of the reservoir: volume (mL) and content.
    pub common: (f64, Composition),
    /// How the common space mixes, from the inlet to the outlets; its volume is the one above.
    pub space: Chamber,
    /// Compartments below the dividing wall: volume (mL; 0 for none) and content.
    pub compartments: Vec<(f64, Composition)>,
    /// What comes into the reservoir.
    pub feed: Composition,
    /// Master-cylinder chambers, lines, hoses, calipers, …: shared ones once.
    pub parts: Vec<ReferencePart>,
    /// Ways from a compartment to a bleeder.
    pub paths: Vec<ReferencePath>,
    /// Circuits of ABS/ESC units.
    pub unit: Vec<UnitCircuit>,
    /// Volume of the watched length of the clear hose, mL.
    pub watched_ml: f64,
    /// What fills the clear hose whenever a bleeder is opened.
    pub filling: Composition,
}

/// A part, mixed over its cross-section where it begins and ends (but for lines that run on, see [`ReferenceKind::Line`]).
#[derive(Debug, Clone)]
pub struct ReferencePart {
    /// Its name.
    pub name: String,
    /// What it does to what flows through.
    pub kind: ReferenceKind,
    /// What fills it evenly before the job.
    pub content: Composition,
}

/// What a part does to what flows through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReferenceKind {
    /// Laminar line or hose.
    Line {
        /// Volume, mL.
        volume_ml: f64,
        /// Degree of remixing in the middle, 0 to 1.
        remix: f64,
        /// Degree of mixing where it begins: below 1 it runs on from the line before it on each path.
        joint: f64,
    },
    /// Well-mixed stages.
    Mixed(Chamber),
}

impl ReferenceKind {
    /// Whether time makes a difference to it.
    pub fn trades_by_time(&self) -> bool {
        matches!(self, Self::Mixed(chamber) if chamber.trades_by_time())
    }

    /// Volume, mL.
    pub fn volume_ml(&self) -> f64 {
        match self {
            Self::Line { volume_ml, .. } => *volume_ml,
            Self::Mixed(chamber) => chamber.volume_ml,
        }
    }
}

/// The way from the reservoir to one bleeder.
#[derive(Debug, Clone)]
pub struct ReferencePath {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Index of the compartment it starts from.
    pub compartment: usize,
    /// Indices of the parts it runs through, in the order of the flow.
    pub parts: Vec<usize>,
}

/// A step of the job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReferenceStep {
    /// A bleeder is opened and closed again.
    Open {
        /// Index of the path.
        path: usize,
        /// When to close.
        stop: Stop,
        /// Rise of the reservoir's volume per volume drained: 0 if it is fed as fast as it
        /// drains, −1 if nothing is fed.
        rise: f64,
    },
    /// The common space is drawn down to one volume, then filled up to another with the feed.
    Reservoir {
        /// Volume left by the syringe, mL.
        draw_to_ml: f64,
        /// Volume afterwards, mL.
        fill_to_ml: f64,
    },
}

/// When a bleeder is closed, and what counts as clean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// Close once it counts as clean.
    pub clean: bool,
    /// Old fraction seen that counts as clean.
    pub threshold: f64,
    /// For how much more it must stay so, mL; `None`: by what lies behind dirt.
    pub hold_ml: Option<f64>,
    /// Drained volume from which anything counts, mL: a [`ReferenceCar`] knows no time to look.
    pub looked_ml: f64,
    /// Hold it open at least to this drained volume, mL.
    pub at_least_ml: f64,
    /// Close at the latest at this drained volume, mL.
    pub at_most_ml: f64,
    /// It is known to count as clean there: since when is asked, whatever the last millilitre of the hold.
    pub clean_at_most: bool,
}

impl Stop {
    /// Seen at or below the threshold for `hold_ml`, at most 2 L.
    pub fn clean(threshold: f64, hold_ml: f64) -> Self {
        let stop = Self::volume(2000.0, threshold);
        Self { clean: true, hold_ml: Some(hold_ml), ..stop }
    }

    /// At a volume, noting when it ran clean by this threshold.
    pub fn volume(volume_ml: f64, threshold: f64) -> Self {
        Self {
            clean: false,
            threshold,
            hold_ml: None,
            looked_ml: 0.0,
            at_least_ml: 0.0,
            at_most_ml: volume_ml,
            clean_at_most: false,
        }
    }

    /// The same for an [`Eye`](super::eye::Eye).
    pub(super) fn rule(&self) -> Rule {
        Rule {
            clean: self.clean,
            threshold: self.threshold,
            hold_ml: self.hold_ml,
            least_look_s: 0.0,
            volume_ml: None,
            at_least_ml: self.at_least_ml,
            at_most_ml: self.at_most_ml,
        }
    }
}

/// What one opening left.
#[derive(Debug, Clone)]
pub struct ReferenceOpening {
    /// Index of the path.
    pub path: usize,
    /// Drained volume, mL.
    pub drained_ml: f64,
    /// Drained volume from which it counted as clean, mL.
    pub clean_at_ml: Option<f64>,
    /// Whether it was closed for being clean (and not at the upper bound).
    pub closed_by_clean: bool,
    /// What is seen at the close.
    pub seen: Composition,
    /// Volume of each species in what was drained, mL.
    pub drained: Vec<f64>,
    /// What is left in the car at the close.
    pub left: ReferenceLeft,
    /// Old fraction from the compartment to the bleeder at the close, reservoir left out.
    pub path_old_fraction: f64,
    /// The same with the compartment and the common space.
    pub path_old_fraction_with_reservoir: f64,
    /// Old fluid not accounted for in this opening, mL: what was inside and fed, less what is
    /// inside and was drained.
    pub balance_error_ml: f64,
    /// (drained mL, old fraction seen, old fraction leaving) at each point of the grid.
    pub curve: Vec<(f64, f64, f64)>,
}

/// Content of the car.
#[derive(Debug, Clone)]
pub struct ReferenceLeft {
    /// Common space: volume (mL) and mean content.
    pub common: (f64, Composition),
    /// Compartments: volume (mL) and mean content.
    pub compartments: Vec<(f64, Composition)>,
    /// Parts, in the car's order: volume (mL) and mean content.
    pub parts: Vec<(f64, Composition)>,
}

impl ReferenceLeft {
    /// Volume of one species in the whole car (clear hose left out), mL.
    pub fn total_ml(&self, species: usize) -> f64 {
        std::iter::once(&self.common)
            .chain(&self.compartments)
            .chain(&self.parts)
            .map(|(volume, content)| volume * content[species])
            .sum()
    }

    /// Old fraction along a path, without or with its compartment and the common space.
    pub fn path_old_fraction(&self, path: &ReferencePath, with_reservoir: bool) -> f64 {
        let reservoir = [&self.common, &self.compartments[path.compartment]];
        let parts = path.parts.iter().map(|i| &self.parts[*i]);
        let (old, volume) = reservoir
            .into_iter()
            .filter(|_| with_reservoir)
            .chain(parts)
            .fold((0.0, 0.0), |(old, all), (volume, content)| {
                (old + volume * content[0], all + volume)
            });
        old / volume
    }
}
