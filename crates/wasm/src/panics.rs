//! What a person reads when something went wrong that never should.

use std::cell::RefCell;

use wasm_bindgen::prelude::wasm_bindgen;

thread_local! {
    static LAST: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Sets the hook: the console gets the details, [`last_panic`] the words.
///
/// Runs when the module starts, on the page's thread and in every worker.
#[wasm_bindgen(start)]
pub fn watch_for_panics() {
    std::panic::set_hook(Box::new(|panic| {
        LAST.with(|last| {
            // A panic inside this very borrow must not panic again.
            if let Ok(mut last) = last.try_borrow_mut() {
                *last = Some(words(panic));
            }
        });
        if cfg!(target_arch = "wasm32") {
            console_error_panic_hook::hook(panic);
        }
    }));
}

fn words(panic: &std::panic::PanicHookInfo<'_>) -> String {
    let what = panic
        .payload()
        .downcast_ref::<&str>()
        .map(|s| (*s).to_owned())
        .or_else(|| panic.payload().downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no reason was given".to_owned());
    let place = panic
        .location()
        .map(|l| format!(" ({}, line {})", l.file(), l.line()))
        .unwrap_or_default();
    format!(
        "Something went wrong inside the program: {what}{place}. \
         Your job is kept as it was after the last change; the work goes on from there."
    )
}

/// The last panic in words, if there was one. It can still be read after a trap.
#[wasm_bindgen]
#[must_use]
pub fn last_panic() -> Option<String> {
    LAST.with(|last| last.try_borrow().ok().and_then(|l| l.clone()))
}
