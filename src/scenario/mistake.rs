//! What is wrong with a scenario: where it stands, what it is, what would be right.

use crate::keys::Place;
use std::fmt;
use std::ops::Range;

use crate::keys::harmless::{in_place, one_in_place};
use crate::sorting;

/// At most this many mistakes are kept; the rest are only counted.
const MOST_KEPT: usize = 100;
/// At most this many characters of a line are shown.
const WIDEST_LINE: usize = 100;

/// One mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// File as the caller named it.
    pub file: String,
    /// Which of the values set over the file's it is about, from 1, if any.
    pub set: Option<usize>,
    /// Line of the file, or of what was set, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Bytes of the text it is about; of what was set, counted on behind the file's.
    pub span: Range<usize>,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

/// Everything that was wrong with a scenario, in file order, before it what was set over it; never empty.
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
    /// What its line is a line of: the file, or what was set over it.
    pub fn place(&self) -> String {
        match self.set {
            None => self.file.clone(),
            Some(number) => format!("{}, {}", self.file, Place::Set(number)),
        }
    }

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
        let (place, Self { line, column, what, remedy, .. }) = (self.shown().place(), self.shown());
        write!(f, "{place}:{line}:{column}: {what}; {remedy}")
    }
}

impl fmt::Display for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for m in self.list.iter().map(Mistake::shown) {
            writeln!(f, "{}:{}:{}: {}", m.place(), m.line, m.column, m.what)?;
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
    /// The file's text, and behind it what is set over it.
    text: &'a str,
    line_starts: Vec<usize>,
    /// Where each thing set begins.
    settings: Vec<usize>,
    /// Places of the file where something else is read, each with the place of that.
    replaced: Vec<[Range<usize>; 2]>,
    found: Vec<Mistake>,
    left_out: usize,
}

impl<'a> Diagnostics<'a> {
    pub(crate) fn new(file: &'a str, text: &'a str) -> Self {
        let line_starts =
            std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        Self {
            file,
            text,
            line_starts,
            settings: Vec::new(),
            replaced: Vec::new(),
            found: Vec::new(),
            left_out: 0,
        }
    }

    /// Of a file and what is set over it, which stands behind it in `text` from these bytes on.
    pub(crate) fn with_settings(file: &'a str, text: &'a str, settings: Vec<usize>) -> Self {
        Self { settings, ..Self::new(file, text) }
    }

    /// What is read at this place of the file stands, or part of it, in another.
    pub(crate) fn replace(&mut self, place: Range<usize>, by: Range<usize>) {
        self.replaced.push([place, by]);
    }

    /// Where a byte of the text stands.
    pub(crate) fn line(&self, at: usize) -> Place {
        let replaced = self.replaced.iter().find(|[place, _]| place.start == at);
        let at = replaced.map_or(at, |[_, by]| by.start);
        match self.setting(at) {
            Some(number) => Place::Set(number),
            None => Place::Line(self.line_in_text(at)),
        }
    }

    /// The place of two that was set, where only the second was; else the first.
    pub(crate) fn blamed(&self, first: Range<usize>, second: Range<usize>) -> Range<usize> {
        let [place, other] = [&first, &second].map(|span| self.line(span.start));
        if place.blamed(other) == place { first } else { second }
    }

    /// Line of the text in which a byte stands, from 1.
    pub(crate) fn line_in_text(&self, at: usize) -> usize {
        self.line_starts.partition_point(|s| *s <= at).max(1)
    }

    /// The number, from 1, of the thing set in which a byte stands.
    fn setting(&self, at: usize) -> Option<usize> {
        Some(self.settings.partition_point(|s| *s <= at)).filter(|number| *number > 0)
    }

    /// Whether what stands here begins with a header.
    pub(crate) fn is_header(&self, span: Range<usize>) -> bool {
        self.text.get(span).is_some_and(|text| text.starts_with('['))
    }

    /// What stands on a line (from 1), without the spaces around it.
    pub(crate) fn content(&self, line: usize) -> Range<usize> {
        let start = self.line_starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let text = self.text[start..].lines().next().unwrap_or("");
        let from = start + text.len() - text.trim_start().len();
        from..from + text.trim().len()
    }

    /// The first line that holds anything: the place of what should begin the file.
    pub(crate) fn beginning(&self) -> Range<usize> {
        let filled = (1..=self.line_starts.len()).map(|line| self.content(line));
        let first = filled.into_iter().find(|span| !span.is_empty());
        first.unwrap_or(0..0)
    }

    /// The last line that holds anything: what is missing may be added below it.
    pub(crate) fn end(&self) -> Range<usize> {
        let file = self.settings.first().copied().unwrap_or(self.text.len());
        let end = self.text[..file].trim_end().len();
        self.content(self.line_in_text(end.saturating_sub(1)))
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
        let replaced = self.replaced.iter().find(|[place, _]| *place == span);
        let span = replaced.map_or(span, |[_, by]| by.clone());
        let start = self.boundary(span.start);
        let span = start..self.boundary(span.end.max(start)).max(start);
        let line = self.line_in_text(start);
        let column = self.text[self.line_starts[line - 1]..start].chars().count() + 1;
        let set = self.setting(start);
        let before = set.map_or(0, |number| self.line_in_text(self.settings[number - 1]) - 1);
        let mistake = Mistake {
            file: self.file.to_owned(),
            set,
            line: line - before,
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
        // What was set comes first: the rest may follow from it.
        sorting::by_key(&mut self.found, |m| (m.set.is_none(), m.span.start, m.span.end));
        Mistakes { list: self.found, left_out: self.left_out, text: self.text.to_owned() }
    }
}
