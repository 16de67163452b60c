//! Levels of the reservoir in words that can be read on it.

use super::phrases::ml;
use crate::study::job_card::Marks;

/// Nobody sees the difference of a level from a mark that is less than this share of what it holds up to MAX.
const NOT_SEEN: f64 = 0.02;

/// The mark at this level, or where it lies between two; millilitres in brackets where no mark says it.
pub(super) fn level(level_ml: f64, marks: &Marks) -> String {
    let mut all = vec![(marks.min, "MIN"), (marks.max, "MAX"), (marks.brim, "the brim")];
    all.extend(marks.wall.map(|wall| (wall, "the dividing wall")));
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let nearest = all.iter().min_by(|a, b| {
        let off = |mark: &(f64, &str)| (mark.0 - level_ml).abs();
        off(a).total_cmp(&off(b))
    });
    let not_seen = NOT_SEEN * marks.max;
    if let Some((_, name)) = nearest.filter(|(mark, _)| (mark - level_ml).abs() <= not_seen) {
        return (*name).to_owned();
    }
    if level_ml <= not_seen {
        return "the bottom, empty".to_owned();
    }
    let below = all.iter().rev().find(|(mark, _)| *mark < level_ml);
    let above = all.iter().find(|(mark, _)| *mark > level_ml);
    let (low_ml, low) = below.copied().unwrap_or((0.0, "the bottom"));
    let words = match above {
        None => format!("above {low}"),
        Some((high_ml, high)) => between((level_ml - low_ml) / (high_ml - low_ml), low, high),
    };
    format!("{words} ({})", ml(level_ml))
}

/// A share of the way from one mark to the next, as the eye has it.
fn between(share: f64, low: &str, high: &str) -> String {
    let way = match share {
        s if s < 0.2 => return format!("just above {low}"),
        s if s < 0.3 => "a quarter",
        s if s < 0.4 => "a third",
        s if s <= 0.6 => "half",
        s if s <= 0.7 => "two thirds",
        s if s <= 0.8 => "three quarters",
        _ => return format!("just below {high}"),
    };
    format!("{way} of the way from {low} to {high}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand, of a reservoir of 270 mL with a wall up to 70 mL.
    #[test]
    fn levels_are_told_by_the_marks() {
        let marks = Marks { wall: Some(70.0), min: 120.0, max: 200.0, brim: 270.0 };
        for (ml, words) in [
            (0.0, "the bottom, empty"),
            (35.0, "half of the way from the bottom to the dividing wall (35\u{a0}mL)"),
            (69.0, "the dividing wall"),
            (121.0, "MIN"),
            (130.0, "just above MIN (130\u{a0}mL)"),
            (140.0, "a quarter of the way from MIN to MAX (140\u{a0}mL)"),
            (160.0, "half of the way from MIN to MAX (160\u{a0}mL)"),
            (180.0, "three quarters of the way from MIN to MAX (180\u{a0}mL)"),
            (190.0, "just below MAX (190\u{a0}mL)"),
            (200.0, "MAX"),
            (235.0, "half of the way from MAX to the brim (235\u{a0}mL)"),
            (280.0, "above the brim (280\u{a0}mL)"),
        ] {
            assert_eq!(level(ml, &marks), words);
        }
        let single = Marks { wall: None, min: 10.0, max: 25.0, brim: 30.0 };
        assert_eq!(level(5.0, &single), "half of the way from the bottom to MIN (5\u{a0}mL)");
    }
}
