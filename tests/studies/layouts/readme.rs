//! Tables and sentences on splits, and on far and near, are the program's: docs/layouts.md, docs/order.md, README.md.

use super::SPLITS;
use super::study::ANSWER;
use crate::common::program::words;
use farwheel::job::options::Options;
use farwheel::study::progress::Nobody;

const README: &str = include_str!("../../../README.md");
const SPLIT: &str = include_str!("../../../docs/layouts.md");
const ORDER: &str = include_str!("../../../docs/order.md");

fn says(page: &str, sentence: &str) {
    assert!(words(page).contains(sentence), "the page should say: {sentence}");
}

#[test]
fn the_page_shows_the_five_splits() {
    let mut table = "| split | holds | bleeders | drained, far wheel first | near wheel first | old fluid left, far wheel first | near wheel first |\n| --- | --- | --- | --- | --- | --- | --- |\n".to_owned();
    for ((split, _), l) in SPLITS.iter().zip(&ANSWER.layouts) {
        let (far, near) = (&l.far_first, &l.near_first);
        table += &format!(
            "| {split} | {:.0} mL | {} | {:.0} mL | {:.0} mL | {:.1} % | {:.1} % |\n",
            l.capacity_ml,
            l.bleeders,
            far.totals.drained_ml,
            near.totals.drained_ml,
            100.0 * far.left.old_fraction,
            100.0 * near.left.old_fraction,
        );
    }
    assert!(
        SPLIT.replace("\r\n", "\n").contains(&table),
        "docs/layouts.md should hold this table, word for word:\n\n{table}"
    );
}

#[test]
fn sentences_name_the_programs_figures() {
    let between = ANSWER.between.as_ref().expect("five layouts");
    let order = ANSWER.by_order.expect("an order that matters");
    let name = |i: usize| SPLITS[i].0;
    for sentence in [
        format!(
            "from {} to {} by {:.0} mL or {:.0} %",
            name(between.fluid.least),
            name(between.fluid.most),
            between.fluid.difference.ml,
            100.0 * between.fluid.share
        ),
        format!("by {:.1} % at most ({})", 100.0 * order.share, name(order.layout)),
    ] {
        says(SPLIT, &sentence);
    }
    says(README, &format!("the new fluid used rises by {:.0} %", 100.0 * between.fluid.share));
    // "Far wheel first takes longer with a bleeder open."
    for l in &ANSWER.layouts {
        let (far, near) = (&l.far_first.totals, &l.near_first.totals);
        assert!(far.flow_seconds > near.flow_seconds, "{}", l.file);
    }
}

/// Far wheel first and near wheel first, by eye and by count, as the table of docs/order.md has them.
#[test]
fn the_page_says_what_far_and_near_take() {
    let read = |file: &str| {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(file);
        farwheel::read_file(&path).expect("it reads")
    };
    let cars = [read("compact-hatchback.toml"), read("estate-front-rear-split.toml")];
    let answer =
        farwheel::study::layouts::compare(&cars, &Options::default(), &Nobody).expect("it runs");
    let clock = |s: f64| format!("{}:{:02}", (s.round() as u32) / 60, (s.round() as u32) % 60);
    for (l, car) in answer
        .layouts
        .iter()
        .zip(["compact hatchback | by eye", "estate | 240, 180, 120, 80 mL counted"])
    {
        let (far, near) = (&l.far_first, &l.near_first);
        let row = format!(
            "| {car} | {:.0}, {:.0} mL | {}, {} min | {:.1}, {:.1} % |",
            far.totals.drained_ml,
            near.totals.drained_ml,
            clock(far.totals.flow_seconds),
            clock(near.totals.flow_seconds),
            100.0 * far.left.old_fraction,
            100.0 * near.left.old_fraction,
        );
        assert!(ORDER.contains(&row), "docs/order.md should hold this row:\n{row}");
    }
    let (far, near) = (&answer.layouts[0].far_first.totals, &answer.layouts[0].near_first.totals);
    says(
        README,
        &format!(
            "wheel first drains {:.0} mL, near wheel first {:.0}",
            far.drained_ml, near.drained_ml
        ),
    );
    says(
        README,
        &format!("{} min against {} min", clock(far.flow_seconds), clock(near.flow_seconds)),
    );
}
