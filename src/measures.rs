//! Constants of physics, and the conversions between SI and the units that people read: each stands here once.
//! Any room may import this file, it imports none.

/// Standard gravity, m/s²: exact by definition (3rd General Conference on Weights and Measures, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// Atmospheric pressure, Pa (standard atmosphere, ISO 2533).
pub const ATMOSPHERE_PA: f64 = 101_325.0;
/// Absolute zero in °C: kelvin = degrees Celsius + this.
pub const ZERO_CELSIUS_K: f64 = 273.15;

/// A millimetre in metres.
pub const MM: f64 = 1e-3;
/// An inch in metres: exact by definition (1959).
pub const INCH: f64 = 0.0254;
/// A millilitre in m³.
pub const ML: f64 = 1e-6;
/// A US gallon in m³: exact, 231 cubic inches.
pub const US_GALLON: f64 = 231.0 * INCH * INCH * INCH;
/// A US fluid ounce in m³.
pub const US_FL_OZ: f64 = US_GALLON / 128.0;
/// A kilopascal in Pa.
pub const KPA: f64 = 1e3;
/// A pound-force per square inch in Pa, 6894.757 293 168 361…: exact by definition of pound and inch (1959).
pub const PSI: f64 = 0.453_592_37 * STANDARD_GRAVITY / (INCH * INCH);
/// A pound-force per square inch in kPa.
pub const KPA_PER_PSI: f64 = 1e-3 * PSI;
/// A square millimetre per second (a centistokes) in m²/s.
pub const MM2_PER_S: f64 = 1e-6;
/// A minute in seconds.
pub const MINUTE: f64 = 60.0;
/// An hour in seconds.
pub const HOUR: f64 = 3600.0;

/// A day in seconds.
pub const DAY: f64 = 24.0 * HOUR;
/// A year in seconds: the Julian year of 365.25 days (IAU).
pub const YEAR: f64 = 365.25 * DAY;

/// Units of pressure and temperature that people read. Volumes are in millilitres in both, as catch bottles are
/// marked; US totals have fluid ounces beside them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Units {
    /// kPa with psi beside it, °C.
    #[default]
    Metric,
    /// psi, °F, and US fluid ounces beside totals.
    Us,
}

/// A temperature in °C, in °F: exact by definition.
#[inline]
pub fn to_fahrenheit(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// A volume in mL, in US fluid ounces.
#[inline]
pub fn to_us_fl_oz(ml: f64) -> f64 {
    from_ml(ml) / US_FL_OZ
}

/// A volume in m³, in mL; likewise a flow in m³/s, in mL/s.
#[inline]
pub fn to_ml(m3: f64) -> f64 {
    1e6 * m3
}

/// A volume in mL, in m³.
#[inline]
pub fn from_ml(ml: f64) -> f64 {
    ML * ml
}

/// A pressure in Pa, in kPa.
#[inline]
pub fn to_kpa(pa: f64) -> f64 {
    1e-3 * pa
}

/// A pressure in kPa, in Pa.
#[inline]
pub fn from_kpa(kpa: f64) -> f64 {
    KPA * kpa
}

/// A kinematic viscosity in m²/s, in mm²/s.
#[inline]
pub fn to_mm2_s(m2_s: f64) -> f64 {
    1e6 * m2_s
}

/// A kinematic viscosity in mm²/s, in m²/s.
#[inline]
pub fn from_mm2_s(mm2_s: f64) -> f64 {
    MM2_PER_S * mm2_s
}

/// A temperature in K, in °C.
#[inline]
pub fn to_celsius(kelvin: f64) -> f64 {
    kelvin - ZERO_CELSIUS_K
}
