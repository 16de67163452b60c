//! Where the cells of a snapshot begin and end.

/// Cells along each lane, but for those that joints between two lines add.
const CELLS: usize = 96;
/// A joint this close to an edge, in cells, takes its place instead of adding a cell.
const CLOSE: f64 = 0.25;

/// Cells from the outlet (0) to the inlet (1) of a stretch of tube: of one size, but so that each joint between
/// two lines on the way has an edge of its own.
#[derive(Debug, Clone)]
pub struct Grid {
    /// Edges from 0 to 1, where the cells are not of one size.
    edges: Option<Vec<f64>>,
    /// Edges at which it is read what passes, in the order in which fluid gets there; the outlet, 0, last.
    gates: Vec<usize>,
}

impl Grid {
    /// A grid with joints at these positions, strictly between 0 and 1 and falling.
    pub fn new(joints: &[f64]) -> Self {
        if joints.is_empty() {
            return Self { edges: None, gates: vec![0] };
        }
        let mut edges: Vec<f64> = (0..=CELLS).map(|e| e as f64 / CELLS as f64).collect();
        for &z in joints {
            let after = edges.partition_point(|e| *e < z);
            let near = if z - edges[after - 1] < edges[after] - z { after - 1 } else { after };
            let free = near > 0 && near + 1 < edges.len() && !joints.contains(&edges[near]);
            if free && (edges[near] - z).abs() * (CELLS as f64) < CLOSE {
                edges[near] = z;
            } else if edges[near] != z {
                edges.insert(after, z);
            }
        }
        let at = |z: &f64| edges.partition_point(|e| e < z);
        let gates = joints.iter().chain(&[0.0]).map(at).collect();
        Self { edges: Some(edges), gates }
    }

    /// Number of cells.
    pub fn cells(&self) -> usize {
        self.edges.as_ref().map_or(CELLS, |edges| edges.len() - 1)
    }

    /// Position of an edge.
    pub fn edge(&self, edge: usize) -> f64 {
        self.edges.as_ref().map_or_else(|| edge as f64 / CELLS as f64, |edges| edges[edge])
    }

    /// Distance from the inlet of the edge that is this many cells away from it.
    pub fn from_inlet(&self, cells: usize) -> f64 {
        match &self.edges {
            Some(edges) => 1.0 - edges[edges.len() - 1 - cells],
            None => cells as f64 / CELLS as f64,
        }
    }

    /// Cells of the size of this one that the whole length would take.
    pub fn fineness(&self, cell: usize) -> f64 {
        self.edges.as_ref().map_or(CELLS as f64, |edges| 1.0 / (edges[cell + 1] - edges[cell]))
    }

    /// The cell in which a position lies.
    pub fn cell(&self, z: f64) -> usize {
        let beyond = match &self.edges {
            Some(edges) => edges.partition_point(|e| *e <= z).saturating_sub(1),
            None => (z * CELLS as f64) as usize,
        };
        beyond.min(self.cells() - 1)
    }

    /// Edges at which it is read what passes, in the order in which fluid gets there; the outlet last.
    pub fn gates(&self) -> &[usize] {
        &self.gates
    }

    /// Lets the flow come from the other end.
    pub fn reverse(&mut self) {
        let cells = self.cells();
        if let Some(edges) = &mut self.edges {
            edges.reverse();
            edges.iter_mut().for_each(|e| *e = 1.0 - *e);
        }
        let joints = self.gates.len() - 1;
        let turned = self.gates[..joints].iter().rev().map(|gate| cells - gate);
        self.gates = turned.chain([0]).collect();
    }
}
