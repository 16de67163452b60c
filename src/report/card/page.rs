//! The card's figures as the template wants them: text and widths.

use super::bars::{Kind, key};
use super::phrases::{free, screws, sentence, time};
use super::pushed::{self, Line, volume_of};
use super::rows::{BOX_TAKES, CardRow, openings_of, room_taken, rows};
use super::rules::{range_note, stop_rule};
use super::stays;
use super::{Paper, Style};
use crate::harmless;
use crate::job::record::{Warning, in_units, with_set, without_lines};
use crate::report::Units;
use crate::report::figures::{pressure, shortened};
use crate::study::job_card::{BleederTask, JobCard, Push};
use serde::Serialize;

/// Everything on the page.
#[derive(Debug, Serialize)]
pub(super) struct Page {
    title: String,
    /// What was set over the values of the file.
    set: Option<String>,
    file: String,
    version: &'static str,
    paper: &'static str,
    /// How large the rows of the order can be: `few`, `some`, `many`.
    size: &'static str,
    grade: String,
    glycol: bool,
    note: Option<String>,
    bottles: String,
    fluid: Vec<Line>,
    old_grade: Option<String>,
    stops: Vec<String>,
    notes: Vec<String>,
    /// What it is done with, in the title and above its figures.
    how: &'static str,
    push_head: &'static str,
    /// The gauge to pump to.
    gauge: Option<String>,
    push: Vec<Line>,
    vacuum: bool,
    limit: Option<String>,
    /// Whether anything presses on the reservoir.
    pressed: bool,
    /// Whether a hydraulic modulator holds fluid that no bleeder reaches.
    modulator_traps: bool,
    bay: String,
    /// For how long fluid runs.
    runs: String,
    bay_note: String,
    rows: Vec<CardRow>,
    more: Option<String>,
    key: Vec<Kind>,
    total: String,
    stop_rule: String,
    range_note: String,
    /// Old fluid left in all.
    left: String,
    dirtiest: Option<String>,
    stays: Vec<Line>,
    trapped: Vec<String>,
    foot: String,
    /// Whether the rows of the order leave room to write.
    notes_room: bool,
}

/// Warnings of either sort that the page has room for.
const MOST_WARNINGS: usize = 3;
/// What the vehicle's note and a warning take from the rows, in openings.
const NOTE_TAKES: f64 = 0.3;
const WARNING_TAKES: f64 = 0.4;
/// Columns of the vehicle's note.
const LONGEST_NOTE: usize = 200;

impl Page {
    pub(super) fn new(card: &JobCard, style: Style) -> Self {
        let (w, units) = (&style.wording.words(card.spoken), style.units);
        let (rows, left_out) = rows(card, w, units);
        let (how, push_head) = pushed::with(&card.push);
        let openings = rows.iter().filter(|r| r.step.is_none()).count();
        let above = [(card.stopped(), BOX_TAKES), (card.note.is_some(), NOTE_TAKES)];
        let above: f64 = above.iter().filter(|(there, _)| *there).map(|(_, takes)| takes).sum();
        let notes = told(&card.notes, units);
        let taken = room_taken(&rows) + above + WARNING_TAKES * notes.len() as f64;
        let all: Vec<&BleederTask> = openings_of(card).collect();
        let origins = || all.iter().filter_map(|t| t.opening.as_ref()).map(|o| &o.origins_ml);
        let f = &card.fluid;
        Self {
            title: title(&card.record.scenario.title),
            set: with_set(&card.record.scenario.set).map(|set| shortened(&set, 160)),
            file: free(&card.record.scenario.file, 60),
            version: card.record.farwheel,
            paper: match style.paper {
                Paper::Any => "auto",
                Paper::A4 => "A4 portrait",
                Paper::Letter => "letter portrait",
            },
            size: match taken {
                t if t <= 8.0 && openings <= 4 => "few",
                t if t <= 10.1 => "some",
                _ => "many",
            },
            grade: free(&f.grade, 16),
            glycol: f.glycol,
            note: card.note.as_ref().map(|note| shortened(&harmless(note), LONGEST_NOTE)),
            bottles: pushed::bottles(card),
            fluid: pushed::fluid(card, units),
            old_grade: (f.old_grade != f.grade).then(|| free(&f.old_grade, 16)),
            stops: told(&card.stops, units),
            notes,
            how,
            push_head,
            gauge: pushed::gauge(&card.push, units),
            push: pushed::push(card, units),
            vacuum: matches!(card.push, Push::Vacuum { .. }),
            limit: card.gauge_limit_kpa.map(|k| pressure(k, units)),
            pressed: matches!(card.push, Push::Pressure { .. }),
            bay: time(card.bay.all_s),
            runs: format!("fluid runs for {}", time(card.bay.flow_s)),
            bay_note: format!(
                "set-up {}, closing {}, the rest moving and waiting",
                time(card.bay.setup_s),
                time(card.bay.finish_s)
            ),
            more: (left_out > 0).then(|| {
                format!(
                    "… and {left_out} more steps, for which this page has no room: take the table of flush"
                )
            }),
            key: key(origins(), &card.record.left.parts, w.tube),
            total: format!(
                "{} at {}",
                volume_of(card.record.totals.drained_ml, units),
                screws(distinct(&all), w)
            ),
            stop_rule: stop_rule(card, &all),
            range_note: range_note(card, &all),
            left: stays::in_all(&card.record.left),
            dirtiest: stays::dirtiest(card),
            stays: stays::left(card, units),
            trapped: stays::trapped(card, w, units),
            modulator_traps: card.modulator_traps,
            foot: match card.draws {
                Some(n) => format!("{n} draws, seed {}", card.seed),
                None => format!("seed {}", card.seed),
            },
            notes_room: openings <= 3 && !card.stopped(),
            rows,
        }
    }
}

/// A scenario's title as the page has it.
pub(super) fn title(title: &str) -> String {
    free(title, 110)
}

fn distinct(all: &[&BleederTask]) -> usize {
    let mut names: Vec<&str> = all.iter().map(|t| t.bleeder.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names.len()
}

/// The warnings that there is room for, without where in the scenario they point; of the rest, how many.
fn told(warnings: &[Warning], units: Units) -> Vec<String> {
    let mut all: Vec<String> = (warnings.iter().take(MOST_WARNINGS))
        .map(|w| sentence(&in_units(&without_lines(&w.text), units), 280))
        .collect();
    match warnings.len().saturating_sub(MOST_WARNINGS) {
        0 => {}
        1 => all.push("One more warning: flush tells it.".to_owned()),
        more => all.push(format!("{more} more warnings: flush tells them.")),
    }
    all
}
