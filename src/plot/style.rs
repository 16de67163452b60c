//! The common look of the pictures: sizes, colours, pens.
//!
//! One thought runs through all of them: old fluid is amber, new fluid is pale blue, and what has to be
//! read stands beside what it names. Colours are those of Okabe and Ito ("Color Universal Design",
//! 2008), chosen to be told apart with any colour vision; position, markers and dashes carry
//! everything a second time. On a page that is read in the dark the SVG takes the colours of [`DARK`]; the
//! PNG is always the light one.

use plotters::style::RGBColor;

/// Width of every picture in its own units; a phone shows it at half this size.
pub(super) const WIDTH: f64 = 720.0;
/// Space kept free at the left and right edges.
pub(super) const EDGE: f64 = 24.0;
/// Size of the heading.
pub(super) const HEADING: f64 = 30.0;
/// Size of what names a row or a panel.
pub(super) const NAME: f64 = 25.0;
/// Size of all other lettering: 11 px high on a phone 360 px wide.
pub(super) const BODY: f64 = 22.0;

/// The paper.
pub(super) const PAPER: RGBColor = RGBColor(0xFD, 0xFC, 0xF8);
/// Lettering, axes and marks on paper.
pub(super) const INK: RGBColor = RGBColor(0x1F, 0x24, 0x29);
/// Lettering of second rank.
pub(super) const GREY: RGBColor = RGBColor(0x52, 0x58, 0x5E);
/// Hairlines of the grid.
pub(super) const HAIR: RGBColor = RGBColor(0xD5, 0xD3, 0xCB);
/// Shading behind a panel.
pub(super) const BAND: RGBColor = RGBColor(0xEC, 0xEA, 0xE2);

/// Okabe–Ito orange: old fluid and nothing else.
const ORANGE: RGBColor = RGBColor(0xE6, 0x9F, 0x00);
/// Okabe–Ito bluish green.
pub(super) const GREEN: RGBColor = RGBColor(0x00, 0x9E, 0x73);
/// Okabe–Ito yellow.
pub(super) const YELLOW: RGBColor = RGBColor(0xF0, 0xE4, 0x42);
/// The reservoir among origins: a deep violet, as far from old fluid as from new.
pub(super) const VIOLET: RGBColor = RGBColor(0x4F, 0x3F, 0x96);
/// Okabe–Ito blue.
pub(super) const BLUE: RGBColor = RGBColor(0x00, 0x72, 0xB2);
/// Okabe–Ito vermillion.
pub(super) const VERMILLION: RGBColor = RGBColor(0xD5, 0x5E, 0x00);
/// Okabe–Ito reddish purple.
pub(super) const PURPLE: RGBColor = RGBColor(0xCC, 0x79, 0xA7);

/// Lettering that names a blue line: the line's own colour is too pale to be read at this size.
pub(super) const BLUE_WORDS: RGBColor = RGBColor(0x00, 0x59, 0x8C);
/// Lettering that names a vermillion line.
pub(super) const VERMILLION_WORDS: RGBColor = RGBColor(0xA3, 0x47, 0x00);

/// Old fluid as an area.
pub(super) const OLD: RGBColor = ORANGE;
/// New fluid as an area: sky blue thinned with paper so that lettering on it stays readable.
pub(super) const NEW: RGBColor = RGBColor(0xCF, 0xE8, 0xF7);
/// The rim of new fluid.
pub(super) const NEW_RIM: RGBColor = RGBColor(0x00, 0x71, 0xB3);
/// Lettering and lines on old fluid, new fluid and the brighter colours.
pub(super) const ON_AREA: RGBColor = RGBColor(0x00, 0x00, 0x00);
/// Lettering on [`BLUE`], [`VIOLET`] and [`GREY`].
pub(super) const ON_DEEP: RGBColor = RGBColor(0xFF, 0xFF, 0xFF);
/// A range, or what is of second rank among bars.
pub(super) const PALE: RGBColor = RGBColor(0xCE, 0xE7, 0xF6);

/// What the colours become on a dark page; those not named stay. The dark reading knows a colour by its value
/// alone, so that no two of this file may be equal unless they share their fate.
pub(super) const DARK: [(RGBColor, RGBColor); 11] = [
    (PAPER, RGBColor(0x14, 0x18, 0x1C)),
    (INK, RGBColor(0xEC, 0xEA, 0xE4)),
    (GREY, RGBColor(0xB3, 0xB8, 0xBD)),
    (HAIR, RGBColor(0x3A, 0x42, 0x49)),
    (BAND, RGBColor(0x26, 0x2D, 0x33)),
    // Okabe–Ito sky blue.
    (BLUE, RGBColor(0x56, 0xB4, 0xE9)),
    (BLUE_WORDS, RGBColor(0x7C, 0xC4, 0xEE)),
    (VERMILLION_WORDS, RGBColor(0xFF, 0x9D, 0x5C)),
    (ON_DEEP, RGBColor(0x0B, 0x0F, 0x13)),
    (PALE, RGBColor(0x1F, 0x4D, 0x6B)),
    (VIOLET, RGBColor(0xB8, 0xA8, 0xF2)),
];

/// Rows a picture shows at most; the table has them all.
pub(super) const MOST_ROWS: usize = 40;

/// A line: colour, width, and dashes if any.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pen {
    /// Colour.
    pub colour: RGBColor,
    /// Width.
    pub width: f64,
    /// Lengths of dash and gap; `None` draws a solid line.
    pub dashes: Option<(f64, f64)>,
}

impl Pen {
    /// A solid line.
    pub(super) const fn solid(colour: RGBColor, width: f64) -> Self {
        Self { colour, width, dashes: None }
    }

    /// A dashed line.
    pub(super) const fn dashed(colour: RGBColor, width: f64, dash: f64, gap: f64) -> Self {
        Self { colour, width, dashes: Some((dash, gap)) }
    }
}

/// Which point of the text lies at the given place (vertically always its middle).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hold {
    /// Its left end.
    Left,
    /// Its middle.
    Middle,
    /// Its right end.
    Right,
}

/// How a text is lettered.
#[derive(Debug, Clone, Copy)]
pub(super) struct Letter {
    /// Height of the em square.
    pub size: f64,
    /// Colour.
    pub colour: RGBColor,
    /// Bold or regular.
    pub bold: bool,
    /// What the given place means.
    pub hold: Hold,
}

impl Letter {
    /// Ordinary lettering.
    pub(super) const BODY: Self = Self { size: BODY, colour: INK, bold: false, hold: Hold::Left };
    /// Lettering of second rank.
    pub(super) const NOTE: Self = Self { size: BODY, colour: GREY, bold: false, hold: Hold::Left };
    /// Names of rows and panels.
    pub(super) const NAME: Self = Self { size: NAME, colour: INK, bold: true, hold: Hold::Left };
    /// The heading.
    pub(super) const HEADING: Self =
        Self { size: HEADING, colour: INK, bold: true, hold: Hold::Left };

    /// The same, held elsewhere.
    pub(super) const fn held(self, hold: Hold) -> Self {
        Self { hold, ..self }
    }

    /// The same in another colour.
    pub(super) const fn coloured(self, colour: RGBColor) -> Self {
        Self { colour, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_colour_with_a_dark_partner_is_like_no_other() {
        let steady = [ORANGE, GREEN, YELLOW, VERMILLION, PURPLE, NEW, NEW_RIM, ON_AREA];
        let changing = DARK.map(|(light, _)| light);
        for (i, c) in changing.iter().enumerate() {
            assert!(!steady.contains(c) && !changing[..i].contains(c), "{c:?}");
        }
    }
}
