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
    for m in &mistakes.list {
        let excerpt = mistakes.excerpt(m, LONGEST_PIECE);
        let place = m.place();
        let group = Level::ERROR.primary_title(m.what.as_str());
        let group: Group<'_> = match &excerpt {
            Some(e) => group.element(
                Snippet::source(e.text.as_str())
                    .line_start(m.line)
                    .path(place.as_str())
                    .annotation(AnnotationKind::Primary.span(e.mark.clone())),
            ),
            None => group.element(origin(m, &place)),
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

fn origin<'a>(m: &Mistake, place: &'a str) -> Origin<'a> {
    let origin = Origin::path(place);
    match m.line {
        0 | 1 => origin,
        n => origin.line(n),
    }
}
