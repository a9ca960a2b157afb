//! A cut that the plan did not hold.

use heartside_geometry::{Arrange, Point, Region};
use heartside_timber::document::{BoardCopy, Document, Hand};
use heartside_timber::edit::Edit;
use heartside_timber::job::Job;

use super::carrying::{laid_anew, left_by};
use super::laying::{Making, Named, Piece};
use super::wood::{Beyond, Wood};
use super::{Ground, Refused};

/// Ends of a line that lie nearer to each other than this, in mm, give no direction.
const LEAST_LINE: f64 = 1.0;
/// A kerf that takes less wood than this, in square millimetres, takes none.
const NOTHING: f64 = 1e-3;

/// A straight cut of the maker's own.
#[derive(Debug, Clone, PartialEq)]
pub struct CutOtherwise {
    /// The board or piece that is cut.
    pub board: BoardCopy,
    /// Two points of the middle of the kerf, in the board's coordinates; the cut runs right across.
    pub line: [Point; 2],
    /// Width of the kerf in millimetres.
    pub kerf: f64,
    /// The tool's name; empty if none is named.
    pub tool: String,
}

/// The edit that makes a cut of the maker's own. Parts that lie wholly on one of its pieces stay there, how
/// they are cut is looked for anew, and the others wait.
///
/// # Errors
/// Where the line misses the wood or leaves nothing on one side, where the board is a blank in
/// hand or was cut already.
pub fn cut_otherwise(document: &Document, job: &Job, cut: &CutOtherwise) -> Result<Edit, Refused> {
    let ground = Ground::to_be_cut(document, job, &cut.board)?;
    let words = ground.words.clone();
    let [from, to] = cut.line;
    let along = (to - from).unit();
    let along =
        along.filter(|_| from.is_finite() && to.is_finite() && from.distance(to) >= LEAST_LINE);
    let Some(along) = along else {
        return Err(Refused(
            "the two ends of the line are at one place: draw it right across".into(),
        ));
    };
    if !(0.0..=100.0).contains(&cut.kerf) {
        return Err(Refused(
            "a kerf is 0 to 100 mm wide: write in what the saw takes".into(),
        ));
    }
    let wood = Wood::of(ground.board);
    let made = left_by(job, &cut.tool);
    let mut pieces: Vec<(Wood, Hand)> = Vec::new();
    for (side, normal) in [
        (Hand::Right, along.turned_right()),
        (Hand::Left, along.turned_left()),
    ] {
        let point = from + normal * (cut.kerf / 2.0);
        let woods = wood.beyond(Beyond { point, normal }, made);
        pieces.extend(woods.into_iter().map(|wood| (wood, side)));
    }
    let left: f64 = pieces.iter().map(|(wood, _)| wood.region.area()).sum();
    let is_parted = pieces.iter().any(|p| p.1 != pieces[0].1);
    if !is_parted {
        if wood.region.area() - left <= NOTHING {
            return Err(Refused(format!(
                "the line misses {words}: draw it across the wood"
            )));
        }
        let tool = job.workshop.tools.iter().find(|t| t.name == cut.tool);
        if tool.is_some_and(|t| !t.can_skim && !t.trues) {
            return Err(Refused(format!(
                "nothing of {words} would be left on one side of the line: move it, or take a tool that can skim"
            )));
        }
    }
    pieces.arrange_by(|(a, _), (b, _)| {
        let (a, b) = (a.region.bounds().min, b.region.bounds().min);
        a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
    });
    let regions: Vec<&Region> = pieces.iter().map(|(wood, _)| &wood.region).collect();
    let plan = document.plan.as_ref();
    let layout = plan.and_then(|p| p.layout(&cut.board.board, cut.board.copy));
    let carried = layout.map_or_else(
        || vec![Default::default(); regions.len()],
        |layout| laid_anew(job, layout, &regions),
    );
    let pieces = pieces
        .into_iter()
        .zip(carried)
        .map(|((wood, side), carried)| Piece {
            wood,
            side,
            carried,
            name: Named::Next,
            leaf: None,
        })
        .collect();
    let making = Making {
        document,
        job,
        ground,
        line: cut.line.to_vec(),
        kerf: cut.kerf,
        tool: cut.tool.clone(),
        set_to: None,
        pieces,
    };
    making.edit()
}
