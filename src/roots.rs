//! Where something crosses zero.

/// Rounds after which it is left as it is.
const ROUNDS: u32 = 60;

/// The place nearest to the crossing, at or below zero, between `below`, where `of` is at or below zero, and `above`, where
/// it is above: each a place and what `of` is there. Ends where `of` is within `close` below zero, or at rounding.
///
/// By false position, an end that stays twice running counting half from then on (the Illinois rule: Dowell and Jarratt,
/// BIT 11, 1971, from memory).
pub fn crossing(
    mut below: (f64, f64),
    mut above: (f64, f64),
    close: f64,
    of: impl Fn(f64) -> f64,
) -> f64 {
    let mut found = below.0;
    // Which end stayed last.
    let (mut below_stayed, mut above_stayed) = (false, false);
    for _ in 0..ROUNDS {
        let at = below.0 + (above.0 - below.0) * below.1 / (below.1 - above.1);
        if at == below.0 || at == above.0 {
            break;
        }
        let is = of(at);
        if is > 0.0 {
            above = (at, is);
            if below_stayed {
                below.1 *= 0.5;
            }
            (below_stayed, above_stayed) = (true, false);
        } else {
            found = at;
            if is >= -close {
                break;
            }
            below = (at, is);
            if above_stayed {
                above.1 *= 0.5;
            }
            (below_stayed, above_stayed) = (false, true);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::crossing;

    #[test]
    fn crossings_of_straight_and_crooked_lines() {
        let between = |below: f64, above: f64, of: fn(f64) -> f64| {
            crossing((below, of(below)), (above, of(above)), 1e-12, of)
        };
        assert!((between(0.0, 4.0, |x| x - 1.0) - 1.0).abs() < 1e-12);
        assert!((between(2.0, 0.0, |x| 1.0 - x * x * x) - 1.0).abs() < 1e-12);
        assert!((between(0.0, 1.0, |x| x.sqrt() - 0.1) - 0.01).abs() < 1e-12);
        // One end is the crossing already.
        assert_eq!(between(1.0, 3.0, |x| x - 1.0), 1.0);
    }
}
