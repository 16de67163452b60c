//! A file that can't be read: what is wrong with which line.

use std::ops::Range;

use toml::de::Error;

use super::line_slips::{self, Lonely};
use super::mend;
use super::misplaced;
use super::mistake::{Diagnostics, Wrong};
use super::syntax_words::{self, Slip};
use super::twice;
use crate::sorting;

/// Most syntax errors told at once.
const MOST_TOLD: usize = 10;

/// Writes down the syntax errors, one a line; true if there were any.
///
/// After a bracket without its partner, or nesting that is too deep, everything up to the end of
/// the file looks wrong: then that is the last that is told.
pub(crate) fn report(diagnostics: &mut Diagnostics<'_>, text: &str, errors: &[Error]) -> bool {
    let place = |e: &Error| e.span().unwrap_or(0..0);
    let mut sorted: Vec<&Error> = errors.iter().collect();
    sorting::by_key(&mut sorted, |e| place(e).start);
    sorted.dedup_by_key(|e| diagnostics.line_in_text(place(e).start));
    let Some(first) = sorted.first() else { return false };
    if errors.iter().any(|e| syntax_words::slip(e.message()) == Slip::TooDeep) {
        diagnostics.add_wrong(place(first), syntax_words::told(Slip::TooDeep));
        return true;
    }
    let last = errors.iter().map(|e| diagnostics.line_in_text(place(e).start)).max();
    let lonely = line_slips::lonely(text);
    let open = lonely.last().map(|l| diagnostics.line_in_text(l.span.start));
    if let Some(wrong) = cut_off(diagnostics, text, last.max(open)) {
        diagnostics.add_wrong(diagnostics.end(), wrong);
        return true;
    }
    let swallowing = lonely.iter().find(|l| l.swallows);
    let mut told = 0;
    for e in sorted {
        let span = place(e);
        let line = diagnostics.line_in_text(span.start);
        if swallowing.is_some_and(|l| diagnostics.line_in_text(l.span.start) <= line) {
            break;
        }
        let on_line = |l: &&Lonely| diagnostics.line_in_text(l.span.start) == line;
        match stray(text, span.start).or_else(|| of_lonely(lonely.iter().find(on_line)?)) {
            Some((span, wrong)) => diagnostics.add_wrong(span, wrong),
            None => {
                let wrong = wrong(text, e);
                diagnostics.add_wrong(span, wrong);
            }
        }
        told += 1;
        if told == MOST_TOLD {
            return true;
        }
    }
    if let Some((span, wrong)) =
        swallowing.and_then(|l| stray(text, l.span.start).or_else(|| of_lonely(l)))
    {
        diagnostics.add_wrong(span, wrong);
    }
    true
}

fn of_lonely(l: &Lonely) -> Option<(Range<usize>, Wrong)> {
    Some((l.span.clone(), l.wrong.clone()))
}

/// A character that stands in a name of the line in which a byte stands.
fn stray(text: &str, at: usize) -> Option<(Range<usize>, Wrong)> {
    let start = text.get(..at)?.rfind('\n').map_or(0, |i| i + 1);
    let (span, wrong) = mend::stray(text[start..].lines().next()?)?;
    Some((start + span.start..start + span.end, wrong))
}

/// Whether a line opens what it does not close, or has not come to its value.
fn unfinished(line: &str) -> bool {
    let count = |of: &[char]| line.matches(of).count();
    let value = line.split_once('=').is_some_and(|(_, value)| !value.trim().is_empty());
    let header = line.starts_with('[') && line.contains(']');
    count(&['"']) % 2 == 1 || count(&['[', '{']) > count(&[']', '}']) || !(value || header)
}

/// Where the last line of the file can't be read and what should follow is not there.
fn cut_off(diagnostics: &Diagnostics<'_>, text: &str, line: Option<usize>) -> Option<Wrong> {
    // With line ends of another system all of the file is one line.
    let foreign = |c: char| c.is_control() && !matches!(c, '\n' | '\t');
    if text.replace("\r\n", "\n").contains(foreign) {
        return None;
    }
    let end = diagnostics.line_in_text(diagnostics.end().start);
    if line.is_none_or(|line| line < end) {
        return None;
    }
    let missing = misplaced::missing_tables(text);
    let (Some(first), Some(last)) = (missing.first(), missing.last()) else {
        let unfinished = !text.ends_with('\n') && unfinished(text.lines().last()?);
        return unfinished.then(|| {
            let what = "the file ends here, in the middle of an entry";
            let remedy = "is it cut off? Get the whole of it, or finish this line";
            Wrong::new(what, format!("{remedy}{}", misplaced::still_needed(text)))
        });
    };
    let are = match missing.len() {
        1 => format!("the table {first} is missing"),
        n => format!("the tables {} and {last} are missing", missing[..n - 1].join(", ")),
    };
    Some(Wrong::new(
        format!("the file ends here, in the middle of an entry, and {are}"),
        "is it cut off? Get the whole of it, or finish this line and add what is missing below it",
    ))
}

fn wrong(text: &str, e: &Error) -> Wrong {
    let at = e.span().map_or(0, |s| s.start);
    let slip = syntax_words::slip(e.message());
    let start = text.get(..at).and_then(|t| t.rfind('\n')).map_or(0, |i| i + 1);
    let line = text.get(start..).and_then(|t| t.lines().next()).unwrap_or("");
    let stray = text.get(at..).and_then(|t| t.chars().next());
    if stray.is_some_and(|c| c.is_control() && !matches!(c, '\n' | '\t')) {
        return syntax_words::told(Slip::Character);
    }
    if let Some(wrong) = mend::mark(line, at - start) {
        return wrong;
    }
    let special = match slip {
        Slip::Twice => Some(twice::told(text, e.span().unwrap_or(0..0))),
        Slip::NoQuotes if line.split('#').next().is_some_and(|l| l.trim_end().ends_with('=')) => {
            Some(syntax_words::told(Slip::NoValue))
        }
        Slip::NoComma if behind_quote(line, at - start).is_some() => behind_quote(line, at - start),
        Slip::NoQuotes | Slip::More | Slip::NoComma => unquoted(line, at - start),
        Slip::NoName if line[at - start..].starts_with(':') => no_equals(line, at - start),
        Slip::NoEquals => quoted_name(line).or_else(|| no_equals(line, at - start)),
        Slip::NoName if line.trim_start().starts_with('[') => {
            quoted_name(line).or_else(|| odd_header(line))
        }
        Slip::NoName => quoted_name(line).or_else(|| unquoted(line, at - start)),
        _ => None,
    };
    special.unwrap_or_else(|| syntax_words::told(slip))
}

/// Letters that stand right behind the quote that closes a text: `"leve"r`.
fn behind_quote(line: &str, at: usize) -> Option<Wrong> {
    let (before, rest) = (line.get(..at)?, line.get(at..)?);
    let word: String = rest.chars().take_while(|c| c.is_alphanumeric()).collect();
    (before.ends_with('"') && !word.is_empty()).then(|| {
        Wrong::new(
            format!("`{word}` stands behind the double quote that closes the text"),
            "put it before that quote if it belongs to the text, or delete it",
        )
    })
}

/// The value around a place of a line, if it stands without quotes and is neither a number nor true or false.
fn unquoted(line: &str, at: usize) -> Option<Wrong> {
    let before = line.get(..at.min(line.len()))?;
    let from = match before.rfind('=') {
        Some(i) => i + 1,
        None => line.find('=').filter(|i| *i + 1 >= at).map(|i| i + 1)?,
    };
    let rest = line.get(from..)?.trim_start();
    if rest.starts_with(['"', '\'', '[', '{']) {
        return None;
    }
    let end = rest.find(['}', ']', '#', '"']).unwrap_or(rest.len());
    if rest[end..].starts_with('"') && rest[..end].ends_with(|c: char| !c.is_whitespace()) {
        return Some(Wrong::new(
            format!("`{}` stands before the double quote that should open the text", &rest[..end]),
            "put the opening double quote before the first letter or digit of the value",
        ));
    }
    let mut value = rest[..end].trim().trim_end_matches(',');
    // Up to the next entry, but over a comma between digits.
    let next = value
        .match_indices(',')
        .find(|(i, _)| !value[i + 1..].starts_with(|c: char| c.is_ascii_digit()));
    if let Some((i, _)) = next {
        value = &value[..i];
    }
    let value = value.trim();
    let plain = value.parse::<f64>().is_ok() || ["true", "false", ""].contains(&value);
    if plain || value.chars().count() > 40 {
        return None;
    }
    let begins = value.chars().next().is_some_and(|c| c.is_ascii_digit());
    let point = if begins { value.replacen(',', ".", 1) } else { value.to_owned() };
    let comma = if point == value { "" } else { ", with a point in decimals" };
    Some(Wrong::new(
        format!("`{value}` stands without double quotes"),
        format!("put texts and quantities in double quotes{comma}: write \"{point}\""),
    ))
}

/// What to write where a name with a space in it lacks its quotes: `RR outer = …`, `[parts.RR outer]`.
fn quoted_name(line: &str) -> Option<Wrong> {
    let (what, name) = match line.trim_start().strip_prefix('[') {
        Some(rest) => ("header", rest.split(']').next()?.rsplit('.').next()?.trim()),
        None => ("name", line.split_once('=')?.0.trim()),
    };
    let plain = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '/' | '&' | '+');
    let odd = name.chars().any(|c| !(c.is_ascii_alphanumeric() || matches!(c, '-' | '_')));
    let example = if what == "name" { format!("\"{name}\" = …") } else { format!("\"{name}\"") };
    (odd && !name.is_empty() && name.chars().count() <= 60 && name.chars().all(plain)).then(|| {
        Wrong::new(
            format!(
                "the {what} `{name}` holds a space or another special character, and no quotes"
            ),
            format!("a name with a space in it stands in double quotes: {example}"),
        )
    })
}

/// What to write where a header holds what no name does: `[parts']`.
fn odd_header(line: &str) -> Option<Wrong> {
    let inner = line.trim().trim_start_matches('[').split(']').next()?;
    let plain = |c: &char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.');
    let name: String = inner.chars().filter(plain).collect();
    (!name.is_empty()).then(|| {
        Wrong::new(
            "this header holds a character that no name holds outside double quotes",
            format!("write `[{name}]`"),
        )
    })
}

/// What to write where the `=` behind a name is missing, before byte `at` of a line: `steering "left"`,
/// `steering: "left"`.
fn no_equals(line: &str, at: usize) -> Option<Wrong> {
    let before = line.get(..at.min(line.len()))?;
    let name = before.rsplit(['{', ',', '[']).next()?.trim();
    let rest = line.get(before.len()..)?.trim_start_matches([' ', ':', '\t']).trim_end();
    if name.is_empty() || name.chars().count() > 60 {
        return None;
    }
    let what = format!("no `=` stands behind the name `{name}`");
    if rest.starts_with('#') {
        let remedy =
            "a # makes a remark of all that follows on its line: delete it, or the whole line";
        return Some(Wrong::new(what, remedy));
    }
    // Something between the two.
    if let Some((between, _)) = rest.split_once('=')
        && !between.contains(['"', '\'', ',', '{', '['])
    {
        return Some(Wrong::new(
            format!("`{}` stands between the name `{name}` and its `=`", between.trim()),
            format!(
                "delete it: write {name} = …; a name with spaces in it stands in double quotes"
            ),
        ));
    }
    if rest.is_empty() && misplaced::known_key(name).is_none() {
        let what = format!("`{name}` stands alone, with no `=` and no value behind it");
        return Some(Wrong::new(what, format!("delete it, or write {name} = … with its value")));
    }
    let text = rest.strip_prefix('"').and_then(|text| text.find('"')).map(|end| &rest[..end + 2]);
    let value = text.unwrap_or_else(|| rest.split(['#', '}', ',']).next().unwrap_or("").trim());
    let short = !value.is_empty() && value.chars().count() <= 40 && !value.starts_with(['[', '{']);
    let value = match short {
        true if value.starts_with('"') || value.parse::<f64>().is_ok() => value.to_owned(),
        true => format!("\"{}\"", value.trim_matches('"')),
        false => "…".to_owned(),
    };
    Some(Wrong::new(what, format!("write {name} = {value}")))
}
