//! The onlooker at the terminal: a bar with a time to go, and Ctrl-C.

use super::outcome::Failure;
use crate::study::progress::Onlooker;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal as _;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

/// Shows progress on standard error if that is a terminal, and listens for Ctrl-C.
#[derive(Debug)]
pub(super) struct Terminal {
    bar: ProgressBar,
    interrupted: Arc<AtomicBool>,
}

impl Terminal {
    /// Begins to listen for Ctrl-C; a second one ends the program at once. With `quiet` no bar is shown.
    ///
    /// # Errors
    /// If the system does not let the program listen.
    pub(super) fn new(quiet: bool) -> Result<Self, Failure> {
        let interrupted = Arc::new(AtomicBool::new(false));
        let heard = Arc::clone(&interrupted);
        ctrlc::set_handler(move || {
            if heard.swap(true, Ordering::SeqCst) {
                std::process::exit(130);
            }
        })
        .map_err(|why| Failure::Failed(format!("Ctrl-C cannot be listened for: {why}")))?;
        let seen = !quiet && std::io::stderr().is_terminal();
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
        Ok(Self { bar, interrupted })
    }

    /// Takes the bar away.
    pub(super) fn done(&self) {
        self.bar.finish_and_clear();
    }
}

impl Onlooker for Terminal {
    fn advanced(&self, done: u64, of: u64) {
        self.bar.set_length(of);
        self.bar.set_position(done);
    }

    fn enough(&self) -> bool {
        self.interrupted.load(Ordering::SeqCst)
    }
}
