//! Questions put at a terminal.

use super::interrupt;
use super::outcome::Failure;
use crate::describe::{Answers, Choice, Form, Question, Said, to_ask, uk};
use crate::report::Wording;
use crate::report::terminal;
use crate::scenario::mistake::Wrong;
use dialoguer::theme::ColorfulTheme;
use dialoguer::{Input, Select};
use std::io::{self, IsTerminal as _};
use std::sync::LazyLock;

const DONT_KNOW: &str = "don't know";
const BACK: &str = "back";
const QUIT: &str = "quit";

/// What somebody at the terminal wants.
enum Reply {
    Answer(String),
    Back,
    Quit,
}

/// Asks what is open, one question after the other.
///
/// # Errors
/// If there is no terminal, or it was broken off.
pub(super) fn ask(answers: &mut Answers, more: bool, wording: Wording) -> Result<(), Failure> {
    if !io::stdin().is_terminal() || !terminal::is_heard() {
        return Err(Failure::Unusable(
            "there is no terminal to ask at: answer with --answer ID=VALUE, and --defaults for the rest; --list has the questions"
                .to_owned(),
        ));
    }
    // A prompt that is left at once would leave the terminal without a cursor.
    interrupt::leave_to_verb();
    say("Choose with the arrow keys and Enter. Nothing is written before the last answer.");
    let mut asked: Vec<(&'static str, Option<String>)> = Vec::new();
    // What was answered before somebody went back.
    let mut before: Option<String> = None;
    loop {
        let open: Vec<&Question> = to_ask(answers, more).collect();
        let Some(question) = open.first() else { return Ok(()) };
        let at = asked.len() + 1;
        let of = format!("question {at} of about {}", asked.len() + open.len());
        let said = match wording {
            Wording::Us => Said::us(question),
            Wording::Uk => Said::uk(question),
        };
        say("");
        say(&format!("{} Decides {}; {of}.", said.help, said.decides));
        let put = Put {
            question,
            said,
            otherwise: (question.default)(answers),
            uk: wording == Wording::Uk,
        };
        let reply = put.put(answers, before.take(), asked.is_empty());
        if interrupt::told() {
            return Err(broken_off());
        }
        match reply? {
            Reply::Answer(text) => match answers.give(question.id, &text) {
                Ok(()) => {
                    asked.push((question.id, answers.known(question.id).map(str::to_owned)));
                    answers.forget_what_does_not_apply();
                }
                Err(wrong) => say(&told(&wrong)),
            },
            Reply::Back => {
                if let Some((last, answer)) = asked.pop() {
                    answers.forget(last);
                    before = answer;
                }
            }
            Reply::Quit => return Err(broken_off()),
        }
    }
}

/// Tells it in lines that fit the terminal.
fn say(text: &str) {
    terminal::tell_wrapped(text);
}

fn broken_off() -> Failure {
    // Whatever stood there when it was left.
    let _ = console::Term::stderr().show_cursor();
    say("");
    Failure::Interrupted("broken off: nothing was written".to_owned())
}

/// A question as it is put.
struct Put<'q> {
    question: &'q Question,
    said: Said,
    otherwise: String,
    uk: bool,
}

impl Put<'_> {
    /// Puts it, with what was answered before marked.
    fn put(
        &self,
        answers: &Answers,
        before: Option<String>,
        first: bool,
    ) -> Result<Reply, Failure> {
        match self.question.form {
            Form::Choice(choices) => self.choice(choices, before, first),
            Form::Quantity(..) | Form::Either(..) => self.quantity(answers, before),
        }
    }

    fn quantity(&self, answers: &Answers, before: Option<String>) -> Result<Reply, Failure> {
        let (id, otherwise) = (self.question.id, &self.otherwise);
        let example = self.question.form.example();
        let enter = match &before {
            Some(before) => format!("Enter keeps {before}"),
            None => format!("Enter takes {DONT_KNOW}: {otherwise}"),
        };
        say(&format!("Type for instance {example}, or {BACK} or {QUIT}; {enter}."));
        let input = Input::<String>::with_theme(&*THEME).with_prompt(&self.said.asked);
        let right = |text: &String| match text.trim() {
            BACK | QUIT => Ok(()),
            text => answers.clone().give(id, text).map_err(|wrong| told(&wrong)),
        };
        let input =
            input.default(before.unwrap_or_else(|| DONT_KNOW.to_owned())).validate_with(right);
        let text = input.interact_text().map_err(failed)?;
        Ok(match text.trim() {
            BACK => Reply::Back,
            QUIT => Reply::Quit,
            text => Reply::Answer(text.to_owned()),
        })
    }

    fn choice(
        &self,
        choices: &[Choice],
        before: Option<String>,
        first: bool,
    ) -> Result<Reply, Failure> {
        // What is marked is no claim: whoever only presses Enter has not looked.
        let mut items = vec![format!("{DONT_KNOW}: {}", self.otherwise)];
        items.extend(choices.iter().map(ToString::to_string));
        if self.uk {
            items = items.iter().map(|item| uk(item)).collect();
        }
        if !first {
            items.push(BACK.to_owned());
        }
        items.push(QUIT.to_owned());
        let marked = choices.iter().position(|c| Some(c.word) == before.as_deref());
        let select = Select::with_theme(&*THEME).with_prompt(&self.said.asked);
        let select = select.items(&items).default(marked.map_or(0, |i| i + 1));
        Ok(match select.interact_opt().map_err(failed)? {
            Some(0) => Reply::Answer(DONT_KNOW.to_owned()),
            Some(i) if i <= choices.len() => Reply::Answer(choices[i - 1].word.to_owned()),
            Some(i) if i + 1 == items.len() => Reply::Quit,
            Some(_) | None => Reply::Back,
        })
    }
}

static THEME: LazyLock<ColorfulTheme> = LazyLock::new(ColorfulTheme::default);

fn failed(dialoguer::Error::IO(why): dialoguer::Error) -> Failure {
    match why.kind() {
        io::ErrorKind::Interrupted => broken_off(),
        _ => Failure::Failed(format!("nothing can be asked at this terminal: {why}")),
    }
}

/// What is wrong with an answer, and what would be right.
pub(super) fn told(wrong: &Wrong) -> String {
    format!("{}; {}", wrong.what, wrong.remedy)
}
