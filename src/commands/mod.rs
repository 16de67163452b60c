//! One file a verb: arguments in, one library call, one report out.

mod arguments;
mod asking;
mod card;
mod card_folder;
mod check;
mod compare;
mod completions;
mod delivery;
mod describe;
mod flush;
mod interrupt;
mod layouts;
mod learn;
mod live;
mod options;
mod orders;
mod outcome;
mod outputs;
mod plan;
mod pressures;
mod progress;
mod schema;
mod shipped;
mod source;
mod spread;

pub use outcome::Ending;

use crate::report::live::Opens;
use clap::{Parser, Subcommand};

/// What was asked for on the command line.
#[derive(Debug, Parser)]
#[command(
    name = "farwheel",
    version,
    long_version = concat!(env!("CARGO_PKG_VERSION"), " (", env!("FARWHEEL_COMMIT"), ")"),
    about = "Simulates the flush of a vehicle's brake hydraulics: what leaves each bleeder, and what stays behind",
    after_help = "Exit status: 0 done; 2 the input cannot be used; 3 the job ran, with a warning to stop it; 130 interrupted, a study with what was finished written; 1 anything else.",
    disable_help_subcommand = true,
    subcommand_value_name = "VERB",
    subcommand_help_heading = "Verbs"
)]
pub struct Arguments {
    #[command(subcommand)]
    verb: Verb,
}

/// The verbs; a new one is a new file and a line here and in [`Arguments::carry_out`].
#[derive(Debug, Subcommand)]
enum Verb {
    Check(check::Check),
    Describe(describe::Describe),
    Flush(flush::Flush),
    Compare(compare::Compare),
    #[command(hide = true)]
    Layouts(layouts::Layouts),
    /// The page of `live`, at its class view
    #[command(hide = true)]
    Lesson(live::Live),
    Live(live::Live),
    Learn(learn::Learn),
    Orders(orders::Orders),
    Pressures(pressures::Pressures),
    Spread(spread::Spread),
    Plan(plan::Plan),
    Card(card::Card),
    Schema(schema::Schema),
    Completions(completions::Completions),
}

impl Arguments {
    /// Reads the program's own arguments.
    ///
    /// # Errors
    /// On a mistake, and on a call for help, which is printed.
    pub fn read() -> Result<Self, Ending> {
        arguments::read()
    }

    /// Does what was asked for.
    pub fn carry_out(self) -> Ending {
        if let Err(why) = interrupt::listen() {
            return Err(why).into();
        }
        match self.verb {
            Verb::Check(check) => check.carry_out(),
            Verb::Describe(describe) => describe.carry_out(),
            Verb::Flush(flush) => flush.carry_out(),
            Verb::Compare(compare) => compare.carry_out(),
            Verb::Layouts(layouts) => layouts.carry_out(),
            Verb::Lesson(live) => live.carry_out(Opens::Class),
            Verb::Live(live) => live.carry_out(Opens::Try),
            Verb::Learn(learn) => learn.carry_out(),
            Verb::Orders(orders) => orders.carry_out(),
            Verb::Pressures(pressures) => pressures.carry_out(),
            Verb::Spread(spread) => spread.carry_out(),
            Verb::Plan(plan) => plan.carry_out(),
            Verb::Card(card) => card.carry_out(),
            Verb::Schema(schema) => schema.carry_out(),
            Verb::Completions(completions) => completions.carry_out(),
        }
        .into()
    }
}
