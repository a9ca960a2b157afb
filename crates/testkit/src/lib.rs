//! Generators of boards, parts, jobs and broken plans, for tests and benchmarks.
//!
//! Whole jobs are a [`heartside_timber::document::Document`], the form that a person's
//! file has, so that whatever reads it goes the whole way. All names and sizes are
//! invented. The same seed gives the same document on every machine.
//!
//! - [`cut_apart()`]: boards cut apart by a random legal tree, so that a complete and
//!   sound plan is known;
//! - [`sawn_apart()`]: boards with irregular parts lying apart on them, sound by
//!   construction;
//! - [`askew_apart()`]: boards cut apart with pieces turned from their line of reference, and
//!   [`break_askew()`], which breaks what is turned;
//! - [`tilted_staves()`]: jobs whose staves are pinned at small angles of their own, as a proposal has
//!   tilted them, and [`mirrored()`], which turns them to the other side;
//! - [`broken_down()`]: the same, parted into regions by through cuts first;
//! - [`sawn_cut_apart()`]: waney boards cut apart by bent lines into irregular parts, so that a
//!   complete and sound plan is known;
//! - [`workshop_job()`]: a job as a maker might have it, with no plan;
//! - [`tools()`], [`fit_out()`]: workshops of one to six tools of all kinds, sensible or odd;
//! - [`filled_job()`]: a job in such a workshop, its blanks a given share of the boards;
//! - [`panel_job()`], [`panels_job()`], [`joined_job()`], [`three_panels_job()`], [`sizes_job()`]: jobs in which something gives;
//! - [`twins()`]: a job and the same job made easier in one way;
//! - [`SmallBoard`]: a small flawed board with an exact reference;
//! - [`board_photo()`]: a photograph of a flawed board as a camera might take it, with what is true of it;
//! - [`FiguredWood`], [`plain_map()`]: maps of figure straight from a formula, or from a picture at true scale;
//! - [`answering_boards()`]: boards in which halves of a face lie hidden that mirror each other;
//! - [`published()`]: an instance of those that are published;
//! - [`cut_to_make()`]: random legal orders of a plan's cuts;
//! - [`by_hand`]: boards, parts and jobs of usual values, to change what a test is about;
//! - [`make_cut()`]: a board of a sound job cut right across into pieces;
//! - [`by_corners()`]: the same board entered by its corners, counted from elsewhere;
//! - [`break_one()`], [`break_panel()`]: break a sound plan in one way.

mod askew_apart;
mod broken;
mod by_corners;
pub mod by_hand;
mod chance;
mod cut_apart;
mod cut_by_hand;
mod cut_order;
mod figured_job;
mod filled_job;
mod giving_jobs;
mod photo;
mod published;
mod related_jobs;
mod saw;
mod sawn_apart;
mod sawn_cut_apart;
mod small_board;
mod tilted_staves;
mod timberyard;
mod twins;
mod workshop;
mod workshop_job;

pub use askew_apart::{AskewBreakage, askew_apart, break_askew};
pub use broken::{Breakage, PanelBreakage, WAYS, break_one, break_panel};
pub use by_corners::by_corners;
pub use chance::Chance;
pub use cut_apart::{CutApart, cut_apart};
pub use cut_by_hand::make_cut;
pub use cut_order::{CutToMake, cut_to_make};
pub use figured_job::figured_job;
pub use filled_job::{FilledJob, filled_job};
pub use giving_jobs::{joined_job, panel_job, panels_job, sizes_job, three_panels_job};
pub use photo::{
    AnsweringBoards, AnsweringSettings, BoardPhoto, BoardRoom, Camera, FiguredWood, FlawKind,
    Ground, PhotoSettings, RealBoard, Taking, TrueFlaw, answering_boards, board_photo, photo_marks,
    plain_map, straight_photo,
};
pub use published::{instances_folder, published};
pub use related_jobs::{RelatedBreakage, break_related, related_job};
pub use sawn_apart::{broken_down, broken_down_in, sawn_apart, sawn_apart_in};
pub use sawn_cut_apart::{SawnCutApart, sawn_cut_apart};
pub use small_board::SmallBoard;
pub use tilted_staves::{TiltedStaves, mirrored, pinned_layouts, tilted_staves};
pub use twins::{EASINGS, Easing, Twins, twins};
pub use workshop::{Outfit, any_tool, fit_out, tools};
pub use workshop_job::{JobSize, workshop_job};
