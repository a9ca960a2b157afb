//! Full-size templates to be glued on wood: parts that are no rectangles, and boards whose way is sawn.
//!
//! [`part_templates`] and [`layout_templates`] say what is drawn; [`template_sheets`] lays it over
//! sheets of paper that overlap, with marks to join them by and a square to prove the scale.

mod clear_place;
mod foot;
mod inscribed;
mod joins;
mod scale_square;
mod subject;
mod template_sheets;
#[cfg(test)]
mod tests;
mod tiling;

pub use subject::{Template, layout_templates, part_templates};
pub use template_sheets::{TemplatePrint, TemplateSheets, template_sheets};
pub use tiling::TemplateError;
