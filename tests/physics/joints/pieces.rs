//! Cars whose lines are written in pieces, beside the same cars with their lines whole.

use super::cars::{HATCHBACK, close, read, worst_of_the_books};
use super::common::{self, random::Car, random::car};
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::job::record::{CleanState, Record};
use farwheel::parts::passage::Passage;
use proptest::prelude::*;
use std::fmt::Write as _;

const SYRINGED: &str = include_str!("../../../scenarios/compact-hatchback-syringed.toml");

/// The scenario with every part called "line …" or "crossover" in pieces of these shares of its length; each but the
/// first gets `key` too.
fn in_pieces(text: &str, shares: &[f64], key: &str) -> String {
    let mut out = String::new();
    for row in text.lines() {
        let quoted = |after: &str| row.split_once(after)?.1.split('"').next();
        let name = row.split_once(" = {").map_or("", |(name, _)| name.trim_matches('"'));
        let (Some(from), Some(length), true) = (
            quoted("from = \""),
            quoted("length = \""),
            name.starts_with("line ") || name == "crossover",
        ) else {
            let _ = writeln!(out, "{row}");
            continue;
        };
        let to = quoted(" to = \"").map_or(String::new(), |to| format!(", to = \"{to}\""));
        let (metres, rest) = length.split_once(' ').expect("a unit");
        let metres: f64 = metres.parse().expect("metres");
        let body = row.split_once(" = {").expect("a table").1.replace(&to, "");
        let mut before = from.to_owned();
        for (i, share) in shares.iter().enumerate() {
            let last = i + 1 == shares.len();
            let piece = if last { name.to_owned() } else { format!("{name} {i}") };
            let ends = if last { to.as_str() } else { "" };
            let key = if i > 0 { key } else { "" };
            let body = body
                .replace(&format!("from = \"{from}\""), &format!("from = \"{before}\""))
                .replace(length, &format!("{} {rest}", share * metres))
                .replace(" }", &format!("{ends}{key} }}"));
            let _ = writeln!(out, "\"{piece}\" = {{{body}");
            before = piece;
        }
    }
    out
}

fn run(text: &str) -> Record {
    let options = Options { check_every_step: true, ..Options::default() };
    let record = flush(&read(text), &options).expect("a job");
    let worst = worst_of_the_books(&record);
    assert!(worst < 1e-9 * 1000.0, "conserved at every step: {:?}", record.balance);
    record
}

fn straight(text: &str) -> String {
    text.replace("bends = 8", "bends = 0")
}

/// Drained and left: 595 and 33.1 mL whole; in two pieces it was 584 and 31.8 while joints remixed fully.
#[test]
fn the_hatchback_drains_the_same_with_its_lines_in_pieces() {
    for (name, text) in [("own procedure", HATCHBACK), ("syringed", SYRINGED)] {
        let whole = run(&straight(text));
        for shares in [&[0.5, 0.5][..], &[1.0 / 3.0; 3], &[0.07, 0.62, 0.31]] {
            let cut = run(&in_pieces(&straight(text), shares, ""));
            let told = |what: &str| format!("{what}, {name}, in {shares:?}");
            let (a, b) = (whole.totals.drained_ml, cut.totals.drained_ml);
            println!(
                "{name}, in {shares:?}: drained {a}, {b}; left {}, {}; s {}, {}",
                whole.left.old_ml,
                cut.left.old_ml,
                whole.totals.flow_seconds,
                cut.totals.flow_seconds
            );
            close(b, a, 1e-6, &told("drained"));
            close(cut.left.old_ml, whole.left.old_ml, 1e-6, &told("old fluid left"));
            for (a, b) in whole.openings.iter().zip(&cut.openings) {
                close(b.drained_ml, a.drained_ml, 1e-6, &told(&a.bleeder));
            }
            // Each piece has the viscosity of its own mean, so the time differs a little.
            let (a, b) = (whole.totals.flow_seconds, cut.totals.flow_seconds);
            close(b, a, 5e-3 * a, &told("open, s"));
        }
    }
}

/// Whole and in pieces, a line has one sharp beginning, one sharp end and its bends; at a joint of degree g both
/// come on top to that degree.
#[test]
fn pieces_have_the_losses_of_one_line() {
    let losses = |text: &str| -> f64 {
        let circuit = read(text).circuit().clone();
        let of = |l: &farwheel::circuit::Link| match l.passage {
            Passage::Tube { minor_k, .. } if l.name.starts_with("line RR") => minor_k,
            _ => 0.0,
        };
        circuit.links.iter().map(of).sum()
    };
    let text = straight(HATCHBACK);
    close(losses(&text), 1.5, 1e-12, "whole");
    close(losses(&in_pieces(&text, &[0.2, 0.3, 0.5], "")), 1.5, 1e-12, "in three pieces");
    let half = in_pieces(&text, &[0.2, 0.3, 0.5], ", joint_remix = \"50 %\"");
    close(losses(&half), 3.0, 1e-12, "joints that remix by half");
    let full = in_pieces(&text, &[0.2, 0.3, 0.5], ", joint_remix = \"100 %\"");
    close(losses(&full), 4.5, 1e-12, "joints that remix fully");
}

/// With a stated volume at each bleeder, more remixing leaves less: from one line's answer to that of tubes each
/// mixed before the next (31.25 mL and less of old fluid: what the program gave before joints had a degree).
#[test]
fn what_stays_falls_with_the_degree_of_the_joint() {
    let text = straight(HATCHBACK).replace("until = \"clean\"", "until = \"140 mL\"");
    let left = |degree: u32| {
        let key = format!(", joint_remix = \"{degree} %\"");
        run(&in_pieces(&text, &[0.5, 0.5], &key)).left.old_ml
    };
    let left = [0, 20, 40, 60, 80, 100].map(left);
    println!("old fluid left: {left:?}");
    close(left[0], run(&text).left.old_ml, 1e-6, "a degree of 0");
    assert!(left.is_sorted_by(|a, b| a > b), "{left:?}");
}

/// Bleeders, drained and old fluid, beside each other as long as both jobs go the same way.
fn alike(whole: &Record, cut: &Record) -> Result<(), String> {
    let error = whole.numerics.clean_at_error_ml.unwrap_or(0.0);
    for (a, b) in whole.openings.iter().zip(&cut.openings) {
        if a.clean_state != b.clean_state || a.closed_by != b.closed_by {
            // A rule met by a hair in one of them: from here on they are two jobs.
            return Ok(());
        }
        if let (CleanState::Reached, Some(x), Some(y)) =
            (a.clean_state, a.clean_at_ml, b.clean_at_ml)
            && (x - y).abs() > error.max(5e-3 * x)
        {
            return Err(format!("{}: clean after {x} mL, in pieces {y}", a.bleeder));
        }
    }
    let (x, y) = (whole.left.old_ml, cut.left.old_ml);
    let error = whole.numerics.old_left_error_ml.unwrap_or(0.0);
    if (x - y).abs() > error.max(0.1) { Err(format!("left {x} mL, in pieces {y}")) } else { Ok(()) }
}

fn in_one_and_in_pieces(car: &Car, shares: &[f64]) -> Result<(), TestCaseError> {
    let mut car = car.clone();
    car.unit = None;
    car.chambers.iter_mut().flatten().for_each(|branch| branch.bends = 0);
    car.crossover.iter_mut().for_each(|crossover| crossover.1 = 0);
    let sum: f64 = shares.iter().sum();
    let shares: Vec<f64> = shares.iter().map(|s| s / sum).collect();
    let options = Options { lanes: Some(16), origins: false, ..Options::default() };
    let job = |text: &str| common::run(&read(text), text, &options);
    let text = car.toml();
    let (whole, cut) = (job(&text)?, job(&in_pieces(&text, &shares, ""))?);
    alike(&whole, &cut).map_err(|e| TestCaseError::fail(format!("{e}, {shares:?}\n{text}")))
}

/// Lines in pieces that are filled and joined as it comes.
fn loses_nothing(car: &Car, shares: &[f64], degree: f64) -> Result<(), TestCaseError> {
    let mut car = car.clone();
    car.unit = None;
    let sum: f64 = shares.iter().sum();
    let shares: Vec<f64> = shares.iter().map(|s| s / sum).collect();
    let key = match car.chambers.iter().flatten().any(|branch| branch.plug) {
        true => ", old_fraction = 0.3".to_owned(),
        false => format!(", old_fraction = 0.3, joint_remix = {degree:.4}"),
    };
    let text = in_pieces(&car.toml(), &shares, &key);
    common::conserves(&text)
}

proptest! {
    #![proptest_config(common::cases(40))]

    #[test]
    fn random_cars_are_one_with_their_lines_in_pieces(
        car in car(),
        shares in prop::collection::vec(0.05..1.0_f64, 2..4),
    ) {
        in_one_and_in_pieces(&car, &shares)?;
    }

    #[test]
    fn random_cars_with_lines_in_pieces_lose_nothing(
        car in car(),
        shares in prop::collection::vec(0.01..1.0_f64, 2..4),
        degree in prop_oneof![Just(0.0), 0.0..1.0_f64],
    ) {
        loses_nothing(&car, &shares, degree)?;
    }
}
