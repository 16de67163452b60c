//! `describe`: a car from shop words, asked at a terminal or answered on the command line.

use super::asking::{self, told};
use super::options::WordingWord;
use super::outcome::{Done, Failure};
use super::outputs;
use super::source::Source;
use crate::describe::{Answers, describe, halves, listed, question};
use crate::keys::Place;
use crate::report::write::{Target, same_file};
use crate::report::{json, questions, terminal};
use clap::Args;
use clap::builder::OsStringValueParser;
use std::ffi::OsString;
use std::path::PathBuf;

/// Describe a car in shop words: asks the few questions that matter, estimates the rest, writes a scenario
#[derive(Debug, Args)]
pub(super) struct Describe {
    /// A scenario that was described before: asks again only what was guessed in it
    #[arg(value_name = "SCENARIO")]
    before: Option<PathBuf>,
    /// Write the scenario to this new file; - is standard output; if not given, that which was described before
    #[arg(short, long, value_name = "FILE|-", required_unless_present_any = ["list", "before"], value_parser = OsStringValueParser::new())]
    output: Option<OsString>,
    /// Answer a question beforehand, for instance kind=hatchback; may be given several times
    #[arg(long, value_name = "ID=VALUE")]
    answer: Vec<String>,
    /// Ask nothing: what is not answered is estimated
    #[arg(long)]
    defaults: bool,
    /// Ask what moves little, too
    #[arg(long)]
    more: bool,
    /// List the questions with their answers instead of asking them
    #[arg(long, conflicts_with = "output")]
    list: bool,
    /// Write the list as JSON to this file, or to standard output
    #[arg(long, value_name = "FILE|-", requires = "list", value_parser = OsStringValueParser::new())]
    json: Option<OsString>,
    /// Words of the trade: bleeder screw or bleed nipple, brake line or brake pipe
    #[arg(long, value_enum, default_value_t)]
    wording: WordingWord,
}

impl Describe {
    /// Asks, estimates, writes.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let mut answers = self.answers_before()?;
        for text in &self.answer {
            halves(text)
                .and_then(|(id, answer)| answers.give(id, answer))
                .map_err(|wrong| Failure::Unusable(format!("--answer {text}: {}", told(&wrong))))?;
        }
        self.all_apply(&answers)?;
        answers.forget_what_does_not_apply();
        if self.list {
            return self.list(&answers);
        }
        let target = self.target()?;
        if !self.defaults {
            asking::ask(&mut answers, self.more, self.wording.wording())?;
        }
        let car = describe(&answers).map_err(|wrong| Failure::Unusable(told(&wrong)))?;
        target.write(car.text.as_bytes())?;
        if target != Target::Standard {
            terminal::tell_wrapped(&format!(
                "{target} is written, with {} guesses in it: `farwheel check {target}` says which are worth measuring, `farwheel describe {target} --more` asks again what was guessed, and what moves little too",
                car.guesses.len()
            ));
        }
        Ok(Done::Well)
    }

    /// What was answered here must be asked after the other answers.
    fn all_apply(&self, answers: &Answers) -> Result<(), Failure> {
        let given = self.answer.iter().filter_map(|text| question(halves(text).ok()?.0));
        match given.into_iter().find(|q| !(q.applies)(answers)) {
            Some(q) => Err(Failure::Unusable(format!(
                "--answer {}: this is not asked after the other answers, leave it out; --list with the same answers shows which are",
                q.id
            ))),
            None => Ok(()),
        }
    }

    /// The answers of a scenario described before.
    fn answers_before(&self) -> Result<Answers, Failure> {
        let Some(path) = &self.before else { return Ok(Answers::default()) };
        let name = path.display();
        let source = Source::read(path, &[])?;
        let written = &source.scenario.described.answers;
        if source.scenario.described.written.line == Place::Nowhere {
            return Err(Failure::Unusable(format!(
                "{name} holds no answers of describe: edit it by hand, or describe the car anew into another file"
            )));
        }
        let answers = Answers::read(written)
            .map_err(|wrong| Failure::Unusable(format!("{name}: {}", told(&wrong))))?;
        let changed = describe(&answers).is_ok_and(|car| car.text != source.text());
        if changed && self.target_is_before() {
            return Err(Failure::Unusable(format!(
                "{name} was changed by hand since it was described, which would be lost: name another file with -o, and make the changes there by hand or as answers"
            )));
        }
        if changed && !self.list {
            terminal::tell_wrapped(&format!(
                "{name} was changed by hand since it was described: what was changed is not carried over, answer it anew (for instance --answer \"max=240 mL\") or change it by hand again"
            ));
        }
        Ok(answers)
    }

    /// Whether what was described before is written anew.
    fn target_is_before(&self) -> bool {
        match (&self.before, self.output.as_deref().map(Target::from)) {
            (Some(_), None) => !self.list,
            (Some(before), Some(Target::File(file))) => same_file(&file, before),
            _ => false,
        }
    }

    /// Where the scenario goes: never over another that is there.
    fn target(&self) -> Result<Target, Failure> {
        let target = match (&self.output, &self.before) {
            (Some(output), _) => Target::from(output.as_os_str()),
            (None, Some(before)) => Target::from(before.as_os_str()),
            (None, None) => Target::Standard,
        };
        outputs::look_over(&[] as &[PathBuf], &[("-o", target.clone())])?;
        match &target {
            Target::File(file) if file.is_file() && !self.target_is_before() => {
                Err(Failure::Unusable(format!(
                    "{target} is there already, and describe writes over nothing: name another file; `farwheel describe {target}` asks again what was guessed in it"
                )))
            }
            _ => Ok(target),
        }
    }

    fn list(&self, answers: &Answers) -> Result<Done, Failure> {
        let listed = listed(answers);
        let (target, text) = match &self.json {
            Some(to) => (
                Target::from(to.as_os_str()),
                json::render(&listed).map_err(|why| Failure::Failed(format!("no list: {why}")))?,
            ),
            None => (Target::Standard, questions::text(&listed, self.wording.wording())),
        };
        target.write(text.as_bytes())?;
        Ok(Done::Well)
    }
}
