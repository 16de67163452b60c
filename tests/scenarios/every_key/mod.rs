//! Every key of a scenario file counts.
//!
//! The keys come from the program's own schema. Each has a row that says in which scenario it matters, two values or
//! more, and which figure moves which way. A key without a row fails, so does a row without a key, and a key that
//! moves nothing: the figure has to move by more than ten times its own error. Every quantity may carry a spread,
//! and one that stands alone is drawn.

mod figures;
mod modulator;
mod parts;
mod procedure;
mod ran;
mod row;
mod schema;
mod set;
mod sheet;
mod spread;
mod supplies;
mod tables;
mod template;
mod valves;

use ran::Ran;
use row::{Moves, Row};
use schema::{Form, Key};
use std::collections::BTreeMap;

fn rows() -> Vec<Row> {
    [
        tables::rows(),
        parts::rows(),
        valves::rows(),
        modulator::rows(),
        supplies::rows(),
        procedure::rows(),
    ]
    .concat()
}

/// Every row with its key; rows of keys that are none are told elsewhere.
fn rows_with_keys(rows: Vec<Row>) -> Vec<(Row, Key)> {
    let keys: BTreeMap<String, Key> =
        schema::keys().into_iter().map(|k| (k.path.clone(), k)).collect();
    rows.into_iter().filter_map(|r| keys.get(&r.key).map(|k| (r.clone(), k.clone()))).collect()
}

fn told(faults: &[String]) {
    assert!(faults.is_empty(), "{} of them:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_key_has_a_row_and_every_row_a_key() {
    let (keys, rows) = (schema::keys(), rows());
    assert!(keys.len() > 150, "only {} keys found", keys.len());
    let mut faults = Vec::new();
    for key in &keys {
        match rows.iter().filter(|r| r.key == key.path).count() {
            1 => {}
            n => faults.push(format!("key {} has {n} rows", key.path)),
        }
    }
    for row in rows.iter().filter(|r| keys.iter().all(|k| k.path != r.key)) {
        faults.push(format!("row {} is of no key", row.key));
    }
    told(&faults);
}

/// What is wrong with a row, if anything.
fn fault(row: &Row, key: &Key) -> Option<String> {
    if let Form::Words(words) = &key.form
        && words != row.values
    {
        return Some(format!("{}: values {:?}, where there are {words:?}", row.key, row.values));
    }
    let texts: Vec<String> = (0..row.values.len()).map(|i| row.scenario(key, i).text()).collect();
    let runs: Vec<Ran> = texts.iter().map(|t| Ran::new(t)).collect();
    let about = |i: usize| format!("{} = {:?} in\n{}", row.key, row.values[i], texts[i]);
    let (figure, sign) = match row.moves {
        Moves::Shows(reading, words) => {
            let read: Vec<String> = runs.iter().map(reading.of).collect();
            for (i, text) in read.iter().enumerate() {
                if let Some(word) = words.get(i).filter(|w| !text.contains(**w)) {
                    return Some(format!(
                        "{}: {} has no \"{word}\" with {}",
                        row.key,
                        reading.name,
                        about(i)
                    ));
                }
                if let Some(j) = read[..i].iter().position(|other| other == text) {
                    let values = (row.values[j], row.values[i]);
                    return Some(format!(
                        "{}: {} is the same with {values:?}, in\n{}",
                        row.key, reading.name, texts[i]
                    ));
                }
            }
            return None;
        }
        Moves::Up(figure) => (figure, 1.0),
        Moves::Down(figure) => (figure, -1.0),
    };
    if let Some(i) = runs.iter().position(|r| !r.refusal().is_empty()) {
        return Some(format!("{}\n{}", runs[i].refusal(), about(i)));
    }
    let at: Vec<f64> = runs.iter().map(figure.of).collect();
    let errors: Vec<f64> = runs.iter().map(figure.error).collect();
    (1..at.len()).find_map(|i| {
        let error = errors[i - 1].max(errors[i]);
        // Asked as "not above", so that what is no number counts as a fault.
        let moves = sign * (at[i] - at[i - 1]) > 10.0 * error;
        (!moves).then(|| {
            format!(
                "{}: {} is {} with {} and {} with {} (error {error:.2e}), but should {} by ten errors, in\n{}",
                row.key,
                figure.name,
                at[i - 1],
                row.values[i - 1],
                at[i],
                row.values[i],
                if sign > 0.0 { "rise" } else { "fall" },
                texts[i]
            )
        })
    })
}

/// Goes through a list of rows; one that panics is a fault like any other.
fn count(rows: Vec<Row>) {
    let rows = rows_with_keys(rows);
    let faults: Vec<String> = rows
        .iter()
        .filter_map(|(row, key)| {
            std::panic::catch_unwind(|| fault(row, key))
                .unwrap_or_else(|_| Some(format!("{}: panics, see above", row.key)))
        })
        .collect();
    told(&faults);
}

#[test]
fn keys_of_the_fixed_tables_count() {
    count(tables::rows());
}

#[test]
fn keys_of_parts_count() {
    count(parts::rows());
}

#[test]
fn keys_of_valves_count() {
    count(valves::rows());
}

#[test]
fn keys_of_the_modulator_count() {
    count(modulator::rows());
}

#[test]
fn keys_of_supplies_count() {
    count(supplies::rows());
}

#[test]
fn keys_of_the_procedure_count() {
    count(procedure::rows());
}

/// `min` and `max` stand for the marks of the bench's reservoir.
#[test]
fn marks_stand_for_their_volumes() {
    let levels: Vec<(Row, Key)> =
        rows_with_keys(rows()).into_iter().filter(|(_, key)| key.form == Form::Level).collect();
    assert!(levels.len() >= 3, "only {} levels", levels.len());
    for (row, key) in levels {
        let (Moves::Up(figure) | Moves::Down(figure)) = row.moves else { panic!("{}", row.key) };
        let at = |value: &str| {
            let value = row.written(&key, value);
            (figure.of)(&Ran::new(&row.sheet(&value, &value).text()))
        };
        assert_eq!(at("min"), at("30 mL"), "{}", row.key);
        assert_eq!(at("max"), at("60 mL"), "{}", row.key);
        assert_ne!(at("min"), at("max"), "{}", row.key);
    }
}
