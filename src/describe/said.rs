//! A question in the words of the US or of the UK. It is written once, in those of the US.

use super::question::Question;
use serde::Serialize;

/// Words of the US with those of the UK (common practice, no source).
const UK: &[(&str, &str)] = &[
    ("bleeder screw", "bleed nipple"),
    ("bleeder", "nipple"),
    // Called so in both.
    ("pressure bleeder", "pressure bleeder"),
    ("brake line", "brake pipe"),
    ("brake lines", "brake pipes"),
    ("line", "pipe"),
    ("lines", "pipes"),
    ("wrench", "spanner"),
    ("tires", "tyres"),
    ("hood", "bonnet"),
    ("parking brake", "handbrake"),
    ("parking-brake", "handbrake"),
];

/// A text in the words of the UK: whole words alone are changed, of several that fit the longest.
pub fn uk(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    let mut within = false;
    while let Some(c) = rest.chars().next() {
        let fits = |(us, _): &&(&str, &str)| {
            rest.strip_prefix(us)
                .is_some_and(|after| !after.starts_with(|c: char| c.is_alphanumeric()))
        };
        let found = UK.iter().filter(fits).max_by_key(|(us, _)| us.len());
        match found.filter(|_| !within) {
            Some((us, uk)) => {
                out.push_str(uk);
                rest = &rest[us.len()..];
                within = true;
            }
            None => {
                out.push(c);
                rest = &rest[c.len_utf8()..];
                within = c.is_alphanumeric();
            }
        }
    }
    out
}

/// What is said of a question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Said {
    /// What is asked.
    pub asked: String,
    /// Where to look.
    pub help: String,
    /// What it decides.
    pub decides: String,
}

impl Said {
    /// In the words of the US.
    pub fn us(q: &Question) -> Self {
        Self { asked: q.asked.to_owned(), help: q.help.to_owned(), decides: q.decides.to_owned() }
    }

    /// In those of the UK.
    pub fn uk(q: &Question) -> Self {
        Self { asked: uk(q.asked), help: uk(q.help), decides: uk(q.decides) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_words_are_changed_and_no_others() {
        for (us, said) in [
            ("When do you close a bleeder screw?", "When do you close a bleed nipple?"),
            ("six brake lines, tires and a wrench", "six brake pipes, tyres and a spanner"),
            ("pressure bleeder", "pressure bleeder"),
            ("fluid in the longest line.", "fluid in the longest pipe."),
            ("discs with a parking-brake piston", "discs with a handbrake piston"),
            ("online", "online"),
        ] {
            assert_eq!(uk(us), said);
        }
    }
}
