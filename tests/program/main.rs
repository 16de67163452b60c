//! The program from outside: what it prints and writes, how it ends, and what goes wrong around it.

#[path = "../common/mod.rs"]
mod common;

mod card;
mod card_files;
mod card_fluid;
mod card_words;
mod exit_status;
#[cfg(unix)]
mod faults;
mod learn;
mod live;
mod output;
