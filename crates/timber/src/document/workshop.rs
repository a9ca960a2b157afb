//! The workshop as typed: tools, kerfs, trims, the least offcut.

use super::form::{document_struct, word_enum};
use super::length::Length;

document_struct! {
    /// The workshop.
    pub struct Workshop {
        /// Machines and hand tools that cut.
        pub tools: Vec<Tool>,
        /// Kerfs where no tool is named.
        pub fallback_kerf: FallbackKerf,
        /// What is cut off raw ends and raw edges.
        pub trim: Trim,
        /// Smallest offcut worth keeping, both of length and width.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub min_offcut: Option<MinOffcut>,
        /// What one person lifts, in kilograms; 25 unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_lift_kg: Option<f64>,
    }
}

document_struct! {
    /// Smallest offcut worth keeping.
    pub struct MinOffcut {
        /// Along the board; 250 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub length: Option<Length>,
        /// Across the board; 60 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub width: Option<Length>,
    }
}

document_struct! {
    /// Kerfs where no tool is named.
    pub struct FallbackKerf {
        /// Along the grain; 3.2 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub rip: Option<Length>,
        /// Across the grain; 3.2 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub crosscut: Option<Length>,
        /// By line, with a bandsaw, jigsaw or router; 2 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub sawn: Option<Length>,
    }
}

document_struct! {
    /// What is cut off raw ends and raw edges.
    pub struct Trim {
        /// From every raw end; 15 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub end: Option<Length>,
        /// From every raw edge; 4 mm unless set.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub edge: Option<Length>,
    }
}

word_enum! {
    /// A kind of cut.
    pub enum CutKind {
        /// Along the grain.
        #[default]
        Rip,
        /// Across the grain.
        Crosscut,
        /// Following a line.
        Sawn,
        /// Through the thickness, so that a thick blank becomes leaves.
        Resaw,
        /// Planing an edge straight and true: takes off up to the tool's depth and parts nothing.
        TrueEdge,
    }
}

word_enum! {
    /// What guides a cut.
    pub enum Guide {
        /// Nothing but the hand and the eye.
        #[default]
        None,
        /// Something that runs along the cut: a rip fence where the work moves, a rail on the clamped board where it stays.
        Along,
        /// A fence square to the cut, against which the piece is held, as on a mitre saw.
        Square,
    }
}

document_struct! {
    /// A tool that cuts.
    pub struct Tool {
        /// What it is called in the workshop; cuts refer to it by this name.
        pub name: String,
        /// The kinds of cut it makes.
        pub does: Vec<CutKind>,
        /// Width of wood that it turns to dust; for a planer the most that it takes off an edge in truing it.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub kerf: Option<Length>,
        /// Longest workpiece for a rip, longest cut for a crosscut: the largest extent along the cut.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_length: Option<Length>,
        /// Widest piece between blade and rip fence, or largest extent square to the cut where there is none.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_width: Option<Length>,
        /// Thickest workpiece.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub max_depth: Option<Length>,
        /// Least length by which a piece can be held safely: along a guide that runs along the
        /// cut, against a fence square to it. 300 mm for hand-fed circular saws unless set, none for others.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub min_piece: Option<Length>,
        /// What guides the cut.
        pub guide: Guide,
        /// The work is moved over the machine rather than the tool over the work. Unless set:
        /// with a guide along the cut, and for planers and saws that both rip and follow lines.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub work_moves: Option<bool>,
        /// The edge it leaves can run against a fence. Unless set: where the cut is guided and
        /// the tool follows no lines, and for planers.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub leaves_true_edge: Option<bool>,
        /// It can take off less than its own kerf.
        pub can_skim: bool,
        /// Smallest inside radius that it follows.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub least_radius: Option<Length>,
    }
}
