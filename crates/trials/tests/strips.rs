//! What the published strips allow at all for straight cuts, and the shortest of small ones.

use std::collections::HashSet;

use heartside_nest::{Search, Settings, WayWanted};
use heartside_testkit::published;
use heartside_timber::job::Job;
use heartside_trials::ENGINES;
use heartside_trials::instance::Options;

/// Blanks joined without loss: extents, and which pieces they hold.
type Join = (i64, i64, u128);

/// Every join of two that match, side by side or one above the other, until there are no more.
fn joins(pieces: &[(i64, i64)], height: i64, length: i64) -> Vec<Join> {
    let mut all: Vec<Join> = pieces
        .iter()
        .enumerate()
        .map(|(k, (w, h))| (*w, *h, 1 << k))
        .collect();
    let mut known: HashSet<Join> = all.iter().copied().collect();
    let mut next = 0;
    while next < all.len() {
        let a = all[next];
        for k in 0..next {
            let b = all[k];
            if a.2 & b.2 != 0 {
                continue;
            }
            let beside = (a.1 == b.1).then_some((a.0 + b.0, a.1, a.2 | b.2));
            let above = (a.0 == b.0).then_some((a.0, a.1 + b.1, a.2 | b.2));
            for join in [beside, above].into_iter().flatten() {
                if join.0 <= length && join.1 <= height && known.insert(join) {
                    all.push(join);
                }
            }
        }
        next += 1;
    }
    all
}

#[test]
fn joining_puts_a_board_cut_apart_together() {
    // 10 x 6: crosscut at 4, the left rip at 2, the right rip at 5.
    let pieces = [(4, 2), (4, 4), (6, 5), (6, 1)];
    let whole = joins(&pieces, 6, 10).into_iter().any(|j| j.2 == 0b1111);
    assert!(whole);
}

fn strip(name: &str) -> Option<Job> {
    let instance = published(&format!("strip-rect/{name}"), &Options::default());
    instance.map(|instance| instance.job)
}

/// The optima of Hopper & Turton 2000, which for these two can be cut straight.
#[test]
fn the_shortest_of_small_strips_is_found_and_proved() {
    for name in ["c11", "c12"] {
        let Some(job) = strip(name) else {
            return;
        };
        let settings = Settings {
            way: WayWanted::Straight,
            beside: ENGINES,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
        let finished = (0..300).any(|_| search.step(500).finished);
        assert!(finished, "{name}");
        assert!((search.score().cost - 20.0).abs() < 1e-9, "{name}");
        assert!(search.bound().proved_for.is_some(), "{name}");
    }
}

/// The t strips of Hopper 2000 are said to have a guillotine optimum of 200. A perfect plan of
/// straight cuts would be a join of all pieces without loss, and for these there is none (not
/// turned), so that no search by straight cuts can be asked for it.
#[test]
fn the_t_strips_have_no_perfect_plan_of_straight_cuts() {
    for name in ["t1a", "t1b", "t1c", "t2a", "t3a", "t4a", "t4d"] {
        let Some(job) = strip(name) else {
            return;
        };
        let mut pieces = Vec::new();
        for part in &job.parts {
            let size = (part.length() as i64, part.width() as i64);
            pieces.extend((0..part.count).map(|_| size));
        }
        let height = job.boards[0].outline.bounds().height() as i64;
        let area: i64 = pieces.iter().map(|(w, h)| w * h).sum();
        assert_eq!(
            area,
            height * 200,
            "{name}: a perfect plan would be 200 long"
        );
        let most = joins(&pieces, height, 200)
            .into_iter()
            .map(|j| j.2.count_ones())
            .max();
        assert!(
            most < Some(pieces.len() as u32),
            "{name}: all {} pieces join",
            pieces.len()
        );
    }
}
