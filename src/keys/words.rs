//! Words that may be written, with other words of the trade that mean the same.

use std::ops::Deref;

/// The words a key may hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Words {
    /// Those that reports, JSON and messages use.
    pub all: &'static [&'static str],
    /// Others, each with the one it stands for.
    pub also: &'static [(&'static str, &'static str)],
}

impl Deref for Words {
    type Target = [&'static str];

    fn deref(&self) -> &[&'static str] {
        self.all
    }
}

impl Words {
    /// The words that `written` may stand for: none, one, or several where it leaves open which.
    pub fn meant(&self, written: &str) -> Vec<&'static str> {
        let wanted = folded(written);
        let own = self.all.iter().copied().find(|w| *w == written || folded(w) == wanted);
        if let Some(own) = own {
            return vec![own];
        }
        self.also.iter().filter(|(also, _)| folded(also) == wanted).map(|(_, word)| *word).collect()
    }
}

/// Case, spaces, underscores and hyphens put aside.
pub fn folded(word: &str) -> String {
    word.chars().filter(|c| !matches!(c, ' ' | '_' | '-')).flat_map(char::to_lowercase).collect()
}

/// A pattern, for the JSON Schema, that takes a word as it is read: whatever the case of its letters, with or without
/// the spaces and hyphens in it.
pub fn pattern(word: &str) -> String {
    const BETWEEN: &str = "[ _-]*";
    let each = folded(word).chars().fold(String::new(), |out, c| {
        let one = match c {
            c if c.is_ascii_alphabetic() => format!("[{c}{}]", c.to_ascii_uppercase()),
            '.' => "[.]".to_owned(),
            c => c.to_string(),
        };
        out + BETWEEN + &one
    });
    format!("^{each}{BETWEEN}$")
}

#[cfg(test)]
mod tests {
    use super::*;

    const WORDS: Words = Words {
        all: &["wheel cylinder", "DOT 5.1"],
        also: &[("slave", "wheel cylinder"), ("slave", "DOT 5.1"), ("5.1", "DOT 5.1")],
    };

    #[test]
    fn a_word_is_known_however_it_is_spelt_and_by_its_other_names() {
        for written in ["wheel cylinder", "Wheel-Cylinder", "WHEEL_CYLINDER", "wheelcylinder"] {
            assert_eq!(WORDS.meant(written), ["wheel cylinder"], "{written}");
        }
        assert_eq!(WORDS.meant("5.1"), ["DOT 5.1"]);
        assert_eq!(WORDS.meant("Slave"), ["wheel cylinder", "DOT 5.1"], "which is left open");
        for written in ["DOT 51", "DOT 5", "cylinder", ""] {
            assert!(WORDS.meant(written).is_empty(), "{written}");
        }
    }
}
