//! Questions put at a terminal.

use super::interrupt;
use super::outcome::{Failure, tell};
use crate::describe::{Answers, Form, Question, to_ask};
use crate::report::Wording;
use crate::report::terminal;
use dialoguer::theme::ColorfulTheme;
use dialoguer::{Input, Select};
use std::io::{self, IsTerminal as _};

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
    tell(
        "Choose with the arrow keys and Enter; Esc goes back. Nothing is written before the last answer.",
    );
    let mut asked: Vec<&'static str> = Vec::new();
    loop {
        let open: Vec<&Question> = to_ask(answers, more).collect();
        let Some(question) = open.first() else { return Ok(()) };
        let left = match open.len() {
            1 => "the last question".to_owned(),
            n => format!("{n} questions left"),
        };
        tell("");
        tell(&format!("{} Decides {}; {left}.", question.help, question.decides));
        let reply = put(question, answers, wording, asked.is_empty());
        if interrupt::told() {
            return Err(broken_off());
        }
        match reply? {
            Reply::Answer(text) => match answers.give(question.id, &text) {
                Ok(()) => asked.push(question.id),
                Err(wrong) => tell(&format!("{}; {}", wrong.what, wrong.remedy)),
            },
            Reply::Back => {
                if let Some(last) = asked.pop() {
                    answers.forget(last);
                }
            }
            Reply::Quit => return Err(broken_off()),
        }
    }
}

fn broken_off() -> Failure {
    // Whatever stood there when it was left.
    let _ = console::Term::stderr().show_cursor();
    Failure::Interrupted("broken off: nothing was written".to_owned())
}

/// Puts one question.
fn put(
    question: &Question,
    answers: &Answers,
    wording: Wording,
    first: bool,
) -> Result<Reply, Failure> {
    let theme = ColorfulTheme::default();
    let words = match wording {
        Wording::Us => question.us,
        Wording::Uk => question.uk,
    };
    let otherwise = (question.default)(answers);
    let failed = |dialoguer::Error::IO(why)| match why.kind() {
        io::ErrorKind::Interrupted => broken_off(),
        _ => Failure::Failed(format!("nothing can be asked at this terminal: {why}")),
    };
    let Form::Choice(choices) = question.form else {
        tell(&format!(
            "Type {}, {BACK} or {QUIT}; Enter takes {DONT_KNOW}: {otherwise}.",
            question.form.example()
        ));
        let input = Input::<String>::with_theme(&theme).with_prompt(words);
        let text = input.default(DONT_KNOW.to_owned()).interact_text().map_err(failed)?;
        return Ok(match text.trim() {
            BACK => Reply::Back,
            QUIT => Reply::Quit,
            text => Reply::Answer(text.to_owned()),
        });
    };
    // What is marked is no claim: whoever only presses Enter has not looked.
    let mut items = vec![format!("{DONT_KNOW}: {otherwise}")];
    items.extend(choices.iter().map(ToString::to_string));
    if !first {
        items.push(BACK.to_owned());
    }
    items.push(QUIT.to_owned());
    let select = Select::with_theme(&theme).with_prompt(words).items(&items).default(0);
    let chosen = select.interact_opt().map_err(failed)?;
    Ok(match chosen {
        Some(0) => Reply::Answer(DONT_KNOW.to_owned()),
        Some(i) if i <= choices.len() => Reply::Answer(choices[i - 1].word.to_owned()),
        Some(i) if i + 1 == items.len() => Reply::Quit,
        Some(_) | None => Reply::Back,
    })
}
