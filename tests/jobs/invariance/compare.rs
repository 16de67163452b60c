//! Two records that ought to say the same.

use farwheel::job::record::Record;

/// Whether two figures are one and the same but for rounding and the flow solver's tolerance.
fn same(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance * (1.0 + a.abs().max(b.abs()))
}

/// The first figure that differs between two records, `named` giving each name of the first as the second has it.
/// Parts may stand in another order; those that the first does not have are passed over.
pub fn difference(
    a: &Record,
    b: &Record,
    named: impl Fn(&str) -> String,
    tolerance: f64,
) -> Option<String> {
    let differ = |what: String, x: f64, y: f64| {
        (!same(x, y, tolerance)).then(|| format!("{what}: {x} and {y}"))
    };
    if a.openings.len() != b.openings.len() {
        return Some(format!("{} openings and {}", a.openings.len(), b.openings.len()));
    }
    for (x, y) in a.openings.iter().zip(&b.openings) {
        if named(&x.bleeder) != y.bleeder
            || x.closed_by != y.closed_by
            || x.clean_state != y.clean_state
        {
            let how = |o: &farwheel::job::record::Opening| {
                format!(
                    "{} at {} mL by {:?}, {:?}",
                    o.bleeder, o.drained_ml, o.closed_by, o.clean_state
                )
            };
            return Some(format!("{} and {}", how(x), how(y)));
        }
        let of = |what: &str| format!("{what} at {}", x.bleeder);
        let found = differ(of("drained, mL"), x.drained_ml, y.drained_ml)
            .or_else(|| {
                differ(
                    of("clean from, mL"),
                    x.clean_at_ml.unwrap_or(-1.0),
                    y.clean_at_ml.unwrap_or(-1.0),
                )
            })
            .or_else(|| differ(of("old fraction seen"), x.seen_old_fraction, y.seen_old_fraction))
            .or_else(|| {
                differ(of("old fraction of the path"), x.path_old_fraction, y.path_old_fraction)
            });
        if found.is_some() {
            return found;
        }
    }
    for x in &a.left.parts {
        let name = named(&x.part);
        let Some(y) = b.left.parts.iter().find(|y| y.part == name) else {
            return Some(format!("no part {name}"));
        };
        let of = |what: &str| format!("{what} of {}", x.part);
        // What hardly holds anything may be anything: rounding decides.
        let counts = x.volume_ml.max(y.volume_ml) > 1e-6;
        let found = differ(of("volume, mL"), x.volume_ml, y.volume_ml).or_else(|| {
            let fluid = differ(of("old fraction"), x.old_fraction, y.old_fraction)
                .or_else(|| differ(of("water, %"), x.water_percent, y.water_percent))
                .or_else(|| differ(of("boiling point, °C"), x.boiling_c, y.boiling_c));
            fluid.filter(|_| counts)
        });
        if found.is_some() {
            return found;
        }
    }
    None
}

/// As [`difference`], times and gauge too, and the sums over everything.
pub fn difference_in_all(
    a: &Record,
    b: &Record,
    named: impl Fn(&str) -> String,
    tolerance: f64,
) -> Option<String> {
    let differ = |what: &str, x: f64, y: f64| {
        (!same(x, y, tolerance)).then(|| format!("{what}: {x} and {y}"))
    };
    difference(a, b, named, tolerance)
        .or_else(|| differ("drained, mL", a.totals.drained_ml, b.totals.drained_ml))
        .or_else(|| differ("new fluid, mL", a.totals.new_fluid_ml, b.totals.new_fluid_ml))
        .or_else(|| differ("flow, s", a.totals.flow_seconds, b.totals.flow_seconds))
        .or_else(|| differ("in the bay, s", a.totals.bay_seconds, b.totals.bay_seconds))
        .or_else(|| differ("old fluid left, mL", a.left.old_ml, b.left.old_ml))
        .or_else(|| differ("water left, %", a.left.water_percent, b.left.water_percent))
        .or_else(|| {
            let kinds = |r: &Record| {
                r.warnings.iter().map(|w| w.kind).collect::<std::collections::BTreeSet<_>>()
            };
            (kinds(a) != kinds(b)).then(|| format!("warnings {:?} and {:?}", kinds(a), kinds(b)))
        })
}
