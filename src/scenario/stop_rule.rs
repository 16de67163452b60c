//! From `"clean, at least 100 mL, at most 400 mL"` to a [`StopRule`].

use super::mistake::Wrong;
use super::procedure::StopRule;
use super::quantity_text::{self, plain};
use super::step_quantity::StepQuantity;
use super::suggest;
use crate::keys::Quantity;
use crate::keys::units::Dimension;
use crate::measures::to_ml;

/// What a stop rule may look like, for remedies.
pub(crate) const EXAMPLES: &str = "write for instance \"clean\", \"250 mL\", \"90 s\" or \"clean, at least 100 mL, at most 400 mL\"";

/// Reads a stop rule: parts joined by commas.
///
/// Parts: `clean`, `clean below SHARE`, `hold VOLUME`, a volume, a time, `at least VOLUME`,
/// `at most VOLUME`. `until` before the first is allowed.
///
/// # Errors
/// If a part is not understood, stands twice, or the parts contradict each other so that the rule
/// could never be met.
pub fn parse(text: &str) -> Result<StopRule, Wrong> {
    let mut rule = StopRule::default();
    let text = text.trim();
    if text.is_empty() {
        return Err(Wrong::new("the stop rule is empty", EXAMPLES));
    }
    if text.len() > 200 {
        return Err(Wrong::new("this text is too long for a stop rule", EXAMPLES));
    }
    let whole = text.strip_prefix("until ").unwrap_or(text);
    for part in whole.split(',') {
        read_part(part.trim(), whole, &mut rule)?;
    }
    judge(&rule)?;
    Ok(rule)
}

fn read_part(part: &str, whole: &str, rule: &mut StopRule) -> Result<(), Wrong> {
    let words = part.split_whitespace().collect::<Vec<_>>().join(" ");
    // ASCII only, so that offsets into one hold for the other.
    let lower = words.to_ascii_lowercase();
    let after = |prefix: &str| lower.starts_with(prefix).then(|| words[prefix.len()..].trim());
    if words.is_empty() {
        return Err(Wrong::new("a comma in the stop rule has nothing beside it", EXAMPLES));
    }
    if lower == "clean" {
        once(rule.clean, "clean")?;
        rule.clean = true;
    } else if let Some(rest) = after("clean ").filter(|rest| {
        let rest = rest.to_ascii_lowercase();
        ["at least ", "at most ", "hold "].iter().any(|word| rest.starts_with(word))
    }) {
        return Err(Wrong::new(
            format!("`{part}` lacks a comma"),
            format!("write \"clean, {rest}\""),
        ));
    } else if let Some(share) = after("clean below ").or_else(|| after("clean at ")) {
        once(rule.clean, "clean")?;
        rule.clean = true;
        rule.threshold = Some(quantity(StepQuantity::Threshold, share)?);
    } else if let Some(volume) = after("hold ") {
        once(rule.hold.is_some(), "hold")?;
        rule.hold = Some(counted(StepQuantity::Hold, volume)?);
    } else if let Some(volume) = after("at least ") {
        once(rule.at_least.is_some(), "at least")?;
        rule.at_least = Some(counted(StepQuantity::AtLeast, volume)?);
    } else if let Some(volume) = after("at most ") {
        once(rule.at_most.is_some(), "at most")?;
        rule.at_most = Some(counted(StepQuantity::AtMost, volume)?);
    } else if words.starts_with(|c: char| c.is_ascii_digit() || "+-−.".contains(c)) {
        volume_or_time(&words, whole, rule)?;
    } else {
        return Err(not_understood(part));
    }
    Ok(())
}

fn not_understood(part: &str) -> Wrong {
    let lower = part.to_lowercase();
    let first: String = lower.split_whitespace().next().unwrap_or_default().to_owned();
    let known = ["clean", "clean below 5 %", "hold", "at least", "at most"];
    let remedy = match suggest::nearest(&lower, known).or(suggest::nearest(&first, known)) {
        Some(near) => format!("did you mean `{near}`? {EXAMPLES}"),
        None => EXAMPLES.to_owned(),
    };
    Wrong::new(format!("`{part}` is no part of a stop rule"), remedy)
}

fn once(already: bool, name: &str) -> Result<(), Wrong> {
    match already {
        true => Err(Wrong::new(format!("`{name}` stands twice in the stop rule"), "say it once")),
        false => Ok(()),
    }
}

fn quantity(what: StepQuantity, text: &str) -> Result<Quantity, Wrong> {
    quantity_text::parse(text, what.bound())
}

fn counted(what: StepQuantity, text: &str) -> Result<Quantity, Wrong> {
    let word = what.word();
    match quantity_text::dimension_of(text) {
        Some(Dimension::Time) => Err(Wrong::new(
            format!("`{word}` counts millilitres, not time"),
            format!(
                "write for instance \"{word} 100 mL\"; a time alone closes, as in \"clean, 90 s\""
            ),
        )),
        _ => quantity(what, text),
    }
}

fn volume_or_time(text: &str, whole: &str, rule: &mut StopRule) -> Result<(), Wrong> {
    match quantity_text::dimension_of(text) {
        Some(Dimension::Time) => {
            once(rule.time.is_some(), "a time")?;
            rule.time = Some(quantity(StepQuantity::Time, text)?);
            Ok(())
        }
        Some(Dimension::Share) => Err(Wrong::new(
            format!("`{text}` alone is no stop rule"),
            format!("a threshold is written \"clean below {text}\""),
        )),
        None if text.bytes().all(|b| b.is_ascii_digit()) && whole.contains(',') => Err(Wrong::new(
            format!("`{text}` has no unit"),
            "parts are joined by commas, so decimals need a point, as in \"250.5 mL\"",
        )),
        Some(Dimension::Volume) | None => {
            once(rule.volume.is_some(), "a volume")?;
            rule.volume = Some(quantity(StepQuantity::Volume, text)?);
            Ok(())
        }
        Some(other) => Err(Wrong::new(
            format!("`{text}` is {}, but a volume or a time is wanted", other.word()),
            EXAMPLES,
        )),
    }
}

/// Whether the parts can be met together.
fn judge(rule: &StopRule) -> Result<(), Wrong> {
    let ml = |q: Quantity| format!("{} mL", plain(to_ml(q.value)));
    if !rule.clean && rule.hold.is_some() {
        return Err(Wrong::new(
            "`hold` says for how many millilitres it must stay clean, but the rule has no `clean`",
            "write for instance \"clean, hold 20 mL\"",
        ));
    }
    if !rule.clean && rule.volume.is_none() && rule.time.is_none() {
        return Err(Wrong::new("the stop rule says nothing that closes the bleeder", EXAMPLES));
    }
    if let (Some(least), Some(most)) = (rule.at_least, rule.at_most)
        && least.value > most.value
    {
        return Err(Wrong::new(
            format!(
                "the rule can't be met: at least {} is more than at most {}",
                ml(least),
                ml(most)
            ),
            "let `at least` be the smaller of the two",
        ));
    }
    if let (Some(volume), Some(most)) = (rule.volume, rule.at_most)
        && volume.value > most.value
    {
        return Err(Wrong::new(
            format!(
                "the rule can't be met: {} is never reached with at most {}",
                ml(volume),
                ml(most)
            ),
            "leave out `at most`, or raise it",
        ));
    }
    if let (Some(volume), Some(least)) = (rule.volume, rule.at_least)
        && volume.value < least.value
    {
        return Err(Wrong::new(
            format!(
                "the rule can't be met: it closes at {} but not before {}",
                ml(volume),
                ml(least)
            ),
            "leave out `at least`, or lower it",
        ));
    }
    if let (Some(hold), Some(most)) = (rule.hold, rule.at_most)
        && hold.value >= most.value
    {
        return Err(Wrong::new(
            format!(
                "the rule can't be met: clean for {} does not fit into at most {}",
                ml(hold),
                ml(most)
            ),
            "let `hold` be well below `at most`",
        ));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_kind_of_rule() {
        let rule =
            parse("until clean below 5 %, hold 20 mL, at least 100 mL, at most 400 mL, 10 min");
        let rule = rule.expect("a rule");
        assert!(rule.clean);
        let si = |q: Option<Quantity>| q.map_or(f64::NAN, |q| q.value);
        assert!((si(rule.threshold) - 0.05).abs() < 1e-12);
        assert!((si(rule.hold) - 20e-6).abs() < 1e-15);
        assert!((si(rule.at_least) - 100e-6).abs() < 1e-15);
        assert!((si(rule.at_most) - 400e-6).abs() < 1e-15);
        assert!((si(rule.time) - 600.0).abs() < 1e-9);
        let volume = parse("250 mL").expect("a rule");
        assert!(!volume.clean && volume.time.is_none() && volume.at_most.is_none());
        assert!((si(volume.volume) - 250e-6).abs() < 1e-15);
    }

    #[test]
    fn wrong_rules_are_explained() {
        for (text, what) in [
            ("", "empty"),
            ("claen", "no part"),
            ("clean,", "nothing beside"),
            ("clean, clean", "twice"),
            ("at most 300 mL", "nothing that closes"),
            ("hold 20 mL", "no `clean`"),
            ("at least 400 mL, clean, at most 100 mL", "can't be met"),
            ("300 mL, at most 200 mL", "never reached"),
            ("100 mL, at least 200 mL", "not before"),
            ("clean, hold 300 mL, at most 200 mL", "does not fit"),
            ("0 mL", "too small"),
            ("-3 mL", "negative"),
            ("clean below 0 %", "too small"),
            ("clean below 100 %", "too large"),
            ("5 %", "alone is no stop rule"),
            ("at least 30 s, clean", "not time"),
            ("clean, hold 30 s", "not time"),
            ("250,5 mL", "has no unit"),
            ("15 psi", "pressure"),
            ("250", "has no unit"),
            ("clean below 5 mL", "a volume"),
        ] {
            match parse(text) {
                Ok(rule) => panic!("{text} was read as {rule:?}"),
                Err(w) => assert!(w.what.contains(what), "{text}: {}", w.what),
            }
        }
    }
}
