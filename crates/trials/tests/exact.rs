//! The proved best pattern of one clear board, against plain recursions over every whole
//! measure, and against published optima.

use std::collections::HashMap;

use heartside_check::check;
use heartside_nest::{Floor, Search, Settings, WayWanted};
use heartside_testkit::{Chance, published};
use heartside_timber::finding::Severity;
use heartside_timber::job::Job;
use heartside_trials::instance::{Instance, Options};
use heartside_trials::{ENGINES, WITH_PRICES};
use serde_json::json;

/// A board and parts, each with value.
struct Case {
    board: (u32, u32),
    parts: Vec<(u32, u32, u32)>,
    may_turn: bool,
    /// Of each part; none where any number may be cut.
    copies: Option<u32>,
    kerf: u32,
}

impl Case {
    fn random(seed: u32) -> Case {
        let mut chance = Chance::new(seed);
        let mut between =
            |low: u32, high: u32| low + chance.below((high - low + 1) as usize) as u32;
        let board = (between(12, 40), between(10, 30));
        let parts = (0..between(2, 6)).map(|_| {
            let (w, h) = (between(2, board.0.min(17)), between(2, board.1.min(13)));
            (w, h, w * h + between(0, 9))
        });
        let parts = parts.collect();
        Case {
            board,
            parts,
            may_turn: seed % 2 == 1,
            copies: None,
            kerf: 0,
        }
    }

    /// A smaller board, of whose parts there are one or two each.
    fn limited(seed: u32) -> Case {
        let mut chance = Chance::new(seed);
        let mut between =
            |low: u32, high: u32| low + chance.below((high - low + 1) as usize) as u32;
        let board = (between(12, 22), between(9, 16));
        let parts = (0..between(3, 5)).map(|_| {
            let (w, h) = (between(3, 11), between(2, 8));
            (w, h, w * h + between(0, 6))
        });
        Case {
            board,
            parts: parts.collect(),
            may_turn: seed % 2 == 1,
            copies: Some(1 + seed % 2),
            kerf: seed % 3,
        }
    }

    fn job(&self) -> Job {
        let rectangle = |w: u32, h: u32| json!([[0, 0], [w, 0], [w, h], [0, h]]);
        let turns = if self.may_turn {
            json!([0, 90])
        } else {
            json!([0])
        };
        let text = json!({
            "name": "case", "kind": "knapsack-guillotine", "units": "none",
            "best_known": null, "optimum_proven": false,
            "boards": [{"outline": rectangle(self.board.0, self.board.1), "defects": [], "quantity": 1}],
            "parts": self.parts.iter().enumerate().map(|(i, (w, h, v))| json!({
                "id": format!("p{i}"), "outline": rectangle(*w, *h), "quantity": self.copies,
                "rotations_deg": turns, "value": v,
            })).collect::<Vec<_>>(),
        });
        let read = Instance::read(&text.to_string(), &Default::default());
        let mut job = read.expect("our own instance is read").job;
        for tool in &mut job.workshop.tools {
            tool.kerf = f64::from(self.kerf);
        }
        job
    }

    /// The best value of a rectangle, by the definition: one part, or a cut anywhere.
    fn best(&self, w: u32, h: u32, known: &mut HashMap<(u32, u32), u32>) -> u32 {
        if let Some(best) = known.get(&(w, h)) {
            return *best;
        }
        let lies = |pw: u32, ph: u32| pw <= w && ph <= h;
        let fits = |p: &&(u32, u32, u32)| lies(p.0, p.1) || (self.may_turn && lies(p.1, p.0));
        let one = self.parts.iter().filter(fits).map(|p| p.2).max();
        let mut best = one.unwrap_or(0);
        for at in 1..w {
            best = best.max(self.best(at, h, known) + self.best(w - at, h, known));
        }
        for at in 1..h {
            best = best.max(self.best(w, at, known) + self.best(w, h - at, known));
        }
        known.insert((w, h), best);
        best
    }
}

/// How many of each part.
type Set = [u8; 5];

impl Case {
    /// The greatest value with the copies there are, by the definition.
    fn best_of_copies(&self) -> u32 {
        let mut known = HashMap::new();
        let sets = self.sets(self.board.0, self.board.1, &mut known);
        let value = |set: &Set| -> u32 {
            let parts = self.parts.iter().zip(set);
            parts.map(|(part, n)| part.2 * u32::from(*n)).sum()
        };
        sets.iter().map(value).max().unwrap_or(0)
    }

    /// The largest sets that can come out of a rectangle: what one part gives, and what the two
    /// sides of a cut give, which takes its kerf.
    fn sets(&self, w: u32, h: u32, known: &mut HashMap<(u32, u32), Vec<Set>>) -> Vec<Set> {
        if let Some(sets) = known.get(&(w, h)) {
            return sets.clone();
        }
        let mut sets: Vec<Set> = vec![[0; 5]];
        for (place, part) in self.parts.iter().enumerate() {
            // A blank is freed by cuts: what is left beside it is at least a kerf, or nothing.
            let lies = |pw: u32, ph: u32| pw <= w && ph <= h;
            if lies(part.0, part.1) || (self.may_turn && lies(part.1, part.0)) {
                let mut one = [0; 5];
                one[place] = 1;
                sets.push(one);
            }
        }
        let rest = |whole: u32, at: u32| whole.saturating_sub(at + self.kerf);
        for at in 1..w {
            let (low, high) = (self.sets(at, h, known), self.sets(rest(w, at), h, known));
            self.join(&mut sets, &low, &high);
        }
        for at in 1..h {
            let (low, high) = (self.sets(w, at, known), self.sets(w, rest(h, at), known));
            self.join(&mut sets, &low, &high);
        }
        let below = |a: &Set, b: &Set| a.iter().zip(b).all(|(a, b)| a <= b);
        let all = sets.clone();
        sets.retain(|s| !all.iter().any(|t| t != s && below(s, t)));
        sets.sort_unstable();
        sets.dedup();
        known.insert((w, h), sets.clone());
        sets
    }

    fn join(&self, sets: &mut Vec<Set>, low: &[Set], high: &[Set]) {
        let most = self.copies.unwrap_or(0) as u8;
        for a in low {
            for b in high {
                let mut sum = *a;
                for (n, more) in sum.iter_mut().zip(b) {
                    *n = (*n + more).min(most);
                }
                if !sets.contains(&sum) {
                    sets.push(sum);
                }
            }
        }
    }
}

fn solved(job: &Job) -> Search {
    let settings = Settings {
        way: WayWanted::Straight,
        beside: ENGINES,
        ..Settings::default()
    };
    let mut search = Search::new(job, settings).expect("worker 0 of 1 exists");
    let finished = (0..400).any(|_| search.step(500).finished);
    assert!(finished, "the programme comes to its end");
    let findings = check(job, search.best());
    let broken: Vec<_> = findings
        .iter()
        .filter(|f| f.severity == Severity::Broken)
        .collect();
    assert!(broken.is_empty(), "{broken:?}");
    search
}

fn value(search: &Search) -> f64 {
    -search.score().missing.first().copied().unwrap_or(0.0)
}

#[test]
fn nothing_is_better_and_nothing_better_is_claimed() {
    for seed in 0..60 {
        let case = Case::random(seed);
        let search = solved(&case.job());
        let best = case.best(case.board.0, case.board.1, &mut HashMap::new());
        assert_eq!(value(&search), f64::from(best), "case {seed}");
        assert!(search.bound().proved_for.is_some(), "case {seed}");
    }
}

#[test]
fn nothing_is_better_with_limited_copies_and_kerfs() {
    for seed in 0..60 {
        let case = Case::limited(seed);
        let search = solved(&case.job());
        let best = case.best_of_copies();
        assert_eq!(value(&search), f64::from(best), "case {seed}");
        assert!(search.bound().proved_for.is_some(), "case {seed}");
        assert!(
            (search.bound().value - f64::from(best)).abs() < 1e-6,
            "case {seed}"
        );
    }
}

/// The least that boards cost which give every piece, by the definition: for each way of
/// dividing the pieces up, the cheapest kind of board that gives each share.
fn cheapest(kinds: &[(u32, u32, u32)], parts: &[(u32, u32, u32)], kerf: u32) -> u32 {
    let gives: Vec<Vec<Set>> = kinds
        .iter()
        .map(|(w, h, _)| {
            let case = Case {
                board: (*w, *h),
                parts: parts.to_vec(),
                may_turn: false,
                copies: Some(1),
                kerf,
            };
            case.sets(*w, *h, &mut HashMap::new())
        })
        .collect();
    let is_within =
        |mask: usize, set: &Set| (0..parts.len()).all(|p| mask >> p & 1 == 0 || set[p] > 0);
    let one = |mask: usize| {
        let may = kinds.iter().zip(&gives);
        let may = may.filter(|(_, sets)| sets.iter().any(|s| is_within(mask, s)));
        may.map(|(kind, _)| kind.2).min()
    };
    let mut least = vec![Some(0u32)];
    for mask in 1..1usize << parts.len() {
        let mut best = None;
        let mut share = mask;
        while share > 0 {
            if let (Some(board), Some(rest)) = (one(share), least[mask & !share]) {
                best = Some(best.map_or(board + rest, |b: u32| b.min(board + rest)));
            }
            share = (share - 1) & mask;
        }
        least.push(best);
    }
    least
        .last()
        .copied()
        .flatten()
        .expect("the largest board takes each piece")
}

#[test]
fn the_floor_of_unlike_boards_is_never_above_the_cheapest() {
    let (mut met, mut ratios, mut of_prices) = (0, Vec::new(), Vec::new());
    for seed in 0..40 {
        let mut chance = Chance::new(seed);
        let mut between =
            |low: u32, high: u32| low + chance.below((high - low + 1) as usize) as u32;
        let mut kinds = vec![(16, 12, 200)];
        for _ in 0..2 {
            let (w, h) = (between(6, 14), between(5, 11));
            kinds.push((w, h, w * h * between(60, 110) / 100));
        }
        let parts: Vec<(u32, u32, u32)> =
            (0..5).map(|_| (between(3, 13), between(2, 9), 0)).collect();
        let kerf = seed % 2;
        let rectangle = |w: u32, h: u32| json!([[0, 0], [w, 0], [w, h], [0, h]]);
        let text = json!({
            "name": "boards", "kind": "bin-rect", "units": "none",
            "best_known": null, "optimum_proven": false,
            "boards": kinds.iter().map(|(w, h, cost)| json!({
                "outline": rectangle(*w, *h), "defects": [], "quantity": null, "cost": cost,
            })).collect::<Vec<_>>(),
            "parts": parts.iter().enumerate().map(|(i, (w, h, _))| json!({
                "id": format!("p{i}"), "outline": rectangle(*w, *h), "quantity": 1, "rotations_deg": [0],
            })).collect::<Vec<_>>(),
        });
        let read = Instance::read(&text.to_string(), &Default::default());
        let mut job = read.expect("our own instance is read").job;
        for tool in &mut job.workshop.tools {
            tool.kerf = f64::from(kerf);
        }
        let best = f64::from(cheapest(&kinds, &parts, kerf));
        let settings = Settings {
            way: WayWanted::Straight,
            beside: WITH_PRICES,
            ..Settings::default()
        };
        let mut search = Search::new(&job, settings).expect("worker 0 of 1 exists");
        search.step(8_000);
        let (cost, floor) = (search.score().cost, search.bound().value);
        assert!(search.best().unplaced.is_empty(), "boards {seed}");
        assert!(
            cost >= best - 1e-6,
            "boards {seed}: {cost} is under the least, {best}"
        );
        assert!(
            floor <= best + 1e-6,
            "boards {seed}: the floor {floor} is above the least, {best}"
        );
        let mut by_prices = Floor::of(&job, search.best()).expect("all is placed");
        for _ in 0..500 {
            by_prices.step(&job);
        }
        let by_prices = by_prices.bound().value;
        assert!(
            by_prices <= best + 1e-6,
            "boards {seed}: the floor by prices {by_prices} is above the least, {best}"
        );
        met += usize::from(cost <= best + 1e-6);
        ratios.push(floor / best);
        of_prices.push(by_prices.max(floor) / best);
    }
    ratios.sort_by(f64::total_cmp);
    of_prices.sort_by(f64::total_cmp);
    println!(
        "floor over the least: {:.3} by areas, {:.3} by prices",
        ratios[20], of_prices[20]
    );
    assert!(met >= 39, "the cheapest found in {met} of 40");
    assert!(
        ratios[20] >= 0.95,
        "half of the floors are under {}",
        ratios[20]
    );
}

/// An instance of the folder of published ones, by another of its rules where one is named.
fn job_of(name: &str, rule: Option<&str>) -> Option<Job> {
    let options = Options {
        rule: rule.map(str::to_owned),
        ..Options::default()
    };
    let name = format!("knapsack-guillotine/{name}");
    published(&name, &options).map(|instance| instance.job)
}

/// The optima of the unlimited instances of Beasley 1985, as given with the instances.
#[test]
fn published_optima_are_proved() {
    for (name, optimum) in [
        ("gcut1", 56460.0),
        ("gcut4", 61698.0),
        ("gcut12", 979_986.0),
    ] {
        let Some(job) = job_of(name, None) else {
            continue;
        };
        let search = solved(&job);
        assert_eq!(value(&search), optimum, "{name}");
        assert!(search.bound().proved_for.is_some(), "{name}");
    }
}

/// Limited copies: the optima of Christofides & Whitlock 1977 and Fekete & Schepers 1997 and,
/// each part at most once, those of Beasley's boards in Borgulya 2018, as given with the
/// instances.
#[test]
fn published_optima_with_limited_copies_are_proved() {
    for (name, rule, optimum) in [
        ("cgcut1", None, 244.0),
        ("cgcut3", None, 1860.0),
        ("gcut1", Some("once"), 48368.0),
        ("gcut4", Some("once"), 60942.0),
        ("gcut6", Some("once"), 236_305.0),
        ("gcut9", Some("once"), 919_476.0),
    ] {
        let Some(job) = job_of(name, rule) else {
            continue;
        };
        let search = solved(&job);
        assert_eq!(value(&search), optimum, "{name}");
        assert!(search.bound().proved_for.is_some(), "{name}");
    }
}

/// Unlike boards of Pisinger & Sigurd 2005, for which no value is published: what is claimed
/// is our own, the cost and a floor that meets it.
#[test]
fn unlike_published_boards_are_bought_at_the_least_cost() {
    let Some(instance) = published("bin-rect/vsbpp_class_9_11", &Options::default()) else {
        return;
    };
    let settings = Settings {
        way: WayWanted::Straight,
        beside: WITH_PRICES,
        ..Settings::default()
    };
    let mut search = Search::new(&instance.job, settings).expect("worker 0 of 1 exists");
    let is_proved = (0..60).any(|_| {
        search.step(2_000);
        search.bound().proved_for.is_some()
    });
    assert!(
        is_proved,
        "{} above {}",
        search.score().cost,
        search.bound().value
    );
    assert_eq!(search.score().cost, 220_271.0);
    assert!(
        check(&instance.job, search.best())
            .iter()
            .all(|f| f.severity != Severity::Broken)
    );
}

/// A plate with its flaws from the 2018 EURO/ROADEF challenge: the published waste is reached.
#[test]
fn a_published_plate_of_glass_is_cut_as_well_as_published() {
    let Some(instance) = published("defects/glass_a1", &Options::default()) else {
        return;
    };
    let settings = Settings {
        way: WayWanted::Straight,
        beside: ENGINES,
        ..Settings::default()
    };
    let mut search = Search::new(&instance.job, settings).expect("worker 0 of 1 exists");
    search.step(20_000);
    let waste = instance
        .value(search.best())
        .expect("every piece is placed");
    assert!(waste <= 425_486.0 + 0.5, "the waste is {waste}");
    assert!(
        check(&instance.job, search.best())
            .iter()
            .all(|f| f.severity != Severity::Broken)
    );
}
