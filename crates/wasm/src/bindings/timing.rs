//! Marks on the browser's time line, so that the budgets can be measured in the real page.

use js_sys::Reflect;
use wasm_bindgen::{JsCast, JsValue};

/// The browser's clock of this thread: the page's or the worker's. None elsewhere.
fn performance() -> Option<web_sys::Performance> {
    Reflect::get(&js_sys::global(), &JsValue::from_str("performance"))
        .ok()?
        .dyn_into()
        .ok()
}

/// Runs `work` between two marks and leaves a measure `heartside:<name>` on the time line.
///
/// The core reads no clock: nothing that is computed depends on what is measured here.
pub(crate) fn measured<R>(name: &str, work: impl FnOnce() -> R) -> R {
    if !cfg!(target_arch = "wasm32") {
        return work();
    }
    let clock = performance();
    let start = format!("heartside:{name}:start");
    let mark = |c: &web_sys::Performance| c.mark(&start).is_ok();
    let marked = clock.as_ref().is_some_and(mark);
    let result = work();
    if let (Some(clock), true) = (clock, marked) {
        let measure = format!("heartside:{name}");
        // Old measures of the name would pile up over a day's dragging.
        clock.clear_measures_with_measure_name(&measure);
        if let Err(problem) = clock.measure_with_start_mark(&measure, &start) {
            web_sys::console::warn_2(&JsValue::from_str("not measured:"), &problem);
        }
        clock.clear_marks_with_mark_name(&start);
    }
    result
}
