//! The car from above: every part as large as its volume, nothing over anything else, pipes from block to block.

use crate::common::random::car;
use crate::shipped::shipped;
use farwheel::Scenario;
use farwheel::above::{Area, Car, Piece, Shape, layout};
use farwheel::job::options::Options;
use farwheel::job::record::{Left, PartLeft};
use farwheel::job::stepping::Stepping;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngSeed, TestRunner};

const ROUNDING: f64 = 1e-6;

fn left_of(scenario: &Scenario) -> Left {
    Stepping::begin(scenario, &Options::default()).expect("it begins").left()
}

fn pieces(car: &Car) -> impl Iterator<Item = (usize, &Piece)> {
    car.shapes.iter().enumerate().flat_map(|(i, s)| s.pieces.iter().map(move |p| (i, p)))
}

/// How far apart two areas are; below 0 by how much they lie over each other.
fn apart(a: &Area, b: &Area) -> f64 {
    let x = f64::max(b.x - a.x - a.wide, a.x - b.x - b.wide);
    let y = f64::max(b.y - a.y - a.high, a.y - b.y - b.high);
    f64::max(x, y)
}

/// What each part is drawn for: the reservoir to its brim.
fn largest(left: &Left, p: &PartLeft) -> f64 {
    let brim = if p.kind == "reservoir" { left.joined.brim_ml } else { 0.0 };
    p.volume_ml.max(p.volume_before_ml).max(brim)
}

/// What must hold of every car.
fn holds(left: &Left, car: &Car) -> Result<(), String> {
    let told = |shape: &Shape| left.parts[shape.part].part.clone();
    if car.left_out > 0 {
        return Err(format!("{} parts are left out", car.left_out));
    }
    for (i, p) in left.parts.iter().enumerate().filter(|(_, p)| largest(left, p) > 0.0) {
        let own: Vec<&Shape> = car.shapes.iter().filter(|s| s.part == i).collect();
        let [shape] = own[..] else { return Err(format!("{} has {} shapes", p.part, own.len())) };
        let size: f64 = shape.pieces.iter().map(|p| p.area.size()).sum();
        let wanted = car.area_per_ml * largest(left, p);
        if size.is_nan() || (size - wanted).abs() > ROUNDING {
            return Err(format!("{}: {size} in place of {wanted}", p.part));
        }
    }
    let all: Vec<(usize, &Piece)> = pieces(car).collect();
    for (n, (i, a)) in all.iter().enumerate() {
        let a = &a.area;
        if !(a.x >= -ROUNDING
            && a.y >= -ROUNDING
            && a.x + a.wide <= car.wide + ROUNDING
            && a.y + a.high <= car.high + ROUNDING)
        {
            return Err(format!("{} is off the paper: {a:?}", told(&car.shapes[*i])));
        }
        for (j, b) in &all[n + 1..] {
            if apart(a, &b.area) < -ROUNDING {
                return Err(format!(
                    "{} lies over {}: {a:?}, {b:?}",
                    told(&car.shapes[*i]),
                    told(&car.shapes[*j])
                ));
            }
        }
        for t in &car.tires {
            if apart(a, &t.area) < -ROUNDING {
                return Err(format!("{} lies under the tire {}", told(&car.shapes[*i]), t.name));
            }
        }
    }
    for (n, t) in car.tires.iter().enumerate() {
        if let Some(other) = car.tires[n + 1..].iter().find(|o| apart(&t.area, &o.area) < 0.0) {
            return Err(format!("tire {} lies over {}", t.name, other.name));
        }
    }
    if car.tires.len() != left.joined.bleeders.len() {
        return Err(format!("{} tires", car.tires.len()));
    }
    goes_through(left, car)
}

/// Along each pipe: no gap but where another pipe passes.
fn goes_through(left: &Left, car: &Car) -> Result<(), String> {
    for (i, shape) in car.shapes.iter().enumerate() {
        for pair in shape.pieces.windows(2) {
            let (a, b) = (&pair[0].area, &pair[1].area);
            let gap = apart(a, b);
            if gap <= ROUNDING {
                continue;
            }
            let beside = f64::max(b.x - a.x - a.wide, a.x - b.x - b.wide) > ROUNDING;
            let between = match beside {
                true => Area {
                    x: f64::min(a.x + a.wide, b.x + b.wide),
                    y: a.y,
                    wide: gap,
                    high: car.strip,
                },
                false => Area {
                    x: a.x,
                    y: f64::min(a.y + a.high, b.y + b.high),
                    wide: car.strip,
                    high: gap,
                },
            };
            let crosses = |(j, p): (usize, &Piece)| j != i && apart(&p.area, &between) < 0.0;
            let thin = |line: &Vec<(f64, f64)>| {
                line.windows(2).any(|w| apart(&spanned(w), &between) <= 0.0)
            };
            if gap > 2.0 * car.strip
                || !(pieces(car).any(crosses) || car.connectors.iter().any(thin))
            {
                return Err(format!("a gap of {gap} in {}", left.parts[shape.part].part));
            }
        }
    }
    joined(left, car)
}

fn spanned(w: &[(f64, f64)]) -> Area {
    let (x, y) = (w[0].0.min(w[1].0), w[0].1.min(w[1].1));
    Area { x, y, wide: (w[0].0 - w[1].0).abs(), high: (w[0].1 - w[1].1).abs() }
}

/// What joins in the car joins in the drawing: from everything drawn that holds a node's or a link's fluid to the next, by
/// touch, by a place where lines meet, or by a line that holds nothing.
fn joined(left: &Left, car: &Car) -> Result<(), String> {
    // Things drawn: shapes, joints, connectors.
    let mut things: Vec<Vec<Area>> =
        car.shapes.iter().map(|s| s.pieces.iter().map(|p| p.area).collect()).collect();
    things.extend(car.joints.iter().map(|j| vec![*j]));
    things.extend(car.connectors.iter().map(|c| c.windows(2).map(spanned).collect()));
    let solid = car.shapes.len() + car.joints.len();
    let mut of: Vec<usize> = (0..things.len()).collect();
    fn root(of: &[usize], mut i: usize) -> usize {
        while of[i] != i {
            i = of[i];
        }
        i
    }
    for i in 0..things.len() {
        for j in i + 1..things.len() {
            // Lines that hold nothing pass beneath others: they join at their ends alone.
            let touch = |a: &[Area], b: &[Area]| {
                a.iter().any(|a| b.iter().any(|b| apart(a, b) <= ROUNDING))
            };
            let ends = |c: usize| {
                let line = &car.connectors[c - solid];
                let end = |(x, y): (f64, f64)| Area { x, y, wide: 0.0, high: 0.0 };
                [end(line[0]), end(line[line.len() - 1])]
            };
            let meet = match (i >= solid, j >= solid) {
                (false, false) => touch(&things[i], &things[j]),
                (false, true) => touch(&things[i], &ends(j)),
                (true, false) => touch(&ends(i), &things[j]),
                (true, true) => touch(&ends(i), &ends(j)),
            };
            if meet {
                let (a, b) = (root(&of, i), root(&of, j));
                of[a] = b;
            }
        }
    }
    let reservoir = car.shapes.iter().position(|s| s.part == 0).map(|i| root(&of, i));
    for (i, shape) in car.shapes.iter().enumerate() {
        if Some(root(&of, i)) != reservoir {
            return Err(format!("nothing joins {} to the reservoir", left.parts[shape.part].part));
        }
    }
    Ok(())
}

fn check(what: &str, left: &Left) -> Car {
    let car = layout(left, 420.0);
    holds(left, &car).unwrap_or_else(|why| panic!("{why}\n{what}"));
    car
}

#[test]
fn every_shipped_car_is_drawn_whole() {
    for path in shipped() {
        let scenario = farwheel::read_file(&path).unwrap_or_else(|m| panic!("{m}"));
        let car = check(&path.display().to_string(), &left_of(&scenario));
        // Nothing lies apart: below the body.
        let below = car.body.y + car.body.high;
        assert!(
            car.shapes.iter().flat_map(|s| &s.pieces).all(|p| p.area.y < below),
            "{}",
            path.display()
        );
    }
}

fn hatchback() -> Scenario {
    let text = include_str!("../../scenarios/compact-hatchback.toml");
    farwheel::read(text, "compact-hatchback.toml").expect("a good scenario")
}

/// Another width is the same car, larger.
#[test]
fn the_width_is_a_scale() {
    let scenario = hatchback();
    let left = left_of(&scenario);
    let (one, other) = (layout(&left, 420.0), layout(&left, 840.0));
    assert_eq!((other.wide, other.high), (2.0 * one.wide, 2.0 * one.high));
    assert!((other.area_per_ml - 4.0 * one.area_per_ml).abs() < ROUNDING);
}

#[test]
fn random_cars_are_drawn_whole() {
    let mut runner = TestRunner::new(ProptestConfig {
        rng_seed: RngSeed::Fixed(18),
        failure_persistence: None,
        ..ProptestConfig::default()
    });
    for _ in 0..150 {
        let text = car().new_tree(&mut runner).expect("a car").current().toml();
        let scenario =
            farwheel::read(&text, "random.toml").unwrap_or_else(|m| panic!("{text}\n{m}"));
        check(&text, &left_of(&scenario));
    }
}

/// The checks see what they are to see.
#[test]
fn a_spoiled_drawing_is_found_out() {
    let scenario = hatchback();
    let left = left_of(&scenario);
    let spoiled = |spoil: &dyn Fn(&mut Car)| {
        let mut car = layout(&left, 420.0);
        spoil(&mut car);
        holds(&left, &car).expect_err("it is spoiled")
    };
    let pipe = |car: &Car| car.shapes.iter().position(|s| s.pieces.len() > 2).expect("a bent pipe");
    assert!(spoiled(&|car| car.shapes.truncate(3)).contains("has 0 shapes"));
    assert!(spoiled(&|car| car.shapes[1].pieces[0].area.wide *= 1.01).contains("in place of"));
    assert!(spoiled(&|car| car.connectors.clear()).contains("nothing joins"));
    assert!(
        spoiled(&|car| {
            let over = car.shapes[0].pieces[0].area;
            let moved = &mut car.shapes[1].pieces[0].area;
            (moved.x, moved.y) = (over.x, over.y);
        })
        .contains("lies over")
    );
    assert!(
        spoiled(&|car| {
            let i = pipe(car);
            let piece = &mut car.shapes[i].pieces[0].area;
            (piece.x, piece.y) = (62.0, 0.0);
        })
        .contains("a gap")
    );
}
