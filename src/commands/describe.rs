//! `describe`: a car from shop words, asked on a terminal or answered on the command line.

use super::options::WordingWord;
use super::outcome::{Done, Failure, tell};
use super::outputs;
use super::source::Source;
use crate::describe::{Answers, Choice, Form, QUESTIONS, Question, describe, halves, to_ask};
use crate::report::write::Target;
use crate::report::{Wording, json};
use clap::Args;
use clap::builder::OsStringValueParser;
use dialoguer::theme::ColorfulTheme;
use dialoguer::{Input, Select};
use serde::Serialize;
use std::ffi::OsString;
use std::io::IsTerminal as _;
use std::path::PathBuf;

/// Describe a car in shop words: asks the few questions that matter, estimates the rest, writes a scenario
#[derive(Debug, Args)]
pub(super) struct Describe {
    /// A scenario that was described before: asks again only what was guessed in it
    scenario: Option<PathBuf>,
    /// Write the scenario to this file; - is standard output
    #[arg(short, long, value_name = "FILE|-", required_unless_present = "list", value_parser = OsStringValueParser::new())]
    output: Option<OsString>,
    /// Answer a question beforehand, for instance kind=hatchback; may be given several times
    #[arg(long, value_name = "ID=VALUE")]
    answer: Vec<String>,
    /// Ask nothing more: what is not answered is estimated
    #[arg(long)]
    defaults: bool,
    /// Ask what moves little, too
    #[arg(long)]
    more: bool,
    /// List the questions with their answers instead of asking them
    #[arg(long, conflicts_with_all = ["output", "answer", "defaults", "scenario"])]
    list: bool,
    /// Write the list as JSON to this file, or to standard output
    #[arg(long, value_name = "FILE|-", requires = "list", value_parser = OsStringValueParser::new())]
    json: Option<OsString>,
    /// Words of the trade: bleeder screw or bleed nipple, brake line or brake pipe
    #[arg(long, value_enum, default_value_t)]
    wording: WordingWord,
}

/// A question as the list has it.
#[derive(Serialize)]
struct Listed {
    id: &'static str,
    us: &'static str,
    uk: &'static str,
    help: &'static str,
    decides: &'static str,
    more: bool,
    answers: Vec<ListedAnswer>,
    quantity: Option<&'static str>,
}

#[derive(Serialize)]
struct ListedAnswer {
    word: &'static str,
    means: &'static str,
}

/// What somebody at the terminal wants.
enum Reply {
    Answer(String),
    Back,
    Quit,
}

impl Describe {
    /// Asks, estimates, writes.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let Some(output) = &self.output else { return self.list() };
        let target = Target::from(output.as_os_str());
        outputs::look_over::<PathBuf>(&[], &[("-o", target.clone())])?;
        let mut answers = self.before(&target)?;
        for text in &self.answer {
            let wrong = |w: crate::scenario::mistake::Wrong| {
                Failure::Unusable(format!("--answer {text}: {}; {}", w.what, w.remedy))
            };
            let (id, answer) = halves(text).map_err(wrong)?;
            answers.give(id, answer).map_err(wrong)?;
        }
        if !self.defaults && !self.ask(&mut answers)? {
            return Err(Failure::Interrupted("nothing was written".to_owned()));
        }
        let car = describe(&answers)
            .map_err(|w| Failure::Unusable(format!("{}; {}", w.what, w.remedy)))?;
        target.write(car.text.as_bytes())?;
        if target != Target::Standard {
            tell(&format!(
                "{target} is written, {} values guessed in it: `farwheel check {target}` lists them",
                car.guesses.len()
            ));
        }
        Ok(Done::Well)
    }

    /// The answers of a scenario described before. One that was changed by hand since is not written over: that would
    /// lose what was measured.
    fn before(&self, target: &Target) -> Result<Answers, Failure> {
        let Some(path) = &self.scenario else { return Ok(Answers::default()) };
        let source = Source::read(path, &[])?;
        let name = path.display();
        if source.scenario.described.answers.is_empty() {
            return Err(Failure::Unusable(format!(
                "{name} was not made by describe: edit it by hand, or describe the car anew"
            )));
        }
        let answers = Answers::read(&source.scenario.described.answers)
            .map_err(|w| Failure::Unusable(format!("{name}: {}; {}", w.what, w.remedy)))?;
        let same = describe(&answers).is_ok_and(|car| car.text == source.text());
        if let Target::File(file) = target
            && crate::report::write::same_file(file, path)
            && !same
        {
            return Err(Failure::Unusable(format!(
                "{name} was changed by hand since it was described: name another file with -o, and carry your changes over"
            )));
        }
        Ok(answers)
    }

    /// Asks what is open; `false` if it was broken off.
    fn ask(&self, answers: &mut Answers) -> Result<bool, Failure> {
        if !std::io::stdin().is_terminal() || !std::io::stderr().is_terminal() {
            return Err(Failure::Unusable(
                "there is no terminal to ask at: answer with --answer ID=VALUE, and --defaults for the rest (--list has the questions)"
                    .to_owned(),
            ));
        }
        tell("Enter takes what is marked, Esc goes back, Ctrl-C quits: nothing is written before the end.");
        let mut asked: Vec<&'static str> = Vec::new();
        loop {
            let next = to_ask(answers, self.more).next();
            let Some(question) = next else { return Ok(true) };
            match self.put(question, answers, asked.is_empty())? {
                Reply::Answer(text) => match answers.give(question.id, &text) {
                    Ok(()) => asked.push(question.id),
                    Err(wrong) => tell(&format!("{}: {}", wrong.what, wrong.remedy)),
                },
                Reply::Back => {
                    if let Some(last) = asked.pop() {
                        answers.forget(last);
                    }
                }
                Reply::Quit => return Ok(false),
            }
        }
    }

    /// Puts one question.
    fn put(&self, question: &Question, answers: &Answers, first: bool) -> Result<Reply, Failure> {
        let theme = ColorfulTheme::default();
        let words = match self.wording.wording() {
            Wording::Us => question.us,
            Wording::Uk => question.uk,
        };
        let default = (question.default)(answers);
        tell(&format!("  {} Decides: {}.", question.help, question.decides));
        let failed = |why: dialoguer::Error| Failure::Failed(format!("the terminal: {why}"));
        match question.form {
            Form::Choice(choices) => {
                let mut items: Vec<String> = choices.iter().map(shown).collect();
                items.push(format!("don't know ({default})"));
                if !first {
                    items.push("(back)".to_owned());
                }
                items.push("(quit)".to_owned());
                let at = choices.iter().position(|c| c.word == default).unwrap_or(choices.len());
                let select = Select::with_theme(&theme).with_prompt(words).items(&items).default(at);
                let chosen = select.interact_opt().map_err(failed)?;
                Ok(match chosen {
                    None => Reply::Back,
                    Some(i) if i < choices.len() => Reply::Answer(choices[i].word.to_owned()),
                    Some(i) if i == choices.len() => Reply::Answer("don't know".to_owned()),
                    Some(i) if i + 1 == items.len() => Reply::Quit,
                    Some(_) => Reply::Back,
                })
            }
            Form::Quantity(_) | Form::Either(..) | Form::Text => {
                let prompt = format!("{words} (don't know: {default}; back, quit)");
                let input = Input::<String>::with_theme(&theme).with_prompt(prompt);
                let text = input.default("don't know".to_owned()).interact_text().map_err(failed)?;
                Ok(match text.trim() {
                    "back" => Reply::Back,
                    "quit" => Reply::Quit,
                    text => Reply::Answer(text.to_owned()),
                })
            }
        }
    }

    fn list(&self) -> Result<Done, Failure> {
        if let Some(to) = &self.json {
            let listed: Vec<Listed> = QUESTIONS.iter().map(listed).collect();
            let text = json::render(&listed)
                .map_err(|why| Failure::Failed(format!("no list: {why}")))?;
            Target::from(to.as_os_str()).write(text.as_bytes())?;
            return Ok(Done::Well);
        }
        let uk = matches!(self.wording.wording(), Wording::Uk);
        let mut text = String::new();
        for q in QUESTIONS {
            let words = if uk { q.uk } else { q.us };
            let may_be = match q.form {
                Form::Choice(choices) => {
                    choices.iter().map(shown).collect::<Vec<_>>().join(", ")
                }
                Form::Quantity(bound) => format!("{}, for instance {}", bound.dimension.word(), bound.dimension.example()),
                Form::Either(one, other) => format!(
                    "{} or {}",
                    one.dimension.word(),
                    other.dimension.word()
                ),
                Form::Text => "a name".to_owned(),
            };
            let more = if q.more { " (asked with --more)" } else { "" };
            text += &format!("{}{more}\n  {words} {}\n  {may_be}\n", q.id, q.help);
        }
        Target::Standard.write(text.as_bytes())?;
        Ok(Done::Well)
    }
}

fn shown(choice: &Choice) -> String {
    match choice.means {
        "" => choice.word.to_owned(),
        means => format!("{} ({means})", choice.word),
    }
}

fn listed(q: &Question) -> Listed {
    let answers = match q.form {
        Form::Choice(choices) => choices,
        _ => &[],
    };
    let answer = |c: &Choice| ListedAnswer { word: c.word, means: c.means };
    Listed {
        id: q.id,
        us: q.us,
        uk: q.uk,
        help: q.help,
        decides: q.decides,
        more: q.more,
        answers: answers.iter().map(answer).collect(),
        quantity: match q.form {
            Form::Quantity(bound) => Some(bound.dimension.word()),
            _ => None,
        },
    }
}
