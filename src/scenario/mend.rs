//! What is wrong with a line, found by trying: where one quote or bracket more makes it whole, which single character
//! stands in a word that would be known without it.

use std::ops::Range;

use toml::de::DeTable;

use super::misplaced;
use super::mistake::Wrong;

/// Longer lines are not tried.
const LONGEST_LINE: usize = 400;
/// Quotes that word processors make.
pub(super) const TYPOGRAPHIC: &str = "“”„‟«»‘’";

fn readable(line: &str) -> bool {
    DeTable::parse(line).is_ok_and(|table| !table.get_ref().is_empty())
}

/// The bytes of a line at which one more `mark` makes it readable.
fn places(line: &str, mark: char) -> impl Iterator<Item = usize> {
    let line = if line.len() > LONGEST_LINE { "" } else { line };
    let beside = |at: &usize| {
        let (before, after) = line.split_at(*at);
        let (last, next) = (before.trim_end().chars().last(), after.trim_start().chars().next());
        let begins = last.is_none_or(|c| "=[{,".contains(c))
            && after.starts_with(|c: char| !c.is_whitespace());
        let ends = next.is_none_or(|c| ",]}=#".contains(c))
            && before.ends_with(|c: char| !c.is_whitespace());
        begins || ends
    };
    let all = line.char_indices().map(|(at, _)| at).chain([line.len()]);
    all.filter(beside)
        .filter(|at| readable(&format!("{}{mark}{}", &line[..*at], &line[*at..])))
        .collect::<Vec<_>>()
        .into_iter()
}

/// The byte of a line at which one more bracket makes it readable, if there is but one.
pub(super) fn missing(line: &str, bracket: char) -> Option<usize> {
    let mut places = places(line, bracket);
    places.next().filter(|_| places.next().is_none())
}

/// Whether a line is readable without the character at a byte.
pub(super) fn needless(line: &str, at: usize) -> bool {
    let Some(c) = line.get(at..).and_then(|rest| rest.chars().next()) else { return false };
    line.len() <= LONGEST_LINE
        && readable(&format!("{}{}", &line[..at], &line[at + c.len_utf8()..]))
}

/// A text that lacks one of its quotes, or a quote too many, and where, in words.
pub(super) fn quotes(line: &str) -> Option<(Range<usize>, Wrong)> {
    // A line of a list that goes over several.
    const BEFORE: &str = "x=[";
    let in_list = || places(&format!("{BEFORE}{line}]"), '"').next()?.checked_sub(BEFORE.len());
    let at = match places(line, '"').next() {
        Some(at) => at,
        None => match line.match_indices('"').find(|(at, _)| needless(line, *at)) {
            Some((at, _)) => {
                let what = "there is a double quote too many on this line";
                return Some((at..at + 1, Wrong::new(what, "delete this one")));
            }
            None => in_list().filter(|at| *at <= line.len())?,
        },
    };
    let opens =
        line[..at].trim_end().ends_with(['=', '[', '{', ',']) || line[..at].trim().is_empty();
    let (text, side) = match opens {
        true => (at..at + line[at..].find('"')?, "before"),
        false => (line[..at].rfind('"')? + 1..at, "behind"),
    };
    let written = line.get(text.clone()).filter(|w| !w.trim().is_empty())?;
    let what = format!("a double quote is missing on this line, {side} `{written}`");
    Some((
        text.clone(),
        Wrong::new(what, format!("write \"{written}\", with a quote on each side")),
    ))
}

/// A mark that means nothing where it stands.
pub(super) fn mark(line: &str, at: usize) -> Option<Wrong> {
    let c = line.get(at..)?.chars().next()?;
    let means = c.is_alphanumeric() || c.is_whitespace() || "=[]{}\",'#._-+".contains(c);
    (!means && needless(line, at)).then(|| {
        let what = format!("{} stands here, where it means nothing", called(c));
        Wrong::new(what, "delete it, and leave the rest of the line as it is")
    })
}

/// A # that makes a remark of what the line needs.
pub(super) fn remark(line: &str) -> Option<(Range<usize>, Wrong)> {
    let (at, _) = line.match_indices('#').find(|(at, _)| needless(line, *at))?;
    let what = "the # here makes a remark of all behind it, and so of a bracket that is needed";
    Some((at..at + 1, Wrong::new(what, "delete the #, or the whole line")))
}

/// Where on a line a bracket belongs, in words.
pub(super) fn where_to(line: &str, at: usize) -> String {
    let rest = line[at..].trim();
    let word: String = rest.chars().take_while(|c| is_plain(*c)).collect();
    match rest.chars().next() {
        None => "at the end of the line".to_owned(),
        Some('#') => "before the # of the line".to_owned(),
        Some(_) if !word.is_empty() => format!("before `{word}`"),
        Some('"') => {
            let text: String = rest[1..].chars().take_while(|c| *c != '"').collect();
            format!("before \"{text}\"")
        }
        Some(_) => format!("before `{}`", rest.split(['=', ',']).next().unwrap_or(rest).trim()),
    }
}

fn is_plain(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '_' | '-')
}

/// A character within the name of a key or table, or at its edge, without which the name would be known.
pub(super) fn stray(line: &str) -> Option<(Range<usize>, Wrong)> {
    if line.len() > LONGEST_LINE {
        return None;
    }
    line.char_indices().filter(|(_, c)| !is_plain(*c)).find_map(|(at, c)| {
        let (before, after) = (&line[..at], &line[at + c.len_utf8()..]);
        let left = &before[before.trim_end_matches(is_plain).len()..];
        let right = &after[..after.len() - after.trim_start_matches(is_plain).len()];
        let rest = after[right.len()..].trim_start();
        let quoted = before.matches('"').count() % 2 == 1;
        // At the edge of a word most characters mean something.
        let edge = left.is_empty() || right.is_empty();
        if quoted || (edge && (c.is_whitespace() || "{}[],=#\"'.".contains(c))) {
            return None;
        }
        let header = line.trim_start().starts_with('[');
        let ends = if header {
            rest.starts_with(']')
        } else {
            rest.starts_with('=') && !rest.starts_with("==")
        };
        if !ends {
            return None;
        }
        let name = format!("{left}{right}");
        let whole =
            misplaced::is_word(&name) || (c == '=' && misplaced::known_key(&name).is_some());
        if !whole {
            return None;
        }
        let meant = misplaced::known_key(&name).map_or(name.as_str(), |key| key);
        let meant = if misplaced::is_word(&name) { name.as_str() } else { meant };
        let remedy = if header {
            format!("delete it: write `[{meant}]`")
        } else {
            format!("delete it: write {meant} = …")
        };
        let place = if edge { "beside" } else { "in the middle of" };
        let what = format!("{} stands {place} the name `{left}{c}{right}`", called(c));
        Some((at - left.len()..at + c.len_utf8() + right.len(), Wrong::new(what, remedy)))
    })
}

fn called(c: char) -> String {
    match c {
        ' ' => "a space".to_owned(),
        '\t' => "a tab".to_owned(),
        ',' => "a comma".to_owned(),
        '.' => "a point".to_owned(),
        ':' => "a colon".to_owned(),
        ';' => "a semicolon".to_owned(),
        '"' => "a double quote".to_owned(),
        '\'' => "an apostrophe".to_owned(),
        '=' => "an `=`".to_owned(),
        '#' => "a #, which makes a remark of all behind it,".to_owned(),
        c if TYPOGRAPHIC.contains(c) => format!("a typographic quote, {c},"),
        c => format!("the character `{c}`"),
    }
}
