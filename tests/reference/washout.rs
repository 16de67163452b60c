//! Exact washout of simple circuits: elements in series, all filled with old fluid, into which
//! new fluid comes from drained volume 0 on. Lines by adaptive quadrature of the convolution
//! integral, stages ahead of everything else in closed form.
//!
//! ```ignore
//! // The watched length of a clear hose (1.26 mL, filled with old fluid) behind a stage and a line.
//! let ml = Washout::step().stages(1, 12.0).line(43.5).seen(1.26, 1.0).clean_at_ml(0.05);
//! ```

use super::line::Kernel;
use super::quadrature::Quadrature;
use std::rc::Rc;

/// Absolute tolerance of each integral. The answer's own error is shown in `tests/jobs/reference_self/`.
const TOLERANCE: f64 = 1e-10;

type Fraction = Rc<dyn Fn(f64) -> f64>;

/// Old fraction at one place as a function of the drained volume (mL). Before 0 it is 1 at all
/// places ahead of `seen`.
#[derive(Clone)]
pub struct Washout {
    of: Fraction,
    /// Where the function or one of its derivatives jumps, mL.
    breaks: Vec<f64>,
    /// Volume of everything so far, mL: scale of the search for the clean point.
    scale_ml: f64,
}

impl Washout {
    /// New fluid from 0 on: what comes in.
    pub fn step() -> Self {
        Self { of: Rc::new(|v| if v < 0.0 { 1.0 } else { 0.0 }), breaks: vec![0.0], scale_ml: 0.0 }
    }

    /// Old fraction at a drained volume.
    pub fn at(&self, drained_ml: f64) -> f64 {
        (self.of)(drained_ml)
    }

    fn is_step(&self) -> bool {
        self.scale_ml == 0.0
    }

    /// Behind a laminar line of this volume (mL).
    pub fn line(&self, volume_ml: f64) -> Self {
        let of: Fraction = if self.is_step() {
            Rc::new(move |v| Kernel::Leaving.tail(v / volume_ml))
        } else {
            let density = move |w: f64| 0.5 * volume_ml * volume_ml / (w * w * w);
            self.convolve(density, 0.5 * volume_ml, move |v| Kernel::Leaving.tail(v / volume_ml))
        };
        Self {
            of,
            breaks: self.breaks.iter().map(|b| b + 0.5 * volume_ml).collect(),
            scale_ml: self.scale_ml + volume_ml,
        }
    }

    /// Behind `n` equal well-mixed stages of this volume in all (mL).
    pub fn stages(&self, n: u32, volume_ml: f64) -> Self {
        let stage_ml = volume_ml / f64::from(n);
        // Share that stays longer than w: e^−x Σ x^k/k!, k < n, x = w/stage (Erlang).
        let stays = move |w: f64| {
            let x = w / stage_ml;
            let mut term = (-x).exp();
            let mut sum = term;
            for k in 1..n {
                term *= x / f64::from(k);
                sum += term;
            }
            sum
        };
        let of: Fraction = if self.is_step() {
            Rc::new(move |v| if v < 0.0 { 1.0 } else { stays(v) })
        } else {
            let density = move |w: f64| {
                let x = w / stage_ml;
                let product = (1..n).fold((-x).exp(), |t, k| t * x / f64::from(k));
                product / stage_ml
            };
            self.convolve(density, 0.0, stays)
        };
        Self { of, breaks: self.breaks.clone(), scale_ml: self.scale_ml + volume_ml }
    }

    /// A share of the flow that comes this way, the rest the other way (both all old at first).
    pub fn beside(&self, share: f64, other: &Self) -> Self {
        let (a, b) = (self.of.clone(), other.of.clone());
        Self {
            of: Rc::new(move |v| share * a(v) + (1.0 - share) * b(v)),
            breaks: [self.breaks.as_slice(), &other.breaks].concat(),
            scale_ml: self.scale_ml.max(other.scale_ml),
        }
    }

    /// Behind a laminar line remixed in the middle to this degree.
    pub fn remixed_line(&self, volume_ml: f64, degree: f64) -> Self {
        let halves = self.line(0.5 * volume_ml).line(0.5 * volume_ml);
        self.line(volume_ml).beside(1.0 - degree, &halves)
    }

    /// Mean over the watched length (mL) of a laminar clear hose behind this, which at first
    /// holds `filling` (old fraction).
    pub fn seen(&self, watched_ml: f64, filling: f64) -> Self {
        let before = self.clone();
        let quadrature = Quadrature::new(TOLERANCE);
        let of = move |v: f64| {
            let inside = |w: f64| {
                let theta = w / watched_ml;
                let stays = if theta < 0.5 { 1.0 } else { 0.25 / (theta * theta) };
                stays / watched_ml * before.at(v - w)
            };
            let mut cuts: Vec<f64> = before.breaks.iter().map(|b| v - b).collect();
            cuts.push(0.5 * watched_ml);
            quadrature.integrate(&inside, 0.0, v, &cuts)
                + filling * Kernel::Inside.tail(v / watched_ml)
        };
        let later = self.breaks.iter().map(|b| b + 0.5 * watched_ml);
        Self {
            of: Rc::new(of),
            breaks: self.breaks.iter().copied().chain(later).collect(),
            scale_ml: self.scale_ml + watched_ml,
        }
    }

    /// ∫ density(w) c(v − w) dw from `from_ml` to v, and `stays(v)` for what was there before.
    fn convolve(
        &self,
        density: impl Fn(f64) -> f64 + 'static,
        from_ml: f64,
        stays: impl Fn(f64) -> f64 + 'static,
    ) -> Fraction {
        let before = self.clone();
        let quadrature = Quadrature::new(TOLERANCE);
        Rc::new(move |v| {
            if v <= from_ml {
                return 1.0;
            }
            let cuts: Vec<f64> = before.breaks.iter().map(|b| v - b).collect();
            let integrand = |w: f64| density(w) * before.at(v - w);
            stays(v) + quadrature.integrate(&integrand, from_ml, v, &cuts)
        })
    }

    /// Drained volume (mL) from which the old fraction stays at or below the threshold: the last
    /// crossing. Bisected to 1e-9 mL.
    pub fn clean_at_ml(&self, threshold: f64) -> f64 {
        let mut clean = self.scale_ml;
        while self.at(clean) > threshold {
            clean *= 1.5;
        }
        // Behind its last crossing the fraction falls; walk back until it is dirty.
        let stride = self.scale_ml / 50.0;
        let mut dirty = clean;
        while self.at(dirty) <= threshold {
            clean = dirty;
            dirty -= stride;
            if dirty < 0.0 {
                return 0.0;
            }
        }
        while clean - dirty > 1e-9 {
            let mid = 0.5 * (dirty + clean);
            if self.at(mid) > threshold {
                dirty = mid;
            } else {
                clean = mid;
            }
        }
        0.5 * (dirty + clean)
    }
}

/// Exact clean point (mL) at the outlet of a line: 1/(4θ²) = threshold, θ = 1/(2 √threshold).
pub fn line_clean_at_ml(line_ml: f64, threshold: f64) -> f64 {
    Washout::step().line(line_ml).clean_at_ml(threshold)
}

/// Exact clean point (mL) at the outlet of two laminar lines with a mixed cup between them.
pub fn two_lines_clean_at_ml(first_ml: f64, second_ml: f64, threshold: f64) -> f64 {
    let washout = Washout::step().line(first_ml).line(second_ml);
    washout.clean_at_ml(threshold)
}

/// Exact clean point (mL) at the outlet of a laminar line behind one well-mixed stage.
pub fn stage_and_line_clean_at_ml(stage_ml: f64, line_ml: f64, threshold: f64) -> f64 {
    let washout = Washout::step().stages(1, stage_ml).line(line_ml);
    washout.clean_at_ml(threshold)
}

/// Exact clean point (mL) at the outlet of `n` equal stages of this volume in all.
pub fn stages_clean_at_ml(n: u32, volume_ml: f64, threshold: f64) -> f64 {
    Washout::step().stages(n, volume_ml).clean_at_ml(threshold)
}
