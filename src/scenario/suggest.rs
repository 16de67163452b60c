//! "Did you mean": the known word nearest to one that is not known.

use crate::keys::words::folded;
use strsim::damerau_levenshtein;

/// Words longer than this get no suggestion: nobody mistypes a word of that length.
const LONGEST_WORD: usize = 48;
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
    if word.chars().count() > LONGEST_WORD {
        return None;
    }
    let wanted = folded(word);
    let allowed = (wanted.chars().count() / 3).clamp(1, 3);
    known
        .into_iter()
        .filter(|k| *k != word)
        .map(|k| (damerau_levenshtein(&wanted, &folded(k)), k))
        .filter(|(distance, k)| *distance <= allowed && *distance < k.chars().count())
        .filter(|(_, k)| digits(word).is_empty() || digits(word) == digits(k))
        .min_by_key(|(distance, k)| (*distance, !anagrams(&wanted, &folded(k))))
        .map(|(_, k)| k)
}

/// A remedy for an unknown word: the nearest known one, or a list of what there is.
pub fn remedy<'a>(word: &str, known: impl IntoIterator<Item = &'a str>, label: &str) -> String {
    let known: Vec<&str> = known.into_iter().collect();
    if let Some(near) = nearest(word, known.iter().copied()) {
        return format!("did you mean `{near}`?");
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
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("x", ["y"]), None);
        assert_eq!(nearest(&"a".repeat(10_000), known), None);
    }
}
