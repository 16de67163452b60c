//! A car in shop words: questions with their answers, the text that comes of them, what is guessed in it.

use crate::question::{Failure, read};
use farwheel::describe::{Answers, describe, halves, listed};
use farwheel::keys::Place;
use farwheel::scenario::limits::LARGEST_FILE;
use serde::Deserialize;
use serde_json::{Value, json};

/// Answers, or a text that was made of answers.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// Each as `id = answer`.
    #[serde(default)]
    answers: Vec<String>,
    /// A scenario whose answers are taken instead.
    #[serde(default)]
    text: Option<String>,
    #[serde(default)]
    file: String,
}

/// The questions as they stand after the answers, and the text that these make. An answer that is wrong is told, and
/// left out of what comes of the others; so is one to what is not asked after the others.
pub fn questions(asked: &Asked) -> Result<Value, Failure> {
    let before = match &asked.text {
        Some(text) => Some(read(text, &asked.file)?),
        None => None,
    };
    let given = before.as_ref().map_or(&asked.answers, |s| &s.described.answers);
    let mut answers = Answers::default();
    let mut wrong = Vec::new();
    for text in given {
        if let Err(why) = halves(text).and_then(|(id, answer)| answers.give(id, answer)) {
            let id = halves(text).map_or("", |(id, _)| id);
            wrong.push(json!({ "id": id, "what": why.what, "remedy": why.remedy }));
        }
    }
    answers.forget_what_does_not_apply();
    let listed = listed(&answers);
    let known = |more: bool| listed.iter().filter(move |l| l.applies && l.more == more);
    let car = describe(&answers)
        .map_err(|why| Failure::Error(format!("{}; {}", why.what, why.remedy)))?;
    let lines: Vec<&str> = car.text.lines().collect();
    let guess = |(line, why): (&usize, &String)| {
        let says = lines[line - 1].split(" # guessed: ").next();
        json!({ "line": line, "says": says, "why": why })
    };
    Ok(json!({
        "answers": answers.written(),
        "wrong": wrong,
        "answered": listed.iter().filter(|l| l.answer.is_some()).count(),
        // What is asked of nobody but those who want to say more is not counted: it moves little.
        "guessed": known(false).filter(|l| l.answer.is_none()).count(),
        "more_guessed": known(true).filter(|l| l.answer.is_none()).count(),
        "guesses": car.guesses.iter().map(guess).collect::<Vec<_>>(),
        "listed": listed,
        // Of a text: whether it was made of answers, and whether it is no longer what they make.
        "described": before.is_some_and(|s| s.described.written.line != Place::Nowhere),
        "changed_by_hand": asked.text.as_ref().map(|text| *text != car.text),
        "text": car.text,
    }))
}

/// A file's bytes, of one that is too large enough to tell.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bytes {
    bytes: Vec<u8>,
    file: String,
}

/// Its text, be it right or wrong as a scenario.
pub fn opened(asked: &Bytes) -> Result<Value, Failure> {
    match std::str::from_utf8(&asked.bytes) {
        Ok(text) if !text.is_empty() && text.len() as u64 <= LARGEST_FILE => {
            Ok(json!({ "text": text }))
        }
        // Reading says what is wrong with it.
        _ => match farwheel::read_bytes(&asked.bytes, &asked.file) {
            Err(mistakes) => Err(mistakes.into()),
            Ok(scenario) => Err(Failure::Error(format!("{} can't be opened", scenario.file))),
        },
    }
}

/// Scenarios to begin with.
const EXAMPLES: &[(&str, &str)] = &[
    ("compact-hatchback", include_str!("../../../scenarios/compact-hatchback.toml")),
    ("saloon-esc-with-routine", include_str!("../../../scenarios/saloon-esc-with-routine.toml")),
    ("estate-front-rear-split", include_str!("../../../scenarios/estate-front-rear-split.toml")),
    ("pickup-rear-drums", include_str!("../../../scenarios/pickup-rear-drums.toml")),
    ("van-long-lines", include_str!("../../../scenarios/van-long-lines.toml")),
    (
        "off-roader-eight-bleeders",
        include_str!("../../../scenarios/off-roader-eight-bleeders.toml"),
    ),
    ("motorcycle-front", include_str!("../../../scenarios/motorcycle-front.toml")),
];

/// Their titles, file names and texts.
pub fn examples() -> Result<Value, Failure> {
    let one = |(name, text): &(&str, &str)| {
        let file = format!("{name}.toml");
        let scenario = farwheel::read(text, &file)?;
        Ok(json!({ "title": scenario.title, "file": file, "text": text }))
    };
    Ok(Value::Array(EXAMPLES.iter().map(one).collect::<Result<_, Failure>>()?))
}
