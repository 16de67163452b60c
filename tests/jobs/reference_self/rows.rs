//! Lines in a row against one line, and against lines in series.

use super::reference::line::{Kernel, LaminarLine};
use super::reference::quadrature::Quadrature;
use super::reference::row::{LineOfRow, Row};
use super::reference::signal::Signal;
use super::{close, grid};

fn line(volume_ml: f64, remix: f64, joint: f64, old: f64) -> LineOfRow {
    LineOfRow { volume_ml, remix, joint, content: vec![old] }
}

fn inflow() -> Signal {
    Signal::from_fn(grid(0.05, 40.0), 1, |_, v, c| c[0] = 0.5 + 0.4 * (0.3 * v).sin())
}

/// No joint mixes: one line, whatever the pieces. All mix: lines in series.
#[test]
fn joints_of_degree_0_and_1() {
    let volumes = [4.0, 2.5, 6.0];
    for joint in [0.0, 1.0] {
        let lines = volumes.map(|ml| line(ml, 0.0, joint, 0.8));
        let mut row = Row::new(lines.to_vec());
        let outs = row.advance(&inflow());
        let mut entering = inflow();
        for (i, out) in outs.iter().enumerate() {
            let (ml, into) = match joint == 0.0 {
                true => (volumes[..=i].iter().sum(), inflow()),
                false => (volumes[i], entering),
            };
            let mut alone = LaminarLine::new(ml, &[0.8]);
            entering = alone.advance(&into, Kernel::Leaving);
            for k in 0..=out.grid.cells() {
                close(out.node(k)[0], entering.node(k)[0], 1e-12, "what passes");
            }
            let held = row.content();
            let inside: f64 = match joint == 0.0 {
                true => (0..=i).map(|l| volumes[l] * held[l][0]).sum::<f64>() / ml,
                false => held[i][0],
            };
            close(inside, alone.content()[0], 1e-12, "what is inside");
        }
    }
}

/// Degrees are linear: a joint of a third lies a third of the way between none and a full one, in what leaves and
/// in what each line holds.
#[test]
fn a_joint_in_between() {
    let run = |joint: f64| {
        let mut row = Row::new(vec![line(5.0, 0.3, 1.0, 1.0), line(3.0, 0.6, joint, 0.2)]);
        let out = row.advance(&inflow()).remove(1);
        (out, row.content())
    };
    let ((a, held_a), (b, held_b), (c, held_c)) = (run(0.0), run(1.0), run(1.0 / 3.0));
    for k in 0..=c.grid.cells() {
        let mixed = (2.0 * a.node(k)[0] + b.node(k)[0]) / 3.0;
        close(c.node(k)[0], mixed, 1e-12, "what leaves");
    }
    for i in 0..2 {
        let mixed = (2.0 * held_a[i][0] + held_b[i][0]) / 3.0;
        close(held_c[i][0], mixed, 1e-12, "what each holds");
    }
}

/// New fluid into an old piece behind a new one: the lane of delay θ brings what lay x behind the beginning at
/// v = θ (V − x); what leaves is old by F(v/(V − V₁)) less the part that was never old, all in closed form.
#[test]
fn pieces_filled_otherwise() {
    let (first, second) = (5.0, 3.0);
    let new = Signal::constant(grid(0.1, 20.0), &[0.0]);
    let mut row = Row::new(vec![line(first, 0.0, 1.0, 0.0), line(second, 0.0, 0.0, 1.0)]);
    let outs = row.advance(&new);
    let quadrature = Quadrature::new(1e-12);
    for k in 0..=outs[1].grid.cells() {
        let v = outs[1].grid.at(k);
        // Old is what lay less than `second` before the end: v < θ · second.
        let density = |theta: f64| if v < theta * second { 0.5 / theta.powi(3) } else { 0.0 };
        let far = 1e4;
        let exact = quadrature.integrate(&density, 0.5, far, &[v / second]) + 0.25 / (far * far);
        close(outs[1].node(k)[0], exact, 1e-9, "what leaves");
        close(outs[0].node(k)[0], 0.0, 1e-12, "what passes the joint");
    }
    let held = row.content();
    close(held[0][0], 0.0, 1e-12, "in the first");
    let theta = 20.0 / second;
    close(held[1][0], 0.25 / theta, 1e-12, "in the second");
}

/// A little that comes back up: at both ends of a line every radius holds what passed there last, so it is given back as it
/// came, the last first; and when what left above comes down again, all is as if nothing had happened.
#[test]
fn a_little_that_comes_back_up() {
    for (remix, joint) in [(0.0, 1.0), (0.4, 0.3)] {
        let mut row = Row::new(vec![line(9.0, remix, 1.0, 0.8), line(8.0, remix, joint, 0.6)]);
        row.advance(&inflow());
        let mut never = row.clone();
        let tracer = Signal::from_fn(grid(0.05, 1.5), 1, |_, v, c| c[0] = 0.1 + 0.2 * v);
        let (before, taken) = (row.content(), inflow());
        let above = row.push_back(&tracer);
        for k in 0..=above.grid.cells() {
            let was = taken.value(0, 40.0 - above.grid.at(k));
            close(above.node(k)[0], was, 1e-9, "what had come in last");
        }
        // By the books of the row.
        let after = row.content();
        let ml = |c: &[Vec<f64>]| 9.0 * c[0][0] + 8.0 * c[1][0];
        let gained = tracer.integral()[0] - above.integral()[0];
        close(ml(&after) - ml(&before), gained, 1e-4, "old fluid in it");
        // Down again, in two pieces, the second going on beyond where it had been.
        let on = Signal::from_fn(grid(0.05, 6.0), 1, |_, v, c| c[0] = 0.3 + 0.02 * v);
        let back = above.turned();
        let first = row.advance(&back.piece(0.0, 0.5)).pop().expect("two lines");
        for k in 0..=first.grid.cells() {
            let was = tracer.value(0, 1.5 - first.grid.at(k));
            close(first.node(k)[0], was, 1e-9, "the last that came from below");
        }
        row.advance(&back.piece(0.5, 1.5));
        let (out, exact) = (row.advance(&on), never.advance(&on));
        for k in [1, 40, 120] {
            close(out[1].node(k)[0], exact[1].node(k)[0], 1e-5, "as if nothing had happened");
        }
        for (a, b) in row.content().iter().zip(never.content()) {
            close(a[0], b[0], 1e-5, "and what it holds");
        }
    }
}
