//! How a composition changes within one step: along a straight line.
//!
//! What passes a place in a step is told by a row of twice as many numbers as there are species: first the mean of each
//! over the step, then each at the end of the step. (As amounts: both times the volume that passes.) Rows mix like
//! compositions, since flows are steady within a step.
//!
//! Who takes such a row in goes by a straight line that has that mean, and the slope that leads to that end. Behind a
//! front that would begin beyond anything that was there: then the line begins at what came last before, and ends
//! wherever its mean makes it end.

/// Turns the second half of a row, the end of the step, into the half rise: end less mean, of the line gone by. `before`
/// is what came last before the step, and becomes the end of this one.
///
/// Each species is taken by itself, so that a species that is a fixed mixture of another and a constant stays so. All
/// but the last of several are shares of old fluid: together they rise as their sum by itself does, so that it makes
/// no difference to the sum how finely it is told apart.
pub fn straighten(row: &mut [f64], before: &mut [f64]) {
    // Most often there is one, and this is called at each place that fluid passes.
    if let ([mean, end], [before]) = (&mut *row, &mut *before) {
        let rise = half_rise(*mean, *end, *before);
        *before = std::mem::replace(end, rise);
        return;
    }
    let species = before.len();
    let (mean, end) = row.split_at_mut(species);
    let shares = species.saturating_sub(1);
    let whole = (shares > 1).then(|| {
        let [mean, end, before] =
            [&*mean, &*end, &*before].map(|of| of[..shares].iter().sum::<f64>());
        half_rise(mean, end, before)
    });
    for ((mean, end), before) in mean.iter().zip(end.iter_mut()).zip(before) {
        let rise = half_rise(*mean, *end, *before);
        *before = std::mem::replace(end, rise);
    }
    if let Some(whole) = whole {
        agree(&mean[..shares], &mut end[..shares], whole);
    }
}

/// Half the rise of the line with this mean to this end, but that it begins between the mean and what came before. Its
/// ends then lie between these three, whatever they are.
fn half_rise(mean: f64, end: f64, before: f64) -> f64 {
    mean - (2.0 * mean - end).clamp(mean.min(before), mean.max(before))
}

/// Lets shares rise by `whole` together. A share of some mean may rise by half as much either way without falling below
/// nothing; each is moved by the same part of what it could.
fn agree(mean: &[f64], rise: &mut [f64], whole: f64) {
    let (sum, now) = (mean.iter().sum::<f64>(), rise.iter().sum::<f64>());
    let sense = if whole > now { 1.0 } else { -1.0 };
    let room = sum - sense * now;
    if room > 0.0 {
        let part = ((whole - now).abs() / room).min(1.0);
        for (rise, mean) in rise.iter_mut().zip(mean) {
            *rise += sense * part * (mean - sense * *rise);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn line(mean: f64, end: f64, before: f64) -> (f64, f64) {
        let mut row = [mean, end];
        straighten(&mut row, &mut [before]);
        (mean - row[1], mean + row[1])
    }

    /// A front within the step: from what was before, as far as the mean allows.
    #[test]
    fn a_front_begins_at_what_was_before() {
        let near = |(a, b): (f64, f64), (x, y): (f64, f64)| {
            assert!((a - x).abs() < 1e-15 && (b - y).abs() < 1e-15, "{a} to {b}");
        };
        near(line(0.75, 0.5, 1.0), (1.0, 0.5));
        near(line(0.9, 0.0, 1.0), (1.0, 0.8));
        near(line(0.1, 0.0, 1.0), (0.2, 0.0));
        // What turns within the step is taken as even.
        near(line(0.5, 0.4, 0.3), (0.5, 0.5));
        near(line(0.3, 0.3, 0.9), (0.3, 0.3));
    }

    fn share() -> impl Strategy<Value = f64> {
        prop_oneof![0.0..=1.0, Just(0.0), Just(1.0)]
    }

    proptest! {
        /// Nothing falls below nothing or rises above all, water stays between what it has been, and the sum of shares
        /// goes the way it goes by itself.
        #[test]
        fn lines_stay_within_what_was_there(
            shares in proptest::collection::vec([share(), share(), share()], 1..5),
            whole in [share(), share(), share()],
            water in [share(), share(), share()],
        ) {
            // Mean, end, before: shares of each whole.
            let of = |k: usize| -> Vec<f64> {
                let sum: f64 = shares.iter().map(|s| s[k]).sum();
                let scale = if sum > 0.0 { whole[k] / sum } else { 0.0 };
                shares.iter().map(|s| scale * s[k]).chain([water[k]]).collect()
            };
            let (mean, mut before) = (of(0), of(2));
            let mut row: Vec<f64> = mean.iter().copied().chain(of(1)).collect();
            let n = shares.len();
            let sums = [&row[..n], &row[n + 1..2 * n + 1], &before[..n]].map(|x| x.iter().sum::<f64>());
            let alone = line(sums[0], sums[1], sums[2]);
            straighten(&mut row, &mut before);
            let (mut low, mut high) = (0.0, 0.0);
            for (mean, rise) in mean[..n].iter().zip(&row[n + 1..]) {
                prop_assert!(rise.abs() <= mean * (1.0 + 1e-12) + 1e-15, "{rise} of {mean}");
                low += mean - rise;
                high += mean + rise;
            }
            prop_assert!((low - alone.0).abs() < 1e-12 && (high - alone.1).abs() < 1e-12);
            prop_assert!(low > -1e-12 && high > -1e-12 && low < 1.0 + 1e-12 && high < 1.0 + 1e-12);
            let least = water.iter().fold(1.0_f64, |a, b| a.min(*b));
            let most = water.iter().fold(0.0_f64, |a, b| a.max(*b));
            for end in [mean[n] - row[2 * n + 1], mean[n] + row[2 * n + 1]] {
                prop_assert!((least - 1e-12..=most + 1e-12).contains(&end));
            }
        }
    }
}
