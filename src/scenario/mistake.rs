//! What is wrong with a scenario: where it stands, what it is, what would be right.

use crate::keys::Place;
use std::fmt;
use std::ops::Range;

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
    /// The line or a piece of it, without control characters.
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

    /// A single mistake about a place in a file whose text is no longer at hand; `settings` is what was set over it.
    pub fn about_place(
        file: &str,
        settings: &[String],
        place: Place,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        let mut mistakes = Self::about_file(file, what, remedy);
        for mistake in &mut mistakes.list {
            match place {
                Place::Nowhere => {}
                Place::Line(line) => mistake.line = line,
                Place::Set(number) => {
                    mistake.set = Some(number);
                    mistakes.text = settings.get(number - 1).cloned().unwrap_or_default();
                    mistake.span = 0..mistakes.text.len();
                }
            }
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
            text.push(if c.is_control() { ' ' } else { c });
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
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (place, line, column) = (self.place(), self.line, self.column);
        write!(f, "{place}:{line}:{column}: {}; {}", self.what, self.remedy)
    }
}

impl fmt::Display for Mistakes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for m in &self.list {
            writeln!(f, "{}:{}:{}: {}", m.place(), m.line, m.column, m.what)?;
            if let Some(e) = self.excerpt(m, WIDEST_LINE) {
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

/// Control characters out of a file must not reach a terminal.
fn printable(text: String) -> String {
    match text.chars().any(char::is_control) {
        true => text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect(),
        false => text,
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

    fn line_in_text(&self, at: usize) -> usize {
        self.line_starts.partition_point(|s| *s <= at).max(1)
    }

    /// The number, from 1, of the thing set in which a byte stands.
    fn setting(&self, at: usize) -> Option<usize> {
        Some(self.settings.partition_point(|s| *s <= at)).filter(|number| *number > 0)
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
            what: printable(what.into()),
            remedy: printable(remedy.into()),
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
        self.found.sort_by_key(|m| (m.set.is_none(), m.span.start, m.span.end));
        Mistakes { list: self.found, left_out: self.left_out, text: self.text.to_owned() }
    }
}
