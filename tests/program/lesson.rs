//! The lesson: its study held against jobs run alone, and the program that writes the page. What the page does
//! in a browser is tested in `tests/browser`.

use assert_cmd::Command;
use farwheel::Scenario;
use farwheel::job::{self, options::Options};
use farwheel::report::Wording;
use farwheel::study::lesson::{self, Lesson, Named};
use farwheel::study::order::reordered;
use std::fs;
use std::path::Path;

const CAR: &str = "scenarios/compact-hatchback.toml";

fn farwheel() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin!("farwheel"))
}

fn scenario(path: &str) -> Scenario {
    farwheel::read_file(Path::new(path)).expect("a shipped scenario")
}

fn of(path: &str) -> Lesson {
    lesson::prepare(&scenario(path), &Options::default()).expect("a lesson")
}

#[test]
fn orders_are_those_that_differ() {
    let orders = |path| -> Vec<(Vec<Named>, Vec<String>)> {
        of(path).runs.into_iter().map(|r| (r.named, r.order)).collect()
    };
    let names = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    use Named::{FarFirst, NearFirst, Own, OwnReversed};
    // Paths of the compact hatchback, by tube lengths and calipers: RR, LR, RF, LF.
    assert_eq!(
        orders(CAR),
        [
            (vec![Own, FarFirst], names(&["RR", "LR", "RF", "LF"])),
            (vec![NearFirst, OwnReversed], names(&["LF", "RF", "LR", "RR"])),
        ]
    );
    // One bleeder can be opened in one order only.
    assert_eq!(orders("scenarios/motorcycle-rear.toml").len(), 1);
}

#[test]
fn each_order_is_the_job_that_flush_runs() {
    let lesson = of(CAR);
    let car = scenario(CAR);
    for run in &lesson.runs {
        let alone = reordered(&car, &run.order, lesson.rules).expect("an order");
        let record = job::flush(&alone, &Options::default()).expect("a job");
        assert_eq!(record.openings, run.record.openings);
        assert_eq!(record.totals, run.record.totals);
        assert_eq!(record.left, run.record.left);
    }
    let (own, other) = (&lesson.runs[0], &lesson.runs[1]);
    let against = other.against_own.expect("a difference");
    let drained = |r: &lesson::Run| r.record.totals.drained_ml;
    assert!((against.drained.ml - (drained(other) - drained(own))).abs() < 1e-9);
    let new = |r: &lesson::Run| r.record.totals.new_fluid_ml;
    assert!((against.new_fluid.ml - (new(other) - new(own))).abs() < 1e-9);
    assert_eq!(own.against_own, None);
}

#[test]
fn every_wheel_that_is_left_is_asked_for() {
    let lesson = of(CAR);
    assert_eq!(lesson.next.len(), 3, "nothing to choose once one wheel is left");
    for (place, next) in lesson.next.iter().enumerate() {
        assert_eq!(next.done, lesson.runs[0].order[..place]);
        assert_eq!(next.candidates.len(), 4 - place);
        assert_eq!(next.candidates[0].bleeders, [lesson.runs[0].order[place].clone()]);
    }
    // After RR the scenario goes on with LR; LF instead is this order, run alone.
    let pulled = &lesson.next[1].candidates[2];
    assert_eq!(pulled.bleeders, ["LF"]);
    let order = ["RR", "LF", "LR", "RF"];
    let record = job::flush(
        &reordered(&scenario(CAR), &order, lesson.rules).expect("an order"),
        &Options::default(),
    )
    .expect("a job");
    assert_eq!(pulled.total_ml, record.totals.drained_ml);
    assert_eq!(pulled.drained_ml, record.openings[1].drained_ml);
    assert_eq!(pulled.old_left_ml, record.left.old_ml);
}

#[test]
fn clean_paths_are_read_off_the_curve() {
    for path in [CAR, "scenarios/roadster-gravity.toml", "scenarios/off-roader-eight-bleeders.toml"]
    {
        for run in &of(path).runs {
            for (o, is_at) in run.record.openings.iter().zip(&run.is_clean_at_ml) {
                let later = |at: f64| o.curve.iter().filter(move |p| p.drained_ml > at);
                match is_at {
                    None => assert!(o.path_old_fraction > o.threshold, "{path}, {}", o.bleeder),
                    Some(at) => {
                        let clean = later(*at).all(|p| p.path_old_fraction <= o.threshold);
                        assert!(clean && *at <= o.drained_ml, "{path}, {}: {at}", o.bleeder);
                    }
                }
            }
        }
    }
}

#[test]
fn what_the_far_wheel_takes_adds_up() {
    let lesson = of("scenarios/pickup-rear-drums.toml");
    for f in &lesson.from_reservoir {
        assert!((f.reservoir_ml + f.elsewhere_ml + f.new_ml - f.drained_ml).abs() < 1e-6);
        assert_eq!(f.bleeder, lesson.far_first[0].bleeder);
    }
    let kept: f64 = lesson.stays.parts.iter().map(|p| p.old_ml).sum();
    assert!((kept - lesson.stays.old_ml).abs() < 1e-6, "{kept} of {}", lesson.stays.old_ml);
    assert!(lesson.stays.parts.is_sorted_by(|a, b| a.old_ml >= b.old_ml));
}

/// The accumulators, pumps and dampers of a modulator (graph, and common knowledge of service routines).
#[test]
fn what_no_bleeder_reaches_is_marked() {
    let lesson = of("scenarios/saloon-esc-plain-flush.toml");
    let unreached: Vec<&str> = (lesson.stays.parts.iter())
        .filter(|p| p.unreached && p.volume_ml > 0.0)
        .map(|p| p.part.as_str())
        .collect();
    assert!(unreached.iter().any(|p| p.contains("accumulator")), "{unreached:?}");
    assert!(unreached.iter().any(|p| p.contains("damper")), "{unreached:?}");
}

#[test]
fn the_page_is_written_whole_and_the_same_on_any_number_of_threads() {
    let dir = tempfile::tempdir().expect("a directory");
    let page = |threads: &str| {
        let file = dir.path().join(format!("{threads}.html"));
        farwheel().args(["lesson", CAR, "--threads", threads, "-o"]).arg(&file).assert().success();
        fs::read_to_string(file).expect("a page")
    };
    let one = page("1");
    assert!(one.starts_with("<!doctype html>") && one.trim_end().ends_with("</html>"));
    assert_eq!(one, page("3"));
    for caution in ["not only a jack", "harms eyes and skin", "must never meet", "hand it in"] {
        assert!(one.contains(caution), "{caution}");
    }
    // Fonts lie in the page.
    let without_data = one.replace("url(data:", "");
    for outside in ["http://", "https://", "//cdn", "@import", "url("] {
        assert!(!without_data.contains(outside), "the page reaches for {outside}");
    }
    assert_eq!(fs::read_dir(dir.path()).expect("a directory").count(), 2, "nothing else is left");
}

#[test]
fn words_are_those_asked_for() {
    let lesson = of("scenarios/saloon-esc-with-routine.toml");
    let [us, uk] = [Wording::Us, Wording::Uk].map(|wording| {
        let page = farwheel::report::lesson::render(&lesson, wording).expect("a page");
        let (head, body) = page.split_once("<body>").expect("a body");
        (head.to_owned(), body.split_once("<script").expect("scripts").0.to_owned())
    });
    for (mine, yours) in [
        ("bleeder by bleeder", "nipple by nipple"),
        ("one bleeder screw, unrolled", "one bleed nipple, unrolled"),
        ("jack stands under the vehicle", "axle stands under the vehicle"),
        ("No bleeder reaches", "No nipple reaches"),
        (">bleeder open<", ">nipple open<"),
    ] {
        assert!(us.1.contains(mine) && !us.1.contains(yours), "{mine}");
        assert!(uk.1.contains(yours) && !uk.1.contains(mine), "{yours}");
    }
    assert!(us.0.contains("lang=\"en-US\"") && uk.0.contains("lang=\"en-GB\""));
    // A pressure bleeder is called that on both sides.
    assert!(!uk.1.replace("pressure bleeder", "").contains("bleeder"), "{}", uk.1);
    assert!(!us.1.contains("nipple"));
}

#[test]
fn never_over_the_scenario_and_never_half() {
    let dir = tempfile::tempdir().expect("a directory");
    let car = dir.path().join("car.toml");
    let text = fs::read_to_string(CAR).expect("a scenario");
    fs::write(&car, &text).expect("a copy");
    let refused = farwheel().arg("lesson").arg(&car).arg("-o").arg(&car).assert().code(2);
    let told = String::from_utf8_lossy(&refused.get_output().stderr).into_owned();
    assert!(told.contains("-o would overwrite the scenario"), "{told}");
    assert_eq!(fs::read_to_string(&car).expect("still there"), text);
    // A scenario that cannot be used leaves no page, and an old page as it was.
    fs::write(&car, text.replace("kind = \"caliper\"", "kind = \"calibre\"")).expect("a mistake");
    let page = dir.path().join("page.html");
    fs::write(&page, "as it was").expect("a page");
    farwheel().arg("lesson").arg(&car).arg("-o").arg(&page).assert().code(2);
    assert_eq!(fs::read_to_string(&page).expect("a page"), "as it was");
    // Without a file there is nothing to do.
    farwheel().args(["lesson", CAR]).assert().code(2);
}

#[test]
fn a_job_that_must_be_stopped_is_shown_and_said() {
    let dir = tempfile::tempdir().expect("a directory");
    let car = dir.path().join("dry.toml");
    let text = fs::read_to_string("scenarios/off-roader-eight-bleeders.toml").expect("a scenario");
    fs::write(&car, text.replace("loaded = \"2 L\"", "loaded = \"0.5 L\"")).expect("a scenario");
    let page = dir.path().join("page.html");
    let ended = farwheel().arg("lesson").arg(&car).arg("-o").arg(&page).assert().code(3);
    let told = String::from_utf8_lossy(&ended.get_output().stderr).into_owned();
    assert!(told.contains("ran dry"), "{told}");
    assert!(fs::read_to_string(page).expect("a page").contains("ran dry"));
}

/// Data inside a script element, and text around it, from a hostile scenario.
#[test]
fn hostile_text_is_escaped() {
    let evil = "</script><script>alert(1)</script><img src=x onerror=alert(1)>\"'&<!-- \u{202e}abc";
    let title = format!("{evil}{}", "W".repeat(10_000));
    let car = scenario(CAR).changed(|car| car.title = title).expect("a circuit");
    let lesson = lesson::prepare(&car, &Options::default()).expect("a lesson");
    let page = farwheel::report::lesson::render(&lesson, Wording::Us).expect("a page");
    assert!(
        !page.contains("<img") && !page.contains("<script>alert") && !page.contains('\u{202e}')
    );
    assert_eq!(page.matches("</script>").count(), 5, "data and four scripts");
    assert!(!page.contains(&"W".repeat(1000)), "shortened");
}
