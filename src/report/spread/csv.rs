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
use crate::report::sheet::{Cell, Rows};
use crate::study::chance::unknowns::Whose;
use crate::study::spread::Spread;

const COLUMNS: [&str; 5] = ["about", "name", "quantity", "unit", "value"];

pub(super) fn render(answer: &Spread) -> Sheet {
    let mut out = Rows::new(COLUMNS)?;
    let mut row = |about: &str, name: &str, quantity: &str, unit: &str, value: Cell| {
        out.add([about.into(), name.into(), quantity.into(), unit.into(), value])
    };
    let mut total =
        |quantity: &str, unit: &str, value: Cell| row("total", "", quantity, unit, value);
    total("draws", "", answer.draws.into())?;
    total("seed", "", answer.seed.into())?;
    if answer.partial {
        total("partial", "", Cell::Count(1))?;
    }
    if let Some(wanted) = answer.draws_wanted {
        total("draws_wanted", "", wanted.into())?;
    }
    total("load_ml_p95", "mL", answer.load_ml_p95.into())?;
    total("have_ml_p95", "mL", answer.have_ml_p95.into())?;
    total("bottle_ml", "mL", answer.bottle_ml.into())?;
    total("bottles_p95", "", answer.bottles_p95.map_or(Cell::EMPTY, Cell::from))?;
    total("runs_dry_share", "", answer.runs_dry_share.into())?;
    total("bottles_short_share", "", answer.bottles_short_share.into())?;
    total("pumped_up_again_share", "", answer.pumped_up_again_share.into())?;
    total(&format!("matters_for_{}", answer.matters_for), "", Cell::Count(1))?;
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
            total(quantity, unit, value.into())?;
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
            row("bleeder", &b.bleeder, quantity, unit, value.into())?;
        }
    }
    for m in &answer.matters {
        let mut own =
            |quantity: &str, value: f64| row("unknown", &m.quantity, quantity, "", value.into());
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
        row("known", name, "taken_as_known", "", Cell::Count(1))?;
    }
    out.finish()
}
