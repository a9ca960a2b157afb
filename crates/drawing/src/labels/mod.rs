//! Labels to be stuck on parts and offcuts: what each says, and sheets of them.
//!
//! [`part_labels`], [`panel_labels`] and [`offcut_labels`] say what stands on each; [`label_sheets`] prints them on a
//! [`LabelGrid`], from any place of a sheet that was begun.

mod glued;
mod grid;
mod label_sheets;
mod one_label;
#[cfg(test)]
mod tests;
mod wording;

pub use glued::panel_labels;
pub use grid::{COMMON_GRIDS, GridFaults, LabelGrid};
pub use label_sheets::{LabelPrint, LabelsRefused, label_sheets};
pub use wording::{Label, offcut_labels, part_labels};
