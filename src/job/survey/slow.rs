//! Why little flows at a bleeder: in which part most of the pressure is lost, and what about it is unusual, the fluid or
//! the bore.

use crate::flow::laws::laminar_resistance;
use crate::fluid::blend::Fluid;
use crate::job::record::at_line;
use crate::job::state::{Hydraulics, Job, Lost, screw_viscous_resistance};
use crate::keys::Place;
use crate::measures::{MM, ZERO_CELSIUS_K, to_celsius};
use crate::parts::passage::{Passage, bore_of_ring_m};
use crate::portable;

/// Fluid is taken not to flow below this rate, m³/s (a drop in a minute).
pub(crate) const NO_FLOW: f64 = 1e-9;
/// Room temperature, against which thickness is told, K.
const ROOM_K: f64 = ZERO_CELSIUS_K + 20.0;
/// What is this many times beyond the usual explains little flow by itself.
const UNUSUAL: f64 = 3.0;
/// Bore of a brake line as most are, m: tube of 4.75 mm with a wall of 0.71 mm (common practice, no source).
const USUAL_BORE_M: f64 = 3.33e-3;
/// Bore of the hole that an open bleeder, or a port, makes, m (common practice, no source).
const USUAL_HOLE_M: f64 = 0.7e-3;
/// Bore of a clear hose as most are, m (common practice, no source).
const USUAL_HOSE_M: f64 = 5e-3;

/// Sums it up as a remedy, as things stand now.
pub(crate) fn remedy(job: &Job, bleeder: usize) -> String {
    alone(job, bleeder).and_then(|h| why(job, bleeder, &h)).unwrap_or_else(|| {
        let high = job.setting.scenario.clear_hose.outlet_m() > 0.0;
        let lower = if high { "lower the end of the clear hose, or " } else { "" };
        format!("{lower}raise the pressure or the reservoir")
    })
}

/// The same where nothing flows.
pub(crate) fn remedy_of_none(job: &Job, bleeder: usize) -> String {
    match alone(job, bleeder) {
        Some(h) if h.exit_flow[0] >= NO_FLOW => "open fewer bleeders at once".to_owned(),
        _ => remedy(job, bleeder),
    }
}

/// The flows with this bleeder open by itself.
fn alone(job: &Job, bleeder: usize) -> Option<Hydraulics> {
    let mut h = job.network(&[bleeder]).ok()?;
    h.solve(job.setting.flowing(), &job.system, job.supply.push_pa(), 0.0).ok()?;
    Some(h)
}

fn why(job: &Job, bleeder: usize, h: &Hydraulics) -> Option<String> {
    let c = &job.setting.circuit;
    let on_path = |lost: &Lost| match lost {
        Lost::Link(i) => c.bleeders[bleeder].path.contains(i),
        Lost::Feed | Lost::Exit => true,
    };
    let losses = h.losses(&job.setting.circuit).into_iter().filter(|(lost, ..)| on_path(lost));
    let (lost, passage, nu, pa) = losses.max_by(|a, b| a.3.total_cmp(&b.3))?;
    if pa <= 0.0 || h.exit_flow[0] <= 0.0 {
        return None;
    }
    // At so little flow inertia counts for nothing.
    let hose_alone = match passage {
        Passage::Screw { gap_m, cross_bore_m, bore_m, length_m, hose_bore_m, hose_length_m } => {
            laminar_resistance(hose_bore_m, hose_length_m)
                > screw_viscous_resistance(gap_m, cross_bore_m, bore_m, length_m)
        }
        _ => false,
    };
    let part = |name: &str| job.setting.scenario.parts.iter().find(|p| p.name == name);
    let (name, line) = match lost {
        Lost::Feed => ("the supply's feed hose".to_owned(), job.setting.supply_line()),
        Lost::Exit if hose_alone => {
            let hose = &job.setting.scenario.clear_hose;
            let name = format!("the clear hose at {}", c.bleeders[bleeder].name);
            (name, hose.line_of("bore"))
        }
        Lost::Exit => {
            let b = &c.bleeders[bleeder];
            let own = job.setting.scenario.parts.iter().find(|p| p.bleeders.contains(&b.name));
            (format!("the open bleeder {}", b.name), own.map_or(Place::Nowhere, |p| p.written.line))
        }
        Lost::Link(i) => {
            let name = &c.links[i].name;
            let line = part(name).map_or(Place::Nowhere, |p| p.written.line_of("bore"));
            (format!("\"{name}\""), line)
        }
    };
    let (bore_m, usual_m) = match passage {
        Passage::Tube { bore_m, .. } => (bore_m, USUAL_BORE_M),
        Passage::Orifice { bore_m, .. } | Passage::Check { bore_m, .. } => (bore_m, USUAL_HOLE_M),
        Passage::Screw { hose_bore_m, .. } if hose_alone => (hose_bore_m, USUAL_HOSE_M),
        // Its seat gap as a hole of the same area may be the narrowest.
        Passage::Screw { gap_m, cross_bore_m, bore_m, .. } => {
            (bore_m.min(cross_bore_m).min(bore_of_ring_m(bore_m, gap_m)), USUAL_HOLE_M)
        }
    };
    // Laminar flow through a tube is as 1/ν and the fourth power of the bore (Hagen and Poiseuille); through a
    // hole at so little flow it is about as 1/ν and the third.
    let narrow = portable::powi(usual_m / bore_m, 4);
    let t = job.setting.blend.temperature_k();
    let old = job.setting.blend.old_fluid();
    let room = Fluid::typical(old.grade).nu_m2_s(ROOM_K);
    let thick = nu / room;
    let scenario = &job.setting.scenario;
    let vehicle = &scenario.vehicle;
    let stated = match scenario.old_fluid.figures.viscosity_100 {
        Some(_) => scenario.old_fluid.line_of("viscosity_100"),
        None => scenario.new_fluid.line_of("viscosity_100"),
    };
    Some(if narrow >= UNUSUAL && narrow >= thick {
        format!(
            "most of the pressure is lost in {name}, whose bore is {:.2} mm: look at that figure, or give a wider one{}",
            bore_m / MM,
            at_line(line)
        )
    } else if thick >= UNUSUAL && t < ROOM_K {
        format!(
            "at {:.0} °C the fluid is {thick:.0} times as thick as at 20 °C: warm the vehicle{}",
            to_celsius(t),
            at_line(vehicle.line_of("temperature"))
        )
    } else if thick >= UNUSUAL {
        format!(
            "the fluid is {thick:.0} times as thick as its grade usually is: look at its `viscosity_100` and `viscosity_minus_40`{}",
            at_line(stated)
        )
    } else {
        format!(
            "the push is weak for what the fluid has to pass, most of all {name}: take a supply that pushes harder, or raise its pressure within the maker's limit"
        )
    })
}
