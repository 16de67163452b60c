//! Mistakes in a scenario, drawn with the line they stand on.

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use crate::scenario::{Mistake, Mistakes};

/// Longest piece of a line handed to the drawing, in characters; it cuts lines to the terminal.
const LONGEST_PIECE: usize = 1000;

/// Draws every mistake: what is wrong, file and line, the line itself, what would be right.
///
/// `coloured` is for a terminal that shows ANSI colours.
pub fn render(mistakes: &Mistakes, coloured: bool) -> String {
    let renderer = match coloured {
        true => Renderer::styled(),
        false => Renderer::plain(),
    }
    .term_width(100);
    let mut out = String::new();
    for m in mistakes.list.iter().map(Mistake::shown) {
        let excerpt = mistakes.excerpt(&m, LONGEST_PIECE);
        let group = Level::ERROR.primary_title(m.what.as_str());
        let group: Group<'_> = match &excerpt {
            Some(e) => group.element(
                Snippet::source(e.text.as_str())
                    .line_start(m.line)
                    .path(m.file.as_str())
                    .annotation(AnnotationKind::Primary.span(e.mark.clone())),
            ),
            None => group.element(place(&m)),
        };
        let group = group.element(Level::HELP.message(m.remedy.as_str()));
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    let count = mistakes.list.len() + mistakes.left_out;
    match count {
        1 => out.push_str("1 mistake; nothing was simulated\n"),
        n => out.push_str(&format!("{n} mistakes; nothing was simulated\n")),
    }
    out
}

fn place(m: &Mistake) -> Origin<'_> {
    let origin = Origin::path(m.file.as_str());
    match m.line {
        0 | 1 => origin,
        n => origin.line(n),
    }
}
