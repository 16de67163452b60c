//! Estimates of what is at the wheels: pistons, wear, and what a wheel cylinder holds.

use super::answers::Answers;
use super::questions::{kind, rear};
use crate::measures::MM;
use crate::scenario::vehicle_kind::{Pistons, RearBrakes, VehicleKind};
use std::f64::consts::PI;

/// Area of a circle, m².
fn area(diameter_m: f64) -> f64 {
    0.25 * PI * diameter_m * diameter_m
}

/// Pistons on one side of the disc; four and more stand on both.
fn on_a_side(number: u32) -> f64 {
    if number >= 4 { 0.5 * f64::from(number) } else { f64::from(number) }
}

/// Pistons of a front caliper. Where only their number differs from what is usual, they push with the same area a side:
/// the vehicle needs the same brake force whatever the caliper.
pub(super) fn front(answers: &Answers) -> Pistons {
    let usual = kind(answers).usual().front_pistons;
    let number =
        answers.known("front_caliper").and_then(|n| n.parse().ok()).unwrap_or(usual.number);
    let alike = usual.diameter_m * (on_a_side(usual.number) / on_a_side(number)).sqrt();
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

/// What a wheel cylinder holds with new and with worn shoes, m³: the cups stand 20 mm apart, and come 4.5 mm further
/// apart as the shoes wear (common practice, no source).
pub(super) fn wheel_cylinder_m3(bore_m: f64) -> (f64, f64) {
    (area(bore_m) * 20.0 * MM, area(bore_m) * 24.5 * MM)
}

/// Fluid that all wheel brakes take up from new pads to worn ones, m³, as a reservoir is laid out for: it must hold at
/// least that (49 CFR 571.105 S5.4.2, from memory). Drums count as the discs of the same kind, which share its reservoir.
pub(super) fn taken_up_m3(answers: &Answers) -> f64 {
    let front = front(answers);
    let usual = kind(answers).usual();
    if kind(answers) == VehicleKind::Motorcycle {
        return 2.0 * f64::from(front.number) * area(front.diameter_m) * 4.0 * MM;
    }
    let at_front = 2.0 * on_a_side(front.number) * area(front.diameter_m) * 18.0 * MM;
    let rear_m = match rear(answers) {
        Some(RearBrakes::Drums) => usual.rear_piston_m,
        _ => rear_m(answers),
    };
    at_front + 2.0 * area(rear_m) * 14.0 * MM
}
