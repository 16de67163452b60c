//! The job card: one page to print and hang in the bay, as HTML that needs nothing else.

mod bars;
mod levels;
mod page;
mod phrases;
mod pushed;
mod rows;
mod rules;
mod stays;

pub use super::Wording;

use super::{Units, fonts};
use crate::study::job_card::JobCard;
use minijinja::Environment;
use minijinja::value::Serde;

/// The sheet that it is printed on.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Paper {
    /// Whatever the printer takes: one page on A4 and on Letter.
    #[default]
    Any,
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 in by 11 in.
    Letter,
}

/// How the card is written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Style {
    /// Units of pressure, and fluid ounces beside sums.
    pub units: Units,
    /// Words of the US or the UK.
    pub wording: Wording,
    /// The sheet.
    pub paper: Paper,
}

/// The line that tells the cards of one title from all other files.
///
/// # Errors
/// As [`render`].
pub fn title_line(title: &str) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    environment.add_template("title.html", TITLE)?;
    let title = page::title(title);
    environment.get_template("title.html")?.render(minijinja::context! { title => title })
}

const TITLE: &str = "<title>Job card: {{ title }}</title>";

/// The page. Text from the scenario is escaped, cleared of what acts instead of being seen, and shortened.
///
/// # Errors
/// If the template and the figures do not fit together: a mistake in this crate, not in a scenario.
pub fn render(card: &JobCard, style: Style) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(minijinja::UndefinedBehavior::Strict);
    // The ending .html is what makes it escape.
    environment.add_template("card.html", include_str!("card.html"))?;
    let page = page::Page::new(card, style);
    environment.get_template("card.html")?.render(minijinja::context! {
        fonts => fonts::faces(),
        title_line => title_line(&card.record.scenario.title)?,
        css => include_str!("card.css"),
        w => Serde(style.wording.words(card.spoken)),
        v => Serde(card.spoken),
        p => Serde(&page),
    })
}
