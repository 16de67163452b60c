//! A car from what a person at it can see: questions in shop words, estimates with reasons, the scenario they make.
//!
//! There is no terminal in here. [`questions`] is the list of what can be asked, each with its words, its help and what
//! it decides; [`Answers`] holds what was answered, and [`describe`] turns that into a scenario's text, in which each
//! value is either read or guessed with a reason. Whoever asks, on a terminal or on a page, asks this list.
//!
//! ```
//! use farwheel::describe::{Answers, describe};
//!
//! let mut answers = Answers::default();
//! answers.give("kind", "hatchback").expect("a kind");
//! answers.give("level", "MAX").expect("a mark");
//! let car = describe(&answers).expect("every answer fits");
//! assert!(farwheel::read(&car.text, "car.toml").is_ok());
//! ```

mod answers;
mod brakes;
mod car;
mod given;
mod guesses;
mod layout;
mod lines;
mod listed;
mod of_closer;
mod of_job;
mod of_vehicle;
mod offered;
mod question;
mod questions;
mod said;
mod taken;

pub use answers::halves;
pub use car::{Described, describe};
pub use given::Answers;
pub use guesses::{Guess, guesses};
pub use listed::{Asked, Listed, listed};
pub use question::{Choice, Form, Question};
pub use questions::{question, questions, to_ask};
pub use said::{Said, uk};
