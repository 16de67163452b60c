//! Draws between 0 and 1, keyed by quantity.

use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// A stream of random numbers for one purpose: the same seed and key give the same numbers, whatever
/// else is drawn and in whatever order.
pub fn stream(seed: u64, key: &str) -> ChaCha8Rng {
    let mut bytes = [0; 32];
    bytes[..8].copy_from_slice(&seed.to_le_bytes());
    bytes[8..16].copy_from_slice(&hash(key).to_le_bytes());
    ChaCha8Rng::from_seed(bytes)
}

/// FNV-1a, 64 bit (Fowler, Noll, Vo; constants as in the IETF draft, from memory): the standard library's
/// own hash may change from version to version, and with it every answer.
fn hash(key: &str) -> u64 {
    key.bytes()
        .fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3))
}

/// `n` draws of one quantity, evenly spread: one in each n-th of the range from 0 to 1, in random
/// order (a column of a Latin hypercube; M. D. McKay, R. J. Beckman, W. J. Conover 1979).
///
/// ```
/// use farwheel::study::chance::draws::column;
/// let draws = column(7, "bore", 100);
/// assert_eq!(draws, column(7, "bore", 100));
/// assert_ne!(draws, column(8, "bore", 100));
/// assert_ne!(draws, column(7, "length", 100));
/// let mut hundredths: Vec<i32> = draws.iter().map(|u| (100.0 * u) as i32).collect();
/// hundredths.sort();
/// assert_eq!(hundredths, (0..100).collect::<Vec<_>>());
/// ```
pub fn column(seed: u64, key: &str, n: usize) -> Vec<f64> {
    let mut rng = stream(seed, key);
    let mut strata: Vec<usize> = (0..n).collect();
    strata.shuffle(&mut rng);
    // The largest double below 1: a draw of exactly 1 would lie at infinity in a normal distribution.
    let most = 1.0 - f64::EPSILON / 2.0;
    let width = 1.0 / n as f64;
    let mut place = |k: usize| ((k as f64 + rng.random::<f64>()) * width).clamp(1e-12, most);
    strata.into_iter().map(&mut place).collect()
}
