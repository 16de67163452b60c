//! What `describe` can ask, as text.

use super::Wording;
use crate::describe::Listed;
use std::fmt::Write as _;

/// The questions one below the other, each with its name, its words, where to look, what may be answered and what is
/// taken where nobody knows.
pub fn text(questions: &[Listed], wording: Wording) -> String {
    let mut out = String::new();
    for q in questions {
        let said = match wording {
            Wording::Us => &q.us,
            Wording::Uk => &q.uk,
        };
        let more = if q.more { ", with --more" } else { "" };
        let unasked = if q.applies { "" } else { ", not asked after these answers" };
        // Writing to a `String` cannot fail.
        let _ = writeln!(out, "{}{more}{unasked}\n  {} {}", q.id, said.asked, said.help);
        let choices = q.choices.iter().map(ToString::to_string);
        let quantities = q.quantities.iter().map(|a| format!("{}, {}", a.dimension, a.range));
        let may_be: Vec<String> = choices.chain(quantities).collect();
        let may_be = may_be.join("; ");
        let example = if q.choices.is_empty() {
            format!(", for instance {}", q.example)
        } else {
            String::new()
        };
        let _ = writeln!(out, "  answers: {may_be}{example}");
        let answered = q.answer.as_ref().map(|answer| format!("answered: {answer}"));
        let _ = writeln!(
            out,
            "  {}",
            answered.unwrap_or_else(|| format!("don't know: {}", q.otherwise))
        );
    }
    out
}
