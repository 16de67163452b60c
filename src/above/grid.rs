//! The squared paper on which pipes are routed: what lies on each cell, and the cheapest way across.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A cell: column, row.
pub(super) type Cell = (i32, i32);
/// Right, down, left, up.
pub(super) const WAYS: [Cell; 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

pub(super) fn beside(cell: Cell, way: usize) -> Cell {
    (cell.0 + WAYS[way].0, cell.1 + WAYS[way].1)
}

/// What a step costs, a turn, a crossing, and a cell before a side of a block that others will want to reach.
const STEP: u32 = 10;
const TURN: u32 = 8;
const CROSSING: u32 = 30;
const WANTED: u32 = 40;

/// Who lies on a cell, by where a pipe comes through: along and across.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct On {
    pub blocked: bool,
    pub wanted: bool,
    pub along: Option<usize>,
    pub across: Option<usize>,
}

#[derive(Debug, Clone)]
pub(super) struct Grid {
    pub wide: i32,
    pub high: i32,
    cells: Vec<On>,
}

/// Where a pipe may begin or end: a cell, and the way from the block onto it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Port {
    pub cell: Cell,
    pub way: usize,
    /// From the block's edge to the middle of the cell.
    pub leg: f64,
}

impl Grid {
    pub(super) fn new(wide: i32, high: i32) -> Self {
        Self { wide, high, cells: vec![On::default(); (wide * high) as usize] }
    }

    fn index(&self, (x, y): Cell) -> Option<usize> {
        let inside = x >= 0 && y >= 0 && x < self.wide && y < self.high;
        inside.then(|| (y * self.wide + x) as usize)
    }

    pub(super) fn at(&self, cell: Cell) -> On {
        let outside = On { blocked: true, ..On::default() };
        self.index(cell).map_or(outside, |i| self.cells[i])
    }

    pub(super) fn change(&mut self, cell: Cell, change: impl Fn(&mut On)) {
        if let Some(i) = self.index(cell) {
            change(&mut self.cells[i]);
        }
    }

    pub(super) fn is_free(&self, cell: Cell) -> bool {
        let on = self.at(cell);
        !on.blocked && on.along.is_none() && on.across.is_none()
    }

    /// The cheapest way from one of these ports to one of those.
    pub(super) fn route(&self, from: &[Port], to: &[Port]) -> Option<(Port, Vec<Cell>, Port)> {
        let mut best = vec![(u32::MAX, usize::MAX); self.cells.len() * 4];
        let mut heap = BinaryHeap::new();
        for port in from {
            let Some(i) = self.index(port.cell).filter(|_| self.is_free(port.cell)) else {
                continue;
            };
            best[i * 4 + port.way] = (0, usize::MAX);
            heap.push((Reverse(0), i * 4 + port.way));
        }
        while let Some((Reverse(cost), state)) = heap.pop() {
            if cost > best[state].0 {
                continue;
            }
            let (i, way) = (state / 4, state % 4);
            let cell = ((i as i32) % self.wide, (i as i32) / self.wide);
            let crossing = !self.is_free(cell);
            // Into the block, against the way out of it: straight on or round a corner, but not back.
            let into = |p: &&Port| p.cell == cell && p.way != way;
            let straight = |p: &&Port| (p.way + 2) % 4 == way;
            let arrived = to.iter().filter(into).find(straight);
            let arrived = arrived.or_else(|| to.iter().find(into).filter(|_| !crossing));
            if let Some(end) = arrived {
                return self.traced(&best, state, from).map(|(start, cells)| (start, cells, *end));
            }
            for next_way in 0..4 {
                let turn = next_way != way;
                if next_way == (way + 2) % 4 || (turn && crossing) {
                    continue;
                }
                let next = beside(cell, next_way);
                let Some(n) = self.index(next) else { continue };
                let on = self.cells[n];
                let (same, other) =
                    if next_way % 2 == 0 { (on.along, on.across) } else { (on.across, on.along) };
                if on.blocked || same.is_some() {
                    continue;
                }
                let more = STEP
                    + u32::from(turn) * TURN
                    + u32::from(other.is_some()) * CROSSING
                    + u32::from(on.wanted) * WANTED;
                let to_state = n * 4 + next_way;
                if cost + more < best[to_state].0 {
                    best[to_state] = (cost + more, state);
                    heap.push((Reverse(cost + more), to_state));
                }
            }
        }
        None
    }

    fn traced(
        &self,
        best: &[(u32, usize)],
        last: usize,
        from: &[Port],
    ) -> Option<(Port, Vec<Cell>)> {
        let (mut cells, mut state) = (Vec::new(), last);
        loop {
            let i = (state / 4) as i32;
            cells.push((i % self.wide, i / self.wide));
            if best[state].1 == usize::MAX {
                break;
            }
            state = best[state].1;
        }
        cells.reverse();
        let start = from.iter().find(|p| p.cell == cells[0] && p.way == state % 4)?;
        // A way that touches itself would lie on itself.
        let mut seen = cells.clone();
        seen.sort_unstable();
        seen.dedup();
        (seen.len() == cells.len()).then_some((*start, cells))
    }

    /// Marks a way as taken.
    pub(super) fn take(&mut self, run: usize, path: &Path) {
        for (cell, [along, across]) in path.passes() {
            self.change(cell, |on| {
                if along {
                    on.along = Some(run);
                }
                if across {
                    on.across = Some(run);
                }
            });
        }
    }
}

/// A way from block to block.
#[derive(Debug, Clone)]
pub(super) struct Path {
    pub start: Port,
    pub cells: Vec<Cell>,
    pub end: Port,
}

impl Path {
    /// Each cell, and whether it is passed along, across or (a turn) both.
    fn passes(&self) -> Vec<(Cell, [bool; 2])> {
        let back = WAYS[(self.end.way + 2) % 4];
        let (first, last) = (self.cells[0], self.cells[self.cells.len() - 1]);
        let before = (first.0 - WAYS[self.start.way].0, first.1 - WAYS[self.start.way].1);
        let after = (last.0 + back.0, last.1 + back.1);
        let mut all = vec![before];
        all.extend(&self.cells);
        all.push(after);
        let lies = |a: Cell, b: Cell| [a.1 == b.1, a.0 == b.0];
        all.windows(3)
            .map(|w| {
                let (a, b) = (lies(w[0], w[1]), lies(w[1], w[2]));
                (w[1], [a[0] || b[0], a[1] || b[1]])
            })
            .collect()
    }

    /// Cells, by number, on which it crosses runs that are such.
    pub(super) fn crossings(&self, grid: &Grid, such: impl Fn(usize) -> bool) -> Vec<usize> {
        let on = |i: &usize| grid.at(self.cells[*i]);
        let crossed = |i: &usize| [on(i).along, on(i).across].into_iter().flatten().any(&such);
        (0..self.cells.len()).filter(crossed).collect()
    }

    /// Moves the best stretch of it aside by a cell, if there is room: two cells longer.
    pub(super) fn lengthen(&mut self, grid: &mut Grid, run: usize) -> bool {
        /// Longest stretch that is moved at once.
        const STRETCH: usize = 5;
        type Score = (usize, bool, usize);
        let n = self.cells.len();
        let crossed = self.crossings(grid, |other| other != run);
        let mut best: Option<(Score, usize, usize, usize)> = None;
        for i in 0..n.saturating_sub(1) {
            let (a, b) = (self.cells[i], self.cells[i + 1]);
            let Some(way) = WAYS.iter().position(|w| *w == (b.0 - a.0, b.1 - a.1)) else {
                continue;
            };
            for side in [(way + 1) % 4, (way + 3) % 4] {
                let movable = |k: usize| {
                    let ahead = k == i || beside(self.cells[k - 1], way) == self.cells[k];
                    ahead && !crossed.contains(&k) && grid.is_free(beside(self.cells[k], side))
                };
                let mut j = i;
                while j < n && j - i <= STRETCH && movable(j) {
                    j += 1;
                }
                if j < i + 2 {
                    continue;
                }
                // The longest; of those, one that makes a detour deeper; of those, the one nearest to the middle.
                let from = |k: usize, next: usize| beside(self.cells[next], side) == self.cells[k];
                let deeper = i > 0 && j < n && from(i, i - 1) && from(j - 1, j);
                let score = (j - i, deeper, usize::MAX - (i + j).abs_diff(n));
                if best.is_none_or(|(s, ..)| score > s) {
                    best = Some((score, i, j, side));
                }
            }
        }
        let Some((_, i, j, side)) = best else { return false };
        let aside: Vec<Cell> = self.cells[i..j].iter().map(|c| beside(*c, side)).collect();
        self.release(grid, run);
        self.cells.splice(i + 1..j - 1, aside);
        grid.take(run, self);
        true
    }

    fn release(&self, grid: &mut Grid, run: usize) {
        for cell in &self.cells {
            grid.change(*cell, |on| {
                on.along = on.along.filter(|r| *r != run);
                on.across = on.across.filter(|r| *r != run);
            });
        }
    }
}
