//! A car from shop words: every answer gives a scenario that is read, flushed, and lies within what such vehicles hold.

mod bands;
mod random;
