//! The vehicle seen from above, drawn to scale by volume: where each part lies, no painting.
//!
//! Front is up. Brakes stand in the corners beside their tires, the reservoir with the master cylinder between the axles.
//! Lines and hoses are pipes of one width, so that their length is their volume: one that is longer than its way makes a
//! detour, one that is shorter is joined by a thin line that holds nothing. Every area is volume times
//! [`Car::area_per_ml`], before the job and after it. What a shape holds of old fluid fills it in the same measure.

mod apart;
mod block;
mod grid;
mod net;
mod pipe;
mod place;
mod route;
mod shape;

use crate::job::record::Left;
use crate::keys::Role;
use apart::Apart;
use block::Block;
use grid::Grid;
use net::{Net, Vertex};
use pipe::Course;
use place::Places;
use route::Manner;
use serde::Serialize;

pub use pipe::Spot;
pub use shape::{Area, Edge, Piece, Shape};

/// A bleeder and its tire.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tire {
    /// Name of the bleeder.
    pub name: String,
    /// Its tire.
    pub area: Area,
    /// Place in [`Left::parts`] of what it bleeds, if that holds something.
    pub part: Option<usize>,
}

/// The vehicle from above.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Car {
    /// Width, as asked for.
    pub wide: f64,
    /// Height.
    pub high: f64,
    /// Area of a millilitre.
    pub area_per_ml: f64,
    /// Width of pipes.
    pub strip: f64,
    /// Outline of the body.
    pub body: Area,
    /// Every part that holds or held fluid.
    pub shapes: Vec<Shape>,
    /// Where lines meet or end without a part that holds anything.
    pub joints: Vec<Area>,
    /// Lines from what belongs together and does not touch: they hold nothing, and lie beneath all else.
    pub connectors: Vec<Vec<Spot>>,
    /// The bleeders.
    pub tires: Vec<Tire>,
    /// Volume, mL, of the square that tells the scale.
    pub square_ml: f64,
    /// Parts that have no room.
    pub left_out: usize,
}

// All lengths below for a car of this width.
const WIDE: f64 = 420.0;
/// Cells of the grid: side, and how many across.
const PITCH: f64 = 16.0;
const COLUMNS: i32 = 17;
/// Fewest rows, between two axles and where there are none.
const LEAST_ROWS: [i32; 2] = [32, 24];
/// Width of a pipe, and from the middle of one to where another ends that passes beneath.
const STRIP: f64 = 9.0;
const CLEARANCE: f64 = 7.0;
/// From the edge of the paper to tires, their width, from there to the edge of the grid.
const TIRE_EDGE: f64 = 2.0;
const TIRE: f64 = 58.0;
const INSIDE: f64 = 0.5 * (WIDE - PITCH * COLUMNS as f64);
/// From the body to what lies in it, in front and behind.
const BODY_AIR: f64 = 12.0;
/// A millilitre is no larger, the reservoir and a chamber take no more of the paper, and so on: as large as possible.
const LARGEST_ML: f64 = 72.0;
const MOST_RESERVOIR: f64 = 16_000.0;
const MOST_BLOCK: f64 = 3_000.0;
/// How often the scale is made smaller, and by how much, until all has its place.
const TRIES: usize = 14;
const SMALLER: f64 = 0.87;
/// Parts shown.
const MOST_PARTS: usize = 160;

/// Lays out the car, so wide.
pub fn layout(left: &Left, wide: f64) -> Car {
    let net = Net::new(left);
    let mut scale = largest(left);
    for _ in 0..TRIES {
        let manners = [(Manner::WaysFirst, 0), (Manner::DetoursFirst, 0), (Manner::DetoursFirst, 4)];
        for (manner, more_rows) in manners {
            let drawing = Drawing::new(left, &net, (scale, more_rows), (manner, true), &[]);
            if drawing.is_whole() {
                return drawing.finish(left, wide);
            }
        }
        scale *= SMALLER;
    }
    // What still finds no way lies apart, at a scale in the middle of those tried.
    scale /= SMALLER.powi(TRIES as i32 / 2);
    let how = (Manner::WaysFirst, false);
    let mut apart: Vec<usize> = Vec::new();
    loop {
        let drawing = Drawing::new(left, &net, (scale, 4), how, &apart);
        let none = |r: &usize| drawing.courses[*r].is_none() && !apart.contains(r);
        let more: Vec<usize> = (0..net.runs.len()).filter(none).collect();
        if more.is_empty() {
            return drawing.finish(left, wide);
        }
        // Once more without them, so that nothing makes way for what is not there.
        apart.extend(more);
    }
}

fn most_ml(left: &Left, part: usize) -> f64 {
    let p = &left.parts[part];
    let most = p.volume_ml.max(p.volume_before_ml);
    if most.is_finite() { most.max(0.0) } else { 0.0 }
}

/// The area of a millilitre, as large as leaves the largest of each sort its room.
fn largest(left: &Left) -> f64 {
    let mut largest = LARGEST_ML;
    for (i, p) in left.parts.iter().enumerate() {
        let room = match p.belongs.sort {
            crate::job::record::region::Sort::Reservoir => MOST_RESERVOIR,
            sort if sort.is_pipe() => continue,
            _ => MOST_BLOCK,
        };
        let volume = most_ml(left, i);
        if volume > 0.0 {
            largest = f64::min(largest, room / volume);
        }
    }
    largest
}

/// One try.
struct Drawing<'a> {
    net: &'a Net,
    scale: f64,
    rows: i32,
    places: Places,
    courses: Vec<Option<Course>>,
}

impl<'a> Drawing<'a> {
    /// All or nothing: it gives up as soon as something has no place.
    fn new(left: &Left, net: &'a Net, (scale, more_rows): (f64, i32), how: (Manner, bool), apart: &[usize]) -> Self {
        let rows = place::rows(net) + more_rows;
        let mut grid = Grid::new(COLUMNS, rows);
        let sizes = |v: &Vertex| sized(left, scale, v.parts.iter().copied());
        let mut places = place::place(net, &sizes, &mut grid);
        let length = |r: usize| {
            let parts = net.runs[r].parts.iter().map(|p| p.0);
            sized(left, scale, parts).iter().map(|s| s.1).sum::<f64>() / STRIP
        };
        let hopeless = how.1 && !places.blocks.iter().all(Option::is_some);
        let courses = match hopeless {
            true => Vec::new(),
            false => route::route(net, &length, &mut places.blocks, &mut grid, how, apart),
        };
        Self { net, scale, rows, places, courses }
    }

    fn is_whole(&self) -> bool {
        self.places.blocks.iter().all(Option::is_some) && self.courses.iter().all(Option::is_some)
    }

    fn finish(self, left: &Left, wide: f64) -> Car {
        let high = PITCH * f64::from(self.rows);
        let mut car = Car {
            wide: WIDE,
            high: 0.0,
            area_per_ml: self.scale,
            strip: STRIP,
            body: Area {
                x: -4.0,
                y: -BODY_AIR,
                wide: PITCH * f64::from(COLUMNS) + 8.0,
                high: high + 2.0 * BODY_AIR,
            },
            shapes: Vec::new(),
            joints: Vec::new(),
            connectors: Vec::new(),
            tires: Vec::new(),
            square_ml: square_ml(self.scale),
            left_out: 0,
        };
        let mut apart = Apart::new(0.0, high + 2.0 * BODY_AIR + PITCH, PITCH * f64::from(COLUMNS));
        let centres = self.blocks(left, &mut car, &mut apart);
        self.pipes(left, &mut car, &mut apart, &centres);
        self.lone(left, &mut car, &mut apart);
        self.tires(left, &mut car);
        let below = apart.bottom();
        car.high =
            if below > high + 2.0 * BODY_AIR + PITCH { below } else { high + 2.0 * BODY_AIR };
        car.left_out = car.shapes.len().saturating_sub(MOST_PARTS);
        car.shapes.truncate(MOST_PARTS);
        car.moved((INSIDE, BODY_AIR), wide / WIDE)
    }

    /// Blocks, and the middle of each.
    fn blocks(&self, left: &Left, car: &mut Car, apart: &mut Apart) -> Vec<Spot> {
        let mut centres = Vec::new();
        for (v, block) in self.net.vertices.iter().zip(&self.places.blocks) {
            let own = sized(left, self.scale, v.parts.iter().copied());
            let placed = block.is_some();
            let block = block.clone().unwrap_or_else(|| {
                let size: f64 = own.iter().map(|s| s.1).sum();
                let area = apart.block(if own.is_empty() { STRIP * STRIP } else { size });
                Block::new(&own, area, ((0, 0), (0, 0)))
            });
            if own.is_empty() || block.shell != block.area {
                car.joints.push(block.shell);
            }
            let from = Edge::Bottom;
            let shape =
                |&(part, area): &(usize, Area)| Shape { part, pieces: vec![Piece { area, from }] };
            car.shapes.extend(block.parts.iter().map(shape));
            centres.push(block.centre());
            if v.at_reservoir && !placed {
                car.connectors.push(bent(centres[self.reservoir()], block.centre()));
            }
        }
        centres
    }

    fn reservoir(&self) -> usize {
        self.net.vertices.iter().position(|v| v.role == Role::Reservoir).unwrap_or(0)
    }

    fn pipes(&self, left: &Left, car: &mut Car, apart: &mut Apart, centres: &[Spot]) {
        for (run, course) in self.net.runs.iter().zip(&self.courses) {
            let parts = sized(left, self.scale, run.parts.iter().map(|p| p.0));
            let whole = parts.iter().map(|s| s.1).sum::<f64>() / STRIP;
            let [a, b] = run.ends.map(|v| centres[v]);
            let Some(course) = course else {
                let (mut shapes, begin, end) = apart.run(&parts);
                car.connectors.push(bent(a, begin));
                car.connectors.push(bent(b, end));
                turn(&mut shapes, &run.parts);
                car.shapes.extend(shapes);
                continue;
            };
            let begin = course.begin_of(whole);
            let mut at = begin;
            let mut shapes = Vec::new();
            for (part, size) in &parts {
                let (end, taken) = course.take(at, size / STRIP);
                let pieces = taken.into_iter().flat_map(|t| course.pieces(t)).collect();
                shapes.push(Shape { part: *part, pieces });
                at = end;
            }
            turn(&mut shapes, &run.parts);
            car.shapes.extend(shapes);
            let end = if parts.is_empty() { course.length() } else { begin };
            if end > 1e-6 {
                car.connectors.push(course.line_to(end));
            }
        }
    }

    /// Parts that neither vertex nor run has.
    fn lone(&self, left: &Left, car: &mut Car, apart: &mut Apart) {
        let mut shown = vec![false; left.parts.len()];
        for shape in &car.shapes {
            shown[shape.part] = true;
        }
        let lone = (0..left.parts.len()).filter(|i| !shown[*i]);
        for (part, size) in sized(left, self.scale, lone) {
            if left.parts[part].belongs.sort.is_pipe() {
                car.shapes.extend(apart.run(&[(part, size)]).0);
            } else {
                let area = apart.block(size);
                car.shapes.push(Shape { part, pieces: vec![Piece { area, from: Edge::Bottom }] });
            }
        }
    }

    fn tires(&self, left: &Left, car: &mut Car) {
        let mut tires = self.places.tires.clone();
        tires.sort_by_key(|t| t.0);
        let pitch = |right: bool| {
            let mut all: Vec<f64> = tires.iter().filter(|t| t.1 == right).map(|t| t.2).collect();
            all.sort_by(f64::total_cmp);
            all.windows(2).map(|w| w[1] - w[0]).fold(5.0 * PITCH, f64::min)
        };
        let high = f64::min(pitch(false), pitch(true)) - 6.0;
        for (b, right, y) in &tires {
            let (name, node) = &left.joined.bleeders[*b];
            let x = if *right { WIDE - TIRE_EDGE - TIRE } else { TIRE_EDGE };
            let area = Area { x: x - INSIDE, y: y - 0.5 * high, wide: TIRE, high };
            let part = left.joined.nodes[*node].part;
            car.tires.push(Tire { name: name.clone(), area, part });
        }
    }
}

/// Those of these parts that hold or held something, with their sizes.
fn sized(left: &Left, scale: f64, parts: impl Iterator<Item = usize>) -> Vec<(usize, f64)> {
    parts.map(|p| (p, scale * most_ml(left, p))).filter(|p| p.1 > 0.0).collect()
}

/// Each part's pieces from the end on from which its cells count.
fn turn(shapes: &mut [Shape], parts: &[(usize, bool)]) {
    for shape in shapes {
        if parts.contains(&(shape.part, true)) {
            shape.pieces = pipe::backward(std::mem::take(&mut shape.pieces));
        }
    }
}

/// Round one corner.
fn bent(a: Spot, b: Spot) -> Vec<Spot> {
    vec![a, (a.0, b.1), b]
}

/// The volume whose square is of middling size.
fn square_ml(scale: f64) -> f64 {
    let sizes = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    let fits = |ml: &f64| (ml * scale).sqrt() <= 27.0;
    sizes.into_iter().rev().find(fits).unwrap_or(sizes[0])
}

impl Car {
    /// All of it moved, then made larger.
    fn moved(mut self, (dx, dy): Spot, by: f64) -> Self {
        let place = |s: &mut Spot| *s = (by * (s.0 + dx), by * (s.1 + dy));
        let area = |a: &mut Area| {
            *a = Area {
                x: by * (a.x + dx),
                y: by * (a.y + dy),
                wide: by * a.wide,
                high: by * a.high,
            }
        };
        self.connectors.iter_mut().flatten().for_each(place);
        self.joints.iter_mut().for_each(area);
        self.shapes.iter_mut().flat_map(|s| &mut s.pieces).for_each(|p| area(&mut p.area));
        self.tires.iter_mut().for_each(|t| area(&mut t.area));
        area(&mut self.body);
        for length in [&mut self.wide, &mut self.high, &mut self.strip] {
            *length *= by;
        }
        self.area_per_ml *= by * by;
        self
    }
}
