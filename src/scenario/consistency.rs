//! Whether what is said agrees with itself: fluids, reservoir, procedure.

use std::collections::BTreeSet;

use super::limits::{MOST_BLEEDERS, MOST_OPENINGS};
use super::mistake::Diagnostics;
use super::modulators;
use super::parts::RawPart;
use super::procedure::Action;
use super::quantity_text::plain;
use super::sections::{Named, Placed};
use super::steps::{RawProcedure, RawStep};
use super::suggest;
use super::supplies::RawSupply;
use super::tables::{REPLACED_BY_CENTRE_VALVE, Vehicle};
use crate::fluid::grade::grade;
use crate::keys::Read;
use crate::measures::{MM, to_ml};

fn ml(si: f64) -> String {
    format!("{} mL", plain(to_ml(si)))
}

/// Systems that Farwheel refuses, and what the kind of vehicle does not have.
pub(crate) fn check_vehicle(diagnostics: &mut Diagnostics<'_>, vehicle: &Placed) {
    let advice = "follow the maker's procedure; this program does not simulate such systems";
    if vehicle.section.text("accumulator") == Some("high pressure") {
        diagnostics.add(
            vehicle.span("accumulator"),
            "the vehicle has a high-pressure accumulator",
            advice,
        );
    }
    if vehicle.section.flag("by_wire") {
        diagnostics.add(vehicle.span("by_wire"), "the brakes are actuated by wire", advice);
    }
    let table: Read<Vehicle> = vehicle.section.clone().into_table();
    if !table.spoken().sides && vehicle.spans.contains_key("steering") {
        diagnostics.add(
            vehicle.span("steering"),
            format!("a {} has no steering wheel", table.spoken().vehicle),
            "leave out `steering`, or correct `kind`",
        );
    }
}

/// Grades known and of one family, boiling points and viscosities the right way round.
pub(crate) fn check_fluids(diagnostics: &mut Diagnostics<'_>, old: &Placed, new: &Placed) {
    let mut families = Vec::new();
    for fluid in [old, new] {
        let find = |key: &str| fluid.section.find_si(key);
        families.extend(fluid.section.text("grade").and_then(grade).map(|g| g.family));
        if let (Some(dry), Some(wet)) = (find("dry_boiling_point"), find("wet_boiling_point"))
            && wet >= dry
        {
            let [wet, dry] = ["wet_boiling_point", "dry_boiling_point"].map(|k| fluid.span(k));
            diagnostics.add(
                diagnostics.blamed(wet, dry),
                "the wet boiling point is not below the dry one",
                "water lowers the boiling point; give the lower figure as wet_boiling_point",
            );
        }
        if let (Some(cold), Some(hot)) = (find("viscosity_minus_40"), find("viscosity_100"))
            && hot >= cold
        {
            let [hot, cold] = ["viscosity_100", "viscosity_minus_40"].map(|k| fluid.span(k));
            diagnostics.add(
                diagnostics.blamed(hot, cold),
                "the viscosity at 100 °C is not below that at -40 °C",
                "fluid thins as it warms; give the lower figure as viscosity_100",
            );
        }
    }
    if let [a, b] = families.as_slice()
        && a != b
    {
        diagnostics.add(
            diagnostics.blamed(new.span("grade"), old.span("grade")),
            format!("{} must not be mixed with {}", b.a_fluid(), a.a_fluid()),
            "flush with a fluid of the old one's family, of the grade the vehicle's maker names",
        );
    }
}

/// Volumes of the reservoir in order, outlets and chambers matching.
pub(crate) fn check_reservoir(
    diagnostics: &mut Diagnostics<'_>,
    reservoir: &Placed,
    chambers: &[Named],
    (parts, whole): (&[RawPart], bool),
) {
    let find = |key: &str| reservoir.section.find_si(key);
    // A figure that contradicts two others is told once.
    let mut told = Vec::new();
    let mut order = |low: &'static str, high: &'static str, strict: bool, remedy: &str| {
        if let (Some(a), Some(b)) = (find(low), find(high))
            && (a > b || (strict && a >= b))
            && !told.contains(&low)
            && !told.contains(&high)
        {
            told.extend([low, high]);
            let at = diagnostics.line(reservoir.span(high).start);
            diagnostics.add(
                diagnostics.blamed(reservoir.span(low), reservoir.span(high)),
                format!("`{low}` ({}) is not below `{high}` ({}, {at})", ml(a), ml(b)),
                remedy,
            );
        }
    };
    order(
        "min",
        "max",
        true,
        "both are volumes in the whole reservoir, MIN the smaller: correct the one that is wrong",
    );
    order("max", "brim", false, "the brim is above the MAX mark: correct the one that is wrong");
    order(
        "level",
        "brim",
        false,
        "more than up to the brim can't be in it: correct the one that is wrong",
    );
    let outlets = reservoir.section.names("outlets");
    if let Some(each) = find("compartment") {
        let all = each * outlets.len() as f64;
        if let Some(max) = find("max")
            && all > max
        {
            diagnostics.add(
                diagnostics.blamed(reservoir.span("compartment"), reservoir.span("max")),
                format!(
                    "{} compartments of {} hold {}, more than the reservoir up to MAX ({})",
                    outlets.len(),
                    ml(each),
                    ml(all),
                    ml(max)
                ),
                "give the volume of one compartment below the dividing wall",
            );
        }
    } else if outlets.len() > 1
        && !reservoir.spans.contains_key("compartment")
        && !reservoir.misspells("compartment")
    {
        diagnostics.add(
            reservoir.span("outlets"),
            format!("the reservoir has {} outlets but no `compartment`", outlets.len()),
            "add `compartment = \"35 mL\"`, the volume of each below the dividing wall, or name a single outlet",
        );
    }
    // What was dropped of the parts may start from an outlet.
    if outlets.len() < 2 || chambers.is_empty() || !whole {
        return;
    }
    let chamber_names = || chambers.iter().map(|c| c.name.as_str());
    // A start that is nowhere and called nearly so is told there.
    let known = |name: &str| {
        outlets.iter().any(|o| o == name)
            || parts.iter().any(|p| p.name.name == name)
            || chamber_names().any(|c| c == name)
    };
    let starts = || parts.iter().flat_map(|p| &p.from).map(|f| f.name.as_str());
    let told = |outlet: &str| suggest::nearest(outlet, starts().filter(|f| !known(f))).is_some();
    let mut misspelt = Vec::new();
    for outlet in reservoir.names.get("outlets").into_iter().flatten() {
        let feeds_a_part = || parts.iter().any(|p| p.from.iter().any(|f| f.name == outlet.name));
        if !chamber_names().any(|c| c == outlet.name) && !feeds_a_part() && !told(&outlet.name) {
            misspelt.extend(suggest::nearest(&outlet.name, chamber_names()));
            diagnostics.add(
                outlet.span.clone(),
                format!(
                    "outlet `{}` feeds no chamber of that name, and no part starts from it",
                    outlet.name
                ),
                suggest::remedy(&outlet.name, chamber_names(), "chambers"),
            );
        }
    }
    for c in chambers {
        if !outlets.contains(&c.name) && !misspelt.contains(&c.name.as_str()) {
            diagnostics.add(
                reservoir.span("outlets"),
                format!("no outlet feeds chamber `{}`", c.name),
                format!("add \"{}\" to `outlets`, or name a single outlet that feeds all", c.name),
            );
        }
    }
}

/// A chamber has a centre valve, or a compensating port and a cup.
pub(crate) fn check_centre_valve(diagnostics: &mut Diagnostics<'_>, master: &Placed) {
    let spans = |key: &str| master.spans.contains_key(key);
    for key in REPLACED_BY_CENTRE_VALVE.into_iter().filter(|key| spans(key)) {
        if spans("centre_valve") {
            let [valve, port] = ["centre_valve", key].map(|k| master.span(k));
            diagnostics.add(
                diagnostics.blamed(port, valve),
                format!("`{key}` has no meaning beside `centre_valve`, which stands in place of compensating port and cup"),
                format!("leave out `{key}`, or leave out `centre_valve`"),
            );
        }
    }
}

/// Nobody watches more of the clear hose than there is.
pub(crate) fn check_clear_hose(diagnostics: &mut Diagnostics<'_>, hose: &Placed) {
    let find = |key: &str| hose.section.find_si(key).filter(|_| hose.spans.contains_key(key));
    if let (Some(watched), Some(length)) = (find("watched"), find("length"))
        && watched > length
    {
        let mm = |si: f64| format!("{} mm", plain(si / MM));
        diagnostics.add(
            diagnostics.blamed(hose.span("watched"), hose.span("length")),
            format!("{} of the clear hose are watched, but it is {} long", mm(watched), mm(length)),
            "give as `watched` a part of `length`: correct the one that is wrong",
        );
    }
}

/// The supply named is there; the only one is taken if none is named. Of several one must be picked when
/// the job is run.
pub(crate) fn check_supply(
    diagnostics: &mut Diagnostics<'_>,
    procedure: &Placed,
    supplies: &[RawSupply],
) -> Option<String> {
    let names = || supplies.iter().map(|s| s.name.name.as_str());
    match (procedure.section.text("supply"), supplies) {
        (Some(name), _) => {
            if !supplies.is_empty() && !names().any(|n| n == name) {
                diagnostics.add(
                    procedure.span("supply"),
                    format!("there is no supply `{}`", super::sections::short(name)),
                    suggest::remedy(name, names(), "supplies"),
                );
            }
            None
        }
        (None, [only]) => Some(only.name.name.clone()),
        (None, []) => None,
        (None, _) => None,
    }
}

/// Steps name bleeders, modulators and channels that there are.
pub(crate) fn check_named(
    diagnostics: &mut Diagnostics<'_>,
    procedure: &RawProcedure,
    parts: &[RawPart],
) {
    let bleeders: BTreeSet<&str> =
        parts.iter().flat_map(|p| p.bleeders.iter().map(|b| b.name.as_str())).collect();
    let opens = |s: &RawStep| !s.bleeders.is_empty();
    if diagnostics.clean() && !procedure.steps.iter().any(opens) {
        diagnostics.add(
            procedure.placed.head.clone(),
            "the procedure opens no bleeder",
            "add a step that opens one, for instance { open = \"RR\", until = \"clean\" }",
        );
    }
    for step in &procedure.steps {
        for b in &step.bleeders {
            check_bleeder(diagnostics, b, &bleeders, parts);
        }
        if let Some(m) = &step.modulator {
            modulators::check_step(diagnostics, m, &step.channels, parts);
        }
    }
}

/// No more bleeders than are read, and no more openings of them.
pub(crate) fn check_counts(
    diagnostics: &mut Diagnostics<'_>,
    procedure: &RawProcedure,
    parts: &[RawPart],
) {
    let bleeders = parts.iter().flat_map(|p| &p.bleeders);
    if let Some(beyond) = bleeders.clone().nth(MOST_BLEEDERS) {
        diagnostics.add(
            beyond.span.clone(),
            format!("the circuit has {} bleeders", bleeders.count()),
            format!("{MOST_BLEEDERS} are the most that is read"),
        );
    }
    let passes = procedure.passes as usize;
    let times = |s: &RawStep| match s.step.action {
        Action::Open { .. } => passes * s.bleeders.len(),
        _ => s.bleeders.len(),
    };
    let opened: usize = procedure.steps.iter().map(times).sum();
    if opened > MOST_OPENINGS {
        diagnostics.add(
            procedure.placed.span("passes"),
            format!("in all its passes the procedure opens bleeders {opened} times"),
            format!("{MOST_OPENINGS} are the most that is read: let it go through fewer passes"),
        );
    }
}

/// Steps ask of the reservoir what it can hold; nothing is asked of marks that contradict themselves.
pub(crate) fn check_levels(
    diagnostics: &mut Diagnostics<'_>,
    procedure: &RawProcedure,
    reservoir: &Placed,
) {
    let find = |key: &str| reservoir.section.find_si(key);
    let (Some(min), Some(max), Some(brim)) = (find("min"), find("max"), find("brim")) else {
        return;
    };
    if !(min < max && max <= brim) {
        return;
    }
    for step in &procedure.steps {
        match &step.step.action {
            Action::Syringe { leave: q } | Action::TopUp { to: q } if q.value > brim => diagnostics
                .add(
                    step.span.clone(),
                    format!(
                        "{} is more than the reservoir holds up to the brim ({})",
                        ml(q.value),
                        ml(brim)
                    ),
                    "name a volume below the brim",
                ),
            Action::SetLevel { to: q } if !(min <= q.value && q.value <= max) => diagnostics.add(
                step.span.clone(),
                format!("{} is not between MIN ({}) and MAX ({})", ml(q.value), ml(min), ml(max)),
                "set the level between the marks, for instance to \"max\"",
            ),
            _ => {}
        }
    }
}

fn check_bleeder(
    diagnostics: &mut Diagnostics<'_>,
    b: &Named,
    bleeders: &BTreeSet<&str>,
    parts: &[RawPart],
) {
    if bleeders.contains(b.name.as_str()) || parts.is_empty() {
        return;
    }
    match parts.iter().find(|p| p.name.name == b.name) {
        Some(p) if p.spec.bleeds => {
            let own: Vec<_> = p.bleeders.iter().map(|x| format!("`{}`", x.name)).collect();
            diagnostics.add(
                b.span.clone(),
                format!("part `{}` has bleeders of other names", b.name),
                format!("name one of {}", own.join(", ")),
            );
        }
        Some(p) => diagnostics.add(
            b.span.clone(),
            format!("`{}` is a {} and has no bleeder", b.name, p.spec.name),
            suggest::remedy("", bleeders.iter().copied(), "bleeders"),
        ),
        None => diagnostics.add(
            b.span.clone(),
            format!("there is no bleeder `{}`", b.name),
            suggest::remedy(&b.name, bleeders.iter().copied(), "bleeders"),
        ),
    }
}
