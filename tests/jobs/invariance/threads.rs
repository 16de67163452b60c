//! The number of threads has no say: the same bytes.

use super::cases;
use super::job::read;
use crate::common::random::car;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::study::progress::Nobody;
use farwheel::study::spread::{self, Question};
use proptest::prelude::*;

fn on<T: Send>(threads: usize, work: impl FnOnce() -> T + Send) -> T {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    pool.unwrap_or_else(|why| panic!("{why}")).install(work)
}

proptest! {
    #![proptest_config(cases(8))]

    #[test]
    fn threads_have_no_say(car in car()) {
        let text = car.toml();
        let scenario = read(&text)?;
        let flushed = |threads| {
            on(threads, || flush(&scenario, &Options::default()).map(|r| serde_json::to_string(&r).expect("it is JSON")))
        };
        prop_assert_eq!(flushed(1), flushed(3), "{}", text);
        let question = Question { draws: 20, sensitivities: false, ..Question::default() };
        let spread = |threads| {
            let study = on(threads, || spread::study(&scenario, &question, &Options::default(), &Nobody));
            study.map(|s| serde_json::to_string(&s).expect("it is JSON"))
        };
        prop_assert_eq!(spread(1), spread(3), "{}", text);
    }
}
