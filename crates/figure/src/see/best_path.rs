//! The cheapest way along a board.

/// How a path may move from one column to the next.
pub(crate) struct Moves {
    /// The most places in one column.
    pub(crate) steepest: usize,
    /// What each place costs.
    pub(crate) slope: f32,
}

/// The place in every column of the path whose costs add up to the least: dynamic programming
/// (Amini, Weymouth & Jain 1990 for outlines). `fill` writes what each place of a column costs; `jump` is
/// what a move to anywhere costs before a column, infinite where there is none.
///
/// O(columns x places x steepest) time, two bytes a place of memory. Of equal paths the one of lower
/// places is taken.
pub(crate) fn best_path(
    columns: usize,
    places: usize,
    moves: &Moves,
    jump: impl Fn(usize) -> f32,
    mut fill: impl FnMut(usize, &mut [f32]),
) -> Vec<usize> {
    let places = places.clamp(1, usize::from(u16::MAX));
    if columns == 0 {
        return Vec::new();
    }
    let mut from = vec![0_u16; columns * places];
    let (mut before, mut now) = (vec![0.0_f32; places], vec![0.0_f32; places]);
    let mut cost = vec![0.0_f32; places];
    fill(0, &mut before);
    for column in 1..columns {
        cost.fill(0.0);
        fill(column, &mut cost);
        let cheapest = least(&before);
        let jumping = before[cheapest] + jump(column);
        for place in 0..places {
            let (mut best, mut at) = (jumping, cheapest);
            let low = place.saturating_sub(moves.steepest);
            let high = (place + moves.steepest).min(places - 1);
            for (other, &there) in before.iter().enumerate().take(high + 1).skip(low) {
                let value = there + moves.slope * other.abs_diff(place) as f32;
                if value < best {
                    (best, at) = (value, other);
                }
            }
            now[place] = best + cost[place];
            from[column * places + place] = at as u16;
        }
        std::mem::swap(&mut before, &mut now);
    }
    let mut path = vec![0; columns];
    let mut at = least(&before);
    for column in (0..columns).rev() {
        path[column] = at;
        at = usize::from(from[column * places + at]);
    }
    path
}

fn least(values: &[f32]) -> usize {
    let mut at = 0;
    for (place, value) in values.iter().enumerate() {
        if *value < values[at] {
            at = place;
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    const GENTLE: Moves = Moves {
        steepest: 2,
        slope: 0.5,
    };

    #[test]
    fn follows_the_cheap_places_and_passes_over_a_gap() {
        let line = [3, 3, 4, 5, 5, 5, 6];
        let path = best_path(
            7,
            10,
            &GENTLE,
            |_| f32::INFINITY,
            |column, cost| {
                cost.fill(1.0);
                if column != 3 {
                    cost[line[column]] = -5.0;
                }
            },
        );
        assert_eq!([&path[..3], &path[4..]].concat(), [3, 3, 4, 5, 5, 6]);
    }

    #[test]
    fn jumps_only_where_it_may() {
        let fill = |column: usize, cost: &mut [f32]| {
            cost.fill(1.0);
            cost[if column < 4 { 1 } else { 9 }] = -5.0;
        };
        let jumping = best_path(
            8,
            10,
            &GENTLE,
            |column| if column == 4 { 3.0 } else { f32::INFINITY },
            fill,
        );
        assert_eq!(jumping, [1, 1, 1, 1, 9, 9, 9, 9]);
        let walking = best_path(8, 10, &GENTLE, |_| f32::INFINITY, fill);
        assert!(
            walking
                .windows(2)
                .all(|pair| pair[0].abs_diff(pair[1]) <= 2)
        );
    }
}
