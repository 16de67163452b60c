//! Names and titles as they may be shown: in a terminal, in a picture, on a page.
//!
//! A scenario's text is free. Shown as it stands, an escape sequence in a name could recolour or
//! rewrite a terminal, and a direction mark could turn the figures beside it round.

/// The text without anything that acts instead of being seen: control characters, direction
/// marks, invisible joiners and characters that XML forbids. Any white space becomes one space; a
/// text of which nothing is left becomes `(no name)`.
///
/// ```
/// use farwheel::job::harmless;
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

/// True for a character that has an effect instead of a shape.
fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{00AD}' | '\u{061C}' | '\u{180E}'
            | '\u{200B}'..='\u{200F}'
            | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}'
            | '\u{FEFF}' | '\u{FFF9}'..='\u{FFFB}'
            | '\u{E0000}'..='\u{E0FFF}')
        || (u32::from(c) & 0xFFFE) == 0xFFFE
}
