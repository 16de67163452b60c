//! Quotes and brackets without partners, found by reading the file as a person does: a text ends on its line, and a
//! bracket that is left open ends where the next line begins something new. Asked only where the file can't be read.

use std::ops::Range;

use super::mend::{self, TYPOGRAPHIC};
use super::mistake::Wrong;

/// Something without its partner.
#[derive(Debug, Clone)]
pub(crate) struct Lonely {
    pub(crate) span: Range<usize>,
    pub(crate) wrong: Wrong,
    /// Whether everything behind it looks wrong too.
    pub(crate) swallows: bool,
}

/// An opening bracket, and where it stands.
type Opened = (char, usize);

struct Reading<'t> {
    text: &'t str,
    open: Vec<Opened>,
    /// The last character that is no space, in brackets, and where it stands.
    last: Option<char>,
    found: Vec<Lonely>,
}

/// So many slips are looked into; of more, only that they are there is told.
const MOST_MENDED: usize = 30;

/// All of them, in file order. A text over several lines (`"""`) is nothing that a scenario needs: with one, none.
pub(crate) fn lonely(text: &str) -> Vec<Lonely> {
    if text.contains("\"\"\"") || text.contains("'''") {
        return Vec::new();
    }
    let mut reading = Reading { text, open: Vec::new(), last: None, found: Vec::new() };
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        reading.line(at, line.trim_end_matches(['\n', '\r']));
        at += line.len();
    }
    reading.left_open();
    reading.found
}

impl Reading<'_> {
    fn add(&mut self, span: Range<usize>, what: &str, remedy: String, swallows: bool) {
        self.found.push(Lonely { span, wrong: Wrong::new(what, remedy), swallows });
    }

    /// Tells of the innermost bracket that is still open, and takes all as closed.
    fn left_open(&mut self) {
        let Some((bracket, at)) = self.open.pop() else { return };
        self.open.clear();
        let partner = if bracket == '[' { ']' } else { '}' };
        let line = self.text[..at].matches('\n').count() + 1;
        let what = format!("the bracket {bracket} that opens here is never closed");
        let own = self.mendable(at);
        if let Some((hash, wrong)) = mend::remark(own) {
            let start = self.text[..at].rfind('\n').map_or(0, |i| i + 1);
            let span = start + hash.start..start + hash.end;
            return self.found.push(Lonely { span, wrong, swallows: true });
        }
        let remedy = match mend::missing(own, partner) {
            Some(place) => format!("put {partner} {}", mend::where_to(own, place)),
            None => format!(
                "put {partner} behind the last entry, on line {line} or where it ends below"
            ),
        };
        self.add(at..at + 1, &what, remedy, true);
    }

    fn line(&mut self, start: usize, line: &str) {
        let begins = line.trim_start();
        if begins.is_empty() || begins.starts_with('#') {
            return;
        }
        if !self.open.is_empty() && self.something_new(begins) {
            self.left_open();
        }
        if self.open.is_empty() && self.header(start, line) {
            return;
        }
        let bytes = line.as_bytes();
        let mut at = 0;
        while at < line.len() {
            let c = line[at..].chars().next().unwrap_or(' ');
            match c {
                '#' => break,
                '"' | '\'' => match closing(bytes, at) {
                    Some(end) => at = end,
                    None => {
                        self.quote(start, line, at);
                        break;
                    }
                },
                '[' | '{' => self.open.push((c, start + at)),
                ']' | '}' => self.close(c, start + at),
                c if TYPOGRAPHIC.contains(c) => {
                    let (what, remedy) = match mend::needless(self.mendable(start), at) {
                        true => (
                            "a typographic quote stands here, where it means nothing",
                            "delete it, and leave the rest of the line as it is",
                        ),
                        false => (
                            "a quote of a word processor stands here, where a plain one is wanted",
                            "write plain double quotes, \", and save the file with a text editor",
                        ),
                    };
                    self.open.clear();
                    let span = start + at..start + at + c.len_utf8();
                    self.add(span, what, remedy.to_owned(), false);
                    break;
                }
                _ => {}
            }
            if !c.is_whitespace() {
                self.last = Some(c);
            }
            at += line[at..].chars().next().map_or(1, char::len_utf8);
        }
    }

    /// The line in which a byte stands; nothing once so much is wrong that it is of no use to look into more.
    fn mendable(&self, at: usize) -> &str {
        if self.found.len() >= MOST_MENDED {
            return "";
        }
        let start = self.text[..at].rfind('\n').map_or(0, |i| i + 1);
        self.text[start..].lines().next().unwrap_or("")
    }

    /// Whether a line cannot go on with what the line before left open.
    fn something_new(&self, begins: &str) -> bool {
        let table = begins.starts_with('[')
            && begins.split('#').next().is_some_and(|head| {
                let head = head.trim_end();
                head.ends_with(']') && !head.contains([',', '{', '=']) && head.len() > 2
            });
        let names = begins.split_once('=').is_some_and(|(name, _)| {
            let name = name.trim();
            let plain = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '.' | '"' | ' ');
            !name.is_empty() && name.chars().all(plain)
        });
        let goes_on = matches!(self.last, Some(',' | '{' | '['));
        let in_list = self.open.last().is_some_and(|(bracket, _)| *bracket == '[');
        (table && !goes_on) || (names && (in_list || !goes_on))
    }

    /// Whether a line is a header; whether its brackets are whole is told.
    fn header(&mut self, start: usize, line: &str) -> bool {
        let head = line.trim();
        let from = start + (line.len() - line.trim_start().len());
        let name = |text: &str| {
            let plain = |c: char| c.is_alphanumeric() || matches!(c, '_' | '-' | '.' | '"' | ' ');
            !text.trim().is_empty() && text.chars().all(plain)
        };
        if let Some(rest) = head.strip_prefix('[') {
            let doubled = rest.strip_prefix('[');
            let rest = doubled.unwrap_or(rest);
            if doubled.is_some() && rest.contains(']') && !rest.contains("]]") {
                let bare = rest.split(']').next().unwrap_or("").trim();
                let what = "this header begins with one bracket too many";
                self.add(from..from + head.len(), what, format!("write `[{bare}]`"), false);
            }
            if !rest.contains(']') {
                let bare = rest.split(['#', '}', ')', '=']).next().unwrap_or("").trim();
                let remedy = format!("write `[{bare}]`");
                self.add(
                    from..from + head.len(),
                    "this header has no closing bracket",
                    remedy,
                    false,
                );
            }
            return true;
        }
        let bare: String = head.chars().filter(|c| !matches!(c, '[' | ']')).collect();
        let opens = head.contains('[');
        // With a single quote it is that which is told.
        let whole = bare.matches('"').count().is_multiple_of(2);
        if head.ends_with(']') && name(&bare) && whole {
            let what = match opens {
                true => "this looks like a header, but its bracket stands behind its first letters",
                false => "this header has no opening bracket",
            };
            let remedy = format!("write `[{}]`", bare.trim());
            self.add(from..from + head.len(), what, remedy, false);
            return true;
        }
        false
    }

    fn close(&mut self, bracket: char, at: usize) {
        let opens = if bracket == ']' { '[' } else { '{' };
        match self.open.last() {
            Some((open, _)) if *open == opens => {
                self.open.pop();
            }
            Some((open, at_open)) => {
                let wanted = if *open == '[' { ']' } else { '}' };
                let what = format!("the bracket {bracket} closes what {open} has opened");
                let line = self.mendable(at);
                let missing = mend::missing(line, opens)
                    .map(|place| format!("put {opens} {}", mend::where_to(line, place)));
                let further_left = self.open.iter().any(|(open, _)| *open == opens);
                let place = self.text[..*at_open].matches('\n').count() + 1;
                let remedy = match further_left {
                    _ if missing.is_some() => missing.unwrap_or_default(),
                    true => format!("put {wanted} before it, for the {open} of line {place}"),
                    false => format!("write {wanted} instead, for the {open} of line {place}"),
                };
                self.open.clear();
                self.add(at..at + 1, &what, remedy, true);
            }
            None => {
                let what = format!("the bracket {bracket} was never opened");
                let line = self.mendable(at);
                let missing = mend::missing(line, opens)
                    .map(|place| format!("put {opens} {}", mend::where_to(line, place)));
                let column = self.text[..at].rfind('\n').map_or(at, |i| at - i - 1);
                let remedy = match (missing, mend::needless(line, column)) {
                    (Some(put), true) => format!("{put}, or delete this {bracket}"),
                    (Some(put), false) => put,
                    (None, true) => format!("delete this {bracket}, which is one too many"),
                    (None, false) => format!("put {opens} where its entries begin, or delete it"),
                };
                self.add(at..at + 1, &what, remedy, false);
            }
        }
    }

    /// A quote that has no partner on its line: told where the line first looks wrong. In brackets it swallows the one
    /// that closes, and all that follows.
    fn quote(&mut self, start: usize, line: &str, at: usize) {
        let swallows = !self.open.is_empty();
        self.open.clear();
        if line[at..].starts_with('\'') {
            let what = "an apostrophe here begins a text that does not end";
            let remedy = "delete it, or put the whole name or text in double quotes".to_owned();
            return self.add(start + at..start + at + 1, what, remedy, swallows);
        }
        if let Some((text, wrong)) = mend::quotes(self.mendable(start)) {
            let span = start + text.start..start + text.end;
            return self.found.push(Lonely { span, wrong, swallows });
        }
        let at = swallowed(line, at).unwrap_or(at);
        self.add(
            start + at..start + at + 1,
            "a double quote is missing on this line: the one here has no partner, or the wrong one",
            "put each text and each quantity between two double quotes, for instance from = \"line RR\", length = \"5 m\"".to_owned(),
            swallows,
        );
    }
}

/// Where the text that begins at a quote ends on its line: at its closing quote.
fn closing(bytes: &[u8], from: usize) -> Option<usize> {
    let quote = bytes[from];
    let mut at = from + 1;
    while at < bytes.len() {
        match bytes[at] {
            b'\\' if quote == b'"' => at += 1,
            c if c == quote => return Some(at),
            _ => {}
        }
        at += 1;
    }
    None
}

/// The first text of the line that has swallowed what stands behind it (`"tube, from = "`), before `end`.
fn swallowed(line: &str, end: usize) -> Option<usize> {
    let bytes = line.as_bytes();
    let mut at = 0;
    while at < end {
        if matches!(bytes[at], b'"' | b'\'') {
            let close = closing(bytes, at).filter(|close| *close <= end)?;
            if line[at..close].contains(" = ") {
                return Some(at);
            }
            at = close;
        }
        at += 1;
    }
    None
}
