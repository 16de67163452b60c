//! Ten questions about a car, drawn by a seed. Each is answered by jobs that are run for it.

mod answer;
mod of_changes;
mod of_job;
mod of_openings;
mod of_orders;
mod words;

pub use answer::{Amount, Answer, Choice, Said, WITHIN};

use crate::circuit::Scenario;
use crate::job::flush_whole;
use crate::job::options::Options;
use crate::job::record::Record;
use crate::study::StudyError;
use crate::study::chance::draws::stream;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;
use serde::Serialize;

/// Questions that are drawn.
pub const MOST: usize = 10;

/// The questions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Quiz {
    /// Seed by which they were drawn: the same one gives the same questions about the same car.
    pub seed: u64,
    /// The questions; fewer than [`MOST`] if there are no more about this car.
    pub questions: Vec<Question>,
}

/// A question with its answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Question {
    /// What it is about: one word for all cars.
    pub about: &'static str,
    /// The question.
    pub asks: String,
    /// Its answer.
    pub answer: Answer,
    /// Why, in one sentence with figures.
    pub reason: String,
}

/// What is known of the car before questions are drawn.
struct Known<'a> {
    scenario: &'a Scenario,
    options: &'a Options,
    /// The scenario's own job.
    own: Record,
}

impl Known<'_> {
    /// The job of a car that is like this one but for something; `None` if it must be stopped.
    fn run(&self, other: &Scenario) -> Result<Option<Record>, StudyError> {
        let record = flush_whole(other, self.options)?;
        Ok((!record.stopped() || self.own.stopped()).then_some(record))
    }
}

/// Asks one kind of question, if it applies to the car; which bleeder it is about, and the axis, are drawn.
type Asking = fn(&Known<'_>, &mut ChaCha8Rng) -> Result<Option<Question>, StudyError>;

/// Draws questions. A kind comes once, but where a car has too few kinds.
///
/// # Errors
/// [`StudyError`] if the scenario cannot be simulated.
///
/// ```
/// use farwheel::job::options::Options;
/// use farwheel::study::class::quiz::{Answer, Said, draw};
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/motorcycle-rear.toml"));
/// let quiz = draw(&farwheel::read(text, "motorcycle-rear.toml")?, 2031, &Options::default())?;
/// assert_eq!(quiz.questions.len(), 10);
/// for question in &quiz.questions {
///     let right = match &question.answer {
///         Answer::Amount(amount) => Said::Amount(amount.value),
///         Answer::Choice(choice) => Said::Option(choice.right),
///     };
///     assert_eq!(question.answer.points(right), 1.0);
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn draw(scenario: &Scenario, seed: u64, options: &Options) -> Result<Quiz, StudyError> {
    let options = &answer::asked_for(options);
    let known = Known { scenario, options, own: flush_whole(scenario, options)? };
    let mut kinds: Vec<(&str, Asking)> =
        [of_openings::ALL, of_job::ALL, of_orders::ALL, of_changes::ALL].concat();
    kinds.shuffle(&mut stream(seed, "quiz"));
    let mut questions: Vec<Question> = Vec::new();
    // Again for cars of which there is little to ask: then about another bleeder.
    for round in 0..3 {
        for (about, ask) in &kinds {
            if questions.len() == MOST {
                break;
            }
            let mut rng = stream(seed, &format!("quiz, {about}, {round}"));
            let question = ask(&known, &mut rng)?;
            let new = |q: &Question| questions.iter().all(|other| other.asks != q.asks);
            questions.extend(question.filter(new));
        }
    }
    Ok(Quiz { seed, questions })
}
