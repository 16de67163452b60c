//! Lines, hoses and wheels of a vehicle: what leads where, and how long it is.

use super::brakes::{
    WHEEL_CYLINDER_OFF, front, front_fitted, rear_fitted, rear_m, wear, wheel_cylinder_m3,
};
use super::given::Answers;
use super::lines::{Lines, Mark, figure, guessed, quoted, share};
use super::taken::{
    UNIT, is_replaced, kind, lines_start_right, modulator, rear, reservoir_right, split,
};
use crate::measures::{MM, to_ml};
use crate::portable;
use crate::scenario::vehicle_kind::{RearBrakes, Split, VehicleKind};

/// Spread of a line's length: it follows sill, tunnel and axle, bulkhead and arch, not the tape.
const FRONT_LINE: f64 = 0.35;
const REAR_LINE: f64 = 0.22;
/// Of one along a live axle: the tee stands where there is room.
const AXLE_LINE: f64 = 0.40;
/// Rear lines behind an ABS unit are shorter by what leads to it.
const REAR_BEHIND_A_UNIT: f64 = 0.85;

/// A vehicle while its parts are written.
pub(super) struct Layout<'a> {
    answers: &'a Answers,
    wheelbase_m: f64,
    track_m: f64,
    /// Whether each rear wheel has a line of its own all the way.
    own_rear_lines: bool,
    near: &'static str,
    far: &'static str,
}

impl<'a> Layout<'a> {
    pub fn new(answers: &'a Answers) -> Self {
        let usual = kind(answers).usual();
        let told = |id: &str, usual: f64| answers.quantity(id).map_or(usual, |q| q.value);
        let (near, far) = if lines_start_right(answers) { ("R", "L") } else { ("L", "R") };
        let drums = rear(answers) == Some(RearBrakes::Drums);
        Self {
            answers,
            wheelbase_m: told("wheelbase", usual.wheelbase_m.0),
            track_m: told("track", usual.track_m),
            own_rear_lines: split(answers) != Some(Split::II) || modulator(answers) && !drums,
            near,
            far,
        }
    }

    /// What is said of a part that was replaced.
    fn replaced(&self, part: &str) -> &'static str {
        if is_replaced(self.answers, part) { ", replaced = true" } else { "" }
    }

    fn motorcycle(&self) -> bool {
        kind(self.answers) == VehicleKind::Motorcycle
    }

    /// Wheels in the order in which they are bled: far rear, near rear, far front, near front.
    fn wheels(&self) -> Vec<String> {
        let discs = if self.answers.is("front_discs", "1") { 1 } else { 2 };
        match self.motorcycle() {
            true => ["right", "left"].iter().take(discs).map(|w| (*w).to_owned()).collect(),
            false => [(self.far, "R"), (self.near, "R"), (self.far, "F"), (self.near, "F")]
                .iter()
                .map(|(side, axle)| format!("{side}{axle}"))
                .collect(),
        }
    }

    fn two_bleeders(&self) -> bool {
        front(self.answers).number >= 4 && self.answers.is("bleeders", "2")
    }

    fn in_front(&self, wheel: &str) -> bool {
        self.motorcycle() || wheel.ends_with('F')
    }

    /// Bleeders in order.
    pub fn bleeders(&self) -> Vec<String> {
        let of = |wheel: String| match self.in_front(&wheel) && self.two_bleeders() {
            true => vec![format!("{wheel} inner"), format!("{wheel} outer")],
            false => vec![wheel],
        };
        self.wheels().into_iter().flat_map(of).collect()
    }

    /// Length of a wheel's own line in m, its spread, and the rule.
    fn line(&self, wheel: &str) -> (f64, f64, String) {
        let (w, t) = (self.wheelbase_m, self.track_m);
        let near = wheel.starts_with(self.near);
        if self.in_front(wheel) {
            let of_track = if near { 0.55 } else { 1.33 };
            return (of_track * t, FRONT_LINE, format!("{of_track} of the track width"));
        }
        let unit = modulator(self.answers);
        let (unit, less) = match unit {
            true => (REAR_BEHIND_A_UNIT, ", times 0.85 behind the unit"),
            false => (1.0, ""),
        };
        if self.own_rear_lines {
            let of_track = if near { 0.5 } else { 1.15 };
            let rule = format!("1.3 of the wheelbase and {of_track} of the track width{less}");
            return (unit * (1.3 * w + of_track * t), REAR_LINE, rule);
        }
        let live = rear(self.answers) == Some(RearBrakes::Drums);
        let of_track = match (near, live) {
            (true, _) => 0.47,
            (false, true) => 0.57,
            (false, false) => 0.95,
        };
        (of_track * t, AXLE_LINE, format!("{of_track} of the track width, along the axle"))
    }

    /// Templates of tube, hose and brakes.
    pub fn templates(&self, out: &mut Lines) {
        let answers = self.answers;
        let unsure = if answers.known("kind").is_some() { 1.0 } else { 2.0 };
        out.line("[like.tube]");
        out.line("kind = \"line\"");
        out.marked(
            "bore = \"3.33 mm ± 2 %\"",
            guessed("4.75 × 0.71 mm tube, ISO 4038 and SAE J527"),
        );
        out.marked("bends = 6", guessed("as many as a line has"));
        if !self.motorcycle() {
            for (name, length, why) in [
                ("front hose", "0.46 m ± 28 %", "as long as a steered wheel needs"),
                ("rear hose", "0.34 m ± 45 %", "as long as a rear wheel needs"),
            ] {
                out.line(&format!("[like.\"{name}\"]"));
                out.line("kind = \"hose\"");
                out.marked(&format!("length = \"{length}\""), guessed(why));
                out.marked("bore = \"3.2 mm ± 6 %\"", guessed("1/8 in hose, 49 CFR 571.106"));
            }
        }
        let pistons = front(answers);
        out.line("[like.front]");
        out.line(if self.two_bleeders() {
            "kind = \"two-bleeder caliper\""
        } else {
            "kind = \"caliper\""
        });
        let (mark, half) = match answers.known("front_piston") {
            Some(_) => (Mark::Read, 0.01),
            None => (guessed("usual for its kind"), 0.08 * unsure),
        };
        let one = share(pistons.diameter_m / MM, "mm", half);
        let all = vec![one; pistons.number as usize].join(", ");
        out.marked(&format!("pistons = [{all}]"), mark);
        out.line(&format!("fitted = {}", quoted(front_fitted(answers).words())));
        self.wear(out, "front_pads");
        match rear(answers) {
            None => {}
            Some(RearBrakes::Drums) => {
                let (new, worn) = wheel_cylinder_m3(rear_m(answers));
                out.line("[like.rear]");
                out.line("kind = \"wheel cylinder\"");
                let why = format!("bore {} mm, cups 13 mm apart", figure(rear_m(answers) / MM));
                let (off, worn_off) = WHEEL_CYLINDER_OFF;
                out.marked(&format!("volume = {}", share(to_ml(new), "mL", off)), guessed(&why));
                let why = "7 mm further apart with worn shoes";
                out.marked(
                    &format!("worn_shoes = {}", share(to_ml(worn), "mL", worn_off)),
                    guessed(why),
                );
                self.wear(out, "rear_pads");
            }
            Some(discs) => {
                out.line("[like.rear]");
                out.line("kind = \"caliper\"");
                let (mark, half) = match answers.known("rear_piston") {
                    Some(_) => (Mark::Read, 0.01),
                    None => (guessed("usual for its kind"), 0.08 * unsure),
                };
                out.marked(&format!("pistons = {}", share(rear_m(answers) / MM, "mm", half)), mark);
                out.line(&format!("fitted = {}", quoted(rear_fitted(discs).words())));
                self.wear(out, "rear_pads");
            }
        }
    }

    fn wear(&self, out: &mut Lines, id: &str) {
        let (worn, half) = wear(self.answers, id);
        let mark = match self.answers.known(id) {
            Some(_) => Mark::Read,
            None => guessed("nobody looked"),
        };
        out.marked(
            &format!("pad_wear = \"{} % ± {} %\"", figure(100.0 * worn), figure(100.0 * half)),
            mark,
        );
    }

    /// `[parts]`.
    pub fn parts(&self, out: &mut Lines) {
        out.line("[parts]");
        match self.motorcycle() {
            true => self.motorcycle_parts(out),
            false => self.car_parts(out),
        }
    }

    fn motorcycle_parts(&self, out: &mut Lines) {
        let mut from = "upper hose";
        out.marked(
            &format!("\"upper hose\" = {{ kind = \"hose\", from = \"lever\", length = \"0.7 m ± 40 %\", bore = \"3.2 mm\"{} }}", self.replaced("upper hose")),
            guessed("from lever to fork"),
        );
        if modulator(self.answers) {
            out.marked(
                "unit = { kind = \"hydraulic modulator\", from = \"upper hose\" }",
                guessed("an ABS unit"),
            );
            out.marked(
                "pipe = { like = \"tube\", from = \"unit\", length = \"0.4 m ± 30 %\" }",
                guessed("behind the unit"),
            );
            from = "pipe";
        }
        let wheels = self.wheels();
        if wheels.len() > 1 {
            out.line(&format!("tee = {{ kind = \"tee\", from = \"{from}\" }}"));
            from = "tee";
        }
        for wheel in wheels {
            out.marked(
                &format!("\"hose {wheel}\" = {{ kind = \"hose\", from = \"{from}\", length = \"0.53 m ± 15 %\", bore = \"3.2 mm\"{} }}", self.replaced(&format!("hose {wheel}"))),
                guessed("along the fork"),
            );
            self.caliper(out, &wheel, "front", &format!("hose {wheel}"), ", height = \"0.4 m\"");
        }
    }

    fn car_parts(&self, out: &mut Lines) {
        let answers = self.answers;
        let unit = modulator(answers);
        let circuit = |wheel: &str| {
            let rear_circuit = match split(answers) {
                Some(Split::II) => wheel.ends_with('R'),
                // Diagonal: the far rear wheel with the near front one.
                _ => wheel.starts_with(self.far) == wheel.ends_with('R'),
            };
            if rear_circuit { "secondary" } else { "primary" }
        };
        let rear_of_its_own = !self.own_rear_lines;
        if unit {
            let (length, why) = match reservoir_right(answers) == lines_start_right(answers) {
                true => ("\"0.6 m ± 50 %\"".to_owned(), "to a unit on the same side"),
                false => (
                    share(0.85 * self.track_m, "m", 0.25),
                    "0.85 of the track width, across to the unit",
                ),
            };
            for chamber in ["secondary", "primary"] {
                out.marked(
                    &format!("\"pipe {chamber}\" = {{ like = \"tube\", from = \"{chamber}\", length = {length}, bends = 3 }}"),
                    guessed(why),
                );
            }
            let first: Vec<String> = match rear_of_its_own {
                true => vec!["\"rear trunk\"".to_owned()],
                false => self
                    .wheels()
                    .iter()
                    .filter(|w| circuit(w) == "secondary")
                    .map(|w| format!("\"line {w}\""))
                    .collect(),
            };
            out.marked(
                &format!(
                    "unit = {{ kind = \"hydraulic modulator\", from = [\"pipe secondary\", \"pipe primary\"], first_circuit = [{}], esc = true, passages = \"1 mL ± 50 %\"{} }}",
                    first.join(", "),
                    self.replaced(UNIT)
                ),
                guessed("an ABS or ESC unit as they are"),
            );
        }
        if rear_of_its_own {
            let from = if unit { "unit" } else { "secondary" };
            let length = share(1.4 * self.wheelbase_m, "m", REAR_LINE);
            let (bore, why) = self.rear_bore();
            out.marked(
                &format!("\"rear trunk\" = {{ kind = \"line\", from = \"{from}\", length = {length}, bore = {bore}, bends = 12 }}"),
                guessed(&format!("1.4 of the wheelbase; {why}")),
            );
            out.marked(&format!("\"axle hose\" = {{ kind = \"hose\", from = \"rear trunk\", length = \"0.4 m ± 30 %\", bore = \"4 mm ± 6 %\"{} }}", self.replaced("axle hose")), guessed("to the axle"));
            out.line("\"axle tee\" = { kind = \"tee\", from = \"axle hose\" }");
        }
        for wheel in self.wheels() {
            let rear_wheel = wheel.ends_with('R');
            let from = match (rear_wheel && rear_of_its_own, unit) {
                (true, _) => "axle tee",
                (false, true) => "unit",
                (false, false) => circuit(&wheel),
            };
            let (length, half, rule) = self.line(&wheel);
            let measured = answers.known("wheelbase").is_some() && answers.known("track").is_some();
            let half = if measured {
                half
            } else {
                portable::hypot(half, kind(answers).usual().wheelbase_m.1)
            };
            let (bore, why) = match rear_wheel && self.own_rear_lines && self.wide_rear() {
                true => (
                    format!(", bore = {}", self.rear_bore().0),
                    format!("; {}", self.rear_bore().1),
                ),
                false => (String::new(), String::new()),
            };
            out.marked(
                &format!("\"line {wheel}\" = {{ like = \"tube\", from = \"{from}\", length = {}{bore} }}", share(length, "m", half)),
                guessed(&format!("{rule}{why}")),
            );
            let drums = rear(answers) == Some(RearBrakes::Drums);
            let hose = !(rear_wheel && rear_of_its_own && drums);
            let last = if hose {
                let like = if rear_wheel { "rear hose" } else { "front hose" };
                let new = self.replaced(&format!("hose {wheel}"));
                out.line(&format!(
                    "\"hose {wheel}\" = {{ like = \"{like}\", from = \"line {wheel}\"{new} }}"
                ));
                format!("hose {wheel}")
            } else {
                format!("line {wheel}")
            };
            let template = if rear_wheel { "rear" } else { "front" };
            self.caliper(out, &wheel, template, &last, "");
        }
    }

    fn wide_rear(&self) -> bool {
        self.answers
            .known("rear_line")
            .map_or(kind(self.answers).usual().rear_tube_m > 4.0 * MM, |size| size != "4.75 mm")
    }

    /// Bore of the line to the rear as a value, and how it is known.
    fn rear_bore(&self) -> (String, &'static str) {
        match self.answers.known("rear_line") {
            Some("4.75 mm") => ("\"3.33 mm ± 2 %\"".to_owned(), "4.75 mm tube, as measured"),
            Some("6.35 mm") => ("\"4.93 mm ± 2 %\"".to_owned(), "6.35 mm tube, as measured"),
            Some(_) => ("\"4.58 mm ± 2 %\"".to_owned(), "6 mm tube, as measured"),
            None => (
                share(kind(self.answers).usual().rear_tube_m / MM, "mm", 0.10),
                "tube usual for its kind",
            ),
        }
    }

    fn caliper(&self, out: &mut Lines, wheel: &str, template: &str, from: &str, more: &str) {
        let bleeders = match template == "front" && self.two_bleeders() {
            true => format!(", bleeders = [\"{wheel} inner\", \"{wheel} outer\"]"),
            false => String::new(),
        };
        out.line(&format!(
            "{wheel} = {{ like = \"{template}\", from = \"{from}\"{more}{bleeders}{} }}",
            self.replaced(wheel)
        ));
    }
}
