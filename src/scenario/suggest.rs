//! "Did you mean": the known word nearest to one that is not known.

use crate::keys::words::folded;
use strsim::damerau_levenshtein;

/// Words longer than this get no suggestion: nobody mistypes a word of that length.
const LONGEST_WORD: usize = 48;
/// How many equally near words are offered; of more, none is nearer than the rest.
const MOST_NEAR: usize = 3;
/// How many known words a remedy lists.
const MOST_LISTED: usize = 14;

/// The digits of a word; a slip of the pen does not make another number.
fn digits(word: &str) -> String {
    word.chars().filter(char::is_ascii_digit).collect()
}

/// Whether two words consist of the same letters.
fn anagrams(a: &str, b: &str) -> bool {
    let sorted = |word: &str| {
        let mut letters: Vec<char> = word.chars().collect();
        letters.sort_unstable();
        letters
    };
    sorted(a) == sorted(b)
}

/// The known word nearest to `word`: the same but for case, spaces and hyphens, or at most a
/// third of its letters (at least one, at most three) away, its numbers the same. Of two equally near
/// ones that which has the same letters (FR is RF rather than LR).
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    near(word, known).first().copied()
}

/// All that are as near as the nearest.
pub fn near<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    if word.chars().count() > LONGEST_WORD {
        return Vec::new();
    }
    let wanted = folded(word);
    let allowed = (wanted.chars().count() / 3).clamp(1, 3);
    let mut found: Vec<_> = known
        .into_iter()
        .filter(|k| *k != word)
        .map(|k| (damerau_levenshtein(&wanted, &folded(k)), k))
        .filter(|(distance, k)| *distance <= allowed && *distance < k.chars().count())
        .filter(|(_, k)| digits(word) == digits(k))
        .map(|(distance, k)| ((distance, !anagrams(&wanted, &folded(k))), k))
        .collect();
    let least = found.iter().map(|(far, _)| *far).min();
    found.retain(|(far, _)| Some(*far) == least);
    found.into_iter().map(|(_, k)| k).collect()
}

/// Words in backticks, one of which is meant.
pub fn either(words: &[&str]) -> String {
    words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(" or ")
}

/// A remedy for an unknown word: the nearest known one, or a list of what there is.
pub fn remedy<'a>(word: &str, known: impl IntoIterator<Item = &'a str>, label: &str) -> String {
    let known: Vec<&str> = known.into_iter().collect();
    let near = near(word, known.iter().copied());
    if !near.is_empty() && near.len() <= MOST_NEAR {
        return format!("did you mean {}?", either(&near));
    }
    if known.is_empty() {
        return format!("there are no {label} yet");
    }
    let shown: Vec<String> = known.iter().take(MOST_LISTED).map(|k| format!("`{k}`")).collect();
    let more = match known.len().saturating_sub(MOST_LISTED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    format!("{label}: {}{more}", shown.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_slip_and_leaves_strangers_alone() {
        let known = ["bore", "length", "bends", "new_pads"];
        assert_eq!(nearest("lenght", known), Some("length"));
        assert_eq!(nearest("New Pads", known), Some("new_pads"));
        assert_eq!(nearest("bor", known), Some("bore"));
        assert_eq!(nearest("FR", ["LR", "RR", "RF", "LF"]), Some("RF"));
        assert_eq!(nearest("DOT 6", ["DOT 3", "DOT 4"]), None);
        assert_eq!(nearest("DOT", ["DOT 3", "DOT 4"]), None, "which is left open");
        assert_eq!(near("LX", ["LR", "RR", "RF", "LF"]), ["LR", "LF"]);
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("x", ["y"]), None);
        assert_eq!(nearest(&"a".repeat(10_000), known), None);
    }
}
