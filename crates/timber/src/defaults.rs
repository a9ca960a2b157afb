//! What counts where the maker has set nothing.
//!
//! Common practice unless a source is named; every value can be changed in the job.

/// Kerf of a rip where no tool is named, in mm.
pub const RIP_KERF: f64 = 3.2;
/// Kerf of a crosscut where no tool is named, in mm.
pub const CROSSCUT_KERF: f64 = 3.2;
/// Kerf of a line sawn with a bandsaw or jigsaw where no tool is named, in mm.
pub const SAWN_KERF: f64 = 2.0;
/// Trimmed off every raw end, in mm.
pub const TRIM_END: f64 = 15.0;
/// Trimmed off every raw edge, in mm.
pub const TRIM_EDGE: f64 = 4.0;
/// Extra at each end of a straight-cut part, in mm: 12 mm on the length in first rough
/// sawing, as a textbook of furniture making has it.
pub const ALLOWANCE_END: f64 = 6.0;
/// Extra at each edge of a straight-cut part, in mm: 6 mm on the width, from the same textbook.
pub const ALLOWANCE_EDGE: f64 = 3.0;
/// Extra all round a sawn part, in mm.
pub const ALLOWANCE_SAWN: f64 = 3.0;
/// Planed off each face of a board whose warp is unknown, in mm: 3/32 in, same textbook.
pub const PLANING: f64 = 2.5;
/// Planed off each face once measured warp is gone, in mm: about 1/32 in, extension advice
/// on planing cupped lumber.
pub const CLEAN_UP: f64 = 0.8;
/// Least length by which a piece is held to a hand-fed circular saw where the tool gives none,
/// in mm. Common practice, no source; the machine's manual goes before it.
pub const LEAST_HELD: f64 = 300.0;
/// The share of a workpiece's length, along the cut, over which a true edge must touch the rip
/// fence that guides it. Common practice, no source: short of it the piece pivots about the end of
/// its edge, but corners knocked off and trimmed ends do no harm.
pub const FENCE_CONTACT: f64 = 0.9;
/// Most twist of a workpiece that moves over a machine, in mm of the lifted corner: more and it
/// rocks on the table. Common practice, no source.
pub const MOST_TWIST_MOVED: f64 = 1.5;
/// Kept between a saw and a fixing where nothing is said, in mm: the width of tape and pencil
/// and a buried thing's unseen extent. Common practice, no source.
pub const FIXING_KEEP_OFF: f64 = 12.0;
/// Degrees by which the grain of a part may be off.
pub const GRAIN_TOLERANCE: f64 = 3.0;
/// Shortest offcut worth keeping, in mm.
pub const OFFCUT_LENGTH: f64 = 250.0;
/// Narrowest offcut worth keeping, in mm.
pub const OFFCUT_WIDTH: f64 = 60.0;
/// What one person lifts, in kg.
pub const MAX_LIFT_KG: f64 = 25.0;
/// Longest workpiece that a line is sawn out of without need, in mm, where the saw for lines
/// gives no length of its own. Common practice, no source: an arm's reach of 600 mm to each
/// side of the blade; what reaches further swings, and has to be held by stands or a helper.
pub const HANDY_LENGTH: f64 = 1200.0;
/// More copies of one part or board than this are refused as a slip of the finger.
pub const MOST_COPIES: u32 = 10_000;
/// Most pieces in a job, all parts together; more would only make a browser stand still.
pub const MOST_PIECES: u64 = 100_000;
/// Thickest board or part, in mm.
pub const MOST_THICKNESS: f64 = 1000.0;
/// Most corners of one outline.
pub const MOST_CORNERS: usize = 5000;
