//! A line or hose: lanes from end to end, remixed to some degree half way.

use super::lanes::Lanes;
use super::leg::Leg;
use std::sync::Arc;

/// A tube with its fluid.
///
/// A particle keeps its lane over the whole length with probability 1 − m and, with probability m,
/// is dealt out anew over the lanes half way (m: the degree to which the bends together remix). The
/// outlet is therefore (1 − m) times that of one leg of the whole volume plus m times that of two
/// legs of half the volume in a row; both are linear in what entered.
#[derive(Debug, Clone)]
pub struct Tube {
    volume: f64,
    remix: f64,
    whole: Option<Leg>,
    halves: Option<(Leg, Leg)>,
    backward: bool,
    /// What it holds, kept up from what entered and left (m³ · composition).
    tally: Vec<f64>,
    mid: Vec<f64>,
    leaving: Vec<f64>,
}

impl Tube {
    /// A tube of `volume` m³ filled with `filling`, its bends remixing to the degree `remix`.
    pub fn new(volume: f64, remix: f64, lanes: &Arc<Lanes>, filling: &[f64]) -> Self {
        let leg = |v: f64| Leg::new(v, Arc::clone(lanes), filling);
        Self {
            volume,
            remix,
            whole: (remix < 1.0).then(|| leg(volume)),
            halves: (remix > 0.0).then(|| (leg(0.5 * volume), leg(0.5 * volume))),
            backward: false,
            tally: filling.iter().map(|c| c * volume).collect(),
            mid: vec![0.0; filling.len()],
            leaving: vec![0.0; filling.len()],
        }
    }

    /// Its volume, m³.
    pub fn volume(&self) -> f64 {
        self.volume
    }

    /// Pushes `dv` m³ of composition `c` in at the end the flow comes from; adds the amounts that
    /// leave at the other end to `leaving`.
    pub fn push(&mut self, dv: f64, c: &[f64], backward: bool, leaving: &mut [f64]) {
        if backward != self.backward {
            self.settle(0.0, true);
            self.backward = backward;
        }
        for (t, c) in self.tally.iter_mut().zip(c) {
            *t += dv * c;
        }
        if let Some(whole) = &mut self.whole {
            whole.push(dv, c, &mut self.leaving);
            for ((l, t), x) in leaving.iter_mut().zip(&mut self.tally).zip(&self.leaving) {
                *l += (1.0 - self.remix) * x;
                *t -= (1.0 - self.remix) * x;
            }
        }
        if let Some((first, second)) = &mut self.halves {
            first.push(dv, c, &mut self.mid);
            for m in &mut self.mid {
                *m /= dv;
            }
            second.push(dv, &self.mid, &mut self.leaving);
            for ((l, t), x) in leaving.iter_mut().zip(&mut self.tally).zip(&self.leaving) {
                *l += self.remix * x;
                *t -= self.remix * x;
            }
        }
    }

    /// Lets it stand long enough that each cross-section mixes to the degree `remix`.
    pub fn stand(&mut self, remix: f64) {
        if remix > 0.0 {
            self.settle(remix, false);
        }
    }

    fn legs(&self) -> impl Iterator<Item = &Leg> {
        self.whole.iter().chain(self.halves.iter().flat_map(|(a, b)| [a, b]))
    }

    /// Ends of lanes that each push reads.
    pub fn readings(&self) -> u64 {
        self.legs().map(Leg::readings).sum()
    }

    /// Numbers kept.
    pub fn numbers(&self) -> usize {
        self.legs().map(Leg::numbers).sum()
    }

    /// Numbers of a snapshot of it, which a wait or a reversal takes.
    pub fn numbers_of_snapshot(&self) -> usize {
        self.legs().map(Leg::numbers_of_snapshot).sum()
    }

    /// Whether fluid pushed in at the end that `backward` tells comes against the flow so far.
    pub fn turns(&self, backward: bool) -> bool {
        self.backward != backward
    }

    fn settle(&mut self, remix: f64, reverse: bool) {
        if let Some(whole) = &mut self.whole {
            whole.settle(remix, reverse);
        }
        if let Some((first, second)) = &mut self.halves {
            first.settle(remix, reverse);
            second.settle(remix, reverse);
            if reverse {
                std::mem::swap(first, second);
            }
        }
    }

    /// What `of` makes (linear in it) of the composition in each of `cells` cells of equal volume, the mean
    /// over the cross-section, from the end that fluid enters when it flows forward.
    pub fn profile(&self, cells: usize, of: impl Fn(&[f64]) -> f64) -> Vec<f64> {
        let mut profile = vec![0.0; cells];
        if let Some(whole) = &self.whole {
            for (p, held) in profile.iter_mut().zip(whole.along(cells, &of)) {
                *p += (1.0 - self.remix) * held;
            }
        }
        if let Some((first, second)) = &self.halves {
            let near = first.along(cells, &of);
            let far = second.along(cells, &of);
            // Each half is read as finely as the whole, and two of its cells make one.
            let fine: Vec<f64> = near.into_iter().chain(far).collect();
            for (p, two) in profile.iter_mut().zip(fine.chunks(2)) {
                *p += self.remix * two.iter().sum::<f64>();
            }
        }
        for p in &mut profile {
            *p *= cells as f64 / self.volume;
        }
        if self.backward {
            profile.reverse();
        }
        profile
    }

    /// Amounts held (m³ · composition), as book-keeping over what entered and left has it.
    pub fn tally(&self) -> &[f64] {
        &self.tally
    }

    /// Writes the amounts held (m³ · composition), integrated afresh over the lanes.
    pub fn held(&self, sum: &mut [f64]) {
        let mut part = vec![0.0; sum.len()];
        sum.fill(0.0);
        if let Some(whole) = &self.whole {
            whole.held(&mut part);
            for (s, p) in sum.iter_mut().zip(&part) {
                *s += (1.0 - self.remix) * p;
            }
        }
        for leg in self.halves.iter().flat_map(|(a, b)| [a, b]) {
            leg.held(&mut part);
            for (s, p) in sum.iter_mut().zip(&part) {
                *s += self.remix * p;
            }
        }
    }
}
