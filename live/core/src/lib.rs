//! Farwheel's core as the live page asks it: a question as JSON text in, the answer as JSON text out.
//!
//! [`ask`] is all there is; every question is a file here. In WebAssembly a page takes room with [`reserve`], writes its
//! question there, calls [`answer`] and reads as many bytes as that says from [`answered`] on.
//!
//! A question is an object whose `ask` names it. An answer has one of three members:
//! - `ok`: what was asked for;
//! - `mistakes`: what is wrong with the scenario's text, line by line, as the program words it;
//! - `error`: one sentence, if it cannot be computed.

mod by_hand;
mod car;
mod change;
mod class;
mod describe;
mod native;
mod question;
mod run;
mod studies;
mod sure;

pub use question::ask;

use std::cell::RefCell;

thread_local! {
    static ROOM: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
    static ANSWER: RefCell<String> = const { RefCell::new(String::new()) };
}

#[cfg(target_arch = "wasm32")]
#[link(wasm_import_module = "page")]
unsafe extern "C" {
    /// Of a study so many pieces of work are done, of so many.
    safe fn progress(done: u32, of: u32);
}

/// Tells the page how far a study is; in other programs nobody asks.
fn tell_progress(done: u64, of: u64) {
    let small = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
    let (done, of) = (small(done), small(of));
    #[cfg(target_arch = "wasm32")]
    progress(done, of);
    #[cfg(not(target_arch = "wasm32"))]
    let _ = (done, of);
}

/// Room for a question of so many bytes; where it begins. The question before is gone.
#[unsafe(no_mangle)]
pub extern "C" fn reserve(bytes: usize) -> *mut u8 {
    ROOM.with_borrow_mut(|room| {
        room.clear();
        room.resize(bytes, 0);
        room.as_mut_ptr()
    })
}

/// Answers the question that was written there; how many bytes the answer has.
#[unsafe(no_mangle)]
pub extern "C" fn answer() -> usize {
    let question = ROOM.take();
    let text = ask(&String::from_utf8_lossy(&question));
    ANSWER.with_borrow_mut(|answer| {
        *answer = text;
        answer.len()
    })
}

/// Where the answer begins.
#[unsafe(no_mangle)]
pub extern "C" fn answered() -> *const u8 {
    ANSWER.with_borrow(|answer| answer.as_ptr())
}
