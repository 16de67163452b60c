//! A chamber whose volume changes while fluid only enters or only leaves: a low-pressure accumulator.

use super::Stages;

/// Less than this share of what last moved is no fluid but what rounding leaves apart.
const ROUNDING: f64 = 1e-12;

impl Stages {
    /// Takes in `dv` m³ with these amounts and grows by as much. What is not to go by ([`bypass_share`]) mixes with all
    /// that is there; the rest lies apart, mixed in itself. Exact for one well-mixed stage without pocket.
    ///
    /// [`bypass_share`]: crate::parts::chamber::Chamber::bypass_share
    pub fn swell(&mut self, dv: f64, amounts: &[f64]) {
        let by = self.spec.bypass_share;
        mix(&mut self.active, &mut self.spec.volume_m3, (1.0 - by) * dv, (amounts, dv));
        if by > 0.0 {
            self.apart.resize(self.species, 0.0);
            mix(&mut self.apart, &mut self.apart_m3, by * dv, (amounts, dv));
        }
    }

    /// Gives out `dv` m³ (at most all it holds) and shrinks by as much, the two places by the shares in which they were
    /// filled; writes the amounts given. What stays keeps its composition. One well-mixed stage without pocket, as
    /// [`Stages::swell`].
    pub fn shrink(&mut self, dv: f64, amounts: &mut [f64]) {
        let apart = (self.spec.bypass_share * dv).min(self.apart_m3);
        let mixed = (dv - apart).min(self.spec.volume_m3);
        for (a, c) in amounts.iter_mut().zip(&self.active) {
            *a = mixed * c;
        }
        for (a, c) in amounts.iter_mut().zip(&self.apart) {
            *a += apart * c;
        }
        self.spec.volume_m3 -= mixed;
        self.apart_m3 -= apart;
        if self.apart_m3 > 0.0 && self.apart_m3 <= ROUNDING * dv {
            let left = std::mem::take(&mut self.apart_m3);
            mix(&mut self.active, &mut self.spec.volume_m3, left, (&self.apart, 1.0));
        }
    }
}

/// Mixes `dv` m³, of what has these amounts in so much, into what is there.
fn mix(row: &mut [f64], volume_m3: &mut f64, dv: f64, (amounts, of): (&[f64], f64)) {
    let (before, after) = (*volume_m3, *volume_m3 + dv);
    if dv > 0.0 && after > 0.0 {
        for (c, a) in row.iter_mut().zip(amounts) {
            *c = (*c * before + dv / of * a) / after;
        }
    }
    *volume_m3 = after;
}
