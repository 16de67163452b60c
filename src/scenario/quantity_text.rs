//! From `"3.33 mm ± 0.05 mm"` to a [`Quantity`]: number, unit, range, spread.

use super::mistake::Wrong;
use super::number_text::{instead, number_and_unit, split_spread};
use super::suggest;
use crate::keys::Bound;
use crate::keys::quantity::HALF_OF_90_PERCENT;
use crate::keys::units::{self, Dimension, Found, Unit};
use crate::keys::{Quantity, Spread};
use crate::portable;

/// Longest text that is read as a quantity; a longer one is no quantity.
const LONGEST_TEXT: usize = 120;

/// A number with the unit it was written in.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measure {
    number: f64,
    unit: &'static Unit,
}

impl Measure {
    fn si(self) -> f64 {
        self.unit.to_si(self.number)
    }
}

/// Reads a quantity of the kind `bound` describes, with or without `± half`.
///
/// `±` gives the half-width of the central 90 % interval of a normal distribution. It is read in
/// the unit written beside it, or else in that of the value; in percent it means percent of the
/// value, or, for a share, points of percent. `± 0` declares the value exact.
///
/// # Errors
/// If the text is no number with a unit of the right dimension, or lies outside the range: what
/// is wrong and what would be right.
pub fn parse(text: &str, bound: &Bound) -> Result<Quantity, Wrong> {
    // What is read by dimension alone gives its example; a bore's does not suit a line's length.
    let (usual, own) =
        (format!("\"{}\"", bound.dimension.example()), format!("\"{}\"", example(bound)));
    quantity(text, bound).map_err(|w| Wrong::new(w.what, w.remedy.replace(&usual, &own)))
}

/// A text that would do for a quantity.
pub(crate) fn example(bound: &Bound) -> &'static str {
    match bound.dimension {
        Dimension::Length if bound.usual.1 > 5.0 => "5 m",
        Dimension::Length if bound.usual.1 > 0.1 => "0.5 m",
        d => d.example(),
    }
}

fn quantity(text: &str, bound: &Bound) -> Result<Quantity, Wrong> {
    if text.len() > LONGEST_TEXT {
        return Err(Wrong::new(
            format!("this text is too long for {}", bound.dimension.word()),
            instead(bound.dimension),
        ));
    }
    let (left, right) = split_spread(text);
    let Some(right) = right else {
        let m = of_bound(left, bound, None)?;
        return Ok(Quantity::known(within(m, bound)?));
    };
    if split_spread(right).1.is_some() {
        return Err(Wrong::new(
            format!("more than one ± stands in `{}`", text.trim()),
            "write one, with how far the value may lie off behind it",
        ));
    }
    if !right.contains(|c: char| c.is_ascii_digit()) {
        let written = left.trim();
        return Err(Wrong::new(
            format!("no number stands behind the ± of `{}`", text.trim()),
            format!("write how far it may lie off behind the ±, or \"{written}\" alone"),
        ));
    }
    let (right_number, right_unit) = number_and_unit(right, bound.dimension)?;
    let borrowed = (!right_unit.is_empty() && right_unit != "%").then_some(right_unit);
    let m = of_bound(left, bound, borrowed)?;
    let value = within(m, bound)?;
    let of_value = right_unit == "%" && bound.dimension != Dimension::Share;
    if of_value && bound.dimension == Dimension::Temperature {
        return Err(Wrong::new(
            "a spread of a temperature can't be given in percent",
            "give it in degrees, for instance `20 °C ± 5 °C`",
        ));
    }
    let half = if of_value {
        value.abs() * right_number / 100.0
    } else if right_unit.is_empty() {
        m.unit.difference_to_si(right_number)
    } else {
        let unit = unit_for(right_unit, right, bound.dimension)?;
        unit.unwrap_or(m.unit).difference_to_si(right_number)
    };
    if half < 0.0 {
        return Err(Wrong::new(
            format!("the spread `{}` is negative", right.trim()),
            "write it without the minus sign",
        ));
    }
    if half > bound.max - bound.min {
        return Err(Wrong::new(
            format!(
                "the spread `± {}` is wider than {} can range at all",
                right.trim(),
                bound.name
            ),
            format!(
                "± {} is the most that is read; write how far nine in ten such cars may lie off",
                shown((bound.max - bound.min) / m.unit.factor, m.unit)
            ),
        ));
    }
    let spread = match half > 0.0 {
        true => Spread::Normal { sd: half / HALF_OF_90_PERCENT },
        false => Spread::Exact,
    };
    Ok(Quantity { value, spread: Some(spread) })
}

/// A bare TOML number: only shares and plain numbers can do without a unit.
pub(crate) fn from_number(number: f64, written: &str, bound: &Bound) -> Result<Quantity, Wrong> {
    match bare_unit(bound.dimension) {
        Some(unit) => Ok(Quantity::known(within(Measure { number, unit }, bound)?)),
        None => Err(no_unit(written, bound)),
    }
}

/// Reads number and unit of what lies within `bound`; a number without unit takes `borrowed` if there is one.
fn of_bound(text: &str, bound: &Bound, borrowed: Option<&str>) -> Result<Measure, Wrong> {
    let (number, unit) = number_and_unit(text, bound.dimension)?;
    let unit = if unit.is_empty() { borrowed.unwrap_or_default() } else { unit };
    match unit_for(unit, text, bound.dimension)? {
        Some(unit) => Ok(Measure { number, unit }),
        None => Err(no_unit(text, bound)),
    }
}

/// The value in SI if the range allows it.
fn within(m: Measure, bound: &Bound) -> Result<f64, Wrong> {
    let si = m.si();
    // The ends of the range belong to it, however their text was rounded.
    let slack = 1e-9 * (bound.max - bound.min);
    if si < bound.min - slack || si > bound.max + slack {
        let negative =
            m.number < 0.0 && bound.min >= 0.0 && bound.dimension != Dimension::Temperature;
        let written = shown(m.number, m.unit);
        let what = match si < bound.min {
            true if negative => format!("{written} is negative, which no {} can be", bound.name),
            true => format!("{written} is too small for {}", bound.name),
            false => format!("{written} is too large for {}", bound.name),
        };
        let percent = format!("{} %", plain(m.number));
        let remedy = match bound.dimension == Dimension::Share
            && m.unit.name.is_empty()
            && (bound.min..=bound.max).contains(&(0.01 * si))
        {
            true => format!("did you mean \"{percent}\"? {}", range(bound, m.unit)),
            false => range(bound, m.unit),
        };
        return Err(Wrong::new(what, remedy));
    }
    Ok(si.clamp(bound.min, bound.max))
}

/// The range allowed, in the unit the user wrote. Its ends are rounded inwards, so that what is written as they stand
/// here is taken.
pub(crate) fn range(bound: &Bound, unit: &Unit) -> String {
    let end = |si, up| with_unit(&inwards(unit.number_from_si(si), up), unit);
    format!("it may be {} to {}", end(bound.min, true), end(bound.max, false))
}

/// The usual range, in this unit.
pub(crate) fn usual(bound: &Bound, unit: &Unit) -> String {
    let end = |si| shown(unit.number_from_si(si), unit);
    format!("{} to {}", end(bound.usual.0), end(bound.usual.1))
}

fn shown(number: f64, unit: &Unit) -> String {
    with_unit(&plain(number), unit)
}

fn with_unit(number: &str, unit: &Unit) -> String {
    match unit.name {
        "" => number.to_owned(),
        name => format!("{number} {name}"),
    }
}

/// A number as [`plain`] has it, but never below it (`up`) or never above it, beyond what a float leaves open.
fn inwards(x: f64, up: bool) -> String {
    let slack = 1e-12 * x.abs();
    let beyond = |y: f64| if up { y < x - slack } else { y > x + slack };
    let text = plain(x);
    let Ok(rounded) = text.parse::<f64>() else { return text };
    if !beyond(rounded) {
        return text;
    }
    // One unit of the last of four digits further in.
    let step = portable::powi(10.0, portable::log10(x.abs()).floor() as i32 - 3);
    plain(if up { rounded + step } else { rounded - step })
}

/// A number with at most four significant digits and no needless zeros.
pub fn plain(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return if x == 0.0 { "0".into() } else { format!("{x}") };
    }
    let magnitude = portable::log10(x.abs()).floor();
    if !(-5.0..9.0).contains(&magnitude) {
        return format!("{x:.3e}");
    }
    let decimals = (3.0 - magnitude).max(0.0) as usize;
    let text = format!("{x:.decimals$}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

fn bare_unit(dimension: Dimension) -> Option<&'static Unit> {
    dimension.units().find(|u| u.name.is_empty())
}

/// A number without its unit: which unit is likely, from what is usual, and what another would have meant.
fn no_unit(written: &str, bound: &Bound) -> Wrong {
    let written = written.trim();
    let what = format!("`{written}` has no unit; {} is wanted", bound.dimension.word());
    let number = number_and_unit(written, bound.dimension).map_or(f64::NAN, |(number, _)| number);
    let every: Vec<&'static Unit> = bound.dimension.units().collect();
    let meant = |unit: &'static Unit| Measure { number, unit };
    let allowed = |unit: &&'static Unit| within(meant(unit), bound).is_ok();
    // Where a common unit makes sense of it, a rare one is not thought of.
    let sensible = |rare: bool| -> Vec<&'static Unit> {
        let of_kind = every.iter().copied().filter(|u| u.rare == rare);
        of_kind.filter(|u| bound.is_usual(u.to_si(number))).collect()
    };
    let common = sensible(false);
    let likely = if common.is_empty() { sensible(true) } else { common };
    let remedy = match likely.as_slice() {
        [] => format!(
            "write it with the unit that is meant, for instance \"{}\" (units: {})",
            example(bound),
            bound.dimension.unit_names()
        ),
        [one] => {
            let mut others = every.iter().copied().filter(|u| u != one && !u.rare);
            let other = others.find(allowed);
            let compared = other.map_or_else(String::new, |other| {
                let in_other = other.number_from_si(one.to_si(number));
                let in_one = one.number_from_si(other.to_si(number));
                format!(
                    " ({} is {}; {} would be {})",
                    shown(number, one),
                    rough(in_other, other),
                    shown(number, other),
                    rough(in_one, one)
                )
            });
            format!("write \"{written} {}\" if that is meant{compared}", one.name)
        }
        [first, others @ ..] => {
            let first_one = format!("\"{written} {}\"", first.name);
            let others = others.iter().map(|u| {
                let same = rough(first.number_from_si(u.to_si(number)), first);
                format!("\"{written} {}\" (which is {same})", u.name)
            });
            let all: Vec<String> = std::iter::once(first_one).chain(others).collect();
            format!("write what is meant: {}", all.join(" or "))
        }
    };
    Wrong::new(what, remedy)
}

/// A number in a unit, to the three digits that a comparison needs.
fn rough(number: f64, unit: &Unit) -> String {
    let digits = 2 - portable::log10(number.abs().max(f64::MIN_POSITIVE)).floor() as i32;
    let scale = portable::powi(10.0, digits.clamp(0, 9));
    shown((number * scale).round() / scale, unit)
}

/// The unit of the right dimension that goes by this name, which may be none where a number can do without; `text` is
/// what it stands in.
fn unit_for(name: &str, text: &str, dimension: Dimension) -> Result<Option<&'static Unit>, Wrong> {
    if name.is_empty() {
        return Ok(bare_unit(dimension));
    }
    match units::find(name, Some(dimension)) {
        Found::Unit(u) if u.dimension == dimension => Ok(Some(u)),
        Found::Unit(u) => Err(Wrong::new(
            format!(
                "`{}` is {}, but {} is wanted",
                text.trim(),
                u.dimension.word(),
                dimension.word()
            ),
            instead(dimension),
        )),
        Found::Ambiguous(choice) if meant(choice) != Some(dimension) => Err(Wrong::new(
            format!(
                "`{}` is {}, but {} is wanted",
                text.trim(),
                meant(choice).map_or("something else", Dimension::word),
                dimension.word()
            ),
            instead(dimension),
        )),
        Found::Ambiguous(choice) => Err(Wrong::new(
            format!("`{name}` can mean more than one unit"),
            format!("write {choice}"),
        )),
        Found::Unknown => {
            let known = dimension
                .units()
                .flat_map(|u| std::iter::once(u.name).chain(u.also.iter().copied()));
            // Of two letters any unit is but one letter away.
            let long = name.chars().count() > 2;
            let remedy = match suggest::nearest(name, known).filter(|_| long) {
                Some(near) => {
                    format!("did you mean `{near}`? Units: {}", dimension.unit_names())
                }
                None => instead(dimension),
            };
            let wanted = dimension.word();
            // A unit with something in it that no unit holds.
            let odd = |c: char| !(c.is_alphanumeric() || " %°º˚/.²³^µ".contains(c));
            let rest = name.replace(odd, "");
            if rest != name && matches!(units::find(rest.trim(), Some(dimension)), Found::Unit(_)) {
                let odd: String = name.chars().filter(|c| odd(*c)).collect();
                let what = format!("`{odd}` stands in the unit of `{}`", text.trim());
                return Err(Wrong::new(what, format!("delete it: write `{}`", rest.trim())));
            }
            let what = format!("`{name}` is not a unit that is understood; {wanted} is wanted");
            Err(Wrong::new(what, remedy))
        }
    }
}

/// The dimension of the units among which a name leaves the choice: that of the first.
fn meant(choice: &str) -> Option<Dimension> {
    match units::find(choice.split(" (").next()?, None) {
        Found::Unit(u) => Some(u.dimension),
        _ => None,
    }
}

/// What a volume or a time is, told by its unit: for stop rules.
pub(crate) fn dimension_of(text: &str) -> Option<Dimension> {
    let (left, right) = split_spread(text);
    let (_, mut unit) = number_and_unit(left, Dimension::Volume).ok()?;
    if let (true, Some(right)) = (unit.is_empty(), right) {
        unit = number_and_unit(right, Dimension::Volume).ok()?.1;
    }
    match units::find(unit, None) {
        _ if unit.is_empty() => None,
        Found::Unit(u) => Some(u.dimension),
        Found::Ambiguous(_) => Some(Dimension::Volume),
        Found::Unknown => None,
    }
}

/// The length of a difference (a standard deviation), SI, told by its text.
pub(crate) fn difference(text: &str, dimension: Dimension) -> Result<f64, Wrong> {
    let (number, unit) = number_and_unit(text, dimension)?;
    let Some(unit) = unit_for(unit, text, dimension)? else {
        let what = format!("`{}` has no unit; {} is wanted", text.trim(), dimension.word());
        return Err(Wrong::new(what, instead(dimension)));
    };
    match number > 0.0 {
        true => Ok(unit.difference_to_si(number)),
        false => Err(Wrong::new(
            format!("`{}` is no spread: it must be more than nothing", text.trim()),
            "write how far the value may reasonably lie off",
        )),
    }
}

#[cfg(test)]
#[path = "quantity_text_tests.rs"]
mod tests;
