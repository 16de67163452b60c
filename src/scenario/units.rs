//! Quantities as text with units, and the exact factors behind them.

/// What a quantity measures. SI units inside: metre, cubic metre, pascal, kelvin, second,
/// square metre per second, kilogram per cubic metre, plain number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Length, m.
    Length,
    /// Volume, m³.
    Volume,
    /// Pressure difference or gauge pressure, Pa.
    Pressure,
    /// Temperature, K (absolute; text in °C, °F or K).
    Temperature,
    /// Time, s.
    Time,
    /// Kinematic viscosity, m²/s.
    KinematicViscosity,
    /// Density, kg/m³.
    Density,
    /// A share between parts and whole; text as `12 %` or a bare number 0.12.
    Share,
    /// A bare number.
    Number,
}
