//! The one place where text leaves for a terminal. Whatever a scenario, a path or a command line holds, nothing acts
//! there but ends of lines and the program's own styles.

// Everywhere else these are refused: see clippy.toml.
#![allow(clippy::disallowed_methods)] // writing to a terminal is what this file is for

use super::{View, grid};
use crate::keys::harmless::{acts, in_place};
use std::io::{self, IsTerminal as _, Write as _};
use std::sync::atomic::{AtomicBool, Ordering};

/// Text that a terminal may be given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown(String);

impl Shown {
    /// Plain text as one line.
    pub fn line(text: &str) -> Self {
        Self(in_place(text.trim_end()))
    }

    /// Lines that a report has drawn. Their styles stay, so what it drew in them must be harmless already.
    pub fn drawn(text: &str) -> Self {
        let mut out = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(c) = rest.chars().next() {
            let style = style(rest).unwrap_or_default();
            let piece = &rest[..style.len().max(c.len_utf8())];
            match c {
                c if style.is_empty() && c != '\n' && acts(c) => out.push_str(&in_place(piece)),
                _ => out.push_str(piece),
            }
            rest = &rest[piece.len()..];
        }
        Self(out)
    }

    /// One below the other.
    pub fn stacked(each: impl IntoIterator<Item = Self>) -> Self {
        Self(each.into_iter().map(|shown| shown.0).collect::<Vec<_>>().join("\n"))
    }

    /// As text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// The style at the beginning of a text, as an escape sequence, if there is one.
fn style(text: &str) -> Option<&str> {
    let end = text.strip_prefix("\u{1b}[")?.find(|c: char| !c.is_ascii_digit() && c != ';')? + 2;
    text[end..].starts_with('m').then(|| &text[..=end])
}

/// A line on standard error.
pub fn tell(line: &str) {
    show(&Shown::line(line));
}

/// Lines on standard error, broken between words where the terminal ends.
pub fn tell_wrapped(text: &str) {
    let columns = console::Term::stderr().size_checked().map(|(_rows, columns)| columns);
    let width = columns.unwrap_or(View::USUAL_WIDTH).max(View::LEAST_WIDTH);
    for line in grid::paragraph(&in_place(text), width, 0).lines() {
        tell(line);
    }
    if text.is_empty() {
        tell("");
    }
}

/// Shows it on standard error, styles left out where they are not wanted.
pub fn show(shown: &Shown) {
    // If nobody can hear it, there is nobody to tell that either.
    let _ = writeln!(anstream::stderr(), "{}", shown.0.trim_end());
}

/// Prints what a report has drawn to standard output; styles are left out unless it is a terminal that wants them.
pub(super) fn print(drawn: &str) -> io::Result<()> {
    open()?;
    let mut out = anstream::stdout().lock();
    out.write_all(Shown::drawn(drawn).0.as_bytes())?;
    out.flush()
}

/// Writes an answer to standard output: as it is, but on a terminal without what acts there.
pub(super) fn put(bytes: &[u8]) -> io::Result<()> {
    open()?;
    let mut out = io::stdout().lock();
    match std::str::from_utf8(bytes) {
        Ok(text) if out.is_terminal() => out.write_all(on_a_terminal(text).as_bytes())?,
        _ => out.write_all(bytes)?,
    }
    out.flush()
}

fn on_a_terminal(text: &str) -> String {
    text.chars().map(|c| if acts(c) && !matches!(c, '\n' | '\t') { '·' } else { c }).collect()
}

/// Whether what is printed is seen at once.
pub fn is_seen() -> bool {
    io::stdout().is_terminal()
}

/// Whether what is told is seen at once.
pub fn is_heard() -> bool {
    io::stderr().is_terminal()
}

/// Whether standard output was closed when the program began.
static CLOSED: AtomicBool = AtomicBool::new(false);

/// Says that standard output was closed when the program began: what goes there is an error from now on. The Rust
/// runtime opens `/dev/null` in its place before `main`, so whoever calls this must have looked before that.
pub fn standard_output_is_closed() {
    CLOSED.store(true, Ordering::Relaxed);
}

/// An error if standard output is closed.
pub(super) fn open() -> io::Result<()> {
    match CLOSED.load(Ordering::Relaxed) {
        true => Err(io::Error::new(
            io::ErrorKind::NotConnected,
            "it is closed; name a file, or say --quiet",
        )),
        false => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_stays_a_line() {
        let told = Shown::line("x\u{1b}[31m.toml\r\na\u{200b}b\u{9b}2J: no file\n");
        assert_eq!(told.as_str(), "x·[31m.toml  a·b·2J: no file");
    }

    #[test]
    fn of_what_is_drawn_styles_and_ends_of_lines_stay() {
        let drawn =
            "\u{1b}[1mTitle\u{1b}[0m\n 1 | a\u{1b}[2Jb\u{202e}\u{1b}]0;c\u{7} \u{1b}[1;33mé\u{1b}[";
        let shown = Shown::drawn(drawn);
        let wanted = "\u{1b}[1mTitle\u{1b}[0m\n 1 | a·[2Jb··]0;c· \u{1b}[1;33mé·[";
        assert_eq!(shown.as_str(), wanted);
    }

    #[test]
    fn an_answer_on_a_terminal_keeps_its_lines_and_columns() {
        assert_eq!(on_a_terminal("a\tb\n\u{1b}[2J\u{2067}c\u{a0}°\n"), "a\tb\n·[2J·c\u{a0}°\n");
    }
}
