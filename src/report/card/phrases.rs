//! Sentences of the card that hang on figures.

use super::levels::level;
use crate::harmless;
use crate::job::record::{CleanState, ClosedBy, Opening};
use crate::measures::to_ml;
use crate::report::Units;
use crate::report::figures::{lasting, pressure, rounded, shortened};
use crate::report::wording::Words;
use crate::study::job_card::{BleederTask, JobCard, OtherStep};

/// Columns that a word of the scenario takes at most within a sentence.
const LONGEST_WORD: usize = 28;

/// Text of the scenario, harmless and in at most this many columns.
pub(super) fn free(text: &str, columns: usize) -> String {
    shortened(&harmless(text), columns)
}

/// Sentences in which names from the scenario may stand: endless words are cut, then what is beyond so many
/// columns, whole sentences where that leaves one.
pub(super) fn sentence(text: &str, columns: usize) -> String {
    let words: Vec<String> =
        harmless(text).split(' ').map(|word| shortened(word, LONGEST_WORD)).collect();
    let mut text = words.join(" ");
    if let Some(first) = text.chars().next().filter(|c| c.is_ascii_lowercase()) {
        text.replace_range(..1, &first.to_ascii_uppercase().to_string());
    }
    whole_sentences(&text, columns).map_or_else(|| shortened(&text, columns), str::to_owned)
}

/// The sentences that fit into this many columns; `None` if not even one does.
fn whole_sentences(text: &str, columns: usize) -> Option<&str> {
    if unicode_width::UnicodeWidthStr::width(text) <= columns {
        return Some(text);
    }
    let ends = text.match_indices(". ").map(|(end, _)| &text[..=end]);
    ends.take_while(|sentences| unicode_width::UnicodeWidthStr::width(*sentences) <= columns).last()
}

/// Millilitres without digits behind the point.
pub(super) fn ml(ml: f64) -> String {
    format!("{}\u{a0}mL", rounded(ml, 0))
}

/// A time that no line breaks, and no seconds where there are none.
pub(super) fn time(seconds: f64) -> String {
    let text = lasting(seconds);
    let text = text.strip_suffix(" 0 s").filter(|t| !t.is_empty()).unwrap_or(&text);
    text.replace(' ', "\u{a0}")
}

/// The reason to close, in few words for the row; without the upper bound where it is told once for all.
pub(super) fn until(task: &BleederTask, at_most_told: bool) -> String {
    let u = &task.until;
    let volume = |q: Option<crate::keys::quantity::Quantity>| q.map(|q| ml(to_ml(q.value)));
    let mut ways = Vec::new();
    if u.clean {
        let level =
            u.threshold.map(|t| format!(" (at most {}\u{a0}% old)", rounded(100.0 * t.value, 0)));
        let level = level.unwrap_or_default();
        let hold = task.hold_ml.map(|h| format!(", then {} more", ml(h)));
        ways.push(match run_through(task) {
            Some(all) => format!("run {all}, all of it clean{level}"),
            None => format!("close when it looks clean{level}{}", hold.unwrap_or_default()),
        });
    }
    ways.extend(volume(u.volume).map(|v| format!("close at {v}, counted out")));
    ways.extend(u.time.map(|t| format!("close after {}", time(t.value))));
    let mut text = ways.join(" or ");
    if let Some(least) = task.least_look_s {
        text.push_str(&format!(", not before {}", time(least)));
    }
    if let Some(least) = volume(u.at_least) {
        text.push_str(&format!("; not before {least}"));
    }
    if let Some(most) = volume(u.at_most).filter(|_| !at_most_told) {
        text.push_str(&format!("; at {most} in any case"));
    }
    text
}

/// How far the millilitres until it looks clean range, for where a state is told that has any.
pub(super) fn range(task: &BleederTask) -> Option<String> {
    let stuck = |o: &Opening| matches!(o.closed_by, ClosedBy::NoFlow | ClosedBy::Supply);
    let (low, high) = task.range_ml.filter(|_| !task.opening.as_ref().is_none_or(stuck))?;
    Some(format!("({}–{})", rounded(low, 0), rounded(high, 0)))
}

/// What runs clean from the first drop until it may be closed, mL.
fn run_through(task: &BleederTask) -> Option<String> {
    let o = task.opening.as_ref().filter(|o| o.clean_state == CleanState::Already)?;
    (o.closed_by == ClosedBy::Clean).then(|| ml(o.drained_ml))
}

/// From where on it looks clean.
pub(super) fn clean(task: &BleederTask) -> String {
    use CleanState::{Already, Lost, NotReached, Reached};
    let Some(o) = &task.opening else { return "not reached".to_owned() };
    match (o.clean_state, o.clean_at_ml, o.closed_by) {
        (_, _, ClosedBy::NoFlow) => "nothing flows".to_owned(),
        (_, _, ClosedBy::Supply) => "supply runs dry here".to_owned(),
        (Already, _, _) => "clean all along".to_owned(),
        (Reached, Some(at), _) => format!("clean from {}", rounded(at, 0)),
        (Lost, _, _) => "clean, then dirty again".to_owned(),
        (Reached, None, _) | (NotReached, _, _) => match o.clean_since_ml {
            Some(since) => format!("clean from {}", rounded(since, 0)),
            None => "still dirty at the close".to_owned(),
        },
    }
}

/// A step that opens no bleeder, or not by a stop rule.
pub(super) fn step(step: &OtherStep, card: &JobCard, units: Units) -> String {
    let level = |ml: f64| level(ml, &card.marks);
    match step {
        OtherStep::Syringe { leave_ml, out_ml } => {
            let out = out_ml.map(|out| format!(" (takes out about {})", ml(out)));
            format!("Syringe the reservoir down to {}{}", level(*leave_ml), out.unwrap_or_default())
        }
        OtherStep::TopUp { to_ml } => {
            format!("Fill the reservoir to {} with new fluid", level(*to_ml))
        }
        OtherStep::Load { ml: more } => format!("Load {} more new fluid", ml(*more)),
        OtherStep::RePump { gauge_kpa } => format!("Pump up to {}", pressure(*gauge_kpa, units)),
        OtherStep::Wait { seconds } => format!("Wait {}", time(*seconds)),
        OtherStep::WorkModulator { modulator, seconds, bleeders, drained_ml } => {
            let names: Vec<String> = bleeders.iter().take(8).map(|b| free(b, 16)).collect();
            let open = match names.is_empty() {
                true => String::new(),
                false => format!(" with {} open ({} come out)", names.join(", "), ml(*drained_ml)),
            };
            let text = format!(
                "Work hydraulic modulator {} for {}{open}",
                free(modulator, 20),
                lasting(*seconds)
            );
            shortened(&text, 100)
        }
        OtherStep::Relieve => "Let the pressure off".to_owned(),
        OtherStep::SetLevel { to_ml } => format!("Set the reservoir to {}", level(*to_ml)),
    }
}

/// `1 bleeder screw`, `4 bleeder screws`.
pub(super) fn screws(n: usize, w: &Words) -> String {
    if n == 1 { format!("1 {}", w.screw) } else { format!("{n} {}", w.screws) }
}
