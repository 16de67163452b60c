//! One try to draw the car at a scale: blocks, pipes, and what finds no place, put together.

use super::apart::Apart;
use super::block::Block;
use super::car::{Car, Tire};
use super::grid::Grid;
use super::measures::{BODY_AIR, COLUMNS, INSIDE, MOST_PARTS, PITCH, STRIP, TIRE, TIRE_EDGE, WIDE};
use super::net::{Net, Vertex};
use super::pipe::{Course, Spot, backward};
use super::place::{Places, place, rows};
use super::route::{Manner, route};
use super::scale::{most_ml, square_ml};
use super::shape::{Area, Edge, Piece, Shape};
use crate::job::record::Left;
use crate::keys::Role;
use crate::sorting;

/// One try.
pub(super) struct Drawing<'a> {
    net: &'a Net,
    scale: f64,
    rows: i32,
    places: Places,
    pub(super) courses: Vec<Option<Course>>,
}

impl<'a> Drawing<'a> {
    /// All or nothing: it gives up as soon as something has no place.
    pub(super) fn new(
        left: &Left,
        net: &'a Net,
        (scale, more_rows): (f64, i32),
        how: (Manner, bool),
        apart: &[usize],
    ) -> Self {
        let rows = rows(net) + more_rows;
        let mut grid = Grid::new(COLUMNS, rows);
        let sizes = |v: &Vertex| sized(left, scale, v.parts.iter().copied());
        let mut places = place(net, &sizes, &mut grid);
        let length = |r: usize| {
            let parts = net.runs[r].parts.iter().map(|p| p.0);
            sized(left, scale, parts).iter().map(|s| s.1).sum::<f64>() / STRIP
        };
        let hopeless = how.1 && !places.blocks.iter().all(Option::is_some);
        let courses = match hopeless {
            true => Vec::new(),
            false => route(net, &length, &mut places.blocks, &mut grid, how, apart),
        };
        Self { net, scale, rows, places, courses }
    }

    pub(super) fn is_whole(&self) -> bool {
        self.places.blocks.iter().all(Option::is_some) && self.courses.iter().all(Option::is_some)
    }

    pub(super) fn finish(self, left: &Left, wide: f64) -> Car {
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
        sorting::by_key(&mut tires, |t| t.0);
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
            shape.pieces = backward(std::mem::take(&mut shape.pieces));
        }
    }
}

/// Round one corner.
fn bent(a: Spot, b: Spot) -> Vec<Spot> {
    vec![a, (a.0, b.1), b]
}
