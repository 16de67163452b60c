//! What comes out for each kind of vehicle, against bands that were written down first.

use farwheel::describe::{Answers, describe};
use farwheel::job::flush;
use farwheel::job::options::Options;

/// Kind; what it holds, mL; volume of the longest and shortest path, mL; the new fluid that goes in until an ordinary eye
/// finds every hose clean, what a syringe took out included, mL.
///
/// A compact car holds 0.4 to 0.5 L and about 0.6 L is what a flush drains; a pickup and a van hold more by their lines
/// and calipers, a motorcycle's front brake a tenth (common practice, no source).
pub const BANDS: [(&str, [[f64; 2]; 4]); 9] = [
    ("city car", [[280.0, 430.0], [45.0, 85.0], [30.0, 65.0], [380.0, 620.0]]),
    ("hatchback", [[330.0, 500.0], [50.0, 95.0], [35.0, 75.0], [450.0, 720.0]]),
    ("saloon", [[360.0, 540.0], [55.0, 100.0], [40.0, 80.0], [500.0, 800.0]]),
    ("estate", [[370.0, 560.0], [55.0, 100.0], [40.0, 80.0], [510.0, 820.0]]),
    ("SUV", [[390.0, 600.0], [55.0, 105.0], [40.0, 85.0], [540.0, 880.0]]),
    ("pickup", [[480.0, 750.0], [95.0, 180.0], [50.0, 115.0], [650.0, 1150.0]]),
    ("van", [[500.0, 800.0], [95.0, 180.0], [50.0, 110.0], [700.0, 1200.0]]),
    ("roadster", [[260.0, 430.0], [45.0, 100.0], [25.0, 65.0], [370.0, 640.0]]),
    ("motorcycle", [[45.0, 95.0], [18.0, 40.0], [18.0, 40.0], [60.0, 160.0]]),
];

/// What a described car comes to, mL: what it holds, its longest and shortest path, the new fluid that goes in.
pub fn figures(scenario: &farwheel::Scenario) -> [f64; 4] {
    let options = Options { estimate_error: false, ..Options::default() };
    let record = flush(scenario, &options).expect("it can be simulated");
    let check = farwheel::job::check(scenario, &options).expect("it can be looked over");
    let paths = || check.paths.iter().map(|p| p.path_ml);
    let (most, least) = (paths().fold(0.0, f64::max), paths().fold(f64::MAX, f64::min));
    [check.capacity_ml, most, least, record.totals.new_fluid_ml]
}

fn of_kind(kind: &str) -> Answers {
    let mut answers = Answers::default();
    answers.give("kind", kind).expect("a kind");
    answers
}

#[test]
fn each_kind_comes_out_as_such_vehicles_are() {
    for (kind, bands) in BANDS {
        let car =
            describe(&of_kind(kind)).unwrap_or_else(|w| panic!("{kind}: {}; {}", w.what, w.remedy));
        let scenario =
            farwheel::read(&car.text, "described.toml").unwrap_or_else(|m| panic!("{m}"));
        let figures = figures(&scenario);
        println!("{kind}: holds, far, near, takes {figures:.0?}");
        for (value, band) in figures.into_iter().zip(bands) {
            assert!(band[0] <= value && value <= band[1], "{kind}: {value:.0} mL, not {band:?}");
        }
        let check = farwheel::job::check(&scenario, &Options::default()).expect("looked over");
        assert!(check.warnings.iter().all(|w| w.kind.words() != "unusual"), "{:?}", check.warnings);
    }
}
