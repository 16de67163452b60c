//! Lines or hoses that run on into one another: lanes from end to end, remixed to some degree at bends and joints.

use super::course::straighten;
use super::grain::Grain;
use super::lanes::Lanes;
use super::leg::Leg;
use crate::sorting;
use std::sync::Arc;

/// A line or hose that is part of a tube.
#[derive(Debug, Clone, Copy)]
pub struct Length<'a> {
    /// Volume, m³.
    pub volume: f64,
    /// Degree to which its bends together remix the cross-section, half way.
    pub bends: f64,
    /// Degree to which the joint at its beginning does; the first has none.
    pub joint: f64,
    /// Composition in it at first.
    pub filling: &'a [f64],
}

/// A tube with its fluid: one line or hose, or several that run on into one another.
///
/// Points are its two ends, the middle of each length that has bends, and the joints between two lengths. Point j
/// deals the share mⱼ of what passes it out anew over the lanes (at the ends mⱼ = 1); the rest keeps its lane.
/// So the tube is a sum of stretches between two points i < j, each a [`Leg`] with the share
/// mᵢ mⱼ Π (1 − mₖ), k between them, of the cross-section; what point i deals out is a mixture of what reaches it
/// in the stretches that end there, each in proportion to its share, and enters all that begin there. Everything
/// is linear in what entered. For one length whose bends remix to the degree m: (1 − m) times one leg of the
/// whole volume plus m times two legs of half the volume in a row.
#[derive(Debug, Clone)]
pub struct Tube {
    /// In flow order, as are lengths and stretches.
    points: Vec<Point>,
    lengths: Vec<Held>,
    /// By where they begin, the longest first.
    stretches: Vec<Stretch>,
    backward: bool,
    /// What each point deals out, [point][twice as many as species]: amounts and, at the end of the step, composition
    /// while fluid is pushed; then mean and half rise.
    dealt: Vec<f64>,
    /// What each point dealt out last, [point][species].
    before: Vec<f64>,
    /// What passes the joints on a stretch and its end, and what leaves at the end of the step.
    passing: Vec<f64>,
}

#[derive(Debug, Clone, Copy)]
struct Point {
    /// Volume from where the fluid comes in, m³.
    at: f64,
    /// Share of what passes that is dealt out anew.
    degree: f64,
    /// Whether a length ends here.
    joint: bool,
}

#[derive(Debug, Clone)]
struct Held {
    volume: f64,
    /// Volume before it, m³.
    before: f64,
    /// What it holds, kept up from what entered and left (m³ · composition).
    tally: Vec<f64>,
}

#[derive(Debug, Clone)]
struct Stretch {
    from: usize,
    to: usize,
    /// Π (1 − m) over the points between.
    kept: f64,
    /// The length in which it begins.
    length: usize,
    leg: Leg,
}

impl Tube {
    /// A line of `volume` m³ filled with `filling`, its bends remixing to the degree `bends`.
    pub fn new(volume: f64, bends: f64, lanes: &Arc<Lanes>, filling: &[f64]) -> Self {
        Self::of(&[Length { volume, bends, joint: 1.0, filling }], lanes)
    }

    /// Lines or hoses that run on into one another, in order.
    pub fn of(lengths: &[Length<'_>], lanes: &Arc<Lanes>) -> Self {
        let species = lengths.first().map_or(0, |l| l.filling.len());
        let (mut points, mut held, mut at) = (Vec::new(), Vec::new(), 0.0);
        for (i, l) in lengths.iter().enumerate() {
            let degree = if i == 0 { 1.0 } else { l.joint };
            points.push(Point { at, degree, joint: true });
            if l.bends > 0.0 {
                points.push(Point { at: at + 0.5 * l.volume, degree: l.bends, joint: false });
            }
            let tally = l.filling.iter().map(|c| c * l.volume).collect();
            held.push(Held { volume: l.volume, before: at, tally });
            at += l.volume;
        }
        points.push(Point { at, degree: 1.0, joint: true });
        let mut tube = Self {
            dealt: vec![0.0; 2 * points.len() * species],
            before: lengths[0].filling.repeat(points.len()),
            points,
            lengths: held,
            stretches: Vec::new(),
            backward: false,
            passing: Vec::new(),
        };
        tube.join(lengths, lanes);
        tube.passing = vec![0.0; (tube.lengths.len() + 1) * species];
        tube
    }

    /// Finds the stretches.
    fn join(&mut self, lengths: &[Length<'_>], lanes: &Arc<Lanes>) {
        let points = &self.points;
        let mut length = 0;
        for from in 0..points.len() - 1 {
            length += usize::from(from > 0 && points[from].joint);
            if points[from].degree <= 0.0 {
                continue;
            }
            let first = self.stretches.len();
            let (mut kept, mut joints) = (1.0, Vec::new());
            for to in from + 1..points.len() {
                if points[to].degree > 0.0 {
                    let volume = points[to].at - points[from].at;
                    let shares: Vec<f64> =
                        joints.iter().map(|at| (at - points[from].at) / volume).collect();
                    let fillings: Vec<&[f64]> =
                        lengths[length..=length + joints.len()].iter().map(|l| l.filling).collect();
                    let leg = Leg::joined(volume, Arc::clone(lanes), &shares, &fillings);
                    self.stretches.push(Stretch { from, to, kept, length, leg });
                }
                kept *= 1.0 - points[to].degree;
                if kept <= 0.0 {
                    break;
                }
                if points[to].joint {
                    joints.push(points[to].at);
                }
            }
            self.stretches[first..].reverse();
        }
    }

    /// Its volume, m³.
    pub fn volume(&self) -> f64 {
        self.lengths.iter().map(|l| l.volume).sum()
    }

    /// Pushes `dv` m³ in at the end the flow comes from, of which `course` has the mean composition and that at the end
    /// of the step; adds what leaves at the other end to `leaving`: amounts, and dv times the composition at the end.
    pub fn push(&mut self, dv: f64, course: &[f64], backward: bool, leaving: &mut [f64]) {
        if backward != self.backward {
            self.settle(|_| 0.0, true);
        }
        let Self { points, lengths, stretches, dealt, before, passing, .. } = self;
        let s = course.len() / 2;
        let (leaving, leaving_end) = leaving.split_at_mut(s);
        for (t, c) in lengths[0].tally.iter_mut().zip(course) {
            *t += dv * c;
        }
        dealt.fill(0.0);
        dealt[..2 * s].copy_from_slice(course);
        straighten(&mut dealt[..2 * s], &mut before[..s]);
        let mut from = 0;
        for st in stretches {
            if st.from != from {
                // All that reaches it has come in: stretches stand by where they begin.
                from = st.from;
                let row = &mut dealt[2 * s * from..2 * s * (from + 1)];
                row[..s].iter_mut().for_each(|x| *x /= dv);
                straighten(row, &mut before[s * from..s * (from + 1)]);
            }
            let (rows, end) =
                passing[..s * (st.leg.joints() + 2)].split_at_mut(s * (st.leg.joints() + 1));
            st.leg.push(dv, &dealt[2 * s * from..2 * s * (from + 1)], rows, end);
            let reaches = points[from].degree * st.kept;
            let share = reaches * points[st.to].degree;
            for (k, row) in rows.chunks(s).enumerate() {
                if k < st.leg.joints() || points[st.to].joint {
                    // It passes from one length into the next, or out.
                    let (this, next) = lengths[st.length + k..].split_at_mut(1);
                    let next = next.first_mut().map_or(&mut *leaving, |next| &mut next.tally);
                    for ((n, t), x) in next.iter_mut().zip(&mut this[0].tally).zip(row) {
                        *n += share * x;
                        *t -= share * x;
                    }
                }
                if k == st.leg.joints() {
                    let dealt = &mut dealt[2 * s * st.to..];
                    for (d, x) in dealt.iter_mut().zip(row.iter().chain(&*end)) {
                        *d += reaches * x;
                    }
                }
            }
            if st.to + 1 == points.len() {
                for (l, x) in leaving_end.iter_mut().zip(&*end) {
                    *l += share * dv * x;
                }
            }
        }
    }

    /// Lets it stand long enough that each cross-section mixes to the degree `remix`.
    pub fn stand(&mut self, remix: f64) {
        self.stand_each(|_| remix);
    }

    /// As [`Self::stand`], to a degree for each length (by its place in the order they were given).
    pub fn stand_each(&mut self, remix: impl Fn(usize) -> f64) {
        if (0..self.lengths.len()).any(|length| remix(length) > 0.0) {
            self.settle(remix, false);
        }
    }

    /// Place of a length in flow order, or in the order given for a place in flow order.
    fn place(&self, length: usize) -> usize {
        if self.backward { self.lengths.len() - 1 - length } else { length }
    }

    fn settle(&mut self, remix: impl Fn(usize) -> f64, reverse: bool) {
        let mut stretches = std::mem::take(&mut self.stretches);
        for st in &mut stretches {
            let (end, volume) = (self.points[st.to].at, st.leg.volume());
            let remix_at = |from_outlet: f64| {
                let at = end - from_outlet * volume;
                let length = self.lengths.iter().rposition(|l| l.before <= at).unwrap_or(0);
                remix(self.place(length))
            };
            st.leg.settle(remix_at, reverse);
        }
        self.stretches = stretches;
        if reverse {
            self.turn();
        }
    }

    /// Lets flow order be the other way.
    fn turn(&mut self) {
        self.backward = !self.backward;
        let (end, last) = (self.volume(), self.points.len() - 1);
        self.points.reverse();
        let species = self.lengths[0].tally.len();
        let turned: Vec<f64> = self.before.chunks(species).rev().flatten().copied().collect();
        self.before = turned;
        self.points.iter_mut().for_each(|p| p.at = end - p.at);
        self.lengths.reverse();
        let mut before = 0.0;
        for l in &mut self.lengths {
            l.before = before;
            before += l.volume;
        }
        for st in &mut self.stretches {
            (st.from, st.to) = (last - st.to, last - st.from);
            st.length = self.lengths.len() - 1 - (st.length + st.leg.joints());
        }
        sorting::by_key(&mut self.stretches, |st| (st.from, last - st.to));
    }

    /// Ends of lanes that each push reads.
    pub fn readings(&self) -> u64 {
        self.stretches.iter().map(|st| st.leg.readings()).sum()
    }

    /// The same of a tube of another grain.
    pub fn readings_at(&self, grain: &Grain) -> u64 {
        self.stretches.iter().map(|st| st.leg.readings_at(grain)).sum()
    }

    /// Numbers kept.
    pub fn numbers(&self) -> usize {
        self.stretches.iter().map(|st| st.leg.numbers()).sum()
    }

    /// The same of a tube of another grain, at the least, through which so much has passed and of whose steps none pushes
    /// more than that through it, m³.
    pub fn numbers_at(&self, grain: &Grain, passed_m3: (f64, f64)) -> usize {
        self.stretches.iter().map(|st| st.leg.numbers_at(grain, passed_m3)).sum()
    }

    /// Numbers of a snapshot of it, which a wait or a reversal takes; at its own grain if none is given.
    pub fn numbers_of_snapshot(&self, grain: Option<&Grain>) -> usize {
        self.stretches.iter().map(|st| st.leg.numbers_of_snapshot(grain)).sum()
    }

    /// Whether fluid pushed in at the end that `backward` tells comes against the flow so far.
    pub fn turns(&self, backward: bool) -> bool {
        self.backward != backward
    }

    fn share(&self, st: &Stretch) -> f64 {
        self.points[st.from].degree * st.kept * self.points[st.to].degree
    }

    /// Writes the amounts held (m³ · composition), integrated afresh over the lanes.
    pub fn held(&self, sum: &mut [f64]) {
        let mut part = vec![0.0; sum.len()];
        sum.fill(0.0);
        for st in &self.stretches {
            st.leg.held(&mut part);
            for (s, p) in sum.iter_mut().zip(&part) {
                *s += self.share(st) * p;
            }
        }
    }

    /// The line or hose at this place in the order they were given.
    pub fn length(&self, place: usize) -> Piece<'_> {
        Piece { tube: self, length: &self.lengths[self.place(place)] }
    }
}

/// A line or hose of a tube.
#[derive(Debug, Clone, Copy)]
pub struct Piece<'a> {
    tube: &'a Tube,
    length: &'a Held,
}

impl<'a> Piece<'a> {
    /// The tube that it is part of.
    pub fn tube(&self) -> &'a Tube {
        self.tube
    }

    /// Its volume, m³.
    pub fn volume(&self) -> f64 {
        self.length.volume
    }

    /// Amounts held (m³ · composition), as book-keeping over what entered and left has it.
    pub fn tally(&self) -> &'a [f64] {
        &self.length.tally
    }

    /// Where along a stretch, as a share of its volume, what lies this share of the length into it.
    fn on(&self, st: &Stretch, share: f64) -> f64 {
        let into = self.length.before + share * self.length.volume - self.tube.points[st.from].at;
        let share = into / st.leg.volume();
        // An end of the stretch, but for rounding: what lies before a cell of next to no volume can't be told.
        if share < 1e-9 {
            0.0
        } else if share > 1.0 - 1e-9 {
            1.0
        } else {
            share
        }
    }

    /// Writes the amounts held (m³ · composition), integrated afresh over the lanes.
    pub fn held(&self, sum: &mut [f64]) {
        if self.tube.lengths.len() == 1 {
            self.tube.held(sum);
            return;
        }
        let mut part = vec![0.0; sum.len()];
        sum.fill(0.0);
        for st in &self.tube.stretches {
            let (near, far) = (self.on(st, 0.0), self.on(st, 1.0));
            if near < far {
                st.leg.held_between((near, far), &mut part);
                for (s, p) in sum.iter_mut().zip(&part) {
                    *s += self.tube.share(st) * p;
                }
            }
        }
    }

    /// What `of` makes (linear in it) of the composition in each of `cells` cells of equal volume, the mean
    /// over the cross-section, from the end that fluid enters when it flows forward.
    pub fn profile(&self, cells: usize, of: impl Fn(&[f64]) -> f64) -> Vec<f64> {
        let mut profile = vec![0.0; cells];
        for st in &self.tube.stretches {
            let edges: Vec<f64> =
                (0..=cells).map(|edge| self.on(st, edge as f64 / cells as f64)).collect();
            for (p, held) in profile.iter_mut().zip(st.leg.along(&edges, &of)) {
                *p += self.tube.share(st) * held;
            }
        }
        for p in &mut profile {
            *p *= cells as f64 / self.length.volume;
        }
        if self.tube.backward {
            profile.reverse();
        }
        profile
    }
}
