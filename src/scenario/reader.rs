//! From the text of a scenario file to a checked [`Tables`].

use std::fs::File;
use std::io::Read;
use std::ops::Range;
use std::path::Path;

use toml::de::DeTable;

use super::consistency;
use super::fixed_tables::{read_table, read_title};
use super::graph;
use super::joints;
use super::limits::{LARGEST_FILE, MOST_OUTLETS, MOST_SETTINGS};
use super::misplaced;
use super::mistake::{Diagnostics, Mistakes};
use super::model::Tables;
use super::modulators;
use super::parts;
use super::procedure::Procedure;
use super::quantity_text;
use super::section::{Section, Value};
use super::sections;
use super::settings::Laid;
use super::steps;
use super::supplies;
use super::syntax;
use super::tables;
use super::templates::names_of_templates;
use super::unknown_keys;
use super::unusual;
use super::{derived, derived_water};
use crate::fluid::declared::WATER_BY_PLACE;
use crate::fluid::grade::{Family, grade};
use crate::keys::{Place, bounds};

/// Reads a scenario from a file.
///
/// # Errors
/// If the file can't be read, is larger than [`LARGEST_FILE`] or is not UTF-8, or for the mistakes
/// that [`read`] finds.
pub fn read_file(path: &Path) -> Result<Tables, Mistakes> {
    read_bytes(&file_bytes(path)?, &path.display().to_string())
}

/// The bytes of a file; of one that is too large, enough to tell.
///
/// # Errors
/// If the file can't be read.
pub(crate) fn file_bytes(path: &Path) -> Result<Vec<u8>, Mistakes> {
    let name = path.display().to_string();
    let failed = |e: std::io::Error| {
        Mistakes::about_file(
            &name,
            format!("the file can't be read: {e}"),
            "check the path, and that the file may be read",
        )
    };
    let file = File::open(path).map_err(failed)?;
    let mut bytes = Vec::new();
    // One byte more than allowed tells a file that is too large, a pipe included.
    file.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(failed)?;
    Ok(bytes)
}

/// Reads a scenario from bytes that may not be text; `file` is what messages call it.
///
/// # Errors
/// As [`read_file`].
pub fn read_bytes(bytes: &[u8], file: &str) -> Result<Tables, Mistakes> {
    read_bytes_with(bytes, file, NOTHING_SET)
}

/// As [`read_bytes`] with values set over those of the file, as [`read_with`].
///
/// # Errors
/// As [`read_file`] and [`read_with`].
pub fn read_bytes_with(
    bytes: &[u8],
    file: &str,
    settings: &[impl AsRef<str>],
) -> Result<Tables, Mistakes> {
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(too_large(file));
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => read_with(text, file, settings),
        Err(e) => {
            let lossy = String::from_utf8_lossy(bytes);
            let mut diagnostics = Diagnostics::new(file, &lossy);
            // Everything before the first bad byte is kept as it was.
            let at = e.valid_up_to();
            diagnostics.add(
                at..at + char::REPLACEMENT_CHARACTER.len_utf8(),
                "here the file is not UTF-8 text",
                "save it as UTF-8 with a text editor",
            );
            Err(diagnostics.close())
        }
    }
}

fn too_large(file: &str) -> Mistakes {
    Mistakes::about_file(
        file,
        "the file is larger than 1 MB",
        "a scenario takes a few kilobytes; check that this is the right file",
    )
}

/// What a scenario was read from, for what is found wrong once it is read.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source<'a> {
    /// What messages call the file.
    pub(crate) file: &'a str,
    /// Its text.
    pub(crate) text: &'a str,
    /// What was set over it.
    pub(crate) set: &'a [String],
}

impl Source<'_> {
    /// A single mistake about a place: its bytes, or where there are none, all of the line or of what was set; of
    /// nowhere, the end of the file, where what is missing may be added.
    pub(crate) fn mistake(
        self,
        (place, span): (Place, Range<usize>),
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Mistakes {
        let settings: Vec<&str> = self.set.iter().map(String::as_str).collect();
        let laid = Laid::new(self.text, &settings);
        let mut diagnostics =
            Diagnostics::with_settings(self.file, &laid.text, laid.starts.clone());
        let span = match (span.is_empty(), place) {
            (false, _) => span,
            (true, Place::Nowhere) => diagnostics.end(),
            (true, Place::Line(line)) => diagnostics.content(line),
            (true, Place::Set(number)) => {
                let start = laid.starts.get(number - 1).copied().unwrap_or_default();
                start..start + settings.get(number - 1).map_or(0, |s| s.len())
            }
        };
        diagnostics.add(span, what, remedy);
        diagnostics.close()
    }
}

/// Reads a scenario from text; `file` is what messages call it.
///
/// # Errors
/// With every mistake found: syntax first (if that is wrong, nothing else is looked at), then each
/// table by its description, then what the parts say together.
pub fn read(text: &str, file: &str) -> Result<Tables, Mistakes> {
    read_with(text, file, NOTHING_SET)
}

const NOTHING_SET: &[&str] = &[];

/// Reads a scenario from text with values set over those that it holds: each `settings` is `key=value`, the key as a
/// dotted key of the file, the value as it would stand there or a text without its quotes.
///
/// # Errors
/// As [`read`]; what is wrong with something set stands in it.
pub fn read_with(text: &str, file: &str, settings: &[impl AsRef<str>]) -> Result<Tables, Mistakes> {
    if text.len() as u64 > LARGEST_FILE {
        return Err(too_large(file));
    }
    let settings: Vec<&str> = settings.iter().map(AsRef::as_ref).collect();
    let size: usize = settings.iter().map(|s| s.len()).sum();
    if settings.len() > MOST_SETTINGS || size as u64 > LARGEST_FILE {
        return Err(Mistakes::about_file(
            file,
            format!("{} values of {size} bytes are set over those of the file", settings.len()),
            format!("set {MOST_SETTINGS} at most, of 1 MB, or write them into a file"),
        ));
    }
    let laid = Laid::new(text, &settings);
    let mut diagnostics = Diagnostics::with_settings(file, &laid.text, laid.starts.clone());
    if is_blank(text) {
        diagnostics.add(
            0..0,
            "the file holds no scenario",
            "start from one of the scenarios that come with the program",
        );
        return Err(diagnostics.close());
    }
    let (document, errors) = DeTable::parse_recoverable(text);
    if syntax::report(&mut diagnostics, text, &errors) {
        return Err(diagnostics.close());
    }
    let mut top = document.into_inner();
    laid.put(&mut diagnostics, &mut top);
    let scenario = assemble(&mut diagnostics, &top, file);
    match scenario {
        Some(scenario) if diagnostics.clean() => {
            Ok(Tables { set: settings.into_iter().map(str::to_owned).collect(), ..scenario })
        }
        _ => Err(diagnostics.close()),
    }
}

fn is_blank(text: &str) -> bool {
    text.trim_start_matches('\u{feff}')
        .lines()
        .all(|l| l.trim().is_empty() || l.trim_start().starts_with('#'))
}

fn assemble(diagnostics: &mut Diagnostics<'_>, top: &DeTable<'_>, file: &str) -> Option<Tables> {
    if misplaced::report(diagnostics, top) {
        return None;
    }
    unknown_keys::refuse_unknown(diagnostics, top, "a scenario", tables::TOP, &[]);
    let title = read_title(diagnostics, top);
    let described = read_table(diagnostics, top, &tables::DESCRIBED);
    let vehicle = read_table(diagnostics, top, &tables::VEHICLE);
    let mut old = read_table(diagnostics, top, &tables::OLD_FLUID);
    if old.spans.contains_key("water") {
        // Who gives one figure means it for all the fluid.
        for key in WATER_BY_PLACE.iter().filter(|k| !old.spans.contains_key(*k)) {
            old.section.remove(key);
        }
    }
    let mut new = read_table(diagnostics, top, &tables::NEW_FLUID);
    water_of_the_family(&mut old.section, true);
    water_of_the_family(&mut new.section, false);
    derived_water::water(diagnostics, &mut old);
    let mut reservoir = read_table(diagnostics, top, &tables::RESERVOIR);
    let mut master = read_table(diagnostics, top, &tables::MASTER_CYLINDER);
    derived::chambers(diagnostics, &vehicle, &mut master);
    let clear_hose = read_table(diagnostics, top, &tables::CLEAR_HOSE);
    let (parts, whole) = parts::read_parts(diagnostics, top.get("like"), top.get("parts"));
    // A misspelt table has been told already.
    if !top.contains_key("parts") && !sections::misspelt("parts", &[top]) {
        diagnostics.add(
            diagnostics.end(),
            "the file has no `[parts]`",
            "add `[parts]` with the lines, hoses and calipers from the master cylinder outwards",
        );
    } else if parts.is_empty() && diagnostics.clean() {
        let at = top.get("parts").map_or(0..0, |n| n.span());
        diagnostics.add(
            at,
            "`[parts]` is empty",
            "add the lines, hoses and calipers from the master cylinder outwards",
        );
    }
    let supplies = supplies::read_supplies(diagnostics, top);
    if supplies.is_empty() && diagnostics.clean() {
        let at = top.get("supplies").map_or(0..0, |n| n.span());
        diagnostics.add(
            at,
            "`[supplies]` is empty: nothing pushes the fluid",
            "add for instance `gravity = { kind = \"gravity\" }` below it",
        );
    }
    for (placed, key) in [(&master, "chambers"), (&reservoir, "outlets")] {
        let count = placed.names.get(key).map_or(0, Vec::len);
        if count > MOST_OUTLETS {
            diagnostics.add(
                placed.span(key),
                format!("`{key}` lists {count} names"),
                format!("{MOST_OUTLETS} are the most that is read"),
            );
        }
    }
    let mut chambers = master.names.get("chambers").cloned().unwrap_or_default();
    let outlets = &mut reservoir.section;
    if !reservoir.spans.contains_key("outlets") {
        let names = chambers.iter().map(|c| c.name.clone()).collect();
        outlets.values.insert("outlets", Value::Names(names));
        outlets.written.defaulted.push("outlets");
    }
    derived::marks(diagnostics, &vehicle, &mut reservoir);
    let mut procedure = steps::read_procedure(diagnostics, top, &reservoir.section);

    consistency::check_vehicle(diagnostics, &vehicle);
    consistency::check_fluids(diagnostics, &old, &new);
    consistency::check_reservoir(diagnostics, &reservoir, &chambers, (&parts, whole));
    consistency::check_centre_valve(diagnostics, &master);
    consistency::check_clear_hose(diagnostics, &clear_hose);
    // What was dropped would be missed by everything that refers to it: false alarms.
    let whole = whole && !chambers.is_empty() && !parts.is_empty();
    let outlets = reservoir.names.get("outlets").map_or(&[][..], Vec::as_slice);
    if outlets.len() > 1 {
        let further: Vec<_> =
            outlets.iter().filter(|o| chambers.iter().all(|c| c.name != o.name)).cloned().collect();
        chambers.extend(further);
    }
    if whole && graph::check(diagnostics, &chambers, &parts, &names_of_templates(top)) {
        joints::check(diagnostics, &parts);
        modulators::check(diagnostics, &parts);
        consistency::check_named(diagnostics, &procedure, &parts);
    }
    consistency::check_counts(diagnostics, &procedure, &parts);
    consistency::check_levels(diagnostics, &procedure, &reservoir);
    if let Some(only) = consistency::check_supply(diagnostics, &procedure.placed, &supplies) {
        let section = &mut procedure.placed.section;
        section.values.insert("supply", Value::Text(only));
        section.written.defaulted.push("supply");
    }
    let mut tables = Tables {
        title: title?,
        file: file.to_owned(),
        set: Vec::new(),
        described: described.section.into_table(),
        vehicle: vehicle.section.into_table(),
        old_fluid: old.section.into_table(),
        new_fluid: new.section.into_table(),
        reservoir: reservoir.section.into_table(),
        master_cylinder: master.section.into_table(),
        parts: parts.into_iter().map(parts::RawPart::into_part).collect(),
        supplies: supplies.into_iter().map(supplies::RawSupply::into_supply).collect(),
        clear_hose: clear_hose.section.into_table(),
        procedure: Procedure {
            tasks: procedure.placed.section.into_table(),
            steps: procedure.steps.into_iter().map(|s| s.step).collect(),
        },
        unusual: Vec::new(),
    };
    tables.unusual = unusual::found(&mut tables);
    Some(tables)
}

/// Puts the family's own default in place of the table's, which holds for glycol fluids.
fn water_of_the_family(fluid: &mut Section, old: bool) {
    let family = fluid.text("grade").and_then(grade).map(|g| g.family);
    let Some((of_old, of_new)) = family.and_then(Family::default_water) else { return };
    let text = if old { of_old } else { of_new };
    // Of one family in all places: what a table says of single ones is of glycol.
    for key in WATER_BY_PLACE {
        if fluid.written.defaulted.contains(&key) {
            fluid.remove(key);
        }
    }
    if fluid.written.defaulted.contains(&"water")
        && let Ok(water) = quantity_text::parse(text, &bounds::WATER)
    {
        fluid.values.insert("water", Value::Quantity(water));
    }
}
