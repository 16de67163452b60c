//! One stretch of tube: a history of what entered, lanes that read it out, and, after a wait or a
//! reversal, a snapshot of what each lane held.

use super::history::History;
use super::lanes::Lanes;
use super::snapshot::Snapshot;
use std::sync::Arc;

/// A stretch of tube through which fluid moves in lanes without changing lane.
#[derive(Debug, Clone)]
pub struct Leg {
    volume: f64,
    lanes: Arc<Lanes>,
    history: History,
    /// What the lanes held at throughput 0; `None` means the filling, all alike.
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
        let mut now = std::mem::take(&mut self.scratch);
        self.read_out(&mut now);
        for ((l, now), before) in leaving.iter_mut().zip(&now).zip(&self.out) {
            *l = now - before;
        }
        std::mem::swap(&mut self.out, &mut now);
        self.scratch = now;
    }

    /// Cumulative outflow at the present throughput, up to a constant.
    fn read_out(&mut self, sum: &mut [f64]) {
        sum.fill(0.0);
        let v = self.history.throughput();
        let per_volume = 1.0 / self.volume;
        let lanes = Arc::clone(&self.lanes);
        let mut past = lanes.edges().len();
        for (j, (theta, weight)) in lanes.edges().iter().enumerate() {
            let x = v - self.volume * theta;
            if x <= 0.0 {
                past = j;
                break;
            }
            let knot = self.history.knot_before(x, self.cursors[j] as usize);
            self.cursors[j] = knot as u32;
            self.history.add_second_integral(knot, x, weight * per_volume, sum);
        }
        match &self.snapshot {
            None => {
                // Edges that still read the filling: Σ w ½ c₀ (v − Vθ)², in closed form.
                let [w0, w1, w2] = lanes.tail(past);
                let vv = self.volume;
                let sum_half = 0.5 * per_volume * (w0 * v * v - 2.0 * w1 * v * vv + w2 * vv * vv);
                for (s, c) in sum.iter_mut().zip(self.history.filling()) {
                    *s += sum_half * c;
                }
            }
            Some(snapshot) => snapshot.add_left(v / self.volume, sum),
        }
    }

    /// Amounts held now (m³ · composition), found by integrating over the lanes.
    pub fn held(&self, sum: &mut [f64]) {
        sum.fill(0.0);
        let v = self.history.throughput();
        let per_volume = 1.0 / self.volume;
        match &self.snapshot {
            None => {
                // Σ over lanes of ∫dθ ∫ c(v − Vθx) V θ dx, with H(v) and the edge integrals of H.
                let s = sum.len();
                sum.copy_from_slice(self.history.entered());
                let mut read = vec![0.0; s];
                for (theta, weight) in self.lanes.edges() {
                    let w = weight * per_volume;
                    self.history.add_second_integral_at(v - self.volume * theta, w, &mut read);
                }
                for (s, r) in sum.iter_mut().zip(&read) {
                    *s -= r;
                }
            }
            Some(snapshot) => {
                let mut left = vec![0.0; sum.len()];
                snapshot.total(sum);
                snapshot.add_left(v / self.volume, &mut left);
                for ((s, h), l) in sum.iter_mut().zip(self.history.entered()).zip(&left) {
                    *s += h - l;
                }
                let mut read = vec![0.0; sum.len()];
                for (theta, weight) in self.lanes.edges() {
                    let x = v - self.volume * theta;
                    if x > 0.0 {
                        let w = weight * per_volume;
                        self.history.add_second_integral_at(x, w, &mut read);
                    }
                }
                for (s, r) in sum.iter_mut().zip(&read) {
                    *s -= r;
                }
            }
        }
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
