//! What readings tell.

use super::figures::{self, capital, rounded};
use super::grid::{self, Grid, Set};
use super::sheet::{Cell, Rows};
use super::{Report, Sheet, View};
use crate::harmless;
use crate::keys::units::Dimension;
use crate::measures::{ML, MM, to_celsius, to_kpa};
use crate::study::learn::{Compared, Learned, Range, Told, Unknown, What};
use Set::{Figures, Words};

/// As many of the next readings are told where not every table is wanted.
const NEXT: usize = 4;

impl Report for Learned {
    fn blocks(&self, view: View) -> Vec<String> {
        let mut blocks = vec![head(self, view), readings(self, view), unknowns(self, view)];
        blocks.push(next(self, view));
        blocks
    }

    fn csv(&self) -> Option<Sheet> {
        Some(csv(self))
    }
}

fn head(answer: &Learned, view: View) -> String {
    let title = figures::shortened(&harmless(&answer.title), usize::from(view.width));
    let mut said = vec![together(answer)];
    let (before, after) = (answer.aim.before, answer.aim.after);
    let range = |r: Range| format!("{} to {}", rounded(r.p10, 0), rounded(r.p90, 0));
    said.push(format!(
        "{} of this job: {} {} in eight of ten, {} before.",
        capital(answer.of.words()),
        range(after),
        answer.of.unit(),
        range(before),
    ));
    grid::heading(&title)
        + &grid::with_set(&answer.set, view.width)
        + &grid::verdict(&learned(answer), view.width)
        + &grid::paragraph(&said.join(" "), view.width, 0)
}

/// Whether readings and scenario go together.
fn together(answer: &Learned) -> String {
    let told = &answer.contradiction;
    let Some(p) = told.p else { return "No reading can be held against the scenario.".to_owned() };
    let often = match p {
        p if p < 0.001 => "less than one in a thousand such jobs".to_owned(),
        p => format!(
            "{} of 100 such jobs",
            rounded((100.0 * p).max(0.1), if p < 0.1 { 1 } else { 0 })
        ),
    };
    let Some(blamed) = &told.blames else {
        return format!(
            "The readings go together with the scenario: in {often} they would lie as far off or farther. \
             (A reservoir that was not as full as written seldom shows in readings.)"
        );
    };
    let outside = answer.readings.iter().find(|r| (r.what, &r.at) == (blamed.what, &blamed.at));
    let wrong = outside.and_then(|r| r.likely_cause.as_ref()).map_or(String::new(), |c| {
        let side = if c.larger { "larger" } else { "smaller" };
        format!(", perhaps in {}, which would be {side}", harmless(&c.quantity))
    });
    format!(
        "These readings CONTRADICT the scenario: they lie as far off in {often}. Least of all goes {} at {} with the others, \
         {} than they say by {} deviations: either it was misread, or the scenario is wrong{wrong}.",
        blamed.what,
        harmless(&blamed.at),
        if blamed.off > 0.0 { "more" } else { "less" },
        rounded(blamed.off.abs(), 1),
    )
}

/// What was learned, in words.
fn learned(answer: &Learned) -> String {
    let eye = answer.unknowns.iter().find(|u| u.is_the_eye());
    let of_the_eye = match eye {
        Some(u) if u.learned() => format!(
            "The eye accepts {} ± {} % of old fluid.",
            rounded(100.0 * u.told.after.p50, 0),
            rounded(50.0 * (u.told.after.p90 - u.told.after.p10), 0)
        ),
        Some(_) => "Of the eye nothing was learned yet.".to_owned(),
        None => String::new(),
    };
    let others: Vec<String> = (answer.unknowns.iter())
        .filter(|u| u.learned() && !u.is_the_eye())
        .take(3)
        .map(|u| harmless(&u.quantity))
        .collect();
    let of_the_car = match others.as_slice() {
        [] => "About the car nothing yet.".to_owned(),
        all => format!("Something was learned of {}.", all.join(", ")),
    };
    format!("{of_the_eye} {of_the_car}").trim().to_owned()
}

fn readings(answer: &Learned, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("reading", Words),
            ("read", Figures),
            ("by the scenario\n10 / 50 / 90 %", Figures),
            ("eight in ten", Words),
            ("likely cause", Words),
        ],
    );
    for r in &answer.readings {
        let shown = |x: f64| rounded(r.what.spoken(x), digits(r.what));
        let p = &r.predicted;
        let range = [p.predicted_p10, p.predicted_p50, p.predicted_p90].map(shown).join(" / ");
        let at_least = if r.at_least { "at least " } else { "" };
        grid.row([
            words_of(r),
            format!("{at_least}{} {}", shown(r.measured), r.what.unit()),
            range,
            if r.inside() { "inside" } else { "outside" }.to_owned(),
            r.likely_cause.as_ref().map_or(String::new(), |c| {
                format!("{} {}", if c.larger { "larger" } else { "smaller" }, harmless(&c.quantity))
            }),
        ]);
    }
    grid::heading("Readings beside the scenario") + &grid.text()
}

fn words_of(r: &Compared) -> String {
    harmless(&format!(
        "{} {} {}",
        r.at,
        r.what,
        if r.when.words() == "close" { "" } else { r.when.words() }
    ))
    .trim()
    .to_owned()
}

fn digits(what: What) -> usize {
    match what {
        What::Gauge | What::Water => 1,
        _ => 0,
    }
}

fn unknowns(answer: &Learned, view: View) -> String {
    let told = answer.unknowns.iter().filter(|u| view.details || u.learned());
    let mut grid = Grid::new(
        view.width,
        &[
            ("what nobody measures", Words),
            ("before\n10 / 50 / 90 %", Figures),
            ("after\n10 / 50 / 90 %", Figures),
            ("left of\nits width", Figures),
        ],
    );
    let mut some = false;
    for u in told {
        some = true;
        grid.row([
            harmless(&u.quantity),
            range(u, |t| t.before),
            range(u, |t| t.after),
            format!("{} %", rounded(100.0 * u.told.share_of_prior, 0)),
        ]);
    }
    let heading = grid::heading("What was learned");
    if some {
        return heading + &grid.text();
    }
    heading
        + &grid::paragraph(
            "Nothing yet: the readings are such as the scenario foretells anyway.",
            view.width,
            0,
        )
}

/// Three quantiles in a usual unit.
fn range(u: &Unknown, of: impl Fn(&Told) -> Range) -> String {
    let r = of(&u.told);
    let (unit, from_si): (&str, fn(f64) -> f64) = match u.dimension {
        Dimension::Volume => (" mL", |si| si / ML),
        Dimension::Length if u.written < 0.5 => (" mm", |si| si / MM),
        Dimension::Length => (" m", |si| si),
        Dimension::Pressure => (" kPa", to_kpa),
        Dimension::Temperature => (" °C", to_celsius),
        Dimension::Time => (" s", |si| si),
        Dimension::Share => (" %", |si| 100.0 * si),
        _ => ("", |si| si),
    };
    let figures = [r.p10, r.p50, r.p90].map(from_si);
    let most = figures.iter().fold(0.0, |m: f64, x| m.max(x.abs()));
    let digits = if most < 10.0 {
        2
    } else if most < 100.0 {
        1
    } else {
        0
    };
    format!("{}{unit}", figures.map(|x| rounded(x, digits)).join(" / "))
}

fn next(answer: &Learned, view: View) -> String {
    let mut grid = Grid::new(
        view.width,
        &[
            ("reading", Words),
            ("good to", Figures),
            ("would leave", Figures),
            ("tells, nats", Figures),
        ],
    );
    let most = if view.details { usize::MAX } else { NEXT };
    for n in answer.next.iter().take(most) {
        grid.row([
            harmless(&n.reading),
            format!(
                "± {} {}",
                rounded(n.what.spoken(n.error), digits(n.what).max(1)),
                n.what.unit()
            ),
            format!("{} %", rounded(100.0 * n.share_of_prior, 0)),
            rounded(n.nats, 2),
        ]);
    }
    let below = format!(
        "Would leave: of what was open about {} before any reading; now {} %.",
        answer.of.words(),
        rounded(100.0 * answer.aim.share_of_prior, 0)
    );
    grid::heading("What to read next at such a job")
        + &grid.text()
        + &grid::paragraph(&below, view.width, 0)
}

/// One long table, a row a figure.
///
/// | column | holds |
/// | --- | --- |
/// | `about` | `reading`, `unknown`, `next`, `aim`, `total` |
/// | `name` | the reading in words, the unknown, what the next reading is to narrow down; empty for `total` |
/// | `quantity` | what it is, by its name in the JSON |
/// | `unit` | unit of `value`: that of the reading, SI of an unknown, empty for shares and counts |
/// | `value` | the figure; empty if there is none |
fn csv(answer: &Learned) -> Sheet {
    let mut out = Rows::new(["about", "name", "quantity", "unit", "value"])?;
    let mut row = |about: &str, name: &str, quantity: &str, unit: &str, value: Cell| {
        out.add([about.into(), name.into(), quantity.into(), unit.into(), value])
    };
    let quantiles = |told: &Told| {
        let of = |r: Range| [r.p10, r.p50, r.p90];
        let names =
            ["before_p10", "before_p50", "before_p90", "after_p10", "after_p50", "after_p90"];
        names.into_iter().zip([of(told.before), of(told.after)].concat())
    };
    for r in &answer.readings {
        let p = &r.predicted;
        for (quantity, value) in [
            ("measured", r.measured),
            ("predicted_p10", p.predicted_p10),
            ("predicted_p50", p.predicted_p50),
            ("predicted_p90", p.predicted_p90),
        ] {
            let unit =
                if r.what.unit() == "%" && r.what != What::Water { "" } else { r.what.unit() };
            row("reading", &words_of(r), quantity, unit, value.into())?;
        }
    }
    for (quantity, value) in quantiles(&answer.aim) {
        row("aim", answer.of.words(), quantity, answer.of.unit(), value.into())?;
    }
    for u in &answer.unknowns {
        for (quantity, value) in quantiles(&u.told) {
            row("unknown", &u.quantity, quantity, "SI", value.into())?;
        }
        row("unknown", &u.quantity, "share_of_prior", "", u.told.share_of_prior.into())?;
    }
    for n in &answer.next {
        row("next", &n.reading, "share_of_prior", "", n.share_of_prior.into())?;
        row("next", &n.reading, "nats", "", n.nats.into())?;
    }
    row("total", "", "p", "", answer.contradiction.p.into())?;
    row("total", "", "pareto_k", "", answer.diagnostics.pareto_k.into())?;
    row("total", "", "effective_draws", "", answer.diagnostics.effective_draws.into())?;
    row("total", "", "runs", "", answer.diagnostics.runs.into())?;
    out.finish()
}
