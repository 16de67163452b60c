//! Laminar lines against closed forms.

use super::reference::line::{Kernel, LaminarLine};
use super::reference::quadrature::Quadrature;
use super::reference::signal::Signal;
use super::{close, grid};

/// Danckwerts 1953; Levenspiel, Chemical Reaction Engineering: F(θ) = 1 − 1/(4θ²) from θ = ½ on.
#[test]
fn laminar_line_follows_the_published_curve() {
    let mut line = LaminarLine::new(20.0, &[1.0]);
    let new = Signal::constant(grid(0.07, 100.0), &[0.0]);
    let out = line.advance(&new, Kernel::Leaving);
    let rows =
        [(0.75, 0.5556), (1.0, 0.75), (1.5, 0.8889), (2.0, 0.9375), (3.0, 0.9722), (5.0, 0.99)];
    for (theta, f) in rows {
        // Half a unit of the last printed digit, and the interpolation between points.
        close(1.0 - out.value(0, 20.0 * theta), f, 6e-5, "F");
        let k = (20.0 * theta / 0.07) as usize;
        let exact = 0.25 / (out.grid.at(k) / 20.0_f64).powi(2);
        close(out.node(k)[0], exact, 1e-13, "F at a point of the grid");
    }
    for k in 0..=142 {
        close(out.node(k)[0], 1.0, 1e-13, "nothing new before θ = ½");
    }
}

/// What is left in a line at rest before: ∫ (1 − F) from θ on, 1 − θ and then 1/(4θ).
#[test]
fn laminar_line_keeps_what_its_age_distribution_says() {
    for theta in [0.2, 0.5, 0.8, 2.0, 5.0] {
        let mut line = LaminarLine::new(12.0, &[1.0]);
        let new = Signal::constant(grid(0.1, 12.0 * theta), &[0.0]);
        let out = line.advance(&new, Kernel::Leaving);
        let exact = if theta < 0.5 { 1.0 - theta } else { 0.25 / theta };
        close(line.content()[0], exact, 1e-12, "content");
        // Conservation: the outflow's integral carries the error of its straight pieces.
        let gone = 12.0 * (1.0 - line.content()[0]);
        close(out.integral()[0], gone, 2e-3, "what left");
    }
}

/// A stop, at a volume off the grid, must not show.
#[test]
fn interrupted_flow_is_the_same_flow() {
    let inflow = |v: f64| (0.1 * v).cos().abs();
    let mut whole = LaminarLine::new(9.0, &[0.7]);
    let all = Signal::from_fn(grid(0.01, 40.0), 1, |_, v, c| c[0] = inflow(v));
    let out = whole.advance(&all, Kernel::Leaving);
    let mut stopped = LaminarLine::new(9.0, &[0.7]);
    let mut from = 0.0;
    for stretch in [3.337, 0.004, 11.7771, 24.8819] {
        let part = Signal::from_fn(grid(0.01, stretch), 1, |_, v, c| c[0] = inflow(from + v));
        let piece = stopped.advance(&part, Kernel::Leaving);
        for k in 0..=piece.grid.cells() {
            let at = from + piece.grid.at(k);
            close(piece.node(k)[0], out.value(0, at), 3e-5, "outlet");
        }
        from += stretch;
    }
    close(stopped.content()[0], whole.content()[0], 1e-6, "content");
}

/// Closed-form cell integrals against quadrature of the kernels themselves.
#[test]
fn kernels_integrate_as_they_should() {
    let quadrature = Quadrature::new(1e-14);
    let leaving = |t: f64| if t < 0.5 { 0.0 } else { 0.5 / t.powi(3) };
    let inside = |t: f64| if t < 0.5 { 1.0 } else { 0.25 / (t * t) };
    let cells = [(0.0, 0.3), (0.45, 0.52), (0.5, 0.51), (1.0, 1.01), (3.0, 9.0)];
    for (a, b) in cells {
        for (kernel, density) in
            [(Kernel::Leaving, &leaving as &dyn Fn(f64) -> f64), (Kernel::Inside, &inside)]
        {
            let (zeroth, first) = kernel.moments(a, b);
            let moment = |t: f64| (t - a) * density(t);
            close(zeroth, quadrature.integrate(density, a, b, &[0.5]), 1e-13, "∫k");
            close(first, quadrature.integrate(&moment, a, b, &[0.5]), 1e-13, "∫θk");
            close(kernel.tail(a) - kernel.tail(b), zeroth, 1e-13, "tail");
        }
    }
    let sine = quadrature.integrate(&f64::sin, 0.0, 3.0, &[]);
    close(sine, 1.0 - 3.0_f64.cos(), 1e-13, "the quadrature itself");
}
