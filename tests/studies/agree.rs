//! What several verbs say of the same thing is the same: the scenario's own job, which each of them runs in its own way,
//! and what is to be loaded, which the card takes over from the draws.

use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use farwheel::study::job_card::{self, JobCard};
use farwheel::study::progress::Nobody;
use farwheel::study::{decides, layouts, orders, plan, spread};

/// Shipped cars of different kinds: by eye and counted, one bleeder and four, drums, a modulator, no pressure.
const CARS: [(&str, &str); 6] = [
    ("hatchback", include_str!("../../scenarios/compact-hatchback.toml")),
    ("syringed", include_str!("../../scenarios/compact-hatchback-syringed.toml")),
    ("estate", include_str!("../../scenarios/estate-front-rear-split.toml")),
    ("motorcycle", include_str!("../../scenarios/motorcycle-rear.toml")),
    ("pickup", include_str!("../../scenarios/pickup-rear-drums.toml")),
    ("saloon", include_str!("../../scenarios/saloon-esc-plain-flush.toml")),
];

/// What one of the verbs says of the own job.
#[derive(Debug, Clone, Copy)]
struct Said {
    new_fluid_ml: f64,
    old_left_ml: f64,
    bay_seconds: Option<f64>,
}

fn as_flush_says(record: &Record) -> Said {
    let bay_seconds = Some(record.totals.bay_seconds);
    Said { new_fluid_ml: record.totals.new_fluid_ml, old_left_ml: record.left.old_ml, bay_seconds }
}

fn options() -> Options {
    Options { estimate_error: false, ..Options::default() }
}

fn read(text: &str) -> Scenario {
    farwheel::read(text, "car.toml").expect("a car")
}

fn as_orders_say(car: &Scenario) -> Said {
    let answer =
        orders::study(car, &orders::Question::default(), &options(), &Nobody).expect("orders");
    let own = answer.own().expect("the own order");
    Said { new_fluid_ml: own.new_fluid_ml, old_left_ml: own.left_old_ml, bay_seconds: None }
}

fn as_plan_says(car: &Scenario, text: &str, record: &Record) -> Said {
    // No search: what the own procedure leaves is reached at once.
    let targets = plan::Targets { old_overall: Some(0.9), ..plan::Targets::default() };
    let question = plan::Question { targets, grid_ml: 100.0, ..plan::Question::default() };
    let answer = plan::study(car, text, &question, &options(), &Nobody).expect("a plan");
    let whole_ml = record.left.old_ml / record.left.old_fraction;
    Said {
        new_fluid_ml: answer.own.new_fluid_ml,
        old_left_ml: answer.own.left_old_fraction * whole_ml,
        bay_seconds: Some(answer.own_bay_seconds),
    }
}

fn as_compare_says(car: &Scenario) -> Said {
    let question = decides::Question { draws: 0, ..decides::Question::default() };
    let own = decides::study(car, &question, &options(), &Nobody).expect("what decides").own;
    let bay_seconds = Some(own.bay_seconds);
    Said { new_fluid_ml: own.fluid_ml, old_left_ml: own.old_left_ml, bay_seconds }
}

/// Of the two orders that `compare` runs that which the scenario itself has, if it has one of them.
fn as_far_and_near_say(car: &Scenario, record: &Record) -> Option<Said> {
    let own: Vec<&str> = record.openings.iter().map(|o| o.bleeder.as_str()).collect();
    let answer =
        layouts::compare(std::slice::from_ref(car), &options(), &Nobody).expect("a layout");
    let layout = &answer.layouts[0];
    let run = [&layout.far_first, &layout.near_first].into_iter().find(|r| r.order == own)?;
    let bay_seconds = Some(run.totals.bay_seconds);
    let (new_fluid_ml, old_left_ml) = (run.totals.new_fluid_ml, run.left.old_ml);
    Some(Said { new_fluid_ml, old_left_ml, bay_seconds })
}

/// All verbs run the same job, so nothing but rounding may lie between them.
#[test]
fn every_verb_says_the_same_of_the_own_job() {
    let mut far_or_near = 0;
    for (name, text) in CARS {
        let car = read(text);
        let record = flush(&car, &options()).expect("it runs");
        let flush = as_flush_says(&record);
        let card = job_card(&car);
        let far_and_near = as_far_and_near_say(&car, &record);
        far_or_near += usize::from(far_and_near.is_some());
        let others = [
            ("card", Some(as_flush_says(&card.record))),
            ("orders", Some(as_orders_say(&car))),
            ("plan", Some(as_plan_says(&car, text, &record))),
            ("compare", Some(as_compare_says(&car))),
            ("far and near", far_and_near),
        ];
        for (verb, said) in others.into_iter().filter_map(|(verb, said)| said.map(|s| (verb, s))) {
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-6 * (1.0 + a.abs());
            let told = format!("{name}: flush {flush:?}, {verb} {said:?}");
            assert!(near(flush.new_fluid_ml, said.new_fluid_ml), "{told}");
            assert!(near(flush.old_left_ml, said.old_left_ml), "{told}");
            let bay = flush.bay_seconds.zip(said.bay_seconds);
            assert!(bay.is_none_or(|(a, b)| near(a, b)), "{told}");
        }
    }
    assert!(far_or_near > 2, "only {far_or_near} cars have one of the two orders");
}

fn job_card(car: &Scenario) -> JobCard {
    job_card::study(car, &spread::Question::default(), &options()).expect("a card")
}

/// What the card has people load and open is what `spread` says is enough in 95 of 100 draws.
#[test]
fn the_card_has_people_load_what_spread_says() {
    for (name, text) in CARS {
        let car = read(text);
        let question = spread::Question { sensitivities: false, ..spread::Question::default() };
        let drawn = spread::study(&car, &question, &options(), &Nobody).expect("draws");
        let card = job_card(&car);
        let load_ml = card.fluid.need.load_ml;
        assert!(load_ml.is_none_or(|ml| Some(ml) == drawn.load_ml_p95), "{name}: {load_ml:?}");
        assert_eq!(Some(card.fluid.need.have_ml), drawn.have_ml_p95, "{name}");
        assert_eq!(Some(card.fluid.open), drawn.bottles_p95, "{name}");
        assert_eq!(card.fluid.short_share, drawn.bottles_short_share, "{name}");
        let opened = card.tasks.iter().filter_map(|t| match t {
            job_card::Task::Open(bleeders) => Some(bleeders),
            job_card::Task::Step(_) => None,
        });
        for task in opened.flatten().filter(|t| t.range_ml.is_some()) {
            let drawn =
                drawn.bleeders.iter().find(|b| b.bleeder == task.bleeder).expect("its range");
            assert_eq!(task.range_ml, drawn.clean_at_ml_p10.zip(drawn.clean_at_ml_p90), "{name}");
        }
    }
}
