//! Text as it may be shown: in a terminal, in a picture, on a page.
//!
//! What comes out of a file or from a command line is free. Shown as it stands, an escape sequence could recolour or
//! rewrite a terminal, a direction mark could turn the figures beside it round, and two names could look alike.

/// A name or title without anything that acts instead of being seen: control characters, direction
/// marks, invisible joiners and characters that XML forbids. Any white space becomes one space; a
/// text of which nothing is left becomes `(no name)`.
///
/// ```
/// use farwheel::harmless;
/// assert_eq!(harmless("line\u{1b}[31m RR\n"), "line[31m RR");
/// assert_eq!(harmless("\u{202e}"), "(no name)");
/// ```
pub fn harmless(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut gap = false;
    for c in text.chars() {
        if c.is_whitespace() {
            gap = !out.is_empty();
        } else if !acts(c) {
            if gap {
                out.push(' ');
                gap = false;
            }
            out.push(c);
        }
    }
    if out.is_empty() { "(no name)".to_owned() } else { out }
}

/// A text as a message shows it, on one line and character by character: a `·` stands where something acts instead of
/// being seen, so that it is seen where that is, and any white space is a space.
///
/// ```
/// use farwheel::keys::harmless::in_place;
/// assert_eq!(in_place("a\u{200b}b\t\u{1b}[31m\nc"), "a·b ·[31m c");
/// ```
pub fn in_place(text: &str) -> String {
    text.chars().map(one_in_place).collect()
}

/// What stands for a character in [`in_place`].
pub(crate) fn one_in_place(c: char) -> char {
    match c {
        c if c.is_whitespace() => ' ',
        c if acts(c) => '·',
        c => c,
    }
}

/// True for a character that has an effect, or nothing to be seen, instead of a shape: Unicode's controls, its direction
/// marks, what it calls default ignorable, line and paragraph separators, annotation marks, and what is no character
/// (from memory).
pub(crate) fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{00AD}' | '\u{034F}' | '\u{061C}' | '\u{115F}' | '\u{1160}' | '\u{17B4}' | '\u{17B5}'
            | '\u{180B}'..='\u{180F}'
            | '\u{200B}'..='\u{200F}'
            | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}'
            | '\u{3164}' | '\u{FE00}'..='\u{FE0F}'
            | '\u{FEFF}' | '\u{FFA0}' | '\u{FFF0}'..='\u{FFFB}'
            | '\u{1BCA0}'..='\u{1BCA3}' | '\u{1D173}'..='\u{1D17A}'
            | '\u{E0000}'..='\u{E0FFF}')
        || (u32::from(c) & 0xFFFE) == 0xFFFE
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Characters, from memory of Unicode's tables: what no terminal, page or picture gives a shape.
    const UNSEEN: &str = "\u{0}\u{7}\u{1b}\u{7f}\u{9b}\u{ad}\u{34f}\u{61c}\u{200b}\u{200d}\u{200e}\u{202e}\u{2067}\u{2060}\u{fe0f}\u{feff}\u{fffe}\u{e0041}";

    #[test]
    fn what_acts_is_left_out_of_names_and_marked_in_messages() {
        for c in UNSEEN.chars() {
            let text = format!("a{c}b");
            assert_eq!(harmless(&text), "ab", "{c:?}");
            assert_eq!(in_place(&text), "a·b", "{c:?}");
        }
        for seen in ["RR", "前右", "naïve – 3 × ½ °C", "سيارة", "车\u{1f697}", "e\u{301}"]
        {
            assert_eq!((harmless(seen), in_place(seen)), (seen.to_owned(), seen.to_owned()));
        }
    }

    #[test]
    fn white_space_of_any_kind_is_a_space() {
        let odd = " a\u{a0}\t b\u{3000}\r\nc\u{2028}";
        assert_eq!(harmless(odd), "a b c");
        assert_eq!(in_place(odd), " a   b   c ");
    }
}
