//! Names of parts, chambers, bleeders and supplies, each with its place.

use std::ops::Range;

use toml::de::DeValue;

use super::limits::{LONGEST_NAME, MOST_NAMES};
use super::mistake::Diagnostics;
use super::sections::{Named, Node, short, what_is};
use crate::keys::harmless::acts;

/// Reads one name or a list of names, each with its place.
pub(crate) fn names(
    diagnostics: &mut Diagnostics<'_>,
    node: &Node<'_>,
    key: &str,
) -> Option<Vec<Named>> {
    match node.get_ref() {
        DeValue::String(s) => name(diagnostics, s, node.span()).map(|n| vec![n]),
        DeValue::Array(list) if list.len() > MOST_NAMES => {
            diagnostics.add(
                node.span(),
                format!("`{key}` lists {} names", list.len()),
                format!("a list may hold {MOST_NAMES} at most"),
            );
            None
        }
        DeValue::Array(list) => {
            if list.is_empty() {
                diagnostics.add(
                    node.span(),
                    format!("`{key}` is an empty list"),
                    "write at least one name",
                );
                return None;
            }
            let mut out: Vec<Named> = Vec::new();
            let mut good = true;
            for item in list.iter() {
                let DeValue::String(s) = item.get_ref() else {
                    diagnostics.add(
                        item.span(),
                        format!("`{key}` holds {}, but names are wanted", what_is(item.get_ref())),
                        format!("write names in double quotes, for instance {}", example(key)),
                    );
                    good = false;
                    continue;
                };
                match name(diagnostics, s, item.span()) {
                    Some(n) if out.iter().any(|o| o.name == n.name) => {
                        diagnostics.add(
                            n.span,
                            format!("`{}` stands twice in `{key}`", n.name),
                            "name it once",
                        );
                        good = false;
                    }
                    Some(n) => out.push(n),
                    None => good = false,
                }
                if diagnostics.full() {
                    return None;
                }
            }
            good.then_some(out)
        }
        other => {
            diagnostics.add(
                node.span(),
                format!("`{key}` is {}, but a name or a list of names is wanted", what_is(other)),
                format!("write names in double quotes, for instance {}", example(key)),
            );
            None
        }
    }
}

/// A line that would do for a key that holds names.
pub(crate) fn example(key: &str) -> String {
    let value = match key {
        "chambers" | "outlets" => "[\"primary\", \"secondary\"]",
        "from" => "\"line RR\"",
        "to" => "\"tee\"",
        "bleeders" => "[\"LF inner\", \"LF outer\"]",
        "first_circuit" => "[\"hose LF\"]",
        "work_modulator" => "\"unit\"",
        _ => "[\"RR\", \"LR\"]",
    };
    format!("{key} = {value}")
}

/// Checks that a text can serve as a name. Names are found and told apart by every character, and shown without those
/// that are not seen and with plain spaces: were these let through, two parts could bear one name to the eye.
pub(crate) fn name(
    diagnostics: &mut Diagnostics<'_>,
    text: &str,
    span: Range<usize>,
) -> Option<Named> {
    let wrong = if text.trim().is_empty() {
        "a name is empty".to_owned()
    } else if text.trim() != text {
        format!("the name \"{}\" begins or ends with a space", short(text))
    } else if let Some(c) = text.chars().find(|c| c.is_whitespace() && *c != ' ') {
        let code = u32::from(c);
        format!(
            "the name \"{}\" holds U+{code:04X}, a white space that is no plain space",
            short(text)
        )
    } else if let Some(c) = text.chars().find(|c| acts(*c)) {
        let code = u32::from(c);
        format!("the name \"{}\" holds U+{code:04X}, a character that is not seen (·)", short(text))
    } else if text.contains("  ") {
        format!("the name \"{}\" holds two spaces in a row", short(text))
    } else if text.chars().nth(LONGEST_NAME).is_some() {
        format!("the name \"{}\" is longer than {LONGEST_NAME} characters", short(text))
    } else {
        return Some(Named { name: text.to_owned(), span });
    };
    diagnostics.add(
        span,
        wrong,
        "type the name anew: a short one of letters, digits and single spaces",
    );
    None
}
