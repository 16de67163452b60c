//! Random procedures.

use crate::draw::Draw;
use crate::kinds::written;
use crate::parts::Parts;
use farwheel::keys::bounds;
use libfuzzer_sys::arbitrary::Result;
use std::fmt::Write as _;

const ML: f64 = 1e-6;

/// Marks of the reservoir, m³.
#[derive(Debug, Clone, Copy)]
pub struct Marks {
    pub min: f64,
    pub max: f64,
    pub brim: f64,
}

/// A stop rule, in quotes.
pub fn rule(d: &mut Draw<'_, '_>) -> Result<String> {
    let drained = d.si(&bounds::DRAINED, 25.0 * ML)?;
    let plain = |m3: f64| written(&bounds::DRAINED, m3).replace('"', "");
    let bare = |text: String| text.replace('"', "");
    let text = match d.below(6)? {
        0 | 1 => plain(drained),
        2 => bare(d.quantity(&bounds::OPEN_TIME, 20.0)?),
        3 => format!("clean, at most {}", plain(drained)),
        4 => {
            let below = bare(d.quantity(&bounds::THRESHOLD, 0.1)?);
            format!("clean below {below}, at most {}", plain(drained))
        }
        _ => {
            let hold = bare(d.quantity(&bounds::HOLD, 5.0 * ML)?);
            let time = bare(d.quantity(&bounds::OPEN_TIME, 200.0)?);
            format!("clean, hold {hold}, {time}")
        }
    };
    Ok(format!("\"{text}\""))
}

/// `[procedure]` without its first line.
pub fn procedure(d: &mut Draw<'_, '_>, parts: &Parts, marks: Marks) -> Result<String> {
    let mut out = String::from("steps = [\n");
    for _ in 0..d.below(6)? {
        step(d, &mut out, parts, marks)?;
    }
    open(d, &mut out, parts)?;
    out.push_str("]\n");
    if d.once_in(4)? {
        let _ = writeln!(out, "passes = {}", 1 + d.below(3)?);
    }
    Ok(out)
}

/// Every bleeder once, one after the other.
pub fn each_once(d: &mut Draw<'_, '_>, parts: &Parts) -> Result<String> {
    let until = match d.below(3)? {
        0 => "clean, at most 80 mL".to_owned(),
        1 => format!("{} mL", 5 + d.below(30)?),
        _ => format!("clean below 40 %, at most {} mL", 20 + d.below(60)?),
    };
    Ok(format!("open = {:?}\nuntil = {until:?}\n", parts.bleeders))
}

fn open(d: &mut Draw<'_, '_>, out: &mut String, parts: &Parts) -> Result<()> {
    let bleeders = d.some(&parts.bleeders, 4)?;
    let until = rule(d)?;
    let _ = writeln!(out, "  {{ open = {bleeders:?}, until = {until} }},");
    Ok(())
}

fn step(d: &mut Draw<'_, '_>, out: &mut String, parts: &Parts, marks: Marks) -> Result<()> {
    let _ = match d.below(12)? {
        0..=3 => return open(d, out, parts),
        4 => {
            let level = written(&bounds::RESERVOIR_LEFT, d.between(0.0, marks.max)?);
            writeln!(out, "  {{ syringe = {level} }},")
        }
        5 => {
            let level = written(&bounds::RESERVOIR, d.between(marks.min, marks.brim)?);
            writeln!(out, "  {{ top_up = {level} }},")
        }
        6 => {
            let level = match d.below(3)? {
                0 => "\"max\"".to_owned(),
                1 => "\"min\"".to_owned(),
                _ => written(&bounds::RESERVOIR, d.between(marks.min, marks.max)?),
            };
            writeln!(out, "  {{ set_level = {level} }},")
        }
        7 => {
            let time = d.quantity(&bounds::WAIT, 300.0)?;
            let remix = match d.once_in(2)? {
                true => format!(", remix = {}", d.quantity(&bounds::SHARE, 0.3)?),
                false => String::new(),
            };
            writeln!(out, "  {{ wait = {time}{remix} }},")
        }
        8 => writeln!(out, "  {{ load = {} }},", d.quantity(&bounds::LOADED, 200.0 * ML)?),
        9 => writeln!(out, "  {{ re_pump = {} }},", d.quantity(&bounds::GAUGE, 1e5)?),
        10 => {
            let gauge = d.quantity(&bounds::GAUGE, 1e5)?;
            let again = d.once_in(4)?;
            let again = if again { "" } else { &format!("  {{ re_pump = {gauge} }},\n") };
            write!(out, "  {{ relieve = true }},\n{again}")
        }
        _ => return work(d, out, parts),
    };
    Ok(())
}

fn work(d: &mut Draw<'_, '_>, out: &mut String, parts: &Parts) -> Result<()> {
    if parts.modulators.is_empty() {
        return open(d, out, parts);
    }
    let (unit, channels) = d.one(&parts.modulators)?;
    let mut more = String::new();
    if d.once_in(2)? {
        let _ = write!(more, ", channels = {:?}", d.some(channels, 3)?);
    }
    if d.once_in(2)? {
        let _ = write!(more, ", bleeders = {:?}", d.some(&parts.bleeders, 2)?);
    }
    if d.once_in(3)? {
        more.push_str(", pump = false");
    }
    let time = d.quantity(&bounds::WORK, 5.0)?;
    let _ = writeln!(out, "  {{ work_modulator = {unit:?}, time = {time}{more} }},");
    Ok(())
}
