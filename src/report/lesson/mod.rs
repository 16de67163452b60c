//! The lesson: a page that shows the job moving. One file of HTML that asks for nothing else.

mod comparison;
mod data;
mod questions;
mod rows;
mod words;

use super::figures::rounded;
use super::{Units, Wording, fonts};
use crate::job::record::{Record, WarningKind, in_units, with_set};
use crate::study::lesson::Lesson;
use data::Data;
use minijinja::Environment;
use minijinja::value::Serde;

/// The page. Text from the scenario is escaped, cleared of what acts instead of being seen, and shortened.
///
/// # Errors
/// If template and figures do not fit together, or there is no film: a mistake in this crate, not in a
/// scenario.
pub fn render(lesson: &Lesson, wording: Wording) -> Result<String, minijinja::Error> {
    render_in(lesson, wording, Units::Metric)
}

/// As [`render`], in these units.
///
/// # Errors
/// As [`render`].
pub fn render_in(
    lesson: &Lesson,
    wording: Wording,
    units: Units,
) -> Result<String, minijinja::Error> {
    let w = &wording.words(lesson.spoken);
    let missing = || minijinja::Error::new(minijinja::ErrorKind::UndefinedError, "no film");
    let film = lesson.runs.first().and_then(|r| r.record.film.as_ref()).ok_or_else(missing)?;
    let data = serde_json::to_string(&Data::new(lesson, film, w, units)).map_err(|why| {
        minijinja::Error::new(minijinja::ErrorKind::BadSerialization, why.to_string())
    })?;
    let own = &lesson.runs[0].record;
    let mut environment = Environment::new();
    environment.set_undefined_behavior(minijinja::UndefinedBehavior::Strict);
    // The ending .html is what makes it escape.
    environment.add_template("lesson.html", include_str!("lesson.html"))?;
    environment.get_template("lesson.html")?.render(minijinja::context! {
        fonts => fonts::faces(),
        css => include_str!("lesson.css"),
        w => Serde(w),
        v => Serde(lesson.spoken),
        scripts => [include_str!("film.js"), include_str!("paint.js"), include_str!("instruments.js"), include_str!("lesson.js")],
        data => quoted(&data),
        title => words::title(&lesson.title),
        set => with_set(&lesson.set),
        supply => words::shown(&own.supply),
        labels => lesson.runs.iter().map(|r| words::label(&r.named)).collect::<Vec<_>>(),
        far => lesson.far_first.first().map(|f| words::shown(&f.bleeder)),
        far_ml => lesson.far_first.first().map(|f| rounded(f.path_ml, 0)),
        comparisons => Serde(comparison::comparisons(&lesson.runs, w)),
        questions => Serde(questions::all(lesson, w, units)),
        stops => texts(own, true, units),
        dry => own.warnings.iter().any(|w| w.kind == WarningKind::SupplyRanDry),
        warnings => texts(own, false, units),
    })
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
