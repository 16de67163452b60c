//! `compare`: what decides on one car; several side by side, and under a shop's standard.

use super::layouts::{Begun, Layouts};
use super::options::quantity;
use super::outcome::{Done, Failure};
use super::progress::watched;
use crate::keys::bounds;
use crate::study::compare::{Compared, Fleet, OneCar};
use crate::study::decides::{self, USUAL_DRAWS};
use crate::study::progress::Onlooker;
use crate::study::standard::{self, Rule};
use crate::study::{StudyError, flips, reach};
use clap::Args;
use serde_json::json;

/// What decides on one car; several set side by side, and under a shop's standard
#[derive(Debug, Args)]
pub(super) struct Compare {
    #[command(flatten)]
    layouts: Layouts,
    /// Hold every car against a shop's standard, for instance "far first, clean, at most 300 mL": `far first`, `near
    /// first` or `as written`; `clean` or `counted`; the most millilitres at one bleeder
    #[arg(long, value_name = "RULE")]
    standard: Option<String>,
    /// Share of the fluid from which a difference counts: of orders, and of a car under the standard
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true, default_value = "5 %")]
    margin: String,
    /// Random draws of one car on which its best order is compared with its own, 0 for none
    #[arg(long, value_name = "N", allow_hyphen_values = true, default_value_t = USUAL_DRAWS)]
    draws: usize,
    /// Find out of several cars, too, when the order of the bleeders matters; of one car that is always told
    #[arg(long)]
    flips: bool,
}

impl Compare {
    /// Reads, runs, shows.
    pub(super) fn carry_out(self) -> Result<Done, Failure> {
        let delivery = self.layouts.delivery();
        let one = self.layouts.scenarios.len() == 1;
        match one {
            true => delivery.look_over::<OneCar>(&self.layouts.scenarios)?,
            false => delivery.look_over::<Fleet>(&self.layouts.scenarios)?,
        }
        let margin = quantity("--margin", &self.margin, &bounds::MARGIN)?;
        let rule = self.standard.as_deref().map(rule).transpose()?;
        let begun = self.layouts.begin()?;
        let asked = json!({
            "verb": "compare", "standard": rule.map(|r| r.to_string()), "margin": margin,
            "draws": self.draws, "flips": self.flips, "seed": begun.options.seed,
        });
        let origin = begun.origin(&asked);
        let answer = self.compared(begun, rule, margin)?;
        match one {
            true => delivery.deliver(&OneCar(answer), &origin),
            false => delivery.deliver(&Fleet(answer), &origin),
        }
    }

    /// What else is asked beside the layouts. What is ended early is left out, and the answer is partial.
    fn compared(&self, begun: Begun, rule: Option<Rule>, margin: f64) -> Result<Compared, Failure> {
        let Begun { scenarios, options, layouts, .. } = begun;
        let mut answer = Compared::of(layouts);
        let mut partial = answer.layouts.partial;
        if let [car] = scenarios.as_slice() {
            let question = decides::Question { draws: self.draws, margin, ..Default::default() };
            let of = |to: &dyn Onlooker| decides::study(car, &question, &options, to);
            answer.decides = self.unless_ended(&mut partial, of)?;
            answer.reach = self.unless_ended(&mut partial, |_| reach::study(car, &options))?;
        }
        if let Some(rule) = rule {
            let question = standard::Question { rule, margin };
            let of = |to: &dyn Onlooker| standard::study(&scenarios, &question, &options, to);
            answer.standard = self.unless_ended(&mut partial, of)?;
        }
        if self.flips || scenarios.len() == 1 {
            let of = |to: &dyn Onlooker| {
                let all = scenarios.iter().map(|s| flips::study(s, margin, &options, to));
                all.collect::<Result<Vec<_>, StudyError>>()
            };
            answer.flips = self.unless_ended(&mut partial, of)?;
        }
        answer.layouts.partial = partial;
        Ok(answer)
    }

    /// Does a study unless one before it was ended early; notes if this one is.
    fn unless_ended<A>(
        &self,
        partial: &mut bool,
        study: impl FnOnce(&dyn Onlooker) -> Result<A, StudyError>,
    ) -> Result<Option<A>, Failure> {
        if *partial {
            return Ok(None);
        }
        match watched(self.layouts.showing.quiet, study) {
            Ok(answer) => Ok(Some(answer)),
            Err(StudyError::Interrupted) => {
                *partial = true;
                Ok(None)
            }
            Err(why) => Err(why.into()),
        }
    }
}

/// The standard that was written.
fn rule(text: &str) -> Result<Rule, Failure> {
    Rule::parse(text).map_err(|wrong| {
        Failure::Unusable(format!("--standard \"{text}\": {}; {}", wrong.what, wrong.remedy))
    })
}
