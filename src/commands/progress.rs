//! The onlooker at the terminal: a bar with a time to go, and Ctrl-C.

use super::interrupt;
use crate::report::terminal;
use crate::study::StudyError;
use crate::study::progress::Onlooker;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::time::Duration;

/// Does a study that may be ended early, with a bar at the terminal unless `quiet`.
///
/// # Errors
/// Why there is no answer.
pub(super) fn watched<A>(
    quiet: bool,
    study: impl FnOnce(&dyn Onlooker) -> Result<A, StudyError>,
) -> Result<A, StudyError> {
    let terminal = Terminal::new(quiet);
    let answer = study(&terminal);
    terminal.bar.finish_and_clear();
    answer
}

/// Shows progress on standard error if that is a terminal, and says when Ctrl-C was heard.
#[derive(Debug)]
struct Terminal {
    bar: ProgressBar,
}

impl Terminal {
    /// The first Ctrl-C from now on ends the study, a second one the program at once. With `quiet` no bar is
    /// shown.
    fn new(quiet: bool) -> Self {
        interrupt::leave_to_verb();
        let seen = !quiet && terminal::is_heard();
        let target = if seen { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
        let plain = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
        let bar = if plain { "{bar:30}" } else { "{bar:30.cyan}" };
        let template =
            format!("{bar} {{percent}} %, {{eta}} to go (Ctrl-C: end with what is done)");
        let style = ProgressStyle::with_template(&template)
            .unwrap_or_else(|_| ProgressStyle::default_bar());
        let bar = ProgressBar::with_draw_target(Some(0), target).with_style(style);
        if seen {
            bar.enable_steady_tick(Duration::from_millis(200));
        }
        Self { bar }
    }
}

impl Onlooker for Terminal {
    fn advanced(&self, done: u64, of: u64) {
        self.bar.set_length(of);
        self.bar.set_position(done);
    }

    fn enough(&self) -> bool {
        interrupt::told()
    }
}
