//! What is wrong with a scenario: where it stands, what it is, what would be right.

use std::fmt;
use std::ops::Range;

use crate::keys::harmless::{in_place, one_in_place};

/// At most this many mistakes are kept; the rest are only counted.
const MOST_KEPT: usize = 100;
/// At most this many characters of a line are shown.
const WIDEST_LINE: usize = 100;

/// One mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// File as the caller named it.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes of the text it is about.
    pub span: Range<usize>,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

/// Everything that was wrong with a scenario, in file order; never empty.
#[derive(Clone, PartialEq, Eq)]
pub struct Mistakes {
    /// The mistakes kept.
    pub list: Vec<Mistake>,
    /// How many more there were.
    pub left_out: usize,
    text: String,
}

/// A line of the file cut to a width that can be shown, with the columns to be marked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Excerpt {
    /// The line or a piece of it, column by column, with nothing in it that acts on a terminal.
    pub text: String,
    /// Bytes of `text` that the mistake is about.
    pub mark: Range<usize>,
}

impl Mistakes {
    /// A single mistake about a file as a whole.
    pub fn about_file(file: &str, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        let mut diagnostics = Diagnostics::new(file, "");
        diagnostics.add(0..0, what, remedy);
        diagnostics.close()
    }

    /// A single mistake about a line of a file whose text is no longer at hand.
    pub fn about_line(
        file: &str,
        line: usize,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        let mut mistakes = Self::about_file(file, what, remedy);
        for mistake in &mut mistakes.list {
            mistake.line = line.max(1);
        }
        mistakes
    }

    /// The line a mistake stands on, cut to at most `widest` characters; `None` if there is nothing
    /// on it to show.
    pub fn excerpt(&self, mistake: &Mistake, widest: usize) -> Option<Excerpt> {
        let line_start = self.text[..mistake.span.start].rfind('\n').map_or(0, |i| i + 1);
        let line = self.text[line_start..].split('\n').next()?;
        if line.trim().is_empty() {
            return None;
        }
        let from = mistake.span.start - line_start;
        let to = (mistake.span.end.max(mistake.span.start) - line_start).min(line.len());
        let mut text = String::new();
        let mut mark = 0..0;
        // A window that begins a little before the mistake if the line is too long for one.
        let skip = match line.chars().count() <= widest {
            true => 0,
            false => line[..from].chars().count().saturating_sub(widest / 4),
        };
        for (at, c) in line.char_indices().skip(skip).take(widest) {
            if at <= from {
                mark = text.len()..text.len();
            }
            text.push(one_in_place(c));
            if at < to && at >= from {
                mark.end = text.len();
            }
        }
        if from >= line.len() {
            mark = text.len()..text.len();
        }
        Some(Excerpt { text, mark })
    }
}

impl Mistake {
    /// The same as a terminal may show it: nothing in file and words acts. The fields are open, so this is done where
    /// they are shown, not where they are filled.
    pub fn shown(&self) -> Self {
        let [file, what, remedy] =
            [&self.file, &self.what, &self.remedy].map(|text| in_place(text));
        Self { file, what, remedy, ..self.clone() }
    }
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { file, line, column, what, remedy, .. } = self.shown();
        write!(f, "{file}:{line}:{column}: {what}; {remedy}")
    }
}

impl fmt::Display for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for m in self.list.iter().map(Mistake::shown) {
            writeln!(f, "{}:{}:{}: {}", m.file, m.line, m.column, m.what)?;
            if let Some(e) = self.excerpt(&m, WIDEST_LINE) {
                let before = e.text[..e.mark.start].chars().count();
                let width = e.text[e.mark].chars().count().max(1);
                let gutter = m.line.to_string();
                writeln!(f, "  {gutter} | {}", e.text)?;
                let pad = " ".repeat(gutter.len());
                writeln!(f, "  {pad} | {}{}", " ".repeat(before), "^".repeat(width))?;
            }
            writeln!(f, "  remedy: {}", m.remedy)?;
        }
        if self.left_out > 0 {
            writeln!(f, "and {} more", self.left_out)?;
        }
        Ok(())
    }
}

/// As [`Display`](fmt::Display): it is what a `main` that returns an error prints, and `expect` too.
impl fmt::Debug for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mistakes\n{self}", self.list.len() + self.left_out)
    }
}

impl std::error::Error for Mistakes {}

/// What is wrong with one value, before anyone knows where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

impl Wrong {
    /// Both in one.
    pub fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { what: what.into(), remedy: remedy.into() }
    }
}

/// Collects mistakes while a file is read.
pub(crate) struct Diagnostics<'a> {
    file: &'a str,
    text: &'a str,
    line_starts: Vec<usize>,
    found: Vec<Mistake>,
    left_out: usize,
}

impl<'a> Diagnostics<'a> {
    pub(crate) fn new(file: &'a str, text: &'a str) -> Self {
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Self { file, text, line_starts, found: Vec::new(), left_out: 0 }
    }

    /// Line of a byte of the text, from 1.
    pub(crate) fn line(&self, at: usize) -> usize {
        self.line_starts.partition_point(|s| *s <= at).max(1)
    }

    /// Writes a mistake down. The same mistake at the same place (a template used twice) counts once.
    pub(crate) fn add(
        &mut self,
        span: Range<usize>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        if self.found.len() >= MOST_KEPT {
            self.left_out += 1;
            return;
        }
        let start = self.boundary(span.start);
        let span = start..self.boundary(span.end.max(start)).max(start);
        let line = self.line(start);
        let column = self.text[self.line_starts[line - 1]..start].chars().count() + 1;
        let mistake = Mistake {
            file: self.file.to_owned(),
            line,
            column,
            span,
            what: in_place(&what.into()),
            remedy: in_place(&remedy.into()),
        };
        if !self.found.contains(&mistake) {
            self.found.push(mistake);
        }
    }

    /// Writes down what is wrong with a value.
    pub(crate) fn add_wrong(&mut self, span: Range<usize>, wrong: Wrong) {
        self.add(span, wrong.what, wrong.remedy);
    }

    fn boundary(&self, at: usize) -> usize {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }

    /// Whether nothing has been found wrong so far.
    pub(crate) fn clean(&self) -> bool {
        self.found.is_empty()
    }

    /// Whether so much is wrong that going on is of no use.
    pub(crate) fn full(&self) -> bool {
        self.left_out > 0
    }

    pub(crate) fn close(mut self) -> Mistakes {
        self.found.sort_by_key(|m| (m.span.start, m.span.end));
        Mistakes { list: self.found, left_out: self.left_out, text: self.text.to_owned() }
    }
}
