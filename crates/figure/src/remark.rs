//! What is wrong with marks, and how to mend it.

use thiserror::Error;

/// Something about the marks of a photograph that its maker should know. Marks and check lengths are
/// numbered from 0 here and from 1 in the sentences.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[non_exhaustive]
pub enum Remark {
    /// Fewer than two marks.
    #[error(
        "give four marks that span most of the board, or the two ends of a rule in a photo taken square on; {given} set so far"
    )]
    TooFew {
        /// How many were given.
        given: usize,
    },
    /// More marks than anybody sets.
    #[error("{given} marks given: {most} are the most")]
    TooMany {
        /// How many were given.
        given: usize,
        /// How many may be.
        most: usize,
    },
    /// A number that is none, or far beyond any board or picture.
    #[error("mark {}: its place is not a usable number; set it again", .mark + 1)]
    NotANumber {
        /// Which mark.
        mark: usize,
    },
    /// The same of a check length, or one that is not longer than 0.
    #[error("check length {}: give a length above 0 between two places of the board", .check + 1)]
    NoLength {
        /// Which check length.
        check: usize,
    },
    /// The board has no extent, or the picture has none.
    #[error(
        "the size of the board or of the photo is not known: give the board's length and width"
    )]
    NoSize,
    /// Two marks at one place.
    #[error("marks {} and {} lie at the same place: move one of them, or leave it out", .marks[0] + 1, .marks[1] + 1)]
    SamePlace {
        /// Which marks.
        marks: [usize; 2],
    },
    /// All marks, or all but one, lie in one line.
    #[error("the marks lie in one line, or all but one do: set two on each side of the board")]
    InOneLine,
    /// The marks are given in another order than they lie.
    #[error("the marks are crossed: {}", crossed(*.exchanged))]
    Crossed {
        /// The two that are taken for each other, where exchanging them mends it.
        exchanged: Option<[usize; 2]>,
    },
    /// Without this mark the others lie as they should.
    #[error("mark {} lies elsewhere than it is said to: measure it again, or leave it out", .mark + 1)]
    Misplaced {
        /// Which mark.
        mark: usize,
    },
    /// The marks run the other way round in the picture than on the board.
    #[error(
        "the marks run the other way round in the photo than on the board: give them in the same order, or turn over a mirrored photo"
    )]
    Mirrored,
    /// The board reaches behind the horizon of the view.
    #[error(
        "seen by these marks the board would reach beyond the horizon: check the marks and the board's length"
    )]
    BeyondHorizon,
    /// Two marks are so near each other that a pixel counts for much.
    #[error("marks {} and {} are only {apart:.0} pixels apart in the photo: set them farther apart, or come nearer", .marks[0] + 1, .marks[1] + 1)]
    CloseTogether {
        /// Which marks.
        marks: [usize; 2],
        /// How far apart, in pixels.
        apart: f64,
    },
    /// The marks span too little of the board.
    #[error("the marks span {:.0} % of the board's length: set them nearer its ends", 100.0 * .share)]
    SpanTooSmall {
        /// The share of the board's length.
        share: f64,
    },
    /// The marks do not fit each other.
    #[error("the marks disagree by {misfit:.1} mm: {}", disagreeing(*.mark))]
    Disagree {
        /// The mark that is probably wrong, where that can be told.
        mark: Option<usize>,
        /// The greatest distance of a mark from where it should be, in millimetres.
        misfit: f64,
    },
    /// The marks fit each other if the lens bends.
    #[error(
        "the lens seems to bend: the marks are off by up to {misfit:.1} mm. Step back and zoom in, or keep the board in the middle of the photo"
    )]
    LensBends {
        /// The greatest distance of a mark from where it should be, in millimetres.
        misfit: f64,
    },
    /// A check length comes out longer or shorter.
    #[error("check length {} comes out as {found:.1} mm in place of {given:.1}: measure it again, and the marks", .check + 1)]
    LengthOff {
        /// Which check length.
        check: usize,
        /// As it was given, in millimetres.
        given: f64,
        /// As the marks have it, in millimetres.
        found: f64,
    },
    /// A part of the board is beyond the picture's rim.
    #[error("the photo does not show the {} end of the board", if *.end == 0 { "left" } else { "right" })]
    NotInPicture {
        /// 0 for the end at the least x, 1 for the other one.
        end: usize,
    },
    /// The straightened picture would be larger than anything can hold.
    #[error(
        "at {pixel} mm a pixel the picture would have {columns} x {rows} pixels: take {possible:.2} mm a pixel"
    )]
    TooLarge {
        /// The side of a pixel that was asked for, in millimetres.
        pixel: f64,
        /// Pixels in a row.
        columns: f64,
        /// Rows.
        rows: f64,
        /// The least side of a pixel that is possible, in millimetres.
        possible: f64,
    },
}

impl Remark {
    /// The marks it is about, from 0.
    pub fn marks(&self) -> Vec<usize> {
        match *self {
            Remark::NotANumber { mark } | Remark::Misplaced { mark } => vec![mark],
            Remark::Disagree { mark, .. } => mark.into_iter().collect(),
            Remark::SamePlace { marks } | Remark::CloseTogether { marks, .. } => marks.to_vec(),
            Remark::Crossed { exchanged } => exchanged.into_iter().flatten().collect(),
            _ => Vec::new(),
        }
    }

    /// Whether nothing can be straightened before it is mended.
    pub fn is_in_the_way(&self) -> bool {
        !matches!(
            self,
            Remark::CloseTogether { .. }
                | Remark::SpanTooSmall { .. }
                | Remark::Disagree { .. }
                | Remark::LensBends { .. }
                | Remark::LengthOff { .. }
                | Remark::NotInPicture { .. }
        )
    }
}

fn crossed(exchanged: Option<[usize; 2]>) -> String {
    match exchanged {
        Some([a, b]) => format!("exchange marks {} and {}", a + 1, b + 1),
        None => "give them in the order in which they lie round the board".to_owned(),
    }
}

fn disagreeing(mark: Option<usize>) -> String {
    match mark {
        Some(mark) => format!("probably mark {} is wrong; measure it again", mark + 1),
        None => "one of them is wrong; measure them again, or set one more".to_owned(),
    }
}
