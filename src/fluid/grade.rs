//! Grades of brake fluid and what their standards ask of them.
//!
//! Limits serve to judge a fluid. They are not properties: a fluid's own figures default to
//! [`super::typical`] and may be overridden by the scenario.

/// What a fluid is made of; decides what it may be mixed with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// Glycol ethers, polyglycols and their borate esters: takes up water.
    Glycol,
    /// Silicone (polydimethylsiloxane): dissolves hardly any water.
    Silicone,
    /// Mineral oil: dissolves hardly any water, and ruins the seals of a glycol system.
    Mineral,
}

impl Family {
    /// What messages call it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Glycol => "glycol",
            Self::Silicone => "silicone",
            Self::Mineral => "mineral oil",
        }
    }

    /// The same with its article.
    pub fn a_fluid(self) -> &'static str {
        match self {
            Self::Glycol => "a glycol fluid",
            Self::Silicone => "a silicone fluid",
            Self::Mineral => "a mineral oil",
        }
    }

    /// The water of its old and of its new fluid where a scenario states none; `None`: as the tables say. Silicone
    /// and mineral oil dissolve no more than some 0.03 and 0.01 % (from memory). Old fluid is taken to hold, in every
    /// place alike, what makes silicone boil at its typical wet boiling point, and mineral oil about there too
    /// (estimates); new fluid none, since its dry boiling point is measured as it comes out of the can.
    pub fn default_water(self) -> Option<(&'static str, &'static str)> {
        match self {
            Self::Glycol => None,
            Self::Silicone => Some(("0.0025 % ± 0.0015 %", "0 %")),
            Self::Mineral => Some(("0.001 % ± 0.0005 %", "0 %")),
        }
    }
}

/// A grade and its limits. A limit that is `None` is not asked by the standard or not known here.
#[derive(Debug, PartialEq)]
pub struct Grade {
    /// Its name, as written in scenarios: `DOT 4`, `ISO 4925 class 6`.
    pub name: &'static str,
    /// Other names for it (common practice, no source); one that stands with two grades is refused.
    pub also: &'static [&'static str],
    /// What it is made of.
    pub family: Family,
    /// The standard that sets the limits.
    pub standard: &'static str,
    /// Least dry equilibrium reflux boiling point, °C.
    pub dry_min_c: Option<f64>,
    /// Least wet equilibrium reflux boiling point, °C.
    pub wet_min_c: Option<f64>,
    /// Largest kinematic viscosity at −40 °C, mm²/s.
    pub nu_minus40_max_mm2_s: Option<f64>,
    /// Smallest kinematic viscosity at 100 °C, mm²/s.
    pub nu_100_min_mm2_s: Option<f64>,
    /// Where the limits come from.
    pub source: &'static str,
}

const CFR: &str = "49 CFR 571.116 (FMVSS 116), S5.1.1 to S5.1.3; wording from memory";
const ISO: &str = "ISO 4925:2020 (class 3 to 6 also 2005), table of requirements; from memory";

const fn glycol(
    name: &'static str,
    also: &'static [&'static str],
    standard: &'static str,
    source: &'static str,
    [dry, wet, nu_minus40]: [f64; 3],
) -> Grade {
    Grade {
        name,
        also,
        family: Family::Glycol,
        standard,
        dry_min_c: Some(dry),
        wet_min_c: Some(wet),
        nu_minus40_max_mm2_s: Some(nu_minus40),
        // The same for every glycol grade of both standards.
        nu_100_min_mm2_s: Some(1.5),
        source,
    }
}

static GRADES: [Grade; 10] = [
    // Behind the source: dry °C, wet °C, ν(−40 °C) mm²/s.
    glycol("DOT 3", &["3"], "FMVSS 116", CFR, [205.0, 140.0, 1500.0]),
    glycol("DOT 4", &["4"], "FMVSS 116", CFR, [230.0, 155.0, 1800.0]),
    glycol(
        "DOT 5.1",
        &["5.1", "DOT 5-1", "DOT 5.1 non-silicone"],
        "FMVSS 116",
        CFR,
        [260.0, 180.0, 900.0],
    ),
    // The ISO rows are from memory.
    glycol(
        "ISO 4925 class 3",
        &["ISO class 3", "class 3", "3"],
        "ISO 4925",
        ISO,
        [205.0, 140.0, 1500.0],
    ),
    glycol(
        "ISO 4925 class 4",
        &["ISO class 4", "class 4", "4"],
        "ISO 4925",
        ISO,
        [230.0, 155.0, 1500.0],
    ),
    glycol(
        "ISO 4925 class 5-1",
        &["ISO class 5-1", "class 5-1", "ISO 4925 class 5.1", "ISO class 5.1", "class 5.1", "5.1"],
        "ISO 4925",
        ISO,
        [260.0, 180.0, 900.0],
    ),
    glycol(
        "ISO 4925 class 6",
        &["ISO class 6", "class 6", "DOT 4 LV", "DOT 4 class 6"],
        "ISO 4925",
        ISO,
        [250.0, 165.0, 750.0],
    ),
    glycol("ISO 4925 class 7", &["ISO class 7", "class 7"], "ISO 4925", ISO, [260.0, 180.0, 750.0]),
    Grade {
        name: "DOT 5",
        also: &["silicone", "DOT 5 silicone"],
        family: Family::Silicone,
        standard: "FMVSS 116",
        dry_min_c: Some(260.0),
        wet_min_c: Some(180.0),
        nu_minus40_max_mm2_s: Some(900.0),
        nu_100_min_mm2_s: Some(1.5),
        source: "49 CFR 571.116 (FMVSS 116), limits of DOT 5 SBBF; from memory",
    },
    Grade {
        name: "mineral oil",
        also: &["mineral", "hydraulic mineral oil"],
        family: Family::Mineral,
        standard: "ISO 7308",
        dry_min_c: None,
        wet_min_c: None,
        nu_minus40_max_mm2_s: None,
        nu_100_min_mm2_s: None,
        source: "ISO 7308 sets limits for petroleum-base fluids; not known here, so none is judged",
    },
];

/// Every grade known, glycol grades first.
pub fn grades() -> &'static [Grade] {
    &GRADES
}

/// The grade of that name; case, spaces and punctuation do not matter, and `ISO` or `4925` may be
/// left out before a class. `None` if there is no such grade.
///
/// ```
/// use farwheel::fluid::grade::grade;
///
/// assert_eq!(grade("dot4").map(|g| g.name), Some("DOT 4"));
/// assert_eq!(grade("ISO 4925 Class 5-1").map(|g| g.name), Some("ISO 4925 class 5-1"));
/// assert_eq!(grade("class 6").map(|g| g.name), Some("ISO 4925 class 6"));
/// assert!(grade("DOT 2").is_none());
/// ```
pub fn grade(name: &str) -> Option<&'static Grade> {
    let wanted = folded(name);
    GRADES.iter().find(|g| folded(g.name) == wanted)
}

/// Whether two grades may stand in one system: only fluids of one family dissolve in each other
/// and suit the same seals.
///
/// ```
/// use farwheel::fluid::grade::{grade, miscible};
///
/// let of = |name| grade(name).ok_or("no such grade");
/// assert!(miscible(of("DOT 3")?, of("DOT 5.1")?));
/// assert!(!miscible(of("DOT 5.1")?, of("DOT 5")?));
/// assert!(!miscible(of("DOT 4")?, of("mineral oil")?));
/// # Ok::<(), &'static str>(())
/// ```
pub fn miscible(a: &Grade, b: &Grade) -> bool {
    a.family == b.family
}

fn folded(name: &str) -> String {
    let plain: String =
        name.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    let class = plain.strip_prefix("iso").unwrap_or(&plain);
    class.strip_prefix("4925").unwrap_or(class).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_grade_is_found_by_its_own_name_and_no_other() {
        for g in grades() {
            assert!(std::ptr::eq(grade(g.name).expect(g.name), g), "{}", g.name);
        }
    }

    #[test]
    fn spelling_is_forgiven_but_not_the_number() {
        for (written, meant) in [
            ("dot3", "DOT 3"),
            (" DOT-4 ", "DOT 4"),
            ("Dot 5.1", "DOT 5.1"),
            ("DOT 5", "DOT 5"),
            ("ISO 4925 class 7", "ISO 4925 class 7"),
            ("iso class 5.1", "ISO 4925 class 5-1"),
            ("Mineral Oil", "mineral oil"),
        ] {
            assert_eq!(grade(written).map(|g| g.name), Some(meant), "{written}");
        }
        for wrong in ["", "DOT", "DOT 6", "class", "ISO 4925", "3", "DOT 4 class 4"] {
            assert_eq!(grade(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn mixing_is_symmetric_and_stays_within_a_family() {
        for a in grades() {
            for b in grades() {
                assert_eq!(miscible(a, b), miscible(b, a));
                assert_eq!(miscible(a, b), a.family == b.family);
            }
        }
    }
}
