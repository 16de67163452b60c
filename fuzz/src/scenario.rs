//! Random scenarios that are meant to be read.

use crate::draw::{Draw, block};
use crate::kinds::written;
use crate::parts::Parts;
use crate::steps::{self, Marks};
use farwheel::fluid::grade::{Family, grades};
use farwheel::keys::table::keys_in;
use farwheel::keys::{bounds, keys_of};
use farwheel::scenario::tables;
use farwheel::supply::Kind;
use libfuzzer_sys::arbitrary::{Arbitrary, Result, Unstructured};
use std::fmt::{self, Write as _};

const ML: f64 = 1e-6;

/// A scenario with all that may be in one.
pub struct Job {
    pub text: String,
}

/// A scenario of two or three bleeders, each opened once, its figures not far from usual.
pub struct SmallJob {
    pub text: String,
}

impl<'b> Arbitrary<'b> for Job {
    fn arbitrary(bytes: &mut Unstructured<'b>) -> Result<Self> {
        let mut d = Draw::new(bytes, true);
        // Half of them are cars as they may stand in a workshop.
        d.wild = d.once_in(2)?;
        Ok(Self { text: text(&mut d, 24, 8, false)? })
    }
}

impl<'b> Arbitrary<'b> for SmallJob {
    fn arbitrary(bytes: &mut Unstructured<'b>) -> Result<Self> {
        Ok(Self { text: text(&mut Draw::new(bytes, false), 12, 2, true)? })
    }
}

impl fmt::Debug for Job {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl fmt::Debug for SmallJob {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

fn text(d: &mut Draw<'_, '_>, parts: usize, bleeders: usize, each_once: bool) -> Result<String> {
    let mut out = String::from("title = \"random\"\n[vehicle]\n");
    let refused = ["accumulator", "by_wire", "note"];
    out.push_str(&block(&d.table(&(tables::VEHICLE.keys)(), &refused)?));
    fluids(d, &mut out)?;
    let chambers: Vec<String> = (0..1 + d.below(3)?).map(|i| format!("chamber {i}")).collect();
    let (marks, clutch) = reservoir(d, &mut out, &chambers)?;
    out.push_str("[master_cylinder]\n");
    let mut lines = d.table(&(tables::MASTER_CYLINDER.keys)(), &["chambers", "volume"])?;
    if lines.iter().any(|(key, _)| *key == "centre_valve") {
        lines.retain(|(key, _)| !tables::REPLACED_BY_CENTRE_VALVE.contains(key));
    }
    lines.push(("chambers", format!("{chambers:?}")));
    lines.push(("volume", d.quantity(&bounds::CHAMBER, 10.0 * ML)?));
    out.push_str(&block(&lines));
    out.push_str("[clear_hose]\n");
    let mut lines = d.table(&(tables::CLEAR_HOSE.keys)(), &[])?;
    // Nobody watches more than there is.
    if lines.iter().any(|(key, _)| *key == "watched") {
        lines.retain(|(key, _)| *key != "length");
    }
    out.push_str(&block(&lines));
    let parts = Parts::grow(d, &chambers, clutch, parts, bleeders)?;
    let _ = write!(out, "[parts]\n{}", parts.text);
    supply(d, &mut out, marks)?;
    out.push_str("[procedure]\n");
    out.push_str(&block(&d.table(&keys_of::<tables::Tasks>(), &["supply", "passes"])?));
    out.push_str(&match each_once {
        true => steps::each_once(d, &parts)?,
        false => steps::procedure(d, &parts, marks)?,
    });
    Ok(out)
}

/// Two fluids of one family; their own figures, where they have some, in an order that fluids can have.
fn fluids(d: &mut Draw<'_, '_>, out: &mut String) -> Result<()> {
    let family = *d.one(&[Family::Glycol, Family::Glycol, Family::Silicone, Family::Mineral])?;
    let grades: Vec<_> = grades().iter().filter(|g| g.family == family).collect();
    for table in [&tables::OLD_FLUID, &tables::NEW_FLUID] {
        let own = [
            "grade",
            "dry_boiling_point",
            "wet_boiling_point",
            "viscosity_minus_40",
            "viscosity_100",
            "density",
        ];
        let mut lines = d.table(&(table.keys)(), &own)?;
        lines.push(("grade", format!("{:?}", d.one(&grades)?.name)));
        if d.once_in(4)? {
            let hot = d.si(&bounds::VISCOSITY_HOT, 2e-6)?;
            let cold = d.si(&bounds::VISCOSITY_COLD, 1e-3)?;
            lines.push(("viscosity_100", written(&bounds::VISCOSITY_HOT, hot)));
            lines.push(("viscosity_minus_40", written(&bounds::VISCOSITY_COLD, cold)));
        }
        if d.once_in(4)? {
            let wet =
                d.between(bounds::BOILING_POINT.min + 30.0, bounds::BOILING_POINT.max - 60.0)?;
            let dry = wet + d.between(20.0, 60.0)?;
            lines.push(("wet_boiling_point", written(&bounds::BOILING_POINT, wet)));
            lines.push(("dry_boiling_point", written(&bounds::BOILING_POINT, dry)));
        }
        if d.once_in(4)? {
            lines.push(("density", d.quantity(&bounds::DENSITY, 1050.0)?));
        }
        let _ = write!(out, "[{}]\n{}", table.name, block(&lines));
    }
    Ok(())
}

/// Its marks, and the outlet of a clutch if it has one.
fn reservoir(
    d: &mut Draw<'_, '_>,
    out: &mut String,
    chambers: &[String],
) -> Result<(Marks, Option<&'static str>)> {
    let own = ["outlets", "compartment", "level", "min", "max", "brim"];
    let mut lines = d.table(&(tables::RESERVOIR.keys)(), &own)?;
    let least = bounds::RESERVOIR.min;
    let brim = d.si(&bounds::RESERVOIR, 250.0 * ML)?.max(3.0 * least);
    let max = (brim * d.between(0.5, 1.0)?).max(2.0 * least);
    let min = (max * d.between(0.1, 0.95)?).max(least);
    let level = match d.below(4)? {
        0 | 1 => d.between(min, max)?,
        2 => (brim * d.between(0.02, 1.0)?).max(least),
        _ => brim,
    };
    let single = d.once_in(3)?;
    let clutch = !single && d.once_in(4)?;
    let mut outlets = if single { vec!["all".to_owned()] } else { chambers.to_vec() };
    if clutch {
        outlets.push("clutch outlet".to_owned());
    }
    let several = outlets.len() > 1;
    if single || clutch {
        lines.push(("outlets", format!("{outlets:?}")));
    }
    if several || d.once_in(3)? {
        let each = max / outlets.len() as f64 * d.between(0.1, 0.999)?;
        let each = each.clamp(bounds::COMPARTMENT.min, bounds::COMPARTMENT.max);
        lines.push(("compartment", written(&bounds::COMPARTMENT, each)));
    }
    for (key, m3) in [("level", level), ("min", min), ("max", max), ("brim", brim)] {
        lines.push((key, written(&bounds::RESERVOIR, m3)));
    }
    let _ = write!(out, "[reservoir]\n{}", block(&lines));
    Ok((Marks { min, max, brim }, (clutch && several).then_some("clutch outlet")))
}

fn supply(d: &mut Draw<'_, '_>, out: &mut String, marks: Marks) -> Result<()> {
    let kind = d.one(Kind::all())?;
    let keys = keys_in(&mut *kind.clone());
    // Figures that have to agree with one another.
    let own: &[&str] = match kind {
        Kind::PressureBleeder(_) => &["loaded", "gauge", "re_pump_below", "shell", "heel"],
        Kind::Pedal(_) => &["stroke", "stroke_used", "port_closing"],
        _ => &[],
    };
    let mut lines = d.table(&keys, &[own, &["refill_below", "refill_to"]].concat())?;
    match kind {
        Kind::PressureBleeder(_) => {
            let shell = d.si(&bounds::VESSEL, 4.5e-3)?;
            let loaded = (shell * d.between(0.1, 0.9)?).clamp(ML, bounds::LOADED.max);
            let gauge = d.si(&bounds::GAUGE, 1e5)?;
            lines.push(("shell", written(&bounds::VESSEL, shell)));
            lines.push(("loaded", written(&bounds::LOADED, loaded)));
            lines.push(("gauge", written(&bounds::GAUGE, gauge)));
            let heel = loaded * d.between(0.0, 0.3)?;
            lines
                .push(("heel", written(&bounds::SMALL_VOLUME, heel.min(bounds::SMALL_VOLUME.max))));
            if d.once_in(2)? {
                let mark = gauge * d.between(0.3, 0.999)?;
                lines.push(("re_pump_below", written(&bounds::GAUGE, mark.max(1e3))));
            }
        }
        Kind::Pedal(_) => {
            if d.once_in(3)? {
                lines.push(("stroke_used", d.quantity(&bounds::STROKE_USED, 0.5)?));
                lines.push(("port_closing", d.quantity(&bounds::SMALL_VOLUME, 0.2 * ML)?));
            }
        }
        _ => {}
    }
    if keys.iter().any(|k| k.name == "refill_to") && d.once_in(3)? {
        let low = (marks.max * d.between(0.02, 0.95)?).max(bounds::RESERVOIR.min);
        let high = low + (marks.brim - low) * d.between(0.05, 0.999)?;
        lines.push(("refill_below", written(&bounds::RESERVOIR, low)));
        lines.push(("refill_to", written(&bounds::RESERVOIR, high)));
    }
    let _ = write!(out, "[supplies.it]\nkind = {:?}\n{}", kind.word(), block(&lines));
    Ok(())
}
