//! The job on the floor with everything that can be done to it: plain Rust, without a browser.
//!
//! [`session::Session`] is what the page's thread holds, [`search::Search`],
//! [`what_if::SizeAsked`], [`figure::asked::FaceAsked`] and [`photograph::Photograph`] what a worker holds. Everything that crosses to the page is declared in [`protocol`]; with the feature
//! `page` its types have TypeScript twins. All wording and all drawing is done on this side;
//! the page shows what it gets. Whoever calls owns the files, the clock and the workers.

pub mod bundle;
pub mod figure;
pub mod files_out;
mod forms;
pub mod photograph;
pub mod protocol;
pub mod rounds;
pub mod ruler;
pub mod search;
pub mod session;
pub mod sizes;
pub mod snapping;
pub mod still_sound;
#[cfg(test)]
mod still_sound_tests;
pub mod what_if;
mod words;

/// The style sheet of everything that is drawn on the floor and the trestle, with the page's own colours.
#[must_use]
pub fn floor_style() -> String {
    heartside_drawing::style_sheet(heartside_drawing::Theme::Screen)
}
