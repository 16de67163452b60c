//! Whether two answers can be told apart.

use serde::Serialize;

/// Differences below this are never told apart, mL: what studies promise of a difference.
pub const LEAST_ML: f64 = 0.5;

/// The second answer less the first. A job's books close to a billionth of what is in the system: two answers that are
/// nearer to each other are the same.
pub(crate) fn less(first: f64, second: f64) -> f64 {
    let difference = second - first;
    if difference.abs() <= 1e-9 * first.abs().max(second.abs()) { 0.0 } else { difference }
}

/// A difference of two answers, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Difference {
    /// The second answer less the first, mL.
    pub ml: f64,
    /// How far the difference may be off through the computation, mL: the estimated errors of both
    /// answers added, at least [`LEAST_ML`]; infinite (in JSON `null`) if one was not estimated.
    pub unsure_ml: f64,
}

impl Difference {
    /// The difference of two answers, each with its estimated error, all in mL.
    pub fn new(first: (f64, Option<f64>), second: (f64, Option<f64>)) -> Self {
        let errors = first.1.zip(second.1).map_or(f64::INFINITY, |(a, b)| a + b);
        Self { ml: less(first.0, second.0), unsure_ml: errors.max(LEAST_ML) }
    }

    /// Whether the difference is larger than the computation may be off.
    ///
    /// ```
    /// use farwheel::study::difference::Difference;
    /// assert!(Difference::new((580.0, Some(0.4)), (582.0, Some(0.5))).told_apart());
    /// // Within the errors of both, or under half a millilitre, or with an error that nobody knows:
    /// assert!(!Difference::new((580.0, Some(1.0)), (582.0, Some(1.5))).told_apart());
    /// assert!(!Difference::new((580.0, Some(0.0)), (580.4, Some(0.0))).told_apart());
    /// assert!(!Difference::new((580.0, None), (600.0, Some(0.1))).told_apart());
    /// // Rounding is no difference at all:
    /// assert_eq!(Difference::new((0.3, None), (0.1 + 0.2, None)).ml, 0.0);
    /// ```
    pub fn told_apart(&self) -> bool {
        self.ml.abs() > self.unsure_ml
    }
}
