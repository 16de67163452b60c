//! The CSV file: columns `job`, `car`, `technician`, `at`, `when`, `what`, `value`, `error` in any order; whatever other
//! columns it has are the shop's own.

use super::Job;
use super::table::Table;
use crate::keys::Bound;
use crate::keys::bounds;
use crate::keys::worded::Word;
use crate::measures::{KPA, ML, to_celsius};
use crate::scenario::mistake::{Diagnostics, Wrong};
use crate::scenario::{Mistakes, quantity_text, suggest};
use crate::study::learn::{Reading, What, When};
use std::ops::Range;
use std::path::Path;

const NEEDED: [&str; 6] = ["job", "car", "at", "when", "what", "value"];

/// Reads the rows; those of one job need not stand together.
pub(super) fn read(
    text: &str,
    file: &str,
    table: &Table,
    beside: &Path,
) -> Result<Vec<Job>, Mistakes> {
    let mut diagnostics = Diagnostics::new(file, text);
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).from_reader(text.as_bytes());
    let broken = |diagnostics: &mut Diagnostics<'_>, why: &csv::Error| {
        let at = why.position().map_or(0, byte);
        let what = match why.kind() {
            csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
                format!("this row has {len} columns, the first {expected_len}")
            }
            _ => why.to_string(),
        };
        diagnostics.add(
            at..at,
            what,
            "put a comma between two columns, and quotes around what holds one",
        );
    };
    let header = match reader.headers() {
        Ok(header) => header.clone(),
        Err(why) => {
            broken(&mut diagnostics, &why);
            return Err(diagnostics.close());
        }
    };
    let column = |name: &str| header.iter().position(|h| h.eq_ignore_ascii_case(name));
    for name in NEEDED.iter().filter(|n| column(n).is_none()) {
        diagnostics.add(
            0..0,
            format!("there is no column `{name}`"),
            format!("name the columns in the first row: {}, technician, error", NEEDED.join(", ")),
        );
    }
    let mut jobs: Vec<Job> = Vec::new();
    for row in reader.records() {
        if !diagnostics.clean() && header.len() < NEEDED.len() {
            break;
        }
        let row = match row {
            Ok(row) => row,
            Err(why) => {
                broken(&mut diagnostics, &why);
                continue;
            }
        };
        let place = place(text, row.position());
        let cell = |name: &str| column(name).and_then(|c| row.get(c)).unwrap_or("");
        let reading = match reading(&cell, table) {
            Ok(reading) => reading,
            Err(wrong) => {
                diagnostics.add_wrong(place, wrong);
                continue;
            }
        };
        let Some(car) = table.cars.get(cell("car")) else {
            let known = table.cars.keys().map(String::as_str);
            diagnostics.add(
                place,
                format!("`[cars]` names no car `{}`", cell("car")),
                suggest::remedy(cell("car"), known, "known words"),
            );
            continue;
        };
        let car = match Path::new(car).extension() {
            Some(_) => beside.join(car),
            None => car.into(),
        };
        let (name, technician) = (cell("job").to_owned(), cell("technician").to_owned());
        match jobs.iter_mut().find(|j| j.name == name) {
            Some(job) if job.car != car || job.technician != technician => diagnostics.add(
                place,
                format!("job `{name}` is of another car or technician here than above"),
                "give every job a name of its own",
            ),
            Some(job) => {
                job.readings.push(reading);
                job.places.push(place);
            }
            None => {
                jobs.push(Job {
                    name,
                    car,
                    technician,
                    readings: vec![reading],
                    places: vec![place],
                });
            }
        }
    }
    if jobs.is_empty() && diagnostics.clean() {
        diagnostics.add(0..0, "there is no reading in it", "write one in a row below the first");
    }
    if diagnostics.clean() { Ok(jobs) } else { Err(diagnostics.close()) }
}

#[allow(clippy::cast_possible_truncation)] // a file is at most some megabytes
fn byte(position: &csv::Position) -> usize {
    position.byte() as usize
}

/// The line that a row begins on.
fn place(text: &str, position: Option<&csv::Position>) -> Range<usize> {
    let from = position.map_or(0, byte).min(text.len());
    // A row's place is where the one before it ended.
    let from = from + text[from..].len() - text[from..].trim_start().len();
    from..from + text[from..].lines().next().map_or(0, str::len)
}

fn reading<'c>(cell: &impl Fn(&str) -> &'c str, table: &Table) -> Result<Reading, Wrong> {
    let what: What = word(cell("what"), "what")?;
    let when: When = word(cell("when"), "when")?;
    if cell("job").is_empty() {
        return Err(Wrong::new(
            "the reading belongs to no job",
            "name the job in its first column",
        ));
    }
    let (at_least, text) = capped(cell("value"));
    if at_least && what != What::Drained {
        return Err(Wrong::new(
            format!("{what} is not closed by a cap"),
            "write the figure without `>=`",
        ));
    }
    let value = value_of(what, text)?;
    let error = match cell("error") {
        "" => {
            let stated = table.errors.iter().find(|(w, _)| *w == what).map(|(_, e)| *e);
            stated.unwrap_or_else(|| what.usual_error(value))
        }
        text => error_of(what, text)?,
    };
    Ok(Reading { at: cell("at").to_owned(), when, what, value, at_least, error })
}

/// A word of a column.
fn word<W: Word + Default>(text: &str, column: &str) -> Result<W, Wrong> {
    if text.eq_ignore_ascii_case("copper strip") || text.eq_ignore_ascii_case("copper") {
        return Err(Wrong::new(
            "a copper strip tells of corrosion inhibitors, not of water or boiling point",
            "leave the row out; a boiling-point tester's figure is `boiling`, a water tester's `water`",
        ));
    }
    let mut chosen = W::default();
    let Some(index) = chosen.all().iter().position(|w| w.eq_ignore_ascii_case(text)) else {
        return Err(Wrong::new(
            format!("`{text}` is nothing that column `{column}` may hold"),
            suggest::remedy(text, chosen.all().iter().copied(), "known words"),
        ));
    };
    chosen.choose(index);
    Ok(chosen)
}

/// Whether a figure is a least one: the bleeder was closed by its cap.
fn capped(text: &str) -> (bool, &str) {
    let cut = ["≥", ">=", "at least"].iter().find_map(|mark| text.strip_prefix(mark));
    cut.map_or((false, text), |rest| (true, rest.trim()))
}

/// A figure in the unit of readings.
fn value_of(what: What, text: &str) -> Result<f64, Wrong> {
    let si = |bound: &Bound| -> Result<f64, Wrong> {
        let read = quantity_text::parse(text, bound)?;
        match read.spread {
            None => Ok(read.value),
            Some(_) => Err(Wrong::new(
                "the value has a spread",
                "write what follows ± into the column `error`",
            )),
        }
    };
    Ok(match what {
        What::Drained => si(&bounds::DRAINED)? / ML,
        What::LeftInVessel => si(&bounds::BOTTLE)? / ML,
        What::Level => si(&bounds::LEVEL)? / ML,
        What::Seconds => si(&bounds::OPEN_TIME)?,
        What::Gauge => si(&bounds::GAUGE)? / KPA,
        What::Boiling => to_celsius(si(&bounds::BOILING_POINT)?),
        What::Water => 100.0 * si(&bounds::WATER)?,
        What::Colour => si(&bounds::OLD_FRACTION)?,
        What::PadWear => si(&bounds::PAD_WEAR)?,
    })
}

/// A standard deviation in the unit of readings.
pub(super) fn error_of(what: What, text: &str) -> Result<f64, Wrong> {
    let si = |bound: &Bound| quantity_text::parse(text, bound).map(|q| q.value);
    let error = match what {
        What::Drained | What::LeftInVessel | What::Level => si(&bounds::SMALL_VOLUME)? / ML,
        What::Seconds => si(&bounds::TASK)?,
        What::Gauge => si(&bounds::CRACKING)? / KPA,
        // A difference, not a temperature.
        What::Boiling => kelvins(text)?,
        What::Water => 100.0 * si(&bounds::SHARE)?,
        What::Colour | What::PadWear => si(&bounds::SHARE)?,
    };
    match error > 0.0 {
        true => Ok(error),
        false => Err(Wrong::new(
            "no reading is exact",
            "give the standard deviation of its error, above 0",
        )),
    }
}

fn kelvins(text: &str) -> Result<f64, Wrong> {
    let number = ["K", "°C"].iter().find_map(|unit| text.trim().strip_suffix(unit));
    number
        .and_then(|n| n.trim().parse::<f64>().ok())
        .filter(|k| (0.0..=200.0).contains(k))
        .ok_or_else(|| {
            Wrong::new(format!("\"{text}\" is no difference of temperature"), "write it as \"8 K\"")
        })
}
