//! A chamber whose volume changes while fluid only enters or only leaves: a low-pressure accumulator.

use super::Stages;

impl Stages {
    /// Takes in `dv` m³ with these amounts and grows by as much. Exact for one well-mixed stage without
    /// pocket: what enters mixes with all that is there, and nothing leaves meanwhile.
    pub fn swell(&mut self, dv: f64, amounts: &[f64]) {
        let before = self.spec.volume_m3;
        let after = before + dv;
        if after > 0.0 {
            for (c, a) in self.active.iter_mut().zip(amounts) {
                *c = (*c * before + a) / after;
            }
        }
        self.spec.volume_m3 = after;
    }

    /// Gives out `dv` m³ (at most all it holds) and shrinks by as much; writes the amounts given. What
    /// stays keeps its composition. One well-mixed stage without pocket, as [`Stages::swell`].
    pub fn shrink(&mut self, dv: f64, amounts: &mut [f64]) {
        let dv = dv.min(self.spec.volume_m3);
        for (a, c) in amounts.iter_mut().zip(&self.active) {
            *a = dv * c;
        }
        self.spec.volume_m3 -= dv;
    }
}
