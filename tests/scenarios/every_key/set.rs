//! A value set over those of a file equals the same value written in the file, for every key: one key over a file that
//! leaves it out or says something else, or the whole scenario over the bench, whatever the file's way of writing
//! tables; and the text with the values written into it reads to the same.

use super::row::BENCH;
use super::sheet::Sheet;
use super::{rows, rows_with_keys, told};
use farwheel::keys::Place;
use farwheel::scenario::model::Tables;
use farwheel::scenario::{read, read_with, set_in_text};

/// What the tables hold, without where it stands; or what they are refused for.
fn said(read: Result<Tables, farwheel::scenario::Mistakes>) -> Result<Tables, Vec<String>> {
    let mut tables =
        read.map_err(|m| m.list.into_iter().map(|m| m.what).collect::<Vec<String>>())?;
    tables.set.clear();
    for (_, written, _) in tables.tables_mut() {
        written.line = Place::Nowhere;
        written.lines.values_mut().for_each(|line| *line = Place::Nowhere);
        written.span = 0..0;
        written.spans.values_mut().for_each(|span| *span = 0..0);
    }
    for step in &mut tables.procedure.steps {
        step.line = Place::Nowhere;
    }
    for unusual in &mut tables.unusual {
        unusual.line = Place::Nowhere;
    }
    Ok(tables)
}

/// What differs where `settings` are set over each way of writing `base`, if anything.
fn differs(wanted: &Result<Tables, Vec<String>>, base: &Sheet, settings: &[String]) -> Vec<String> {
    let mut faults = Vec::new();
    for text in [base.text(), base.text_of_inline_tables(), base.text_of_dotted_keys()] {
        let set = said(read_with(&text, "set.toml", settings));
        if set != *wanted {
            faults.push(format!("{settings:?} gives {set:?}, not {wanted:?}, over\n{text}"));
        }
        let edited = set_in_text(&text, settings).unwrap_or_else(|| panic!("{settings:?}\n{text}"));
        let written = said(read(&edited, "set.toml"));
        if written != *wanted {
            faults.push(format!("{settings:?} is written as\n{edited}\ninto\n{text}"));
        }
    }
    faults
}

/// As it may be given to the program: a text without its quotes, where it is none of the words that TOML knows.
fn unquoted(setting: &str) -> Option<String> {
    let (key, value) = setting.split_once('=')?;
    let text = value.strip_prefix('"')?.strip_suffix('"')?;
    let plain = !text.is_empty() && !text.contains(['"', '\\']) && text.parse::<f64>().is_err();
    plain.then(|| format!("{key}={text}"))
}

#[test]
fn each_key_set_is_as_if_written() {
    let (mut faults, mut compared) = (Vec::new(), 0);
    for (row, key) in rows_with_keys(rows()) {
        for number in 0..row.values.len() {
            let sheet = row.scenario(&key, number);
            let wanted = said(read(&sheet.text(), "set.toml"));
            let set = |place: &String| Some(format!("{place}={}", sheet.at(place)?));
            let Some(settings) = row.places().iter().map(set).collect::<Option<Vec<String>>>()
            else {
                // Nothing can be set that leaves a key out.
                continue;
            };
            let mut without = sheet.clone();
            row.places().iter().for_each(|place| without.set(place, ""));
            let mut other = row.scenario(&key, (number + 1) % row.values.len());
            for (place, value) in sheet.entries() {
                // What goes with the value, such as the row's other value, is as in the file wanted.
                if !row.places().contains(&place) {
                    other.set(&place, value);
                }
            }
            let bare: Vec<String> =
                settings.iter().map(|s| unquoted(s).unwrap_or_else(|| s.clone())).collect();
            for base in [&without, &other] {
                faults.extend(differs(&wanted, base, &settings));
                faults.extend(differs(&wanted, base, &bare));
                compared += 1;
            }
        }
    }
    told(&faults);
    assert!(compared > 600, "only {compared} compared");
}

/// The row's whole scenario, its new parts and tables included, set over the bench key by key.
#[test]
fn a_scenario_set_over_another_is_as_if_written() {
    let bench = Sheet::new(BENCH);
    let (mut faults, mut compared) = (Vec::new(), 0);
    for (row, key) in rows_with_keys(rows()) {
        let sheet = row.scenario(&key, 0);
        let mut base = bench.clone();
        for (place, _) in bench.entries().filter(|(place, _)| sheet.at(place).is_none()) {
            base.set(&place, "");
        }
        let new = sheet.entries().filter(|(place, value)| base.at(place) != Some(*value));
        let settings: Vec<String> = new.map(|(place, value)| format!("{place}={value}")).collect();
        if !settings.is_empty() {
            faults.extend(differs(&said(read(&sheet.text(), "set.toml")), &base, &settings));
            compared += 1;
        }
    }
    told(&faults);
    assert!(compared > 100, "only {compared} compared");
}
