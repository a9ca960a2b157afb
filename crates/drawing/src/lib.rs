//! One scene of boards, plans and sheets, for screen, export and print alike.
//!
//! [`floor()`] gives the page its [`Fragment`]s; [`board_svg`] and [`overview_svg`] give
//! drawings in true millimetres that stand alone; [`at_machine()`] shows one cut; [`sheets`] gives pages to be printed. All
//! are pure functions of a job, a plan and its steps; the date comes in as text. Nothing
//! here judges a plan, and nothing is left to a font: text widths come from a table.

mod arrangement;
mod assembled;
mod at_machine;
mod at_resaw;
mod blanks;
mod board_drawing;
mod call_out;
mod chalk;
mod chosen_cut;
mod document;
mod end_grain;
mod face;
mod faces;
mod figure_overlay;
mod first_sheet;
mod fitting;
mod floor;
mod hatch;
mod inscription;
mod kept;
mod labels;
mod laid;
mod left_pieces;
mod legend;
mod lineage;
mod marking;
mod measures;
mod numbers;
mod on_floor;
mod one_step;
mod overview;
mod paper;
mod pen;
mod photo;
mod picture;
mod printed;
mod room;
mod rows;
mod scene;
mod sheet;
mod sheet_lists;
mod style;
mod svg;
mod templates;
mod text;
mod title;
mod trestle;
mod wood;
mod zone_words;
mod zones;

pub use arrangement::boards_on_floor;
pub use assembled::{
    FaceShown, MARK_WORDS, StaveSeen, assembled, assembled_svg, face_id, panel_facts, row_words,
    staves_seen, together, together_svg, unseen_in,
};
pub use at_machine::at_machine;
pub use board_drawing::board_svg;
pub use document::{Drawing, Options};
pub use end_grain::end_picture;
pub use face::face_picture;
pub use faces::{FaceOf, FaceSeen, TileSeen, faces_of, has_figure, pictures_in};
pub use floor::{floor, floor_again};
pub use kept::KeptFloor;
pub use labels::{
    COMMON_GRIDS, GridFaults, Label, LabelGrid, LabelPrint, LabelsRefused, label_sheets,
    offcut_labels, panel_labels, part_labels,
};
pub use lineage::photos_of;
pub use on_floor::{BoardOnFloor, Floor, Fragment, OnTheFloor, View};
pub use one_step::AtMachine;
pub use overview::overview_svg;
pub use paper::Paper;
pub use sheet::sheets;
pub use style::{Theme, palette_variables, style_sheet};
pub use svg::{escape, number, safe_file_name};
pub use templates::{
    Template, TemplateError, TemplatePrint, TemplateSheets, layout_templates, part_templates,
    template_sheets,
};
pub use text::text_width;
pub use title::Verdict;
pub use trestle::{
    TrestleBlank, blank_outline, blank_words, held_part, held_transform, trestle, trestle_blank,
    waiting,
};
