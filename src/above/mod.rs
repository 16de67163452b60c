//! The vehicle seen from above, drawn to scale by volume: where each part lies, no painting.
//!
//! Front is up. Brakes stand in the corners, the reservoir with the master cylinder between the axles, lines and hoses
//! as strips of one width that fold back where they have no more room. Every area is volume times
//! [`Car::area_per_ml`], before the job and after it. What a shape holds of old fluid fills it in the same measure.

mod shape;
mod strip;

use crate::circuit::place::{End, Side};
use crate::job::record::region::{Region, Sort};
use crate::job::record::{Left, PartLeft};
use serde::Serialize;
use strip::Strip;

pub use shape::{Area, Edge, Piece, Shape};
pub use strip::STRIP;

/// A region of [`Left::regions`]: its shapes, and room for its words beneath them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Block {
    /// Place of the region in [`Left::regions`].
    pub region: usize,
    /// Shapes of its parts.
    pub shapes: Vec<Shape>,
    /// Room for two lines of words.
    pub words: Area,
    /// At which side of the vehicle it stands.
    pub side: Option<Side>,
    /// The wheel beside it, if it is a brake whose side is known.
    pub wheel: Option<Area>,
}

/// The vehicle from above.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Car {
    /// Height; the width is the one asked for.
    pub high: f64,
    /// Area of a millilitre.
    pub area_per_ml: f64,
    /// Region by region.
    pub blocks: Vec<Block>,
    /// Regions that have no room.
    pub left_out: usize,
}

/// Between chambers, between shapes and words, and between blocks.
const AIR: f64 = 6.0;
const GAP: f64 = 12.0;
/// Thickness of a wheel, and its distance from the blocks.
const TIRE: f64 = 9.0;
/// A brake's or a strip's region takes no more of the paper than this, the reservoir no more than that.
const MOST: f64 = 8_000.0;
const MOST_RESERVOIR: f64 = 26_000.0;
/// However small all is: no millilitre is larger.
const LARGEST_ML: f64 = 260.0;
/// Blocks shown.
const MOST_BLOCKS: usize = 48;

/// Lays out what stays behind for a car so wide, with two lines of words so high under each block.
pub fn layout(left: &Left, wide: f64, words_high: f64) -> Car {
    let area_per_ml = scale(left);
    let column = 0.5 * (wide - GAP);
    let mut car = Car { high: 0.0, area_per_ml, blocks: Vec::new(), left_out: 0 };
    let all: Vec<usize> = (0..left.regions.len()).take(MOST_BLOCKS).collect();
    car.left_out = left.regions.len() - all.len();
    let end = |r: usize| left.regions[r].belongs.place.end;
    let middle = |r: usize| is_middle(&left.regions[r]);
    let bands: [Vec<usize>; 3] = [
        all.iter().copied().filter(|r| !middle(*r) && end(*r) == Some(End::Front)).collect(),
        all.iter().copied().filter(|r| middle(*r)).collect(),
        all.iter().copied().filter(|r| !middle(*r) && end(*r) != Some(End::Front)).collect(),
    ];
    let mut y = 0.0;
    for (i, mut band) in bands.into_iter().enumerate().filter(|(_, band)| !band.is_empty()) {
        // What several brakes share lies on the side of the reservoir, then lines and hoses, then brakes.
        band.sort_by_key(|r| {
            let b = &left.regions[*r].belongs;
            let shared = b.place.side.is_none() && b.to.is_none();
            let away = [!shared, b.place.end.is_some(), b.sort.is_brake()];
            if i == 0 { away.map(|far| !far) } else { away }
        });
        y = lay_band(&mut car, left, &band, y, (wide, column, words_high));
    }
    car.high = (y - GAP).max(0.0);
    car
}

/// Whether it stands between the axles, whatever it leads to.
fn is_middle(region: &Region) -> bool {
    let b = &region.belongs;
    b.clutch || matches!(b.sort, Sort::Reservoir | Sort::MasterCylinder | Sort::Modulator)
}

/// The area of a millilitre: as large as leaves the largest of each sort its room.
fn scale(left: &Left) -> f64 {
    let mut most = LARGEST_ML;
    for region in &left.regions {
        let volume = region.volume_ml.max(region.volume_before_ml);
        let room = match region.belongs.sort {
            Sort::Reservoir => MOST_RESERVOIR,
            _ => MOST,
        };
        if volume.is_finite() && volume > 0.0 {
            most = f64::min(most, room / volume);
        }
    }
    most
}

/// Lays a band: what belongs to neither side over the whole width, the rest in two columns. Gives where the next one
/// begins.
fn lay_band(
    car: &mut Car,
    left: &Left,
    band: &[usize],
    top: f64,
    (wide, column, words_high): (f64, f64, f64),
) -> f64 {
    let (mut lower_left, mut lower_right) = (top, top);
    // Where names do not say where brakes lie, they take turns.
    let mut unplaced: Vec<&String> = Vec::new();
    let level = |a: f64, b: f64| (f64::max(a, b), f64::max(a, b));
    let mut brakes = false;
    for &r in band {
        let region = &left.regions[r];
        let b = &region.belongs;
        let side = match b.place.side {
            Some(side) => Some(side),
            None if b.place.end.is_none() && !is_middle(region) => b.to.as_ref().map(|to| {
                let turn = unplaced.iter().position(|t| *t == to).unwrap_or_else(|| {
                    unplaced.push(to);
                    unplaced.len() - 1
                });
                if turn % 2 == 0 { Side::Left } else { Side::Right }
            }),
            None => None,
        };
        if b.sort.is_brake() != brakes {
            // Brakes of an axle stand at one height.
            brakes = !brakes;
            (lower_left, lower_right) = level(lower_left, lower_right);
        }
        let (x, y, room) = match side {
            Some(Side::Left) => (0.0, lower_left, column),
            Some(Side::Right) => (wide - column, lower_right, column),
            None => (0.0, f64::max(lower_left, lower_right), wide),
        };
        let placed = Area { x, y, wide: room, high: 0.0 };
        let (block, bottom) =
            lay_block(left, (r, region), placed, (car.area_per_ml, words_high, side));
        car.blocks.push(block);
        match side {
            Some(Side::Left) => lower_left = bottom + GAP,
            Some(Side::Right) => lower_right = bottom + GAP,
            None => (lower_left, lower_right) = (bottom + GAP, bottom + GAP),
        }
    }
    f64::max(lower_left, lower_right)
}

/// Lays one region from this corner on, and gives where it ends.
fn lay_block(
    left: &Left,
    (at, region): (usize, &Region),
    room: Area,
    (area_per_ml, words_high, side): (f64, f64, Option<Side>),
) -> (Block, f64) {
    let size = |p: &PartLeft| {
        let most = p.volume_ml.max(p.volume_before_ml);
        if most.is_finite() { area_per_ml * most.max(0.0) } else { 0.0 }
    };
    let parts = || region.parts.iter().map(|i| (*i, &left.parts[*i]));
    let mut shapes = Vec::new();
    let mut y = room.y;
    // Chambers in rows, square where that fits.
    let (mut x, mut row, mut extent) = (0.0, 0.0_f64, 0.0_f64);
    // Words stand beside what lies in the middle, beneath all else.
    let beside = side.is_none() && is_middle(region);
    let most_wide = if beside { 0.45 * room.wide } else { room.wide };
    for (part, p) in parts().filter(|(_, p)| !p.belongs.sort.is_pipe()) {
        let size = size(p);
        if size <= 0.0 {
            continue;
        }
        let reservoir = region.belongs.sort == Sort::Reservoir;
        let wide = if reservoir { most_wide } else { size.sqrt().min(most_wide) };
        if x > 0.0 && x + wide > most_wide {
            (x, y, row) = (0.0, y + row + AIR, 0.0);
        }
        extent = extent.max(x + wide);
        let area = Area { x: room.x + x, y, wide, high: size / wide };
        shapes.push(Shape { part, pieces: vec![Piece { area, from: Edge::Bottom }] });
        x += wide + AIR;
        row = row.max(area.high);
    }
    let mut bottom = y + row;
    let y = if row > 0.0 { bottom + AIR } else { bottom };
    let mut strip = Strip::new(Area { y, wide: most_wide, ..room });
    for (part, p) in parts().filter(|(_, p)| p.belongs.sort.is_pipe()) {
        let size = size(p);
        if size > 0.0 {
            let pieces = strip.take(size);
            extent = pieces.iter().map(|p| p.area.x + p.area.wide - room.x).fold(extent, f64::max);
            shapes.push(Shape { part, pieces });
            bottom = strip.bottom();
        }
    }
    if side == Some(Side::Right) {
        for piece in shapes.iter_mut().flat_map(|s| &mut s.pieces) {
            piece.area.x = 2.0 * room.x + room.wide - piece.area.x - piece.area.wide;
            piece.from = match piece.from {
                Edge::Left => Edge::Right,
                Edge::Right => Edge::Left,
                same => same,
            };
        }
    }
    let wheel = side.filter(|_| region.belongs.sort.is_brake()).map(|side| {
        let x = match side {
            Side::Left => room.x - TIRE - 3.0,
            Side::Right => room.x + room.wide + 3.0,
        };
        Area { x, y: room.y, wide: TIRE, high: bottom - room.y }
    });
    let words = if beside {
        let x = extent + 2.0 * AIR;
        Area { x: room.x + x, y: room.y, wide: room.wide - x, high: words_high }
    } else {
        Area { y: bottom + AIR, high: words_high, ..room }
    };
    let block = Block { region: at, shapes, words, side, wheel };
    (block, f64::max(bottom, words.y + words.high))
}
