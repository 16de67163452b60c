//! Lines in a row, with joints between them that mix the cross-section to some degree.
//!
//! Points 0 … n, in the order of the flow: where the row begins, then of each line its middle (if its bends mix
//! at all) and its end, each with a degree m (that of beginning and end of the row is 1). Between two points
//! lies a laminar stretch of its own:
//!
//! c_j = Σ w_ij out(i,j), w_ij = m_i Π (1 − m_k), i < j, i < k < j.
//!
//! What passed point j since the beginning is, by the balance of all stretches that end there,
//! C_j = Σ w_ij C_i − (P_j − P_j at first), where P_j = Σ w_ij · (content of the stretch); a line holds what it
//! held, and C of its beginning, less C of its end. Since Σ w_ij = 1, what entered the row cancels.
//!
//! A little that comes back up: at its ends every radius holds what passed there last. So a row gives back at its beginning
//! what it took in last, the last first, keeps at its end what came from below, and gives that out first when fluid runs
//! down again; in between everything goes back as it came. That is exact as long as no radius is passed from end to end
//! or to a point that mixes, which takes half the volume of the shortest stretch.

use super::line::{Kernel, LaminarLine};
use super::signal::{Grid, Signal};

/// What counts as nothing, mL.
const NOTHING_ML: f64 = 1e-9;

/// A line of the row.
#[derive(Debug, Clone)]
pub struct LineOfRow {
    /// Volume, mL.
    pub volume_ml: f64,
    /// Degree of mixing in its middle.
    pub remix: f64,
    /// Degree of mixing where it begins.
    pub joint: f64,
    /// What fills it.
    pub content: Vec<f64>,
}

#[derive(Debug, Clone)]
struct Stretch {
    from: usize,
    to: usize,
    weight: f64,
    volume_ml: f64,
    line: LaminarLine,
}

/// Lines that run on from one another.
#[derive(Debug, Clone)]
pub struct Row {
    lines: Vec<LineOfRow>,
    /// Point at the end of each line.
    ends: Vec<usize>,
    /// In the order of the points where they end.
    stretches: Vec<Stretch>,
    /// What came from below and is still there, in the order in which it came.
    from_below: Vec<Signal>,
}

impl Row {
    /// Made of these, in the order of the flow.
    pub fn new(lines: Vec<LineOfRow>) -> Self {
        // Degree of each point, and the pieces between points with what fills them.
        let (mut degrees, mut pieces, mut ends) = (vec![1.0], vec![], vec![]);
        for (i, line) in lines.iter().enumerate() {
            let joint = lines.get(i + 1).map_or(1.0, |next| next.joint);
            match line.remix > 0.0 {
                true => {
                    let half = (0.5 * line.volume_ml, line.content.clone());
                    pieces.extend([half.clone(), half]);
                    degrees.extend([line.remix, joint]);
                }
                false => {
                    pieces.push((line.volume_ml, line.content.clone()));
                    degrees.push(joint);
                }
            }
            ends.push(degrees.len() - 1);
        }
        let mut stretches = vec![];
        for to in 1..degrees.len() {
            for from in 0..to {
                let kept: f64 = degrees[from + 1..to].iter().map(|m| 1.0 - m).product();
                let weight = degrees[from] * kept;
                if weight > 0.0 {
                    let pieces = &pieces[from..to];
                    let volume_ml = pieces.iter().map(|p| p.0).sum();
                    let line = LaminarLine::filled(pieces);
                    stretches.push(Stretch { from, to, weight, volume_ml, line });
                }
            }
        }
        Self { lines, ends, stretches, from_below: vec![] }
    }

    /// By how much it has run back, mL.
    fn back_ml(&self) -> f64 {
        self.from_below.iter().map(|s| s.grid.end_ml).sum()
    }

    /// Lets in what comes from below and gives what leaves its beginning.
    ///
    /// # Panics
    /// If it is more than a little.
    pub fn push_back(&mut self, inlet: &Signal) -> Signal {
        let shortest_ml = self.stretches.iter().map(|s| s.volume_ml).fold(f64::MAX, f64::min);
        let from_ml = self.stretches[0].line.throughput_ml() - self.back_ml();
        self.from_below.push(inlet.clone());
        assert!(
            self.back_ml() < 0.5 * shortest_ml,
            "more comes back than the quickest radius holds"
        );
        let first = &self.stretches[0].line;
        Signal::from_fn(inlet.grid, inlet.species, |_, ml, node| {
            node.copy_from_slice(&first.taken_in(from_ml - ml));
        })
    }

    /// Lets the inflow in and gives what leaves each line.
    pub fn advance(&mut self, inlet: &Signal) -> Vec<Signal> {
        let back_ml = self.back_ml();
        if back_ml == 0.0 {
            return self.advance_on(inlet);
        }
        // Down to where it had come before: what came from below leaves, the last first.
        let again_ml = back_ml.min(inlet.grid.end_ml);
        let from_ml = self.stretches[0].line.throughput_ml() - back_ml;
        let anew = inlet.piece(0.0, again_ml);
        for stretch in self.stretches.iter_mut().filter(|s| s.from == 0) {
            stretch.line.take_in_anew(from_ml, &anew);
        }
        let mut given: Vec<Signal> = Vec::new();
        let mut left_ml = again_ml;
        while left_ml > 0.0 {
            let Some(last) = self.from_below.pop() else { break };
            let end_ml = last.grid.end_ml;
            let kept_ml = (end_ml - left_ml).max(0.0);
            if kept_ml > 0.0 {
                self.from_below.push(last.piece(0.0, kept_ml));
            }
            given.push(last.piece(kept_ml, end_ml).turned());
            left_ml -= end_ml - kept_ml;
        }
        let rest = inlet.grid.end_ml - again_ml;
        let on =
            (rest > NOTHING_ML).then(|| self.advance_on(&inlet.piece(again_ml, inlet.grid.end_ml)));
        let lines = self.lines.len();
        (0..lines)
            .map(|i| {
                // What passed the joints between lines meanwhile had passed them before.
                let mut pieces = if i + 1 == lines { given.clone() } else { vec![] };
                pieces.extend(on.as_ref().map(|on| on[i].clone()));
                Signal::from_fn(inlet.grid, inlet.species, |_, ml, node| {
                    let mut at_ml = if i + 1 == lines { ml } else { (ml - again_ml).max(0.0) };
                    for (k, piece) in pieces.iter().enumerate() {
                        if at_ml <= piece.grid.end_ml || k + 1 == pieces.len() {
                            for (s, c) in node.iter_mut().enumerate() {
                                *c = piece.value(s, at_ml);
                            }
                            return;
                        }
                        at_ml -= piece.grid.end_ml;
                    }
                })
            })
            .collect()
    }

    fn advance_on(&mut self, inlet: &Signal) -> Vec<Signal> {
        let points = self.ends[self.ends.len() - 1];
        let mut passes: Vec<Option<Signal>> = vec![None; points + 1];
        passes[0] = Some(inlet.clone());
        for stretch in &mut self.stretches {
            let entering = passes[stretch.from].as_ref().expect("points in the order of the flow");
            let out = stretch.line.advance(entering, Kernel::Leaving);
            passes[stretch.to] = Some(match &passes[stretch.to] {
                Some(sum) => sum.blend(1.0, &out, stretch.weight),
                None => out.blend(stretch.weight, &out, 0.0),
            });
        }
        self.ends.iter().map(|e| passes[*e].clone().expect("every point is reached")).collect()
    }

    /// Mean composition of each line.
    pub fn content(&self) -> Vec<Vec<f64>> {
        let species = self.lines[0].content.len();
        let points = self.ends[self.ends.len() - 1];
        // What passed each point beyond what entered the row, mL.
        let mut passed = vec![vec![0.0; species]; points + 1];
        for stretch in &self.stretches {
            let (now, first) = (stretch.line.content(), stretch.line.content_at_first());
            for s in 0..species {
                let gain = stretch.volume_ml * (now[s] - first[s]);
                let through = passed[stretch.from][s];
                passed[stretch.to][s] += stretch.weight * (through - gain);
            }
        }
        let mut held: Vec<Vec<f64>> = self.held_at_furthest(&passed);
        // What has run back: the first line lacks what it took in last, the last has what came from below.
        let (back_ml, lines) = (self.back_ml(), self.lines.len());
        if back_ml > 0.0 {
            let first = &self.stretches[0].line;
            let now_ml = first.throughput_ml();
            let grid = Grid { step_ml: back_ml / 16.0, end_ml: back_ml };
            let gone = Signal::from_fn(grid, species, |_, ml, node| {
                node.copy_from_slice(&first.taken_in(now_ml - ml));
            });
            for (s, ml) in gone.integral().into_iter().enumerate() {
                held[0][s] -= ml / self.lines[0].volume_ml;
            }
            for come in &self.from_below {
                for (s, ml) in come.integral().into_iter().enumerate() {
                    held[lines - 1][s] += ml / self.lines[lines - 1].volume_ml;
                }
            }
        }
        held
    }

    /// The same if nothing had run back, from what passed each point beyond what entered the row, mL.
    fn held_at_furthest(&self, passed: &[Vec<f64>]) -> Vec<Vec<f64>> {
        let species = self.lines[0].content.len();
        let begins = std::iter::once(0).chain(self.ends.iter().copied());
        let lines = self.lines.iter().zip(begins).zip(&self.ends);
        lines
            .map(|((line, a), b)| {
                let gained = (0..species).map(|s| passed[a][s] - passed[*b][s]);
                line.content.iter().zip(gained).map(|(c, g)| c + g / line.volume_ml).collect()
            })
            .collect()
    }
}
