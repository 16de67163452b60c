//! A spread on any quantity is drawn, and a draw does what the value written would do.

use super::ran::Ran;
use super::row::{Moves, Row};
use super::schema::Key;
use super::{rows, rows_with_keys, told};
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::study::chance::unknowns::{Uncertain, Unknown};
use farwheel::study::progress::Nobody;
use farwheel::study::spread::{self, LEAST_DRAWS, Question};

/// The draw `u` of the unknowns of these numbers, all others in their middle.
fn drawn(uncertain: &Uncertain, numbers: &[usize], u: f64) -> Scenario {
    uncertain.draw(|k| if numbers.contains(&k) { u } else { 0.5 }).expect("a circuit")
}

/// Keys whose spread goes into those of others and is drawn there: how many follow, and whether they rise with it.
const SOURCES: [(&str, usize, f64); 6] = [
    ("part.caliper.pistons", 2, 1.0),
    ("part.two-bleeder caliper.pistons", 2, 1.0),
    ("master_cylinder.bore", 1, 1.0),
    ("old_fluid.tested_water", 3, 1.0),
    ("old_fluid.tested_boiling", 3, -1.0),
    ("old_fluid.age", 3, 1.0),
];

/// Whether the key of a row is drawn itself.
fn is_drawn(row: &Row, uncertain: &Uncertain) -> bool {
    let spoken = row.key.replace('_', " ");
    let (of, key) = spoken.rsplit_once('.').unwrap_or(("", &spoken));
    let name = if of.contains('.') { format!("{key} of ") } else { format!("{key} of {of}") };
    uncertain.unknowns.iter().any(|u| u.name.starts_with(&name))
}

/// What is drawn of what the caliper holds.
pub fn first_drawn(scenario: &Scenario) -> Unknown {
    let mut found = Uncertain::new(scenario, None).unknowns.into_iter();
    found.find(|u| u.name.starts_with("new pads")).expect("a spread of new pads")
}

/// Numbers of the unknowns that `other` does not have.
fn beside(one: &Uncertain, other: &Uncertain) -> Vec<usize> {
    let there =
        |u: &Unknown| other.unknowns.iter().any(|o| o.name == u.name && o.quantity == u.quantity);
    (0..one.unknowns.len()).filter(|i| !there(&one.unknowns[*i])).collect()
}

/// The ends of a row that a spread goes between, the smaller first.
fn ends(row: &Row) -> (&'static str, &'static str) {
    let last = row.values[row.values.len() - 1];
    match number_of(row.values[0]) <= number_of(last) {
        true => (row.values[0], last),
        false => (last, row.values[0]),
    }
}

/// SI as far as it takes to tell which is more.
fn number_of(text: &str) -> f64 {
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let factor = match unit {
        "h" => 3600.0,
        "min" => 60.0,
        "L" => 1000.0,
        _ => 1.0,
    };
    factor * number.parse::<f64>().unwrap_or_else(|_| panic!("{text}"))
}

/// An end of the range within which draws are made that the reader would refuse.
fn drawn_but_not_read(row: &Row, key: &Key, unknown: &Unknown) -> Option<String> {
    let bound = unknown.bound;
    let unit = bound.dimension.units().next().expect("a unit");
    [bound.min, bound.max].into_iter().find_map(|end| {
        let value = format!("{} {}", unit.number_from_si(end), unit.name);
        let value = row.written(key, value.trim());
        let refusal = Ran::new(&row.sheet(&value, &value).text()).refusal();
        let beyond = ["too large for", "too small for", "negative"];
        beyond
            .iter()
            .any(|word| refusal.contains(word))
            .then(|| format!("{}: {value} may be drawn, but {refusal}", row.key))
    })
}

fn fault(row: &Row, key: &Key) -> Option<String> {
    let (low, high) = ends(row);
    let text = row.spread(key, low, high).text();
    let spread = Ran::new(&text);
    if !spread.refusal().is_empty() {
        return Some(format!("{}: {}\n{text}", row.key, spread.refusal()));
    }
    let known = row.sheet(&row.written(key, low), &row.written(key, high)).text();
    let uncertain = Uncertain::new(spread.scenario(), None);
    let found = beside(&uncertain, &Uncertain::new(Ran::new(&known).scenario(), None));
    let source = SOURCES.iter().find(|(key, ..)| *key == row.key);
    if found.len() != source.map_or(1, |(_, follow, _)| *follow) {
        let count = found.len();
        return Some(format!("{}: {count} unknowns more with a spread in\n{text}", row.key));
    }
    let unknown = &uncertain.unknowns[found[0]];
    if source.is_some() {
        if is_drawn(row, &uncertain) {
            return Some(format!("{}: drawn beside what follows from it, in\n{text}", row.key));
        }
    } else if let Some(wrong) = drawn_but_not_read(row, key, unknown) {
        return Some(wrong);
    }
    let question = Question { draws: LEAST_DRAWS, sensitivities: false, ..Question::default() };
    match spread::study(spread.scenario(), &question, &Options::default(), &Nobody) {
        Err(why) => return Some(format!("{}: {why} in\n{text}", row.key)),
        Ok(study) if study.matters.iter().all(|m| m.quantity != unknown.name) => {
            return Some(format!("{}: {} is not among the unknowns", row.key, unknown.name));
        }
        Ok(_) => {}
    }
    // What is drawn moves what the value moves, and the same way.
    let (figure, sign) = match row.moves {
        Moves::Up(figure) => (figure, 1.0),
        Moves::Down(figure) => (figure, -1.0),
        Moves::Shows(..) => return None,
    };
    let rising = number_of(row.values[0]) < number_of(row.values[row.values.len() - 1]);
    let at = |u: f64| (figure.of)(&Ran::of(drawn(&uncertain, &found, u)));
    let (few, many) = (at(0.01), at(0.99));
    let sign = sign * source.map_or(1.0, |(_, _, rises)| *rises);
    let moves = sign * (many - few) * if rising { 1.0 } else { -1.0 } > 0.0;
    (!moves).then(|| {
        format!(
            "{}: {} is {few} at a low draw, {many} at a high one, in\n{text}",
            row.key, figure.name
        )
    })
}

#[test]
fn a_spread_on_any_quantity_is_drawn() {
    let quantities = rows_with_keys(rows()).into_iter();
    let quantities: Vec<(Row, Key)> = quantities
        .filter(|(_, key)| key.may_spread() && !key.path.starts_with("spread."))
        .collect();
    assert!(quantities.len() > 100, "only {} quantities", quantities.len());
    let faults: Vec<String> = quantities
        .iter()
        .filter_map(|(row, key)| {
            std::panic::catch_unwind(|| fault(row, key))
                .unwrap_or_else(|_| Some(format!("{}: panics, see above", row.key)))
        })
        .collect();
    told(&faults);
}
