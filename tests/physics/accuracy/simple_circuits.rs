//! Elements in series, driven as a job drives them, against exact quadrature.

use super::reference::Washout;
use super::{THRESHOLDS, promise};
use farwheel::job::options::Options;
use farwheel::parts::chamber::Chamber;
use farwheel::transport::chamber::Stages;
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

enum Part {
    Tube(Box<Tube>),
    Stages(Stages),
}

/// The elements as the program carries them, all filled with old fluid.
struct Chain(Vec<Part>);

impl Chain {
    fn new(elements: &[Element], lanes: &Arc<Lanes>) -> Self {
        let parts = elements.iter().map(|element| match *element {
            Element::Line(ml, remix) => {
                Part::Tube(Box::new(Tube::new(ml * ML, remix, lanes, &[1.0])))
            }
            Element::Stages(n, ml) => {
                let spec = Chamber { stages: n as usize, ..Chamber::mixed(ml * ML) };
                Part::Stages(Stages::new(spec, &[1.0]))
            }
        });
        Self(parts.collect())
    }

    /// Pushes new fluid in; gives the amount of old fluid that leaves, m³.
    fn push(&mut self, dv: f64) -> f64 {
        let mut flow = [0.0];
        for part in &mut self.0 {
            match part {
                Part::Tube(tube) => {
                    let mut leaving = [0.0];
                    tube.push(dv, &[flow[0] / dv], false, &mut leaving);
                    flow = leaving;
                }
                Part::Stages(stages) => stages.pass(dv, 1.0, &mut flow),
            }
        }
        flow[0]
    }
}

/// Drained volume (mL) from which the old fraction stays at or below the threshold, by steps of the
/// default resolution that grow finer toward the threshold as a job's do. Looked at is what leaves
/// (the mean of a step, in its middle) or, with the filling given, what is seen in the clear hose.
fn clean_at_ml(elements: &[Element], threshold: f64, filling: Option<f64>) -> f64 {
    let lanes = Arc::new(Lanes::for_threshold(threshold));
    let mut chain = Chain::new(elements, &lanes);
    let mut hose = filling.map(|f| (Leg::new(WATCHED_ML * ML, lanes, &[f]), f * WATCHED_ML * ML));
    let path_ml: f64 = elements.iter().map(|e| e.ml()).sum();
    let longest = path_ml / Options::default().steps_per_path;
    let (mut drained, mut step) = (0.0, longest);
    let (mut at_before, mut old_before) = (0.0, filling.unwrap_or(1.0));
    let mut clean = None;
    let mut was_dirty = false;
    while drained < 40.0 * path_ml {
        let old = chain.push(step * ML);
        let (at, seen) = match &mut hose {
            Some((leg, held)) => {
                let mut leaving = [0.0];
                leg.push(step * ML, &[old / (step * ML)], &mut leaving);
                *held += old - leaving[0];
                (drained + step, *held / (WATCHED_ML * ML))
            }
            None => (drained + 0.5 * step, old / (step * ML)),
        };
        drained += step;
        let falls =
            if seen < old_before { (old_before / seen).ln() / (at - at_before) } else { 0.0 };
        if seen > threshold {
            (was_dirty, clean) = (true, None);
        } else if clean.is_none() && was_dirty {
            clean = Some(at_before + (old_before / threshold).ln() / falls);
        }
        if clean.is_some() && seen < 0.3 * threshold {
            break;
        }
        let expected =
            if clean.is_none() && falls > 0.0 { (seen / threshold).ln() / falls } else { 0.0 };
        let coming = expected > 0.0 && expected < 2.0 * longest;
        step = if coming { (0.5 * expected).max(0.125 * longest) } else { longest };
        (at_before, old_before) = (at, seen);
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
