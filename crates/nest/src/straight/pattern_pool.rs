//! Good fillings of single boards, kept and combined anew.
//!
//! Destroy and repair seldom has all boards right at once, but often each of them at some
//! time. So fillings are kept, and now and then one is chosen for every board such that no
//! piece is laid twice and little is missing: set packing over a pool of patterns, here
//! by a beam over the boards (for columns kept from a search see Subramanian, Uchoa & Ochi
//! 2013).

use heartside_geometry::Arrange;

use crate::cuts::cutting::Cutting;
use crate::objective::BoardMeasure;

/// Fillings kept in all. A filling of a dozen blanks takes some five kilobytes.
const MOST_FILLINGS: usize = 3_000;
/// Fillings kept of one board: with fewer good ones are pushed out before they are combined.
const MOST_OF_A_BOARD: usize = 150;
/// Choices kept from board to board.
const BEAM: usize = 150;

/// A board filled in one way.
#[derive(Debug, Clone)]
pub(crate) struct Filling {
    /// Place in the list of grounds.
    pub(crate) frame: usize,
    /// How it is cut up.
    pub(crate) cutting: Cutting,
    /// What it adds to the score.
    pub(crate) measure: BoardMeasure,
    /// Blanks of each part, only those there are.
    counts: Vec<(usize, u32)>,
    area: f64,
}

/// The fillings of boards that are alike.
#[derive(Debug, Default)]
pub(crate) struct PatternPool {
    /// For each board of the job.
    shelves: Vec<Vec<Filling>>,
    most_of_a_board: usize,
}

/// Fillings being chosen, shelf by shelf.
pub(crate) struct Combination {
    /// For each shelf, its board.
    boards: Vec<usize>,
    beam: Vec<Choice>,
}

/// One choice under way: what is left, and what was taken.
#[derive(Clone)]
struct Choice {
    left: Vec<u32>,
    missing: f64,
    cost: f64,
    /// For each shelf so far: the filling's place in its board's list.
    taken: Vec<Option<usize>>,
}

impl PatternPool {
    /// An empty one for so many boards of the job.
    pub(crate) fn new(boards: usize) -> PatternPool {
        let share = MOST_FILLINGS / boards.max(1);
        PatternPool {
            shelves: (0..boards).map(|_| Vec::new()).collect(),
            most_of_a_board: share.clamp(8, MOST_OF_A_BOARD),
        }
    }

    /// Keeps a filling of a board, unless one with the same blanks is known or all are fuller. O(fillings x parts).
    pub(crate) fn keep(
        &mut self,
        board: usize,
        frame: usize,
        cutting: &Cutting,
        measure: BoardMeasure,
        area_of: impl Fn(usize) -> f64,
    ) {
        let mut parts: Vec<usize> = cutting.cutouts.iter().map(|c| c.part).collect();
        parts.arrange();
        let mut counts: Vec<(usize, u32)> = Vec::new();
        for part in parts {
            match counts.last_mut() {
                Some((last, n)) if *last == part => *n += 1,
                _ => counts.push((part, 1)),
            }
        }
        let area = counts
            .iter()
            .map(|(p, n)| area_of(*p) * f64::from(*n))
            .sum();
        let most = self.most_of_a_board;
        let Some(known) = self.shelves.get_mut(board) else {
            return;
        };
        if counts.is_empty() || known.iter().any(|f| f.counts == counts) {
            return;
        }
        let filling = |cutting: &Cutting| Filling {
            frame,
            cutting: cutting.clone(),
            measure,
            counts,
            area,
        };
        if known.len() < most {
            known.push(filling(cutting));
            return;
        }
        let emptiest = (0..known.len()).min_by(|a, b| known[*a].area.total_cmp(&known[*b].area));
        if let Some(place) = emptiest.filter(|p| known[*p].area < area) {
            known[place] = filling(cutting);
        }
    }

    /// Begins to choose one filling or none for each of the shelves, told by their boards. The pool is
    /// all that is to be laid.
    pub(crate) fn begin(
        boards: Vec<usize>,
        pool: &[u32],
        area_of: impl Fn(usize) -> f64,
    ) -> Combination {
        let all = pool.iter().enumerate();
        let missing = all.map(|(p, n)| area_of(p) * f64::from(*n)).sum();
        Combination {
            boards,
            beam: vec![Choice {
                left: pool.to_vec(),
                missing,
                cost: 0.0,
                taken: Vec::new(),
            }],
        }
    }

    /// Chooses for one shelf more, so that as little area as possible is missing, and of equals the
    /// least cost; true once all are chosen for. Nothing may be kept in between.
    ///
    /// O(beam x fillings x parts of a filling), which takes a millisecond or two.
    pub(crate) fn advance(
        &self,
        combination: &mut Combination,
        cost_of: impl Fn(usize) -> f64,
    ) -> bool {
        let beam = &mut combination.beam;
        let at = beam.first().map_or(0, |choice| choice.taken.len());
        let Some(board) = combination.boards.get(at) else {
            return true;
        };
        let fillings = self.shelves.get(*board).map_or(&[][..], Vec::as_slice);
        let mut next: Vec<(f64, f64, usize, Option<usize>)> = Vec::new();
        for (place, choice) in beam.iter().enumerate() {
            next.push((choice.missing, choice.cost, place, None));
            for (k, filling) in fillings.iter().enumerate() {
                let fits = |(part, n): &(usize, u32)| choice.left[*part] >= *n;
                if filling.counts.iter().all(fits) {
                    let missing = choice.missing - filling.area;
                    next.push((missing, choice.cost + cost_of(*board), place, Some(k)));
                }
            }
        }
        next.arrange_by(|a, b| {
            let by_area = a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1));
            by_area.then((a.2, a.3).cmp(&(b.2, b.3)))
        });
        next.truncate(BEAM);
        *beam = next
            .into_iter()
            .map(|(missing, cost, place, taken)| {
                let mut choice = beam[place].clone();
                if let Some(filling) = taken.map(|k| &fillings[k]) {
                    for (part, n) in &filling.counts {
                        choice.left[*part] -= n;
                    }
                }
                choice.taken.push(taken);
                Choice {
                    missing,
                    cost,
                    ..choice
                }
            })
            .collect();
        false
    }

    /// The best choice: a filling or none for each shelf.
    pub(crate) fn chosen(&self, combination: &Combination) -> Vec<Option<&Filling>> {
        let best = combination.beam.first();
        let taken = best.map_or(&[][..], |best| &best.taken);
        let filling =
            |(board, taken): (&usize, &Option<usize>)| Some(&self.shelves[*board][(*taken)?]);
        combination.boards.iter().zip(taken).map(filling).collect()
    }
}
