//! A key that stands in a template counts as if it stood in the part.

use super::ran::Ran;
use super::sheet::Sheet;
use super::{modulator, parts, rows_with_keys, told, valves};
use farwheel::scenario::model::Part;

/// The table with `kind` and this key moved to a template.
fn after_a_template(sheet: &Sheet, table: &str, key: &str) -> String {
    let mut after = sheet.clone();
    for moved in ["kind", key] {
        let value = sheet.get(table, moved).unwrap_or_default().to_owned();
        after.set(&format!("{table}.{moved}"), "");
        after.set(&format!("like.template.{moved}"), &value);
    }
    after.set(&format!("{table}.like"), "\"template\"");
    after.text()
}

#[test]
fn keys_in_a_template_count_as_in_a_part() {
    let mut faults = Vec::new();
    let mut seen = 0;
    for (row, key) in rows_with_keys([parts::rows(), valves::rows(), modulator::rows()].concat()) {
        let Some((table, name)) = row.place() else { continue };
        if ["from", "to", "bleeders"].contains(&name) || !table.starts_with("parts.") {
            continue;
        }
        seen += 1;
        let sheet = row.scenario(&key, row.values.len() - 1);
        let part = |text: &str| -> Part {
            let read = Ran::new(text);
            let parts = &read.scenario().parts;
            let own = parts.iter().find(|p| format!("parts.{}", p.name) == table);
            own.unwrap_or_else(|| panic!("no {table}")).clone()
        };
        let (here, there) = (part(&sheet.text()), part(&after_a_template(&sheet, &table, name)));
        if here.kind != there.kind || here.written.defaulted != there.written.defaulted {
            faults.push(format!("{}: {:?} in the part, {:?} in a template", row.key, here, there));
        }
    }
    assert!(seen > 80, "only {seen} keys");
    told(&faults);
}
