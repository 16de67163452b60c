//! Values out of a fuzzer's bytes. The first choice of each kind, which used-up bytes give, is the plain one.

use crate::kinds::{choice, usual, written};
use farwheel::keys::{Bound, Form, Key, LeftOut};
use libfuzzer_sys::arbitrary::{Result, Unstructured};
use std::fmt::Write as _;

/// The source of all choices.
pub struct Draw<'u, 'b> {
    bytes: &'u mut Unstructured<'b>,
    /// Whether figures may lie anywhere within their bounds, their ends included.
    pub wild: bool,
}

/// Keys and values of a table, as they are to be written.
pub type Lines = Vec<(&'static str, String)>;

impl<'u, 'b> Draw<'u, 'b> {
    pub fn new(bytes: &'u mut Unstructured<'b>, wild: bool) -> Self {
        Self { bytes, wild }
    }

    /// A number from 0 to below `n`.
    pub fn below(&mut self, n: usize) -> Result<usize> {
        Ok(usize::from(self.bytes.int_in_range(0..=(n - 1) as u16)?))
    }

    /// True once in `n` times.
    pub fn once_in(&mut self, n: usize) -> Result<bool> {
        Ok(self.below(n)? == n - 1)
    }

    /// One of these.
    pub fn one<'t, T>(&mut self, of: &'t [T]) -> Result<&'t T> {
        Ok(&of[self.below(of.len())?])
    }

    /// Some of these, at least one.
    pub fn some(&mut self, of: &[String], most: usize) -> Result<Vec<String>> {
        let mut out = vec![self.one(of)?.clone()];
        for _ in 1..most.min(of.len()) {
            if self.once_in(3)? {
                out.push(self.one(of)?.clone());
            }
        }
        out.sort();
        out.dedup();
        Ok(out)
    }

    /// From 0 to 1, both included.
    pub fn share(&mut self) -> Result<f64> {
        Ok(f64::from(self.bytes.int_in_range(0..=u16::MAX)?) / f64::from(u16::MAX))
    }

    /// Between two ends, evenly.
    pub fn between(&mut self, low: f64, high: f64) -> Result<f64> {
        Ok(low + self.share()? * (high - low))
    }

    /// A value within a bound, SI: mostly within a factor of two of the usual one, seldom anywhere or at an end.
    pub fn si(&mut self, bound: &Bound, usual: f64) -> Result<f64> {
        let far = if self.wild { self.below(12)? } else { 0 };
        let least = bound.min.max(1e-6 * bound.max);
        let x = match far {
            9 => bound.min,
            10 => bound.max,
            11 => least * (bound.max / least).powf(self.share()?),
            _ => usual * 2_f64.powf(self.between(-1.0, 1.0)?),
        };
        let below = bound.min < 0.0 && self.once_in(2)?;
        Ok(if below { -x } else { x }.clamp(bound.min, bound.max))
    }

    /// The same as it is written.
    pub fn quantity(&mut self, bound: &Bound, usual: f64) -> Result<String> {
        Ok(written(bound, self.si(bound, usual)?))
    }

    /// Values for those of `keys` that are not in `own`; one that may be left out mostly is.
    pub fn table(&mut self, keys: &[Key], own: &[&str]) -> Result<Lines> {
        let mut lines = Lines::new();
        for key in keys.iter().filter(|k| !own.contains(&k.name)) {
            if key.left_out == LeftOut::Required || self.once_in(4)? {
                lines.extend(self.value(key)?.map(|v| (key.name, v)));
            }
        }
        Ok(lines)
    }

    /// A value for a key; `None` if it is a text or name that means something.
    pub fn value(&mut self, key: &Key) -> Result<Option<String>> {
        Ok(match key.form {
            Form::Quantity(bound) => Some(self.quantity(bound, usual(key, bound))?),
            Form::Count(least, most) if self.wild && self.once_in(8)? => {
                Some((least + self.below((most - least) as usize + 1)? as u32).to_string())
            }
            _ => choice(key, self.share()?),
        })
    }
}

/// `key = value` for a table on one line.
pub fn inline(lines: &Lines) -> String {
    lines.iter().map(|(key, value)| format!(", {key} = {value}")).collect()
}

/// `key = value` on lines of their own.
pub fn block(lines: &Lines) -> String {
    let mut out = String::new();
    for (key, value) in lines {
        let _ = writeln!(out, "{key} = {value}");
    }
    out
}
