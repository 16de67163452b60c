//! What the job comes to, in a few sentences and one row a wheel.

use super::table::{named, naming};
use crate::job::record::{Opening, PartLeft, Record};
use crate::report::View;
use crate::report::figures::{
    self, clean_at, clock, degree, lasting, lowest_place, minutes, ml, name, of_kind, percent,
    rounded, temperature, whole,
};
use crate::report::grid::{self, Grid, Set};
use Set::Figures;

/// Its pieces.
pub(super) fn blocks(record: &Record, view: View) -> Vec<String> {
    vec![says(record, view), wheels(record, view)]
}

fn says(record: &Record, view: View) -> String {
    let (t, left) = (&record.totals, &record.left);
    let verdict = match record.stopped() {
        true => "Not to be done as written: see the warnings below".to_owned(),
        false => format!(
            "Takes {} new fluid and {} in the bay; leaves {} old ({} %)",
            whole(t.new_fluid_ml, view.units),
            minutes(t.bay_seconds),
            whole(left.old_ml, view.units),
            percent(left.old_fraction)
        ),
    };
    let little = if t.flow_seconds < SMALL_PART * t.bay_seconds {
        ", so that a faster supply saves little"
    } else {
        ""
    };
    let runs = format!("Fluid runs for {} of that time{little}.", lasting(t.flow_seconds));
    let said =
        [Some(runs), load(record, view), uses(record), most(record), Some(boils(record, view))];
    let said: String = said.iter().flatten().map(|s| grid::paragraph(s, view.width, 0)).collect();
    grid::verdict(&verdict, view.width) + &said
}

/// Where fluid runs for a smaller part of the time in the bay, running faster hardly shortens it.
const SMALL_PART: f64 = 0.2;

/// Whether what is loaded lasts.
fn load(record: &Record, view: View) -> Option<String> {
    let book = record.totals.fluid.as_ref()?;
    let loaded = whole(book.loaded_ml, view.units);
    Some(match book.least_load_ml {
        _ if record.stopped() && book.left_ml < 1.0 => {
            format!(
                "The {loaded} loaded are not enough: this job takes {}.",
                book.least_load_ml
                    .map_or("more than can be said".to_owned(), |ml| whole(ml, view.units))
            )
        }
        Some(least) => format!(
            "The {loaded} loaded are enough, {} are left over; {} would do{}.",
            whole(book.left_ml, view.units),
            whole(least, view.units),
            match least - (book.loaded_ml - book.left_ml) {
                heel if heel >= 0.5 => {
                    format!(", {} of it out of the dip tube's reach", whole(heel, view.units))
                }
                _ => String::new(),
            }
        ),
        None => format!("No load is enough: {loaded} are loaded."),
    })
}

/// Which opening takes most and which least.
fn uses(record: &Record) -> Option<String> {
    let by = |a: &&Opening, b: &&Opening| a.drained_ml.total_cmp(&b.drained_ml);
    let most = record.openings.iter().max_by(by)?;
    let least = record.openings.iter().min_by(by)?;
    (most.drained_ml > least.drained_ml).then(|| {
        let of = |o: &Opening| (name(&o.bleeder), rounded(o.drained_ml, 0));
        let ((most, much), (least, little)) = (of(most), of(least));
        format!("{most} takes most, {much} mL; {least} least, {little} mL.")
    })
}

/// Where the fluid is oldest, and where most of the old fluid is.
fn most(record: &Record) -> Option<String> {
    let old = |p: &PartLeft| p.old_fraction * p.volume_ml;
    let part = record.left.holding().max_by(|a, b| old(a).total_cmp(&old(b)))?;
    let oldest = record.left.oldest().unwrap_or(part);
    let share = percent(oldest.old_fraction);
    let most = format!("{} mL", ml(old(part)));
    Some(match oldest.part == part.part {
        true => format!("Most old fluid stays in {}: {most}, {share} % old.", of_kind(part)),
        false => format!(
            "Oldest is {}, {share} % old; most old fluid stays in {}, {most}.",
            of_kind(oldest),
            of_kind(part)
        ),
    })
}

fn boils(record: &Record, view: View) -> String {
    let left = &record.left;
    let at = |c: f64| format!("{} {}", temperature(c, view.units), degree(view.units));
    let trapped = left.trapped.as_ref().map_or(String::new(), |t| {
        format!(
            " No bleeder reaches {} mL, {} % of it old, boiling from {} in {}.",
            ml(t.volume_ml),
            percent(t.old_fraction),
            at(t.lowest_boiling_c),
            name(&t.lowest_boiling_part)
        )
    });
    let kind = left.parts.iter().find(|p| p.part == left.lowest_boiling_part);
    let place = match (kind, left.lowest_in_pocket()) {
        (Some(part), false) => of_kind(part),
        _ => lowest_place(left),
    };
    format!("Boils first in {place}, from {}.{trapped}", at(left.lowest_boiling_c))
}

/// One row an opening.
fn wheels(record: &Record, view: View) -> String {
    let boiling = format!("boils\nfrom, {}", degree(view.units));
    let mut columns = naming(record);
    columns.extend([
        ("drained\nmL", Figures),
        ("share\n%", Figures),
        ("clean\nfrom, mL", Figures),
        ("time\nmin:s", Figures),
        ("at the wheel:\nold fluid, %", Figures),
        (boiling.as_str(), Figures),
        ("on its path:\nold fluid, %", Figures),
    ]);
    let mut grid = Grid::new(view.width, &columns);
    let drained = record.totals.drained_ml;
    for o in &record.openings {
        let wheel = wheel(record, o);
        let share = if drained > 0.0 { o.drained_ml / drained } else { 0.0 };
        let mut row = named(o, record);
        row.extend([
            rounded(o.drained_ml, 0),
            percent(share),
            clean_at(o.clean_state, o.clean_at_ml),
            clock(o.flow_seconds),
            wheel.map_or("–".to_owned(), |p| percent(p.old_fraction)),
            wheel.map_or("–".to_owned(), |p| temperature(p.lowest_boiling_c, view.units)),
            percent(o.path_old_fraction),
        ]);
        grid.row(row);
    }
    let how = "At the wheel: at the end of the job; on its path: as it was closed.";
    grid.text() + &grid::paragraph(&format!("{how}{}", uneven(record)), view.width, 0)
}

/// Says so where a bleeder looked clean and its path was not.
fn uneven(record: &Record) -> String {
    let looked = |o: &&Opening| o.seen_old_fraction <= o.threshold;
    let worst = record.openings.iter().filter(looked);
    let worst = worst.max_by(|a, b| a.path_old_fraction.total_cmp(&b.path_old_fraction));
    worst.filter(|o| o.path_old_fraction > o.threshold).map_or(String::new(), |o| {
        format!(
            " {} looked clean with {} % of its path still old.",
            figures::name(&o.bleeder),
            percent(o.path_old_fraction)
        )
    })
}

/// What an opening's bleeder sits on, at the end.
fn wheel<'a>(record: &'a Record, opening: &Opening) -> Option<&'a PartLeft> {
    record.left.parts.iter().find(|p| p.part == opening.part)
}
