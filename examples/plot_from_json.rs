//! A picture of one's own from the JSON: for each bleeder how many of its millilitres were new fluid already.
//!
//! ```sh
//! cargo run -- flush scenarios/compact-hatchback.toml --json job.json --quiet
//! cargo run --example plot_from_json -- job.json new-fluid.svg
//! ```
//!
//! It needs nothing of Farwheel but the file: the names of the keys are a promise.

use plotters::prelude::*;
use serde_json::Value;
use std::error::Error;

/// Width of the picture and height of a bar, px.
const WIDTH: u32 = 640;
const ROW: u32 = 44;

/// A bleeder with what was drained there, and what of it was new fluid, mL.
fn openings(job: &Value) -> Option<Vec<(String, f64, f64)>> {
    let read = |o: &Value| {
        let new = o["origins_ml"]["new fluid"].as_f64().unwrap_or(0.0);
        Some((o["bleeder"].as_str()?.to_owned(), o["drained_ml"].as_f64()?, new))
    };
    job["openings"].as_array()?.iter().map(read).collect()
}

fn draw(bars: &[(String, f64, f64)], file: &str) -> Result<(), Box<dyn Error>> {
    let height = ROW * (bars.len() as u32 + 1);
    let area = SVGBackend::new(file, (WIDTH, height)).into_drawing_area();
    area.fill(&WHITE)?;
    let most = bars.iter().map(|b| b.1).fold(1.0, f64::max);
    let right = |ml: f64| 70 + (f64::from(WIDTH - 260) * ml / most) as i32;
    let letters = ("sans-serif", 15).into_font();
    area.draw(&Text::new(
        "New fluid that ran out again, of what was drained",
        (12, 14),
        letters.clone(),
    ))?;
    for (i, (bleeder, drained, new)) in bars.iter().enumerate() {
        let top = (ROW * (i as u32 + 1)) as i32;
        let bar = |to: f64| [(70, top), (right(to), top + 22)];
        area.draw(&Rectangle::new(bar(*drained), RGBColor(230, 159, 0).filled()))?;
        area.draw(&Rectangle::new(bar(*new), RGBColor(0, 114, 178).filled()))?;
        area.draw(&Text::new(bleeder.clone(), (12, top + 3), letters.clone()))?;
        let words = format!("{new:.0} of {drained:.0} mL");
        area.draw(&Text::new(words, (right(*drained) + 10, top + 3), letters.clone()))?;
    }
    area.present()?;
    Ok(())
}

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [from, to] = arguments.as_slice() else {
        return Err("give the JSON of `flush` and the file for the picture".into());
    };
    let job: Value = serde_json::from_str(&std::fs::read_to_string(from)?)?;
    let bars = openings(&job).ok_or("this is not the JSON of `flush`: it has no openings")?;
    draw(&bars, to)?;
    println!("{} bleeders drawn in {to}", bars.len());
    Ok(())
}
