//! What `compare` finds as CSV: one long table, a row a figure.
//!
//! | column | holds |
//! | --- | --- |
//! | `about` | `lever`, `order`, `car`, `rule`, `flip` or `reach` |
//! | `name` | the lever; the file of the car; the rule; the part |
//! | `at` | end of the lever; why the car needs an exception; where the order turns; bleeders of the opening |
//! | `quantity` | what it is, by its name in the JSON |
//! | `unit` | unit of `value`; empty for shares and counts |
//! | `value` | the figure; empty if there is none |

use crate::report::Sheet;
use crate::report::sheet::{Cell, Rows, TOTALS};
use crate::study::compare::Compared;
use crate::study::decides::Decides;
use crate::study::flips::Flips;
use crate::study::reach::Reach;
use crate::study::standard::{Exception, Standard};

const COLUMNS: [&str; 6] = ["about", "name", "at", "quantity", "unit", "value"];

struct Table(Rows);

impl Table {
    fn row(
        &mut self,
        (about, name, at): (&str, &str, &str),
        (quantity, unit): (&str, &str),
        value: impl Into<Cell>,
    ) -> Result<(), csv::Error> {
        let words = [about, name, at, quantity, unit].map(Cell::from);
        self.0.add(words.into_iter().chain([value.into()]))
    }
}

pub(super) fn render(answer: &Compared) -> Sheet {
    let mut out = Table(Rows::new(COLUMNS)?);
    if let Some(decides) = &answer.decides {
        levers(&mut out, decides)?;
    }
    if let Some(standard) = &answer.standard {
        fleet(&mut out, standard)?;
    }
    for flips in answer.flips.iter().flatten() {
        turns(&mut out, flips)?;
    }
    if let Some(reach) = &answer.reach {
        moved(&mut out, reach)?;
    }
    if answer.layouts.partial {
        out.row(("total", "", ""), ("partial", ""), 1_usize)?;
    }
    out.0.finish()
}

fn levers(out: &mut Table, decides: &Decides) -> Result<(), csv::Error> {
    for l in &decides.levers {
        let ends = [
            ("least", &l.least),
            ("most", &l.most),
            ("cleanest", &l.cleanest),
            ("dirtiest", &l.dirtiest),
        ];
        for (which, end) in ends {
            let of = ("lever", l.what, end.at.as_str());
            out.row(of, (&format!("{which}_fluid_ml"), "mL"), end.fluid_ml)?;
            out.row(of, (&format!("{which}_old_left_ml"), "mL"), end.old_left_ml)?;
            out.row(of, (&format!("{which}_bay_seconds"), "s"), end.bay_seconds)?;
        }
        out.row(("lever", l.what, ""), ("fluid_ml", "mL"), l.fluid_ml)?;
        out.row(("lever", l.what, ""), ("old_left_ml", "mL"), l.old_left_ml)?;
    }
    if let Some(order) = &decides.order {
        let (best, worst) = (order.best.join(", "), order.worst.join(", "));
        out.row(("order", "best", &best), ("best_saves_ml", "mL"), order.best_saves_ml)?;
        out.row(("order", "worst", &worst), ("worst_costs_ml", "mL"), order.worst_costs_ml)?;
        out.row(("order", "best", &best), ("better_share", ""), order.better_share)?;
        out.row(("order", "best", &best), ("saves_ml_p10", "mL"), order.saves_ml_p10)?;
        out.row(("order", "best", &best), ("saves_ml_p90", "mL"), order.saves_ml_p90)?;
    }
    Ok(())
}

fn fleet(out: &mut Table, standard: &Standard) -> Result<(), csv::Error> {
    for c in &standard.cars {
        let of = ("car", c.file.as_str(), c.exception.map_or("", word));
        for (quantity, unit, value) in [
            ("fluid_ml", "mL", c.fluid_ml),
            (TOTALS[4].0, TOTALS[4].1, c.bay_seconds),
            ("old_left_ml", "mL", c.old_left_ml),
            ("own_old_left_ml", "mL", c.own_old_left_ml),
            ("best_fluid_ml", "mL", c.best_fluid_ml),
            ("regret_ml", "mL", c.regret_ml),
            ("regret_share", "", c.regret_share),
        ] {
            out.row(of, (quantity, unit), value)?;
        }
    }
    for j in &standard.rules {
        let rule = j.rule.to_string();
        let of = ("rule", rule.as_str(), "");
        out.row(of, ("failing", ""), j.failing.len())?;
        out.row(of, ("worst_regret_ml", "mL"), j.worst_regret_ml)?;
        out.row(of, ("regret_ml", "mL"), j.regret_ml)?;
        out.row(of, ("fluid_ml", "mL"), j.fluid_ml)?;
    }
    Ok(())
}

/// As the JSON has it.
fn word(exception: Exception) -> &'static str {
    match exception {
        Exception::Stopped => "stopped",
        Exception::RunsShort => "runs_short",
        Exception::Dirtier => "dirtier",
        _ => "takes_more",
    }
}

fn turns(out: &mut Table, flips: &Flips) -> Result<(), csv::Error> {
    let own = ("flip", "as it is", "");
    out.row(own, ("worth_ml", "mL"), flips.own.ml)?;
    out.row(own, ("worth_share", ""), flips.own.share)?;
    for f in &flips.flips {
        let of = ("flip", f.what, f.at.as_deref().unwrap_or_default());
        out.row(of, ("share_of_range", ""), f.share_of_range)?;
        out.row(of, ("worth_ml", "mL"), f.worth.ml)?;
        out.row(of, ("worth_share", ""), f.worth.share)?;
    }
    Ok(())
}

fn moved(out: &mut Table, reach: &Reach) -> Result<(), csv::Error> {
    for p in &reach.parts {
        out.row(("reach", &p.part, ""), ("old_ml", "mL"), p.old_ml)?;
        for (opened, moved) in reach.openings.iter().zip(&p.moved) {
            let at = opened.bleeders.join(", ");
            out.row(("reach", &p.part, &at), ("moved", ""), *moved)?;
        }
        out.row(("reach", &p.part, ""), ("left", ""), p.left)?;
    }
    Ok(())
}
