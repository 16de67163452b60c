//! How far the assumptions of the lanes hold: diffusion and buoyancy across a tube.

use super::setting::Setting;
use crate::fluid::blend::Fluid;
use crate::measures::STANDARD_GRAVITY;

/// Diffusion coefficient of one glycol-ether fluid in another near room temperature, m²/s: order of
/// magnitude for molecules of 200 g/mol in a liquid of 15 mPa·s (Stokes–Einstein), from memory.
pub const DIFFUSION_M2_S: f64 = 1e-10;

/// Density of water at 20 °C, kg/m³ (handbook value, from memory).
const WATER_KG_M3: f64 = 998.2;

/// Time in which a density difference turns the cross-section of a level tube over, s; infinite
/// without a difference.
///
/// Buoyancy Δρ g against viscous stress μ U/R² over the radius gives U ≈ Δρ g R²/(16 μ); the fluid
/// has to move by one bore. An order of magnitude (dimensional estimate, no source): valid for
/// Re ≪ 1 of that motion, which holds in brake lines.
///
/// Arguments: bore in m, density difference in kg/m³, dynamic viscosity in Pa·s.
pub fn overturn_time_s(bore_m: f64, density_difference_kg_m3: f64, mu_pa_s: f64) -> f64 {
    let radius = 0.5 * bore_m;
    let speed = density_difference_kg_m3 * STANDARD_GRAVITY * radius * radius / (16.0 * mu_pa_s);
    bore_m / speed
}

/// Density of a fluid with water in it, kg/m³, by ideal volumes; water as a share of the mass.
pub fn wet_density_kg_m3(dry_kg_m3: f64, water_share: f64) -> f64 {
    1.0 / (water_share / WATER_KG_M3 + (1.0 - water_share) / dry_kg_m3)
}

/// Time in which the density difference of old and new fluid would overturn a line's cross-section, s;
/// `None` if they are equally dense or the link is no tube.
pub(crate) fn overturn_s(setting: &Setting, link: usize) -> Option<f64> {
    let (bore_m, _) = setting.circuit.links[link].bore_and_length_m()?;
    let wet = |f: &Fluid| {
        let dry = f.density_kg_m3(setting.blend.temperature_k());
        wet_density_kg_m3(dry, 0.01 * f.water_percent)
    };
    let difference = (wet(setting.blend.old_fluid()) - wet(setting.blend.new_fluid())).abs();
    let mu = setting.blend.nu_m2_s(0.5) * setting.blend.density_kg_m3(0.5);
    (difference > 1e-3).then(|| overturn_time_s(bore_m, difference, mu))
}
