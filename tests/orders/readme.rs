//! The README's table of what an order is worth is the program's.

use crate::shipped;
use farwheel::study::orders::{self, Wishes};
use farwheel::study::progress::Nobody;

const README: &str = include_str!("../../README.md");

#[test]
fn the_readme_says_what_an_order_is_worth() {
    for (name, car) in [
        ("compact-hatchback", "compact hatchback | by eye"),
        ("van-long-lines", "van, long lines | by eye"),
        ("estate-front-rear-split", "estate | 240, 180, 120, 80 mL counted"),
    ] {
        let answer = orders::study(&shipped(name), &Wishes::default(), &Nobody).expect("it runs");
        let saves = |s: &orders::Standing| s.equal.map(|e| e.saves_ml);
        let (worst, best) = answer.span(saves).expect("orders");
        let others = answer.orders.iter().filter(|s| s.number != 0 && !s.told_apart).count();
        let row = format!(
            "| {car} | {} | {:.1} mL | {} | {:.1} mL | {others} of {} |",
            best.order.join(", "),
            saves(best).expect("a saving"),
            worst.order.join(", "),
            -saves(worst).expect("a saving"),
            answer.orders.len() - 1,
        );
        assert!(README.contains(&row), "the README should hold this row:\n{row}");
    }
}
