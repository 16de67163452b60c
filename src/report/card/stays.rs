//! Where fluid stays, and of what kind it is.

use super::phrases::{free, ml};
use super::pushed::Line;
use crate::job::record::{Left, PartLeft};
use crate::report::Units;
use crate::report::figures::{degree, lowest_place, percent, rounded, temperature, water};
use crate::report::wording::Words;
use crate::study::job_card::JobCard;

/// Names that a line of trapped fluid has room for.
const MOST_TRAPPED: usize = 6;

/// The dirtiest part that a bleeder reaches.
pub(super) fn dirtiest(card: &JobCard) -> Option<String> {
    let part = card.record.left.oldest()?;
    let reached = if card.unreached_old.is_some() { " that a bleeder reaches" } else { "" };
    Some(format!("dirtiest{reached}: {}, {}\u{a0}%", named(part), percent(part.old_fraction)))
}

/// Where most of the old fluid is, of how much water, and where it boils: what it is, and what it says.
pub(super) fn left(card: &JobCard, units: Units) -> Vec<Line> {
    let left = &card.record.left;
    let mut lines = Vec::new();
    lines.extend(
        card.most
            .as_ref()
            .map(|p| ("Most of it", format!("{}, {}", named(p), ml(p.volume_ml * p.old_fraction)))),
    );
    let celsius = temperature(left.lowest_boiling_c, units);
    let at = format!("{celsius}\u{a0}{} in {}", degree(units), lowest_place(left));
    lines.push(("Boils from", at));
    lines.push(("Water", format!("{}\u{a0}%", water(left.water_percent))));
    lines
}

/// How much old fluid is left in all.
pub(super) fn in_all(left: &Left) -> String {
    format!("{} ({}\u{a0}%)", ml(left.old_ml), percent(left.old_fraction))
}

/// A part with its kind before its name, unless the name says it.
fn named(part: &PartLeft) -> String {
    let name = free(&part.part, 24);
    if name.to_lowercase().contains(part.kind) { name } else { format!("{} {name}", part.kind) }
}

fn boils(celsius: f64, units: Units) -> String {
    format!("boils from {}\u{a0}{}", temperature(celsius, units), degree(units))
}

/// What is trapped, line by line.
pub(super) fn trapped(card: &JobCard, w: &Words, units: Units) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let unreached = format!("No {} reaches", w.bleeder);
    for (pocket, what) in [(false, unreached.as_str()), (true, "Pockets that trade slowly")] {
        let of: Vec<_> = card.trapped.iter().filter(|t| t.pocket == pocket).collect();
        if of.is_empty() {
            continue;
        }
        let named = of.iter().take(MOST_TRAPPED);
        let mut names: Vec<String> =
            named.map(|t| format!("{} {}\u{a0}mL", free(&t.part, 22), rounded(t.ml, 1))).collect();
        if of.len() > MOST_TRAPPED {
            names.push(format!("{} more", of.len() - MOST_TRAPPED));
        }
        let behind = if pocket { String::new() } else { what_it_is(card, units) };
        lines.push(format!("{what}: {}{behind}", names.join(", ")));
    }
    if lines.is_empty() {
        lines.push("No dead ends or pockets in this circuit as described.".to_owned());
    }
    lines
}

/// How much of what no bleeder reaches is old at the end, if not all (a worked modulator stirs it), and where it boils.
fn what_it_is(card: &JobCard, units: Units) -> String {
    let Some(trapped) = &card.record.left.trapped else { return String::new() };
    let mut text = String::new();
    if trapped.old_fraction < 0.995 {
        text.push_str(&format!("; {}\u{a0}% of it old at the end", percent(trapped.old_fraction)));
    }
    text + "; " + &boils(trapped.lowest_boiling_c, units)
}
