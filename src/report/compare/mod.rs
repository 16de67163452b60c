//! `compare`: one car and what decides on it; several, side by side and under a shop's standard.

mod csv;
mod decides;
mod flips;
mod reach;
mod side_by_side;
mod standard;

use super::layouts::table;
use super::{Report, Sheet, View, grid};
use crate::harmless;
use crate::report::figures::{name, shortened};
use crate::study::compare::{Compared, Fleet, OneCar};

/// What a car is called among others, each with its title and file: what its title begins with, up to a comma; if
/// another's begins so too its title, and if that is another's too its file.
fn called<'c>(car: [&'c str; 2], among: impl Iterator<Item = [&'c str; 2]> + Clone) -> String {
    let short = |title: &'c str| title.split(',').next().unwrap_or_default().trim();
    let [title, file] = car;
    let once = |of: &dyn Fn(&'c str) -> &'c str| {
        let own = of(title);
        !own.is_empty() && among.clone().filter(|[title, _]| of(title) == own).count() == 1
    };
    match (once(&short), once(&|title| title)) {
        (true, _) => name(short(title)),
        (_, true) => name(title),
        _ => name(file),
    }
}

impl Report for OneCar {
    fn blocks(&self, view: View) -> Vec<String> {
        let Self(answer) = self;
        let mut blocks = partial(answer);
        blocks.extend(answer.layouts.layouts.first().map(|car| {
            let title = shortened(&harmless(&car.title), usize::from(view.width));
            grid::heading(&title) + &grid::with_set(&car.set, view.width)
        }));
        if let Some(decides) = &answer.decides {
            let flips = answer.flips.as_ref().and_then(|all| all.first());
            blocks.push(decides::verdict(decides, flips, view));
        }
        if let Some(standard) = &answer.standard {
            blocks.extend(standard::blocks(standard, view));
        }
        blocks.extend(answer.decides.as_ref().map(|d| decides::table(d, view)));
        if view.details {
            for flips in answer.flips.iter().flatten() {
                blocks.push(flips::table(flips, view));
            }
            blocks.extend(answer.reach.as_ref().map(|r| reach::table(r, view)));
        }
        blocks
    }

    fn warnings(&self, view: View) -> String {
        table::warnings(&self.0.layouts, view)
    }

    fn csv(&self) -> Option<Sheet> {
        Some(csv::render(&self.0))
    }

    fn partial(&self) -> bool {
        self.0.layouts.partial
    }

    fn stopped(&self) -> bool {
        self.0.stopped()
    }
}

impl Report for Fleet {
    fn blocks(&self, view: View) -> Vec<String> {
        let Self(answer) = self;
        let mut blocks = partial(answer);
        if let Some(standard) = &answer.standard {
            blocks.extend(standard::blocks(standard, view));
        } else {
            blocks.extend(side_by_side::blocks(&answer.layouts, view));
        }
        for flips in answer.flips.iter().flatten() {
            blocks.push(flips::said(flips, true, view));
            if view.details {
                blocks.push(flips::table(flips, view));
            }
        }
        if view.details {
            blocks.extend(table::blocks(&answer.layouts, view));
        }
        blocks
    }

    fn warnings(&self, view: View) -> String {
        table::warnings(&self.0.layouts, view)
    }

    fn csv(&self) -> Option<Sheet> {
        match self.0.standard {
            Some(_) => Some(csv::render(&self.0)),
            None => self.0.layouts.csv(),
        }
    }

    fn partial(&self) -> bool {
        self.0.layouts.partial
    }

    fn stopped(&self) -> bool {
        self.0.stopped()
    }
}

fn partial(answer: &Compared) -> Vec<String> {
    let text = "PARTIAL: interrupted; what was not finished is left out.";
    answer.layouts.partial.then(|| format!("{}\n", grid::alarm(text))).into_iter().collect()
}
