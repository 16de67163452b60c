//! Shipped scenarios with a person's slips and damage to the file: each is read to a scenario or refused with messages
//! that a technician can use, and none makes anything panic.
//!
//! Environment variables: `FARWHEEL_MUTANTS` (how many), `FARWHEEL_MUTANT_SEED`; with `FARWHEEL_MUTANTS_FLUSHED` set, the
//! jobs of those that were read are run and their books checked.

mod slips;

use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::{check, flush};
use farwheel::scenario::Mistakes;
use slips::{Mutant, SLIPS};
use std::fmt::Write as _;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// How many an ordinary run of the tests tries.
const USUAL: u64 = 1_500;
/// A job of a shipped scenario takes a fraction of a second.
const DEADLINE: Duration = Duration::from_secs(120);
/// What the books may miss of what went through them.
const BOOKS: f64 = 1e-9;

static SCENARIOS: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for dir in ["scenarios", "scenarios/splits"] {
        for entry in std::fs::read_dir(dir).expect("the shipped scenarios") {
            let path = entry.expect("a file").path();
            if path.extension().is_some_and(|e| e == "toml") {
                let name = path.file_name().expect("a name").to_string_lossy().into_owned();
                all.push((name, std::fs::read_to_string(&path).expect("text")));
            }
        }
    }
    all.sort();
    all
});

/// Words of the parser that is used, and of programs, which say nothing to a technician.
const PARSERS_WORDS: [&str; 27] = [
    "TOML",
    "toml",
    "inline table",
    "array",
    "string",
    "float",
    "integer",
    "boolean",
    "datetime",
    "date-time",
    "key-value",
    "dotted",
    "literal",
    "expected",
    "unexpected",
    "newline",
    "radix",
    "mantissa",
    "unclosed",
    "unquoted",
    "recurs",
    "duplicate",
    "invalid",
    "syntax",
    "token",
    "panicked",
    "unwrap",
];

fn number(name: &str, usual: u64) -> u64 {
    match std::env::var(name) {
        Ok(text) => text.parse().unwrap_or_else(|_| panic!("{name} is no number: {text}")),
        Err(_) => usual,
    }
}

fn seed() -> u64 {
    number("FARWHEEL_MUTANT_SEED", 1)
}

/// A mutant read, or its mistakes; an error if that panics.
fn read(m: &Mutant) -> Result<Result<Scenario, Mistakes>, String> {
    catch_unwind(AssertUnwindSafe(|| farwheel::read(&m.text, m.scenario)))
        .map_err(|_| "reading it panicked".to_owned())
}

/// What is wrong with the messages, if anything.
fn fault(m: &Mutant, mistakes: &Mistakes) -> Option<String> {
    let drawn = mistakes.to_string();
    if mistakes.list.is_empty() {
        return Some("refused without a message".to_owned());
    }
    let lines: Vec<&str> = m.text.lines().collect();
    for one in &mistakes.list {
        let line = lines.get(one.line.wrapping_sub(1)).copied();
        let ends = line.map_or(0, |l| l.chars().count()) + 1;
        let in_place = one.line >= 1 && (1..=ends).contains(&one.column);
        // Nothing can be shown of an empty file.
        let shown = m.text.trim().is_empty() || mistakes.excerpt(one, 200).is_some();
        if !in_place || !shown || one.file != m.scenario {
            return Some(format!("a message without a place\n{drawn}"));
        }
        if one.what.trim().len() < 10 || one.remedy.trim().len() < 10 {
            return Some(format!("a message that says too little\n{drawn}"));
        }
        // Words that stand in the file itself are the user's own.
        let said = format!("{} {}", one.what, one.remedy);
        let leaked = PARSERS_WORDS.iter().find(|w| said.contains(**w) && !m.text.contains(**w));
        if let Some(word) = leaked {
            return Some(format!("\"{word}\" reached the user\n{drawn}"));
        }
    }
    None
}

/// What is wrong with the job, if anything; how long it took.
fn run(scenario: &Scenario) -> (Option<String>, Duration) {
    let begun = Instant::now();
    let options = Options { estimate_error: false, ..Options::default() };
    let ended = catch_unwind(AssertUnwindSafe(|| {
        let _ = check(scenario, &options);
        flush(scenario, &options)
    }));
    let fault = match ended {
        Err(_) => Some("the job panicked".to_owned()),
        Ok(Err(e)) if e.to_string().trim().len() < 10 => Some(format!("refused with \"{e}\"")),
        Ok(Err(_)) => None,
        Ok(Ok(record)) => {
            let through: f64 = record.left.parts.iter().map(|p| p.volume_ml).sum::<f64>()
                + record.totals.drained_ml
                + record.totals.removed_ml;
            let b = record.balance;
            // A gram of water a millilitre is more than any fluid holds.
            let worst =
                b.volume_error_ml.abs().max(b.old_error_ml.abs()).max(b.water_error_g.abs());
            (worst.is_nan() || worst > BOOKS * through)
                .then(|| format!("the books miss {worst:e} of {through} mL: {b:?}"))
        }
    };
    let took = begun.elapsed();
    let late = (took > DEADLINE).then(|| format!("the job took {took:?}"));
    (fault.or(late), took)
}

#[test]
fn every_slip_is_read_or_refused_with_messages_of_use() {
    let (count, seed) = (number("FARWHEEL_MUTANTS", USUAL), seed());
    let flushed = std::env::var_os("FARWHEEL_MUTANTS_FLUSHED").is_some();
    let mut faults = Vec::new();
    let (mut refused, mut messages, mut accepted) = (0, 0, 0);
    let mut slowest = Duration::ZERO;
    let mut drawn = std::collections::BTreeSet::new();
    for i in 0..count {
        let m = Mutant::drawn(&SCENARIOS, seed, i);
        drawn.insert(m.slip);
        let told = match read(&m) {
            Err(panicked) => Some(panicked),
            Ok(Err(mistakes)) => {
                refused += 1;
                messages += mistakes.list.len();
                fault(&m, &mistakes)
            }
            Ok(Ok(scenario)) => {
                accepted += 1;
                let (told, took) = if flushed { run(&scenario) } else { (None, Duration::ZERO) };
                slowest = slowest.max(took);
                told
            }
        };
        if let Some(told) = told {
            let (line, before, after) = m.differing();
            faults.push(format!(
                "mutant {i} of seed {seed}, {} in {}, line {line}:\n  was {before}\n  is  {after}\n{told}",
                m.slip, m.scenario
            ));
        }
    }
    println!(
        "{count} mutants: {accepted} read, {refused} refused with {messages} messages; slowest job {slowest:?}"
    );
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
    if count >= USUAL {
        assert_eq!(drawn.len(), SLIPS.len(), "each kind of slip is drawn");
        assert!(refused > count / 3 && accepted > count / 20, "{refused} and {accepted}");
    }
}

/// For people to judge: what they get to read, beside the line as it was.
#[test]
#[ignore = "prints messages for people to judge"]
fn print_messages() {
    let (wanted, seed) = (number("FARWHEEL_MUTANTS", 100), seed());
    let mut out = String::new();
    let (mut told, mut i) = (0, 0);
    while told < wanted {
        let m = Mutant::drawn(&SCENARIOS, seed, i);
        i += 1;
        let Ok(Err(mistakes)) = read(&m) else { continue };
        told += 1;
        let (line, before, after) = m.differing();
        let _ = writeln!(
            out,
            "=== {told}: {} in {} (mutant {} of seed {seed})\nline {line} was: {before}\nline {line} is:  {after}\n\n{mistakes}",
            m.slip,
            m.scenario,
            i - 1
        );
    }
    println!("{out}");
}
