//! The reference against closed forms and against itself.

mod reference;

use reference::*;

#[test]
fn smoke() {
    println!("{}", two_lines_clean_at_ml(10.0, 20.0, 0.05));
}
