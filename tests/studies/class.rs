//! A class: two orders beside jobs run alone, every stretch on the clock, questions held against runs made here.

use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{Does, PartLeft, Record};
use farwheel::keys::{Place, Quantity};
use farwheel::scenario::procedure::{Action, Step};
use farwheel::study::class::quiz::{Answer, MOST, Question, Said, draw};
use farwheel::study::class::{Class, ComparedBy, Doing, side_by_side};
use farwheel::study::order::{Rules, reordered};
use farwheel::study::orders;
use farwheel::study::progress::Nobody;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn shipped() -> Vec<PathBuf> {
    let mut all = Vec::new();
    for dir in ["scenarios", "scenarios/splits"] {
        let files = std::fs::read_dir(dir).expect("a directory").map(|f| f.expect("a file").path());
        all.extend(files.filter(|f| f.extension().is_some_and(|e| e == "toml")));
    }
    all.sort();
    assert!(all.len() >= 17, "{all:?}");
    all
}

fn car(name: &str) -> Scenario {
    farwheel::read_file(Path::new(&format!("scenarios/{name}.toml"))).expect("a scenario")
}

fn run(scenario: &Scenario) -> Record {
    flush(scenario, &Options::default()).expect("a job")
}

fn quiz(scenario: &Scenario, seed: u64) -> Vec<Question> {
    draw(scenario, seed, &Options::default()).expect("questions").questions
}

fn class(scenario: &Scenario) -> Class {
    side_by_side(scenario, &Options::default()).expect("two orders")
}

/// Every question of these kinds about a car, over many seeds.
fn about(scenario: &Scenario, kind: &str) -> Vec<Question> {
    let all = (0..60).flat_map(|seed| quiz(scenario, seed)).filter(|q| q.about == kind);
    let mut all: Vec<Question> = all.collect();
    all.sort_by(|a, b| a.asks.cmp(&b.asks));
    all.dedup_by(|a, b| a.asks == b.asks);
    assert!(!all.is_empty(), "never asked: {kind}");
    all
}

fn value(q: &Question) -> f64 {
    match &q.answer {
        Answer::Amount(a) => a.value,
        Answer::Choice(_) => panic!("a choice: {q:?}"),
    }
}

fn near(a: f64, b: f64, what: &str) {
    assert!((a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0), "{what}: {a} and {b}");
}

#[test]
fn every_shipped_scenario_gives_ten_that_differ() {
    for path in shipped() {
        let scenario = farwheel::read_file(&path).expect("a scenario");
        let quiz = quiz(&scenario, 2031);
        let asks: BTreeSet<&str> = quiz.iter().map(|q| q.asks.as_str()).collect();
        assert_eq!((quiz.len(), asks.len()), (MOST, MOST), "{}", path.display());
        for q in &quiz {
            assert!(q.reason.ends_with('.') && q.asks.ends_with('?'), "{q:?}");
            match &q.answer {
                Answer::Amount(a) => {
                    assert!(a.value.is_finite() && (a.least..=a.most).contains(&a.value), "{q:?}");
                    assert!(a.whole.0 >= a.half.0 && a.whole.1 <= a.half.1, "{q:?}");
                    assert_eq!(q.answer.points(Said::Amount(a.value)), 1.0);
                }
                Answer::Choice(c) => {
                    let different: BTreeSet<&String> = c.options.iter().collect();
                    assert!(c.options.len() >= 2 && different.len() == c.options.len(), "{q:?}");
                    assert_eq!(q.answer.points(Said::Option(c.right)), 1.0);
                }
            }
        }
    }
}

#[test]
fn a_seed_gives_the_same_questions_and_another_gives_others() {
    let car = car("compact-hatchback");
    assert_eq!(quiz(&car, 7), quiz(&car, 7));
    assert_ne!(quiz(&car, 7), quiz(&car, 8));
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().expect("a thread");
    assert_eq!(quiz(&car, 7), one.install(|| quiz(&car, 7)));
    let kinds: BTreeSet<&str> = (0..40).flat_map(|s| quiz(&car, s)).map(|q| q.about).collect();
    assert!(kinds.len() >= 14, "{kinds:?}");
}

#[test]
fn answers_about_a_bleeder_are_those_of_a_flush() {
    let car = car("compact-hatchback");
    let record = run(&car);
    let of = |q: &Question| {
        let named = |o: &&farwheel::job::record::Opening| q.asks.contains(&o.bleeder);
        record.openings.iter().find(named).expect("a bleeder").clone()
    };
    for q in about(&car, "takes") {
        near(value(&q), of(&q).drained_ml, &q.asks);
    }
    for q in about(&car, "from the reservoir") {
        let o = of(&q);
        let from = o.origins_ml.iter().find(|o| o.0 == "reservoir").expect("an origin").1;
        near(value(&q), from, &q.asks);
    }
    for q in about(&car, "still old") {
        near(value(&q), 100.0 * of(&q).path_old_fraction, &q.asks);
    }
    for q in about(&car, "looks clean") {
        near(value(&q), of(&q).clean_at_ml.expect("clean"), &q.asks);
    }
    for q in about(&car, "gauge falls") {
        near(value(&q), of(&q).gauge_start_kpa - of(&q).gauge_end_kpa, &q.asks);
    }
    for q in about(&car, "load") {
        let book = record.totals.fluid.expect("a book");
        near(value(&q), book.least_load_ml.expect("a load"), &q.asks);
    }
    for q in about(&car, "old left") {
        near(value(&q), 100.0 * record.left.old_fraction, &q.asks);
    }
    for q in about(&car, "stays most") {
        let Answer::Choice(c) = &q.answer else { panic!("{q:?}") };
        let old = |name: &String| {
            let is = |p: &&PartLeft| name == &p.part || *name == format!("{} ({})", p.part, p.kind);
            let part = record.left.parts.iter().find(is).expect("a part");
            part.old_fraction * part.volume_ml
        };
        let most = c.options.iter().map(old).fold(0.0, f64::max);
        near(old(&c.options[c.right]), most, &q.asks);
    }
}

#[test]
fn answers_about_what_is_done_otherwise_are_those_of_other_files() {
    let text = std::fs::read_to_string("scenarios/compact-hatchback.toml").expect("a scenario");
    let read = |text: &str| run(&farwheel::read(text, "other.toml").expect("a scenario"));
    let (car, own) = (car("compact-hatchback"), read(&text));
    let syringed = |leave_ml: f64| {
        let known = |m3| Quantity::known(m3);
        let level = known(car.reservoir.level.value);
        let first =
            [Action::Syringe { leave: known(1e-6 * leave_ml) }, Action::TopUp { to: level }];
        let first = first.map(|action| Step { line: Place::Nowhere, action });
        run(&car.changed(|t| drop(t.procedure.steps.splice(0..0, first))).expect("a car"))
    };
    let gone = |r: &Record| r.totals.drained_ml + r.totals.removed_ml;
    for q in about(&car, "syringe") {
        let leave = q.asks.split("down to ").nth(1).and_then(|rest| rest.split(' ').next());
        let leave_ml: f64 = leave.and_then(|x| x.parse().ok()).expect("a level");
        near(value(&q), gone(&own) - gone(&syringed(leave_ml)), &q.asks);
    }
    let eye = |share: &str| {
        let (before, after) = text.split_once("[clear_hose]\n").expect("a table");
        let rest: String = after
            .lines()
            .filter(|l| !l.starts_with("threshold"))
            .map(|l| format!("{l}\n"))
            .collect();
        read(&format!("{before}[clear_hose]\nthreshold = \"{share}\"\n{rest}"))
    };
    for q in about(&car, "strict eye") {
        near(value(&q), eye("10 %").totals.drained_ml - own.totals.drained_ml, &q.asks);
    }
    for q in about(&car, "lax eye") {
        near(value(&q), 100.0 * eye("30 %").left.old_fraction, &q.asks);
    }
}

#[test]
fn answers_about_orders_are_those_of_orders() {
    for name in ["compact-hatchback", "van-long-lines", "estate-front-rear-split"] {
        let car = car(name);
        let question = orders::Question {
            orders: vec![names(&["LF", "RF", "LR", "RR"])],
            draws: 0,
            ..orders::Question::default()
        };
        let told = orders::study(&car, &question, &Options::default(), &Nobody).expect("orders");
        let both = class(&car);
        let of = |order: &[&str]| {
            let o = told.orders.iter().find(|o| o.order == names(order)).expect("an order");
            match both.compared_by {
                ComparedBy::Drained => o.drained_ml,
                ComparedBy::OldLeft => o.left_old_ml,
            }
        };
        let apart = of(&["LF", "RF", "LR", "RR"]) - of(&["RR", "LR", "RF", "LF"]);
        let asked = about(&car, "orders apart");
        // Orders are run from common beginnings, with the supply topped up as it goes: the same but for rounding.
        assert!((value(&asked[0]) - apart.abs()).abs() < 1e-6, "{name}: {apart} {asked:?}");
        let Answer::Choice(which) = &about(&car, "which order")[0].answer else { panic!("{name}") };
        let more = if apart > 0.0 { "near" } else { "far" };
        assert!(which.options[which.right].starts_with(more), "{name}: {which:?}");
        assert_eq!(which.too_close, !both.told_apart);
    }
}

fn names(names: &[&str]) -> Vec<String> {
    names.iter().map(|n| (*n).to_owned()).collect()
}

#[test]
fn orders_side_by_side_are_jobs_run_alone() {
    for name in ["compact-hatchback", "off-roader-eight-bleeders", "roadster-gravity"] {
        let car = car(name);
        let class = class(&car);
        assert_eq!(class.orders.len(), 2, "{name}");
        for o in &class.orders {
            let alone = reordered(&car, &o.order, Rules::of(&car.procedure)).expect("an order");
            let record = run(&alone);
            assert_eq!(o.drained_ml, record.totals.drained_ml);
            assert_eq!(o.old_left_ml, record.left.old_ml);
            for (mine, theirs) in o.openings.iter().zip(&record.openings) {
                assert_eq!(mine.drained_ml, theirs.drained_ml);
                near(mine.old_ml + mine.new_ml, mine.drained_ml, &mine.bleeder);
                assert!(mine.reservoir_ml <= mine.old_ml + 1e-9);
            }
        }
    }
    assert_eq!(class(&car("motorcycle-rear")).orders.len(), 1);
    assert_eq!(class(&car("motorcycle-rear")).apart, None);
}

/// What is done one after the other fills the clock from the start to the end; what is done meanwhile lies within.
#[test]
fn every_stretch_has_its_begin_and_end() {
    for path in shipped() {
        let car = farwheel::read_file(&path).expect("a scenario");
        let record = run(&car);
        let class = class(&car);
        let own =
            class.orders.iter().find(|o| o.named.contains(&farwheel::study::class::Named::Own));
        let Some(own) = own else { continue };
        let line = &own.time_line;
        let mut at_s = 0.0;
        for s in line {
            assert!(s.end_s >= s.start_s && s.start_s <= at_s + 1e-9, "{}: {s:?}", path.display());
            at_s = f64::max(at_s, s.end_s);
        }
        near(at_s, record.totals.bay_seconds, &path.display().to_string());
        let open: Vec<(f64, f64)> = (line.iter().filter(|s| s.doing == Doing::Open))
            .map(|s| (s.start_s, s.end_s))
            .collect();
        let opened: Vec<(f64, f64)> =
            record.openings.iter().map(|o| (o.opened_s, o.closed_s)).collect();
        assert_eq!(open.len(), opened.len(), "{}", path.display());
        assert!(opened.iter().all(|o| open.contains(o)), "{}", path.display());
        for step in &record.steps {
            let is = |s: &&farwheel::study::class::Stretch| s.doing == Doing::Step(step.does);
            assert!(line.iter().filter(is).count() >= 1, "{}: {step:?}", path.display());
        }
    }
}

#[test]
fn working_the_modulator_names_its_chambers() {
    let car = car("saloon-esc-with-routine");
    let class = class(&car);
    let work =
        class.orders[0].time_line.iter().find(|s| s.doing == Doing::Step(Does::WorkModulator));
    let work = work.expect("it is worked");
    assert!((work.end_s - work.start_s - 20.0).abs() < 1e-9, "{work:?}");
    let record = run(&car);
    let inside = record.left.parts.iter().filter(|p| p.kind == "hydraulic modulator");
    let inside: BTreeSet<&String> = inside.map(|p| &p.part).collect();
    assert_eq!(work.chambers.iter().collect::<BTreeSet<_>>(), inside);
    // One channel named: its passage, and what hangs on its circuit.
    let one = car.changed(|t| {
        for step in &mut t.procedure.steps {
            if let Action::WorkModulator { channels, .. } = &mut step.action {
                *channels = vec!["line LF".to_owned()];
            }
        }
    });
    let class = self::class(&one.expect("a car"));
    let line = &class.orders[0].time_line;
    let work = line.iter().find(|s| !s.chambers.is_empty()).expect("it is worked");
    let named = ["secondary accumulator", "secondary pump", "secondary damper", "unit to line LF"];
    assert_eq!(work.chambers, names(&named));
}
