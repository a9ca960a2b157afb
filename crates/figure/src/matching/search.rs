//! The search, stage by stage.

use std::collections::VecDeque;

use heartside_geometry::{Arrange, Vector};
use rand_core::Rng;
use rand_pcg::Pcg32;

use super::climbing::{Climber, SMALL};
use super::differing::differing;
use super::fitting::{PairPlace, distinct, fitted, laid, made_exact};
use super::ground::{Ground, Lie};
use super::joining::{filled, joined};
use super::judge::Judge;
use super::places::Places;
use super::registering::{Registering, Registration};
use super::{Lacking, Proposal, Sought};

/// The search for faces of which the parts answer each other.
///
/// Deterministic by what is sought, its seed and the steps: `step(a)` and `step(b)` are `step(a + b)`. A step takes
/// a few milliseconds at most.
pub struct Matching {
    ground: Ground,
    places: Places,
    stage: Stage,
    /// Faces that are whole, at the top or on their way.
    faces: Vec<Climber>,
    /// How many of them were given, the first ones.
    given: usize,
    pairs: Vec<PairPlace>,
    proposals: Vec<Proposal>,
    lacking: Option<Lacking>,
    chance: Pcg32,
    /// Steps made, and how many there will be about.
    made: usize,
    expected: usize,
}

enum Stage {
    Places,
    /// Faces by chance, so many still.
    Chance(usize),
    /// Pairs that are compared, one after another.
    Registering(VecDeque<Registering>, Vec<Registration>),
    Fitting(VecDeque<Registration>, Vec<Registration>),
    Laying(VecDeque<Registration>, usize),
    Exact(VecDeque<PairPlace>),
    Joining,
    /// Faces that were put together, to be measured.
    Whole(VecDeque<Vec<Lie>>),
    /// Which face climbs.
    Climbing(usize),
    Done,
}

/// Faces by chance: enough that something fair is among them at once, and that wishes which no correlation finds
/// have something to climb from.
const BY_CHANCE: usize = 48;

/// Of which the best climb.
const CLIMB_BY_CHANCE: usize = 4;

/// How many registrations are fitted, laid, and made exact.
const FITTED: usize = 120;
const LAID: usize = 16;
const EXACT: usize = 12;

/// Faces of less than this share of the best one's worth stay where they were laid: they are offered, but no step makes one of
/// them the best.
const CLIMBS: f64 = 0.6;

/// Map cells per width of a tile below which nothing can be said of how tiles answer.
const LEAST_CELLS: f64 = 3.0;

impl Matching {
    /// Nothing is done yet.
    pub fn new(sought: Sought) -> Matching {
        let seed = u64::from(sought.seed);
        let ground = Ground::new(sought);
        let lacking = lacking(&ground);
        let stage = if lacking.is_some() {
            Stage::Done
        } else {
            Stage::Places
        };
        let expected = Places::units(&ground) + BY_CHANCE + 100;
        Matching {
            ground,
            places: Places::default(),
            stage,
            faces: Vec::new(),
            given: 0,
            pairs: Vec::new(),
            proposals: Vec::new(),
            lacking,
            chance: Pcg32::new(seed, 0x7a11),
            made: 0,
            expected,
        }
    }

    /// Makes so many steps. True once there is nothing left to do.
    pub fn step(&mut self, steps: usize) -> bool {
        for _ in 0..steps {
            if matches!(self.stage, Stage::Done) {
                break;
            }
            self.made += 1;
            self.unit();
        }
        matches!(self.stage, Stage::Done)
    }

    /// The faces that are offered so far, best first: at most six that differ plainly.
    pub fn proposals(&self) -> &[Proposal] {
        &self.proposals
    }

    /// Why nothing is proposed, once that is known.
    pub fn lacking(&self) -> Option<Lacking> {
        self.lacking
    }

    /// How much of the search is done, from 0 to 1.
    pub fn progress(&self) -> f64 {
        if matches!(self.stage, Stage::Done) {
            return 1.0;
        }
        (self.made as f64 / self.expected.max(1) as f64).min(0.99)
    }

    /// Goes on with faces of the same sources as one that pleases: slid along, and of other places there that answer.
    /// It stays among the proposals. Nothing happens where it may not be.
    pub fn more_like(&mut self, proposal: &Proposal) {
        if !self.may_be(&proposal.lies) {
            return;
        }
        let sources = |lies: &[Lie]| {
            let mut all: Vec<usize> = lies.iter().map(|l| l.0).collect();
            all.sort_unstable();
            all
        };
        let wanted = sources(&proposal.lies);
        let mut faces = vec![proposal.lies.clone()];
        faces.extend(slid(&self.ground, &proposal.lies));
        let alike = |p: &&PairPlace| wanted.contains(&p.one.0) && wanted.contains(&p.other.0);
        let pairs: Vec<PairPlace> = self.pairs.iter().filter(alike).copied().collect();
        faces.extend(joined(&self.ground, &self.places, &pairs));
        faces.retain(|lies| sources(lies) == wanted && self.may_be(lies));
        self.faces = faces
            .into_iter()
            .map(|lies| Climber::new(&self.ground, lies, SMALL))
            .collect();
        self.given = 0;
        self.made = 0;
        self.expected = self.faces.len() * Climber::units(SMALL);
        self.lacking = None;
        self.offer();
        self.stage = Stage::Climbing(0);
    }

    fn unit(&mut self) {
        let stage = std::mem::replace(&mut self.stage, Stage::Done);
        self.stage = match stage {
            Stage::Places => {
                if self.places.unit(&self.ground) {
                    self.begin()
                } else {
                    Stage::Places
                }
            }
            Stage::Chance(left) => {
                self.by_chance();
                if left > 1 {
                    Stage::Chance(left - 1)
                } else {
                    self.register()
                }
            }
            Stage::Registering(mut left, mut found) => {
                if let Some(first) = left.front_mut()
                    && first.unit(&self.ground)
                {
                    first.forget();
                    found.append(&mut first.found);
                    left.pop_front();
                }
                if left.is_empty() {
                    let found = best_of(found);
                    Stage::Fitting(distinct(&found, FITTED).into(), Vec::new())
                } else {
                    Stage::Registering(left, found)
                }
            }
            Stage::Fitting(mut left, mut found) => {
                if let Some(next) = left.pop_front() {
                    found.push(fitted(&self.ground, &next));
                }
                if left.is_empty() {
                    let found = best_of(found);
                    Stage::Laying(distinct(&found, LAID).into(), 0)
                } else {
                    Stage::Fitting(left, found)
                }
            }
            Stage::Laying(mut left, of) => {
                if let Some(next) = left.pop_front() {
                    self.pairs.extend(laid(&self.ground, &next, of));
                }
                if left.is_empty() {
                    self.pairs.arrange_by(|a, b| b.value.total_cmp(&a.value));
                    let mut first = std::mem::take(&mut self.pairs);
                    first.truncate(EXACT);
                    Stage::Exact(first.into())
                } else {
                    Stage::Laying(left, of + 1)
                }
            }
            Stage::Exact(mut left) => {
                if let Some(next) = left.pop_front() {
                    self.pairs.extend(made_exact(&self.ground, &next));
                }
                if left.is_empty() {
                    self.pairs.arrange_by(|a, b| b.value.total_cmp(&a.value));
                    Stage::Joining
                } else {
                    Stage::Exact(left)
                }
            }
            Stage::Joining => Stage::Whole(joined(&self.ground, &self.places, &self.pairs).into()),
            Stage::Whole(mut left) => {
                if let Some(lies) = left.pop_front() {
                    self.faces.push(Climber::new(&self.ground, lies, SMALL));
                }
                if left.is_empty() {
                    // The worthiest climb first; where correlation has found faces, only those that would be offered.
                    self.faces.arrange_by(Climber::before);
                    if !self.pairs.is_empty() {
                        self.faces = differing(&self.ground, &self.faces);
                    }
                    self.offer();
                    Stage::Climbing(0)
                } else {
                    Stage::Whole(left)
                }
            }
            Stage::Climbing(at) => self.climb(at),
            Stage::Done => Stage::Done,
        };
    }

    /// What comes once all places are known.
    fn begin(&mut self) -> Stage {
        if let Some(tile) = self.places.of.iter().position(Vec::is_empty) {
            self.lacking = Some(Lacking::Room { tile });
        }
        if let Some(start) = self.ground.sought.start.clone()
            && self.may_be(&start)
        {
            self.faces.push(Climber::new(&self.ground, start, 0));
            self.given = 1;
            self.offer();
        }
        if self.lacking.is_some() && self.faces.is_empty() {
            return Stage::Done;
        }
        self.lacking = None;
        Stage::Chance(BY_CHANCE)
    }

    fn may_be(&self, lies: &[Lie]) -> bool {
        let sources = self.ground.sought.sources.len();
        lies.len() == self.ground.sought.tiles.len()
            && lies.iter().enumerate().all(|(tile, lie)| {
                let others = lies.iter().enumerate().skip(tile + 1);
                lie.0 < sources
                    && self.ground.may_lie(tile, *lie)
                    && others.clone().all(|o| o.1.0 < sources)
                    && others
                        .clone()
                        .all(|(k, o)| self.ground.are_apart((tile, *lie), (k, *o)))
            })
    }

    /// One face by chance, where it is better than the worst of the few that are kept.
    fn by_chance(&mut self) {
        let tiles = self.ground.sought.tiles.len();
        let mut lies: Vec<Option<Lie>> = vec![None; tiles];
        for tile in 0..tiles {
            for _ in 0..24 {
                let of = &self.places.of[tile];
                let Some(lie) = of.get(below(&mut self.chance, of.len())).copied() else {
                    break;
                };
                let mut others = lies
                    .iter()
                    .enumerate()
                    .filter_map(|(k, l)| l.map(|l| (k, l)));
                if others.all(|other| self.ground.are_apart((tile, lie), other)) {
                    lies[tile] = Some(lie);
                    break;
                }
            }
        }
        if let Some(lies) = filled(&self.ground, &self.places, lies) {
            let is_first = self.faces.is_empty();
            self.faces.push(Climber::new(&self.ground, lies, 0));
            // What was given stays whatever it is worth.
            let by_chance = &mut self.faces[self.given..];
            by_chance.arrange_by(Climber::before);
            self.faces.truncate(CLIMB_BY_CHANCE + self.given);
            if is_first {
                self.offer();
            }
        }
    }

    fn register(&mut self) -> Stage {
        self.offer();
        let halves = &self.ground.halves;
        let first_of_its_kind = |k: &usize| !halves[..*k].iter().any(|h| h.is_like(&halves[*k]));
        let all: VecDeque<Registering> = (0..halves.len())
            .filter(first_of_its_kind)
            .map(|k| Registering::new(&self.ground, &self.places, k))
            .collect();
        let blocks: usize = all.iter().map(Registering::units).sum();
        self.expected = self.made + blocks + FITTED + LAID + EXACT + 20 * Climber::units(SMALL);
        if all.is_empty() {
            Stage::Joining
        } else {
            Stage::Registering(all, Vec::new())
        }
    }

    fn climb(&mut self, at: usize) -> Stage {
        // The worthiest first; each is left once it is at the top.
        if at == 0 {
            self.faces
                .arrange_by(|a, b| b.seen.total_cmp(&a.seen).then(b.worth.total_cmp(&a.worth)));
        }
        let best = self.faces.first().map_or(0.0, |f| f.worth);
        let Some(face) = self.faces.get_mut(at) else {
            self.offer();
            if self.faces.is_empty() {
                self.lacking = Some(Lacking::RoomForAll);
            }
            return Stage::Done;
        };
        let is_worth_it = at == 0 || face.worth >= CLIMBS * best;
        if is_worth_it {
            face.unit(&self.ground);
        }
        if !is_worth_it || face.is_at_top() {
            self.offer();
            return Stage::Climbing(at + 1);
        }
        Stage::Climbing(at)
    }

    /// Shows the best that is known.
    fn offer(&mut self) {
        let chosen = differing(&self.ground, &self.faces);
        let proposal = |face: Climber| Proposal {
            measured: Judge::new(&self.ground, &face.lies, true).measured(),
            worth: face.worth,
            lies: face.lies,
        };
        self.proposals = chosen.into_iter().map(proposal).collect();
    }
}

/// The same face with all of it taken from a little farther along or across.
fn slid(ground: &Ground, lies: &[Lie]) -> Vec<Vec<Lie>> {
    let mut faces = Vec::new();
    for along in [-2.0, -1.0, 0.0, 1.0, 2.0] {
        for across in [-1.0, 0.0, 1.0] {
            let by = Vector::new(SLID[0] * along, SLID[1] * across);
            let mut slid = lies.to_vec();
            for halves in &ground.halves {
                let (one, other) = (lies[halves.one], lies[halves.other]);
                let relation = halves.relation(one.1, other.1);
                let to = one.1.moved(one.1.apply_vector(by));
                slid[halves.one].1 = to;
                slid[halves.other].1 = halves.other_at(to, relation);
            }
            if ground.halves.is_empty() {
                for lie in &mut slid {
                    lie.1 = lie.1.moved(lie.1.apply_vector(by));
                }
            }
            faces.push(slid);
        }
    }
    faces
}

/// How far a face is slid along and across at a time: more than a hand along, so that it differs.
const SLID: [f64; 2] = [150.0, 40.0];

fn below(chance: &mut Pcg32, n: usize) -> usize {
    ((u64::from(chance.next_u32()) * n as u64) >> 32) as usize
}

fn best_of(mut found: Vec<Registration>) -> Vec<Registration> {
    found.arrange_by(|a, b| b.value.total_cmp(&a.value));
    found
}

/// What is lacking before anything is sought.
fn lacking(ground: &Ground) -> Option<Lacking> {
    let sought = &ground.sought;
    let is_sound = |b: &heartside_geometry::Bounds| {
        [b.min.x, b.min.y, b.max.x, b.max.y]
            .iter()
            .all(|v| v.is_finite() && v.abs() < 1e6)
            && b.width() > 0.0
            && b.height() > 0.0
    };
    let nothing = sought.tiles.is_empty()
        || sought.sources.is_empty()
        || !sought.size.iter().all(|s| s.is_finite() && *s > 0.0)
        || !sought.tiles.iter().all(is_sound)
        || !sought.sources.iter().all(|s| is_sound(&s.extent));
    if nothing {
        return Some(Lacking::Nothing);
    }
    let seen = sought
        .sources
        .iter()
        .filter_map(|s| sought.maps.get(s.map))
        .filter(|map| {
            let layers = [&map.light, &map.sapwood, &map.strength, &map.wanted];
            layers.iter().any(|l| l.levels.iter().any(|v| *v > 0))
        });
    let cells: Vec<f64> = seen.map(|map| map.light.cell).collect();
    if cells.is_empty() {
        return Some(Lacking::Seen);
    }
    let narrowest = sought
        .tiles
        .iter()
        .map(|t| t.height())
        .fold(f64::INFINITY, f64::min);
    let finest = cells.into_iter().fold(f64::INFINITY, f64::min);
    (finest * LEAST_CELLS > narrowest).then_some(Lacking::Fineness)
}
