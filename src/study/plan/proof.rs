//! How it is known that a plan is best, told from what was done.

use super::Unit;
use super::bounds::Bounds;
use super::car::{Candidate, Car, Least};
use super::orders::MOST_PERMUTED;
use crate::job::error::JobError;
use crate::study::chance::unknowns::Spreads;

/// What was done.
#[derive(Debug, Clone)]
pub(super) struct Evidence {
    grid_ml: f64,
    groups: usize,
    units: usize,
    /// From how many of them it was gone down.
    starts: usize,
    syringe: bool,
    least: Least,
    cleaner: bool,
    routine: bool,
    /// The least that any plan takes, mL or s beside the set-up.
    bound: f64,
    searched: usize,
    given_up: bool,
    openings: u64,
    second: Option<(usize, bool)>,
    drawn: Option<(f64, usize, usize, Spreads)>,
}

impl Evidence {
    pub fn new(
        car: &Car,
        bounds: &Bounds,
        (units, starts): (&[Unit], usize),
        cleaner: bool,
    ) -> Result<Self, JobError> {
        let all: Vec<usize> = (0..car.groups.len()).collect();
        let mut less = f64::INFINITY;
        for syringed in [false, true] {
            less = less.min(car.removed_ml(syringed) - car.saved_by_reservoir_ml(syringed)?);
        }
        Ok(Self {
            grid_ml: car.grid_ml,
            groups: all.len(),
            units: units.len(),
            starts,
            syringe: car.syringe.is_some(),
            least: car.least,
            cleaner,
            routine: car.has_between(),
            bound: (bounds.least(&all) + less).max(0.0),
            searched: 0,
            given_up: false,
            openings: 0,
            second: None,
            drawn: None,
        })
    }

    /// Whether a search of every order may be made.
    pub fn may_be_exhaustive(&self) -> bool {
        self.groups <= MOST_PERMUTED && !self.routine
    }

    pub fn searched(&mut self, openings: u64, given_up: bool) {
        self.searched += 1;
        self.openings += openings;
        self.given_up |= given_up;
    }

    pub fn second_pass(&mut self, tried: usize, pays: bool) {
        self.second = Some((tried, pays));
    }

    pub fn drawn(&mut self, share: f64, draws: usize, starts: usize, spreads: Spreads) {
        self.drawn = Some((share, draws, starts, spreads));
    }

    /// For which plans it is proved that none takes less, in a sentence.
    pub fn proved(&self, plan: &Candidate, partial: bool) -> String {
        if !self.complete(partial) || !self.cleaner || self.drawn.is_some() {
            return "The best that was found; that nothing takes less is not proved.".to_owned();
        }
        let single = format!("Proved to {} of plans that open each bleeder once", self.less().0);
        match plan.second_pass(self.groups) {
            false => {
                format!("{single}: none takes less. Second passes were only tried.")
            }
            true => format!(
                "{single}: those take more. This one with a second pass is the best that was found, not proved to be."
            ),
        }
    }

    /// Whether every plan that opens each bleeder once was looked at or excluded.
    fn complete(&self, partial: bool) -> bool {
        self.searched == self.units && !self.given_up && !partial
    }

    /// How fine the proof is, with its unit, and the unit.
    fn less(&self) -> (String, &'static str) {
        match self.least {
            Least::Fluid => (format!("{} mL", tidy(self.grid_ml)), "mL"),
            Least::Time => ("1 s".to_owned(), "s"),
        }
    }

    /// The text.
    pub fn proof(&self, plan: &Candidate, partial: bool) -> String {
        let orders = if self.syringe { self.units / 2 } else { self.units };
        let syringe = if self.syringe { ", reservoir syringed first or not" } else { "" };
        let (less, unit) = self.less();
        let of = match self.least {
            Least::Fluid => "new fluid, for what is drained and what a syringe takes",
            Least::Time => "time in the bay, syringing included",
        };
        let mut text = format!("Least {of}, on a grid of {} mL. ", tidy(self.grid_ml));
        let complete = self.complete(partial);
        if complete && self.cleaner {
            text += &format!(
                "Exhaustive over {orders} orders{syringe}, each bleeder opened once: of plans that take less by \
                 {less} or more, none meets the targets; each was excluded together with others by running one \
                 that drains at least as much at every bleeder ({} openings run). This rests on parts getting \
                 only cleaner as more is drained, as they do without loops.",
                self.openings
            );
        } else if complete {
            text += &format!(
                "Best found: searched over {orders} orders{syringe} ({} openings run), excluding plans by ones that \
                 drain at least as much at every bleeder; that this excludes rightly is not proven for this vehicle \
                 (loops, or something wetter or dirtier upstream).",
                self.openings
            );
        } else {
            text += &format!(
                "Best found from {} starts: {orders} orders{syringe}{}; not proven.",
                self.starts,
                match self.starts < self.units {
                    true => ", the way that took far more in one order followed in that alone",
                    false => "",
                }
            );
        }
        if self.drawn.is_none() && self.cleaner && !complete && self.least == Least::Fluid {
            text += &format!(
                " No plan that opens each bleeder once takes less than {:.0} {unit}: what the parts that only one \
                 bleeder draws through need even if nothing but new fluid comes in.",
                self.bound
            );
        }
        if let Some((share, draws, starts, spreads)) = self.drawn {
            text += &format!(
                " The targets are to be met in {} % of {draws} draws{}: from the {starts} best of these plans, volumes \
                 were scaled up and then taken away step by step. No single step less at any bleeder, and none of \
                 the exchanges of steps tried, keeps that share; that nothing takes less is not proven.",
                100.0 * share,
                match spreads {
                    Spreads::Stated => "",
                    Spreads::Both => " (of spreads not stated, the program's own)",
                    Spreads::Default => " (spreads are the program's own)",
                }
            );
        }
        match self.second {
            Some((_, true)) if plan.second_pass(self.groups) => {
                text += " A second pass pays; with it the plan is the best found.";
            }
            Some((tried, _)) => {
                text += &format!(
                    " A second pass was tried from {tried} plans, step by step, and does not pay."
                );
            }
            None => {}
        }
        if partial {
            text += " Ended early: what is not said to be complete is not.";
        }
        text
    }
}

/// A volume in mL without the last digits that its way through cubic metres has left.
fn tidy(ml: f64) -> f64 {
    (1e6 * ml).round() / 1e6
}
