//! Cuts that were made in a sound job, without a document.

use heartside_geometry::{Point, Region, Vector, clip_half_plane};
use heartside_timber::document::{BoardCopy, EdgeKind, Hand};
use heartside_timber::job::{Board, DoneCut, Job, Origin, SideState};

/// Cuts the first copy of a board that is left, right across from one point to the other, into pieces named
/// "A1", "A2" and so on, right of the line first. Their new sides are of this kind; zones that lie on
/// them stay.
///
/// # Panics
/// Where there is no such board, or none of it is left.
pub fn make_cut(job: &mut Job, board: &str, line: [Point; 2], kerf: f64, new_side: EdgeKind) {
    let place = job.board_index(board).expect("a board of the job");
    let whole = job.boards[place].clone();
    let copy = whole.copies().next().expect("a copy that is left");
    let gone = &mut job.boards[place].gone;
    gone.insert(gone.partition_point(|c| *c < copy), copy);
    let done = job.done.len();
    let root = whole.from.as_ref().map(|from| from.root.clone());
    let root = root.unwrap_or(BoardCopy {
        board: board.into(),
        copy,
    });
    if whole.from.is_none() {
        job.spent += whole.cost;
    }
    let to_the_left = Vector::new(line[0].y - line[1].y, line[1].x - line[0].x);
    let to_the_left = to_the_left.unit().expect("two points");
    let mut pieces = Vec::new();
    for (side, normal) in [(Hand::Right, -to_the_left), (Hand::Left, to_the_left)] {
        for outline in clip_half_plane(&whole.outline, line[0] + normal * (0.5 * kerf), normal) {
            let id = format!("{board}{}", pieces.len() + 1);
            pieces.push(job.boards.len());
            job.boards.push(Board {
                name: id.clone(),
                id,
                count: 1,
                sides: sides(&whole, &outline, new_side),
                outline,
                gone: Vec::new(),
                cost: 0.0,
                from: Some(Origin {
                    done,
                    side,
                    root: root.clone(),
                    holds: None,
                    leaves: Vec::new(),
                    measured: false,
                }),
                ..whole.clone()
            });
        }
    }
    job.done.push(DoneCut {
        id: done as u32 + 1,
        board: BoardCopy {
            board: board.into(),
            copy,
        },
        line: line.to_vec(),
        kerf,
        resawn: false,
        tool: String::new(),
        set_to: None,
        pieces,
    });
}

/// What lies on a side of the whole board is as it was, the rest is new.
fn sides(whole: &Board, outline: &Region, new_side: EdgeKind) -> Vec<SideState> {
    let of = |a: Point, b: Point| {
        let middle = a.midpoint(b);
        let mut old = whole.outline.edges().zip(&whole.sides);
        let lies_on = old.find(|((from, to), _)| middle.distance_to_segment(*from, *to) < 1e-6);
        let is_end = (b.y - a.y).abs() > (b.x - a.x).abs();
        lies_on.map_or(
            SideState {
                kind: new_side,
                is_end,
            },
            |(_, state)| *state,
        )
    };
    outline.edges().map(|(a, b)| of(a, b)).collect()
}
