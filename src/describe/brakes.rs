//! Estimates of what is at the wheels: pistons, wear, and what a wheel cylinder holds.

use super::given::Answers;
use super::taken::{kind, rear};
use crate::measures::MM;
use crate::parts::pads::Fitted;
use crate::scenario::derived::swept_m3;
use crate::scenario::vehicle_kind::{Pistons, RearBrakes, VehicleKind};
use std::f64::consts::PI;

/// Area of a circle, m².
fn area(diameter_m: f64) -> f64 {
    0.25 * PI * diameter_m * diameter_m
}

/// How many pistons were answered, and whether they stand on both sides of the disc.
fn answered(answers: &Answers) -> Option<(u32, bool)> {
    let said = answers.known("front_caliper")?;
    let number = said.split(' ').next()?.parse().ok()?;
    Some((number, said.ends_with("opposed") || number >= 4))
}

/// Whether the front pistons stand on both sides of the disc.
fn opposed(answers: &Answers) -> bool {
    let usual = kind(answers).usual().front_pistons;
    answered(answers).map_or(usual.number >= 4, |(_, opposed)| opposed)
}

/// Pistons on one side of the disc.
fn on_a_side(number: u32, opposed: bool) -> f64 {
    f64::from(number) * if opposed { 0.5 } else { 1.0 }
}

/// Pistons of a front caliper. Where only their number differs from what is usual, they push with the same area a side:
/// the vehicle needs the same brake force whatever the caliper.
pub(super) fn front(answers: &Answers) -> Pistons {
    let usual = kind(answers).usual().front_pistons;
    let number = answered(answers).map_or(usual.number, |(number, _)| number);
    let usual_side = on_a_side(usual.number, usual.number >= 4);
    let alike = usual.diameter_m * (usual_side / on_a_side(number, opposed(answers))).sqrt();
    let diameter_m = answers.quantity("front_piston").map_or(alike, |q| q.value);
    Pistons { number, diameter_m }
}

/// Diameter of a rear piston, or bore of a wheel cylinder, m.
pub(super) fn rear_m(answers: &Answers) -> f64 {
    let usual = kind(answers).usual();
    answers.quantity("rear_piston").map_or(
        match rear(answers) {
            Some(RearBrakes::Drums) => usual.wheel_cylinder_m,
            _ => usual.rear_piston_m,
        },
        |q| q.value,
    )
}

/// Wear by eye, and half the width that holds nine in ten.
pub(super) fn wear(answers: &Answers, id: &str) -> (f64, f64) {
    match answers.known(id) {
        Some("new") => (0.10, 0.10),
        Some("half") => (0.50, 0.20),
        Some("worn") => (0.85, 0.12),
        _ => (0.45, 0.40),
    }
}

/// What a wheel cylinder holds with new and with worn shoes, m³: the cups stand 13 mm apart, and come 7 mm further
/// apart as the shoes wear (common practice, no source; two estimates made without sight of each other, 7 and 20 mm,
/// differ threefold, and so the spread is wide).
pub(super) fn wheel_cylinder_m3(bore_m: f64) -> (f64, f64) {
    (area(bore_m) * 13.0 * MM, area(bore_m) * 20.0 * MM)
}

/// Spread of the two.
pub(super) const WHEEL_CYLINDER_OFF: (f64, f64) = (0.60, 0.50);

/// A vehicle with drums behind has a smaller reservoir than its like with discs, by this much.
const DRUMS_TAKE: f64 = 0.85;

/// Where the front calipers are fitted.
pub(super) fn front_fitted(answers: &Answers) -> Fitted {
    match (kind(answers), opposed(answers)) {
        (VehicleKind::Motorcycle, _) => Fitted::Motorcycle,
        (_, true) => Fitted::FrontOpposed,
        (_, false) => Fitted::Front,
    }
}

/// Where rear calipers are fitted.
pub(super) fn rear_fitted(brakes: RearBrakes) -> Fitted {
    match brakes {
        RearBrakes::ParkingPiston => Fitted::RearParkingBrake,
        RearBrakes::Discs | RearBrakes::Drums => Fitted::Rear,
    }
}

/// Fluid that all wheel brakes take up from new pads to worn ones, m³, as a reservoir is laid out for: it must hold at
/// least that (49 CFR 571.105 S5.4.2, from memory). Drums count as the discs of the same kind, which often share its
/// reservoir, less a little.
fn taken_up_m3(answers: &Answers) -> f64 {
    let front = front(answers);
    let at_front = swept_m3(front_fitted(answers), front.number, front.diameter_m);
    let at_rear = |brakes, rear_m| swept_m3(rear_fitted(brakes), 1, rear_m);
    2.0 * match rear(answers) {
        None => at_front,
        Some(RearBrakes::Drums) => {
            DRUMS_TAKE
                * (at_front + at_rear(RearBrakes::Discs, kind(answers).usual().rear_piston_m))
        }
        Some(discs) => at_front + at_rear(discs, rear_m(answers)),
    }
}

/// MAX of a reservoir as a multiple of that.
pub(super) fn of_taken_up(answers: &Answers) -> f64 {
    if kind(answers) == VehicleKind::Motorcycle { 1.3 } else { 2.2 }
}

/// MAX of the reservoir, where nobody read it, m³.
pub(super) fn max_m3(answers: &Answers) -> f64 {
    of_taken_up(answers) * taken_up_m3(answers)
}
