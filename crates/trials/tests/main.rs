//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod baselines;
mod exact;
mod exact_packing;
mod nonsense;
mod published;
#[path = "../../nest/tests/sample/mod.rs"]
mod sample;
mod sawn_known;
mod small;
mod squeezed_strips;
mod strips;
