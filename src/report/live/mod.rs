//! The live page with a car in it. The page itself is kept built (`assets/live.html`, made by `live/make`); here a
//! scenario is put into it, and what shows where the page cannot run: verdict, map, table and questions as text.

mod turns;
mod words;

use super::figures::{lasting, minutes, percent, rounded, whole};
use super::wording::Words;
use super::{Units, Wording};
use crate::circuit::Scenario;
use crate::harmless;
use crate::job::record::{Record, WarningKind, in_units, with_set};
use crate::study::class::quiz::{Answer, Question, Quiz};
use minijinja::value::Serde;
use minijinja::{Environment, Error, ErrorKind};
use serde::Serialize;

/// The page without a car, as it is kept.
const PAGE: &str = include_str!("../../../assets/live.html");

/// Where the page begins.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Opens {
    /// The car from above, its wheels buttons.
    #[default]
    Try,
    /// A bleeder in the hand.
    Open,
    /// For a class.
    Class,
    /// What the car is.
    Car,
}

/// How the page is written, and where it begins.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Style {
    /// Units of temperature, and fluid ounces beside sums.
    pub units: Units,
    /// Words of the US or the UK.
    pub wording: Wording,
    /// The view at which it begins.
    pub opens: Opens,
}

/// What the page is to run, and what was worked out for where it cannot.
#[derive(Debug, Clone, Copy)]
pub struct Car<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Its own job.
    pub record: &'a Record,
    /// Questions about it.
    pub quiz: &'a Quiz,
    /// The scenario's text, with everything in it that was asked for beside it.
    pub text: &'a str,
    /// What its file is called.
    pub file: &'a str,
    /// The car from above, as SVG.
    pub map: &'a str,
}

/// What the page's script is given.
#[derive(Debug, Serialize)]
struct Held<'a> {
    text: &'a str,
    file: &'a str,
    view: Opens,
    lang: &'a str,
    us: bool,
}

/// The page. Text from the scenario is escaped; where it shows without the script it is cleared of what acts instead of
/// being seen, and shortened.
///
/// # Errors
/// If page, template and figures do not fit together: a mistake in this crate, not in a scenario.
pub fn render(car: &Car<'_>, style: Style) -> Result<String, Error> {
    let spoken = car.scenario.vehicle.spoken();
    let w = &style.wording.words(spoken);
    let own = car.record;
    let held = Held {
        text: car.text,
        file: car.file,
        view: style.opens,
        lang: w.lang,
        us: style.units == Units::Us,
    };
    let held = serde_json::to_string(&held)
        .map_err(|why| Error::new(ErrorKind::BadSerialization, why.to_string()))?;
    let mut environment = Environment::new();
    environment.set_undefined_behavior(minijinja::UndefinedBehavior::Strict);
    // The ending .html is what makes it escape.
    environment.add_template("title.html", "<title>{{ title }} · Farwheel</title>")?;
    environment.add_template("without.html", include_str!("without.html"))?;
    let title = words::title(&car.scenario.title);
    let head = environment
        .get_template("title.html")?
        .render(minijinja::context! { title => title.as_str() })?;
    let without = environment.get_template("without.html")?.render(minijinja::context! {
        title,
        w => Serde(w),
        v => Serde(spoken),
        set => with_set(&car.scenario.set),
        supply => words::shown(&own.supply),
        map => car.map,
        verdict => verdict(own, style.units),
        turns => Serde(turns::turns(own)),
        questions => Serde(car.quiz.questions.iter().map(|q| answered(q, w)).collect::<Vec<_>>()),
        stops => texts(own, true, style.units),
        dry => own.warnings.iter().any(|w| w.kind == WarningKind::SupplyRanDry),
        warnings => texts(own, false, style.units),
    })?;
    put(&[
        ("<html lang=\"en-US\">", &format!("<html lang=\"{}\">", w.lang)),
        ("<title>Farwheel</title>", &head),
        ("<!-- what was worked out -->", &without),
        ("id=\"car\">null<", &format!("id=\"car\">{}<", quoted(&held))),
    ])
}

/// A question with its answer, in the words of the trade.
fn answered(question: &Question, w: &Words) -> (String, String) {
    let answer = match &question.answer {
        Answer::Amount(a) if a.too_close => "Too close to tell.".to_owned(),
        Answer::Choice(c) if c.too_close => "Too close to tell.".to_owned(),
        Answer::Amount(a) => {
            format!("{} {}.", rounded(a.value, usize::from(a.value.abs() < 10.0)), a.unit)
        }
        Answer::Choice(c) => format!("{}.", c.options.get(c.right).map_or("", String::as_str)),
    };
    let said = |text: &str| harmless(&text.replace("bleeder", w.bleeder));
    (said(&question.asks), said(&format!("{answer} {}", question.reason)))
}

/// The kept page with each of these places, which follow one another, filled.
fn put(places: &[(&str, &str)]) -> Result<String, Error> {
    let (mut page, mut rest) = (String::with_capacity(PAGE.len() + 200_000), PAGE);
    for (place, filling) in places {
        let missing = || Error::new(ErrorKind::InvalidOperation, format!("no `{place}` in it"));
        let (before, after) = rest.split_once(place).ok_or_else(missing)?;
        page += before;
        page += filling;
        rest = after;
    }
    Ok(page + rest)
}

/// What the job comes to, in a sentence.
fn verdict(record: &Record, units: Units) -> String {
    let (t, left) = (&record.totals, &record.left);
    format!(
        "Takes {} of new fluid and {} in the bay, with fluid running for {}; leaves {} of old fluid, {} % of all that is in the system.",
        whole(t.new_fluid_ml, units),
        minutes(t.bay_seconds),
        lasting(t.flow_seconds),
        whole(left.old_ml, units),
        percent(left.old_fraction)
    )
}

/// What the record warns of, as far as it stops the job or does not.
fn texts(record: &Record, stopping: bool, units: Units) -> Vec<String> {
    let warnings = record.warnings.iter().filter(|w| w.stops_the_job() == stopping);
    warnings.map(|w| in_units(&crate::harmless(&w.text), units)).collect()
}

/// JSON that may stand in a script element: nothing in it can end that, or begin another.
fn quoted(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        match c {
            '<' | '>' | '&' | '\u{2028}' | '\u{2029}' => {
                out.push_str(&format!("\\u{:04x}", u32::from(c)));
            }
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn data_cannot_end_their_script() {
        let json = serde_json::to_string("</script><!--\u{2028}&").expect("a text");
        let safe = quoted(&json);
        assert!(!safe.contains(['<', '>', '&', '\u{2028}']), "{safe}");
        let back: String = serde_json::from_str(&safe).expect("still JSON");
        assert_eq!(back, "</script><!--\u{2028}&");
    }
}
