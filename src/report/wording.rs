//! The words of card and page for the US and for the UK, in one table.

use crate::scenario::spoken::Spoken;
use serde::Serialize;

/// Whose words.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Wording {
    /// Bleeder screw, brake line, hose, jack stand.
    #[default]
    Us,
    /// Bleed nipple, brake pipe, flexi hose, axle stand.
    Uk,
}

/// The words that differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub(super) struct Words {
    /// Language of the page.
    pub lang: &'static str,
    /// What is opened, in few letters.
    pub bleeder: &'static str,
    /// Several of them.
    pub bleeders: &'static str,
    /// The screw itself.
    pub screw: &'static str,
    /// Several of them.
    pub screws: &'static str,
    /// Rigid tube.
    pub line: &'static str,
    /// The same where it is clear that the brake's is meant.
    pub tube: &'static str,
    /// Flexible hose.
    pub hose: &'static str,
    /// What the vehicle stands on.
    pub stands: &'static str,
    /// What is on the wheel.
    pub tire: &'static str,
    /// Lamps on the dash.
    pub lamps: &'static str,
}

const US: Words = Words {
    lang: "en-US",
    bleeder: "bleeder",
    bleeders: "bleeders",
    screw: "bleeder screw",
    screws: "bleeder screws",
    line: "brake line",
    tube: "line",
    hose: "hose",
    stands: "jack stands",
    tire: "tire",
    lamps: "warning lights",
};

const UK: Words = Words {
    lang: "en-GB",
    bleeder: "nipple",
    bleeders: "nipples",
    screw: "bleed nipple",
    screws: "bleed nipples",
    line: "brake pipe",
    tube: "pipe",
    hose: "flexi hose",
    stands: "axle stands",
    tire: "tyre",
    lamps: "warning lamps",
};

impl Wording {
    /// The words of the country for a vehicle that is called so.
    pub(super) fn words(self, spoken: &Spoken) -> Words {
        let words = match self {
            Self::Us => US,
            Self::Uk => UK,
        };
        Words { stands: spoken.stand.unwrap_or(words.stands), ..words }
    }
}
