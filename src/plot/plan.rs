//! The trade-off curve: new fluid used against old fluid left.

use super::canvas::{Head, Spot, sheet};
use super::labels;
use super::lettering;
use super::scale::Scale;
use super::style::{
    BLUE, BODY, EDGE, GREY, HAIR, Hold, INK, Letter, PAPER, Pen, VERMILLION, WIDTH,
};
use super::words::{TIE, mark, number, of_scenario, share, volume};
use super::{Pictured, Pictures, PlotError};
use crate::measures::Units;
use crate::study::plan::Plan;

const LEFT: f64 = EDGE + 84.0;
const RIGHT: f64 = WIDTH - EDGE - 6.0;
const HIGH: f64 = 380.0;

impl Pictured for Plan {
    fn pictures() -> Pictures<Self> {
        vec![("trade-off", draw)]
    }
}

/// Draws the picture.
fn draw(answer: &Plan, units: Units) -> Result<String, PlotError> {
    const HEADING: &str = "New fluid used, old fluid left";
    let syringed = if answer.syringed { "syringed first" } else { "not syringed" };
    let head = Head::new(
        HEADING,
        &of_scenario(&answer.record),
        &format!(
            "{}Squares: the least new fluid found for so much old fluid left in the whole system, reservoir {syringed}.",
            if answer.partial { "PARTIAL: interrupted. " } else { "" }
        ),
    );
    let planned = (answer.totals.new_fluid_ml, answer.left.old_fraction);
    let own = (answer.own.new_fluid_ml, answer.own.left_old_fraction);
    let figures = |p: (f64, f64), syringed_ml: f64| {
        format!("{} used, {} left", used(p.0, syringed_ml, units), share(p.1))
    };
    let diamonds = [
        (planned, "plan", format!("plan: {}", figures(planned, answer.totals.removed_ml))),
        (own, "own", format!("own: {}", figures(own, answer.own_removed_ml))),
    ]
    .map(|(place, what, figures)| {
        let room = WIDTH - 2.0 * EDGE - 28.0;
        (place, what, lettering::wrapped(&figures, Letter::BODY, room, 2))
    });
    let lines: usize = diamonds.iter().map(|d| d.2.len()).sum();
    let top = head.bottom() + (1.35 * lines as f64 + 2.2) * BODY;
    let bottom = top + HIGH;
    let all = || {
        let points = answer.curve.iter().map(|p| (p.new_fluid_ml, p.left_old_fraction));
        points.chain([planned, own])
    };
    let asked = answer.targets.old_overall;
    let high = all().map(|p| p.0).fold(0.0, f64::max);
    let most = all().map(|p| p.1).fold(asked.unwrap_or(0.0), f64::max);
    // From nothing on: a saving looks as large as it is.
    let across = Scale::new((0.0, 1.05 * high), (LEFT, RIGHT));
    let up = Scale::new((0.0, 1.08 * most), (bottom, top));
    let at = |p: (f64, f64)| (across.at(p.0), up.at(p.1));
    let curve: Vec<Spot> =
        answer.curve.iter().map(|p| at((p.new_fluid_ml, p.left_old_fraction))).collect();

    sheet(bottom + 3.2 * BODY, HEADING, |canvas| {
        canvas.head(&head)?;
        canvas.text(
            (EDGE, top - 1.2 * BODY),
            "old fluid left, share of the system",
            Letter::NOTE,
        )?;
        for (value, _) in up.marks(6) {
            let y = up.at(value);
            canvas.stroke(&[(LEFT, y), (RIGHT, y)], Pen::solid(HAIR, 1.2))?;
            canvas.text((LEFT - 9.0, y), &mark(value), Letter::NOTE.held(Hold::Right))?;
        }
        for (value, text) in across.marks(6) {
            let x = across.at(value);
            canvas.stroke(&[(x, bottom), (x, bottom + 7.0)], Pen::solid(GREY, 1.5))?;
            canvas.text((x, bottom + 1.1 * BODY), &text, Letter::BODY.held(Hold::Middle))?;
        }
        let below = (0.5 * (LEFT + RIGHT), bottom + 2.5 * BODY);
        canvas.text(below, "new fluid used, mL", Letter::NOTE.held(Hold::Middle))?;
        let mut paths = vec![curve.clone()];
        let mut words = Vec::new();
        if let Some(asked) = asked {
            let line = vec![(LEFT, up.at(asked)), (RIGHT, up.at(asked))];
            canvas.stroke(&line, Pen::dashed(INK, 2.0, 9.0, 6.0))?;
            words.push((paths.len(), format!("asked: {}", share(asked))));
            paths.push(line);
        }
        canvas.stroke(&curve, Pen::solid(BLUE, 3.0))?;
        for p in &curve {
            canvas.square(*p, 6.5, PAPER)?;
            canvas.square(*p, 5.0, BLUE)?;
        }
        // By the diamonds one word; their figures stand above, where they always have room.
        let mut y = head.bottom() + 0.675 * BODY;
        for (p, what, figures) in &diamonds {
            canvas.diamond((EDGE + 10.0, y), 8.0, Pen::solid(VERMILLION, 3.0))?;
            for line in figures {
                canvas.text((EDGE + 28.0, y), line, Letter::BODY)?;
                y += 1.35 * BODY;
            }
            let place = at(*p);
            canvas.diamond(place, 10.0, Pen::solid(VERMILLION, 3.0))?;
            words.push((paths.len(), (*what).to_owned()));
            let half = 12.0;
            paths.push(vec![(place.0 - half, place.1 - half), (place.0 + half, place.1 + half)]);
        }
        let sized: Vec<(usize, f64, f64)> = words
            .iter()
            .map(|(path, text)| (*path, lettering::width(text, Letter::BODY) + 8.0, 1.4 * BODY))
            .collect();
        let hairs: Vec<f64> = up.marks(6).iter().map(|m| up.at(m.0)).collect();
        let places = labels::beside(&paths, &sized, ((LEFT, top), (RIGHT, bottom)), &hairs);
        for ((_, text), place) in words.iter().zip(places) {
            canvas.text(place, text, Letter::BODY.held(Hold::Middle))?;
        }
        Ok(())
    })
}

/// New fluid, and what a syringe takes out meanwhile.
fn used(new_fluid_ml: f64, syringed_ml: f64, units: Units) -> String {
    let used = volume(new_fluid_ml, units);
    if syringed_ml > 0.0 {
        format!("{}{TIE}mL out by syringe, {used}", number(syringed_ml))
    } else {
        used
    }
}
