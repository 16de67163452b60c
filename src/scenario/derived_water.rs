//! Water of old fluid where it is not written: from what a tester shows, or from the water of another place. Each rule
//! stands here once, with its spread (± holds nine in ten) and its reason.

use super::mistake::Diagnostics;
use super::section::{Section, Value};
use super::sections::Placed;
use crate::fluid::declared::OldFluid;
use crate::fluid::reading::{A_PLACE_FURTHER, DIFFERENCE_OFF, Figure, LEAST, OFF, Reading};
use crate::keys::{Quantity, Read, bounds};
use crate::measures::YEAR;
use crate::portable;

const PLACES: [&str; 3] = ["water", "water_reservoir", "water_wheel_brakes"];
const TESTED: [&str; 4] = ["tested_at", "tester", "tested_water", "tested_boiling"];

/// Age at which old fluid scatters as the defaults of `[old_fluid]` say; it scatters with the root of its age, within
/// half to one and a half of that (estimate, no source: surveys find that age widens the scatter and moves nothing).
const AGE_OF_DEFAULTS_S: f64 = 4.0 * YEAR;

/// How far water scatters, as a multiple of what it usually does; the oldest that it may be counts.
fn scatter(age: Option<Quantity>) -> f64 {
    let of = |age: Quantity| ((age.value + age.half_width()) / AGE_OF_DEFAULTS_S).sqrt();
    age.map_or(1.0, |age| of(age).clamp(0.5, 1.5))
}

/// Water of old fluid by place: the keys that are left out follow from those that are written.
pub(crate) fn water(diagnostics: &mut Diagnostics<'_>, old: &mut Placed) {
    let table: Read<OldFluid> = old.section.clone().into_table();
    let written = |key: &&str| old.spans.contains_key(*key);
    let tested = TESTED.iter().find(|k| written(k));
    if old.section.text("grade").is_none() {
        // Told already; nothing of it can be judged.
        return;
    }
    if table.grade.family.default_water().is_some() {
        if let Some(key) = tested.or(["age"].iter().find(|k| written(k))) {
            diagnostics.add(
                old.span(key),
                format!(
                    "`{key}` tells of water, of which {} takes up hardly any",
                    table.grade.family.a_fluid()
                ),
                "leave it out; `water` may still be written",
            );
        }
        return;
    }
    let aged = written(&"age");
    let scatter = scatter(old.section.quantity("age"));
    if let Some(key) = tested {
        return from_a_tester(diagnostics, old, key, &table, scatter);
    }
    if written(&"water") {
        if aged {
            diagnostics.add(
                old.span("age"),
                "`age` and `water` are both given, and age tells only how far water may lie off that nobody measured",
                "leave out `age`, or the water if it was not measured",
            );
        }
        return;
    }
    let at = |key: &str| old.spans.contains_key(key).then(|| old.section.quantity(key)).flatten();
    // A value alone has the spread by default, unless age says more.
    let moved = |q: Quantity, by: f64| {
        let value = (q.value + by).clamp(LEAST, bounds::WATER.max);
        let off = match q.spread {
            None if !aged => return Quantity::known(value),
            None => OFF * q.value,
            Some(_) => q.half_width(),
        };
        Quantity::within(value, portable::hypot(off, scatter * DIFFERENCE_OFF))
    };
    let found: Vec<(&'static str, Quantity)> =
        match (at("water_reservoir"), at("water_wheel_brakes")) {
            (Some(reservoir), None) => vec![
                ("water", moved(reservoir, A_PLACE_FURTHER)),
                ("water_wheel_brakes", moved(reservoir, 2.0 * A_PLACE_FURTHER)),
            ],
            (None, Some(wheels)) => vec![
                ("water", moved(wheels, -A_PLACE_FURTHER)),
                ("water_reservoir", moved(wheels, -2.0 * A_PLACE_FURTHER)),
            ],
            (Some(reservoir), Some(wheels)) => {
                vec![("water", moved(reservoir, 0.5 * (wheels.value - reservoir.value)))]
            }
            (None, None) if aged => {
                let scattered = |q: Quantity| Quantity::within(q.value, scatter * q.half_width());
                let default =
                    |key: &'static str| Some((key, scattered(old.section.quantity(key)?)));
                PLACES.into_iter().filter_map(default).collect()
            }
            (None, None) => Vec::new(),
        };
    for (key, q) in found {
        tell(&mut old.section, key, q);
    }
}

/// Water of every place from a tester's reading, of which `key` is written.
fn from_a_tester(
    diagnostics: &mut Diagnostics<'_>,
    old: &mut Placed,
    key: &str,
    table: &OldFluid,
    scatter: f64,
) {
    if let Some(also) = PLACES.iter().find(|k| old.spans.contains_key(**k)) {
        return diagnostics.add(
            old.span(also),
            format!("a tester's reading and `{also}` are both given"),
            "keep what the tester shows, or the water",
        );
    }
    let shown = |key: &str| old.section.quantity(key);
    let (figure, shown) = match (shown("tested_water"), shown("tested_boiling")) {
        (Some(_), Some(_)) => {
            return diagnostics.add(
                old.span("tested_boiling"),
                "`tested_water` and `tested_boiling` are both given",
                "keep the one that the tester measures: the other it only reckons",
            );
        }
        (Some(q), None) => (Some(Figure::Water(q.value)), q),
        (None, Some(q)) => (Some(Figure::Boiling(q.value)), q),
        (None, None) => (None, Quantity::default()),
    };
    let (Some(at), Some(tester), Some(figure)) = (table.tested_at, table.tester, figure) else {
        return diagnostics.add(
            old.span(key),
            "a tester's reading is not complete",
            "it takes `tested_at` (\"reservoir\" or \"bleeder\"), `tester` (its kind) and either `tested_water = \"… %\"` or `tested_boiling = \"… °C\"`",
        );
    };
    let fluid = table.fluid();
    let error = match shown.spread {
        Some(_) => figure.off(shown.half_width(), &fluid),
        None => tester.error(),
    };
    let by_place = Reading { at, figure, error }.by_place(&fluid, scatter);
    tell(&mut old.section, "water", by_place.elsewhere);
    tell(&mut old.section, "water_reservoir", by_place.reservoir);
    tell(&mut old.section, "water_wheel_brakes", by_place.wheel_brakes);
}

/// Puts a value that follows from what is written: no default any more.
fn tell(section: &mut Section, key: &'static str, q: Quantity) {
    section.remove(key);
    section.values.insert(key, Value::Quantity(q));
}
