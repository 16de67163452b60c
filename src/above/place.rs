//! Where blocks stand: the reservoir with its chambers in the middle, brakes at the sides, all else between what it joins.

use super::block::Block;
use super::grid::{Cell, Grid};
use super::measures::{COLUMNS, LEAST_ROWS, PITCH, STRIP};
use super::net::{Net, Vertex};
use super::shape::Area;
use crate::circuit::place::{End, Side};
use crate::keys::Role;
use crate::sorting;

/// A tire: its bleeder, whether it stands at the right, its middle.
pub(super) type Tire = (usize, bool, f64);

/// Blocks by vertex (`None`: no room), and tires.
pub(super) struct Places {
    pub blocks: Vec<Option<Block>>,
    pub tires: Vec<Tire>,
}

impl Places {
    /// Where nothing else stands.
    fn put(&mut self, vertex: usize, block: Block, grid: &mut Grid) {
        if Block::cells(block.foot, 0).all(|c| !grid.at(c).blocked) {
            block.take(grid);
            self.blocks[vertex] = Some(block);
        }
    }
}

/// What stands at a side: a vertex if it is not elsewhere, and tires.
struct Slot {
    vertex: Option<usize>,
    bleeders: Vec<usize>,
    end: Option<End>,
    high: i32,
}

/// Rows of a brake with its tire, at most: more of them in front, and the reservoir stands behind them.
const ONE_BRAKE: i32 = 5;
/// Rows of the reservoir from the front, by share.
const RESERVOIR_AT: f64 = 0.36;
/// From a brake to where its pipe may begin to turn.
const INNER: f64 = 3.0;

/// Fewest rows that hold all brakes.
pub(super) fn rows(net: &Net) -> i32 {
    let most = slots(net).iter().map(|s| s.iter().map(|s| s.high).sum::<i32>()).max();
    let axles =
        [End::Front, End::Rear].map(|e| net.vertices.iter().any(|v| v.place.end == Some(e)));
    let least = LEAST_ROWS[usize::from(axles != [true; 2])];
    let front = slots(net).iter().map(|s| front_rows(s)).max().unwrap_or(0);
    // Behind more than one brake the reservoir needs rows of its own.
    let crowded = if front > ONE_BRAKE { [4, front + 16] } else { [0, 0] };
    i32::max(least, most.unwrap_or(0) + 4 + crowded[0]).max(crowded[1])
}

/// Rows that brakes in front take.
fn front_rows(side: &[Slot]) -> i32 {
    side.iter().filter(|s| s.end == Some(End::Front)).map(|s| s.high).sum()
}

pub(super) fn place(
    net: &Net,
    sizes: &dyn Fn(&Vertex) -> Vec<(usize, f64)>,
    grid: &mut Grid,
) -> Places {
    let mut places = Places { blocks: vec![None; net.vertices.len()], tires: Vec::new() };
    reservoir(net, sizes, grid, &mut places);
    for (side, slots) in slots(net).iter().enumerate() {
        at_side(net, sizes, grid, &mut places, (slots, side == 1));
    }
    between(net, sizes, grid, &mut places);
    places
}

fn is_brake(v: &Vertex) -> bool {
    let fixed = v.at_reservoir
        || matches!(v.role, Role::Reservoir | Role::MasterCylinder | Role::Modulator);
    !fixed && (!v.bleeders.is_empty() || v.role.is_service_brake() || v.role == Role::ClutchSlave)
}

/// What stands at the left, and at the right.
fn slots(net: &Net) -> [Vec<Slot>; 2] {
    let mut slots = [Vec::new(), Vec::new()];
    let bleeders: usize = net.vertices.iter().map(|v| v.bleeders.len()).sum();
    let tire = if bleeders > 4 { 4 } else { 5 };
    for (i, v) in net.vertices.iter().enumerate() {
        if !is_brake(v) && v.bleeders.is_empty() {
            continue;
        }
        let side = match v.place.side {
            Some(Side::Left) => 0,
            Some(Side::Right) => 1,
            None => usize::from(slots[0].len() > slots[1].len()),
        };
        let high = i32::max(4, tire * i32::try_from(v.bleeders.len()).unwrap_or(i32::MAX / 8));
        slots[side].push(Slot {
            vertex: is_brake(v).then_some(i),
            bleeders: v.bleeders.clone(),
            end: v.place.end,
            high,
        });
    }
    for side in &mut slots {
        sorting::by_key(side, |s| match s.end {
            Some(End::Front) => 0,
            None => 1,
            Some(End::Rear) => 2,
        });
    }
    slots
}

/// The reservoir, and the chambers that stand at it.
fn reservoir(
    net: &Net,
    sizes: &dyn Fn(&Vertex) -> Vec<(usize, f64)>,
    grid: &mut Grid,
    places: &mut Places,
) {
    let Some(at) = net.vertices.iter().position(|v| v.role == Role::Reservoir) else { return };
    let own = sizes(&net.vertices[at]);
    let size: f64 = own.iter().map(|s| s.1).sum();
    let most_high = 0.3 * PITCH * f64::from(grid.high);
    let columns = [1, 3, 5, 7, 9].into_iter().find(|k| {
        let wide = PITCH * f64::from(*k);
        size / wide <= most_high.min(1.25 * wide)
    });
    let columns = columns.unwrap_or(9);
    let wide = PITCH * f64::from(columns);
    let high = if size > 0.0 { size / wide } else { STRIP };
    let rows = (high / PITCH).ceil() as i32;
    let left = (COLUMNS - columns) / 2;
    let front = slots(net).map(|s| front_rows(&s));
    let behind = if front[0].max(front[1]) > ONE_BRAKE { front[0].max(front[1]) + 3 } else { 1 };
    let top = ((RESERVOIR_AT * f64::from(grid.high)) as i32 - rows / 2)
        .max(behind)
        .min(grid.high - rows - 2);
    let corner = (PITCH * f64::from(left), PITCH * f64::from(top));
    let area = Area { x: corner.0, y: corner.1, wide, high };
    let foot = ((left, top), (left + columns, top + rows));
    places.put(at, Block::new(&own, area, foot), grid);
    // At both sides, from the front on.
    let mut next = [top, top];
    let mut right = false;
    for (i, v) in net.vertices.iter().enumerate().filter(|(_, v)| v.at_reservoir) {
        let own = sizes(v);
        let size: f64 = own.iter().map(|s| s.1).sum();
        let size = if own.is_empty() { STRIP * STRIP } else { size };
        let high = size.sqrt().max(if v.degree > 2 { 2.0 * PITCH } else { 1.2 * PITCH });
        let wide = size / high;
        let side = usize::from(right);
        let y = next[side];
        let x = if right { area.x + area.wide } else { area.x - wide };
        let columns = (wide / PITCH).ceil() as i32;
        let rows = (high / PITCH).ceil() as i32;
        let first = if right { left + foot.1.0 - foot.0.0 } else { left - columns };
        let foot = ((first, y), (first + columns, y + rows));
        if y + rows <= grid.high {
            let area = Area { x, y: PITCH * f64::from(y), wide, high };
            places.put(i, Block::new(&own, area, foot), grid);
        }
        next[side] = y + rows + 1;
        right = !right;
    }
}

/// Brakes and tires of one side.
fn at_side(
    net: &Net,
    sizes: &dyn Fn(&Vertex) -> Vec<(usize, f64)>,
    grid: &mut Grid,
    places: &mut Places,
    (slots, right): (&[Slot], bool),
) {
    let of = |end: Option<End>| slots.iter().filter(move |s| s.end == end);
    let high = |end: Option<End>| of(end).map(|s| s.high).sum::<i32>();
    let (front, rear) = (high(Some(End::Front)), high(Some(End::Rear)));
    let free = (grid.high - 4 - front - rear - high(None)).max(0);
    // Of unknown place: where all are, behind the reservoir; else between the axles.
    let alone = front + rear == 0;
    let middle = if alone { grid.high - 2 - high(None) } else { 2 + front + free / 2 };
    let starts = [(Some(End::Front), 2), (None, middle), (Some(End::Rear), grid.high - 2 - rear)];
    for (end, start) in starts {
        let mut row = start;
        for slot in of(end) {
            let centre = row + slot.high / 2;
            if let Some(v) = slot.vertex {
                let block = brake(&net.vertices[v], &sizes(&net.vertices[v]), centre, right);
                places.put(v, block, grid);
            }
            let n = slot.bleeders.len() as f64;
            let pitch = PITCH * f64::from(slot.high) / n.max(1.0);
            for (k, b) in slot.bleeders.iter().enumerate() {
                let y = PITCH * f64::from(row) + pitch * (k as f64 + 0.5);
                places.tires.push((*b, right, y));
            }
            row += slot.high;
        }
    }
}

fn brake(v: &Vertex, sizes: &[(usize, f64)], centre: i32, right: bool) -> Block {
    let size: f64 = sizes.iter().map(|s| s.1).sum();
    let size = if sizes.is_empty() { STRIP * STRIP } else { size };
    let wide = size.sqrt().min(3.5 * PITCH);
    let high = size / wide;
    let slack = if v.degree == 1 { 2.0 * PITCH } else { 0.0 };
    let columns = ((wide + INNER + slack) / PITCH).ceil() as i32;
    let rows = (high / PITCH).ceil() as i32;
    let first = centre - (rows + 1) / 2;
    let (from, to) = if right { (COLUMNS - columns, COLUMNS) } else { (0, columns) };
    let x = match right {
        true => PITCH * f64::from(from) + INNER,
        false => PITCH * f64::from(to) - INNER - wide,
    };
    let y = PITCH * (f64::from(first) + 0.5 * f64::from(rows)) - 0.5 * high;
    let foot = ((from, first), (to, first + rows));
    let open = match (v.degree == 1, right) {
        (true, true) => [false, false, true, false],
        (true, false) => [true, false, false, false],
        (false, _) => [true; 4],
    };
    let block = Block::new(sizes, Area { x, y, wide, high }, foot);
    let block = if v.degree == 1 { block } else { block.in_shell() };
    Block { open, slack, rightward: right, ..block }
}

/// What joins others: as near to the middle of them as there is room.
fn between(
    net: &Net,
    sizes: &dyn Fn(&Vertex) -> Vec<(usize, f64)>,
    grid: &mut Grid,
    places: &mut Places,
) {
    let fixed: Vec<bool> = places.blocks.iter().map(Option::is_some).collect();
    let middle = (0.5 * PITCH * f64::from(COLUMNS), 0.5 * PITCH * f64::from(grid.high));
    let mut at: Vec<(f64, f64)> =
        places.blocks.iter().map(|b| b.as_ref().map_or(middle, Block::centre)).collect();
    for _ in 0..40 {
        for v in (0..at.len()).filter(|v| !fixed[*v]) {
            let (mut x, mut y, mut n) = (0.0, 0.0, 0.0);
            for run in net.runs.iter().filter(|r| r.ends.contains(&v)) {
                let other = at[if run.ends[0] == v { run.ends[1] } else { run.ends[0] }];
                (x, y, n) = (x + other.0, y + other.1, n + 1.0);
            }
            if n > 0.0 {
                at[v] = (x / n, y / n);
            }
        }
    }
    for v in (0..at.len()).filter(|v| !fixed[*v]) {
        let own = sizes(&net.vertices[v]);
        let size: f64 = own.iter().map(|s| s.1).sum();
        let size = if own.is_empty() { STRIP * STRIP } else { size };
        let wide = if own.len() > 1 { (1.5 * size).sqrt() } else { size.sqrt() };
        let wide = wide.min(6.0 * PITCH);
        let high = size / wide;
        let (columns, rows) = ((wide / PITCH).ceil() as i32, (high / PITCH).ceil() as i32);
        let spread = if net.vertices[v].degree > 2 { [2, 1] } else { [1, 1] };
        let foot =
            spread.into_iter().find_map(|around| nearest(grid, at[v], (columns, rows), around));
        if let Some(foot) = foot {
            let block = Block::in_cells(&own, (wide, high), foot).in_shell();
            places.put(v, block, grid);
        }
    }
}

/// The nearest place for so many cells with so many free ones around.
fn nearest(
    grid: &Grid,
    at: (f64, f64),
    (columns, rows): (i32, i32),
    around: i32,
) -> Option<(Cell, Cell)> {
    let mut best: Option<(i64, (Cell, Cell))> = None;
    for y in around..=grid.high - rows - around {
        for x in around..=grid.wide - columns - around {
            let dx = PITCH * (f64::from(x) + 0.5 * f64::from(columns)) - at.0;
            let dy = PITCH * (f64::from(y) + 0.5 * f64::from(rows)) - at.1;
            let far = (16.0 * (dx * dx + dy * dy)) as i64;
            let foot = ((x, y), (x + columns, y + rows));
            if best.is_none_or(|(b, _)| far < b)
                && Block::cells(foot, around).all(|c| !grid.at(c).blocked)
            {
                best = Some((far, foot));
            }
        }
    }
    best.map(|(_, foot)| foot)
}
