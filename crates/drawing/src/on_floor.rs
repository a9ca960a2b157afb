//! What lies on the floor of the page, what of it is shown, and what comes of that.

use heartside_cutting::Step;
use heartside_geometry::Bounds;
use heartside_geometry::Point;
use heartside_timber::document::{BoardCopy, OnFloor, PartCopy};
use heartside_timber::finding::Finding;
use heartside_timber::job::Job;
use heartside_timber::plan::Plan;

/// Screen pixels of one millimetre on paper, larger than life: a screen is read from further away.
pub(crate) const PIXELS: f64 = 5.0;

/// Type on the screen is never smaller than this, in the drawing's unit: eleven pixels. What finds
/// no room so large is left out until one looks closer.
pub(crate) const LEAST_ON_SCREEN: f64 = 11.0 / PIXELS;

/// One group of the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Fragment {
    /// `board-A-1`, `part-leg-2`, `zones-A-1`, `cuts-A-1`, `notes-A-1`, `chosen-cut`, `ruler`.
    pub id: String,
    /// One `g` element with that id, in millimetres of the floor, y down.
    pub svg: String,
    /// Drawn in the order of layers, then as listed.
    pub layer: u32,
    /// The board it shows or lies on.
    pub board: Option<BoardCopy>,
    /// The part it shows.
    pub part: Option<PartCopy>,
}

/// What to show on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct View<'a> {
    /// Screen pixels of one millimetre of wood: text keeps its size on the screen.
    pub pixels_per_mm: f64,
    /// The placed parts.
    pub parts: bool,
    /// The cuts with their numbers.
    pub cuts: bool,
    /// Running dimensions for marking out.
    pub dimensions: bool,
    /// What is known of the figure, over the wood.
    pub figure: bool,
    /// Width over height of the room for boards: they are laid in columns to suit. Below a tenth the
    /// floor scrolls: one column, names above the boards.
    pub aspect: f64,
    /// Parts drawn as selected.
    pub selected_parts: &'a [PartCopy],
    /// The board drawn as selected.
    pub selected_board: Option<&'a BoardCopy>,
    /// The cut that is picked out, by its number.
    pub chosen_cut: Option<u32>,
}

impl Default for View<'_> {
    fn default() -> Self {
        View {
            pixels_per_mm: 0.4,
            parts: true,
            cuts: true,
            dimensions: false,
            figure: false,
            aspect: 1.5,
            selected_parts: &[],
            selected_board: None,
            chosen_cut: None,
        }
    }
}

/// A board's place on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardOnFloor {
    /// Which.
    pub board: BoardCopy,
    /// Its bounding box on the floor, y down.
    pub bounds: Bounds,
    /// That of the board as it was bought: of a piece the box of what it came from.
    pub slot: Bounds,
    /// Where the origin of the board's frame lies on the floor, y down: floor = (x + bx, y - by).
    pub origin: Point,
}

/// The floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Floor {
    /// All fragments.
    pub fragments: Vec<Fragment>,
    /// Where the boards lie.
    pub boards: Vec<BoardOnFloor>,
    /// The box of everything drawn, y down.
    pub bounds: Bounds,
    /// The drawing in words, for those who cannot see it.
    pub description: String,
    /// Labels that found no room at this size; they show when one looks closer.
    pub left_out: usize,
    /// Boxes of the labels: no two overlap while boards lie where they were put by themselves.
    pub labels: Vec<Bounds>,
}

/// What lies on the floor.
#[derive(Debug, Clone, Copy)]
pub struct OnTheFloor<'a> {
    /// The job.
    pub job: &'a Job,
    /// The plan shown; none before the first.
    pub plan: Option<&'a Plan>,
    /// Its steps.
    pub steps: &'a [Step],
    /// What the checker found.
    pub findings: &'a [Finding],
    /// Where boards were dragged to: the lower left corner of their box, y up.
    pub moved: &'a [OnFloor],
}

/// How many millimetres of the floor are one on paper, at so many screen pixels to the millimetre of wood.
pub(crate) fn unit_of(pixels_per_mm: f64) -> f64 {
    PIXELS
        / if pixels_per_mm.is_finite() {
            pixels_per_mm.clamp(0.005, 50.0)
        } else {
            0.4
        }
}
