//! A chamber of the master cylinder under the piston, against its differential equations.

use farwheel::parts::chamber::Chamber;
use farwheel::transport::chamber::Stages;

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} within {tolerance}");
}

/// Stages that a piston sweeps, against the differential equations they stand for, solved in small steps of
/// the classical Runge–Kutta method: dcₖ/dv = qₖ₋₁ (cₖ₋₁ − cₖ)/Vₖ with the flows between stages
/// that keep them of one size.
#[test]
fn swept_stages_follow_their_equations() {
    let derivative = |c: &[f64], total: f64, giving: bool| -> Vec<f64> {
        let n = c.len() as f64;
        (0..c.len())
            .map(|k| {
                let share = if giving { k as f64 } else { n - k as f64 } / n;
                let upstream = if k == 0 { 0.25 } else { c[k - 1] };
                share * (upstream - c[k]) / (total / n)
            })
            .collect()
    };
    for n in [1_usize, 2, 3, 6] {
        let mut stages = Stages::new(Chamber { stages: n, ..Chamber::mixed(12e-6) }, &[1.0]);
        // A profile along the stages first, by flow.
        let mut inflow = [0.0; 2];
        stages.pass(9e-6, 1.0, &mut inflow);
        let a = 9.0 * n as f64 / 12.0;
        let mut c: Vec<f64> = (0..n)
            .map(|k| {
                let mut term = (-a).exp();
                (0..=k)
                    .map(|j| {
                        let now = term;
                        term *= a / (j + 1) as f64;
                        now
                    })
                    .sum()
            })
            .collect();
        let mut total = 12.0;
        for (giving, dv) in [(true, 7.0), (false, 4.0), (true, 2.5), (false, 5.5)] {
            let before: f64 = c.iter().sum::<f64>() * total / n as f64;
            let small = dv / 4000.0;
            for _ in 0..4000 {
                let end = |h: f64| if giving { total - h } else { total + h };
                let moved = |k: &[f64], h: f64| -> Vec<f64> {
                    c.iter().zip(k).map(|(c, k)| c + h * k).collect()
                };
                let k1 = derivative(&c, total, giving);
                let k2 = derivative(&moved(&k1, 0.5 * small), end(0.5 * small), giving);
                let k3 = derivative(&moved(&k2, 0.5 * small), end(0.5 * small), giving);
                let k4 = derivative(&moved(&k3, small), end(small), giving);
                for (i, c) in c.iter_mut().enumerate() {
                    *c += small / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]);
                }
                total = end(small);
            }
            let held = c.iter().sum::<f64>() * total / n as f64;
            if giving {
                let mut left = [0.0];
                stages.give(1e-6 * dv, 1.0, false, &mut left);
                near(1e6 * left[0], before - held, 1e-8);
            } else {
                stages.take_in(1e-6 * dv, 1.0, &[0.25e-6 * dv]);
            }
            let mut sum = [0.0];
            stages.held(&mut sum);
            near(1e6 * sum[0], held, 1e-8);
            near(1e6 * stages.volume(), total, 1e-9);
        }
    }
}
