//! Elements in series, driven as a job drives them, against exact quadrature.

use super::reference::Washout;
use super::{THRESHOLDS, promise};
use farwheel::job::options::Options;
use farwheel::parts::chamber::Chamber;
use farwheel::transport::chamber::Stages;
use farwheel::transport::course::straighten;
use farwheel::transport::lanes::Lanes;
use farwheel::transport::leg::Leg;
use farwheel::transport::tube::Tube;
use std::sync::Arc;

/// Watched length of the clear hose with its default bore and length, 5 mm and 100 mm, mL.
const WATCHED_ML: f64 = 1.9635;
const ML: f64 = 1e-6;

#[derive(Debug, Clone, Copy)]
enum Element {
    /// Volume (mL), degree of remixing half way.
    Line(f64, f64),
    /// Number, volume of all (mL).
    Stages(u32, f64),
}

impl Element {
    fn ml(self) -> f64 {
        match self {
            Self::Line(ml, _) | Self::Stages(_, ml) => ml,
        }
    }
}

#[derive(Clone)]
enum Part {
    Tube(Box<Tube>),
    Stages(Box<Stages>),
}

/// The elements as the program carries them, all filled with old fluid.
#[derive(Clone)]
struct Chain(Vec<Part>);

impl Chain {
    fn new(elements: &[Element], lanes: &Arc<Lanes>) -> Self {
        let parts = elements.iter().map(|element| match *element {
            Element::Line(ml, remix) => {
                Part::Tube(Box::new(Tube::new(ml * ML, remix, lanes, &[1.0])))
            }
            Element::Stages(n, ml) => {
                let spec = Chamber { stages: n as usize, ..Chamber::mixed(ml * ML) };
                Part::Stages(Box::new(Stages::new(spec, &[1.0])))
            }
        });
        Self(parts.collect())
    }

    /// Pushes new fluid in; gives old fluid that leaves, amount and dv times what leaves at the end, m³.
    fn push(&mut self, dv: f64) -> [f64; 2] {
        let mut flow = [0.0; 2];
        for part in &mut self.0 {
            match part {
                Part::Tube(tube) => {
                    let mut leaving = [0.0; 2];
                    tube.push(dv, &flow.map(|x| x / dv), false, &mut leaving);
                    flow = leaving;
                }
                Part::Stages(stages) => stages.pass(dv, 1.0, &mut flow),
            }
        }
        flow
    }
}

/// A clear hose, what it holds (m³), and what came in last.
#[derive(Clone)]
struct Hose(Leg, f64, f64);

impl Hose {
    /// Takes in what leaves; gives the old fraction seen.
    fn take(&mut self, dv: f64, flow: [f64; 2]) -> f64 {
        let (mut row, mut leaving) = (flow.map(|x| x / dv), [0.0]);
        straighten(&mut row, std::slice::from_mut(&mut self.2));
        self.0.push(dv, &row, &mut leaving, &mut []);
        self.1 += flow[0] - leaving[0];
        self.1 / (WATCHED_ML * ML)
    }
}

/// Drained volume (mL) from which the old fraction stays at or below the threshold, by steps of the default resolution.
/// Looked at is what leaves or, with the filling given, what is seen in the clear hose; where it turns clean is found by
/// cutting that step short.
fn clean_at_ml(elements: &[Element], threshold: f64, filling: Option<f64>) -> f64 {
    let lanes = Arc::new(Lanes::for_threshold(threshold));
    let chain = Chain::new(elements, &lanes);
    let hose =
        filling.map(|f| Hose(Leg::new(WATCHED_ML * ML, lanes, &[f]), f * WATCHED_ML * ML, f));
    let mut now = (chain, hose);
    let seen_after = |(chain, hose): &mut (Chain, Option<Hose>), step: f64| {
        let flow = chain.push(step * ML);
        match hose {
            Some(hose) => hose.take(step * ML, flow),
            None => flow[1] / (step * ML),
        }
    };
    let path_ml: f64 = elements.iter().map(|e| e.ml()).sum();
    let step = path_ml / Options::default().steps_per_path;
    let mut drained = 0.0;
    let mut clean = None;
    let mut was_dirty = filling != Some(0.0);
    while drained < 40.0 * path_ml {
        let before = now.clone();
        // Short ones at first, as in a job.
        let step = (0.5 * drained).clamp(step / 18.0, step);
        let seen = seen_after(&mut now, step);
        if seen > threshold {
            (was_dirty, clean) = (true, None);
        } else if clean.is_none() && was_dirty {
            let (mut dirty, mut fair) = (0.0, step);
            for _ in 0..30 {
                let mid = 0.5 * (dirty + fair);
                let over = seen_after(&mut before.clone(), mid) > threshold;
                *(if over { &mut dirty } else { &mut fair }) = mid;
            }
            clean = Some(drained + fair);
        }
        drained += step;
        if clean.is_some() && seen < 0.3 * threshold {
            break;
        }
    }
    clean.expect("it runs clean")
}

/// Compares at every threshold, at the outlet and seen through a clear hose that begins old or new.
fn compare(what: &str, elements: &[Element], washout: &Washout) {
    for threshold in THRESHOLDS {
        for filling in [None, Some(1.0), Some(0.0)] {
            let exact = match filling {
                None => washout.clean_at_ml(threshold),
                Some(f) => washout.seen(WATCHED_ML, f).clean_at_ml(threshold),
            };
            let here = clean_at_ml(elements, threshold, filling);
            println!(
                "{what}, threshold {threshold}, hose {filling:?}: {here:.3} of {exact:.3} mL, off by {:.3} mL, {:.3} %",
                here - exact,
                100.0 * (here / exact - 1.0)
            );
            super::close(here, exact, promise(exact), what);
        }
    }
}

/// Volume of a line: a motorcycle's front, a car's longest with its hose, a van's with a wide bore, mL.
const SIZES_ML: [f64; 3] = [8.0, 43.0, 120.0];

#[test]
fn a_line_alone() {
    for v in SIZES_ML {
        compare(&format!("line {v}"), &[Element::Line(v, 0.0)], &Washout::step().line(v));
    }
}

#[test]
fn two_lines_in_series() {
    for v in SIZES_ML {
        let (a, b) = (0.85 * v, 0.15 * v);
        let elements = [Element::Line(a, 0.0), Element::Line(b, 0.0)];
        compare(&format!("lines {a} and {b}"), &elements, &Washout::step().line(a).line(b));
    }
}

#[test]
fn a_line_behind_a_stage() {
    for v in SIZES_ML {
        let elements = [Element::Stages(1, 0.3 * v), Element::Line(v, 0.0)];
        let washout = Washout::step().stages(1, 0.3 * v).line(v);
        compare(&format!("stage {} and line {v}", 0.3 * v), &elements, &washout);
    }
}

#[test]
fn a_stage_behind_a_line() {
    for v in SIZES_ML {
        let elements = [Element::Line(v, 0.0), Element::Stages(1, 0.6 * v)];
        let washout = Washout::step().line(v).stages(1, 0.6 * v);
        compare(&format!("line {v} and stage {}", 0.6 * v), &elements, &washout);
    }
}

#[test]
fn a_remixed_line() {
    for v in SIZES_ML {
        for degree in [0.4, 1.0] {
            let washout = Washout::step().remixed_line(v, degree);
            compare(&format!("line {v} remixed {degree}"), &[Element::Line(v, degree)], &washout);
        }
    }
}

#[test]
fn a_chain_of_stages() {
    for v in SIZES_ML {
        for n in [1, 4] {
            let washout = Washout::step().stages(n, v);
            compare(&format!("{n} stages of {v}"), &[Element::Stages(n, v)], &washout);
        }
    }
}
