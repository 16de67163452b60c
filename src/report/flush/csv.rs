//! CSV: everything about a job, curves included, as one long table of single observations.
//!
//! | column | holds |
//! | --- | --- |
//! | `about` | `opening` (one value an opening), `origin` (mL from one origin), `curve` (along an opening), `supply` (supply and reservoir over time), `part` (what stays behind in it), `total`; only if asked for, last, `held` (what a part held over time) |
//! | `name` | bleeder, supply, part; empty for `total` |
//! | `step`, `pass` | of the opening; empty otherwise |
//! | `at_s` | time of the observation, s from the start of the job (an opening's own values: when it was closed); empty if it has none |
//! | `drained_ml` | drained so far in the opening; empty otherwise |
//! | `quantity` | what was observed, by its name in the JSON where it has one; for `origin` the origin |
//! | `unit` | unit of `value`; empty for shares and counts |
//! | `value` | the figure; empty if there is none |

use crate::job::over_time::HeldAt;
use crate::job::record::{Opening, Record};
use crate::report::Sheet;
use crate::report::sheet::{Cell, LEFT, Rows, TOTALS};

const COLUMNS: [&str; 9] =
    ["about", "name", "step", "pass", "at_s", "drained_ml", "quantity", "unit", "value"];

/// One row without its last three columns.
#[derive(Clone, Copy)]
struct Subject<'a> {
    about: &'static str,
    name: &'a str,
    opening: Option<&'a Opening>,
    at_s: Option<f64>,
    drained_ml: Option<f64>,
}

/// What is observed: quantity, unit, value.
type Observed = (&'static str, &'static str, Option<f64>);

pub(super) fn render(record: &Record) -> Sheet {
    let mut out = Rows::new(COLUMNS)?;
    for opening in &record.openings {
        of_opening(&mut out, opening)?;
    }
    for p in &record.supply_curve {
        let place = Subject {
            about: "supply",
            name: &record.supply,
            opening: None,
            at_s: Some(p.at_s),
            drained_ml: None,
        };
        rows(
            &mut out,
            place,
            &[
                ("gauge_kpa", "kPa", Some(p.gauge_kpa)),
                ("supply_ml", "mL", p.supply_ml),
                ("reservoir_ml", "mL", Some(p.reservoir_ml)),
                ("reservoir_old_fraction", "", Some(p.reservoir_old_fraction)),
            ],
        )?;
    }
    of_parts_and_totals(&mut out, record)?;
    over_time(&mut out, record)?;
    out.finish()
}

fn of_opening(out: &mut Rows, o: &Opening) -> Result<(), csv::Error> {
    let at_close = Subject {
        about: "opening",
        name: &o.bleeder,
        opening: Some(o),
        at_s: Some(o.closed_s),
        drained_ml: Some(o.drained_ml),
    };
    rows(
        out,
        at_close,
        &[
            ("opened_s", "s", Some(o.opened_s)),
            ("closed_s", "s", Some(o.closed_s)),
            ("drained_ml", "mL", Some(o.drained_ml)),
            ("clean_at_ml", "mL", o.clean_at_ml),
            ("threshold", "", Some(o.threshold)),
            ("seen_old_fraction", "", Some(o.seen_old_fraction)),
            ("path_old_fraction", "", Some(o.path_old_fraction)),
            ("mean_flow_ml_per_s", "mL/s", Some(o.mean_flow_ml_per_s)),
            ("reynolds", "", Some(o.reynolds)),
            ("gauge_start_kpa", "kPa", Some(o.gauge_start_kpa)),
            ("gauge_end_kpa", "kPa", Some(o.gauge_end_kpa)),
            ("hold_ml", "mL", o.hold_ml),
        ],
    )?;
    let origins: Vec<Observed> =
        o.origins_ml.iter().map(|(origin, ml)| (*origin, "mL", Some(*ml))).collect();
    rows(out, Subject { about: "origin", ..at_close }, &origins)?;
    for p in &o.curve {
        let place = Subject {
            about: "curve",
            at_s: Some(p.at_s),
            drained_ml: Some(p.drained_ml),
            ..at_close
        };
        rows(
            out,
            place,
            &[
                ("seen_old_fraction", "", Some(p.seen_old_fraction)),
                ("leaving_old_fraction", "", Some(p.leaving_old_fraction)),
                ("path_old_fraction", "", Some(p.path_old_fraction)),
                ("flow_ml_per_s", "mL/s", Some(p.flow_ml_per_s)),
            ],
        )?;
    }
    Ok(())
}

fn of_parts_and_totals(out: &mut Rows, record: &Record) -> Result<(), csv::Error> {
    let nowhere = Subject { about: "total", name: "", opening: None, at_s: None, drained_ml: None };
    for p in record.left.holding() {
        rows(
            out,
            Subject { about: "part", name: &p.part, ..nowhere },
            &[
                ("volume_ml", "mL", Some(p.volume_ml)),
                ("old_fraction", "", Some(p.old_fraction)),
                ("water_percent", "mass %", Some(p.water_percent)),
                ("boiling_c", "°C", Some(p.boiling_c)),
                ("lowest_boiling_c", "°C", Some(p.lowest_boiling_c)),
                ("pocket_boiling_c", "°C", p.pocket_boiling_c),
            ],
        )?;
    }
    let t = &record.totals;
    rows(out, nowhere, &TOTALS.map(|(name, unit, of)| (name, unit, Some(of(t)))))?;
    if let Some(book) = &t.fluid {
        rows(
            out,
            nowhere,
            &[
                ("loaded_ml", "mL", Some(book.loaded_ml)),
                ("bled_ml", "mL", Some(book.bled_ml)),
                ("reservoir_ml", "mL", Some(book.reservoir_ml)),
                ("feed_hose_ml", "mL", Some(book.feed_hose_ml)),
                ("left_ml", "mL", Some(book.left_ml)),
            ],
        )?;
    }
    let left = &record.left;
    rows(out, nowhere, &LEFT.map(|(name, unit, of)| (name, unit, Some(of(left)))))?;
    let Some(trapped) = &left.trapped else { return Ok(()) };
    rows(
        out,
        nowhere,
        &[
            ("trapped_ml", "mL", Some(trapped.volume_ml)),
            ("trapped_old_fraction", "", Some(trapped.old_fraction)),
            ("trapped_water_percent", "mass %", Some(trapped.water_percent)),
            ("trapped_lowest_boiling_c", "°C", Some(trapped.lowest_boiling_c)),
        ],
    )
}

fn over_time(out: &mut Rows, record: &Record) -> Result<(), csv::Error> {
    for part in record.parts_over_time.iter().flatten() {
        for HeldAt { at_s, held } in &part.held {
            let place = Subject {
                about: "held",
                name: &part.part,
                opening: None,
                at_s: Some(*at_s),
                drained_ml: None,
            };
            let (volume, old) = (Some(held.volume_ml), Some(held.old_ml));
            rows(out, place, &[("volume_ml", "mL", volume), ("old_ml", "mL", old)])?;
        }
    }
    Ok(())
}

fn rows(out: &mut Rows, place: Subject<'_>, observed: &[Observed]) -> Result<(), csv::Error> {
    for (quantity, unit, value) in observed {
        out.add([
            place.about.into(),
            place.name.into(),
            place.opening.map_or(Cell::EMPTY, |o| o.step.into()),
            place.opening.map_or(Cell::EMPTY, |o| o.pass.into()),
            place.at_s.into(),
            place.drained_ml.into(),
            (*quantity).into(),
            (*unit).into(),
            (*value).into(),
        ])?;
    }
    Ok(())
}
