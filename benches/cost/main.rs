//! Prints, as Markdown, what Farwheel costs on this machine: the tables of docs/cost.md and docs/finite-volumes.md.
//!
//! `cargo bench --bench cost` takes two to three minutes. Nothing here is judged: what a run takes
//! depends on the machine and on what else it does, so that ratios come from one run, turn by turn.
//!
//! With `-- --flush sums N` or `-- --flush draws N` it runs N flushes of the hatchback as studies do and prints
//! nothing, for a profiler.

mod compared;
#[path = "../../tests/jobs/geometry.rs"]
mod geometry;
#[path = "../../tests/jobs/whole_job/mapping.rs"]
mod mapping;
mod measure;
#[path = "../../tests/reference/mod.rs"]
mod reference;
mod studies;
mod volumes;

use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;

/// The compact hatchback: four bleeders.
pub fn hatchback() -> Scenario {
    read(include_str!("../../scenarios/compact-hatchback.toml"))
}

/// A shipped scenario.
pub fn read(text: &str) -> Scenario {
    farwheel::read(text, "a shipped scenario").expect("a shipped scenario reads")
}

fn main() {
    // Cargo adds a word of its own.
    let arguments: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words.as_slice() {
        [] => print_all(),
        ["--child", study] => studies::child(study),
        ["--flush", how @ ("sums" | "draws"), times] => {
            let options = if *how == "sums" { Options::for_sums(0) } else { Options::for_draws(0) };
            let car = hatchback();
            for _ in 0..times.parse::<u32>().expect("a number of flushes") {
                std::hint::black_box(flush(&car, &options).expect("it runs"));
            }
        }
        _ => {
            eprintln!("cost takes nothing, or --flush sums|draws N");
            std::process::exit(2);
        }
    }
}

fn print_all() {
    studies::print();
    for case in compared::compare() {
        print_compared(&case);
    }
}

fn print_compared(case: &compared::Compared) {
    println!();
    println!(
        "Millilitres to clean at {}, seen at or below {} old: {:.2} mL by the reference, itself within {:.4} mL.",
        case.what, case.threshold, case.exact_ml, case.within_ml
    );
    println!();
    println!(
        "| method | asked for, mL | error, mL | one run, ms | times the first | cell updates |"
    );
    println!("| --- | --- | --- | --- | --- | --- |");
    let first_s = case.lines[0].took_s.unwrap_or(f64::NAN);
    for line in &case.lines {
        let or_none = |figure: Option<String>| figure.unwrap_or("–".to_owned());
        println!(
            "| {} | {} | {} | {} | {} | {} |",
            line.method,
            or_none(line.wanted_ml.map(|ml| format!("{ml:.2}"))),
            or_none(line.took_s.map(|_| format!("{:.2}", line.error_ml))),
            or_none(line.took_s.map(|s| digits(1e3 * s))),
            or_none(line.took_s.map(|s| digits(s / first_s))),
            or_none(line.updates.map(|u| format!("{} million", digits(1e-6 * u)))),
        );
    }
}

/// Two digits, no more: that is what a shared machine can tell.
fn digits(x: f64) -> String {
    let places = (1.0 - x.abs().log10().floor()).clamp(0.0, 6.0) as usize;
    let scale = 10_f64.powf((x.abs().log10().floor() - 1.0).max(0.0));
    format!("{:.places$}", if scale > 1.0 { (x / scale).round() * scale } else { x })
}
