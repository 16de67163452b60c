//! A tube in laminar flow whose fluid also diffuses across it: what lanes leave out.
//!
//! ∂c/∂θ + 2(1 − s) ∂c/∂z = 4 τ ∂/∂s (s ∂c/∂s), with s = r²/R², z and θ in tube lengths and volumes, τ = D t/R² over the
//! time of one tube volume; diffusion along the tube is left out (Taylor, *Proc. R. Soc. A* 219:186, 1953). Rings of equal
//! volume: upwind with a limiter along the tube (Roe's superbee), backward Euler across it, step by step in turn.

pub struct DiffusingTube {
    /// Old fraction of what leaves, at equal steps of throughput.
    leaving: Vec<f64>,
    step: f64,
}

pub const RINGS: usize = 40;
const CELLS: usize = 200;

impl DiffusingTube {
    /// Full of old fluid, flushed with so many volumes of new.
    pub fn flushed(diffusion_number: f64, volumes: f64) -> Self {
        // The fastest ring just stays within a cell a step.
        let step = 0.5 / CELLS as f64;
        let speed: Vec<f64> =
            (0..RINGS).map(|i| 2.0 * (1.0 - (i as f64 + 0.5) / RINGS as f64)).collect();
        let mut rings = vec![vec![1.0; CELLS]; RINGS];
        let across = Across::new(4.0 * diffusion_number * step);
        let leaving = (0..(volumes / step) as usize)
            .map(|_| {
                let courant = speed.iter().map(|u| u * step * CELLS as f64);
                let out: f64 = rings.iter_mut().zip(courant).map(|(r, c)| advance(r, c)).sum();
                across.mix(&mut rings);
                out / (RINGS as f64 * step * CELLS as f64)
            })
            .collect();
        Self { leaving, step }
    }

    /// Old fraction of what leaves after so many volumes.
    pub fn leaving(&self, volumes: f64) -> f64 {
        self.leaving[(volumes / self.step) as usize]
    }

    /// Volumes after which no more than `share` of the old fluid is left in it.
    pub fn volumes_to_clear(&self, share: f64) -> f64 {
        let mut left = 1.0;
        let cleared = self.leaving.iter().take_while(|c| {
            left -= *c * self.step;
            left > share
        });
        cleared.count() as f64 * self.step
    }

    /// Volumes after which what leaves is no older than `eye`.
    pub fn clean_at(&self, eye: f64) -> f64 {
        self.leaving.iter().take_while(|c| **c > eye).count() as f64 * self.step
    }
}

/// Moves what a ring holds along it by `courant` cells, new fluid behind it; returns what left, in cells.
fn advance(ring: &mut [f64], courant: f64) -> f64 {
    let (mut entering, mut before) = (0.0, 0.0);
    for i in 0..ring.len() {
        let here = ring[i];
        let (behind, ahead) = (here - before, ring.get(i + 1).map_or(0.0, |next| next - here));
        let ratio = if ahead == 0.0 { 0.0 } else { behind / ahead };
        let limited = (2.0 * ratio).min(1.0).max(ratio.min(2.0)).max(0.0);
        let passing = courant * (here + 0.5 * (1.0 - courant) * limited * ahead);
        ring[i] = here + entering - passing;
        (entering, before) = (passing, here);
    }
    entering
}

/// Backward Euler across the rings: a tridiagonal system, the same for every cell, factored once (Thomas).
struct Across {
    /// Exchange between a ring and the next, by the volume of a ring.
    exchange: Vec<f64>,
    pivots: Vec<f64>,
}

impl Across {
    fn new(four_tau: f64) -> Self {
        let n = RINGS as f64;
        let exchange: Vec<f64> =
            (1..=RINGS).map(|i| if i < RINGS { four_tau * i as f64 * n } else { 0.0 }).collect();
        let mut pivots = vec![1.0 + exchange[0]];
        for i in 1..RINGS {
            let before = exchange[i - 1];
            pivots.push(1.0 + before + exchange[i] - before * before / pivots[i - 1]);
        }
        Self { exchange, pivots }
    }

    fn mix(&self, rings: &mut [Vec<f64>]) {
        let mut here = [0.0; RINGS];
        for cell in 0..CELLS {
            for (h, ring) in here.iter_mut().zip(&*rings) {
                *h = ring[cell];
            }
            for i in 1..RINGS {
                here[i] += here[i - 1] * self.exchange[i - 1] / self.pivots[i - 1];
            }
            here[RINGS - 1] /= self.pivots[RINGS - 1];
            for i in (0..RINGS - 1).rev() {
                here[i] = (here[i] + self.exchange[i] * here[i + 1]) / self.pivots[i];
            }
            for (h, ring) in here.iter().zip(&mut *rings) {
                ring[cell] = *h;
            }
        }
    }
}
