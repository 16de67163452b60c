//! The card's figures as the template wants them: text and widths.

use super::bars::{Bar, Kind, bar, key};
use super::phrases::{clean, free, ml, range, screws, sentence, step, time, top_ups, until};
use super::{Paper, Style};
use crate::job::record::{with_set, without_line};
use crate::report::Units;
use crate::report::figures::{percent, pressure, rounded, shortened, taken_as_known, volume};
use crate::report::wording::Words;
use crate::study::job_card::{BleederTask, JobCard, Push, Side, Task};
use serde::Serialize;

/// Openings that the page has room for, and how much of that a step of another kind and the box that stops
/// the job take.
const ROOM: f64 = 12.0;
const STEP_TAKES: f64 = 0.6;
const BOX_TAKES: f64 = 3.0;

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
    bottles: String,
    bottles_note: String,
    old_grade: Option<String>,
    stops: Vec<String>,
    notes: Vec<String>,
    push: Vec<(&'static str, String)>,
    pressure_bleeder: bool,
    vacuum: bool,
    limit: Option<String>,
    /// Whether anything presses on the reservoir.
    pressed: bool,
    leak: Option<Leak>,
    bay: String,
    bay_note: String,
    rows: Vec<CardRow>,
    more: Option<String>,
    key: Vec<Kind>,
    total: String,
    stop_rule: String,
    range_note: String,
    trapped: Vec<String>,
    left: String,
    marks: String,
    foot: String,
    /// Whether the rows of the order leave room to write.
    notes_room: bool,
}

#[derive(Debug, Serialize)]
struct Leak {
    before: String,
    after: String,
    drop: String,
}

/// A row of the order.
#[derive(Debug, Default, Serialize)]
struct CardRow {
    /// A step without a bleeder; the rest is then empty.
    step: Option<String>,
    number: usize,
    /// Opened together with the row above.
    joined: bool,
    pass: Option<u32>,
    bleeder: String,
    /// Whose side of the vehicle it is on.
    side: Option<&'static str>,
    /// `long` or `longest` for a name that is set smaller.
    long: Option<&'static str>,
    millilitres: String,
    clean: String,
    range: Option<String>,
    until: String,
    time: Option<String>,
    bar: Option<Bar>,
}

impl Page {
    pub(super) fn new(card: &JobCard, style: Style) -> Self {
        let (w, units) = (&style.wording.words(card.spoken), style.units);
        let (rows, more) = rows(card, units);
        let openings = rows.iter().filter(|r| r.step.is_none()).count();
        let all: Vec<&BleederTask> = openings_of(card).collect();
        let origins = || all.iter().filter_map(|t| t.opening.as_ref()).map(|o| &o.origins_ml);
        let f = &card.fluid;
        Self {
            title: free(&card.record.scenario.title, 110),
            set: with_set(&card.record.scenario.set).map(|set| shortened(&set, 160)),
            file: free(&card.record.scenario.file, 60),
            version: card.record.farwheel,
            paper: match style.paper {
                Paper::Any => "auto",
                Paper::A4 => "A4 portrait",
                Paper::Letter => "letter portrait",
            },
            // The box that stops the job takes room from the rows.
            size: match openings + if card.stopped() { BOX_TAKES as usize } else { 0 } {
                0..=4 => "few",
                5..=8 => "some",
                _ => "many",
            },
            grade: free(&f.grade, 16),
            glycol: f.glycol,
            bottles: format!("{} × {}", f.open, bottle(f.bottle_ml)),
            bottles_note: bottles_note(card, units),
            old_grade: (f.old_grade != f.grade).then(|| free(&f.old_grade, 16)),
            stops: card
                .stops
                .iter()
                .take(3)
                .map(|s| sentence(without_line(&s.text), 280))
                .collect(),
            notes: card
                .notes
                .iter()
                .take(3)
                .map(|n| sentence(without_line(&n.text), 280))
                .collect(),
            push: push(card, units),
            pressure_bleeder: matches!(card.push, Push::Pressure { .. }),
            vacuum: matches!(card.push, Push::Vacuum { .. }),
            limit: card.gauge_limit_kpa.map(|k| pressure(k, units)),
            pressed: matches!(card.push, Push::Pressure { .. }),
            leak: card.leak_test.map(|l| Leak {
                before: pressure(l.gauge_before_kpa, units),
                after: pressure(l.gauge_after_kpa, units),
                drop: drop(l.gauge_before_kpa - l.gauge_after_kpa, units),
            }),
            bay: time(card.bay.all_s),
            bay_note: format!(
                "set-up {}, fluid running {}, closing {}, the rest moving and waiting",
                time(card.bay.setup_s),
                time(card.bay.flow_s),
                time(card.bay.finish_s)
            ),
            more,
            key: key(origins(), w.line),
            total: format!(
                "{} at {}",
                volume_of(card.record.totals.drained_ml, units),
                screws(distinct(&all), w)
            ),
            stop_rule: stop_rule(card, &all),
            range_note: range_note(card),
            trapped: trapped(card, w),
            left: left(card),
            marks: format!("{} to {}", ml(card.marks_ml.0), ml(card.marks_ml.1)),
            foot: match card.draws {
                Some(n) => format!("{n} draws, seed {}", card.seed),
                None => format!("seed {}", card.seed),
            },
            notes_room: openings <= 3 && !card.stopped(),
            rows,
        }
    }
}

fn openings_of(card: &JobCard) -> impl Iterator<Item = &BleederTask> {
    card.tasks.iter().flat_map(|t| match t {
        Task::Open(tasks) => tasks.as_slice(),
        Task::Step(_) => &[],
    })
}

fn distinct(all: &[&BleederTask]) -> usize {
    let mut names: Vec<&str> = all.iter().map(|t| t.bleeder.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    names.len()
}

fn volume_of(millilitres: f64, units: Units) -> String {
    match units {
        Units::Metric => ml(millilitres),
        Units::Us => volume(millilitres.round(), units).replace(".0 mL", "\u{a0}mL"),
    }
}

/// As bottles are marked: millilitres or litres, whatever the units of the rest.
fn bottle(millilitres: f64) -> String {
    let litres = millilitres / 1000.0;
    if litres >= 1.0 && millilitres % 100.0 < 1e-6 {
        format!("{litres}\u{a0}L")
    } else {
        ml(millilitres)
    }
}

fn bottles_note(card: &JobCard, units: Units) -> String {
    let f = &card.fluid;
    let mut text = String::from("sealed, new");
    if units == Units::Us {
        text.push_str(&format!(", each {}", volume_of(f.bottle_ml, units)));
    }
    text.push_str(&format!("; {} to load and pour in", volume_of(f.job_ml, units)));
    if f.at_hand > 0 {
        text.push_str(&format!(". Keep {} more sealed at hand", f.at_hand));
    }
    text
}

fn drop(kpa: f64, units: Units) -> String {
    match units {
        Units::Metric => format!("{} kPa", rounded(kpa, 1)),
        Units::Us => pressure(kpa, units),
    }
}

fn rows(card: &JobCard, units: Units) -> (Vec<CardRow>, Option<String>) {
    let drained = openings_of(card).filter_map(|t| t.opening.as_ref()).map(|o| o.drained_ml);
    let longest = drained.fold(1.0, f64::max);
    let passes = openings_of(card).any(|t| t.pass > 1);
    let mut rows = Vec::new();
    let mut room = if card.stopped() { ROOM - BOX_TAKES } else { ROOM };
    let mut left_out = 0;
    for task in &card.tasks {
        match task {
            Task::Step(other) => {
                room -= STEP_TAKES;
                if room < 0.0 {
                    left_out += 1;
                    continue;
                }
                rows.push(CardRow { step: Some(step(other, units)), ..CardRow::default() });
            }
            Task::Open(together) => {
                for (i, t) in together.iter().enumerate() {
                    room -= 1.0;
                    if room < 0.0 {
                        left_out += 1;
                        continue;
                    }
                    let o = t.opening.as_ref();
                    let bleeder = free(&t.bleeder, 40);
                    rows.push(CardRow {
                        step: None,
                        number: t.number,
                        joined: i > 0,
                        pass: passes.then_some(t.pass),
                        long: match bleeder.chars().count() {
                            0..=8 => None,
                            9..=18 => Some("long"),
                            _ => Some("long longest"),
                        },
                        bleeder,
                        side: t.side.map(|side| match side {
                            Side::Driver => "driver’s side",
                            Side::Passenger => "passenger side",
                        }),
                        millilitres: o.map_or("–".to_owned(), |o| rounded(o.drained_ml, 0)),
                        clean: clean(t),
                        range: range(t),
                        until: until(t),
                        time: t.seconds.map(time),
                        bar: o.map(|o| bar(&o.origins_ml, longest)),
                    });
                }
            }
        }
    }
    let more = (left_out > 0).then(|| {
        format!(
            "… and {left_out} more steps, for which this page has no room: take the table of flush"
        )
    });
    (rows, more)
}

fn push(card: &JobCard, units: Units) -> Vec<(&'static str, String)> {
    match &card.push {
        Push::Pressure { gauge_kpa, low_kpa, repumps, loaded_ml } => vec![
            ("Pump to", pressure(*gauge_kpa, units)),
            (
                "Pump up again below",
                match low_kpa {
                    Some(low) if *repumps == 0 => {
                        format!("{} (not needed in this job)", pressure(*low, units))
                    }
                    Some(low) => format!("{} ({repumps}× in this job)", pressure(*low, units)),
                    None => "the scenario gives no mark".to_owned(),
                },
            ),
            ("Load", volume_of(*loaded_ml, units)),
        ],
        Push::Gravity(t) => {
            vec![("By gravity", "cap off, nothing pumped".to_owned()), ("Reservoir", top_ups(t))]
        }
        Push::Vacuum { suction_kpa, top_ups: t } => {
            vec![("Hold a vacuum of", pressure(*suction_kpa, units)), ("Reservoir", top_ups(t))]
        }
        Push::Pedal { pressure_kpa, strokes, top_ups: t } => vec![
            (
                "Two people",
                format!(
                    "about {strokes} strokes, {} by {}",
                    pressure(*pressure_kpa, units),
                    card.spoken.limb
                ),
            ),
            ("Reservoir", top_ups(t)),
        ],
    }
}

fn stop_rule(card: &JobCard, all: &[&BleederTask]) -> String {
    let mut text = String::new();
    if all.iter().any(|t| t.until.clean) {
        text.push_str(&format!(
            "Looks clean: over the first {} mm of clear hose no more than {} % old fluid is to be seen (nearly the colour of new) and it stays so. ",
            rounded(card.watched_mm, 0),
            rounded(100.0 * card.threshold, 0)
        ));
    }
    if all.iter().any(|t| t.until.volume.is_some()) {
        text.push_str("Counted out: read the catch bottle, close at the millilitres given. ");
    }
    if all.iter().any(|t| t.until.time.is_some()) {
        text.push_str("By the clock: close after the time given. ");
    }
    text.push_str("Looking clean is not being clean: see what stays behind.");
    text
}

fn range_note(card: &JobCard) -> String {
    let ranged = openings_of(card).any(|t| t.range_ml.is_some());
    let mut text = match card.draws {
        Some(n) if ranged => format!(
            "Big figure: mL drained when closed. In brackets: 8 in 10 such {} look clean within this range ({n} draws).",
            card.spoken.vehicles
        ),
        Some(_) => {
            let times = |of: &str| openings_of(card).filter(|t| t.bleeder == of).count();
            let why = match openings_of(card).all(|t| times(&t.bleeder) > 1) {
                true => "each bleeder is opened more than once",
                false => "too many draws never looked clean",
            };
            format!("Big figure: mL drained when closed. No range: {why}.")
        }
        None => {
            "Big figure: mL drained when closed. No range: nothing in the scenario is uncertain."
                .to_owned()
        }
    };
    if let Some(known) = taken_as_known(&card.taken_as_known) {
        text.push(' ');
        text.push_str(&known);
    }
    text
}

/// Names that a line of trapped fluid has room for.
const MOST_TRAPPED: usize = 6;

fn trapped(card: &JobCard, w: &Words) -> Vec<String> {
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
        lines.push(format!(
            "{what}: {}{}",
            names.join(", "),
            if pocket { String::new() } else { still_old(card) }
        ));
    }
    if lines.is_empty() {
        lines.push("No dead ends or pockets in this circuit as described.".to_owned());
    }
    lines
}

/// How much of what no bleeder reaches is old at the end, if not all: a worked modulator stirs it.
fn still_old(card: &JobCard) -> String {
    match card.unreached_old {
        Some(share) if share < 0.995 => format!("; {}\u{a0}% of it old at the end", percent(share)),
        _ => String::new(),
    }
}

fn left(card: &JobCard) -> String {
    let l = &card.record.left;
    let mut text = format!(
        "Left in the system: {} of old fluid ({}\u{a0}%)",
        ml(l.old_ml),
        percent(l.old_fraction)
    );
    if let Some((part, share)) = &card.oldest {
        text.push_str(&format!(
            "; oldest flushed: {} ({}\u{a0}% old)",
            free(part, 24),
            percent(*share)
        ));
    }
    text.push('.');
    text
}
