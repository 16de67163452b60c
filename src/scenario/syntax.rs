//! Mistakes of TOML itself, in the words of someone who never heard of it.

use toml::de::Error;

use super::mistake::Diagnostics;

/// Most syntax errors told at once.
const MOST_TOLD: usize = 10;

/// Writes down the syntax errors, one a line; true if there were any.
///
/// After a bracket without its partner, or nesting that is too deep, everything up to the end of
/// the file looks wrong: then the first is all that is told.
pub(crate) fn report(diagnostics: &mut Diagnostics<'_>, text: &str, errors: &[Error]) -> bool {
    let place = |e: &Error| e.span().unwrap_or(0..0);
    let mut sorted: Vec<&Error> = errors.iter().collect();
    sorted.sort_by_key(|e| place(e).start);
    let lost =
        errors.iter().any(|e| e.message().contains("unclosed") || e.message().contains("recurs"));
    let most = if lost { 1 } else { MOST_TOLD };
    sorted.dedup_by_key(|e| diagnostics.line(place(e).start));
    for e in sorted.into_iter().take(most) {
        let span = place(e);
        let message = e.message();
        if lost && !message.contains("recurs") {
            diagnostics.add(
                span,
                "not readable: a list or table that began above or here is not closed",
                "check that every [, { and \" has its partner",
            );
        } else {
            let found = text.get(span.clone()).unwrap_or("");
            let remedy = quoted_name(text, span.start, message).unwrap_or(remedy(message, found));
            diagnostics.add(span, what(message), remedy);
        }
    }
    !errors.is_empty()
}

pub(super) fn what(message: &str) -> String {
    match message.split_once(", expected") {
        _ if message.contains("duplicate key") => {
            "this key stands twice in the same table".to_owned()
        }
        _ if message.contains("recurs") => "tables or lists are nested too deeply".to_owned(),
        Some((wrong, expected)) => format!("not readable: {wrong} (expected{expected})"),
        None => format!("not readable: {message}"),
    }
}

/// What to write where a name with a space in it lacks its quotes: `RR outer = …`, `[parts.RR outer]`.
fn quoted_name(text: &str, at: usize, message: &str) -> Option<String> {
    if !message.contains("expected `=`") && !message.contains("key") && !message.contains("`]`") {
        return None;
    }
    let start = text.get(..at)?.rfind('\n').map_or(0, |i| i + 1);
    let line = text.get(start..)?.lines().next()?;
    let name = line.split_once('=')?.0.trim();
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_');
    (name.contains(' ') && name.len() <= 60 && name.chars().all(plain))
        .then(|| format!("a name with a space in it stands in double quotes: \"{name}\" = …"))
}

fn remedy(message: &str, found: &str) -> String {
    let m = message;
    if m.contains("duplicate key") {
        "keep one of them".to_owned()
    } else if m.contains("recurs") {
        "a scenario needs no more than a list in a list".to_owned()
    } else if m.contains("string values must be quoted") || m.contains("quoted") {
        let word = found.trim();
        match word.is_empty() || word.len() > 40 {
            true => {
                "put texts and quantities in double quotes, for instance \"3.33 mm\"".to_owned()
            }
            false => format!("put texts and quantities in double quotes, for instance \"{word}\""),
        }
    } else if m.contains("unexpected key or value") || m.contains("basic string") {
        "put texts and quantities in double quotes that open and close on the line, with a point in decimals, for instance \"1.05 m\"".to_owned()
    } else if m.contains("bracket")
        || m.contains("unclosed")
        || m.contains("`]`")
        || m.contains("`}`")
    {
        "check that every [, { and \" has its partner".to_owned()
    } else {
        "a line is `key = value`, `[table]` or `# comment`; texts and quantities stand in double quotes, as in length = \"5 m\"".to_owned()
    }
}
