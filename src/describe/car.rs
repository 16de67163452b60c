//! The scenario that answers make.

use super::brakes::{max_m3, of_taken_up};
use super::given::Answers;
use super::layout::Layout;
use super::lines::{Lines, Mark, figure, guessed, quoted, share, within};
use super::taken::{MASTER_CYLINDER, is_replaced, kind, modulator, split, supply_of};
use crate::keys::Quantity;
use crate::measures::{MM, PSI, to_celsius, to_ml};
use crate::portable;
use crate::scenario::mistake::Wrong;
use crate::scenario::vehicle_kind::VehicleKind;
use std::collections::BTreeMap;

/// A scenario made of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Described {
    /// Its text.
    pub text: String,
    /// The lines that hold a guess, from 1, each with the reason.
    pub guesses: BTreeMap<usize, String>,
}

/// Smallest step of what is loaded, and what is loaded beyond twice what the system holds, mL.
const LOAD_STEP_ML: f64 = 500.0;
const LOAD_MORE_ML: f64 = 100.0;
/// No bleeder is left open for more than this many times what the system holds.
const MOST_DRAINED: f64 = 1.5;
/// Spread of MAX where nobody read it, and where it was read.
const MAX_GUESSED: f64 = 0.40;
const MAX_READ: f64 = 0.04;
/// Spread of MIN as a share of MAX.
const MIN_OFF: f64 = 0.20;

/// The scenario.
///
/// # Errors
/// If no circuit comes of the answers.
pub fn describe(answers: &Answers) -> Result<Described, Wrong> {
    // What it holds tells how much to load and where to stop: so it is written twice, the first time without either.
    let first = write(answers, None);
    let scenario = crate::circuit::read(&first.0, "described.toml").map_err(|m| {
        let first =
            m.list.first().map_or_else(String::new, |m| format!("{}: {}", m.what, m.remedy));
        Wrong::new(format!("no car comes of these answers: {first}"), "change one of them")
    })?;
    let (text, marks) = write(answers, Some(to_ml(scenario.circuit().capacity_m3())));
    let guess = |(line, mark): (usize, Mark)| match mark {
        Mark::Read => None,
        Mark::Guessed(why) => Some((line, why)),
    };
    Ok(Described { text, guesses: marks.into_iter().filter_map(guess).collect() })
}

fn write(answers: &Answers, holds_ml: Option<f64>) -> (String, BTreeMap<usize, Mark>) {
    let mut out = Lines::default();
    let layout = Layout::new(answers);
    head(answers, &mut out);
    vehicle(answers, &mut out);
    fluids(answers, &mut out);
    let level_ml = reservoir(answers, &mut out);
    master_cylinder(answers, &mut out);
    clear_hose(answers, &mut out);
    layout.templates(&mut out);
    layout.parts(&mut out);
    supplies(answers, &mut out, holds_ml);
    procedure(answers, &mut out, &layout, (level_ml, holds_ml));
    out.into_text()
}

fn head(answers: &Answers, out: &mut Lines) {
    let mut title = match answers.known("kind") {
        Some(kind) => format!("{kind}, as described"),
        None => format!("vehicle, taken as a {}", kind(answers).words()),
    };
    if let Some(first) = title.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    out.line(&format!("title = \"{title}\""));
    out.line("# Each value says whether it was read at the vehicle or guessed, and why; ± holds nine in ten. `farwheel describe` with");
    out.line("# this file asks again what was guessed; what it does not ask, write here in place of the guess (then it is not described");
    out.line("# over any more). Stands under the vehicle; the maker's instructions come before any of this.");
    out.line("[described]");
    let all: Vec<String> = answers.written().iter().map(|a| quoted(a)).collect();
    if !all.is_empty() {
        out.line(&format!("answers = [{}]", all.join(", ")));
    }
}

fn read_or(answered: bool, why: &str) -> Mark {
    if answered { Mark::Read } else { guessed(why) }
}

fn vehicle(answers: &Answers, out: &mut Lines) {
    let motorcycle = kind(answers) == VehicleKind::Motorcycle;
    out.line("[vehicle]");
    out.marked(
        &format!("kind = {}", quoted(kind(answers).words())),
        read_or(answers.known("kind").is_some(), "nobody said what it is"),
    );
    if !motorcycle {
        out.marked(
            &format!("steering = {}", quoted(answers.known("steering").unwrap_or("left"))),
            read_or(answers.known("steering").is_some(), "nobody said"),
        );
        if let Some(split) = split(answers) {
            let known = matches!(answers.known("split"), Some("front/rear" | "diagonal"));
            out.marked(
                &format!("split = {}", quoted(split.words())),
                read_or(known, "usual for its kind"),
            );
        }
    }
    match answers.quantity("temperature") {
        Some(q) => out.marked(
            &format!(
                "temperature = {}",
                as_answered(answers, "temperature", q, to_celsius(q.value), "°C", 2.0)
            ),
            Mark::Read,
        ),
        None => {
            out.marked("temperature = \"20 °C ± 8 °C\"", guessed("a bay between winter and summer"))
        }
    }
    if let Some(limit) = answers.known("limit") {
        out.marked(&format!("gauge_limit = {}", quoted(limit)), Mark::Read);
    }
}

/// A value as it was answered, with a spread if none was said.
fn as_answered(
    answers: &Answers,
    id: &str,
    q: Quantity,
    value: f64,
    unit: &str,
    half: f64,
) -> String {
    match (q.spread, answers.known(id)) {
        (Some(_), Some(text)) => quoted(text),
        _ => within(value, unit, half),
    }
}

fn fluids(answers: &Answers, out: &mut Lines) {
    let grade = answers.known("grade").unwrap_or("DOT 4");
    out.line("[old_fluid]");
    out.marked(
        &format!("grade = {}", quoted(grade)),
        read_or(answers.known("grade").is_some(), "what most systems hold"),
    );
    if let (Some(tester), Some(shows)) =
        (answers.known("tester").filter(|t| *t != "none"), answers.known("tested"))
    {
        let at = answers.known("tested_at");
        let degrees =
            crate::scenario::quantity_text::parse(shows, &crate::keys::bounds::WATER).is_err();
        let key = if degrees { "tested_boiling" } else { "tested_water" };
        out.marked(&format!("{key} = {}", quoted(shows)), Mark::Read);
        out.line(&format!("tester = {}", quoted(tester)));
        out.marked(
            &format!("tested_at = {}", quoted(at.unwrap_or("reservoir"))),
            read_or(at.is_some(), "where most are dipped"),
        );
    }
    if let Some(age) = answers.known("age") {
        out.marked(&format!("age = {}", quoted(age)), Mark::Read);
    }
    out.line("[new_fluid]");
    let known = answers.known("new_grade");
    out.marked(
        &format!("grade = {}", quoted(known.unwrap_or(grade))),
        read_or(known.is_some(), "as the old"),
    );
}

/// `[reservoir]`; what is in it, mL.
fn reservoir(answers: &Answers, out: &mut Lines) -> f64 {
    let usual = kind(answers).usual();
    let read = answers.quantity("max");
    let max = to_ml(read.map_or_else(|| max_m3(answers), |q| q.value));
    let min = usual.min_of_max * max;
    let (share_of_marks, half) = match answers.known("level") {
        Some("over MAX") => (1.12, 0.08),
        Some("MAX") => (1.0, 0.06),
        Some("between") => (0.5, 0.3),
        Some("MIN") => (0.0, 0.06),
        _ => (0.6, 0.45),
    };
    let level = (min + share_of_marks * (max - min)).min(0.97 * usual.brim_of_max * max);
    let of_max = if read.is_some() { MAX_READ } else { MAX_GUESSED };
    // A level by a mark is as little known as the mark.
    let spread = portable::hypot(of_max * level, half * (max - min));
    out.line("[reservoir]");
    let told = answers.known("level");
    let why = "nobody looked, and MAX in mL is a guess too";
    let mark = match (told, read) {
        (Some(_), Some(_)) => Mark::Read,
        (Some(at), None) => guessed(&format!(
            "read at \"{at}\", but how many mL that is, is a guess: find MAX in mL"
        )),
        (None, _) => guessed(why),
    };
    out.marked(&format!("level = {}", within(level, "mL", spread)), mark);
    out.marked(
        &format!("min = {}", share(min, "mL", portable::hypot(of_max, MIN_OFF))),
        guessed(&format!("{} of MAX", usual.min_of_max)),
    );
    let why = format!("{} times what the brakes take up as pads wear", of_taken_up(answers));
    out.marked(
        &format!("max = {}", share(max, "mL", of_max)),
        if read.is_some() { Mark::Read } else { guessed(&why) },
    );
    out.marked(&format!("height = \"{} m\"", usual.reservoir_m), guessed("usual for its kind"));
    level
}

fn master_cylinder(answers: &Answers, out: &mut Lines) {
    out.line("[master_cylinder]");
    let usual = kind(answers).usual();
    let (bore, mark, half) = match answers.quantity("master_bore") {
        Some(q) => (q.value, Mark::Read, 0.01),
        None => (usual.master_m.0, guessed("usual for its kind"), 0.05),
    };
    out.marked(&format!("bore = {}", share(bore / MM, "mm", half)), mark);
    if is_replaced(answers, MASTER_CYLINDER) {
        out.marked("replaced = true", Mark::Read);
    }
}

fn clear_hose(answers: &Answers, out: &mut Lines) {
    out.line("[clear_hose]");
    let (percent, half, mark) = match answers.known("clean") {
        Some("like new") => (10.0, 3.0, Mark::Read),
        Some("faint tint") => (20.0, 3.0, Mark::Read),
        Some(_) => (30.0, 3.0, Mark::Read),
        None => (20.0, 10.0, guessed("eyes and light differ")),
    };
    out.marked(&format!("threshold = \"{percent} % ± {half} %\""), mark);
}

fn supplies(answers: &Answers, out: &mut Lines, holds_ml: Option<f64>) {
    out.line("[supplies]");
    let supply = supply_of(answers);
    let more = match supply {
        "pressure bleeder" => {
            let gauge = gauge_pa(answers);
            let answered = answers.quantity("loaded").map(|q| to_ml(q.value));
            let enough = holds_ml.map_or(10_000.0, |ml| {
                LOAD_STEP_ML * ((2.0 * ml + LOAD_MORE_ML) / LOAD_STEP_ML).ceil()
            });
            let loaded = answered.unwrap_or(enough);
            let shell = (1.5 * loaded / 1000.0).max(4.5);
            // In the feed hose there is air, which on a small reservoir reaches the outlet.
            let full = match kind(answers) {
                VehicleKind::Motorcycle => ", feed_hose_holds = \"new fluid\"",
                _ => "",
            };
            format!(
                ", loaded = \"{} mL\", gauge = \"{} psi ± 1 psi\", re_pump_below = \"{} psi\", shell = \"{} L\"{full}",
                figure(loaded),
                figure(gauge / PSI),
                figure(gauge / PSI / 1.5),
                figure(shell)
            )
        }
        "vacuum" => ", vacuum = \"20 inHg\"".to_owned(),
        _ => String::new(),
    };
    let known = answers.known("gauge").is_some() && answers.known("loaded").is_some();
    let mark = match supply {
        "pressure bleeder" => {
            read_or(known, "15 psi unless the maker allows less, and enough to load")
        }
        _ => read_or(answers.known("supply").is_some(), "the usual tool"),
    };
    out.marked(&format!("\"{supply}\" = {{ kind = \"{supply}\"{more} }}"), mark);
}

/// What the gauge reads, Pa: unless answered 15 psi, or what the maker allows if that is less.
fn gauge_pa(answers: &Answers) -> f64 {
    let limit = answers.quantity("limit").map_or(f64::INFINITY, |q| q.value);
    answers.quantity("gauge").map_or((15.0 * PSI).min(limit), |q| q.value)
}

fn procedure(
    answers: &Answers,
    out: &mut Lines,
    layout: &Layout<'_>,
    (level_ml, holds_ml): (f64, Option<f64>),
) {
    out.line("[procedure]");
    let supply = supply_of(answers);
    out.line(&format!("supply = {}", quoted(supply)));
    let mut before: Vec<String> = Vec::new();
    if answers.is("syringe", "yes") {
        let leave = (0.15 * level_ml).max(1.0);
        before.push(format!("{{ syringe = \"{} mL\" }}", figure(leave)));
        before.push("{ top_up = \"max\" }".to_owned());
    }
    if supply == "pressure bleeder" {
        before.push(format!("{{ re_pump = \"{} psi\" }}", figure(gauge_pa(answers) / PSI)));
    }
    if !before.is_empty() {
        out.line(&format!("before = [{}]", before.join(", ")));
    }
    let open: Vec<String> = layout.bleeders().iter().map(|b| quoted(b)).collect();
    let side = if modulator(answers) { "unit_side" } else { "reservoir_side" };
    let told = answers.known(side).is_some() || kind(answers) == VehicleKind::Motorcycle;
    let mark = match told {
        true => Mark::Read,
        false => guessed(&format!("far wheel first, but nobody answered {side}")),
    };
    out.marked(&format!("open = [{}]", open.join(", ")), mark);
    let most = holds_ml.map_or(String::new(), |ml| {
        format!(", at most {} mL", 50.0 * (MOST_DRAINED * ml / 50.0).ceil())
    });
    out.line(&format!("until = \"clean{most}\""));
}
