//! The questions, in the order of what they are worth: those asked of everybody first, each worth millilitres, then
//! those for who wants to say more.

use super::brakes::{self, max_m3};
use super::given::Answers;
use super::lines::figure;
use super::question::{Choice, Form, Question};
use super::taken::{kind, modulator, reservoir_right, supply_of, usual};
use crate::keys::bounds;
use crate::measures::{MM, to_ml};
use crate::scenario::quantity_text::plain;
use crate::scenario::vehicle_kind::{RearBrakes, Split, VehicleKind};

/// A word that says what it means.
const fn word(word: &'static str) -> Choice {
    Choice { word, means: "" }
}

/// A word with what it means.
const fn means(word: &'static str, means: &'static str) -> Choice {
    Choice { word, means }
}

const YES_NO: &[Choice] = &[word("yes"), word("no")];
const SIDES: &[Choice] = &[word("left"), word("right")];
const WEAR: &[Choice] = &[
    means("new", "hardly worn"),
    means("half", "about half of the lining left"),
    means("worn", "near the mark"),
];

fn always(_: &Answers) -> bool {
    true
}

fn car(answers: &Answers) -> bool {
    kind(answers) != VehicleKind::Motorcycle
}

fn motorcycle(answers: &Answers) -> bool {
    !car(answers)
}

fn tested(answers: &Answers) -> bool {
    answers.known("tester").is_some_and(|t| t != "none")
}

fn pushed_by(answers: &Answers, supply: &str) -> bool {
    supply_of(answers) == supply
}

fn millimetres(m: f64) -> String {
    format!("{} mm", plain(m / MM))
}

/// Every question.
pub static QUESTIONS: &[Question] = &[
    Question {
        id: "kind",
        asked: "What is it?",
        help: "The class it belongs to tells all that is not answered. Of a motorcycle it is the front brake.",
        decides: "every estimate",
        form: Form::Choice(&[
            word("city car"),
            word("hatchback"),
            means("saloon", "sedan"),
            means("estate", "station wagon"),
            word("SUV"),
            word("pickup"),
            word("van"),
            means("roadster", "small open car, often older"),
            word("motorcycle"),
        ]),
        more: false,
        applies: always,
        default: |_| "hatchback, every estimate twice as wide".to_owned(),
    },
    Question {
        id: "clean",
        asked: "When do you close a bleeder screw?",
        help: "Hold the clear hose beside new fluid.",
        decides: "millilitres and what stays behind, more than anything else",
        form: Form::Choice(&[
            means("like new", "10 % old fluid at most"),
            means("faint tint", "20 %"),
            means("clearly lighter", "30 %"),
        ]),
        more: false,
        applies: always,
        default: |_| "faint tint, or rather more or less".to_owned(),
    },
    Question {
        id: "syringe",
        asked: "Will you suck out the reservoir first?",
        help: "With a syringe, then new fluid to MAX. A choice, not a guess.",
        decides: "how much old fluid the lines are spared, up to half of what is drained",
        form: Form::Choice(YES_NO),
        more: false,
        applies: always,
        default: |_| "no".to_owned(),
    },
    Question {
        id: "level",
        asked: "Where is the fluid in the reservoir?",
        help: "At the marks on its wall, the vehicle level.",
        decides: "old fluid that must go first",
        form: Form::Choice(&[word("over MAX"), word("MAX"), word("between"), word("MIN")]),
        more: false,
        applies: always,
        default: |_| "somewhere between the marks or above".to_owned(),
    },
    Question {
        id: "max",
        asked: "How many mL does the reservoir hold at MAX?",
        help: "Printed on cap or wall; else count what a syringe takes, or what goes in.",
        decides: "old fluid that must go first",
        form: Form::Quantity(&bounds::MARK, "250 mL"),
        more: false,
        applies: always,
        default: |a| format!("about {} mL, from what the brakes take up", figure(to_ml(max_m3(a)))),
    },
    Question {
        id: "front_pads",
        asked: "How worn are the front pads?",
        help: "Through the wheel, against the backing plate.",
        decides: "fluid in the front calipers",
        form: Form::Choice(WEAR),
        more: false,
        applies: always,
        default: |_| "anywhere from new to worn".to_owned(),
    },
    Question {
        id: "rear",
        asked: "What brakes the rear wheels?",
        help: "Through the wheel. A cable to the caliper means that the parking brake works its piston.",
        decides: "fluid at the rear wheels",
        form: Form::Choice(&[
            word("discs"),
            word("discs with a parking-brake piston"),
            word("drums"),
        ]),
        more: false,
        applies: car,
        default: |a| usual(a).rear.map_or("", RearBrakes::words).to_owned(),
    },
    Question {
        id: "front_caliper",
        asked: "How many pistons has a front caliper?",
        help: "1 or 2 on one side of the disc, or 2, 4 or 6 on both.",
        decides: "fluid in the front calipers",
        form: Form::Choice(&[
            word("1"),
            word("2"),
            means("2 opposed", "one on each side"),
            means("4", "on both sides"),
            means("6", "on both sides"),
        ]),
        more: false,
        applies: always,
        default: |a| usual(a).front_pistons.number.to_string(),
    },
    Question {
        id: "front_discs",
        asked: "How many front discs?",
        help: "One caliper each.",
        decides: "fluid at the wheel",
        form: Form::Choice(&[word("1"), word("2")]),
        more: false,
        applies: motorcycle,
        default: |_| "2".to_owned(),
    },
    Question {
        id: "abs",
        asked: "Does an ABS or ESC lamp come on with the ignition?",
        help: "On the dash, for a few seconds.",
        decides: "fluid trapped where no bleeder reaches",
        form: Form::Choice(YES_NO),
        more: false,
        applies: always,
        default: |a| if usual(a).modulator { "yes" } else { "no" }.to_owned(),
    },
    Question {
        id: "rear_line",
        asked: "How thick is the brake line to the rear, outside?",
        help: "Over the axle, with a gauge or a wrench: 3/16 in is 4.75 mm, 1/4 in is 6.35 mm.",
        decides: "fluid in the longest line",
        form: Form::Choice(&[word("4.75 mm"), word("6 mm"), word("6.35 mm")]),
        more: false,
        applies: |a| matches!(kind(a), VehicleKind::Pickup | VehicleKind::Van),
        default: |_| "6 mm".to_owned(),
    },
    Question {
        id: "steering",
        asked: "On which side is the steering wheel?",
        help: "Seen from the driver's seat.",
        decides: "which wheels the card calls the driver's",
        form: Form::Choice(SIDES),
        more: false,
        applies: car,
        default: |_| "left".to_owned(),
    },
    Question {
        id: "reservoir_side",
        asked: "On which side is the brake fluid reservoir?",
        help: "Seen from the driver's seat.",
        decides: "which wheel is far, where there is no ABS unit",
        form: Form::Choice(SIDES),
        more: false,
        applies: car,
        default: |a| a.known("steering").unwrap_or("left").to_owned(),
    },
    Question {
        id: "unit_side",
        asked: "On which side is the ABS unit?",
        help: "A metal block with six brake lines on it, seen from the driver's seat.",
        decides: "which wheel is far: that across from it, at the rear",
        form: Form::Choice(SIDES),
        more: false,
        applies: |a| car(a) && modulator(a),
        default: |a| if reservoir_right(a) { "right" } else { "left" }.to_owned(),
    },
    Question {
        id: "grade",
        asked: "Which fluid is in it?",
        help: "On the cap.",
        decides: "boiling points; which fluids must never meet",
        form: Form::Choice(&[word("DOT 3"), word("DOT 4"), word("DOT 5.1")]),
        more: false,
        applies: always,
        default: |_| "DOT 4".to_owned(),
    },
    Question {
        id: "new_grade",
        asked: "Which fluid goes in?",
        help: "The grade that the maker names, out of a sealed bottle.",
        decides: "boiling points",
        form: Form::Choice(&[word("DOT 3"), word("DOT 4"), word("DOT 5.1")]),
        more: false,
        applies: always,
        default: |a| a.known("grade").unwrap_or("DOT 4").to_owned(),
    },
    Question {
        id: "tester",
        asked: "What kind of tester did you dip into the old fluid?",
        help: "Most show percent of water, some degrees. Without one choose none.",
        decides: "how much water is said to stay behind",
        form: Form::Choice(&[
            word("none"),
            means("pen", "measures how it conducts"),
            means("strip", "changes colour"),
            word("refractometer"),
            means("boiling point", "boils a sample"),
        ]),
        more: false,
        applies: always,
        default: |_| "none".to_owned(),
    },
    Question {
        id: "tested",
        asked: "What does it show?",
        help: "Percent of water, or degrees.",
        decides: "how much water is said to stay behind",
        form: Form::Either(&bounds::BOILING_POINT, &bounds::WATER, "3 % or 160 °C"),
        more: false,
        applies: tested,
        default: |_| "as if it had not been tested".to_owned(),
    },
    Question {
        id: "tested_at",
        asked: "Where was it dipped?",
        help: "What comes out of a bleeder holds about a percent more water than the reservoir.",
        decides: "how much water is said to stay behind",
        form: Form::Choice(&[word("reservoir"), word("bleeder")]),
        more: false,
        applies: tested,
        default: |_| "reservoir".to_owned(),
    },
    Question {
        id: "supply",
        asked: "What pushes the fluid?",
        help: "With a pedal two people work together, with a lever one.",
        decides: "minutes, and whether the load is enough",
        form: Form::Choice(&[
            word("pressure bleeder"),
            means("pedal", "or lever, stroke by stroke"),
            word("vacuum"),
            word("gravity"),
        ]),
        more: false,
        applies: always,
        default: |_| "pressure bleeder".to_owned(),
    },
    Question {
        id: "gauge",
        asked: "What does its gauge read when you open the first bleeder screw?",
        help: "Never over the maker's limit.",
        decides: "minutes",
        form: Form::Quantity(&bounds::GAUGE, "15 psi"),
        more: false,
        applies: |a| pushed_by(a, "pressure bleeder"),
        default: |_| "15 psi".to_owned(),
    },
    Question {
        id: "loaded",
        asked: "How much new fluid do you load?",
        help: "Read on the bottles that you pour in.",
        decides: "whether it runs dry",
        form: Form::Quantity(&bounds::POURED, "1 L"),
        more: false,
        applies: |a| pushed_by(a, "pressure bleeder"),
        default: |_| "twice what the system holds and a little, in half litres".to_owned(),
    },
    Question {
        id: "limit",
        asked: "Which pressure does the maker allow at the reservoir?",
        help: "In the service instructions.",
        decides: "when the card warns",
        form: Form::Quantity(&bounds::GAUGE_LIMIT, "20 psi"),
        more: false,
        applies: |a| pushed_by(a, "pressure bleeder"),
        default: |_| "none is stated, and a warning says so".to_owned(),
    },
    Question {
        id: "split",
        asked: "How are the two circuits split?",
        help: "Follow the two lines from the master cylinder: to both front wheels, or to one front and the rear wheel across.",
        decides: "which wheels share a circuit",
        form: Form::Choice(&[
            means("front/rear", "II"),
            means("diagonal", "X"),
            means("other", "taken as usual for its kind"),
        ]),
        more: true,
        applies: car,
        default: |a| match usual(a).split {
            Some(Split::II) => "front/rear".to_owned(),
            _ => "diagonal".to_owned(),
        },
    },
    Question {
        id: "front_piston",
        asked: "What is the diameter of a front piston?",
        help: "In the parts list, or measured.",
        decides: "fluid in the front calipers",
        form: Form::Quantity(&bounds::PISTON, "54 mm"),
        more: true,
        applies: always,
        default: |a| millimetres(brakes::front(a).diameter_m),
    },
    Question {
        id: "rear_piston",
        asked: "What is the diameter of a rear piston or wheel cylinder?",
        help: "In the parts list, or measured.",
        decides: "fluid at the rear wheels",
        form: Form::Quantity(&bounds::PISTON, "54 mm"),
        more: true,
        applies: car,
        default: |a| millimetres(brakes::rear_m(a)),
    },
    Question {
        id: "rear_pads",
        asked: "How worn are the rear pads or shoes?",
        help: "Through the wheel; shoes through the hole in the backing plate.",
        decides: "fluid at the rear wheels",
        form: Form::Choice(WEAR),
        more: true,
        applies: car,
        default: |_| "anywhere from new to worn".to_owned(),
    },
    Question {
        id: "bleeders",
        asked: "How many bleeder screws has a front caliper?",
        help: "Calipers with pistons on both sides may have one on each.",
        decides: "the order, and what runs past a bleeder",
        form: Form::Choice(&[word("1"), word("2")]),
        more: true,
        applies: |a| brakes::front(a).number >= 4,
        default: |_| "1".to_owned(),
    },
    Question {
        id: "wheelbase",
        asked: "What is the wheelbase?",
        help: "Hub to hub along one side, by tape or from the papers.",
        decides: "lengths of the lines",
        form: Form::Quantity(&bounds::WHEELBASE, "2.6 m"),
        more: true,
        applies: car,
        default: |a| format!("{} m", plain(usual(a).wheelbase_m.0)),
    },
    Question {
        id: "track",
        asked: "What is the track width?",
        help: "Middle to middle of the tires of one axle.",
        decides: "lengths of the lines",
        form: Form::Quantity(&bounds::TRACK, "1.5 m"),
        more: true,
        applies: car,
        default: |a| format!("{} m", plain(usual(a).track_m)),
    },
    Question {
        id: "master_bore",
        asked: "What is the bore of the master cylinder?",
        help: "Often cast into it.",
        decides: "fluid in the master cylinder",
        form: Form::Quantity(&bounds::MASTER_BORE, "22.2 mm"),
        more: true,
        applies: always,
        default: |a| millimetres(usual(a).master_m.0),
    },
    Question {
        id: "temperature",
        asked: "How warm are bay and vehicle?",
        help: "Cold fluid runs slowly.",
        decides: "minutes",
        form: Form::Quantity(&bounds::TEMPERATURE, "20 °C"),
        more: false,
        applies: always,
        default: |_| "20 °C".to_owned(),
    },
    Question {
        id: "age",
        asked: "How long ago was the fluid changed?",
        help: "Records, or a label under the hood. It does not tell the water, but how far that may be off.",
        decides: "how sure the water is",
        form: Form::Quantity(&bounds::AGE, "3 years"),
        more: true,
        applies: always,
        default: |_| "unknown".to_owned(),
    },
    Question {
        id: "replaced",
        asked: "Was a part replaced, so that there is air in it?",
        help: "Since the last bleeding.",
        decides: "when the figures hold",
        form: Form::Choice(&[
            word("none"),
            word("master cylinder"),
            word("ABS unit"),
            means("left front brake", "caliper"),
            means("right front brake", "caliper"),
            means("left rear brake", "caliper or wheel cylinder"),
            means("right rear brake", "caliper or wheel cylinder"),
            word("front hoses"),
            word("rear hoses"),
        ]),
        more: false,
        applies: car,
        default: |_| "none".to_owned(),
    },
    Question {
        id: "replaced_on_motorcycle",
        asked: "Was a part replaced, so that there is air in it?",
        help: "Since the last bleeding.",
        decides: "when the figures hold",
        form: Form::Choice(&[
            word("none"),
            word("master cylinder"),
            word("calipers"),
            word("hoses"),
        ]),
        more: false,
        applies: motorcycle,
        default: |_| "none".to_owned(),
    },
];

/// The question of this name.
pub fn question(id: &str) -> Option<&'static Question> {
    QUESTIONS.iter().find(|q| q.id == id)
}

/// What is still to be asked after these answers, in turn; with `more`, all of it.
pub fn to_ask(answers: &Answers, more: bool) -> impl Iterator<Item = &'static Question> {
    let open =
        move |q: &&Question| (more || !q.more) && (q.applies)(answers) && !answers.answered(q.id);
    QUESTIONS.iter().filter(open)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluid::grade::grade;
    use crate::fluid::reading::{TestedAt, Tester};
    use crate::keys::worded::Word;
    use crate::scenario::tables::Side;
    use std::collections::BTreeSet;

    fn words(id: &str) -> BTreeSet<&'static str> {
        match question(id).expect("a question").form {
            Form::Choice(choices) => choices.iter().map(|c| c.word).collect(),
            _ => BTreeSet::new(),
        }
    }

    fn all<W: Word + Default>() -> BTreeSet<&'static str> {
        W::default().all().iter().copied().collect()
    }

    #[test]
    fn choices_are_the_words_that_a_scenario_takes() {
        assert_eq!(words("kind"), all::<VehicleKind>());
        assert_eq!(words("rear"), all::<RearBrakes>());
        assert_eq!(words("steering"), all::<Side>());
        assert_eq!(words("tested_at"), all::<TestedAt>());
        let testers = &words("tester") - &BTreeSet::from(["none"]);
        assert_eq!(testers, all::<Tester>());
        for id in ["grade", "new_grade"] {
            assert!(words(id).into_iter().all(|name| grade(name).is_some()));
        }
    }

    #[test]
    fn names_are_unique_and_every_default_can_be_said() {
        let ids: BTreeSet<_> = QUESTIONS.iter().map(|q| q.id).collect();
        assert_eq!(ids.len(), QUESTIONS.len());
        for q in QUESTIONS {
            assert!(!(q.default)(&Answers::default()).is_empty() || q.id == "rear", "{}", q.id);
        }
    }
}
