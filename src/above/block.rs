//! Blocks: chambers, calipers, the reservoir, with the cells they take and where pipes may reach them.

use super::grid::{Cell, Grid, Port};
use super::measures::{PITCH, STRIP};
use super::shape::Area;

/// A block in its place.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub area: Area,
    /// The same, at least as wide and high as a pipe, for blocks that pipes reach from several sides.
    pub shell: Area,
    /// Each part's share of it.
    pub parts: Vec<(usize, Area)>,
    /// Its cells: first and, not included, last.
    pub foot: (Cell, Cell),
    /// Whether pipes reach it from the right, below, the left, above.
    pub open: [bool; 4],
    /// How far it may stand farther from the middle, and whether that is to the right.
    pub slack: f64,
    pub rightward: bool,
}

impl Block {
    /// In the middle of these cells.
    pub(super) fn in_cells(
        sizes: &[(usize, f64)],
        (wide, high): (f64, f64),
        foot: (Cell, Cell),
    ) -> Self {
        let middle = |a: i32, b: i32| 0.5 * PITCH * f64::from(a + b);
        let area = Area {
            x: middle(foot.0.0, foot.1.0) - 0.5 * wide,
            y: middle(foot.0.1, foot.1.1) - 0.5 * high,
            wide,
            high,
        };
        Self::new(sizes, area, foot)
    }

    pub(super) fn new(sizes: &[(usize, f64)], area: Area, foot: (Cell, Cell)) -> Self {
        let mut parts = Vec::new();
        divide(sizes, area, &mut parts);
        Self { area, shell: area, parts, foot, open: [true; 4], slack: 0.0, rightward: false }
    }

    /// The cells, so many more around it.
    pub(super) fn cells(foot: (Cell, Cell), around: i32) -> impl Iterator<Item = Cell> {
        let ((x0, y0), (x1, y1)) = foot;
        (y0 - around..y1 + around)
            .flat_map(move |y| (x0 - around..x1 + around).map(move |x| (x, y)))
    }

    pub(super) fn take(&self, grid: &mut Grid) {
        for cell in Self::cells(self.foot, 0) {
            grid.change(cell, |on| on.blocked = true);
        }
    }

    /// Where pipes may reach it.
    pub(super) fn ports(&self, grid: &Grid) -> Vec<Port> {
        let ((x0, y0), (x1, y1)) = self.foot;
        let mut ports = Vec::new();
        let a = self.shell;
        let middle = |i: i32| PITCH * (f64::from(i) + 0.5);
        let within =
            |i: i32, from: f64, long: f64| (from - 1e-9..=from + long + 1e-9).contains(&middle(i));
        for y in (y0..y1).filter(|y| within(*y, a.y, a.high)) {
            ports.push(Port { cell: (x1, y), way: 0, leg: middle(x1) - a.x - a.wide });
            ports.push(Port { cell: (x0 - 1, y), way: 2, leg: a.x - middle(x0 - 1) });
        }
        for x in (x0..x1).filter(|x| within(*x, a.x, a.wide)) {
            ports.push(Port { cell: (x, y1), way: 1, leg: middle(y1) - a.y - a.high });
            ports.push(Port { cell: (x, y0 - 1), way: 3, leg: a.y - middle(y0 - 1) });
        }
        ports.retain(|p| self.open[p.way] && !grid.at(p.cell).blocked);
        ports
    }

    /// With a shell.
    pub(super) fn in_shell(self) -> Self {
        let a = self.area;
        let (wide, high) = (a.wide.max(STRIP), a.high.max(STRIP));
        let (x, y) = (a.x - 0.5 * (wide - a.wide), a.y - 0.5 * (high - a.high));
        Self { shell: Area { x, y, wide, high }, ..self }
    }

    pub(super) fn centre(&self) -> (f64, f64) {
        (self.area.x + 0.5 * self.area.wide, self.area.y + 0.5 * self.area.high)
    }

    /// The same block farther from the middle.
    pub(super) fn shift(&mut self, by: f64) {
        let by = if self.rightward { by } else { -by };
        self.area.x += by;
        self.shell.x += by;
        self.parts.iter_mut().for_each(|(_, a)| a.x += by);
    }
}

/// Divides an area among parts by their sizes, halving the longer side again and again.
fn divide(sizes: &[(usize, f64)], area: Area, out: &mut Vec<(usize, Area)>) {
    let whole: f64 = sizes.iter().map(|s| s.1).sum();
    match sizes {
        [] => {}
        [(part, _)] => out.push((*part, area)),
        _ => {
            let (mut n, mut first) = (1, sizes[0].1);
            while n + 1 < sizes.len() && first + 0.5 * sizes[n].1 < 0.5 * whole {
                first += sizes[n].1;
                n += 1;
            }
            let share = first / whole;
            let (a, b) = if area.wide >= area.high {
                let wide = share * area.wide;
                (Area { wide, ..area }, Area { x: area.x + wide, wide: area.wide - wide, ..area })
            } else {
                let high = share * area.high;
                (Area { high, ..area }, Area { y: area.y + high, high: area.high - high, ..area })
            };
            divide(&sizes[..n], a, out);
            divide(&sizes[n..], b, out);
        }
    }
}
