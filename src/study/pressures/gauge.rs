//! A scenario with another gauge pressure, and the range of gauges to look at.

use crate::circuit::{BuildError, Scenario};
use crate::keys::bounds;
use crate::keys::quantity::Quantity;
use crate::measures::PSI;
use crate::scenario::model::{Supply, Tables};
use crate::scenario::procedure::Action;
use crate::supply::pressure_bleeder::Vessel;

/// Where the range begins if nothing else is asked for, Pa.
const LOW_PA: f64 = 5.0 * PSI;
/// Gauges closer than this share of the larger one are the same.
const SAME: f64 = 1e-6;

/// The pressure bleeder whose gauge is moved: the supply that the procedure names if it is one, else the first
/// of the scenario; `None` if there is none.
pub(super) fn swept(scenario: &Scenario) -> Option<(&Supply, &Vessel)> {
    let named = scenario.supply(None).ok().into_iter();
    named.chain(&scenario.supplies).find_map(|s| Some((s, s.kind.vessel()?)))
}

/// The gauges to run, Pa, rising: evenly from one end to the other, with the scenario's own among them if it
/// lies between. `Err` has the ends if they are the wrong way round.
pub(super) fn gauges(
    (from, to): (Option<f64>, Option<f64>),
    steps: usize,
    own: f64,
    limit: Option<f64>,
) -> Result<Vec<f64>, (f64, f64)> {
    let high =
        limit.unwrap_or(bounds::GAUGE.usual.1).max(own).clamp(bounds::GAUGE.min, bounds::GAUGE.max);
    let low = LOW_PA.min(own).min(0.5 * high).max(bounds::GAUGE.min);
    let (from, to) = match (from, to) {
        (Some(from), Some(to)) => (from, to),
        (Some(from), None) => (from, high.max(from)),
        (None, Some(to)) => (low.min(to), to),
        (None, None) => (low, high),
    };
    if from > to {
        return Err((from, to));
    }
    let same = |a: f64, b: f64| (a - b).abs() <= SAME * a.max(b);
    let steps = steps.max(1);
    let at = |i: usize| if i == steps { to } else { from + (to - from) * i as f64 / steps as f64 };
    let mut gauges: Vec<f64> = (0..=steps).map(at).collect();
    gauges.dedup_by(|a, b| same(*a, *b));
    // Exactly as written, so that it is the scenario's own job.
    if let Some(g) = gauges.iter_mut().find(|g| same(**g, own)) {
        *g = own;
    } else if from < own && own < to {
        gauges.push(own);
        gauges.sort_by(f64::total_cmp);
    }
    Ok(gauges)
}

/// The scenario with this pressure bleeder pumped to `gauge_pa`, Pa.
///
/// `re_pump_below` and the gauges of `re_pump` steps keep their ratio to the gauge: a shop that holds 10 to
/// 15 psi is taken to hold 5 to 7.5 psi, neither to pump again and again below a mark that it never
/// gets over, nor to wait until half the pressure is gone. Everything else stays as written.
///
/// # Errors
/// If that is no pressure.
///
/// ```
/// use farwheel::study::pressures::at_gauge;
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/compact-hatchback.toml"));
/// let car = farwheel::read(text, "compact-hatchback.toml")?;
/// let bleeder = car.supplies[0].kind.vessel().ok_or("no pressure bleeder")?; // 15 psi, pumped again below 10
/// let half = at_gauge(&car, "pressure bleeder", 0.5 * bleeder.gauge.value)?;
/// let v = half.supplies[0].kind.vessel().ok_or("no pressure bleeder")?;
/// let mark = v.re_pump_below.ok_or("no mark")?;
/// assert!((mark.value / v.gauge.value - 10.0 / 15.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn at_gauge(scenario: &Scenario, supply: &str, gauge_pa: f64) -> Result<Scenario, BuildError> {
    scenario.changed(|tables| set_gauge(tables, supply, gauge_pa))
}

fn set_gauge(tables: &mut Tables, supply: &str, gauge_pa: f64) {
    let Some(vessel) = tables.supply_mut(Some(supply)).ok().and_then(|s| s.kind.vessel_mut())
    else {
        return;
    };
    let ratio = gauge_pa / vessel.gauge.value;
    vessel.gauge = Quantity::known(gauge_pa);
    if let Some(mark) = &mut vessel.re_pump_below {
        *mark = Quantity::known(ratio * mark.value);
    }
    for step in &mut tables.procedure.steps {
        if let Action::RePump { gauge } = &mut step.action {
            *gauge = Quantity::known(ratio * gauge.value);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn psi(gauges: &[f64]) -> Vec<f64> {
        gauges.iter().map(|g| (1e3 * g / PSI).round() / 1e3).collect()
    }

    #[test]
    fn by_itself_the_range_goes_from_5_psi_to_the_limit() {
        let all = gauges((None, None), 6, 15.0 * PSI, Some(20.0 * PSI)).expect("a range");
        assert_eq!(psi(&all), [5.0, 7.5, 10.0, 12.5, 15.0, 17.5, 20.0]);
        let all = gauges((None, None), 5, 15.0 * PSI, None).expect("a range");
        assert_eq!(psi(&all), [5.0, 10.0, 15.0, 20.0, 25.0, 30.0]);
    }

    #[test]
    fn the_own_gauge_is_among_them_if_it_lies_between() {
        let ends = |from: f64, to: f64| (Some(from * PSI), Some(to * PSI));
        let all = gauges(ends(5.0, 25.0), 2, 14.0 * PSI, None).expect("a range");
        assert_eq!(psi(&all), [5.0, 14.0, 15.0, 25.0]);
        assert_eq!(all[1], 14.0 * PSI);
        let all = gauges(ends(5.0, 10.0), 1, 14.0 * PSI, None).expect("a range");
        assert_eq!(psi(&all), [5.0, 10.0]);
        // Over the limit by itself: looked at all the same.
        let all = gauges((None, None), 1, 14.0 * PSI, Some(12.0 * PSI)).expect("a range");
        assert_eq!(psi(&all), [5.0, 14.0]);
    }

    #[test]
    fn one_end_is_enough_and_both_must_be_the_right_way_round() {
        let all = gauges((Some(40.0 * PSI), None), 3, 15.0 * PSI, None).expect("a range");
        assert_eq!(psi(&all), [40.0]);
        let all = gauges((None, Some(4.0 * PSI)), 1, 15.0 * PSI, None).expect("a range");
        assert_eq!(psi(&all), [4.0]);
        assert!(gauges((Some(2e4), Some(1e4)), 3, 15.0 * PSI, None).is_err());
    }
}
