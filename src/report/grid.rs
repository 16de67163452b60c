//! The common look of the tables: a heading, columns set off by space alone, one rule under their names.

use crate::job::record;
use anstyle::{AnsiColor, Style};
use comfy_table::{
    Cell, CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle,
};

/// Style of headings.
const HEADING: Style = Style::new().bold();
/// Style of what must not be missed.
const ALARM: Style = AnsiColor::Yellow.on_default().bold();

/// What columns named "takes" hold, to stand below a table.
pub(super) const TAKES: &str = "takes: the new fluid that goes in, from the supply and by hand, for what is drained and syringed out.";

/// Columns of the terminal that standard output goes to, if it is one.
pub(super) fn terminal_width() -> Option<u16> {
    console::Term::stdout().size_checked().map(|(_rows, columns)| columns)
}

/// How a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Set {
    /// Words: flush left.
    Words,
    /// Figures: flush right.
    Figures,
}

/// A table being filled.
pub(super) struct Grid {
    table: Table,
    columns: Vec<Set>,
    width: u16,
}

impl Grid {
    /// An empty table of this many columns at most, with the names of its own columns ("\n" breaks a name).
    pub(super) fn new(width: u16, columns: &[(&str, Set)]) -> Self {
        let mut table = Table::new();
        table
            .load_style(TableStyle::new().header_separator(LineStyle::none().fill('─')))
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(width);
        let columns: Vec<(String, Set)> =
            columns.iter().map(|(n, s)| ((*n).to_owned(), *s)).collect();
        table.set_header(columns.iter().map(|(name, set)| cell(name, *set)));
        for (i, column) in table.column_iter_mut().enumerate() {
            // Flush with the heading, and two spaces between columns.
            column.set_padding((0, if i + 1 < columns.len() { 2 } else { 0 }));
        }
        Self { table, columns: columns.iter().map(|(_, set)| *set).collect(), width }
    }

    /// Gives figures the room they need, so that a lack of it breaks words only; unless words would then
    /// be left with next to nothing.
    fn keep_figures_whole(&mut self) {
        const LEAST_FOR_WORDS: usize = 9;
        const PADDING: usize = 2;
        let wide = self.table.column_max_content_widths();
        let needed: usize = wide
            .iter()
            .zip(&self.columns)
            .map(|(wide, set)| match set {
                Set::Words => LEAST_FOR_WORDS + PADDING,
                Set::Figures => usize::from(*wide) + PADDING,
            })
            .sum::<usize>()
            .saturating_sub(PADDING);
        if needed > usize::from(self.width) {
            return;
        }
        for (column, set) in self.table.column_iter_mut().zip(&self.columns) {
            if *set == Set::Figures {
                column.set_constraint(ColumnConstraint::ContentWidth);
            }
        }
    }

    /// Adds a row.
    pub(super) fn row<I: IntoIterator<Item = String>>(&mut self, cells: I) {
        let cells: Vec<Cell> =
            cells.into_iter().zip(&self.columns).map(|(text, set)| cell(&text, *set)).collect();
        self.table.add_row(cells);
    }

    /// The finished table, each line ended.
    pub(super) fn text(mut self) -> String {
        self.keep_figures_whole();
        let mut out = String::new();
        for line in self.table.lines() {
            out.push_str(line.trim_end());
            out.push('\n');
        }
        out
    }
}

fn cell(text: &str, set: Set) -> Cell {
    Cell::new(text).set_alignment(match set {
        Set::Words => CellAlignment::Left,
        Set::Figures => CellAlignment::Right,
    })
}

/// A heading line.
pub(super) fn heading(text: &str) -> String {
    format!("{HEADING}{text}{HEADING:#}\n")
}

/// A heading that may take several lines: what an answer comes to.
pub(super) fn verdict(text: &str, width: u16) -> String {
    paragraph(text, width, 0).lines().map(heading).collect()
}

/// Words that must not be missed.
pub(super) fn alarm(text: &str) -> String {
    format!("{ALARM}{text}{ALARM:#}")
}

/// What was set over the values of the scenario, as a paragraph below its title; nothing if nothing was.
pub(super) fn with_set(settings: &[String], width: u16) -> String {
    record::with_set(settings).map_or(String::new(), |text| paragraph(&text, width, 0))
}

/// Text broken between words at `width` columns, but not between a figure and its unit; the second and further lines
/// set in by `indent`.
pub(super) fn paragraph(text: &str, width: u16, indent: usize) -> String {
    use unicode_width::UnicodeWidthStr as _;
    let mut out = String::new();
    let mut used = 0;
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let mut word = word.to_owned();
        while word.ends_with(|c: char| c.is_ascii_digit())
            && let Some(unit) = words.next_if(|next| word.width() + 1 + next.width() <= LONGEST)
        {
            word = format!("{word} {unit}");
        }
        let word = super::figures::shortened(&word, usize::from(width) - indent);
        let wide = word.width();
        if used > 0 && used + 1 + wide > usize::from(width) {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            used = indent;
        } else if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(&word);
        used += wide;
    }
    out.push('\n');
    out
}

/// A figure and its unit are kept together up to so many columns.
const LONGEST: usize = 12;

/// Pairs of what and how much, one a line, the figures (up to the first space) in one column.
pub(super) fn pairs(rows: &[(&str, String)]) -> String {
    use unicode_width::UnicodeWidthStr as _;
    let figure = |much: &str| much.split(' ').next().unwrap_or(much).width();
    let wide = rows.iter().map(|(what, _)| what.width()).max().unwrap_or(0);
    let figures = rows.iter().map(|(_, much)| figure(much)).max().unwrap_or(0);
    rows.iter()
        .map(|(what, much)| {
            let gap = " ".repeat(wide - what.width() + 2 + figures - figure(much));
            format!("{what}{gap}{much}\n")
        })
        .collect()
}
