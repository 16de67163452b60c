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

use super::line::{Kernel, LaminarLine};
use super::signal::Signal;

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
        Self { lines, ends, stretches }
    }

    /// Lets the inflow in and gives what leaves each line.
    pub fn advance(&mut self, inlet: &Signal) -> Vec<Signal> {
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
