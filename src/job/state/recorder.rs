//! Records a film. Frames follow what is drained, not the clock, so that an opening has about as many whatever its
//! length: where they would become too many every second one is dropped and the distance doubled.

use super::parts;
use super::path::Spot;
use super::setting::Setting;
use crate::circuit::paths;
use crate::job::record::film::{CELLS, Drawn, Film, FilmPart, Frame, Way};
use crate::measures::to_ml;
use crate::scenario::procedure::Action;
use crate::transport::system::System;

/// Frames of one opening, where there are few of them.
const FRAMES: usize = 20;
/// Frames of all openings together, where there are many of them.
const FRAMES_OF_ALL: usize = 160;
/// Frames of one opening, however many there are.
const LEAST_FRAMES: usize = 6;
/// The first frames of an opening are taken this share of the system's fluid apart.
const FIRST_STRIDE: f64 = 1.0 / 4000.0;

/// Records a film.
#[derive(Debug, Clone)]
pub(crate) struct Recorder {
    film: Film,
    spots: Vec<Spot>,
    /// See [`of_one_opening`].
    each: usize,
    /// First frame of the step under way.
    since: usize,
    /// Drained so far when the next frame is due, and the distance of frames, m³.
    due_m3: f64,
    stride_m3: f64,
}

impl Recorder {
    /// A recorder, if the options ask for one.
    pub(crate) fn wanted(setting: &Setting) -> Option<Self> {
        setting.is_filmed().then(|| Self::new(setting))
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
        Self {
            film: Film { parts, ways, brim_ml: to_ml(c.reservoir.brim_m3), frames: Vec::new() },
            spots,
            each: of_one_opening(setting),
            since: 0,
            due_m3: 0.0,
            stride_m3: 0.0,
        }
    }

    /// Cells of all its frames.
    pub(crate) fn cells(&self) -> usize {
        self.film.frames.iter().map(|f| f.old_fraction.len()).sum()
    }

    /// The film as far as it goes.
    pub(crate) fn into_film(self) -> Film {
        self.film
    }

    fn shoot(&mut self, setting: &Setting, system: &System, at_s: f64, drawn: Vec<Drawn>) {
        let s = &setting.species;
        let old = |row: &[f64]| s.old(row);
        let mut old_fraction = Vec::new();
        for (spot, part) in self.spots.iter().zip(&self.film.parts) {
            match *spot {
                Spot::Link(i) => match system.tube(i) {
                    Some(tube) => old_fraction.extend(tube.profile(part.cells, old)),
                    None => old_fraction.resize(part.first + part.cells, 0.0),
                },
                Spot::Node(i) => {
                    let chamber = system.chamber(i).filter(|c| c.volume() > 0.0);
                    old_fraction.push(chamber.map_or(0.0, |c| c.held_of(old) / c.volume()));
                }
            }
        }
        let reservoir = &system.reservoir;
        let volume = reservoir.volume();
        let held = reservoir.held_of(old);
        self.film.frames.push(Frame {
            at_s,
            reservoir_ml: to_ml(volume),
            reservoir_old_fraction: if volume > 0.0 { held / volume } else { 0.0 },
            old_fraction: old_fraction.into_iter().map(single).collect(),
            drawn,
            held: parts::held(&setting.parts, (system, &setting.species)),
        });
    }

    /// Takes a frame before or after a step of the procedure.
    pub(crate) fn mark(&mut self, setting: &Setting, system: &System, at_s: f64, drained_m3: f64) {
        self.shoot(setting, system, at_s, Vec::new());
        self.since = self.film.frames.len();
        self.stride_m3 = FIRST_STRIDE * setting.circuit.capacity_m3();
        self.due_m3 = drained_m3;
    }

    /// Takes a frame while bleeders are open, if one is due.
    pub(crate) fn follow(
        &mut self,
        setting: &Setting,
        system: &System,
        (at_s, drained_m3): (f64, f64),
        drawn: impl FnOnce() -> Vec<Drawn>,
    ) {
        if drained_m3 < self.due_m3 {
            return;
        }
        self.shoot(setting, system, at_s, drawn());
        if self.film.frames.len() - self.since >= 2 * self.each {
            self.thin();
        }
        self.due_m3 = drained_m3 + self.stride_m3;
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

/// Frames of one opening: no fewer than this if it has that many steps, and less than twice as many.
fn of_one_opening(setting: &Setting) -> usize {
    let opened = setting.scenario.procedure.in_turn().filter(|(_, step)| {
        matches!(step.action, Action::Open { .. } | Action::WorkModulator { .. })
    });
    (FRAMES_OF_ALL / opened.count().max(1)).clamp(LEAST_FRAMES, FRAMES)
}

/// Cells of one frame.
pub(crate) fn cells_of_a_frame(setting: &Setting) -> usize {
    let c = &setting.circuit;
    let tubes = c.links.iter().filter(|l| l.tube.is_some()).count();
    CELLS * tubes + c.nodes.iter().filter(|n| n.chamber.is_some()).count()
}

/// Frames at the least of an opening that drains so much, in steps of no more than `step_m3`.
// A float saturates: what is no number or below 0 to 0, what is beyond all to what one opening may have.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, as said
pub(crate) fn least_frames(setting: &Setting, drained_m3: f64, step_m3: f64) -> usize {
    let apart_m3 = FIRST_STRIDE * setting.circuit.capacity_m3() + step_m3;
    ((drained_m3 / apart_m3) as usize).min(of_one_opening(setting))
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
