//! Mistakes of TOML itself, in the words of someone who never heard of it.

use toml::de::Error;

use super::mistake::Desk;

/// Writes down every syntax error; true if there were any.
pub(crate) fn report(desk: &mut Desk<'_>, text: &str, errors: &[Error]) -> bool {
    for e in errors {
        let span = e.span().unwrap_or(0..0);
        let message = e.message();
        desk.add(span.clone(), what(message), remedy(message, text.get(span).unwrap_or("")));
    }
    !errors.is_empty()
}

fn what(message: &str) -> String {
    match message.split_once(", expected") {
        _ if message.contains("duplicate key") => {
            "this key stands twice in the same table".to_owned()
        }
        _ if message.contains("recurs") => "tables or lists are nested too deeply".to_owned(),
        Some((wrong, expected)) => format!("not readable: {wrong} (expected{expected})"),
        None => format!("not readable: {message}"),
    }
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
