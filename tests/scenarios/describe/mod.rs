//! A car from shop words: every answer gives a scenario that is read, flushed, and lies within what such vehicles hold.

#[cfg(unix)]
mod asked;
mod bands;
mod guesses;
mod random;
mod seen;
mod verb;
