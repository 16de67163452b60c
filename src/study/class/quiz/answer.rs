//! What the answer to a question is, what may be said to it, and what that is worth.

use crate::job::options::Options;
use crate::job::record::Record;
use crate::study::difference::{Difference, LEAST_ML};
use rand::RngExt;
use rand_chacha::ChaCha8Rng;
use serde::{Deserialize, Serialize};

/// Shares of the answer by which it may be missed for a whole point and for half of one.
pub const WITHIN: (f64, f64) = (0.10, 0.25);

/// The answer to a question.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "sort", rename_all = "snake_case")]
pub enum Answer {
    /// A figure.
    Amount(Amount),
    /// One of several.
    Choice(Choice),
}

/// A figure with the axis that it is looked for on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Amount {
    /// The figure.
    pub value: f64,
    /// Its unit, as it is written.
    pub unit: String,
    /// Where the axis begins.
    pub least: f64,
    /// Where it ends.
    pub most: f64,
    /// From where to where it is worth a point.
    pub whole: (f64, f64),
    /// From where to where half of one.
    pub half: (f64, f64),
    /// Whether the sums cannot tell it from nothing.
    pub too_close: bool,
}

/// One of several answers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Choice {
    /// What there is to choose from.
    pub options: Vec<String>,
    /// Which of them is right, from 0.
    pub right: usize,
    /// Whether the sums cannot tell which.
    pub too_close: bool,
}

/// What somebody answers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Said {
    /// A figure.
    Amount(f64),
    /// One of several, from 0.
    Option(usize),
    /// That it is too close to tell.
    TooClose,
}

impl Answer {
    /// What an answer is worth: 1, ½ or nothing. Where the sums cannot tell, whoever says so is right, and so is whoever
    /// takes either side.
    pub fn points(&self, said: Said) -> f64 {
        let within = |x: f64, (from, to): (f64, f64)| (from..=to).contains(&x);
        match (self, said) {
            (Self::Amount(Amount { too_close: true, .. }), Said::TooClose) => 1.0,
            (Self::Amount(a), Said::Amount(x)) if within(x, a.whole) => 1.0,
            (Self::Amount(a), Said::Amount(x)) if within(x, a.half) => 0.5,
            (Self::Choice(Choice { too_close: true, .. }), Said::TooClose) => 1.0,
            (Self::Choice(c), Said::Option(i))
                if i < c.options.len() && (c.too_close || i == c.right) =>
            {
                1.0
            }
            _ => 0.0,
        }
    }

    /// A figure; its bands are never narrower than what the sums may be off. `None` if it is hardly anything.
    pub(super) fn amount(
        value: f64,
        unit: &str,
        unsure: f64,
        rng: &mut ChaCha8Rng,
    ) -> Option<Self> {
        (value.is_finite() && value >= 2.0 * unsure && value >= 1.0)
            .then(|| Self::Amount(Amount::new(value, unit, unsure, false, rng)))
    }

    /// A difference, without its sign.
    pub(super) fn apart(d: Difference, rng: &mut ChaCha8Rng) -> Self {
        let too_close = !d.told_apart();
        Self::Amount(Amount::new(d.ml.abs(), "mL", d.unsure_ml.max(LEAST_ML), too_close, rng))
    }
}

impl Amount {
    fn new(value: f64, unit: &str, unsure: f64, too_close: bool, rng: &mut ChaCha8Rng) -> Self {
        // Where on its axis the answer lies tells nothing: that is drawn.
        let long = (value + unsure).max(5.0) / rng.random_range(0.15..0.95_f64);
        let most = round_up(long);
        let top = if unit == "%" { 100.0 } else { f64::INFINITY };
        let band = |share: f64| {
            let half = (share * value).max(unsure);
            ((value - half).max(0.0), (value + half).min(top))
        };
        let (whole, half) = (band(WITHIN.0), band(WITHIN.1));
        Self {
            value,
            unit: unit.to_owned(),
            least: 0.0,
            most: most.min(top),
            whole,
            half,
            too_close,
        }
    }
}

/// The next round figure.
fn round_up(x: f64) -> f64 {
    let mut unit = 1.0;
    while 10.0 * unit < x {
        unit *= 10.0;
    }
    [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0]
        .into_iter()
        .map(|round| round * unit)
        .find(|round| *round >= x)
        .unwrap_or(10.0 * unit)
}

/// How far a volume drained may be off, mL.
pub(super) fn unsure_ml(record: &Record) -> f64 {
    record.numerics.drained_error_ml.map_or(LEAST_ML, |e| e.max(LEAST_ML))
}

/// Errors estimated, origins told apart, curves kept.
pub(super) fn asked_for(options: &Options) -> Options {
    super::super::told_apart(options)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::chance::draws::stream;

    fn amount(value: f64, unsure: f64) -> Answer {
        Answer::amount(value, "mL", unsure, &mut stream(1, "axis")).expect("an amount")
    }

    #[test]
    fn bands_end_where_they_say() {
        let a = amount(100.0, 0.5);
        for (said, points) in [
            (100.0, 1.0),
            (90.0, 1.0),
            (110.0, 1.0),
            (89.99, 0.5),
            (110.01, 0.5),
            (75.0, 0.5),
            (125.0, 0.5),
            (74.99, 0.0),
            (125.01, 0.0),
            (0.0, 0.0),
            (f64::NAN, 0.0),
        ] {
            assert_eq!(a.points(Said::Amount(said)), points, "{said}");
        }
        assert_eq!(a.points(Said::TooClose), 0.0);
        assert_eq!(a.points(Said::Option(0)), 0.0);
        // A tenth of 3 mL is less than the sums know.
        let small = amount(3.0, 0.5);
        assert_eq!(small.points(Said::Amount(3.5)), 1.0);
        assert_eq!(small.points(Said::Amount(3.74)), 0.5);
        assert_eq!(small.points(Said::Amount(3.76)), 0.0);
    }

    #[test]
    fn what_cannot_be_told_counts_either_way() {
        let apart =
            |ml, unsure_ml| Answer::apart(Difference { ml, unsure_ml }, &mut stream(1, "axis"));
        assert_eq!(apart(0.3, 0.5).points(Said::TooClose), 1.0);
        assert_eq!(apart(-0.3, 0.5).points(Said::Amount(0.0)), 1.0);
        assert_eq!(apart(-7.0, 0.5).points(Said::TooClose), 0.0);
        assert_eq!(apart(-7.0, 0.5).points(Said::Amount(7.0)), 1.0);
        let choice = |too_close| {
            Answer::Choice(Choice { options: vec!["a".into(), "b".into()], right: 1, too_close })
        };
        let said = [Said::Option(0), Said::Option(1), Said::Option(2), Said::TooClose];
        assert_eq!(said.map(|s| choice(true).points(s)), [1.0, 1.0, 0.0, 1.0]);
        assert_eq!(said.map(|s| choice(false).points(s)), [0.0, 1.0, 0.0, 0.0]);
    }

    #[test]
    fn the_axis_holds_the_answer_and_does_not_give_it_away() {
        let mut places = Vec::new();
        for seed in 0..50 {
            for value in [1.0, 7.3, 99.0, 312.0, 5000.0] {
                let rng = &mut stream(seed, "axis");
                let Some(Answer::Amount(a)) = Answer::amount(value, "mL", 0.5, rng) else {
                    panic!()
                };
                assert!(a.least == 0.0 && a.most >= a.value, "{a:?}");
                places.push(a.value / a.most);
            }
        }
        places.sort_by(f64::total_cmp);
        assert!(places[25] < 0.35 && places[225] > 0.6, "{places:?}");
    }
}
