//! A header, a key or a name that stands twice: where it stands first, and which of the two to do away with.

use std::ops::Range;

use super::misplaced::{self, NAMED};
use super::mistake::Wrong;
use super::sections::short;

/// What is wrong with a name that stands for the second time at these bytes of the text.
pub(super) fn told(text: &str, span: Range<usize>) -> Wrong {
    let name = text.get(span.clone()).unwrap_or("").trim().trim_matches('"');
    let start = text.get(..span.start).and_then(|t| t.rfind('\n')).map_or(0, |i| i + 1);
    let line = text.get(..start).map_or(0, |t| t.matches('\n').count());
    let lines: Vec<&str> = text.lines().collect();
    let this = lines.get(line).copied().unwrap_or("");
    let is_name = |written: &str| written.trim().trim_matches('"') == name;
    let keyed = |l: &str| l.split_once('=').is_some_and(|(key, _)| is_name(key));
    if let Some(header) = header(this) {
        let first = lines[..line].iter().position(|l| self::header(l) == Some(header) || keyed(l));
        return of_headers(text, header, first.map(|i| i + 1));
    }
    let above = (0..line).rev().find(|i| header(lines[*i]).is_some());
    let table = above.and_then(|i| header(lines[i]));
    if !keyed(this) {
        return inside(
            this,
            table,
            name,
            (line + 1, text[start..span.start].rfind(name).is_some()),
        );
    }
    let first = (above.map_or(0, |i| i + 1)..line).find(|i| keyed(lines[*i]));
    let place = table.map_or_else(String::new, |table| format!(" in `[{table}]`"));
    let on = first.map_or_else(String::new, |i| format!(" (first on line {})", i + 1));
    let what = format!("`{}` stands twice{place}{on}", short(name));
    let same = first.is_some_and(|i| lines[i].trim() == this.trim());
    let which = match first {
        _ if same => "delete this line".to_owned(),
        Some(i) => format!("delete this line, or line {}: whichever is wrong", i + 1),
        None => "delete one of the two".to_owned(),
    };
    let remedy = match table.and_then(|t| misplaced::missing_below(text, t, name)) {
        Some(lost) => format!("is the line `[{lost}]` missing above this one? If not, {which}"),
        // Who names a thing himself can name it otherwise.
        None if table.is_some_and(|t| NAMED.contains(&t)) => {
            format!("{which}; or give one of the two another name, if both are meant")
        }
        None => which,
    };
    Wrong::new(what, remedy)
}

/// What stands between the brackets of a header.
fn header(line: &str) -> Option<&str> {
    let inside = line.trim_start().strip_prefix('[')?.trim_start_matches('[');
    Some(inside.split(']').next()?.trim())
}

fn of_headers(text: &str, header: &str, first: Option<usize>) -> Wrong {
    let above = first.map_or_else(String::new, |line| format!(" (first on line {line})"));
    let place = first.map_or_else(|| "another line".to_owned(), |line| format!("line {line}"));
    let what = format!("the table `[{header}]` stands twice{above}");
    let lost = misplaced::missing_tables(text);
    let remedy = match header {
        "reservoir" => format!(
            "delete this header and put all that belongs to it below the one on {place}; {}",
            misplaced::ONE_RESERVOIR
        ),
        _ if NAMED.iter().any(|of| header.strip_prefix(of).is_some_and(|h| h.starts_with('.'))) => {
            format!("delete this one, or give it another name than that on {place}")
        }
        _ => match lost.first() {
            Some(lost) => format!(
                "should one of the two be {lost}, which the file has not? If not, delete this header and put all that belongs to it below the one on {place}"
            ),
            None => format!(
                "delete this header and put all that belongs to it below the one on {place}"
            ),
        },
    };
    Wrong::new(what, remedy)
}

/// A key that stands twice between the braces of one entry: what the entry lacks may be meant by one of them.
fn inside(line: &str, table: Option<&str>, name: &str, (number, on_line): (usize, bool)) -> Wrong {
    let has = |key: &str| {
        line.match_indices(key).any(|(at, _)| {
            let before = line[..at].ends_with(['{', ',', ' ']);
            before && line[at + key.len()..].trim_start().starts_with('=')
        })
    };
    let lacks: &[&str] = match table {
        Some("parts") if !has("kind") && !has("like") => &["like", "kind"],
        Some("parts") if !has("from") => &["from"],
        Some("like" | "supplies") if !has("kind") => &["kind"],
        _ => &[],
    };
    let on = if on_line { format!(" on line {number}") } else { String::new() };
    let lacks: Vec<String> = lacks.iter().map(|key| format!("`{key}`")).collect();
    let remedy = match lacks.is_empty() {
        true => "delete one of the two, or write the key that one of them should be".to_owned(),
        false => format!(
            "should one of the two be {}, which is missing here? If not, delete one",
            lacks.join(" or ")
        ),
    };
    Wrong::new(format!("`{}` stands twice in one entry{on}", short(name)), remedy)
}
