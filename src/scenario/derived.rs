//! What follows from other keys where one is left out: volumes from pistons and bores, marks from the kind of vehicle
//! (water: [`super::derived_water`]). Each rule stands here once, with its spread (± holds nine in ten) and its reason;
//! what is written always goes before it.

use super::mistake::Diagnostics;
use super::section::{Section, Value};
use super::sections::{Named, Placed};
use super::vehicle_kind::{Usual, VehicleKind};
use crate::keys::Quantity;
use crate::keys::bounds::{self, Bound};
use crate::keys::worded::Word;
use crate::measures::{ML, MM};
use crate::parts::pads::Fitted;
use std::f64::consts::PI;

/// Area of a circle, m².
fn area(diameter_m: f64) -> f64 {
    0.25 * PI * diameter_m * diameter_m
}

/// A value with a spread, within its bound.
fn guess(value: f64, share: f64, bound: &Bound) -> Quantity {
    let value = value.clamp(bound.min, bound.max);
    Quantity::within(value, share * value)
}

fn put(section: &mut Section, key: &'static str, q: Quantity) {
    section.values.insert(key, Value::Quantity(q));
    section.written.defaulted.push(key);
}

/// The word under `key`, as what it stands for.
pub(super) fn word<W: Word + Default>(section: &Section, key: &str) -> Option<W> {
    let text = section.text(key)?;
    let mut word = W::default();
    word.choose(word.all().iter().position(|w| *w == text)?);
    Some(word)
}

/// A share of a value and others that come on top of it, each independent of the rest.
fn together(shares: &[f64]) -> f64 {
    shares.iter().map(|s| s * s).sum::<f64>().sqrt()
}

/// What lies behind a caliper's pistons (common practice, no source).
struct Behind {
    /// Gap behind a piston over new pads, m.
    gap_m: f64,
    /// Drillings of one piston and of each further one, m³.
    passages_m3: (f64, f64),
    /// Way of a piston from new to worn pads, disc included, m.
    travel_m: f64,
}

impl Behind {
    fn of(fitted: Fitted) -> Self {
        let car = |travel_mm: f64| Self {
            gap_m: 3.0 * MM,
            passages_m3: (2.2 * ML, 2.0 * ML),
            travel_m: travel_mm * MM,
        };
        match fitted {
            // Pistons on one side come out for both pads, those on both sides for one each.
            Fitted::Front => car(17.0),
            Fitted::Rear => car(15.0),
            // Its mechanism stands in fluid.
            Fitted::RearParkingBrake => Self { passages_m3: (3.2 * ML, 2.0 * ML), ..car(15.0) },
            Fitted::FrontOpposed => car(8.5),
            Fitted::RearOpposed => car(7.5),
            Fitted::Motorcycle => {
                Self { gap_m: 2.0 * MM, passages_m3: (3.4 * ML, 0.0), travel_m: 3.8 * MM }
            }
        }
    }

    /// Volumes with new and with worn pads, m³.
    fn volumes_m3(&self, pistons: &[Quantity]) -> (f64, f64) {
        let all: f64 = pistons.iter().map(|d| area(d.value)).sum();
        let (first, further) = self.passages_m3;
        let new = all * self.gap_m + first + further * (pistons.len() as f64 - 1.0);
        (new, new + all * self.travel_m)
    }
}

/// Whether a key that may be left out is needed after all, since what it follows from is not said either.
pub(crate) fn needs(key: &str, says: impl Fn(&str) -> bool) -> bool {
    key == "new_pads" && !says("pistons")
}

/// The keys of a table that are needed after all where no kind of vehicle is named.
pub(crate) fn needed_without_a_kind(table: &str, says: impl Fn(&str) -> bool) -> Vec<&'static str> {
    let of: &[&[&'static str]] = match table {
        "reservoir" => &[&["brim"]],
        "master_cylinder" => &[&["chambers"], &["volume", "bore"]],
        _ => &[],
    };
    let missing = of.iter().filter(|either| !either.iter().any(|key| says(key)));
    missing.map(|either| either[0]).collect()
}

/// The key that a key left out follows from.
pub(crate) fn follows_from(key: &str) -> Option<&'static str> {
    match key {
        "new_pads" | "worn_pads" => Some("pistons"),
        "volume" => Some("bore"),
        "brim" | "compartment" => Some("max"),
        _ => None,
    }
}

/// Fluid that so many pistons of one caliper take up from new pads to worn ones, m³.
pub(crate) fn swept_m3(fitted: Fitted, number: u32, diameter_m: f64) -> f64 {
    f64::from(number) * area(diameter_m) * Behind::of(fitted).travel_m
}

/// Spread of what is reckoned from pistons: gap and drillings with new pads, the pads' thickness with worn ones.
const NEW_PADS: f64 = 0.38;
const WORN_PADS: f64 = 0.25;

/// The volumes of a caliper from its pistons, where it names them.
pub(crate) fn caliper(diagnostics: &mut Diagnostics<'_>, placed: &mut Placed) {
    let written = |key: &str| placed.spans.contains_key(key);
    let name = placed.section.written.name.clone();
    let needs_fitted =
        "add `fitted`, for instance \"front\" or \"rear opposed\", which tells how far they travel";
    match (written("pistons"), written("new_pads")) {
        (true, true) => {
            return diagnostics.add(
                placed.span("new_pads"),
                format!("{name} has both `pistons` and `new_pads`"),
                "keep `new_pads` if it was measured, else `pistons`",
            );
        }
        (false, false) => {
            return diagnostics.add(
                placed.head.clone(),
                format!("{name} lacks `new_pads`"),
                "add `new_pads = \"… mL\"`, the fluid behind the pistons with new pads, or `pistons = \"… mm\"` with `fitted`",
            );
        }
        (false, true) if written("fitted") => {
            return diagnostics.add(
                placed.span("fitted"),
                "`fitted` counts only with `pistons`",
                "leave it out, or give `pistons` in place of `new_pads`",
            );
        }
        (false, true) => return,
        (true, false) if !written("fitted") => {
            return diagnostics.add(
                placed.span("pistons"),
                format!("{name} does not say where its pistons are fitted"),
                needs_fitted,
            );
        }
        (true, false) => {}
    }
    let Some(fitted) = word::<Fitted>(&placed.section, "fitted") else { return };
    let pistons = placed.section.list("pistons").to_vec();
    if pistons.is_empty() {
        return;
    }
    let (new, worn) = Behind::of(fitted).volumes_m3(&pistons);
    // An area is off by twice what its diameter is.
    let off = pistons.iter().map(|d| 2.0 * d.half_width() / d.value).fold(0.0, f64::max);
    let section = &mut placed.section;
    put(section, "new_pads", guess(new, together(&[NEW_PADS, off]), &bounds::CALIPER));
    if !placed.spans.contains_key("worn_pads") {
        put(section, "worn_pads", guess(worn, together(&[WORN_PADS, off]), &bounds::CALIPER));
    }
}

/// Spreads of what follows from the kind of vehicle.
const BRIM: f64 = 0.08;
const COMPARTMENT: f64 = 0.35;
const DEAD_LENGTH: f64 = 0.28;
const USUAL_BORE: f64 = 0.10;
/// Most that the compartments may hold of what is below MIN: the dividing wall ends below that mark.
const BELOW_MIN: f64 = 0.9;

/// Chambers by kind of vehicle; before the reservoir's outlets are named after them.
pub(crate) fn chambers(diagnostics: &mut Diagnostics<'_>, vehicle: &Placed, master: &mut Placed) {
    let usual = usual(vehicle);
    if !master.spans.contains_key("chambers") {
        match usual {
            Some(usual) => {
                let named =
                    |name: &&str| Named { name: (*name).to_owned(), span: master.head.clone() };
                let names: Vec<Named> = usual.chambers.iter().map(named).collect();
                let bare = usual.chambers.iter().map(|c| (*c).to_owned()).collect();
                master.names.insert("chambers", names);
                master.section.values.insert("chambers", Value::Names(bare));
                master.section.written.defaulted.push("chambers");
            }
            None => lacks(
                diagnostics,
                master,
                "chambers",
                "add `chambers = [\"primary\", \"secondary\"]`, or `kind` to [vehicle]",
            ),
        }
    }
    match (master.spans.contains_key("volume"), master.spans.contains_key("bore")) {
        (true, true) => diagnostics.add(
            master.span("bore"),
            "`[master_cylinder]` has both `volume` and `bore`",
            "keep `volume` if it was measured, else `bore`",
        ),
        (true, false) => {}
        (false, bore) => {
            let Some(known) = usual else {
                let remedy = match bore {
                    true => {
                        "add `kind` to [vehicle], which tells the stroke, or `volume = \"… mL\"` in place of `bore`"
                    }
                    false => {
                        "add `volume = \"… mL\"`, that of each chamber, or `kind` to [vehicle]"
                    }
                };
                return lacks(diagnostics, master, "volume", remedy);
            };
            let (bore_m, off) = match master.section.quantity("bore") {
                Some(q) => (q.value, 2.0 * q.half_width() / q.value),
                None if bore => return,
                None => (known.master_m.0, USUAL_BORE),
            };
            let volume = area(bore_m) * (known.master_m.1 + known.dead_m);
            let q = guess(volume, together(&[DEAD_LENGTH, off]), &bounds::MASTER_CHAMBER);
            put(&mut master.section, "volume", q);
        }
    }
}

/// Brim and compartments by kind of vehicle; after the outlets are named.
pub(crate) fn marks(diagnostics: &mut Diagnostics<'_>, vehicle: &Placed, reservoir: &mut Placed) {
    let usual = usual(vehicle);
    let (min, max) = (reservoir.section.find_si("min"), reservoir.section.find_si("max"));
    // What follows from MAX is as little known as MAX.
    let max_off = reservoir.section.quantity("max").map_or(0.0, |q| q.half_width() / q.value);
    if !reservoir.spans.contains_key("brim") {
        match (usual, max) {
            (Some(usual), Some(max)) => {
                let brim =
                    guess(usual.brim_of_max * max, together(&[BRIM, max_off]), &bounds::RESERVOIR);
                put(&mut reservoir.section, "brim", brim);
            }
            (Some(_), None) => {}
            (None, _) => lacks(
                diagnostics,
                reservoir,
                "brim",
                "add `brim = \"… mL\"`, the volume up to the brim, or `kind` to [vehicle]",
            ),
        }
    }
    let outlets = reservoir.section.names("outlets").len();
    if let (Some(Usual { compartment_of_max: Some(share), .. }), Some(min), Some(max)) =
        (usual, min, max)
        && outlets > 1
        && !reservoir.spans.contains_key("compartment")
    {
        let each = (share * max).min(BELOW_MIN * min / outlets as f64);
        put(
            &mut reservoir.section,
            "compartment",
            guess(each, together(&[COMPARTMENT, max_off]), &bounds::COMPARTMENT),
        );
    }
}

fn usual(vehicle: &Placed) -> Option<Usual> {
    word::<VehicleKind>(&vehicle.section, "kind").map(VehicleKind::usual)
}

fn lacks(diagnostics: &mut Diagnostics<'_>, placed: &Placed, key: &str, remedy: &str) {
    // A misspelt key has been told already, and a table that is not there.
    if diagnostics.clean() {
        let what = format!("`[{}]` lacks `{key}`", placed.section.written.name);
        diagnostics.add(placed.head.clone(), what, remedy);
    }
}

#[cfg(test)]
#[path = "derived_tests.rs"]
mod tests;
