//! What an order is worth is the program's: the table of docs/order.md, and what README.md says of it.

use super::shipped;
use crate::common::program::words;
use farwheel::job::options::Options;
use farwheel::study::orders::{self, Question};
use farwheel::study::progress::Nobody;

const README: &str = include_str!("../../../README.md");
const ORDER: &str = include_str!("../../../docs/order.md");

#[test]
fn the_pages_say_what_an_order_is_worth() {
    let readme = words(README);
    for (name, car) in [
        ("compact-hatchback", "compact hatchback | by eye"),
        ("van-long-lines", "van, long lines | by eye"),
        ("estate-front-rear-split", "estate | 240, 180, 120, 80 mL counted"),
    ] {
        let answer =
            orders::study(&shipped(name), &Question::default(), &Options::default(), &Nobody)
                .expect("it runs");
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
        assert!(ORDER.contains(&row), "docs/order.md should hold this row:\n{row}");
        let (best, worst) = (saves(best).expect("a saving"), -saves(worst).expect("a saving"));
        let sentence = match name {
            "compact-hatchback" => {
                format!(
                    "the best of all orders saves {best:.1} mL and the worst costs {worst:.1} mL"
                )
            }
            "estate-front-rear-split" => format!("another order saves up to {best:.1} mL"),
            _ => continue,
        };
        assert!(readme.contains(&sentence), "README.md should say: {sentence}");
    }
}
