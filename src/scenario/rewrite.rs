//! The text of a scenario with another procedure in it.

use super::tables::STEP_LISTS;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// The `[procedure]` table of a scenario's text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// From its head to the end of its last line.
    place: Range<usize>,
    /// Each key that holds no steps, as it is written: name and value.
    pub keys: Vec<(String, String)>,
    /// Each entry of `before`, `steps` and `after` as it is written, in this order.
    pub steps: Vec<String>,
}

/// Finds the table; `None` if it does not stand under a head `[procedure]` of its own.
pub fn written(text: &str) -> Option<Written> {
    let (document, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        return None;
    }
    let DeValue::Table(table) = document.get_ref().get("procedure")?.get_ref() else {
        return None;
    };
    let heads = text.split_inclusive('\n').scan(0, |at, line| {
        let from = *at;
        *at += line.len();
        Some((from, line))
    });
    let inside: Vec<Range<usize>> = table.iter().map(|(_, v)| v.span()).collect();
    let (first, last) =
        (inside.iter().map(|s| s.start).min()?, inside.iter().map(|s| s.end).max()?);
    let is_head = |line: &str| {
        line.trim_start()
            .strip_prefix('[')
            .and_then(|rest| rest.trim_start().strip_prefix("procedure"))
            .is_some_and(|rest| rest.trim_start().starts_with(']'))
    };
    let head = heads.filter(|(at, line)| *at <= first && is_head(line)).last()?.0;
    let end = text[last..].find('\n').map_or(text.len(), |n| last + n + 1);
    let slice = |span: Range<usize>| text[span].to_owned();
    let mut keys: Vec<(usize, String, String)> = Vec::new();
    for (key, value) in table.iter() {
        let name = key.get_ref().to_string();
        if !STEP_LISTS.contains(&name.as_str()) && name != "passes" {
            keys.push((value.span().start, name, slice(value.span())));
        }
    }
    keys.sort();
    let mut steps = Vec::new();
    for list in ["before", "steps", "after"] {
        if let Some(DeValue::Array(items)) = table.get(list).map(|n| n.get_ref()) {
            steps.extend(items.iter().map(|i| slice(i.span())));
        }
    }
    let keys = keys.into_iter().map(|(_, name, value)| (name, value)).collect();
    Some(Written { place: head..end, keys, steps })
}

/// The text with this in place of its `[procedure]` table; `None` if more than that table would change.
pub fn with_procedure(text: &str, written: &Written, procedure: &str) -> Option<String> {
    let Range { start, end } = written.place;
    let out = format!("{}{}{}", &text[..start], procedure, &text[end..]);
    let rest = |text: &str| {
        let mut table: toml::Table = toml::from_str(text).ok()?;
        table.remove("procedure");
        Some(table)
    };
    (rest(text)? == rest(&out)?).then_some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_procedure_changes() {
        let text = "a = 1\n[procedure] # how\nsupply = \"x\"\nbefore = [{ wait = \"3 s\" }]\nopen = [\n \"R\"]\nuntil = \"clean\" # gone\n\n[parts]\nb = 2 # stays\n";
        let w = written(text).expect("a table of its own");
        assert_eq!(w.keys, [("supply".to_owned(), "\"x\"".to_owned())]);
        assert_eq!(w.steps, ["{ wait = \"3 s\" }"]);
        let out = with_procedure(text, &w, "[procedure]\nsteps = []\n").expect("nothing else");
        assert_eq!(out, "a = 1\n[procedure]\nsteps = []\n\n[parts]\nb = 2 # stays\n");
        assert_eq!(written("procedure = { open = [\"R\"] }\n"), None);
    }
}
