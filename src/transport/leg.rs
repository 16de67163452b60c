//! One stretch of tube: a history of what entered, lanes that read it out, and, after a wait or a
//! reversal, a snapshot of what each lane held.

use super::grain::Grain;
use super::grid::Grid;
use super::history::{History, moments};
use super::lanes::Lanes;
use super::snapshot::Snapshot;
use std::sync::Arc;

/// What reading a species out of a lane of a snapshot costs, in ends of lanes read.
const PER_LANE: usize = 2;
/// Volumes up to the first reader after which throughput is counted anew; at least one of the leg itself.
const FAR: f64 = 64.0;

/// A stretch of tube through which fluid moves in lanes without changing lane.
#[derive(Debug, Clone)]
pub struct Leg {
    volume: f64,
    lanes: Arc<Lanes>,
    history: History,
    /// What the lanes held at the start of the history; `None` means the filling, all alike.
    snapshot: Option<Arc<Snapshot>>,
    /// Whether it is known that mixing its cross-sections would change nothing in that.
    mixed: bool,
    /// Readers, where it is read what passes: at joints on the way, in flow order, and at the outlet. Of each the volume
    /// from the inlet to it, as a share of the leg's.
    readers: Arc<[f64]>,
    /// Knot at which each edge reads, [reader][edge]; moves forward only.
    cursors: Vec<u32>,
    /// Cumulative outflow at the present throughput, [reader][species]; then room for one more such row.
    out: Vec<f64>,
}

impl Leg {
    /// A leg of `volume` m³ filled with `filling`.
    pub fn new(volume: f64, lanes: Arc<Lanes>, filling: &[f64]) -> Self {
        Self::joined(volume, lanes, &[], &[filling])
    }

    /// A leg on whose way there are joints, at these shares of its volume from the inlet (rising, strictly between
    /// 0 and 1), with a filling before each and one behind the last.
    pub fn joined(volume: f64, lanes: Arc<Lanes>, joints: &[f64], fillings: &[&[f64]]) -> Self {
        let species = fillings.first().map_or(0, |row| row.len());
        let alike = fillings.windows(2).all(|two| two[0] == two[1]);
        let nothing = vec![0.0; species];
        let readers: Arc<[f64]> = joints.iter().copied().chain([1.0]).collect();
        let mut leg = Self {
            volume,
            history: History::new(if alike { fillings[0] } else { &nothing }),
            snapshot: None,
            mixed: false,
            cursors: vec![0; readers.len() * lanes.edges().len()],
            out: vec![0.0; (readers.len() + 1) * species],
            readers,
            lanes,
        };
        if !alike {
            let mut filled = Snapshot::filled(volume, &leg.lanes, leg.grid(), fillings);
            filled.finish();
            leg.snapshot = Some(Arc::new(filled));
        }
        leg.count_from_here();
        leg
    }

    /// Cells for a snapshot of it.
    fn grid(&self) -> Grid {
        let joints = &self.readers[..self.joints()];
        Grid::new(&joints.iter().map(|share| 1.0 - share).collect::<Vec<_>>())
    }

    /// Counts the cumulative outflow from here.
    fn count_from_here(&mut self) {
        let mut out = std::mem::take(&mut self.out);
        let species = self.history.species();
        for (at, row) in out.chunks_mut(species).enumerate().take(self.readers.len()) {
            self.read_out(at, row, &mut []);
        }
        self.out = out;
    }

    /// Its volume, m³.
    pub fn volume(&self) -> f64 {
        self.volume
    }

    /// Joints on its way.
    pub fn joints(&self) -> usize {
        self.readers.len() - 1
    }

    /// Pushes `dv` m³ in whose composition has the mean and the half rise of `line`; writes the amounts (m³ ·
    /// composition) that pass each joint in turn and, last, those that leave: a row each. Into `end` goes what leaves
    /// at the end of the step (composition).
    pub fn push(&mut self, dv: f64, line: &[f64], passing: &mut [f64], end: &mut [f64]) {
        self.history.push(dv, line);
        if self.history.end() > (FAR * self.readers[0]).max(1.0) * self.volume {
            self.rebase();
        }
        let (joints, species) = (self.joints(), self.history.species());
        let mut out = std::mem::take(&mut self.out);
        let (rows, now) = out.split_at_mut((joints + 1) * species);
        let rows = rows.chunks_mut(species).zip(passing.chunks_mut(species));
        for (at, (before, passing)) in rows.enumerate() {
            self.read_out(at, now, if at == joints { end } else { &mut [] });
            for ((passing, now), before) in passing.iter_mut().zip(&*now).zip(before) {
                *passing = now - std::mem::replace(before, *now);
            }
        }
        self.out = out;
    }

    /// Counts from here on what entered and what left.
    fn rebase(&mut self) {
        let still_read = self.history.end() - self.lanes.longest() * self.volume;
        for row in self.out.chunks_mut(self.history.species()) {
            for (out, entered) in row.iter_mut().zip(self.history.entered()) {
                *out -= entered;
            }
        }
        let forgotten = self.history.rebase(still_read) as u32;
        self.cursors.iter_mut().for_each(|knot| *knot = knot.saturating_sub(forgotten));
    }

    /// Cumulative outflow at a reader and the present throughput, up to a constant, and what passes it now.
    fn read_out(&mut self, at: usize, sum: &mut [f64], now: &mut [f64]) {
        let mut cursors = std::mem::take(&mut self.cursors);
        let edges = self.lanes.edges().len();
        let own = &mut cursors[at * edges..(at + 1) * edges];
        let v = self.history.end();
        self.integrate((at, v), sum, now, |history, j, x| {
            let knot = history.knot_after(x, own[j] as usize);
            own[j] = knot as u32;
            knot
        });
        self.cursors = cursors;
    }

    /// Cumulative outflow at a reader and, if asked for, its derivative, the composition that passes it; `knot_after`
    /// finds the knot at or after throughput x for edge j. At the throughput v: the present one, or one before.
    fn integrate(
        &self,
        (at, v): (usize, f64),
        sum: &mut [f64],
        now: &mut [f64],
        knot_after: impl FnMut(&History, usize, f64) -> usize,
    ) {
        let volume = self.volume * self.readers[at];
        match self.history.species() {
            1 => self.integrate_few::<1>((volume, v), sum, now, knot_after),
            2 => self.integrate_few::<2>((volume, v), sum, now, knot_after),
            _ => {
                sum.fill(0.0);
                now.fill(0.0);
                self.read_edges((volume, v), knot_after, |knot, moments| {
                    self.history.add_second_integrals(knot, moments, sum);
                    if !now.is_empty() {
                        self.history.add_first_integrals(knot, moments, now);
                    }
                });
            }
        }
        // Weights are per tube volume.
        let per_volume = 1.0 / volume;
        sum.iter_mut().chain(&mut *now).for_each(|x| *x *= per_volume);
        if let Some(snapshot) = &self.snapshot {
            snapshot.add_passed(at, (v - self.history.start()) / self.volume, sum, now);
        }
    }

    /// Of S species, whose sums stay in registers.
    fn integrate_few<const S: usize>(
        &self,
        volume_and_v: (f64, f64),
        sum: &mut [f64],
        now: &mut [f64],
        knot_after: impl FnMut(&History, usize, f64) -> usize,
    ) {
        let (mut second, mut first) = ([0.0; S], [0.0; S]);
        self.read_edges(volume_and_v, knot_after, |knot, moments| {
            self.history.add_both_integrals(knot, moments, &mut second, &mut first);
        });
        sum.copy_from_slice(&second);
        now.iter_mut().zip(first).for_each(|(now, first)| *now = first);
    }

    /// Gives for each edge, at a reader so much volume from the inlet, the knot at or after what it reads and the moments
    /// to read it with ([`moments`]).
    #[inline(always)]
    #[allow(clippy::inline_always)] // the innermost loop of a flush, with what is done in it
    fn read_edges(
        &self,
        (volume, v): (f64, f64),
        mut knot_after: impl FnMut(&History, usize, f64) -> usize,
        mut read: impl FnMut(usize, [f64; 4]),
    ) {
        let (start, edges) = (self.history.start(), self.lanes.edges());
        let mut past = edges.len();
        for (j, (theta, weight)) in edges.iter().enumerate() {
            let x = v - volume * theta;
            if x <= start {
                past = j;
                break;
            }
            let knot = knot_after(&self.history, j, x);
            read(knot, moments(*weight, x - self.history.at(knot)));
        }
        if past < edges.len() {
            // Edges that still read what was there at the start, in closed form.
            let [w0, w1, w2] = self.lanes.tail(past);
            let since = v - start;
            let half = 0.5 * since * since;
            // The filling has no slope.
            let moments = [
                w0,
                w0 * since - w1 * volume,
                w0 * half - w1 * since * volume + 0.5 * w2 * volume * volume,
                0.0,
            ];
            read(0, moments);
        }
    }

    /// Amounts held now (m³ · composition): what it held at the start and what entered, less what
    /// left, found by integrating over the lanes afresh.
    pub fn held(&self, sum: &mut [f64]) {
        // Delays rise from edge to edge, so the knots are met backwards.
        let mut knot = self.history.last_knot();
        let now = (self.joints(), self.history.end());
        self.integrate(now, sum, &mut [], |history, _, x| {
            knot = history.knot_before(x, knot);
            knot
        });
        for (s, entered) in sum.iter_mut().zip(self.history.entered()) {
            *s = entered - *s;
        }
        if let Some(snapshot) = &self.snapshot {
            snapshot.total(sum);
        }
    }

    /// By how much more it holds now (m³ · composition) than before the last `dv` m³ came in.
    pub fn change_over(&self, dv: f64, sum: &mut [f64]) {
        let (last, before) = (self.joints(), self.history.end() - dv);
        let mut knot = self.history.last_knot();
        self.integrate((last, before), sum, &mut [], |history, _, x| {
            knot = history.knot_before(x, knot);
            knot
        });
        let entered = self.history.entered().iter();
        for ((s, left), entered) in
            sum.iter_mut().zip(&self.out[last * self.history.species()..]).zip(entered)
        {
            *s += entered - left;
        }
        self.history.add_first_integral_at(before, -1.0, sum);
    }

    /// Amounts held now (m³ · composition) between two shares of the volume from the inlet.
    pub fn held_between(&self, (near, far): (f64, f64), sum: &mut [f64]) {
        if near <= 0.0 && far >= 1.0 {
            self.held(sum);
            return;
        }
        sum.fill(0.0);
        self.add_entered_before(far, 1.0, sum);
        self.add_entered_before(near, -1.0, sum);
        self.add_still_held((near, far), sum);
    }

    /// What `of` makes of the amounts held (m³ · composition) between each of these shares of the volume from the
    /// inlet, which do not fall, and the next.
    pub fn along(&self, edges: &[f64], of: impl Fn(&[f64]) -> f64) -> Vec<f64> {
        let mut row = vec![0.0; self.history.species()];
        let mut entered = |x: f64| {
            row.fill(0.0);
            self.add_entered_before(x, 1.0, &mut row);
            of(&row)
        };
        let up_to: Vec<f64> = edges.iter().map(|x| entered(*x)).collect();
        let cells = edges.windows(2).zip(up_to.windows(2));
        cells
            .map(|(x, up_to)| {
                row.fill(0.0);
                if x[0] < x[1] {
                    self.add_still_held((x[0], x[1]), &mut row);
                }
                up_to[1] - up_to[0] + of(&row)
            })
            .collect()
    }

    /// Adds what is left of a snapshot between two shares of the volume from the inlet.
    fn add_still_held(&self, (near, far): (f64, f64), sum: &mut [f64]) {
        if let Some(snapshot) = &self.snapshot {
            // Positions in a snapshot count from the outlet.
            let moved = self.history.throughput() / self.volume;
            snapshot.add_still_held(moved, (1.0 - far, 1.0 - near), sum);
        }
    }

    /// Adds weight · what entered and lies before a share x of the volume, from the inlet on.
    ///
    /// Between the inlet and position x a lane holds ∫ [H(v) − H(v − Vθx)] dθ of what entered since
    /// throughput 0 (before that: the filling), over its flow share f/(θb − θa); summed over the ends of all
    /// bands that is H(v) − Σ w G(v − Vθx)/(Vx).
    fn add_entered_before(&self, x: f64, weight: f64, sum: &mut [f64]) {
        if x <= 0.0 {
            return;
        }
        for (sum, entered) in sum.iter_mut().zip(self.history.entered()) {
            *sum += weight * entered;
        }
        let v = self.history.end();
        for (theta, edge) in self.lanes.edges() {
            let at = v - self.volume * theta * x;
            self.history.add_second_integral_at(at, -weight * edge / (self.volume * x), sum);
        }
    }

    /// Ends of lanes that each push reads, those of a snapshot included.
    pub fn readings(&self) -> u64 {
        self.readings_of(self.snapshot.is_some(), &self.lanes, self.history.species())
    }

    /// The same of a leg of another grain.
    pub fn readings_at(&self, grain: &Grain) -> u64 {
        self.readings_of(self.snapshot.is_some(), grain.lanes_for(&self.lanes), grain.species)
    }

    fn readings_of(&self, snapshot: bool, lanes: &Lanes, species: usize) -> u64 {
        let snapshot = if snapshot { PER_LANE * lanes.len() * species } else { 0 };
        (self.readers.len() * (lanes.edges().len() + snapshot)) as u64
    }

    /// Numbers kept: what entered, a snapshot, and where reading at joints has got to (half a number an edge).
    pub fn numbers(&self) -> usize {
        let snapshot = self.snapshot.is_some();
        self.numbers_of(self.history.knots(), snapshot, &self.lanes, self.history.species())
    }

    /// The same of a leg of another grain, at the least, through which so much has passed and of whose steps none pushes
    /// more than that through it, m³.
    pub fn numbers_at(&self, grain: &Grain, (passed, most): (f64, f64)) -> usize {
        let lanes = grain.lanes_for(&self.lanes);
        let since = self.history.throughput().min(passed);
        let still_read = since.min(lanes.longest() * self.volume);
        // Beside the knot that stands at the end, or at the start. A float saturates; nothing has passed where `most` is 0.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, as said
        let knots = 1 + if most > 0.0 { (still_read / most) as usize } else { 0 };
        self.numbers_of(knots, self.snapshot.is_some(), lanes, grain.species)
    }

    fn numbers_of(&self, knots: usize, snapshot: bool, lanes: &Lanes, species: usize) -> usize {
        let snapshot =
            if snapshot { Snapshot::numbers_of(lanes, species, &self.grid()) } else { 0 };
        let joints = self.joints() * (lanes.edges().len() / 2 + species);
        History::numbers_of(knots, species) + snapshot + joints
    }

    /// Numbers of a snapshot of it, at its own grain if none is given.
    pub fn numbers_of_snapshot(&self, grain: Option<&Grain>) -> usize {
        let (lanes, species) = match grain {
            Some(grain) => (grain.lanes_for(&self.lanes), grain.species),
            None => (&*self.lanes, self.history.species()),
        };
        Snapshot::numbers_of(lanes, species, &self.grid())
    }

    /// Starts anew from a snapshot of what every lane holds now.
    ///
    /// `remix` gives the degree to which the lanes are mixed at a cross-section, by its distance from the
    /// outlet as a share of the volume; `reverse` lets the flow come from the other end from now on.
    pub fn settle(&mut self, remix: impl Fn(f64) -> f64, reverse: bool) {
        let still = self.history.throughput() <= 0.0;
        let mut taken = match self.snapshot.take() {
            // Nothing has moved since: as at a wait after a wait.
            Some(before) if still => {
                self.mixed = self.mixed || before.is_mixed();
                if self.mixed && !reverse {
                    self.snapshot = Some(before);
                    return;
                }
                before
            }
            before => Arc::new(Snapshot::take(
                self.volume,
                &self.lanes,
                &self.history,
                before.as_deref(),
                self.grid(),
            )),
        };
        let snapshot = Arc::make_mut(&mut taken);
        snapshot.remix(remix);
        if reverse {
            snapshot.reverse();
            let joints = self.joints();
            let turned = self.readers[..joints].iter().rev().map(|share| 1.0 - share);
            self.readers = turned.chain([1.0]).collect();
        }
        snapshot.finish();
        self.history = History::new(&vec![0.0; self.history.species()]);
        self.snapshot = Some(taken);
        self.mixed = false;
        self.cursors.fill(0);
        self.count_from_here();
    }
}
