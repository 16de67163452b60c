//! What the page's script is given: the films and curves, rounded to what a screen can show.

use super::comparison::{Comparison, comparisons};
use super::rows::{self, Row};
use super::words::{label, shown};
use crate::job::film::{Film, Frame};
use crate::job::record::{Opening, Record};
use crate::report::wording::Words;
use crate::report::{Units, base64};
use crate::study::lesson::{Lesson, Run};
use serde::Serialize;

/// All of it.
#[derive(Debug, Serialize)]
pub(super) struct Data {
    words: Words,
    parts: Vec<Part>,
    ways: Vec<String>,
    rows: Vec<Row>,
    beside: Vec<usize>,
    brim: f64,
    runs: Vec<Job>,
    comparisons: Vec<Comparison>,
    /// Whether pressures are told in psi alone.
    us: bool,
}

#[derive(Debug, Serialize)]
struct Part {
    name: String,
    kind: &'static str,
    ml: f64,
    cells: usize,
    first: usize,
}

/// One order.
#[derive(Debug, Serialize)]
struct Job {
    label: String,
    end: f64,
    frames: Frames,
    openings: Vec<Drain>,
    supply: Gauge,
    steps: Vec<Done>,
    stopped: bool,
}

/// Moments, column by column.
#[derive(Debug, Serialize)]
struct Frames {
    t: Vec<f64>,
    level: Vec<f64>,
    reservoir: Vec<f64>,
    /// A byte a cell, 255 for all old.
    cells: String,
}

/// An opening.
#[derive(Debug, Serialize)]
struct Drain {
    way: usize,
    name: String,
    pass: u32,
    open: f64,
    close: f64,
    by: &'static str,
    drained: f64,
    threshold: f64,
    looks_at: Option<f64>,
    is_at: Option<f64>,
    /// Drained so far, what is seen and what is on the path, over time.
    t: Vec<f64>,
    ml: Vec<f64>,
    seen: Vec<f64>,
    path: Vec<f64>,
    flow: Vec<f64>,
    /// Names of origins, and a row of millilitres for each of `grown`.
    origins: Vec<&'static str>,
    grown: Vec<f64>,
    shares: Vec<Vec<f64>>,
    strokes: Option<u32>,
}

#[derive(Debug, Serialize)]
struct Gauge {
    t: Vec<f64>,
    kpa: Vec<f64>,
    most: f64,
    name: String,
}

#[derive(Debug, Serialize)]
struct Done {
    at: f64,
    text: String,
}

impl Data {
    pub(super) fn new(lesson: &Lesson, film: &Film, w: &Words, units: Units) -> Self {
        Self {
            words: *w,
            parts: film
                .parts
                .iter()
                .map(|p| Part {
                    name: shown(&p.name),
                    kind: p.kind,
                    ml: round(p.volume_ml),
                    cells: p.cells,
                    first: p.first,
                })
                .collect(),
            ways: film.ways.iter().map(|w| shown(&w.bleeder)).collect(),
            rows: rows::lay_out(film),
            beside: rows::beside(film),
            brim: round(film.brim_ml),
            runs: lesson.runs.iter().map(job).collect(),
            comparisons: comparisons(&lesson.runs, w),
            us: units == Units::Us,
        }
    }
}

fn job(run: &Run) -> Job {
    let record = &run.record;
    let no_frames: &[Frame] = &[];
    let frames = record.film.as_ref().map_or(no_frames, |f| &f.frames);
    let drains = record.openings.iter().zip(&run.is_clean_at_ml);
    Job {
        label: label(&run.named),
        end: round(record.totals.bay_seconds),
        frames: Frames {
            t: column(frames, |f| f.at_s),
            level: column(frames, |f| f.reservoir_ml),
            reservoir: column(frames, |f| f.reservoir_old_fraction),
            cells: base64::encode(
                &frames.iter().flat_map(|f| &f.old_fraction).map(|c| byte(*c)).collect::<Vec<u8>>(),
            ),
        },
        openings: drains.map(|(o, is_at)| drain(record, frames, o, *is_at)).collect(),
        supply: Gauge {
            t: column(&record.supply_curve, |p| p.at_s),
            kpa: column(&record.supply_curve, |p| p.gauge_kpa),
            most: record.supply_curve.iter().map(|p| p.gauge_kpa).fold(0.0, f64::max),
            name: shown(&record.supply),
        },
        steps: record
            .steps
            .iter()
            .map(|s| Done { at: round(s.at_s), text: super::words::step(s) })
            .collect(),
        stopped: record.stopped(),
    }
}

fn drain(record: &Record, frames: &[Frame], o: &Opening, is_at: Option<f64>) -> Drain {
    let film = record.film.as_ref();
    let way = film.and_then(|f| f.ways.iter().position(|w| w.bleeder == o.bleeder)).unwrap_or(0);
    let origins: Vec<&'static str> = o.origins_ml.iter().map(|(name, _)| *name).collect();
    let during = |f: &&Frame| f.at_s > o.opened_s && f.at_s <= o.closed_s;
    let drawn: Vec<_> = frames
        .iter()
        .filter(during)
        .filter_map(|f| f.drawn.iter().find(|d| d.way == way))
        .filter(|d| d.drained_ml < o.drained_ml)
        .collect();
    let of = |all: &[(&'static str, f64)]| -> Vec<f64> {
        let one = |name: &&str| all.iter().find(|x| x.0 == *name).map_or(0.0, |x| round(x.1));
        origins.iter().map(one).collect()
    };
    let mut grown = vec![0.0];
    let mut shares = vec![vec![0.0; origins.len()]];
    for d in drawn {
        grown.push(round(d.drained_ml));
        shares.push(of(&d.origins_ml));
    }
    grown.push(round(o.drained_ml));
    shares.push(of(&o.origins_ml));
    Drain {
        way,
        name: shown(&o.bleeder),
        pass: o.pass,
        open: round(o.opened_s),
        close: round(o.closed_s),
        by: o.closed_by.words(),
        drained: round(o.drained_ml),
        threshold: o.threshold,
        looks_at: o.clean_at_ml.map(round),
        is_at: is_at.map(round),
        t: column(&o.curve, |p| p.at_s),
        ml: column(&o.curve, |p| p.drained_ml),
        seen: column(&o.curve, |p| p.seen_old_fraction),
        path: column(&o.curve, |p| p.path_old_fraction),
        flow: column(&o.curve, |p| p.flow_ml_per_s),
        origins,
        grown,
        shares,
        strokes: o.strokes,
    }
}

fn column<T>(rows: &[T], of: impl Fn(&T) -> f64) -> Vec<f64> {
    rows.iter().map(|row| round(of(row))).collect()
}

/// To a ten-thousandth: far below what is shown.
fn round(value: f64) -> f64 {
    (1e4 * value).round() / 1e4
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a fraction lies between 0 and 1
fn byte(old_fraction: f32) -> u8 {
    (255.0 * old_fraction).round() as u8
}
