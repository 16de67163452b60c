//! The program that writes the live page. What the page does in a browser is tested in `tests/browser`, its questions in
//! `studies`.

use assert_cmd::Command;
use farwheel::Scenario;
use farwheel::job::{self, options::Options};
use farwheel::report::Wording;
use farwheel::report::live::{Car, Style, render};
use farwheel::study::class::quiz;
use std::fs;
use std::path::Path;

const CAR: &str = "scenarios/compact-hatchback.toml";

fn farwheel() -> Command {
    Command::new(assert_cmd::cargo::cargo_bin!("farwheel"))
}

fn scenario(path: &str) -> Scenario {
    farwheel::read_file(Path::new(path)).expect("a shipped scenario")
}

/// What a telephone on a slow line is asked to load, bytes.
const LARGEST: usize = 750_000;

const PAGE: &str = "assets/live.html";

fn page_of(options: &[&str]) -> String {
    let ended = farwheel().arg("live").args(options).args(["-o", "-"]).assert().success();
    String::from_utf8(ended.get_output().stdout.clone()).expect("text")
}

/// What the page's script is given.
fn held(page: &str) -> serde_json::Value {
    let (_, rest) = page.split_once("id=\"car\">").expect("a car");
    serde_json::from_str(rest.split_once("</script>").expect("its end").0).expect("JSON")
}

/// What shows without the script.
fn without(page: &str) -> &str {
    let (_, rest) = page.split_once("<div id=\"without\">").expect("what shows without");
    rest.split_once("<script").expect("scripts").0
}

#[test]
fn the_kept_page_is_small_and_alone() {
    let page = fs::read_to_string(PAGE).expect("the page");
    assert!(page.len() < LARGEST, "{} bytes", page.len());
    assert_eq!(held(&page), serde_json::Value::Null);
    reaches_for_nothing(&page);
}

/// Fonts and core lie in the page.
fn reaches_for_nothing(page: &str) {
    // `url(#` is a hatching in the page itself.
    let inside = ["url(data:", "url(#", "http://www.w3.org/"];
    let without_data = inside.iter().fold(page.to_owned(), |page, known| page.replace(known, ""));
    for outside in ["http://", "https://", "//cdn", "@import", "url("] {
        assert!(!without_data.contains(outside), "the page reaches for {outside}");
    }
}

#[test]
fn the_page_is_the_kept_one_with_the_car_in_it() {
    let page = page_of(&[CAR]);
    assert!(page.starts_with("<!doctype html>") && page.trim_end().ends_with("</html>"));
    assert_eq!(page, page_of(&[CAR, "--threads", "3"]));
    let kept = fs::read_to_string(PAGE).expect("the page");
    let packed = |page: &str| {
        let (_, rest) = page.split_once("id=\"packed\"").expect("it");
        rest.split_once("</html>").expect("its end").0.to_owned()
    };
    assert!(packed(&page) == packed(&kept), "what the page runs is another");
    let text = fs::read_to_string(CAR).expect("a scenario");
    let held = held(&page);
    assert_eq!((&held["text"], &held["file"]), (&text.into(), &"compact-hatchback.toml".into()));
    assert_eq!(held["view"], "try");
    assert!(page.contains("<title>Compact hatchback"));
    let record = job::flush(&scenario(CAR), &Options::default()).expect("a job");
    let shown = without(&page);
    assert!(shown.contains(&format!("Takes {:.0} mL of new fluid", record.totals.new_fluid_ml)));
    for o in &record.openings {
        let row = format!("<bdi>{}</bdi></th><td>{:.0}</td>", o.bleeder, o.drained_ml);
        assert!(shown.contains(&row), "{row}");
    }
    for words in ["not only a jack", "harms eyes and skin", "must never meet", "hand it in"] {
        assert!(shown.contains(words), "{words}");
    }
    for words in
        ["so the wheels are not buttons here", "<svg ", "Questions, answered by this vehicle"]
    {
        assert!(shown.contains(words), "{words}");
    }
    let quiz = quiz::draw(&scenario(CAR), 0, &Options::default()).expect("questions");
    assert_eq!(shown.matches("<h3>").count(), quiz.questions.len());
    for dead in ["<button", "<input", "<select", "<a "] {
        assert!(!shown.contains(dead), "{dead} does nothing without the script");
    }
    reaches_for_nothing(&page);
}

/// What the page runs is what was asked for: read alone it is the same scenario.
#[test]
fn what_is_set_stands_in_the_text_of_the_page() {
    let set = "reservoir.level=130 mL";
    let supplied = ["--set", set, "--supply", "", "--view", "car", "--units", "us"];
    let supplies: Vec<String> = scenario(CAR).supplies.iter().map(|s| s.name.clone()).collect();
    let supply = supplies.last().expect("a supply").as_str();
    let arguments: Vec<&str> =
        supplied.iter().map(|a| if a.is_empty() { supply } else { *a }).collect();
    let page = page_of(&[&[CAR], &arguments[..]].concat());
    let held = held(&page);
    let text = held["text"].as_str().expect("a text");
    let read = farwheel::read(text, "set.toml").expect("a scenario");
    let given = farwheel::read_with(&fs::read_to_string(CAR).unwrap(), "set.toml", &[set]);
    assert_eq!(read.reservoir.level, given.expect("a scenario").reservoir.level);
    assert_eq!(read.supply(None).expect("a supply").name, supply);
    assert_eq!((&held["view"], &held["us"]), (&"car".into(), &true.into()));
    assert!(without(&page).contains("fl oz"));
}

/// The spelling of before: the same page, opened at its class view.
#[test]
fn lesson_is_an_accepted_spelling() {
    let run = |verb: &str, more: &[&str]| {
        let ended = farwheel().args([verb, CAR, "-o", "-"]).args(more).assert().success();
        ended.get_output().stdout.clone()
    };
    assert_eq!(run("lesson", &[]), run("live", &["--view", "class"]));
    assert_eq!(run("lesson", &["--view", "try"]), run("live", &[]));
    let help = farwheel().arg("--help").assert().success();
    let help = String::from_utf8_lossy(&help.get_output().stdout).into_owned();
    assert!(help.contains("live") && !help.contains("lesson"), "{help}");
}

#[test]
fn words_are_those_asked_for() {
    let scenario = &scenario("scenarios/saloon-esc-with-routine.toml");
    let record = &job::flush(scenario, &Options::default()).expect("a job");
    let quiz = &quiz::draw(scenario, 0, &Options::default()).expect("questions");
    let [us, uk] = [Wording::Us, Wording::Uk].map(|wording| {
        let car = Car { scenario, record, quiz, text: "", file: "", map: "" };
        render(&car, Style { wording, ..Style::default() }).expect("a page")
    });
    for (mine, yours) in [
        ("What each bleeder took", "What each nipple took"),
        ("jack stands under the vehicle", "axle stands under the vehicle"),
    ] {
        let [us, uk] = [without(&us), without(&uk)];
        assert!(us.contains(mine) && !us.contains(yours), "{mine}");
        assert!(uk.contains(yours) && !uk.contains(mine), "{yours}");
    }
    assert!(us.contains("<html lang=\"en-US\"") && uk.contains("<html lang=\"en-GB\""));
    assert_eq!((&held(&us)["lang"], &held(&uk)["lang"]), (&"en-US".into(), &"en-GB".into()));
    // A pressure bleeder is called that on both sides.
    let uk = without(&uk).replace("pressure bleeder", "");
    assert!(!uk.contains("bleeder"), "{uk}");
    assert!(!without(&us).contains("nipple"));
}

#[test]
fn never_over_the_scenario_and_never_half() {
    let dir = tempfile::tempdir().expect("a directory");
    let car = dir.path().join("car.toml");
    let text = fs::read_to_string(CAR).expect("a scenario");
    fs::write(&car, &text).expect("a copy");
    let refused = farwheel().arg("live").arg(&car).arg("-o").arg(&car).assert().code(2);
    let told = String::from_utf8_lossy(&refused.get_output().stderr).into_owned();
    assert!(told.contains("-o would overwrite the scenario"), "{told}");
    assert_eq!(fs::read_to_string(&car).expect("still there"), text);
    // A scenario that cannot be used leaves no page, and an old page as it was.
    fs::write(&car, text.replace("kind = \"caliper\"", "kind = \"calibre\"")).expect("a mistake");
    let page = dir.path().join("page.html");
    fs::write(&page, "as it was").expect("a page");
    farwheel().arg("live").arg(&car).arg("-o").arg(&page).assert().code(2);
    assert_eq!(fs::read_to_string(&page).expect("a page"), "as it was");
    // Without a file there is nothing to do.
    farwheel().args(["live", CAR]).assert().code(2);
}

#[test]
fn a_job_that_must_be_stopped_is_shown_and_said() {
    let dir = tempfile::tempdir().expect("a directory");
    let car = dir.path().join("dry.toml");
    let text = fs::read_to_string("scenarios/off-roader-eight-bleeders.toml").expect("a scenario");
    fs::write(&car, text.replace("loaded = \"2 L\"", "loaded = \"0.5 L\"")).expect("a scenario");
    let page = dir.path().join("page.html");
    let ended = farwheel().arg("live").arg(&car).arg("-o").arg(&page).assert().code(3);
    let told = String::from_utf8_lossy(&ended.get_output().stderr).into_owned();
    assert!(told.contains("ran dry"), "{told}");
    assert!(fs::read_to_string(page).expect("a page").contains("ran dry"));
}

/// Data inside a script element, and text around it, from a hostile scenario.
#[test]
fn hostile_text_is_escaped() {
    let evil = "</script><script>alert(1)</script><img src=x onerror=alert(1)>'&<!-- \u{202e}abc";
    let dir = tempfile::tempdir().expect("a directory");
    let car = dir.path().join("evil.toml");
    let text = fs::read_to_string(CAR).expect("a scenario");
    let title = text.lines().find(|l| l.starts_with("title")).expect("a title");
    let long = format!("title = \"{evil}{}\"", "W".repeat(10_000));
    let text = text
        .replace(title, &long)
        .replace("RR = {", "\"R<b>&\" = {")
        .replace("\"RR\"", "\"R<b>&\"")
        .replace("pedal = {", "\"p<i>\" = {");
    fs::write(&car, text).expect("a scenario");
    let page = page_of(&[&car.display().to_string()]);
    let kept = fs::read_to_string(PAGE).expect("the page");
    let scripts = |page: &str| page.matches("</script").count();
    assert_eq!(scripts(&page), scripts(&kept));
    let shown = without(&page);
    for act in ["<img", "<b>", "<i>", "\u{202e}"] {
        assert!(!shown.contains(act), "{act}");
    }
    assert!(!shown.contains(&"W".repeat(1000)), "shortened");
    let (head, _) = page.split_once("</head>").expect("a head");
    assert!(head.contains("<title>&lt;&#x2f;script&gt;") && !head.contains(&"W".repeat(1000)));
}
