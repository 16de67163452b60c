//! One stretch of tube: a history of what entered, lanes that read it out, and, after a wait or a
//! reversal, a snapshot of what each lane held.

use super::history::History;
use super::lanes::Lanes;
use super::snapshot::Snapshot;
use std::sync::Arc;

/// What reading a species out of a lane of a snapshot costs, in ends of lanes read.
const PER_LANE: usize = 4;
/// Tube volumes of throughput after which it is counted anew.
const FAR: f64 = 64.0;

/// A stretch of tube through which fluid moves in lanes without changing lane.
#[derive(Debug, Clone)]
pub struct Leg {
    volume: f64,
    lanes: Arc<Lanes>,
    history: History,
    /// What the lanes held at the start of the history; `None` means the filling, all alike.
    snapshot: Option<Arc<Snapshot>>,
    /// Knot at which each edge reads; moves forward only.
    cursors: Vec<u32>,
    /// Cumulative outflow by species at the present throughput.
    out: Vec<f64>,
    scratch: Vec<f64>,
}

impl Leg {
    /// A leg of `volume` m³ filled with `filling`.
    pub fn new(volume: f64, lanes: Arc<Lanes>, filling: &[f64]) -> Self {
        let mut leg = Self {
            volume,
            history: History::new(filling),
            snapshot: None,
            cursors: vec![0; lanes.edges().len()],
            out: vec![0.0; filling.len()],
            scratch: vec![0.0; filling.len()],
            lanes,
        };
        // The cumulative outflow is counted from here.
        let mut start = vec![0.0; filling.len()];
        leg.read_out(&mut start);
        leg.out = start;
        leg
    }

    /// Pushes `dv` m³ of composition `c` in; writes the amounts (m³ · composition) that leave.
    pub fn push(&mut self, dv: f64, c: &[f64], leaving: &mut [f64]) {
        self.history.push(dv, c);
        if self.history.end() > FAR * self.volume {
            self.rebase();
        }
        let mut now = std::mem::take(&mut self.scratch);
        self.read_out(&mut now);
        for ((l, now), before) in leaving.iter_mut().zip(&now).zip(&self.out) {
            *l = now - before;
        }
        std::mem::swap(&mut self.out, &mut now);
        self.scratch = now;
    }

    /// Counts from here on what entered and what left.
    fn rebase(&mut self) {
        let longest = self.lanes.edges().last().map_or(0.0, |e| e.0);
        let still_read = self.history.end() - longest * self.volume;
        for (out, entered) in self.out.iter_mut().zip(self.history.entered()) {
            *out -= entered;
        }
        let forgotten = self.history.rebase(still_read) as u32;
        self.cursors.iter_mut().for_each(|knot| *knot = knot.saturating_sub(forgotten));
    }

    /// Cumulative outflow at the present throughput, up to a constant.
    fn read_out(&mut self, sum: &mut [f64]) {
        let mut cursors = std::mem::take(&mut self.cursors);
        self.integrate(sum, |history, j, x| {
            let knot = history.knot_after(x, cursors[j] as usize);
            cursors[j] = knot as u32;
            knot
        });
        self.cursors = cursors;
    }

    /// Cumulative outflow, with `knot_after` to find the knot at or after throughput x for edge j.
    fn integrate(
        &self,
        sum: &mut [f64],
        mut knot_after: impl FnMut(&History, usize, f64) -> usize,
    ) {
        sum.fill(0.0);
        let (v, start) = (self.history.end(), self.history.start());
        let per_volume = 1.0 / self.volume;
        let edges = self.lanes.edges();
        let mut past = edges.len();
        // Edges that read the same stretch of the history are gathered before it is looked up.
        let (mut stretch, mut moments) = (0, [0.0; 3]);
        for (j, (theta, weight)) in edges.iter().enumerate() {
            let x = v - self.volume * theta;
            if x <= start {
                past = j;
                break;
            }
            let knot = knot_after(&self.history, j, x);
            if knot != stretch {
                self.history.add_second_integrals(stretch, moments, sum);
                (stretch, moments) = (knot, [0.0; 3]);
            }
            let before = x - self.history.at(knot);
            let w = weight * per_volume;
            moments[0] += w;
            moments[1] += w * before;
            moments[2] += 0.5 * w * before * before;
        }
        self.history.add_second_integrals(stretch, moments, sum);
        let since = self.history.throughput();
        if past < edges.len() {
            // Edges that still read what was there at the start, in closed form.
            let [w0, w1, w2] = self.lanes.tail(past).map(|w| w * per_volume);
            let (vv, half) = (self.volume, 0.5 * since * since);
            let moments =
                [w0, w0 * since - w1 * vv, w0 * half - w1 * since * vv + 0.5 * w2 * vv * vv];
            self.history.add_second_integrals(0, moments, sum);
        }
        if let Some(snapshot) = &self.snapshot {
            snapshot.add_left(since / self.volume, sum);
        }
    }

    /// Amounts held now (m³ · composition): what it held at the start and what entered, less what
    /// left, found by integrating over the lanes afresh.
    pub fn held(&self, sum: &mut [f64]) {
        let mut left = vec![0.0; sum.len()];
        // Delays rise from edge to edge, so the knots are met backwards.
        let mut knot = self.history.knots() - 1;
        self.integrate(&mut left, |history, _, x| {
            while knot > 0 && history.at(knot - 1) >= x {
                knot -= 1;
            }
            knot
        });
        sum.copy_from_slice(self.history.entered());
        if let Some(snapshot) = &self.snapshot {
            snapshot.total(sum);
        }
        for (s, l) in sum.iter_mut().zip(&left) {
            *s -= l;
        }
    }

    /// What `of` makes of the amounts held (m³ · composition) in each of `cells` cells of equal volume, from
    /// the end that fluid enters on: the sum over the lanes.
    ///
    /// Between the inlet and position x a lane holds ∫ [H(v) − H(v − Vθx)] dθ of what entered since
    /// throughput 0 (before that: the filling), over its flow share f/(θb − θa); summed over the ends of all
    /// bands that is H(v) − Σ w G(v − Vθx)/(Vx). What is left of a snapshot comes on top.
    pub fn along(&self, cells: usize, of: impl Fn(&[f64]) -> f64) -> Vec<f64> {
        let (v, since) = (self.history.end(), self.history.throughput());
        let mut row = vec![0.0; self.out.len()];
        let mut before = 0.0;
        let mut held = Vec::with_capacity(cells);
        for cell in 1..=cells {
            let x = cell as f64 / cells as f64;
            row.copy_from_slice(self.history.entered());
            for (theta, weight) in self.lanes.edges() {
                let weight = -weight / (self.volume * x);
                self.history.add_second_integral_at(v - self.volume * theta * x, weight, &mut row);
            }
            let up_to = of(&row);
            held.push(up_to - before);
            before = up_to;
        }
        if let Some(snapshot) = &self.snapshot {
            for (cell, held) in held.iter_mut().enumerate() {
                row.fill(0.0);
                // Positions in a snapshot count from the outlet.
                let z = |edge: usize| (cells - edge) as f64 / cells as f64;
                snapshot.add_still_held(since / self.volume, (z(cell + 1), z(cell)), &mut row);
                *held += of(&row);
            }
        }
        held
    }

    /// Ends of lanes that each push reads, those of a snapshot included.
    pub fn readings(&self) -> u64 {
        let snapshot =
            self.snapshot.as_ref().map_or(0, |_| PER_LANE * self.lanes.len() * self.out.len());
        (self.lanes.edges().len() + snapshot) as u64
    }

    /// Numbers kept: what entered, and a snapshot.
    pub fn numbers(&self) -> usize {
        let snapshot = self.snapshot.as_ref().map_or(0, |s| s.numbers());
        self.history.numbers() + snapshot
    }

    /// Numbers of a snapshot of it.
    pub fn numbers_of_snapshot(&self) -> usize {
        Snapshot::numbers_of(&self.lanes, self.out.len())
    }

    /// Starts anew from a snapshot of what every lane holds now.
    ///
    /// `remix` mixes the lanes at each cross-section to that degree; `reverse` lets the flow
    /// come from the other end from now on.
    pub fn settle(&mut self, remix: f64, reverse: bool) {
        let mut snapshot =
            Snapshot::take(self.volume, &self.lanes, &self.history, self.snapshot.as_deref());
        snapshot.remix(remix);
        if reverse {
            snapshot.reverse();
        }
        snapshot.finish();
        let species = self.out.len();
        self.history = History::new(&vec![0.0; species]);
        self.snapshot = Some(Arc::new(snapshot));
        self.cursors.fill(0);
        let mut start = vec![0.0; species];
        self.read_out(&mut start);
        self.out = start;
    }
}
