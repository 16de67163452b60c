//! From `15psi` to its number and the rest, which should be a unit.

use super::mistake::Wrong;
use crate::keys::units::Dimension;

/// Splits at `±`, `+-` or `+/-`.
pub(super) fn split_spread(text: &str) -> (&str, Option<&str>) {
    for sign in ["±", "+/-", "+-"] {
        if let Some((left, right)) = text.split_once(sign) {
            return (left, Some(right));
        }
    }
    (text, None)
}

pub(super) fn instead(dimension: Dimension) -> String {
    match dimension {
        Dimension::Number => "write a number, for instance 1.4".to_owned(),
        Dimension::Share => "write for instance \"20 %\", or 0.2".to_owned(),
        d => format!("write for instance \"{}\" (units: {})", d.example(), d.unit_names()),
    }
}

/// Splits `15psi` into 15 and `psi`.
pub(super) fn number_and_unit(text: &str, dimension: Dimension) -> Result<(f64, &str), Wrong> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Wrong::new("there is no number", instead(dimension)));
    }
    let (first, rest) = scan_number(text);
    if first.is_empty() {
        let lower = text.to_lowercase();
        let not = lower.trim_start_matches(['+', '-', '−']);
        if not.starts_with("nan") || not.starts_with("inf") {
            return Err(Wrong::new(
                format!("`{text}` is no quantity that fluid can have"),
                instead(dimension),
            ));
        }
        return Err(Wrong::new(
            format!("`{text}` does not begin with a number; {} is wanted", dimension.word()),
            instead(dimension),
        ));
    }
    if rest.starts_with(',') && rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(Wrong::new(
            format!("`{text}` has a comma in its number"),
            format!(
                "write a point for the decimals and nothing between thousands: `{}`",
                text.replacen(',', ".", 1)
            ),
        ));
    }
    let mut number = to_f64(first, text)?;
    let mut rest = rest.trim_start();
    // Workshop fractions: 3/16 in.
    if let Some(after) = rest.strip_prefix('/') {
        let (below, tail) = scan_number(after.trim_start());
        if below.is_empty() {
            return Err(Wrong::new(
                format!("`{text}` has nothing below its fraction stroke"),
                "write for instance \"3/16 in\"",
            ));
        }
        number /= to_f64(below, text)?;
        rest = tail.trim_start();
    }
    if !number.is_finite() {
        return Err(Wrong::new(format!("`{text}` is no finite number"), instead(dimension)));
    }
    // Workshop fractions beside a whole number: 1 1/2 in.
    if number >= 0.0 && after_space(text, first) && !first.contains(['.', 'e', 'E']) {
        let (above, tail) = scan_number(rest);
        if let Some(after) = tail.strip_prefix('/')
            && let (below, tail) = scan_number(after)
            && let (Ok(above), Ok(below)) = (above.parse::<u32>(), below.parse::<u32>())
            && (1..below).contains(&above)
        {
            return Ok((number + f64::from(above) / f64::from(below), tail.trim_start()));
        }
    }
    // A space beside the point: `1 .8 m`.
    let split = rest.starts_with('.') || (first.ends_with('.') && after_space(text, first));
    if split && rest.trim_start_matches('.').starts_with(|c: char| c.is_ascii_digit()) {
        return Err(Wrong::new(
            format!("`{text}` has a space in its number"),
            format!("write the number without it: \"{first}{rest}\""),
        ));
    }
    if after_space(text, first) && rest.starts_with(|c: char| c.is_ascii_digit()) {
        let joined = format!("\"{first}{rest}\"");
        let remedy = match first.contains(['.', 'e', 'E']) || rest.contains('.') {
            true => format!("write the number without it: {joined}"),
            false => format!("write what is meant: {joined} or \"{first}.{rest}\""),
        };
        return Err(Wrong::new(format!("`{text}` has a space in its number"), remedy));
    }
    if rest.starts_with('_') || rest.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(Wrong::new(
            format!("`{text}` is not one number with one unit"),
            "write nothing between the digits, and one unit after them",
        ));
    }
    Ok((number, rest))
}

/// Whether a space stands behind the beginning of a text.
fn after_space(text: &str, beginning: &str) -> bool {
    text[beginning.len()..].starts_with(char::is_whitespace)
}

/// Cuts the longest decimal number off the front of a text.
fn scan_number(text: &str) -> (&str, &str) {
    let digits = |s: &str| s.bytes().take_while(u8::is_ascii_digit).count();
    let mut at =
        text.chars().next().filter(|c| matches!(c, '+' | '-' | '−')).map_or(0, char::len_utf8);
    let whole = digits(&text[at..]);
    at += whole;
    let mut any = whole > 0;
    if text[at..].starts_with('.') {
        let decimals = digits(&text[at + 1..]);
        any |= decimals > 0;
        if any {
            at += 1 + decimals;
        }
    }
    if !any {
        return ("", text);
    }
    if text[at..].starts_with(['e', 'E']) {
        let sign = usize::from(text[at + 1..].starts_with(['+', '-']));
        let power = digits(&text[at + 1 + sign..]);
        if power > 0 {
            at += 1 + sign + power;
        }
    }
    text.split_at(at)
}

fn to_f64(number: &str, text: &str) -> Result<f64, Wrong> {
    match number.replace('−', "-").parse::<f64>() {
        Ok(x) if x.is_finite() => Ok(x),
        _ => Err(Wrong::new(
            format!("`{text}` is too large a number to be meant"),
            "write a number of ordinary size",
        )),
    }
}
