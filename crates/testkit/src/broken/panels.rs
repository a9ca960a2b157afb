//! Breaks the staves of a panel in one way.

use heartside_timber::choices::{Stave, stave_named};
use heartside_timber::document::{Document, HeartSide, Hearts, Length};
use heartside_timber::plan::Plan;

use crate::chance::Chance;
use crate::timberyard::plain;

/// A way of breaking the staves of a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PanelBreakage {
    /// A stave is planned wider or narrower.
    StaveWidth,
    /// The narrowest stave may be hardly as narrow as one is.
    Narrowest,
    /// The widest stave may be hardly as wide as one is.
    Widest,
    /// Each joint takes more.
    Joint,
    /// All are to be of one width.
    Equal,
    /// There may be fewer staves than there are.
    Count,
    /// Two staves have one number.
    Number,
    /// A stave is left out of what is glued up.
    LeftOut,
    /// A stave lies with the other face up.
    TurnedOver,
    /// Two staves change their order.
    Order,
    /// A board's heart is on the other side.
    HeartSide,
    /// A placement tells another width.
    Told,
    /// A piece of a stave is longer or shorter.
    PieceLength,
    /// The shortest piece may be hardly as short as one is.
    ShortestPiece,
    /// End joints of neighbours are to stand hardly as far apart as two do.
    EndsApart,
    /// Each end joint takes more.
    EndJoint,
    /// A stave is turned end for end where nothing is said of it.
    TurnedEnds,
    /// Staves may not be joined end to end at all.
    NotJoined,
    /// A placement tells another length.
    ToldLength,
}

impl PanelBreakage {
    /// Every way.
    pub const ALL: [PanelBreakage; 19] = [
        PanelBreakage::StaveWidth,
        PanelBreakage::Narrowest,
        PanelBreakage::Widest,
        PanelBreakage::Joint,
        PanelBreakage::Equal,
        PanelBreakage::Count,
        PanelBreakage::Number,
        PanelBreakage::LeftOut,
        PanelBreakage::TurnedOver,
        PanelBreakage::Order,
        PanelBreakage::HeartSide,
        PanelBreakage::Told,
        PanelBreakage::PieceLength,
        PanelBreakage::ShortestPiece,
        PanelBreakage::EndsApart,
        PanelBreakage::EndJoint,
        PanelBreakage::TurnedEnds,
        PanelBreakage::NotJoined,
        PanelBreakage::ToldLength,
    ];

    /// True of what needs staves that are joined end to end.
    pub fn is_of_ends(self) -> bool {
        use PanelBreakage::{
            EndJoint, EndsApart, NotJoined, PieceLength, ShortestPiece, ToldLength, TurnedEnds,
        };
        matches!(
            self,
            PieceLength
                | ShortestPiece
                | EndsApart
                | EndJoint
                | TurnedEnds
                | NotJoined
                | ToldLength
        )
    }
}

/// Breaks the first panel of a document with a plan by about so many millimetres.
///
/// Nothing happens where there is no panel or no plan.
pub fn break_panel(document: &mut Document, way: PanelBreakage, by: f64, chance: &mut Chance) {
    let Some(mut plan) = document.plan.take() else {
        return;
    };
    break_plan(document, &mut plan, way, by, chance);
    document.plan = Some(plan);
}

fn break_plan(
    document: &mut Document,
    plan: &mut Plan,
    way: PanelBreakage,
    by: f64,
    chance: &mut Chance,
) {
    let (Some(panel), Some(chosen)) = (document.panels.first_mut(), plan.panels.first_mut()) else {
        return;
    };
    let staves = &mut chosen.staves;
    let some = chance.below(staves.len().max(1));
    let widths = |staves: &[Stave]| -> Vec<f64> { staves.iter().map(|s| s.width).collect() };
    let least = widths(staves).into_iter().fold(f64::INFINITY, f64::min);
    let most = widths(staves).into_iter().fold(0.0, f64::max);
    let sign = if chance.percent(50) { 1.0 } else { -1.0 };
    match way {
        PanelBreakage::StaveWidth => staves[some].width += sign * by,
        PanelBreakage::Narrowest => panel.min_width = Some(Length::Mm(least + by)),
        PanelBreakage::Widest => panel.max_width = Some(Length::Mm(most - by)),
        PanelBreakage::Joint => {
            let joint = panel.joint.as_ref().map_or(0.0, plain);
            panel.joint = Some(Length::Mm(joint + by));
        }
        PanelBreakage::Equal => {
            panel.equal = true;
            // Two staves part, and what they make up stays.
            let other = (some + 1) % staves.len();
            staves[some].width += by;
            staves[other].width -= by;
        }
        PanelBreakage::Count => panel.max_count = Some((staves.len() as u32).max(2) - 1),
        PanelBreakage::Number => {
            let other = (some + 1) % staves.len();
            staves[some].number = staves[other].number;
        }
        PanelBreakage::LeftOut => {
            staves.remove(some);
        }
        PanelBreakage::Order => {
            panel.hearts = Hearts::Alternate;
            let other = (some + 1) % staves.len();
            staves.swap(some, other);
        }
        PanelBreakage::TurnedOver => {
            if panel.hearts == Hearts::Any {
                panel.hearts = Hearts::Same;
            }
            let placed = plan.layouts.iter_mut().flat_map(|l| &mut l.placements);
            let mut staves = placed.filter(|p| stave_named(&p.part).is_some());
            if let Some(placement) = staves.nth(some) {
                let over = !placement.at.turned_over;
                placement.at.turned_over = over;
                // As it lies where its board is cut straight along; elsewhere other rules are broken too.
                let width = placement.width.unwrap_or(0.0);
                placement.at.y += if over { width } else { -width };
            }
        }
        PanelBreakage::HeartSide => {
            if panel.hearts == Hearts::Any {
                panel.hearts = Hearts::Same;
            }
            let holds = |l: &&heartside_timber::plan::Layout| {
                l.placements.iter().any(|p| stave_named(&p.part).is_some())
            };
            let used = plan.layouts.iter().find(holds).map(|l| &l.board.board);
            let board = document.boards.iter_mut().find(|b| Some(&b.id) == used);
            if let Some(board) = board {
                board.heart_side = match board.heart_side {
                    HeartSide::Up => HeartSide::Down,
                    _ => HeartSide::Up,
                };
            }
        }
        PanelBreakage::PieceLength => {
            let joined = staves.iter_mut().find(|s| !s.pieces.is_empty());
            if let Some(stave) = joined {
                let piece = chance.below(stave.pieces.len());
                stave.pieces[piece] += sign * by;
            }
        }
        PanelBreakage::ShortestPiece => {
            let pieces = staves.iter().flat_map(|s| &s.pieces);
            let shortest = pieces.copied().fold(f64::INFINITY, f64::min);
            if shortest.is_finite() {
                panel.min_piece = Some(Length::Mm(shortest + by));
            }
        }
        PanelBreakage::EndsApart => {
            let taken = panel.end_joint.as_ref().map_or(0.0, plain);
            let pairs = staves.windows(2).flat_map(|pair| {
                let (low, high) = (pair[0].ends(taken), pair[1].ends(taken));
                let apart = low.into_iter().flat_map(move |a| {
                    let apart = high.iter().map(|b| (a - b).abs()).collect::<Vec<_>>();
                    apart.into_iter()
                });
                apart.collect::<Vec<_>>()
            });
            let nearest = pairs.fold(f64::INFINITY, f64::min);
            if nearest.is_finite() {
                panel.ends_apart = Some(Length::Mm(nearest + by));
            }
        }
        PanelBreakage::EndJoint => {
            let taken = panel.end_joint.as_ref().map_or(0.0, plain);
            panel.end_joint = Some(Length::Mm(taken + by));
        }
        PanelBreakage::TurnedEnds => {
            let joined = staves.iter_mut().find(|s| !s.pieces.is_empty());
            joined.into_iter().for_each(|s| s.pieces.reverse());
        }
        PanelBreakage::NotJoined => panel.end_to_end = false,
        PanelBreakage::ToldLength => {
            let mut placed = plan.layouts.iter_mut().flat_map(|l| &mut l.placements);
            if let Some(placement) = placed.find(|p| p.length.is_some()) {
                placement.length = placement.length.map(|l| l + sign * by);
            }
        }
        PanelBreakage::Told => {
            let mut placed = plan.layouts.iter_mut().flat_map(|l| &mut l.placements);
            if let Some(placement) = placed.find(|p| stave_named(&p.part).is_some()) {
                placement.width = placement.width.map(|w| w + sign * by);
            }
        }
    }
}
