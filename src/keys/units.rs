//! Quantities as text with units, and the exact factors behind them.
//!
//! The factors are exact by definition: inch and pound by the international yard and pound
//! agreement of 1959 (0.0254 m, 0.453 592 37 kg), the US gallon as 231 cubic inches, the imperial
//! gallon as 4.546 09 L, standard gravity 9.806 65 m/s², the conventional millimetre of mercury as
//! 13 595.1 kg/m³ × standard gravity × 1 mm. Source: NIST Special Publication 811 (2008),
//! appendix B, and NIST Handbook 44, appendix C (from memory).

use crate::measures::{
    HOUR, INCH, KPA, MINUTE, ML, MM, MM2_PER_S, PSI, STANDARD_GRAVITY, US_FL_OZ, US_GALLON, YEAR,
    ZERO_CELSIUS_K,
};

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

impl Dimension {
    /// Every dimension there is.
    pub const ALL: [Dimension; 9] = [
        Dimension::Length,
        Dimension::Volume,
        Dimension::Pressure,
        Dimension::Temperature,
        Dimension::Time,
        Dimension::KinematicViscosity,
        Dimension::Density,
        Dimension::Share,
        Dimension::Number,
    ];

    /// With its article, as a sentence needs it: `a length`.
    pub fn word(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Volume => "a volume",
            Dimension::Pressure => "a pressure",
            Dimension::Temperature => "a temperature",
            Dimension::Time => "a time",
            Dimension::KinematicViscosity => "a kinematic viscosity",
            Dimension::Density => "a density",
            Dimension::Share => "a share",
            Dimension::Number => "a number",
        }
    }

    /// A text that would be understood.
    pub fn example(self) -> &'static str {
        match self {
            Dimension::Length => "3.33 mm",
            Dimension::Volume => "250 mL",
            Dimension::Pressure => "15 psi",
            Dimension::Temperature => "20 °C",
            Dimension::Time => "90 s",
            Dimension::KinematicViscosity => "1200 mm²/s",
            Dimension::Density => "1.05 g/mL",
            Dimension::Share => "20 %",
            Dimension::Number => "1.4",
        }
    }

    /// The units understood, in the order of the table.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |u| u.dimension == self)
    }

    /// Their names, for messages: `mm, cm, m, in, ft`.
    pub fn unit_names(self) -> String {
        let names: Vec<_> = self.units().map(|u| u.name).collect();
        names.join(", ")
    }
}

/// A unit of measurement: SI value = (number + `offset`) × `factor`.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// The name that messages use.
    pub name: &'static str,
    /// Other spellings.
    pub also: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// SI units per unit.
    pub factor: f64,
    /// Added before the factor; zero for all but °C and °F.
    pub offset: f64,
    /// Seldom meant by who leaves the unit out.
    pub rare: bool,
}

impl Unit {
    /// A value in this unit, in SI units.
    pub fn to_si(&self, number: f64) -> f64 {
        (number + self.offset) * self.factor
    }

    /// A difference in this unit (a spread), in SI units.
    pub fn difference_to_si(&self, number: f64) -> f64 {
        number * self.factor
    }

    /// An SI value in this unit.
    pub fn number_from_si(&self, si: f64) -> f64 {
        si / self.factor - self.offset
    }
}

const fn unit(
    dimension: Dimension,
    name: &'static str,
    also: &'static [&'static str],
    factor: f64,
) -> Unit {
    Unit { name, also, dimension, factor, offset: 0.0, rare: false }
}

const fn rare(unit: Unit) -> Unit {
    Unit { rare: true, ..unit }
}

const IMPERIAL_GALLON: f64 = 4.54609e-3;
const MERCURY: f64 = 13595.1 * STANDARD_GRAVITY;

use Dimension::{
    Density, KinematicViscosity, Length, Number, Pressure, Share, Temperature, Time, Volume,
};

/// Every unit understood.
pub static UNITS: &[Unit] = &[
    unit(Length, "mm", &["millimetre", "millimeter"], MM),
    unit(Length, "cm", &["centimetre", "centimeter"], 1e-2),
    unit(Length, "m", &["metre", "meter", "metres", "meters"], 1.0),
    unit(Length, "in", &["inch", "inches", "\"", "″"], INCH),
    unit(Length, "ft", &["foot", "feet"], 12.0 * INCH),
    unit(Volume, "mL", &["cc", "cm³", "ccm", "ccm³", "millilitre", "milliliter"], ML),
    unit(Volume, "L", &["litre", "liter", "litres", "liters"], 1e-3),
    unit(Volume, "US fl oz", &["fl oz US"], US_FL_OZ),
    rare(unit(Volume, "imp fl oz", &["UK fl oz", "imperial fl oz"], IMPERIAL_GALLON / 160.0)),
    unit(Volume, "US qt", &["US quart", "US quarts"], US_GALLON / 4.0),
    rare(unit(Volume, "imp qt", &["UK qt", "imperial quart"], IMPERIAL_GALLON / 4.0)),
    unit(Pressure, "kPa", &[], KPA),
    unit(Pressure, "bar", &[], 1e5),
    unit(Pressure, "psi", &["psig", "lbf/in²"], PSI),
    rare(unit(Pressure, "mbar", &[], 1e2)),
    rare(unit(Pressure, "MPa", &[], 1e6)),
    rare(unit(Pressure, "Pa", &[], 1.0)),
    rare(unit(Pressure, "mmHg", &[], MERCURY * 1e-3)),
    rare(unit(Pressure, "inHg", &[], MERCURY * INCH)),
    Unit {
        name: "°C",
        also: &["C", "deg C", "celsius"],
        dimension: Temperature,
        factor: 1.0,
        offset: ZERO_CELSIUS_K,
        rare: false,
    },
    Unit {
        name: "°F",
        also: &["F", "deg F", "fahrenheit"],
        dimension: Temperature,
        factor: 5.0 / 9.0,
        offset: 459.67,
        rare: false,
    },
    rare(unit(Temperature, "K", &["kelvin"], 1.0)),
    unit(Time, "s", &["sec", "second", "seconds"], 1.0),
    unit(Time, "min", &["minute", "minutes"], MINUTE),
    unit(Time, "h", &["hr", "hour", "hours"], HOUR),
    rare(unit(Time, "months", &["month"], YEAR / 12.0)),
    rare(unit(Time, "years", &["year", "yr"], YEAR)),
    unit(KinematicViscosity, "mm²/s", &["cSt"], MM2_PER_S),
    unit(Density, "kg/m³", &[], 1.0),
    unit(Density, "g/mL", &["g/cm³", "g/cc", "kg/L"], 1e3),
    unit(Share, "%", &["percent"], 1e-2),
    PLAIN_SHARE,
    PLAIN_NUMBER,
];

/// The unit of a share written as a bare number; its name is empty.
const PLAIN_SHARE: Unit = unit(Share, "", &[], 1.0);
/// The unit of a bare number; its name is empty.
const PLAIN_NUMBER: Unit = unit(Number, "", &[], 1.0);

/// Units left open by their name, and what to write instead.
const AMBIGUOUS: &[(&str, &str)] = &[
    ("floz", "US fl oz (29.57 mL) or imp fl oz (28.41 mL)"),
    ("oz", "US fl oz (29.57 mL) or imp fl oz (28.41 mL)"),
    ("fluidounce", "US fl oz (29.57 mL) or imp fl oz (28.41 mL)"),
    ("qt", "US qt (946 mL) or imp qt (1137 mL)"),
    ("quart", "US qt (946 mL) or imp qt (1137 mL)"),
    ("quarts", "US qt (946 mL) or imp qt (1137 mL)"),
];

/// What became of a unit's name.
#[derive(Debug, PartialEq)]
pub enum Found {
    /// This unit.
    Unit(&'static Unit),
    /// It may mean several: what to write instead.
    Ambiguous(&'static str),
    /// No such unit.
    Unknown,
}

/// The spelling that lower and upper case, spaces, full stops and kinds of μ, ², ³ and ° do not change.
fn bare(name: &str, fold_case: bool) -> String {
    let mut out = String::with_capacity(name.len());
    for c in name.chars() {
        match c {
            c if c.is_whitespace() => {}
            '.' | '^' => {}
            'µ' | 'μ' => out.push('u'),
            '²' => out.push('2'),
            '³' => out.push('3'),
            'º' | '˚' => out.push('°'),
            c if fold_case => out.extend(c.to_lowercase()),
            c => out.push(c),
        }
    }
    out
}

/// The unit that goes by this name, preferring those of `wanted`.
///
/// Upper and lower case are told apart only where they change the size: `mPa` is not read as
/// `MPa`, nor `Mbar` as `mbar`.
pub fn find(name: &str, wanted: Option<Dimension>) -> Found {
    let exact = bare(name, false);
    let folded = bare(name, true);
    if matches!((folded.as_str(), exact.chars().next()), ("mpa", Some('m'))) {
        return Found::Ambiguous("MPa (a million pascals) or Pa; mPa is a thousandth of one");
    }
    if matches!((folded.as_str(), exact.chars().next()), ("mbar", Some('M'))) {
        return Found::Ambiguous("mbar (a thousandth of a bar) or bar");
    }
    let named =
        |u: &&Unit| bare(u.name, true) == folded || u.also.iter().any(|a| bare(a, true) == folded);
    let first = wanted.and_then(|d| d.units().find(named));
    if let Some(u) = first.or_else(|| UNITS.iter().find(named)) {
        return Found::Unit(u);
    }
    match AMBIGUOUS.iter().find(|(word, _)| *word == folded) {
        Some((_, instead)) => Found::Ambiguous(instead),
        None => Found::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn si(number: f64, name: &str) -> f64 {
        match find(name, None) {
            Found::Unit(u) => u.to_si(number),
            other => panic!("{name}: {other:?}"),
        }
    }

    /// Exact definitions, NIST Handbook 44 appendix C and NIST SP 811 appendix B (from memory).
    #[test]
    fn factors_are_exact() {
        let table = [
            (1.0, "in", 0.0254),
            (1.0, "ft", 0.3048),
            (1.0, "US fl oz", 29.5735295625e-6),
            (1.0, "imp fl oz", 28.4130625e-6),
            (1.0, "US qt", 946.352946e-6),
            (1.0, "imp qt", 1136.5225e-6),
            (1.0, "mmHg", 133.322387415),
            (1.0, "inHg", 3386.388640341),
            (1.0, "bar", 100_000.0),
            (32.0, "°F", 273.15),
            (212.0, "F", 373.15),
            (-40.0, "C", 233.15),
            (1.0, "cSt", 1e-6),
            (1.05, "g/mL", 1050.0),
            (1.0, "h", 3600.0),
        ];
        for (number, name, expected) in table {
            let got = si(number, name);
            assert!(
                (got - expected).abs() <= 4.0 * f64::EPSILON * expected.abs(),
                "{number} {name}: {got} against {expected}"
            );
        }
        // 1 lbf/in² = 0.45359237 × 9.80665 / 0.0254² Pa = 8896443230521 / 1290320000 Pa, all exact.
        let psi = 8_896_443_230_521.0 / 1_290_320_000.0;
        assert!((si(15.0, "psi") - 15.0 * psi).abs() < 1e-10 * psi);
        assert!((si(15.0, "psi") - 103_421.359_397).abs() < 1e-5);
    }

    #[test]
    fn spelling_does_not_matter_where_it_is_clear() {
        for name in ["psi", "PSI", " Psi ", "p.s.i."] {
            assert_eq!(si(1.0, name), si(1.0, "psi"), "{name}");
        }
        for name in ["cc", "CC", "ccm", "ccm³", "cm3", "cm³", "cm^3", "ml", "mL", "ML"] {
            assert_eq!(si(1.0, name), 1e-6, "{name}");
        }
        assert_eq!(si(1.0, "usfloz"), si(1.0, "US fl. oz."));
        assert_eq!(si(1.0, "mm2/s"), 1e-6);
        assert_eq!(si(20.0, "º C"), 293.15);
    }

    #[test]
    fn unclear_names_are_not_guessed() {
        for name in ["fl oz", "oz", "qt", "mPa", "Mbar"] {
            assert!(matches!(find(name, None), Found::Ambiguous(_)), "{name}");
        }
        assert_eq!(find("furlong", None), Found::Unknown);
    }

    /// Each spelling belongs to one unit.
    #[test]
    fn no_two_units_share_a_name() {
        let mut seen = std::collections::BTreeSet::new();
        for u in UNITS.iter().filter(|u| !u.name.is_empty()) {
            for n in std::iter::once(&u.name).chain(u.also) {
                assert!(seen.insert(bare(n, true)), "{n} twice");
            }
        }
    }
}
