//! The fluid laws against figures from outside the project, each with its source, and against
//! properties they must have whatever the figures.

use farwheel::fluid::blend::{Blend, Fluid};
use farwheel::fluid::boiling::{Boiling, water_mole_fraction};
use farwheel::fluid::density::density_kg_m3;
use farwheel::fluid::grade::{Family, Grade, grade, grades};
use farwheel::fluid::steam::saturation_pressure_pa;
use farwheel::fluid::viscosity::Walther;
use farwheel::fluid::water;
use farwheel::measures::{ATMOSPHERE_PA, ZERO_CELSIUS_K};
use proptest::prelude::*;

fn known(name: &str) -> &'static Grade {
    grade(name).expect("a grade of the standards")
}

fn fahrenheit(c: f64) -> f64 {
    c * 1.8 + 32.0
}

fn close(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "got {got}, expected {expected} ± {tolerance}");
}

/// IAPWS R7-97(2012), table 35: saturation pressures for checking a program, nine digits.
#[test]
fn saturation_pressure_of_water_if97_table_35() {
    for (kelvin, mpa) in
        [(300.0, 0.353_658_941e-2), (500.0, 0.263_889_776e1), (600.0, 0.123_443_146e2)]
    {
        let got = saturation_pressure_pa(kelvin).expect("in range") * 1e-6;
        close(got / mpa, 1.0, 2e-9);
    }
}

/// 32 mm²/s at 40 °C and 5.4 at 100 °C give 8.5 at 80 °C: a public worked example of ASTM D341.
#[test]
fn walther_worked_example() {
    let law = Walther::through((40.0 + ZERO_CELSIUS_K, 32e-6), (100.0 + ZERO_CELSIUS_K, 5.4e-6))
        .expect("in range");
    close(law.nu_m2_s(80.0 + ZERO_CELSIUS_K) * 1e6, 8.5, 0.05);
}

/// ASTM D341 Annex A1 also gives a closed inverse, ν = (Z − 0.7) − exp(−0.7487 − 3.295 (Z − 0.7) +
/// 0.6119 (Z − 0.7)² − 0.3193 (Z − 0.7)³): the curve through two points of low viscosity must agree
/// with it to the closeness of that approximation.
#[test]
fn walther_low_viscosity_term_agrees_with_the_inverse_of_astm_d341() {
    let (cold, hot) = ((313.15, 1.6), (423.15, 0.5));
    let law = Walther::through((cold.0, cold.1 * 1e-6), (hot.0, hot.1 * 1e-6)).expect("in range");
    let w = |nu: f64| {
        let z: f64 = nu + 0.7 + (-1.47 - 1.84 * nu - 0.51 * nu * nu).exp();
        z.log10().log10()
    };
    let slope = (w(hot.1) - w(cold.1)) / (f64::log10(hot.0) - f64::log10(cold.0));
    for kelvin in [313.15, 340.0, 373.15, 400.0, 423.15] {
        let line = w(cold.1) + slope * (f64::log10(kelvin) - f64::log10(cold.0));
        let d = 10f64.powf(10f64.powf(line)) - 0.7;
        let standard = d - (-0.7487 - 3.295 * d + 0.6119 * d * d - 0.3193 * d * d * d).exp();
        close(law.nu_m2_s(kelvin) * 1e6 / standard, 1.0, 5e-3);
    }
}

/// 49 CFR 571.116 S5.1.1 and S5.1.2 state the boiling points in °C and in °F (from memory).
#[test]
fn boiling_limits_in_fahrenheit_as_the_cfr_states_them() {
    for (name, dry_f, wet_f) in [
        ("DOT 3", 401.0, 284.0),
        ("DOT 4", 446.0, 311.0),
        ("DOT 5", 500.0, 356.0),
        ("DOT 5.1", 500.0, 356.0),
    ] {
        let g = known(name);
        close(fahrenheit(g.dry_min_c.expect("limited")), dry_f, 0.5);
        close(fahrenheit(g.wet_min_c.expect("limited")), wet_f, 0.5);
    }
}

/// DOT 3 boils a little over 400 °F dry, and at about 284 °F with 3 % water: common practice, no
/// source. The wet minimum of the standard, 284 °F, belongs to 3.7 %, so a DOT 3 just at its
/// limits meets it there; with 3.0 % it has to boil higher, by as much as the curve falls between.
#[test]
fn dot_3_at_its_limits_against_the_facts_of_the_trade() {
    let g = known("DOT 3");
    let fluid = Fluid {
        dry_c: g.dry_min_c.expect("limited"),
        wet_c: g.wet_min_c.expect("limited"),
        ..Fluid::typical(g)
    };
    let law = fluid.boiling();
    let [dry_f, at_3_0_f, at_3_7_f] = [0.0, 3.0, 3.7].map(|w| fahrenheit(law.boiling_c(w)));
    println!(
        "DOT 3 at its limits: dry {dry_f:.1} °F, 3.0 % {at_3_0_f:.1} °F, 3.7 % {at_3_7_f:.1} °F"
    );
    assert!(dry_f > 400.0 && dry_f < 405.0);
    close(at_3_7_f, 284.0, 1e-6);
    // The trade's round figure is nine degrees Fahrenheit on the safe side of the model's: less
    // water than at the wet minimum, yet the same temperature.
    assert!(at_3_0_f > 284.0);
    // Regression value of this program.
    close(at_3_0_f, 292.8, 0.1);
}

/// Triethylene glycol monomethyl ether, boiling point 249 °C (CRC Handbook, from memory), molar mass
/// 164.20 from its formula C7H16O4: an ideal mixture with 3.7 % water boils at about 142 °C, which a
/// calculation by hand from steam tables gives too (0.259 × 3.79 bar + 0.741 × 0.03 bar = 1.01 bar).
#[test]
fn triethylene_glycol_monomethyl_ether_as_an_ideal_mixture() {
    close(Boiling::new(249.0, 164.20, 1.0).boiling_c(3.7), 142.0, 0.5);
}

/// Clausius–Clapeyron with the entropy of hydrogen-bonded liquids, held against water itself:
/// within 2 % of IF97 for 25 K either side of its boiling point.
#[test]
fn vapour_pressure_of_a_dry_fluid_against_water() {
    let law = Boiling::new(99.974, 18.015, 1.0);
    for kelvin in [348.15, 360.0, 373.124, 385.0, 398.15] {
        let steam = saturation_pressure_pa(kelvin).expect("in range");
        close(law.vapour_pressure_pa(kelvin) / steam, 1.0, 0.02);
    }
}

/// Water and 1-butanol (117.7 °C; takes up about 20 mass % of water) boil together at 92.7 °C once
/// there is free water. CRC Handbook, table of azeotropes; from memory. The model takes butanol for
/// ideal in its own phase, which is why a kelvin and a half is allowed.
#[test]
fn free_water_boils_with_the_fluid_like_water_and_butanol() {
    let law = Boiling::sparing(117.7, 74.12, 20.0);
    close(law.boiling_c(30.0), 92.7, 1.5);
    assert_eq!(law.boiling_c(30.0), law.boiling_c(60.0));
}

/// The molar mass is the least certain figure of the fit; this is how little hangs on it. Over 160 to
/// 270 g/mol the curve moves by less than a kelvin near the fitted point (3 to 4.5 % water), and
/// stays within two kelvin of the one for 215 g/mol from 1 to 6 %. A bound on this program's own
/// model, not a figure from outside.
#[test]
fn fitted_curve_hardly_depends_on_the_molar_mass() {
    for name in ["DOT 3", "DOT 4", "DOT 5.1"] {
        let g = known(name);
        let (dry, wet) = (g.dry_min_c.expect("limited"), g.wet_min_c.expect("limited"));
        for water in [1.0, 2.0, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0] {
            let [light, middle, heavy] =
                [160.0, 215.0, 270.0].map(|m| Boiling::fitted(dry, wet, m).boiling_c(water));
            println!("{name} {water} %: {light:.2}, {middle:.2}, {heavy:.2} °C");
            close(light, middle, 2.0);
            close(heavy, middle, 2.0);
            if (3.0..=4.5).contains(&water) {
                close(light, heavy, 1.0);
            }
        }
    }
}

/// A litre of water weighs 0.998 kg at 20 °C and 0.992 at 40 °C (any handbook); its mean expansion
/// coefficient between them is 3.0e-4 per kelvin.
#[test]
fn density_of_water_over_temperature() {
    close(density_kg_m3(998.2, 3.0e-4, 313.15), 992.2, 0.1);
}

/// Brake fluid at room temperature is some fifteen times as thick as water, 10 to 20 mm²/s: common
/// practice, no source. Between the points of the data sheet that is for the Walther equation to give.
#[test]
fn glycol_fluids_at_room_temperature() {
    for g in grades().iter().filter(|g| g.family == Family::Glycol) {
        let nu = Fluid::typical(g).nu_m2_s(293.15) * 1e6;
        println!("{}: {nu:.1} mm²/s at 20 °C", g.name);
        assert!((10.0..20.0).contains(&nu), "{} {nu}", g.name);
    }
}

/// Data sheets state viscosity at −40 and 100 °C, 233.15 and 373.15 K: there a fluid has what its sheet says.
#[test]
fn viscosities_are_those_of_the_data_sheet_where_it_states_them() {
    for g in grades() {
        let fluid = Fluid::typical(g);
        close(fluid.nu_m2_s(233.15) * 1e6 / fluid.nu_minus40_mm2_s, 1.0, 1e-9);
        close(fluid.nu_m2_s(373.15) * 1e6 / fluid.nu_100_mm2_s, 1.0, 1e-9);
    }
}

#[test]
fn mineral_oil_with_water_boils_like_water() {
    let wet = Fluid::typical(known("mineral oil")).boiling().boiling_c(1.0);
    assert!(wet > 98.0 && wet < 100.0, "{wet}");
}

#[test]
fn regression_values_of_typical_dot_3_with_dot_4() {
    // Produced by this program; they only guard against unnoticed change.
    let blend = Blend::new(Fluid::typical(known("DOT 3")), Fluid::typical(known("DOT 4")), 293.15);
    close(blend.nu_m2_s(0.5) * 1e6, 15.38, 0.01);
    close(blend.boiling_c(0.5, 0.0), 247.756, 1e-3);
    close(blend.boiling_c(0.5, 2.0), 172.087, 1e-3);
}

/// The left side of the bubble-point equation, in atmospheres, written out afresh.
fn bubble_sum(law: &Boiling, water_percent: f64, boiling_c: f64) -> f64 {
    let t = boiling_c + ZERO_CELSIUS_K;
    let (wet, dry) = (water_percent / 18.015_268, (100.0 - water_percent) / law.molar_mass_g_mol);
    let x = wet / (wet + dry);
    let steam = saturation_pressure_pa(t).expect("in range");
    (x * law.gamma_w * steam + (1.0 - x) * law.vapour_pressure_pa(t)) / ATMOSPHERE_PA
}

prop_compose! {
    /// A glycol fluid without contradictions. `wet_share` is how far its wet point lies from 100 °C
    /// toward the dry one: 0.38 to 0.5 at the limits of the grades.
    fn fluid_up_to(wet_share_max: f64)(
        index in 0..8usize,
        dry_c in 190.0..340.0f64,
        wet_share in 0.1..wet_share_max,
        nu_minus40_mm2_s in 200.0..3000.0f64,
        nu_100_mm2_s in 0.8..10.0f64,
        density_20_kg_m3 in 950.0..1150.0f64,
        molar_mass_g_mol in 150.0..300.0f64,
    ) -> Fluid {
        Fluid {
            dry_c,
            wet_c: 100.0 + (dry_c - 100.0) * wet_share,
            nu_minus40_mm2_s,
            nu_100_mm2_s,
            density_20_kg_m3,
            molar_mass_g_mol,
            ..Fluid::typical(&grades()[index])
        }
    }
}

fn any_fluid() -> impl Strategy<Value = Fluid> {
    fluid_up_to(0.95)
}

proptest! {
    #[test]
    fn boiling_falls_with_water_and_starts_at_the_dry_point(
        fluid in any_fluid(), less in 0.0..12.0f64, more in 0.01..3.0f64,
    ) {
        let law = fluid.boiling();
        prop_assert!((law.boiling_c(0.0) - fluid.dry_c).abs() < 1e-6);
        prop_assert!((law.boiling_c(3.7) - fluid.wet_c).abs() < 1e-6);
        let (drier, wetter) = (law.boiling_c(less), law.boiling_c(less + more));
        // Level once there is free water, falling until then.
        let x = water_mole_fraction(less + more, fluid.molar_mass_g_mol);
        if x * law.gamma_w < 1.0 {
            prop_assert!(wetter < drier);
            prop_assert!((bubble_sum(&law, less + more, wetter) - 1.0).abs() < 1e-9);
        } else {
            prop_assert!(wetter <= drier + 1e-9);
        }
        prop_assert!(wetter > 90.0);
    }

    #[test]
    fn blend_has_each_fluid_at_its_ends(
        old in any_fluid(), new in any_fluid(), water in 0.0..10.0f64, kelvin in 233.15..353.15f64,
    ) {
        let blend = Blend::new(old.clone(), new.clone(), kelvin);
        for (phi, fluid) in [(0.0, &new), (1.0, &old)] {
            prop_assert!((blend.boiling_c(phi, water) - fluid.boiling().boiling_c(water)).abs() < 1e-8);
            prop_assert!((blend.nu_m2_s(phi) / fluid.nu_m2_s(kelvin) - 1.0).abs() < 1e-12);
            prop_assert!((blend.density_kg_m3(phi) / fluid.density_kg_m3(kelvin) - 1.0).abs() < 1e-12);
            prop_assert!((blend.water_g_per_ml(phi, water) - fluid.water_g_per_ml(water)).abs() < 1e-12);
        }
    }

    #[test]
    fn blend_lies_between_its_fluids(
        old in any_fluid(), new in any_fluid(), phi in 0.0..1.0f64, kelvin in 233.15..353.15f64,
    ) {
        let blend = Blend::new(old.clone(), new.clone(), kelvin);
        let within = |got: f64, a: f64, b: f64| {
            let slack = 1e-9 * a.abs().max(b.abs());
            got >= a.min(b) - slack && got <= a.max(b) + slack
        };
        prop_assert!(within(blend.boiling_c(phi, 0.0), old.dry_c, new.dry_c));
        prop_assert!(within(blend.nu_m2_s(phi), old.nu_m2_s(kelvin), new.nu_m2_s(kelvin)));
        prop_assert!(within(
            blend.density_kg_m3(phi),
            old.density_kg_m3(kelvin),
            new.density_kg_m3(kelvin),
        ));
        let geometric = (old.nu_m2_s(kelvin) * new.nu_m2_s(kelvin)).sqrt();
        prop_assert!((blend.nu_m2_s(0.5) / geometric - 1.0).abs() < 1e-12);
    }

    #[test]
    fn blend_boils_lower_with_more_water(
        old in fluid_up_to(0.8), new in fluid_up_to(0.8), phi in 0.0..1.0f64,
        less in 0.0..10.0f64, more in 0.0..3.0f64,
    ) {
        let blend = Blend::new(old, new, 293.15);
        prop_assert!(blend.boiling_c(phi, less + more) <= blend.boiling_c(phi, less) + 1e-9);
    }

    #[test]
    fn water_goes_there_and_back(
        old in any_fluid(), new in any_fluid(), phi in 0.0..1.0f64, percent in 0.0..100.0f64,
    ) {
        let blend = Blend::new(old, new, 293.15);
        let back = blend.water_percent(phi, blend.water_g_per_ml(phi, percent));
        prop_assert!((back - percent).abs() < 1e-9);
    }

    #[test]
    fn volumes_of_water_and_dry_fluid_add_up(percent in 0.0..100.0f64, density in 800.0..1200.0f64) {
        // One millilitre of mixture weighs c/w; its two components must fill it.
        prop_assume!(percent > 0.01);
        let c = water::water_g_per_ml(percent, density);
        let dry_g = c * (100.0 - percent) / percent;
        prop_assert!((c / 0.998_206_7 + dry_g / (density * 1e-3) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn walther_falls_and_goes_through_its_points(
        cold in 5.0..5000.0f64, ratio in 0.05..0.9f64, kelvin in 230.0..420.0f64, rise in 0.5..20.0f64,
    ) {
        let hot = cold * ratio;
        let law = Walther::through((253.15, cold * 1e-6), (373.15, hot * 1e-6)).expect("in range");
        prop_assert!((law.nu_m2_s(253.15) * 1e6 / cold - 1.0).abs() < 1e-9);
        prop_assert!((law.nu_m2_s(373.15) * 1e6 / hot - 1.0).abs() < 1e-9);
        prop_assert!(law.nu_m2_s(kelvin + rise) < law.nu_m2_s(kelvin));
    }

    #[test]
    fn contradictory_figures_still_give_numbers(
        dry_c in -50.0..500.0f64, wet_c in -50.0..500.0f64, water in -1.0..120.0f64,
        molar_mass in 20.0..1000.0f64, nu_cold in 1e-3..1e9f64, nu_hot in 1e-3..1e9f64,
    ) {
        let fluid = Fluid {
            dry_c,
            wet_c,
            molar_mass_g_mol: molar_mass,
            nu_minus40_mm2_s: nu_cold,
            nu_100_mm2_s: nu_hot,
            ..Fluid::typical(known("DOT 4"))
        };
        prop_assert!(fluid.boiling().boiling_c(water).is_finite());
        prop_assert!(fluid.nu_m2_s(293.15) > 0.0);
        let blend = Blend::new(fluid.clone(), fluid, 293.15);
        prop_assert!(blend.boiling_c(0.5, water).is_finite());
    }
}
