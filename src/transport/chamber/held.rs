//! What a chamber holds, and where.

use super::Stages;

impl Stages {
    /// The composition of each stage, from inlet to outlet, and of what an accumulator keeps apart.
    pub fn stages(&self) -> impl Iterator<Item = &[f64]> {
        let apart = (self.apart_m3 > 0.0).then_some(&*self.apart);
        let some = self.spec.volume_m3 > 0.0 || apart.is_none();
        self.active.chunks(self.species).filter(move |_| some).chain(apart)
    }

    /// The composition of each stage's pocket; nothing without pockets.
    pub fn pockets(&self) -> impl Iterator<Item = &[f64]> {
        self.pocket.chunks(self.species)
    }

    /// Stages and pockets, and what an accumulator keeps apart.
    pub fn places(&self) -> usize {
        self.stages().count() + self.pockets().count()
    }

    /// Amount held (m³ ·) of what `of` makes of a composition, for instance the old fraction.
    pub fn held_of(&self, of: impl Fn(&[f64]) -> f64) -> f64 {
        let (stage_volume, pocket_volume) = self.sizes();
        let active: f64 = self.active.chunks(self.species).map(&of).sum();
        let pocket: f64 = self.pocket.chunks(self.species).map(&of).sum();
        let apart = if self.apart_m3 > 0.0 { self.apart_m3 * of(&self.apart) } else { 0.0 };
        stage_volume * active + pocket_volume * pocket + apart
    }

    /// Writes the amounts held (m³ · composition).
    pub fn held(&self, sum: &mut [f64]) {
        let (stage_volume, pocket_volume) = self.sizes();
        sum.fill(0.0);
        for stage in self.active.chunks(self.species) {
            for (s, c) in sum.iter_mut().zip(stage) {
                *s += stage_volume * c;
            }
        }
        for pocket in self.pocket.chunks(self.species) {
            for (s, c) in sum.iter_mut().zip(pocket) {
                *s += pocket_volume * c;
            }
        }
        for (s, c) in sum.iter_mut().zip(&self.apart) {
            *s += self.apart_m3 * c;
        }
    }
}
