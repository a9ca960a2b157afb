//! The fewest lines that part a row of blanks into handy pieces.

use std::cmp::Ordering;

/// What a stretch between two lines costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    /// In through cuts; infinite where the stretch must not be.
    pub(super) effort: f64,
    /// Its load; 0 where nothing is sawn out of it.
    pub(super) load: f64,
}

/// A choice of lines.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Choice {
    /// Of all stretches and cuts together.
    pub(super) effort: f64,
    /// Of the stretches alone.
    pub(super) strain: f64,
    /// Places in the list of lines, in order.
    pub(super) lines: Vec<usize>,
}

/// Least effort so far, how unlike the pieces are, and where the last line before is.
#[derive(Debug, Clone, Copy)]
struct Way {
    effort: f64,
    strain: f64,
    spread: f64,
    before: Option<usize>,
}

/// The lines to be cut, of `count` in a row, so that cuts and stretches cost least together; of
/// equals those whose pieces are most alike, then those that come first.
///
/// `stretch(a, b)` is the stretch from line `a` (none: where the wood begins) to line `b`
/// (none: where it ends); every line costs `cut`. A shortest path over the lines, O(count²).
pub(super) fn best_lines(
    count: usize,
    cut: f64,
    stretch: impl Fn(Option<usize>, Option<usize>) -> Stretch,
) -> Choice {
    let mut ways: Vec<Way> = Vec::with_capacity(count + 1);
    for to in 0..=count {
        let end = (to < count).then_some(to);
        let step = |before: Option<usize>| {
            let piece = stretch(before, end);
            let so_far = before.map_or((0.0, 0.0, 0.0), |b| {
                (ways[b].effort + cut, ways[b].strain, ways[b].spread)
            });
            Way {
                effort: so_far.0 + piece.effort,
                strain: so_far.1 + piece.effort,
                spread: so_far.2 + piece.load * piece.load,
                before,
            }
        };
        let best = (0..to)
            .map(|b| step(Some(b)))
            .fold(step(None), |best, way| {
                if order(&way, &best) == Ordering::Less {
                    way
                } else {
                    best
                }
            });
        ways.push(best);
    }
    let last = ways[count];
    let mut lines = Vec::new();
    let mut at = last.before;
    while let Some(line) = at {
        lines.push(line);
        at = ways[line].before;
    }
    lines.reverse();
    Choice {
        effort: last.effort,
        strain: last.strain,
        lines,
    }
}

fn order(a: &Way, b: &Way) -> Ordering {
    a.effort
        .total_cmp(&b.effort)
        .then(a.spread.total_cmp(&b.spread))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines at every hundred millimetres of a board, a part between each two; 300 are handy.
    fn pieces(length: usize) -> Vec<usize> {
        let count = length - 1;
        let choice = best_lines(count, 1.0, |a, b| {
            let from = a.map_or(0, |a| a + 1);
            let to = b.map_or(length, |b| b + 1);
            let load = (to - from) as f64 / 3.0;
            let over = (load - 1.0).max(0.0);
            Stretch {
                effort: 10.0 * over * (to - from) as f64,
                load,
            }
        });
        let mut ends: Vec<usize> = choice.lines.iter().map(|l| l + 1).collect();
        ends.push(length);
        let mut start = 0;
        ends.into_iter()
            .map(|end| end - std::mem::replace(&mut start, end))
            .collect()
    }

    #[test]
    fn as_few_lines_as_make_the_pieces_handy() {
        assert_eq!(pieces(3), [3]);
        assert_eq!(pieces(6), [3, 3]);
        assert_eq!(pieces(9), [3, 3, 3]);
    }

    #[test]
    fn of_equals_the_pieces_are_alike() {
        assert_eq!(pieces(4), [2, 2]);
        // The first of the three ways in which two pieces of 3 and one of 2 can lie.
        assert_eq!(pieces(8).iter().copied().max(), Some(3));
        assert_eq!(pieces(8).len(), 3);
    }

    #[test]
    fn where_no_line_helps_none_is_cut() {
        let choice = best_lines(3, 1.0, |_, _| Stretch {
            effort: 0.2,
            load: 1.02,
        });
        assert_eq!(choice.lines, Vec::<usize>::new());
        assert_eq!(choice.effort, 0.2);
    }
}
