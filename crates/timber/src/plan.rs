//! A plan: which part comes out of which board, where, which way round, and by which cuts.

use heartside_geometry::{Point, Pose, Region};
use serde::{Deserialize, Serialize};

use crate::document::copies::{BoardCopy, PartCopy};
use crate::document::form::{one, word_enum};
use crate::staves::PanelChoice;

/// Where something lies on a board: the part's frame is mirrored (y to -y) if turned
/// over, then turned, then moved.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Placed {
    /// Millimetres along the board.
    pub x: f64,
    /// Millimetres across the board.
    pub y: f64,
    /// Degrees, counter-clockwise.
    #[serde(default)]
    pub turn: f64,
    /// The part's up face lies on the board's down face.
    #[serde(default)]
    pub turned_over: bool,
}

impl From<Placed> for Pose {
    fn from(p: Placed) -> Pose {
        Pose {
            x: p.x,
            y: p.y,
            turn: p.turn,
            turned_over: p.turned_over,
        }
    }
}

impl From<Pose> for Placed {
    fn from(p: Pose) -> Placed {
        Placed {
            x: p.x,
            y: p.y,
            turn: p.turn,
            turned_over: p.turned_over,
        }
    }
}

/// One copy of a part on a board, one stave of it or one leaf of a resawn blank.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Placement {
    /// The part's id; that of a stave is made by [`crate::staves::piece_id`].
    pub part: String,
    /// 1, 2, ... up to the part's count.
    #[serde(default = "one")]
    pub copy: u32,
    /// Where it lies, in the board's frame.
    #[serde(flatten)]
    pub at: Placed,
    /// Which leaf of a resawn blank this is, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leaf: Option<u32>,
    /// Finished width of a stave, in millimetres: once it is in hand it stays, whatever the plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<f64>,
    /// Finished length of a piece of a stave that is joined end to end, likewise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length: Option<f64>,
}

impl Placement {
    /// Which copy of which part this is.
    pub fn part_copy(&self) -> PartCopy {
        PartCopy {
            part: self.part.clone(),
            copy: self.copy,
        }
    }

    /// The pose that takes the part's frame into the board's.
    pub fn pose(&self) -> Pose {
        self.at.into()
    }
}

word_enum! {
    /// How one board is cut.
    pub enum Way {
        /// By straight cuts right across.
        #[default]
        Straight,
        /// By line; through cuts may break the board down first.
        Sawn,
    }
}

word_enum! {
    /// A straight cut, as it lies in the frame of its layout.
    pub enum Direction {
        /// Along the frame's x: the line y = at.
        #[default]
        Rip,
        /// Along the frame's y: the line x = at.
        Crosscut,
    }
}

/// The frame in which a board's straight cuts are square: board = origin + turned frame.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Frame {
    /// Origin in the board's frame.
    pub x: f64,
    /// Origin in the board's frame.
    pub y: f64,
    /// Degrees from the board's x to the frame's x.
    pub angle: f64,
}

impl Frame {
    /// The pose that takes frame coordinates into the board's.
    pub fn pose(&self) -> Pose {
        Pose {
            x: self.x,
            y: self.y,
            turn: self.angle,
            turned_over: false,
        }
    }

    /// The pose that takes the board's coordinates into the frame's.
    pub fn inverse(&self) -> Pose {
        let origin = self.pose().inverse_apply(Point { x: 0.0, y: 0.0 });
        Pose {
            x: origin.x,
            y: origin.y,
            turn: -self.angle,
            turned_over: false,
        }
    }

    /// The frame turned about its own origin by some degrees, counter-clockwise.
    pub fn turned(self, angle: f64) -> Frame {
        Frame {
            angle: self.angle + angle,
            ..self
        }
    }

    /// A region of the board, seen in the frame.
    pub fn region_in_frame(&self, region: &Region) -> Region {
        self.inverse().apply_region(region)
    }
}

/// The cuts of one board. `nodes[0]` is the whole board; children are named by their place in the list.
///
/// A list and not a nest of boxes, so that a hundred cuts in a row neither overflow a
/// reader nor a stack.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct CutTree {
    /// The nodes; the first is the whole board.
    pub nodes: Vec<CutNode>,
}

/// One workpiece of a [`CutTree`] and what becomes of it.
///
/// A workpiece is the board's outline within an upright rectangle of the frame (the
/// whole plane at the root).
///
/// A cut with an angle turns the line of reference: the frame of its workpiece is turned about
/// its own origin, and the cut with all below it, on both sides, is told and made in the turned
/// frame. A cut without keeps the frame. A later one may turn again, and back. All in all a
/// workpiece is turned no further than 45 degrees against the layout's frame: beyond that a rip
/// would run more across the board than along it, and is a crosscut.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(tag = "node", rename_all = "snake_case")]
pub enum CutNode {
    /// It is cut right across: the saw turns the band from `at` to `at + kerf` to dust.
    Cut {
        /// Along or across the frame.
        direction: Direction,
        /// The tool's name; empty means the job's fallback kerf of that kind.
        #[serde(default)]
        tool: String,
        /// Low side of the kerf in the frame, turned by `angle` if that is given.
        at: f64,
        /// Width of the kerf.
        kerf: f64,
        /// Degrees from the line of reference so far to the one from this cut on, counter-clockwise;
        /// none where it stays.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        angle: Option<f64>,
        /// The node of the workpiece below `at`.
        low: usize,
        /// The node of the workpiece above `at + kerf`.
        high: usize,
    },
    /// It is the blank of one placement of the layout.
    Blank {
        /// The placement's place in the layout's list.
        placement: usize,
    },
    /// Placements that are then sawn by line out of it, or a single sawn part in its rectangle.
    Region {
        /// Places in the layout's list.
        placements: Vec<usize>,
    },
    /// It is the blank of several placements that lie one below the other: it is resawn through its
    /// thickness into these, from the board's up face down.
    Leaves {
        /// Places in the layout's list.
        placements: Vec<usize>,
    },
    /// Worth keeping.
    Offcut,
    /// Not worth keeping; it may be empty where the kerf took all.
    Waste,
}

/// A straight cut of a [`CutTree`], as [`CutNode::Cut`] says it.
#[derive(Debug, Clone, Copy)]
pub struct Cut<'a> {
    /// Along or across the frame.
    pub direction: Direction,
    /// The tool's name.
    pub tool: &'a str,
    /// Low side of the kerf in the frame.
    pub at: f64,
    /// Width of the kerf.
    pub kerf: f64,
    /// Degrees by which it turns the frame; 0 where it keeps it.
    pub angle: f64,
    /// The node of the workpiece below.
    pub low: usize,
    /// The node of the workpiece above.
    pub high: usize,
}

impl CutNode {
    /// Places in the layout's list of what comes out of it; none where it is cut across.
    pub fn placements(&self) -> &[usize] {
        match self {
            CutNode::Blank { placement } => std::slice::from_ref(placement),
            CutNode::Region { placements } | CutNode::Leaves { placements } => placements,
            CutNode::Cut { .. } | CutNode::Offcut | CutNode::Waste => &[],
        }
    }

    /// As [`CutNode::placements`], to number them anew.
    pub fn placements_mut(&mut self) -> &mut [usize] {
        match self {
            CutNode::Blank { placement } => std::slice::from_mut(placement),
            CutNode::Region { placements } | CutNode::Leaves { placements } => placements,
            CutNode::Cut { .. } | CutNode::Offcut | CutNode::Waste => &mut [],
        }
    }

    /// The cut that is made here; none where the workpiece is not cut across.
    pub fn cut(&self) -> Option<Cut<'_>> {
        let CutNode::Cut {
            direction,
            tool,
            at,
            kerf,
            angle,
            low,
            high,
        } = self
        else {
            return None;
        };
        Some(Cut {
            direction: *direction,
            tool,
            at: *at,
            kerf: *kerf,
            angle: angle.unwrap_or(0.0),
            low: *low,
            high: *high,
        })
    }
}

/// What comes out of one board.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Layout {
    /// Which board.
    #[serde(flatten)]
    pub board: BoardCopy,
    /// How it is cut.
    pub way: Way,
    /// The frame of its straight cuts.
    #[serde(default)]
    pub frame: Frame,
    /// The parts on it.
    pub placements: Vec<Placement>,
    /// The straight cuts; none while none has been found.
    ///
    /// On a sawn board those that break it down into regions before anything is sawn by line;
    /// none where it is sawn whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cuts: Option<CutTree>,
}

impl Layout {
    /// The layout without some of its parts: where they lay is waste, and the cuts stay as they are.
    pub fn without(mut self, dropped: impl Fn(&PartCopy) -> bool) -> Layout {
        let gone: Vec<bool> = self
            .placements
            .iter()
            .map(|p| dropped(&p.part_copy()))
            .collect();
        if gone.iter().all(|g| !g) {
            return self;
        }
        let mut place = vec![0; gone.len()];
        let mut count = 0;
        for (old, is_gone) in gone.iter().enumerate() {
            place[old] = count;
            count += usize::from(!is_gone);
        }
        // A damaged plan names placements that are none: those stay for the checker to tell.
        let is_gone = |p: &usize| gone.get(*p).copied().unwrap_or(false);
        let now = |p: usize| place.get(p).copied().unwrap_or(p);
        let mut kept = gone.iter().map(|g| !g);
        self.placements.retain(|_| kept.next().unwrap_or(true));
        if let Some(tree) = &mut self.cuts {
            for node in &mut tree.nodes {
                let held = !node.placements().is_empty();
                if let CutNode::Region { placements } | CutNode::Leaves { placements } = node {
                    placements.retain(|p| !is_gone(p));
                }
                if held && node.placements().iter().all(is_gone) {
                    *node = CutNode::Waste;
                }
                node.placements_mut().iter_mut().for_each(|p| *p = now(*p));
            }
        }
        self
    }
}

/// Copies of a part that found no place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Unplaced {
    /// The part's id.
    pub part: String,
    /// The copies.
    pub copies: Vec<u32>,
    /// Why.
    pub reason: UnplacedReason,
    /// The least board that would take one: length, width, thickness in millimetres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_board: Option<[f64; 3]>,
    /// Of parts that must lie together: how long a blank of their width some board would give.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longest: Option<Longest>,
}

/// The longest blank that any board gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Longest {
    /// Its length along the row, in millimetres, rounded down to whole ones.
    pub length: f64,
    /// The board.
    #[serde(flatten)]
    pub board: BoardCopy,
}

word_enum! {
    /// Why a part found no place.
    pub enum UnplacedReason {
        /// No room was found on the boards that could take it.
        #[default]
        NoRoom,
        /// No board is of a species it accepts.
        Species,
        /// No board is thick enough once flat.
        Thickness,
        /// No board is long enough in the direction of its grain.
        Length,
        /// No board that is long enough is wide enough.
        Width,
        /// The grain runs or bends too far out of the part's tolerance on every board that is large enough.
        Grain,
        /// Defects, sapwood or fixings are in the way on every board that is large enough.
        Zones,
        /// No tool of the workshop can make the cuts.
        Tools,
        /// It lies well on some board, but no order of cuts was found that frees it there.
        Order,
        /// There is no usable board at all.
        NoBoards,
        /// The part itself has a problem that must be mended first.
        PartNotSound,
        /// The search has not come to it yet.
        NotTried,
    }
}

/// A named dimension and the value a plan was made with.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct DimensionValue {
    /// The name.
    pub name: String,
    /// Millimetres.
    pub value: f64,
    /// What was preferred when it was chosen, in millimetres; none where there was no choice. A choice
    /// holds until something else is preferred.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub preferred: Option<f64>,
}

/// A proven floor under the cost: no plan can use less.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Bound {
    /// In the unit of the score's cost; for strips the length, for values the value (a ceiling there).
    pub value: f64,
    /// Which argument gives it, in plain words.
    pub because: String,
    /// The plans it holds for, as in "no plan cut square to the boards"; none where it holds for all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<String>,
    /// The plan's value meets it: proved best within the class named here ("with cuts square to this line").
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub proved_for: Option<String>,
}

impl Bound {
    /// "no plan", or "no plan cut square to the boards": what can be under it.
    pub fn no_plan(&self) -> String {
        match &self.class {
            Some(class) => format!("no plan {class}"),
            None => "no plan".to_owned(),
        }
    }
}

/// The numbers that make the same plan again.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(default)]
pub struct Made {
    /// Seed of the generator.
    pub seed: u32,
    /// Steps each worker made.
    pub steps: u64,
    /// Workers.
    pub workers: u32,
}

/// Which part comes out of which board.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(default)]
pub struct Plan {
    /// One entry for each board cut, in the order of the job's boards.
    pub layouts: Vec<Layout>,
    /// What found no place.
    pub unplaced: Vec<Unplaced>,
    /// The dimensions it was made with.
    pub dimensions: Vec<DimensionValue>,
    /// The staves that its panels are made of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub panels: Vec<PanelChoice>,
    /// What was found with sizes nearer to those preferred, for each that is not as preferred.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tried: Vec<Tried>,
    /// Claimed cost; worked out again on opening.
    pub cost: f64,
    /// The cost of the cheapest plan with as many parts that its search came to, where better figure made this one
    /// dearer: a claim, told and never relied on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cheapest: Option<f64>,
    /// Claimed bound; worked out again before it is shown.
    pub bound: Option<Bound>,
    /// The numbers that repeat it.
    pub made: Made,
    /// The revision of the document it was made for.
    pub revision: u64,
}

/// The best that a search found with a better value of a size than the plan has: a claim, told as the reason
/// against that value and never relied on.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
pub struct Tried {
    /// The dimension.
    pub name: String,
    /// Its value there, in millimetres.
    pub value: f64,
    /// Pieces without a place, a stave by its share of the panel.
    pub missing: f64,
    /// Its cost, in the job's unit of cost.
    pub cost: f64,
    /// Boards that it cuts.
    pub boards: u32,
}

impl Plan {
    /// Lists a copy as not placed yet, once.
    pub fn wait(&mut self, part: &str, copy: u32) {
        let listed = |u: &&mut Unplaced| u.part == part && u.reason == UnplacedReason::NotTried;
        match self.unplaced.iter_mut().find(listed) {
            Some(unplaced) if unplaced.copies.contains(&copy) => {}
            Some(unplaced) => unplaced.copies.push(copy),
            None => self.unplaced.push(Unplaced {
                part: part.to_owned(),
                copies: vec![copy],
                reason: UnplacedReason::NotTried,
                least_board: None,
                longest: None,
            }),
        }
    }

    /// Reads a plan from JSON.
    ///
    /// It goes by way of a tree of values, as job files do: read straight from the text, every
    /// type would be compiled a second time, some thirty kilobytes of WebAssembly.
    ///
    /// # Errors
    /// What is wrong, where the text is no JSON or no plan.
    pub fn read(text: &str) -> Result<Plan, serde_json::Error> {
        let values: serde_json::Value = serde_json::from_str(text)?;
        Plan::deserialize(&values)
    }

    /// The layout of a copy of a board, if that is cut.
    pub fn layout(&self, board: &str, copy: u32) -> Option<&Layout> {
        self.layouts
            .iter()
            .find(|l| l.board.board == board && l.board.copy == copy)
    }

    /// Where a copy of a part lies: its layout's and its own place in the lists.
    pub fn find(&self, part: &str, copy: u32) -> Option<(usize, usize)> {
        self.layouts.iter().enumerate().find_map(|(l, layout)| {
            layout
                .placements
                .iter()
                .position(|p| p.part == part && p.copy == copy)
                .map(|p| (l, p))
        })
    }

    /// How many copies are placed.
    pub fn placed_count(&self) -> usize {
        self.layouts.iter().map(|l| l.placements.len()).sum()
    }
}
