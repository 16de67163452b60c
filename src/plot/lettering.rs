//! How wide a text is, and how to make it fit.
//!
//! Widths are measured with the fonts that letter the PNG; the SVG states them with each text, so that a viewer
//! that has to take another face sets it no wider. Room is planned with [`SLACK`] all the same.

use super::style::Letter;
use resvg::usvg::{self, fontdb};
use std::sync::{Arc, LazyLock};

/// Name of the face in the SVG, and what to take where it is missing.
pub(super) const FAMILY: &str = "Noto Sans, Segoe UI, Helvetica, Arial, sans-serif";
/// Room planned for a text over its measured width.
const SLACK: f64 = 1.05;
/// No text of a picture is longer than this, whatever a scenario says.
const LONGEST: usize = 160;

static FONTS: LazyLock<Arc<fontdb::Database>> = LazyLock::new(|| {
    let mut fonts = fontdb::Database::new();
    fonts.load_font_data(include_bytes!("../../assets/fonts/NotoSans-Regular.ttf").to_vec());
    fonts.load_font_data(include_bytes!("../../assets/fonts/NotoSans-Bold.ttf").to_vec());
    fonts.set_sans_serif_family("Noto Sans");
    Arc::new(fonts)
});

/// How an SVG of ours is read: with the embedded fonts only, never the machine's.
pub(super) fn reading() -> usvg::Options<'static> {
    usvg::Options {
        fontdb: FONTS.clone(),
        font_family: "Noto Sans".to_owned(),
        ..usvg::Options::default()
    }
}

/// Width to plan for `text`, in picture units.
pub(super) fn width(text: &str, letter: Letter) -> f64 {
    // A text of which no glyph is known still takes room.
    let guess = 0.6 * letter.size * text.chars().count() as f64;
    SLACK * measured(text, letter).filter(|w| *w > 0.0 || text.trim().is_empty()).unwrap_or(guess)
}

/// The width of `text` in the embedded face; `None` if it holds letters that this may lack.
pub(super) fn exact(text: &str, letter: Letter) -> Option<f64> {
    let known =
        |c: char| matches!(c, ' '..='~' | '\u{a0}'..='\u{17f}' | '–' | '…' | '“' | '”' | '’');
    let width = measured(text, letter).filter(|_| text.chars().all(known))?;
    (width > 0.0).then_some(width)
}

fn measured(text: &str, letter: Letter) -> Option<f64> {
    let weight = if letter.bold { "bold" } else { "normal" };
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='10' height='10'><text xml:space='preserve' \
         font-family='{FAMILY}' font-weight='{weight}' font-size='{}'>{}</text></svg>",
        letter.size,
        escaped(text)
    );
    let tree = usvg::Tree::from_str(&svg, &reading()).ok()?;
    Some(f64::from(tree.root().abs_bounding_box().width()))
}

/// `text` if it fits into `room`, else its beginning with "…".
pub(super) fn shortened(text: &str, letter: Letter, room: f64) -> String {
    let chars: Vec<char> = text.chars().take(LONGEST + 1).collect();
    let whole: String = chars.iter().collect();
    if chars.len() <= LONGEST && width(&whole, letter) <= room {
        return whole;
    }
    // The longest beginning that fits, by halving.
    let (mut fits, mut too_long) = (0, chars.len().min(LONGEST + 1));
    while fits + 1 < too_long {
        let half = usize::midpoint(fits, too_long);
        if width(&ending_in_dots(&chars[..half]), letter) <= room {
            fits = half;
        } else {
            too_long = half;
        }
    }
    ending_in_dots(&chars[..fits])
}

fn ending_in_dots(chars: &[char]) -> String {
    let mut text: String = chars.iter().collect();
    text.truncate(text.trim_end().len());
    text.push('…');
    text
}

/// `text` broken between words into lines that fit into `room`, at most `most` of them; what does not
/// fit into the last one ends in "…".
pub(super) fn wrapped(text: &str, letter: Letter, room: f64, most: usize) -> Vec<String> {
    let mut lines = Vec::new();
    // At spaces only: a no-break space keeps a figure and its unit together.
    let mut words = text.split(' ').filter(|w| !w.is_empty()).peekable();
    while words.peek().is_some() && lines.len() < most {
        if lines.len() + 1 == most {
            let rest = words.by_ref().collect::<Vec<_>>().join(" ");
            lines.push(shortened(&rest, letter, room));
            break;
        }
        let mut line = shortened(words.next().unwrap_or_default(), letter, room);
        while let Some(word) = words.peek() {
            let longer = format!("{line} {word}");
            if longer.chars().count() > LONGEST || width(&longer, letter) > room {
                break;
            }
            line = longer;
            words.next();
        }
        lines.push(line);
    }
    lines
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
