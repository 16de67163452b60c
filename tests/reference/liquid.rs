//! Viscosity and density of old with new, at one temperature.

/// What a data sheet says of a brake fluid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Liquid {
    /// Kinematic viscosity at −40 °C, mm²/s.
    pub nu_cold_mm2_s: f64,
    /// Kinematic viscosity at 100 °C, mm²/s.
    pub nu_hot_mm2_s: f64,
    /// Density at 20 °C, kg/m³.
    pub density_20_kg_m3: f64,
    /// Thermal expansion by volume, 1/K.
    pub expansion_per_k: f64,
}

impl Liquid {
    /// Kinematic viscosity, m²/s: ln ln Z is a straight line in ln T, Z = ν + 0.7 + exp(−1.47 − 1.84 ν −
    /// 0.51 ν²), ν in mm²/s (Walther 1931; ASTM D341). Solved for ν by bisection.
    fn nu_m2_s(&self, celsius: f64) -> f64 {
        let z = |nu: f64| nu + 0.7 + (-1.47 - 1.84 * nu - 0.51 * nu * nu).exp();
        let place = |nu: f64| z(nu).ln().ln();
        let [cold, hot, here] = [-40.0, 100.0, celsius].map(|c: f64| (c + 273.15).ln());
        let share = (here - cold) / (hot - cold);
        let (from, to) = (place(self.nu_cold_mm2_s), place(self.nu_hot_mm2_s));
        let wanted = (from + share * (to - from)).exp().exp();
        let (mut low, mut high) = (0.2, 1e7);
        for _ in 0..200 {
            let mid: f64 = 0.5 * (low + high);
            if z(mid) < wanted { low = mid } else { high = mid }
        }
        1e-6 * low
    }

    fn density_kg_m3(&self, celsius: f64) -> f64 {
        self.density_20_kg_m3 / (1.0 + self.expansion_per_k * (celsius - 20.0))
    }
}

/// Old and new mixed: volumes add up, and ln ν goes by the share of volume (Arrhenius 1887).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    nu_old: f64,
    nu_new: f64,
    density_old: f64,
    density_new: f64,
}

impl Mixture {
    /// Both fluids at a temperature in °C.
    pub fn new(old: &Liquid, new: &Liquid, celsius: f64) -> Self {
        Self {
            nu_old: old.nu_m2_s(celsius),
            nu_new: new.nu_m2_s(celsius),
            density_old: old.density_kg_m3(celsius),
            density_new: new.density_kg_m3(celsius),
        }
    }

    /// Density (kg/m³) and kinematic viscosity (m²/s) at an old fraction.
    pub fn at(&self, old: f64) -> (f64, f64) {
        let density = old * self.density_old + (1.0 - old) * self.density_new;
        (density, self.nu_old.powf(old) * self.nu_new.powf(1.0 - old))
    }
}
