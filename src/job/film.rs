//! The film of a job: how much old fluid lies where, at moments of the job.
//!
//! Recorded only if [`Options::film`](super::options::Options::film) asks for it. Frames follow what is
//! drained, not the clock, so that an opening has about as many whatever its length: where they would
//! become too many every second one is dropped and the distance doubled.

use super::bleeder::Open;
use super::record::{Origins, PartLeft};
use super::state::{Setting, State};
use super::summary;
use crate::circuit::paths;
use crate::measures::to_ml;
use crate::scenario::procedure::Action;
use serde::Serialize;

/// Cells along a line or hose.
pub const CELLS: usize = 16;
/// Frames of one opening: no fewer than this if it has that many steps, and less than twice as many.
const FRAMES: usize = 20;
/// Frames of all openings together, where there are many of them.
const FRAMES_OF_ALL: usize = 160;
/// Frames of one opening, however many there are.
const LEAST_FRAMES: usize = 6;
/// The first frames of an opening are taken this share of the system's fluid apart.
const FIRST_STRIDE: f64 = 1.0 / 4000.0;

/// A part that holds fluid, the reservoir apart.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmPart {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: &'static str,
    /// Its volume, mL.
    pub volume_ml: f64,
    /// Cells that it has in a frame: [`CELLS`] along a line or hose, one for a chamber.
    pub cells: usize,
    /// Where its cells begin in a frame.
    pub first: usize,
}

/// The way to one bleeder.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Name of the bleeder.
    pub bleeder: String,
    /// Parts that hold fluid, from the reservoir's outlet on, as indices into [`Film::parts`].
    pub parts: Vec<usize>,
}

/// What an open bleeder has drained.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// Index into [`Film::ways`].
    pub way: usize,
    /// Drained since it was opened, mL.
    pub drained_ml: f64,
    /// Where that came from.
    pub origins_ml: Origins,
}

/// One moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// Fluid in the reservoir, mL.
    pub reservoir_ml: f64,
    /// Old fraction in the reservoir.
    pub reservoir_old_fraction: f64,
    /// Old fraction in each cell of each part, in the direction of the part from its `from` on; of a line
    /// the mean over the cross-section.
    pub old_fraction: Vec<f32>,
    /// Open bleeders.
    pub drawn: Vec<Drawn>,
    /// What each part holds, the reservoir's included: as [`Left::parts`](super::record::Left::parts) lists them.
    pub held: Vec<Held>,
}

/// What a part holds at one moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Held {
    /// Fluid, mL.
    pub volume_ml: f64,
    /// Old fluid, mL.
    pub old_ml: f64,
}

/// What a part holds over the job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartOverTime {
    /// Name of the part.
    pub part: String,
    /// Its kind.
    pub kind: &'static str,
    /// Moments, by time. Two of the same time mean that something was done at once.
    pub held: Vec<HeldAt>,
}

/// What a part holds, and when.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeldAt {
    /// Time, s from the start of the job.
    pub at_s: f64,
    /// What it holds then.
    #[serde(flatten)]
    pub held: Held,
}

/// The film.
#[derive(Debug, Clone, PartialEq)]
pub struct Film {
    /// Parts that hold fluid: lines and hoses, then chambers.
    pub parts: Vec<FilmPart>,
    /// Ways, one a bleeder, in file order.
    pub ways: Vec<Way>,
    /// What the reservoir holds when brim-full, mL.
    pub brim_ml: f64,
    /// Moments, by time. Two of the same time mean that something was done at once.
    pub frames: Vec<Frame>,
}

impl Film {
    /// What each of these parts (those of [`Left::parts`](super::record::Left::parts)) holds over the job. Moments between
    /// which nothing happened are one.
    pub fn parts_over_time(&self, parts: &[PartLeft]) -> Vec<PartOverTime> {
        let mut moments: Vec<&Frame> = self.frames.iter().collect();
        moments.dedup_by(|next, last| next.at_s == last.at_s && next.held == last.held);
        let of = |(i, p): (usize, &PartLeft)| PartOverTime {
            part: p.part.clone(),
            kind: p.kind,
            held: moments.iter().map(|f| HeldAt { at_s: f.at_s, held: f.held[i] }).collect(),
        };
        parts.iter().enumerate().map(of).collect()
    }
}

/// Where a part lies in the circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Spot {
    Link(usize),
    Node(usize),
}

/// Records a film.
#[derive(Debug, Clone)]
pub(super) struct Recorder {
    film: Film,
    spots: Vec<Spot>,
    /// Frames of one opening.
    each: usize,
    /// First frame of the step under way.
    since: usize,
    /// Drained so far when the next frame is due, and the distance of frames, m³.
    due_m3: f64,
    stride_m3: f64,
}

impl Recorder {
    /// A recorder, if the options ask for one.
    pub(super) fn wanted(setting: &Setting) -> Option<Self> {
        // Runs that only find out how much was missing are not filmed.
        let wanted = setting.options.film && (setting.options.endless || !setting.endless);
        wanted.then(|| Self::new(setting))
    }

    fn new(setting: &Setting) -> Self {
        let c = &setting.circuit;
        let (mut spots, mut parts, mut first) = (Vec::new(), Vec::new(), 0);
        let mut add = |spot, name: &str, kind, volume_m3: f64, cells| {
            spots.push(spot);
            let volume_ml = to_ml(volume_m3);
            parts.push(FilmPart { name: name.to_owned(), kind, volume_ml, cells, first });
            first += cells;
        };
        for (i, l) in c.links.iter().enumerate() {
            if let Some(tube) = l.tube {
                add(Spot::Link(i), &l.name, l.kind, tube.volume_m3, CELLS);
            }
        }
        for (i, n) in c.nodes.iter().enumerate() {
            if let Some(chamber) = n.chamber {
                add(Spot::Node(i), &n.name, n.kind, chamber.volume_m3, 1);
            }
        }
        let ways = (0..c.bleeders.len()).map(|b| way(setting, &spots, b)).collect();
        let opened = setting.scenario.procedure.in_turn().filter(|(_, step)| {
            matches!(step.action, Action::Open { .. } | Action::WorkModulator { .. })
        });
        let each = (FRAMES_OF_ALL / opened.count().max(1)).clamp(LEAST_FRAMES, FRAMES);
        Self {
            film: Film { parts, ways, brim_ml: to_ml(c.reservoir.brim_m3), frames: Vec::new() },
            spots,
            each,
            since: 0,
            due_m3: 0.0,
            stride_m3: 0.0,
        }
    }

    /// Cells of all its frames.
    pub(super) fn cells(&self) -> usize {
        self.film.frames.iter().map(|f| f.old_fraction.len()).sum()
    }

    /// The film as far as it goes.
    pub(super) fn into_film(self) -> Film {
        self.film
    }

    fn shoot(&mut self, setting: &Setting, state: &State, open: &[Open]) {
        let s = &setting.species;
        let old = |row: &[f64]| s.old(row);
        let mut old_fraction = Vec::new();
        for (spot, part) in self.spots.iter().zip(&self.film.parts) {
            match *spot {
                Spot::Link(i) => match state.system.tube(i) {
                    Some(tube) => old_fraction.extend(tube.profile(part.cells, old)),
                    None => old_fraction.resize(part.first + part.cells, 0.0),
                },
                Spot::Node(i) => {
                    let chamber = state.system.chamber(i).filter(|c| c.volume() > 0.0);
                    old_fraction.push(chamber.map_or(0.0, |c| c.held_of(old) / c.volume()));
                }
            }
        }
        let reservoir = &state.system.reservoir;
        let volume = reservoir.volume();
        let held = reservoir.held_of(old);
        self.film.frames.push(Frame {
            at_s: state.clock_s,
            reservoir_ml: to_ml(volume),
            reservoir_old_fraction: if volume > 0.0 { held / volume } else { 0.0 },
            old_fraction: old_fraction.into_iter().map(single).collect(),
            drawn: open.iter().map(|o| o.drawn(setting)).collect(),
            held: summary::held(setting, state),
        });
    }

    /// Drops every second frame of the step under way.
    fn thin(&mut self) {
        let (mut index, since) = (0, self.since);
        self.film.frames.retain(|_| {
            index += 1;
            index <= since || (index - since) % 2 == 1
        });
        self.stride_m3 *= 2.0;
    }
}

/// Rounding may leave a little more than the whole, or less than nothing.
#[allow(clippy::cast_possible_truncation)] // single precision is plenty for a picture
fn single(old_fraction: f64) -> f32 {
    old_fraction.clamp(0.0, 1.0) as f32
}

fn way(setting: &Setting, spots: &[Spot], bleeder: usize) -> Way {
    let c = &setting.circuit;
    let b = &c.bleeders[bleeder];
    let mut parts = Vec::new();
    for (&link, node) in b.path.iter().zip(paths::path_nodes(c, bleeder)) {
        let known = |spot| spots.iter().position(|s| *s == spot);
        parts.extend(known(Spot::Link(link)));
        parts.extend(known(Spot::Node(node)));
    }
    Way { bleeder: b.name.clone(), parts }
}

/// Takes a frame before or after a step of the procedure.
pub(super) fn mark(setting: &Setting, state: &mut State) {
    let Some(mut recorder) = state.film.take() else { return };
    recorder.shoot(setting, state, &[]);
    recorder.since = recorder.film.frames.len();
    recorder.stride_m3 = FIRST_STRIDE * setting.circuit.capacity_m3();
    recorder.due_m3 = state.books.drained;
    state.film = Some(recorder);
}

/// Takes a frame while bleeders are open, if one is due.
pub(super) fn follow(setting: &Setting, state: &mut State, open: &[Open]) {
    let Some(mut recorder) = state.film.take_if(|r| state.books.drained >= r.due_m3) else {
        return;
    };
    recorder.shoot(setting, state, open);
    if recorder.film.frames.len() - recorder.since >= 2 * recorder.each {
        recorder.thin();
    }
    recorder.due_m3 = state.books.drained + recorder.stride_m3;
    state.film = Some(recorder);
}
