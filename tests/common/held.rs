//! What holds for every text: it is read or refused with line and remedy; what is read can be looked over and
//! run to its end, its figures are finite and its books closed. Fuzz targets and the tests of the cases they
//! found hold the same.

use farwheel::Scenario;
use farwheel::job;
use farwheel::job::error::JobError;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use farwheel::keys::harmless::in_place;
use farwheel::scenario::Mistakes;
use farwheel::study::orders;
use farwheel::study::progress::Nobody;
use farwheel::study::{StudyError, spread};

/// Nothing may be lost beyond this share of what is in the system.
const CONSERVED: f64 = 1e-9;
/// A job of fewer steps than this is run again, finely.
const SHORT: usize = 300;

/// Reads a text; what is refused is refused well.
pub fn reads(text: &str) -> Option<Scenario> {
    match farwheel::read(text, "found.toml") {
        Ok(scenario) => Some(scenario),
        Err(mistakes) => {
            refused_well(&mistakes, text);
            None
        }
    }
}

/// Every mistake has its place in the text, says what is wrong and what would be right, and can be drawn.
fn refused_well(mistakes: &Mistakes, text: &str) {
    let lines = text.split('\n').count();
    assert!(!mistakes.list.is_empty(), "refused without a mistake");
    for m in &mistakes.list {
        assert!((1..=lines).contains(&m.line) && m.column >= 1, "{m:?} in {lines} lines");
        assert!(m.span.start <= m.span.end && m.span.end <= text.len(), "{m:?}");
        assert!(!m.what.trim().is_empty() && !m.remedy.trim().is_empty(), "{m:?}");
        assert_eq!((in_place(&m.what), in_place(&m.remedy)), (m.what.clone(), m.remedy.clone()));
        for widest in [1, 2, 17, 100] {
            let Some(excerpt) = mistakes.excerpt(m, widest) else { continue };
            assert!(excerpt.text.chars().count() <= widest, "{m:?}: {excerpt:?}");
            assert!(excerpt.text.get(excerpt.mark.clone()).is_some(), "{m:?}: {excerpt:?}");
            assert_eq!(in_place(&excerpt.text), excerpt.text);
        }
    }
    let drawn = mistakes.to_string();
    let acts = drawn.lines().find(|line| in_place(line) != *line);
    assert_eq!(acts, None, "something would act on the terminal");
}

/// Looks a scenario over. Every part holds what a scenario may say, every bleeder has a path.
pub fn looks_over(scenario: &Scenario) {
    let options = Options { supply: supply(scenario), ..Options::default() };
    let report = match job::check(scenario, &options) {
        Ok(report) => report,
        Err(e) => return refused_rightly(&e),
    };
    finite(&report);
    let holds: f64 = report.parts.iter().map(|p| p.volume_ml).sum();
    assert!((holds - report.capacity_ml).abs() <= CONSERVED * holds, "{holds}: {report:?}");
    assert!(report.parts.iter().all(|p| p.volume_ml >= 0.0), "{report:?}");
    assert!(report.paths.iter().all(|p| p.path_ml > 0.0 && !p.parts.is_empty()), "{report:?}");
    assert!(report.lines.iter().all(|l| l.transit_s >= 0.0), "{report:?}");
    told_well(&report.warnings);
}

/// Runs a scenario that was read; `None` if a step of it cannot be done.
pub fn runs(scenario: &Scenario, options: &Options) -> Option<Record> {
    let options = Options { supply: supply(scenario), ..options.clone() };
    match job::flush(scenario, &options) {
        Ok(record) => {
            adds_up(&record);
            Some(record)
        }
        Err(e) => {
            refused_rightly(&e);
            None
        }
    }
}

/// All of it: read, looked over, run with quicker options; a short job also with the program's own.
pub fn goes_through(text: &str) {
    let Some(scenario) = reads(text) else { return };
    looks_over(&scenario);
    let Some(record) = runs(&scenario, &quick()) else { return };
    if record.supply_curve.len() < SHORT {
        runs(&scenario, &Options::default());
    }
}

/// Its openings in every order, and its ranges, on a few draws.
pub fn is_studied(text: &str) {
    let Some(scenario) = reads(text) else { return };
    let options = Options { supply: supply(&scenario), ..Options::default() };
    let question = orders::Question { draws: 2, ..orders::Question::default() };
    match orders::study(&scenario, &question, &options, &Nobody) {
        Ok(orders) => {
            finite(&orders);
            assert!(!orders.orders.is_empty() && !orders.partial, "{orders:?}");
            for o in &orders.orders {
                assert!((-1e-9..=1.0 + 1e-9).contains(&o.left_old_fraction), "{o:?}");
                assert!(o.drained_ml >= 0.0 && o.left_old_ml >= -1e-6, "{o:?}");
            }
        }
        Err(StudyError::Job(e)) => refused_rightly(&e),
        Err(StudyError::TooMuch(_) | StudyError::NothingUncertain) => {}
        Err(e) => panic!("{e}"),
    }
    let question = spread::Question {
        draws: spread::LEAST_DRAWS,
        sensitivities: false,
        ..spread::Question::default()
    };
    match spread::study(&scenario, &question, &options, &Nobody) {
        Ok(spread) => {
            finite(&spread);
            assert!(!spread.partial && !spread.bleeders.is_empty(), "{spread:?}");
            assert!(spread.bleeders.iter().all(|b| (0.0..=1.0).contains(&b.clean_share)));
        }
        Err(StudyError::Job(e)) => refused_rightly(&e),
        Err(StudyError::NothingUncertain) => {}
        Err(e) => panic!("{e}"),
    }
}

/// Fewer steps and lanes, books compared at every step.
pub fn quick() -> Options {
    Options {
        steps_per_path: 10.0,
        lanes: Some(6),
        estimate_error: false,
        check_every_step: true,
        ..Options::default()
    }
}

/// Of several supplies, of which the procedure names none, the first.
fn supply(scenario: &Scenario) -> Option<String> {
    let named = scenario.procedure.tasks.supply.is_some();
    (!named).then(|| scenario.supplies[0].name.clone())
}

/// A scenario that was read has parts that join and a supply, and its flows can be found. What it asks for may
/// still be more than can be done.
fn refused_rightly(error: &JobError) {
    assert!(matches!(error, JobError::CannotBeDone { .. } | JobError::TooLarge { .. }), "{error}");
    assert!(error.to_string().contains("line "), "no line: {error}");
}

fn told_well(warnings: &[job::record::Warning]) {
    for w in warnings {
        assert!(!w.text.is_empty() && !w.text.chars().any(char::is_control), "{w:?}");
        assert!(!has_odd_number(&w.text), "{w:?}");
    }
}

/// No figure of what the program found is infinite or no number.
fn finite(found: &impl std::fmt::Debug) {
    let text = format!("{found:?}");
    assert!(!has_odd_number(&text), "a figure that is none: {text}");
}

/// Whether `NaN` or `inf` stands in a text as a number, names in quotes left out.
fn has_odd_number(text: &str) -> bool {
    let quiet = text.replace("\\\"", "");
    let outside = quiet.split('"').step_by(2);
    outside
        .flat_map(|piece| piece.split(|c: char| !c.is_alphanumeric()))
        .any(|word| word == "NaN" || word == "inf")
}

/// Nothing lost, nothing below nothing, every part of the record consistent with the others.
fn adds_up(record: &Record) {
    finite(record);
    told_well(&record.warnings);
    let (t, left) = (&record.totals, &record.left);
    let stays: f64 = left.parts.iter().map(|p| p.volume_ml).sum();
    let all = stays + t.drained_ml + t.removed_ml;
    let bound = CONSERVED * all;
    let b = record.balance;
    assert!(b.volume_error_ml < bound, "volume of {all} mL: {b:?}");
    assert!(b.old_error_ml < bound, "old fluid of {all} mL: {b:?}");
    assert!(b.water_error_g < bound, "water of {all} mL: {b:?}");
    for p in &left.parts {
        assert!(p.volume_ml >= -bound, "{p:?}");
        assert!((0.0..=1.0).contains(&p.old_fraction), "{p:?}");
        assert!((0.0..=100.0).contains(&p.water_percent), "{p:?}");
        assert!(p.boiling_c > 0.0, "{p:?}");
    }
    let old: f64 = left.parts.iter().map(|p| p.volume_ml * p.old_fraction).sum();
    assert!((old - left.old_ml).abs() <= 1e-6 + bound, "{old} and {}", left.old_ml);
    assert!((-1e-9..=1.0 + 1e-9).contains(&left.old_fraction), "{left:?}");
    openings_add_up(record, all);
    if let Some(f) = &t.fluid {
        let sum = f.bled_ml + f.reservoir_ml + f.feed_hose_ml + f.left_ml;
        assert!((sum - f.loaded_ml).abs() <= CONSERVED * (all + f.loaded_ml), "{f:?}");
        assert!(f.left_ml >= -bound, "{f:?}");
    }
    assert!(t.flow_seconds >= 0.0 && t.bay_seconds >= t.flow_seconds * (1.0 - CONSERVED), "{t:?}");
    for p in &record.supply_curve {
        assert!(p.reservoir_ml >= -bound && p.supply_ml.is_none_or(|ml| ml >= -bound), "{p:?}");
        assert!((-1e-9..=1.0 + 1e-9).contains(&p.reservoir_old_fraction), "{p:?}");
    }
}

fn openings_add_up(record: &Record, all: f64) {
    let drained: f64 = record.openings.iter().map(|o| o.drained_ml).sum();
    let total = record.totals.drained_ml;
    assert!((drained - total).abs() <= CONSERVED * all, "{drained} of {total} drained");
    for o in &record.openings {
        let from: f64 = o.origins_ml.iter().map(|x| x.1).sum();
        assert!((from - o.drained_ml).abs() <= CONSERVED * all, "{from} of {o:?}");
        assert!(o.origins_ml.iter().all(|x| x.1 >= -CONSERVED * all), "{:?}", o.origins_ml);
        assert!(o.drained_ml >= 0.0 && o.mean_flow_ml_per_s >= 0.0, "{o:?}");
        assert!(o.opened_s <= o.closed_s && o.flow_seconds >= 0.0, "{o:?}");
        assert!((-1e-9..=1.0 + 1e-9).contains(&o.path_old_fraction), "{o:?}");
        if let Some(clean) = o.clean_at_ml {
            assert!((0.0..=o.drained_ml * (1.0 + CONSERVED)).contains(&clean), "{o:?}");
        }
        let mut before = 0.0;
        for p in &o.curve {
            assert!(p.drained_ml >= before, "{p:?} after {before}");
            before = p.drained_ml;
            for share in [p.seen_old_fraction, p.leaving_old_fraction, p.path_old_fraction] {
                assert!((-1e-9..=1.0 + 1e-9).contains(&share), "{p:?}");
            }
        }
    }
}
