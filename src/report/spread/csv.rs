//! Ranges over random draws as CSV: one long table, a row a figure.
//!
//! | column | holds |
//! | --- | --- |
//! | `about` | `total`, `bleeder`, `unknown`, `known` |
//! | `name` | bleeder or unknown, or what was taken as known since the scenario declares it exact; empty for `total` |
//! | `quantity` | what it is, by its name in the JSON; an index's interval is `…_low` and `…_high` |
//! | `unit` | unit of `value`; empty for shares and counts |
//! | `value` | the figure; empty if there is none |
//!
//! `partial` (1) and `draws_wanted` are there only if the study was interrupted. What the indices are of stands
//! in the unit-less row `matters_for_…`, 1.

use crate::report::Sheet;
use crate::study::chance::unknowns::Whose;
use crate::study::spread::Spread;

const COLUMNS: [&str; 5] = ["about", "name", "quantity", "unit", "value"];

pub(super) fn render(answer: &Spread) -> Sheet {
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(COLUMNS)?;
    let mut row = |about: &str, name: &str, quantity: &str, unit: &str, value: Option<String>| {
        out.write_record([about, name, quantity, unit, &value.unwrap_or_default()])
    };
    let figure = |v: Option<f64>| v.filter(|v| v.is_finite()).map(|v| v.to_string());
    let mut total =
        |quantity: &str, unit: &str, value: Option<String>| row("total", "", quantity, unit, value);
    total("draws", "", Some(answer.draws.to_string()))?;
    total("seed", "", Some(answer.seed.to_string()))?;
    if answer.partial {
        total("partial", "", Some("1".to_owned()))?;
    }
    if let Some(wanted) = answer.draws_wanted {
        total("draws_wanted", "", Some(wanted.to_string()))?;
    }
    total("load_ml_p95", "mL", figure(answer.load_ml_p95))?;
    total("have_ml_p95", "mL", figure(answer.have_ml_p95))?;
    total("bottle_ml", "mL", figure(Some(answer.bottle_ml)))?;
    total("bottles_p95", "", answer.bottles_p95.map(|n| n.to_string()))?;
    total("runs_dry_share", "", figure(answer.runs_dry_share))?;
    total(&format!("matters_for_{}", answer.matters_for), "", Some("1".to_owned()))?;
    if let Some(all) = &answer.in_all {
        for (quantity, unit, value) in [
            ("drained_ml_p10", "mL", all.drained_ml_p10),
            ("drained_ml_p50", "mL", all.drained_ml_p50),
            ("drained_ml_p90", "mL", all.drained_ml_p90),
            ("bay_seconds_p10", "s", all.bay_seconds_p10),
            ("bay_seconds_p50", "s", all.bay_seconds_p50),
            ("bay_seconds_p90", "s", all.bay_seconds_p90),
            ("left_old_ml_p10", "mL", all.left_old_ml_p10),
            ("left_old_ml_p50", "mL", all.left_old_ml_p50),
            ("left_old_ml_p90", "mL", all.left_old_ml_p90),
        ] {
            total(quantity, unit, figure(value))?;
        }
    }
    for b in &answer.bleeders {
        for (quantity, unit, value) in [
            ("clean_share", "", Some(b.clean_share)),
            ("clean_at_ml_p10", "mL", b.clean_at_ml_p10),
            ("clean_at_ml_p50", "mL", b.clean_at_ml_p50),
            ("clean_at_ml_p90", "mL", b.clean_at_ml_p90),
            ("seconds_p10", "s", b.seconds_p10),
            ("seconds_p50", "s", b.seconds_p50),
            ("seconds_p90", "s", b.seconds_p90),
        ] {
            row("bleeder", &b.bleeder, quantity, unit, figure(value))?;
        }
    }
    for m in &answer.matters {
        let mut own = |quantity: &str, value: f64| {
            row("unknown", &m.quantity, quantity, "", figure(Some(value)))
        };
        own("rank_correlation", m.rank_correlation)?;
        own("default_spread", f64::from(u8::from(m.spread == Whose::Default)))?;
        if let Some(i) = &m.indices {
            own("first_order", i.first_order.value)?;
            own("first_order_low", i.first_order.low)?;
            own("first_order_high", i.first_order.high)?;
            own("total", i.total.value)?;
            own("total_low", i.total.low)?;
            own("total_high", i.total.high)?;
        }
    }
    for name in &answer.taken_as_known {
        row("known", name, "taken_as_known", "", Some("1".to_owned()))?;
    }
    out.into_inner().map_err(|e| e.into_error().into())
}
