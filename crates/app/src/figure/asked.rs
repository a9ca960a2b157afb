//! A better face that is asked for: sought step by step, each proposal made into a checked plan.

use std::rc::Rc;

use heartside_check::check;
use heartside_cutting::cost_words;
use heartside_drawing::{FaceOf, faces_of};
use heartside_figure::balance::{self, Measured, measure, worth};
use heartside_geometry::{Arrange, Pose};
use heartside_nest::{Search, Settings};
use heartside_timber::document::{Document, PartCopy};
use heartside_timber::finding::is_sound;
use heartside_timber::job::Job;
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::prepare::prepare;
use heartside_timber::score::{Score, pieces_placed};
use heartside_timber::words::{capital, counted};

use super::card_words::{cut_away, lies, lies_words, made_of};
use super::doubts::all_doubts;
use super::finder::Finder;
use super::known::{KnownFace, as_tiles, faces_known};
use super::planned::{Planned, planned};
use super::shapes::{Shape, alike, is_stave_of, shapes};
use super::wanted::{Wanted, wanted};
use super::wood::{Lies, Wood};
use super::words::measure_rows;
use crate::protocol::{FaceCard, FacesFound};
use crate::still_sound::still_sound;
use crate::words::GONE;

/// So many proposals are offered.
const OFFERED: usize = 6;
/// Steps of the search for the cheapest plan, for each piece and beside them, and how many are made at a time.
const CHEAPEST: (u64, u64) = (25, 300);
const AT_A_TIME: u64 = 50;
/// So many shapes are always looked at; others where fewer faces than are offered were found till then.
const ALWAYS: usize = 2;

/// What was asked of a face, and what is known so far.
pub struct FaceAsked {
    job: Job,
    known: Vec<KnownFace>,
    /// The face in each of its shapes; none where there is nothing to look for.
    sought: Vec<Sought>,
    why_not: String,
    /// What speaks against the photographs that it is looked for on.
    doubts: Vec<String>,
    /// The cheapest plan known.
    cheapest: Option<Cost>,
    /// How well the face on the floor meets the wish; none where it is not whole there.
    here: Option<f64>,
    search: Option<Search>,
    cards: Vec<Card>,
}

struct Sought {
    shape: Shape,
    /// What is sound of the plan on the floor beside it.
    holds: Vec<Layout>,
    wood: Rc<Wood>,
    finder: Finder,
    /// Proposals that were made into plans, or could not be.
    tried: Vec<Vec<(usize, Pose)>>,
}

#[derive(Debug, Clone, PartialEq)]
struct Cost {
    missing: u64,
    cost: f64,
}

#[derive(Debug)]
struct Card {
    /// The place of its shape among those that are sought.
    shape: usize,
    made: Planned,
    measured: Vec<Measured>,
    worth: f64,
    cost: Cost,
}

impl FaceAsked {
    /// Asks for better ones of a face of a job file, by its key; of all, or of those more like the one in a plan.
    /// Never fails: where there is nothing to look for [`found`](FaceAsked::found) says so.
    pub fn new(document: &str, key: &str, like: Option<&str>) -> FaceAsked {
        let opened = Document::open(document).map(|opened| opened.document);
        let document = opened.unwrap_or_default();
        let job = prepare(&document).job;
        let known = faces_known(&job);
        let like = like.and_then(|text| Plan::read(text).ok());
        FaceAsked::of(job, known, &document, (key, like))
    }

    pub(super) fn of(
        job: Job,
        known: Vec<KnownFace>,
        document: &Document,
        (key, like): (&str, Option<Plan>),
    ) -> FaceAsked {
        let mut asked = FaceAsked {
            known,
            sought: Vec::new(),
            why_not: String::new(),
            doubts: Vec::new(),
            cheapest: None,
            here: None,
            search: None,
            cards: Vec::new(),
            job,
        };
        let Some(here) = wanted(&asked.job, key) else {
            asked.why_not = capital(GONE);
            return asked;
        };
        let shapes = match &like {
            None => shapes(document, (&asked.job, &asked.known), here.clone()),
            Some(like) => alike(document, &asked.known, &here, like),
        };
        let shapes = match shapes {
            Ok(shapes) => shapes,
            Err(why) => {
                asked.why_not = why;
                return asked;
            }
        };
        asked.doubts = all_doubts(&asked.job, &asked.known);
        let mut holds = Vec::new();
        if let Some(plan) = &document.plan {
            holds = still_sound(&asked.job, plan);
            if is_sound(&check(&asked.job, plan)) {
                asked.cheapest = Some(Cost::of(&asked.job, plan));
                let seen = asked.measured(&asked.job, plan, &here);
                asked.here = seen.map(|seen| worth(&seen, &here.wish));
            }
        }
        let sought = shapes.into_iter().filter_map(|shape| {
            let plans = (document.plan.as_ref(), like.as_ref());
            Sought::of(&asked.known, &here, shape, plans)
        });
        asked.sought = sought.collect();
        if asked.sought.is_empty() {
            asked.why_not = capital(GONE);
            return asked;
        }
        let mut free = asked.job.clone();
        free.pins.retain(|pin| !is_of(&here, &pin.part));
        asked.search = Search::new(&free, Settings::default())
            .ok()
            .map(|mut search| {
                search.go_on_from(holds);
                search
            });
        asked
    }

    /// Does a little more, some milliseconds as a rule; false where nothing more is to come.
    ///
    /// The first proposal is made into a plan as soon as there is one, the others when they are known to be the best.
    pub fn step(&mut self) -> bool {
        if let Some(at) = self.looking_at() {
            let sought = &mut self.sought[at];
            sought.finder.step();
            if self.cards.is_empty() && !sought.finder.proposals().is_empty() {
                self.try_next();
            }
            return true;
        }
        if self.cards.len() < OFFERED && self.try_next() {
            return true;
        }
        self.look_for_cheapest()
    }

    /// The shape that is looked at now.
    fn looking_at(&self) -> Option<usize> {
        let at = self.sought.iter().position(|s| !s.finder.is_finished())?;
        let finders = self.sought.iter().map(|s| s.finder.proposals().len());
        (at < ALWAYS || finders.sum::<usize>() < OFFERED).then_some(at)
    }

    /// What is known so far.
    pub fn found(&self) -> FacesFound {
        let mut shapes = self.sought.iter();
        let here = shapes.find(|s| s.shape.is_here);
        let Some(sought) = here.or_else(|| self.sought.first()) else {
            return FacesFound {
                sentence: self.why_not.clone(),
                done: true,
                share: 1.0,
                ..FacesFound::default()
            };
        };
        let done = self.looking_at().is_none() && self.search.is_none();
        let cards = self.order();
        let finders = self.sought.iter().map(|s| s.finder.share());
        FacesFound {
            sentence: self.sentence(sought, done),
            contradictions: if done {
                self.contradictions(sought)
            } else {
                Vec::new()
            },
            cards: cards.into_iter().map(|k| self.card(k)).collect(),
            share: if done {
                1.0
            } else {
                0.95 * finders.sum::<f64>() / self.sought.len() as f64
            },
            done,
        }
    }

    /// How many faces were found so far.
    pub fn known(&self) -> u32 {
        self.cards.len() as u32
    }

    /// Whether the face of a card meets what counts better than the one on the floor, if that is whole.
    pub fn is_better(&self, index: u32) -> bool {
        let card = self.cards.get(index as usize);
        card.is_some_and(|card| self.here.is_none_or(|here| card.worth > here + 1e-9))
    }

    /// The plan of a card, as JSON.
    pub fn plan(&self, index: u32) -> Option<String> {
        let card = self.cards.get(index as usize)?;
        serde_json::to_string(&card.made.plan).ok()
    }

    /// The job with the face of a card pinned, and its plan.
    #[cfg(test)]
    pub(super) fn made(&self, index: u32) -> Option<(&Job, &Plan)> {
        let card = self.cards.get(index as usize)?;
        Some((&card.made.job, &card.made.plan))
    }

    /// Makes the best proposal that was not tried yet into a plan; false where there is none.
    fn try_next(&mut self) -> bool {
        let untried = self.sought.iter().enumerate().filter_map(|(at, sought)| {
            let proposals = sought.finder.proposals().iter();
            let mut untried = proposals.filter(|p| !sought.tried.contains(&p.lies));
            untried.next().map(|p| (at, p.worth, &p.lies))
        });
        // The first of equals, as shapes that are likelier to be chosen come first.
        let best = untried.reduce(|best, next| if next.1 > best.1 { next } else { best });
        let Some((at, next)) = best.map(|(at, _, lies)| (at, lies.clone())) else {
            return false;
        };
        self.sought[at].tried.push(next.clone());
        let card = self.card_of(at, &next);
        let is_new = |card: &Card| {
            self.cards
                .iter()
                .all(|c| c.made.plan.layouts != card.made.plan.layouts)
        };
        if let Some(card) = card.filter(is_new) {
            self.cards.push(card);
        }
        true
    }

    /// A proposal made into a plan; none where it cannot be cut.
    fn card_of(&self, at: usize, proposed: &[(usize, Pose)]) -> Option<Card> {
        let Sought {
            shape, wood, holds, ..
        } = &self.sought[at];
        let Shape { job, wanted, .. } = shape;
        let lies = proposed
            .iter()
            .enumerate()
            .map(|(tile, (source, at))| -> Lies {
                let part = wanted.seats[tile].part.clone();
                (
                    part,
                    wood.board(*source).clone(),
                    wood.lies(tile, *source, *at),
                )
            });
        let lies: Vec<Lies> = lies.collect();
        let made = planned(job, holds, &lies, |tile, board, pose| {
            wood.may_lie_on(tile, board, pose)
        })?;
        let measured = self.measured(job, &made.plan, wanted)?;
        Some(Card {
            shape: at,
            worth: worth(&measured, &wanted.wish),
            cost: Cost::of(&made.job, &made.plan),
            measured,
            made,
        })
    }

    /// Goes on with the search for the cheapest plan of all, that proposals are held against; false at its end.
    fn look_for_cheapest(&mut self) -> bool {
        let Some(search) = &mut self.search else {
            return false;
        };
        let made = search.step(AT_A_TIME);
        let most = CHEAPEST.0 * self.job.piece_count() + CHEAPEST.1;
        if made.finished || made.steps >= most {
            let found = Cost::of(&self.job, search.best());
            let better = |known: &Cost| (found.missing, found.cost) < (known.missing, known.cost);
            if self.cheapest.as_ref().is_none_or(better) {
                self.cheapest = Some(found);
            }
            self.search = None;
        }
        self.search.is_some()
    }

    /// The measures of the face in a plan; none where a part of it has no place.
    fn measured(&self, job: &Job, plan: &Plan, wanted: &Wanted) -> Option<Vec<Measured>> {
        let faces = faces_of(job, plan).into_iter();
        let mut faces = faces.filter(|face| face.of == wanted.of && !face.is_back);
        let seen = faces.next()?;
        let is_whole = seen.tiles.iter().all(|tile| tile.board.is_some());
        let maps: Vec<_> = self.known.iter().map(|face| face.map.clone()).collect();
        is_whole.then(|| measure(&maps, &as_tiles(&self.known, &seen)))
    }

    /// The cards, the best first: what leaves fewer parts without a place, then what meets the wish better.
    fn order(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.cards.len()).collect();
        order.arrange_by(|a, b| {
            let (a, b) = (&self.cards[*a], &self.cards[*b]);
            let missing = a.cost.missing.cmp(&b.cost.missing);
            missing
                .then(b.worth.total_cmp(&a.worth))
                .then(a.cost.cost.total_cmp(&b.cost.cost))
        });
        order
    }

    /// What of the wish no face meets, and why.
    fn contradictions(&self, sought: &Sought) -> Vec<String> {
        let faces: Vec<&[Measured]> = self
            .cards
            .iter()
            .map(|card| card.measured.as_slice())
            .collect();
        let reasons = balance::why_not(&sought.shape.wanted.wish, &faces);
        let doubts = self.doubts.iter().map(|doubt| format!("{doubt}."));
        doubts
            .chain(reasons.iter().map(balance::WhyNot::sentence))
            .collect()
    }

    fn sentence(&self, sought: &Sought, done: bool) -> String {
        let best = self.cards.iter().map(|card| card.worth).reduce(f64::max);
        match best {
            None if !done => "Looking".to_owned(),
            None => sought.finder.why_none(&sought.shape.wanted),
            Some(_) if !done => format!("{} so far", counted(self.cards.len(), "face", "faces")),
            Some(best) if self.here.is_some_and(|here| best <= here + 1e-9) => {
                "Nothing better than the face on the floor was found; these come next".to_owned()
            }
            Some(_) => format!(
                "{} to choose from",
                counted(self.cards.len(), "face", "faces")
            ),
        }
    }

    fn card(&self, index: usize) -> FaceCard {
        let card = &self.cards[index];
        let shape = &self.sought[card.shape].shape;
        let wanted = &shape.wanted;
        let lies = lies(&card.made.plan, wanted);
        let other = (!shape.is_here).then(|| made_of(&card.made.job, wanted));
        let away = cut_away(&card.made, wanted, &lies);
        FaceCard {
            index: index as u32,
            measures: measure_rows(&card.measured, wanted.size, wanted.stands),
            worth: card.worth,
            cost: self.cost_words(card),
            lies: lies_words(&card.made.job, wanted, &lies),
            cut_away: other.flatten().into_iter().chain(away).collect(),
        }
    }

    fn cost_words(&self, card: &Card) -> String {
        let show = |cost: f64| cost_words(&self.job, cost);
        let whole = show(self.job.spent + card.cost.cost);
        let Some(cheapest) = &self.cheapest else {
            return whole;
        };
        let more = card.cost.cost - cheapest.cost;
        let said = if card.cost.missing > cheapest.missing {
            let missing = (card.cost.missing - cheapest.missing) as usize;
            let parts = counted(missing, "part", "parts");
            return format!("{whole}, and {parts} more without a place");
        } else if show(more.abs()) == show(0.0) {
            "as cheap as the cheapest plan known".to_owned()
        } else if more > 0.0 {
            format!("{} more than the cheapest plan known", show(more))
        } else {
            format!("{} less than the cheapest plan known", show(-more))
        };
        format!("{whole}, {said}")
    }
}

impl Sought {
    /// Begins to look for a face in one of its shapes, from a plan on the floor, or near one that it is to be like;
    /// none where it is made of parts that are not there.
    fn of(
        known: &[KnownFace],
        here: &Wanted,
        shape: Shape,
        (plan, like): (Option<&Plan>, Option<&Plan>),
    ) -> Option<Sought> {
        let like = like.map(|plan| lies(plan, &shape.wanted));
        let wood = Wood::new(&shape.job, known, &shape.wanted, like.clone())?;
        let wood = Rc::new(wood);
        let is_like = like.is_some();
        let lying = plan.filter(|_| shape.is_here);
        let start = like.or_else(|| lying.map(|plan| lies(plan, &shape.wanted)));
        let finder = Finder::new(known, &shape.wanted, &wood, (start.as_deref(), is_like));
        let holds = plan.map(|plan| still_sound(&shape.job, &without(here, plan)));
        Some(Sought {
            finder,
            tried: Vec::new(),
            holds: holds.unwrap_or_default(),
            shape,
            wood,
        })
    }
}

impl Cost {
    fn of(job: &Job, plan: &Plan) -> Cost {
        Cost {
            missing: job.piece_count().saturating_sub(pieces_placed(job, plan)),
            cost: Score::of(job, plan).cost,
        }
    }
}

/// Whether a part is one of a face, in whichever shape.
fn is_of(here: &Wanted, part: &PartCopy) -> bool {
    match &here.of {
        FaceOf::Panel(of) => is_stave_of(of, &part.part),
        FaceOf::Match(_) => here.seats.iter().any(|seat| seat.part == *part),
    }
}

/// A plan without the parts of a face.
fn without(here: &Wanted, plan: &Plan) -> Plan {
    let layouts = plan.layouts.iter().cloned();
    Plan {
        layouts: layouts
            .map(|layout| layout.without(|copy| is_of(here, copy)))
            .collect(),
        ..plan.clone()
    }
}
