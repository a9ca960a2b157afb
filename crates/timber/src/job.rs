//! The job as engines and checker see it: sound, flattened, in millimetres.
//!
//! A [`Job`] is made by [`crate::prepare()`] from a [`crate::document::Document`], or from a
//! published instance. Whatever had a problem is not in it. Published instances come
//! through the same type, so that the same engines and the same checker serve both.

use std::fmt::Debug;
use std::sync::Arc;

use heartside_geometry::{Bounds, Point, Region, Tolerance};

use crate::choices::{PanelChoice, stave_named};
pub use crate::document::{
    Aim, Answer, BoardCopy, ClearOf, CutKind, Cuts, EdgeKind, Faces, FixingMaterial, GrainAxis,
    Guide, Hand, HeartSide, Hearts, MatchKind, PartCopy, PartCut, RingRun, SapwoodSeen, Spread,
    Stops, Surface, Use, Wish, ZoneFace, ZoneKind,
};
use crate::grain::GrainField;
use crate::length::DisplayUnits;
use crate::plan::{DimensionValue, Layout, Placed, Placement, Plan};

/// A sound job.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// What the piece is called.
    pub title: String,
    /// How lengths are shown.
    pub units: DisplayUnits,
    /// Currency sign; empty where costs are plain volumes because no price is known.
    pub currency: String,
    /// True where no price is known at all: costs then are cubic metres of timber.
    pub cost_is_volume: bool,
    /// Value of kept offcuts per cubic metre.
    pub offcut_value: f64,
    /// What is wanted.
    pub goal: Goal,
    /// The order in which plans are compared; each aim once.
    pub order: Vec<Aim>,
    /// Tolerances of solver, checker and emitted placements.
    pub tolerance: Tolerance,
    /// The workshop.
    pub workshop: Workshop,
    /// The boards, in the document's order.
    pub boards: Vec<Board>,
    /// The parts, in the document's order; instead of a panel its staves.
    pub parts: Vec<Part>,
    /// Parts glued up from staves; the staves are among [`Job::parts`].
    pub panels: Vec<Panel>,
    /// Parts that must look related.
    pub matches: Vec<Match>,
    /// Parts that stay where they are.
    pub pins: Vec<Pin>,
    /// Named dimensions with their ranges.
    pub dimensions: Vec<Dimension>,
    /// Cuts that were made, in their order.
    pub done: Vec<DoneCut>,
    /// Full price of the boards that are cut already, in the job's cost unit: whatever is planned, it is spent.
    pub spent: f64,
    /// What still holds of an earlier plan, where the rest of a job is planned: of plans that are alike
    /// in parts and timber the one that moves the fewest of its copies is better.
    pub earlier: Vec<Layout>,
    /// Pictures of faces, to be drawn; no plan depends on them.
    pub photos: Vec<Photo>,
    /// What photographs say of the figure, of either face.
    pub figure: Vec<FigureMap>,
    /// What was chosen of how faces are to look; nothing of the others.
    pub wishes: Vec<Wished>,
    /// What faces of the best figure may cost more than those of the worst, in the job's cost unit.
    pub figure_worth: f64,
    /// Who says how good the figure of a plan is; nobody where nothing is known of it.
    pub judge: Option<FigureJudge>,
    /// Revision of the document.
    pub revision: u64,
}

/// Judges the faces that a plan puts together.
pub trait JudgesFigure: Debug + Send + Sync {
    /// How far all faces together are from the best that could be wished for, from 0 to 1.
    ///
    /// It depends on nothing but the job and where the plan has its parts, and it must be the same for
    /// every job that differs from the one it was made for in choices alone.
    fn loss(&self, job: &Job, plan: &Plan) -> f64;

    /// About the same, some times quicker: for choosing what is worth a closer look.
    fn rough_loss(&self, job: &Job, plan: &Plan) -> f64 {
        self.loss(job, plan)
    }
}

/// A judge as a job has it.
#[derive(Debug, Clone)]
pub struct FigureJudge(pub Arc<dyn JudgesFigure>);

impl PartialEq for FigureJudge {
    /// What a judge goes by is in the job itself, so that is what tells jobs apart.
    fn eq(&self, _: &FigureJudge) -> bool {
        true
    }
}

/// What a photograph says of the figure of the face that it shows.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureMap {
    /// SHA-256 of the photograph's file.
    pub photo: String,
    /// The board as the photograph names it.
    pub board: String,
    /// It shows the down face: all places are in the board's frame mirrored, y to -y.
    pub is_down: bool,
    /// What was measured, each once.
    pub layers: Vec<FigureLayer>,
}

/// One measure on square cells.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureLayer {
    /// `light`, `sapwood`, `strength` or `direction`; a later version may know more.
    pub name: String,
    /// Side of a cell in millimetres.
    pub cell: f64,
    /// The first cell's lower left corner, in millimetres of the frame of the face.
    pub origin: [f64; 2],
    /// Cells in a row along the board.
    pub columns: usize,
    /// Whole rows, the lowest first; 0 where no wood was seen.
    pub levels: Arc<[u8]>,
}

/// A picture of a face of a board at true scale. It shows the board's pieces as well.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// SHA-256 of its file.
    pub hash: String,
    /// The board as it was bought, or a piece of it.
    pub board: String,
    /// It shows the down face.
    pub is_down: bool,
    /// What it covers, in millimetres of the frame of the face: the board's, or for the down face that mirrored, y
    /// to -y.
    pub covers: Bounds,
}

/// What is wanted of a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    /// Every part placed, then the order of aims. The usual job.
    Furnish,
    /// Every part placed on the first board (a strip), in the shortest length along x.
    StripLength,
    /// Every part placed on boards taken in the order of the list, the last of which counts only as far along as it is cut.
    InOrder,
    /// The greatest total value of placed parts; not all need be placed.
    Value,
}

/// The workshop.
#[derive(Debug, Clone, PartialEq)]
pub struct Workshop {
    /// Tools; never empty for straight cuts: where the document names none, two free tools with the fallback kerfs stand in.
    pub tools: Vec<Tool>,
    /// Kerf of sawn lines where no thickness is in question (the first sawing tool's, else the
    /// fallback); that of a board is [`Workshop::sawn_kerf_for`] its thickness.
    pub sawn_kerf: f64,
    /// Trimmed off raw ends.
    pub trim_end: f64,
    /// Trimmed off raw edges.
    pub trim_edge: f64,
    /// Smallest offcut worth keeping: length, width.
    pub min_offcut: (f64, f64),
    /// What one person lifts, kilograms.
    pub max_lift_kg: f64,
}

/// A tool. Limits that were not given are infinite or zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Tool {
    /// Its name.
    pub name: String,
    /// It rips.
    pub rips: bool,
    /// It crosscuts.
    pub crosscuts: bool,
    /// It follows a line.
    pub saws: bool,
    /// It resaws through the thickness.
    pub resaws: bool,
    /// It planes an edge true, parting nothing.
    pub trues: bool,
    /// Kerf; for a planer the most it takes off an edge in truing it.
    pub kerf: f64,
    /// Largest extent of the workpiece along the cut.
    pub max_length: f64,
    /// With a rip fence: largest distance between blade and fence. Without: largest extent of the workpiece square to the cut.
    pub max_width: f64,
    /// Largest thickness.
    pub max_depth: f64,
    /// Least length by which a piece can be held: along a guide that runs along the cut,
    /// against a fence square to it.
    pub min_piece: f64,
    /// What guides the cut.
    pub guide: Guide,
    /// The work moves over the machine; otherwise the tool moves over the work.
    pub work_moves: bool,
    /// Its edge can run against a fence.
    pub leaves_true_edge: bool,
    /// Can take off less than its own kerf.
    pub can_skim: bool,
    /// Smallest inside radius.
    pub least_radius: f64,
}

impl Workshop {
    /// The tool with which a board of this thickness is sawn by line: of those that follow a line
    /// and take it, the one with the least kerf, the first of equals. None if none does.
    pub fn sawing_tool_for(&self, thickness: f64) -> Option<&Tool> {
        let takes_it = |t: &&Tool| t.saws && thickness <= t.max_depth;
        let able = self.tools.iter().filter(takes_it);
        able.min_by(|a, b| a.kerf.total_cmp(&b.kerf))
    }

    /// True where a board of this thickness can be sawn by line: some tool takes it, or the
    /// workshop names no tool for that at all, whose kerf the fallback then is.
    pub fn can_saw_by_line(&self, thickness: f64) -> bool {
        self.sawing_tool_for(thickness).is_some() || !self.tools.iter().any(|t| t.saws)
    }

    /// The tool with which a blank of this length and width is resawn into leaves: the blade reaches through the
    /// width. Of those that can, the one with the least kerf, the first of equals.
    pub fn resawing_tool_for(&self, length: f64, width: f64) -> Option<&Tool> {
        let takes_it = |t: &&Tool| t.resaws && width <= t.max_depth && length <= t.max_length;
        let able = self.tools.iter().filter(takes_it);
        able.min_by(|a, b| a.kerf.total_cmp(&b.kerf))
    }

    /// True where such a blank can be resawn: some tool takes it, or none is said to resaw at all.
    pub fn can_resaw(&self, length: f64, width: f64) -> bool {
        self.resawing_tool_for(length, width).is_some() || !self.tools.iter().any(|t| t.resaws)
    }

    /// Kerf between leaves of such a blank: that of its tool, else the widest of a saw that rips.
    pub fn resaw_kerf_for(&self, length: f64, width: f64) -> f64 {
        let rips = || self.tools.iter().filter(|t| t.rips).map(|t| t.kerf);
        self.resawing_tool_for(length, width)
            .map(|t| t.kerf)
            .or_else(|| rips().reduce(f64::max))
            .unwrap_or(self.sawn_kerf)
    }

    /// Kerf of lines sawn in a board of this thickness: that of [`Workshop::sawing_tool_for`],
    /// else [`Workshop::sawn_kerf`].
    pub fn sawn_kerf_for(&self, thickness: f64) -> f64 {
        self.sawing_tool_for(thickness)
            .map_or(self.sawn_kerf, |tool| tool.kerf)
    }
}

impl Default for Tool {
    /// A saw in a free hand: no limits, no kinds of cut, no kerf.
    fn default() -> Tool {
        Tool {
            name: String::new(),
            rips: false,
            crosscuts: false,
            saws: false,
            resaws: false,
            trues: false,
            kerf: 0.0,
            max_length: f64::INFINITY,
            max_width: f64::INFINITY,
            max_depth: f64::INFINITY,
            min_piece: 0.0,
            guide: Guide::None,
            work_moves: false,
            leaves_true_edge: false,
            can_skim: false,
            least_radius: 0.0,
        }
    }
}

impl Tool {
    /// The work runs along a fence on its way through the saw, as on a table saw.
    pub fn has_rip_fence(&self) -> bool {
        self.guide == Guide::Along && self.work_moves
    }

    /// The piece is held against a fence square to the cut, as on a mitre saw.
    pub fn has_square_fence(&self) -> bool {
        self.guide == Guide::Square
    }

    /// Nothing is cut with it but along a true edge: the piece beside a rip fence must have one.
    pub fn needs_true_edge(&self) -> bool {
        self.has_rip_fence()
    }
}

/// A usable board.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// Its id.
    pub id: String,
    /// Name shown; the id where it has none.
    pub name: String,
    /// Species, empty if unknown.
    pub species: String,
    /// How many alike.
    pub count: u32,
    /// Whether it may be used.
    pub usage: Use,
    /// Where both faces are full.
    pub outline: Region,
    /// The state of each side, in the order of the outline's edges: the outer ring, then holes.
    pub sides: Vec<SideState>,
    /// Least measured thickness.
    pub thickness: f64,
    /// From the saw or planed.
    pub surface: Surface,
    /// Direction of the grain.
    pub grain: GrainField,
    /// Heart side.
    pub heart_side: HeartSide,
    /// How the rings run at the start and at the far end.
    pub rings: [RingRun; 2],
    /// Marked areas.
    pub zones: Vec<Zone>,
    /// Warp.
    pub warp: Warp,
    /// Full price of one, in the job's cost unit.
    pub cost: f64,
    /// No price is known of it: the cost is what the others come to by volume.
    pub cost_is_estimate: bool,
    /// Kilograms per cubic metre; 0 if unknown.
    pub density: f64,
    /// How it may be cut.
    pub cuts: Cuts,
    /// Copies of it that are there no more: they were cut, and their pieces are boards of their own. Ascending.
    pub gone: Vec<u32>,
    /// What it is a piece of; none for a board as it was bought.
    pub from: Option<Origin>,
}

/// What a piece came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Origin {
    /// The place of its cut among [`Job::done`].
    pub done: usize,
    /// On which side of the cut's line, looking along it.
    pub side: Hand,
    /// The board as it was bought from which this came by one cut or more; all coordinates are its own.
    pub root: BoardCopy,
    /// The copy of a part whose blank this piece is, and how it lies in it: it is in hand.
    pub holds: Option<Placement>,
    /// The other copies that it is the blank of, where it is resawn into leaves.
    pub leaves: Vec<Placement>,
    /// It was measured after it was cut.
    pub measured: bool,
}

/// A cut that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct DoneCut {
    /// Its number in the document.
    pub id: u32,
    /// What was cut.
    pub board: BoardCopy,
    /// The middle of the kerf, from point to point in the board's coordinates.
    pub line: Vec<Point>,
    /// Width of the kerf.
    pub kerf: f64,
    /// Its pieces are the leaves of a thick blank, one below the other.
    pub resawn: bool,
    /// The tool's name; empty if none was named.
    pub tool: String,
    /// What its fence or stop was set to, in millimetres; none for a mark or a drawn line.
    pub set_to: Option<f64>,
    /// Places in [`Job::boards`] of the pieces that it left and that are sound.
    pub pieces: Vec<usize>,
}

impl Origin {
    /// All copies whose blank this is.
    pub fn held(&self) -> impl Iterator<Item = &Placement> {
        self.holds.iter().chain(&self.leaves)
    }
}

impl DoneCut {
    /// True where a blank was sawn out along a drawn line: the line runs round it, counter-clockwise.
    pub fn is_by_line(&self) -> bool {
        self.line.len() > 2
    }
}

impl Board {
    /// The copies that are still there to be cut, ascending.
    pub fn copies(&self) -> impl Iterator<Item = u32> + '_ {
        (1..=self.count).filter(|copy| self.gone.binary_search(copy).is_err())
    }

    /// How many copies are still there to be cut.
    pub fn left(&self) -> u32 {
        self.count.saturating_sub(self.gone.len() as u32)
    }

    /// True for a piece that is the blank of a copy in hand: it is cut no further.
    pub fn is_in_hand(&self) -> bool {
        self.from.as_ref().is_some_and(|from| from.holds.is_some())
    }

    /// True where parts may still be cut from it.
    pub fn is_usable(&self) -> bool {
        self.usage != Use::Leave && self.left() > 0 && !self.is_in_hand()
    }

    /// True for a board that is to be used only if needed and is not cut yet.
    pub fn is_spared(&self) -> bool {
        self.usage == Use::IfNeeded && self.from.is_none()
    }

    /// Volume in cubic millimetres.
    pub fn volume(&self) -> f64 {
        self.outline.area() * self.thickness
    }
}

/// The state of one side of an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SideState {
    /// Raw or straight.
    pub kind: EdgeKind,
    /// It runs more across the board than along it.
    pub is_end: bool,
}

impl SideState {
    /// What is trimmed off it.
    pub fn trim(&self, workshop: &Workshop) -> f64 {
        match (self.kind, self.is_end) {
            (EdgeKind::Straight | EdgeKind::Sawn, _) => 0.0,
            (EdgeKind::Raw, true) => workshop.trim_end,
            (EdgeKind::Raw, false) => workshop.trim_edge,
        }
    }
}

/// A marked area: everything within `margin` of `shape`.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Its place in the document's list of this board.
    pub index: usize,
    /// What it marks.
    pub kind: ZoneKind,
    /// Flattened outwards.
    pub shape: Region,
    /// The face it shows on.
    pub face: ZoneFace,
    /// Depth from its face; infinite where unknown.
    pub depth: f64,
    /// Harmless on a hidden face.
    pub sound: bool,
    /// Distance kept: what the maker asks, and how uncertain the place is.
    pub margin: f64,
    /// What keeps clear.
    pub clear_of: ClearOf,
    /// Which cuts a fixing stops.
    pub stops: Stops,
    /// What a fixing is made of.
    pub material: FixingMaterial,
    /// How far below its face a fixing begins and ends; none where nothing is known, which
    /// counts as right through.
    pub buried: Option<(f64, f64)>,
    /// The fixing is drawn before the wood is planed; a hole is left.
    pub drawn_before_planing: bool,
    /// How much the figure is wanted, from -1 (not at all) to 1.
    pub weight: f64,
    /// The maker's word for it.
    pub note: String,
}

/// Measured or unknown warp, in millimetres over spans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Warp {
    /// Not measured.
    Unknown,
    /// Known to be flat.
    Flat,
    /// Measured: (gap, span) for cup and bow, (lift, length, width) for twist; zero gaps where nothing was found.
    Measured {
        /// Gap and span across.
        cup: (f64, f64),
        /// Gap and span along.
        bow: (f64, f64),
        /// Lift, length, width.
        twist: (f64, f64, f64),
    },
}

/// Extra wood round a finished part, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowances {
    /// At each end.
    pub end: f64,
    /// At each edge.
    pub edge: f64,
    /// All round a sawn part.
    pub sawn: f64,
    /// Planed off each face where the warp is unknown.
    pub planing: f64,
    /// Planed off each face where the warp is measured.
    pub clean_up: f64,
}

/// A sound part.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its id.
    pub id: String,
    /// Name shown.
    pub name: String,
    /// How many. Unlimited copies of published instances are capped at what the boards' area can hold.
    pub count: u32,
    /// Accepted species; empty accepts any.
    pub species: Vec<String>,
    /// Finished outline with tenons; lower left corner of its bounding box at (0, 0).
    pub outline: Region,
    /// The true form, for words and drawings.
    pub form: Form,
    /// Lengths of the tenons at the start and the end.
    pub tenon: (f64, f64),
    /// Finished thickness.
    pub thickness: f64,
    /// Grain rule.
    pub grain: GrainRule,
    /// Seen faces.
    pub faces: Faces,
    /// It may be turned over.
    pub may_turn_over: bool,
    /// Extra wood.
    pub allowances: Allowances,
    /// An old fixing may stay inside.
    pub fixing_ok: bool,
    /// How it is cut.
    pub cut: PartCut,
    /// 1 first.
    pub priority: u32,
    /// Worth, for [`Goal::Value`].
    pub value: f64,
    /// Copies whose blanks were sawn already. Ascending.
    pub in_hand: Vec<u32>,
    /// The panel that this is a stave of.
    pub stave: Option<StaveOf>,
    /// What it holds, where it is several copies in one blank; none for the parts of a maker.
    pub composed: Option<Composed>,
}

/// Where a stave belongs.
#[derive(Debug, Clone, PartialEq)]
pub struct StaveOf {
    /// The place of its panel in [`Job::panels`].
    pub panel: usize,
    /// Which copy of the panel.
    pub copy: u32,
    /// Its number, that it keeps wherever it comes to lie in the panel.
    pub number: u32,
    /// Which of its pieces this is, from 1; 0 for a stave in one piece.
    pub piece: u32,
    /// What it is of the area of that copy: so much of the panel is missing without it.
    pub share: f64,
}

/// A part glued up from staves.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// The glued part.
    pub part: Part,
    /// How long each stave is, finished.
    pub length: f64,
    /// How wide the panel is across its staves.
    pub width: f64,
    /// The staves run across the part, as its grain does.
    pub is_across: bool,
    /// Narrowest and widest stave; the widest is infinite where the boards alone decide.
    pub widths: (f64, f64),
    /// Most staves.
    pub max_count: u32,
    /// All of one width.
    pub equal: bool,
    /// Which way the staves face.
    pub hearts: Hearts,
    /// What each joint takes of the width.
    pub joint: f64,
    /// Taken off each face when the glued panel is flattened.
    pub flatten: f64,
    /// Whether staves may be joined end to end, and how.
    pub ends: EndJoints,
    /// The staves of each copy, in the order in which they are glued.
    pub copies: Vec<PanelChoice>,
}

/// How staves are joined end to end, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EndJoints {
    /// They may.
    pub allowed: bool,
    /// Shortest piece, finished.
    pub least: f64,
    /// How far joints of neighbouring staves stand apart at least, from middle to middle.
    pub apart: f64,
    /// What each joint takes of the length.
    pub taken: f64,
}

/// Several copies that lie together as one blank: a search makes such parts of matches, for itself alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composed {
    /// What its copies count together ([`Part::weight`]).
    pub weight: f64,
    /// Extents along and across its own axes of what is flattened by itself, in millimetres.
    pub flattened: (f64, f64),
    /// A flaw on a face runs right through one of its leaves from this depth on, in millimetres; infinite
    /// where it is not resawn.
    pub leaf: f64,
}

impl Part {
    /// The copies that are still to be sawn, ascending.
    pub fn wanted(&self) -> impl Iterator<Item = u32> + '_ {
        (1..=self.count).filter(|copy| self.in_hand.binary_search(copy).is_err())
    }

    /// How many copies are still to be sawn.
    pub fn wanted_count(&self) -> u32 {
        self.count.saturating_sub(self.in_hand.len() as u32)
    }

    /// As how many whole parts it counts: a stave as its share of the panel, a blank of several copies
    /// as all of them.
    pub fn weight(&self) -> f64 {
        let stave = self.stave.as_ref().map(|s| s.share);
        stave
            .or(self.composed.map(|held| held.weight))
            .unwrap_or(1.0)
    }

    /// "Leg 2" or "Top", as a person would call this copy.
    pub fn copy_name(&self, copy: u32) -> String {
        if self.count > 1 {
            format!("{} {}", self.name, copy)
        } else {
            self.name.clone()
        }
    }

    /// Finished length along its own axis, tenons included.
    pub fn length(&self) -> f64 {
        self.outline.bounds().width()
    }

    /// Finished width across its own axis.
    pub fn width(&self) -> f64 {
        self.outline.bounds().height()
    }
}

/// What an outline was entered as.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// Four square corners.
    Rectangle,
    /// Start width, end width.
    Taper(f64, f64),
    /// Round or oval.
    Round,
    /// Anything else.
    Free,
}

/// Which turns a part may have.
#[derive(Debug, Clone, PartialEq)]
pub enum GrainRule {
    /// The part's grain axis (`across`: turned by 90 degrees) within `tolerance` degrees of the board's grain, modulo 180.
    Axis {
        /// The grain runs across the part.
        across: bool,
        /// Degrees.
        tolerance: f64,
    },
    /// Any turn.
    Any,
    /// Just these turns, in degrees within [0, 360).
    Turns(Vec<f64>),
}

/// Parts that must look related.
#[derive(Debug, Clone, PartialEq)]
pub struct Match {
    /// What is asked.
    pub kind: MatchKind,
    /// Copies, in order.
    pub parts: Vec<PartCopy>,
}

/// How a face that is put together is to look.
#[derive(Debug, Clone, PartialEq)]
pub struct Wished {
    /// Which face.
    pub of: WishedFace,
    /// What counts in it.
    pub wish: Wish,
}

/// A face that is put together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WishedFace {
    /// Of every copy of a panel, by its part.
    Panel(String),
    /// Of a match, by its place in [`Job::matches`].
    Match(usize),
}

/// A part that stays where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// Which copy.
    pub part: PartCopy,
    /// On which board.
    pub board: BoardCopy,
    /// Where.
    pub at: Placed,
}

/// A named dimension.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Dimension {
    /// Name and value now.
    pub value: DimensionValue,
    /// The value if nothing stands in the way.
    pub preferred: f64,
    /// Smallest acceptable value.
    pub least: f64,
    /// Largest acceptable value.
    pub most: f64,
    /// Only values so far apart, counted from the preferred one; 0 for any.
    pub step: f64,
    /// It is worked out from others: it gives with them, not by itself.
    pub follows: bool,
}

impl Dimension {
    /// True where a search may choose its value.
    pub fn gives(&self) -> bool {
        self.least < self.most && !self.follows
    }

    /// True where this value is within its range and on its steps.
    pub fn may_be(&self, value: f64) -> bool {
        const SAME: f64 = 1e-6;
        let steps = (value - self.preferred) / self.step;
        let on_step = self.step <= 0.0 || (steps - steps.round()).abs() * self.step <= SAME;
        on_step && (self.least - SAME..=self.most + SAME).contains(&value)
    }
}

impl Job {
    /// True where the other job has the same of everything but pins (and pictures, what counts of their figure, and where things lay earlier,
    /// and the revision).
    pub fn differs_in_pins_only(&self, other: &Job) -> bool {
        // Taken apart, so that no field of later days is forgotten.
        let Job {
            title,
            units,
            currency,
            cost_is_volume,
            offcut_value,
            goal,
            order,
            tolerance,
            workshop,
            boards,
            parts,
            panels,
            matches,
            pins: _,
            dimensions,
            done,
            spent,
            earlier: _,
            photos: _,
            figure: _,
            wishes: _,
            figure_worth: _,
            judge: _,
            revision: _,
        } = self;
        (title, units, currency) == (&other.title, &other.units, &other.currency)
            && (cost_is_volume, offcut_value) == (&other.cost_is_volume, &other.offcut_value)
            && (goal, order, tolerance) == (&other.goal, &other.order, &other.tolerance)
            && (workshop, boards, parts) == (&other.workshop, &other.boards, &other.parts)
            && (matches, dimensions, panels) == (&other.matches, &other.dimensions, &other.panels)
            && (done, spent) == (&other.done, &other.spent)
    }

    /// How a face is to look. How the parts of a match answer each other its kind says, where nothing was chosen.
    pub fn wish_of(&self, of: &WishedFace) -> Wish {
        let chosen = self.wishes.iter().find(|w| w.of == *of);
        let mut wish = chosen.map(|w| w.wish.clone()).unwrap_or_default();
        if let (Answer::Any, WishedFace::Match(at)) = (wish.answer, of) {
            wish.answer = match self.matches.get(*at).map(|m| m.kind) {
                Some(MatchKind::Book | MatchKind::Balanced) => Answer::Mirror,
                Some(
                    MatchKind::ContinuousAlong | MatchKind::ContinuousAcross | MatchKind::Slip,
                ) => Answer::RunOn,
                Some(MatchKind::SameBoard | MatchKind::Frame) | None => Answer::Any,
            };
        }
        wish
    }

    /// Every copy of every board that lies there, in the job's order: not those that were cut.
    pub fn board_copies(&self) -> Vec<BoardCopy> {
        let copies = |board: &'_ Board| -> Vec<BoardCopy> {
            let of = |copy| BoardCopy {
                board: board.id.clone(),
                copy,
            };
            board.copies().map(of).collect()
        };
        self.boards.iter().flat_map(copies).collect()
    }

    /// The board with this id.
    pub fn board(&self, id: &str) -> Option<&Board> {
        self.boards.iter().find(|b| b.id == id)
    }

    /// The part with this id.
    pub fn part(&self, id: &str) -> Option<&Part> {
        self.parts.iter().find(|p| p.id == id)
    }

    /// The place of a board in the list.
    pub fn board_index(&self, id: &str) -> Option<usize> {
        self.boards.iter().position(|b| b.id == id)
    }

    /// The place of a part in the list.
    pub fn part_index(&self, id: &str) -> Option<usize> {
        self.parts.iter().position(|p| p.id == id)
    }

    /// The board as it was bought that a copy of a board is, or is a piece of.
    pub fn root<'a>(&'a self, copy: &'a BoardCopy) -> &'a BoardCopy {
        let from = self.board(&copy.board).and_then(|b| b.from.as_ref());
        from.map_or(copy, |from| &from.root)
    }

    /// True where what holds of an earlier plan has a part just there: it is not to move for nothing.
    pub fn lay_there(&self, board: &BoardCopy, placement: &Placement) -> bool {
        let mut here = self.earlier.iter().filter(|l| l.board == *board);
        here.any(|l| l.placements.contains(placement))
    }

    /// A placement as the piece that it has become tells it: of a stave with its width, and its length where it
    /// is one piece of it. These stay whatever is planned for the others.
    pub fn as_held(&self, placement: &Placement) -> Placement {
        let part = self.part(&placement.part);
        let Some((part, stave)) = part.and_then(|p| Some((p, p.stave.as_ref()?))) else {
            return placement.clone();
        };
        Placement {
            width: Some(part.width()),
            length: (stave.piece > 0).then(|| part.length()),
            ..placement.clone()
        }
    }

    /// "Leg 2", "Top, stave 3", or the panel's own name: what a copy is called; none for an id that
    /// names nothing. A stave is called so also where its panel has no such stave now.
    pub fn name_of(&self, copy: &PartCopy) -> Option<String> {
        let known = |id: &str| {
            let panel = self.panels.iter().map(|p| &p.part).find(|p| p.id == id);
            panel.or_else(|| self.part(id))
        };
        if let Some(part) = known(&copy.part) {
            return Some(part.copy_name(copy.copy));
        }
        let stave = stave_named(&copy.part)?;
        let panel = known(stave.panel);
        let panel = panel.map_or_else(|| stave.panel.to_owned(), |p| p.copy_name(stave.copy));
        Some(format!("{panel}, {}", stave.words()))
    }

    /// The staves of every copy of every panel.
    pub fn panel_choices(&self) -> Vec<PanelChoice> {
        let copies = self.panels.iter().flat_map(|p| &p.copies);
        copies.cloned().collect()
    }

    /// How many copies of parts are still to be sawn.
    pub fn piece_count(&self) -> u64 {
        self.parts.iter().map(|p| u64::from(p.wanted_count())).sum()
    }

    /// True where the maker asks for useful offcuts: they earn money, or count more than another
    /// aim. In the usual order they come last and merely decide between equals.
    pub fn asks_for_offcuts(&self) -> bool {
        let raised = self
            .order
            .split_last()
            .is_some_and(|(_, before)| before.contains(&Aim::Offcuts));
        self.goal == Goal::Furnish && (self.offcut_value > 0.0 || raised)
    }

    /// A point of the job's placement grid nearest to a length.
    pub fn snap(&self, value: f64) -> f64 {
        self.tolerance.snap(value)
    }

    /// Where on a board two points are, for tests and messages: the middle between them.
    pub fn between(a: Point, b: Point) -> Point {
        Point {
            x: (a.x + b.x) / 2.0,
            y: (a.y + b.y) / 2.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_saw_for_a_line_takes_the_thickness() {
        let saw = |name: &str, kerf, max_depth| Tool {
            name: name.into(),
            saws: true,
            kerf,
            max_depth,
            ..Tool::default()
        };
        let mut workshop = Workshop {
            tools: vec![saw("large", 2.0, 200.0), saw("small", 1.2, 45.0)],
            sawn_kerf: 2.0,
            trim_end: 0.0,
            trim_edge: 0.0,
            min_offcut: (0.0, 0.0),
            max_lift_kg: 25.0,
        };
        let name = |w: &Workshop, thickness| w.sawing_tool_for(thickness).map(|t| t.name.clone());
        assert_eq!(name(&workshop, 45.0).as_deref(), Some("small"));
        assert_eq!(name(&workshop, 60.0).as_deref(), Some("large"));
        assert_eq!(name(&workshop, 201.0), None);
        assert_eq!(workshop.sawn_kerf_for(45.0), 1.2);
        assert_eq!(workshop.sawn_kerf_for(60.0), 2.0);
        assert!(workshop.can_saw_by_line(60.0) && !workshop.can_saw_by_line(201.0));
        workshop.tools.clear();
        workshop.sawn_kerf = 3.0;
        assert_eq!(
            (
                workshop.can_saw_by_line(201.0),
                workshop.sawn_kerf_for(201.0)
            ),
            (true, 3.0)
        );
    }
}
