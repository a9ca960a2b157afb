//! A better face that is asked for: sought step by step, each proposal made into a checked plan.

use std::rc::Rc;

use heartside_check::check;
use heartside_cutting::{board_label, cost_words};
use heartside_drawing::faces_of;
use heartside_figure::balance::{self, Measured, measure, worth};
use heartside_geometry::{Arrange, Pose, math};
use heartside_nest::{Search, Settings};
use heartside_timber::document::{BoardCopy, Document, PartCopy};
use heartside_timber::finding::is_sound;
use heartside_timber::job::Job;
use heartside_timber::length::{write_decimal, write_length, write_percent};
use heartside_timber::plan::{Layout, Plan};
use heartside_timber::prepare::prepare;
use heartside_timber::score::{Score, pieces_placed, wood_in_parts};
use heartside_timber::words::{capital, counted, listed};

use super::doubts::all_doubts;
use super::finder::Finder;
use super::known::{KnownFace, as_tiles, faces_known};
use super::planned::{Planned, planned};
use super::wanted::{Wanted, wanted};
use super::why_not::why_not;
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
/// Less than this, in degrees, is square to the board.
const SQUARE: f64 = 0.02;

/// What was asked of a face, and what is known so far.
pub struct FaceAsked {
    job: Job,
    known: Vec<KnownFace>,
    /// Nothing where there is nothing to look for.
    sought: Option<Sought>,
    why_not: String,
    /// What speaks against the photographs that it is looked for on.
    doubts: Vec<String>,
    /// What is sound of the plan on the floor.
    holds: Vec<Layout>,
    /// The cheapest plan known.
    cheapest: Option<Cost>,
    /// How well the face on the floor meets the wish; none where it is not whole there.
    here: Option<f64>,
    search: Option<Search>,
    cards: Vec<Card>,
}

struct Sought {
    wanted: Wanted,
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
            sought: None,
            why_not: String::new(),
            doubts: Vec::new(),
            holds: Vec::new(),
            cheapest: None,
            here: None,
            search: None,
            cards: Vec::new(),
            job,
        };
        let Some(wanted) = wanted(&asked.job, key) else {
            asked.why_not = capital(GONE);
            return asked;
        };
        if let Some(why) = why_not(&asked.job, &asked.known, &wanted) {
            asked.why_not = why;
            return asked;
        }
        asked.doubts = all_doubts(&asked.job, &asked.known);
        if let Some(plan) = &document.plan {
            asked.holds = still_sound(&asked.job, plan);
            if is_sound(&check(&asked.job, plan)) {
                asked.cheapest = Some(Cost::of(&asked.job, plan));
                let seen = asked.measured(plan, &wanted);
                asked.here = seen.map(|seen| worth(&seen, &wanted.wish));
            }
        }
        let like = like.map(|plan| lies(&plan, &wanted));
        let lying = document.plan.as_ref().map(|plan| lies(plan, &wanted));
        let is_like = like.is_some();
        let start = like.clone().or(lying);
        let Some(wood) = Wood::new(&asked.job, &asked.known, &wanted, like) else {
            asked.why_not = capital(GONE);
            return asked;
        };
        let mut free = asked.job.clone();
        let is_here = |part: &PartCopy| wanted.seats.iter().any(|seat| seat.part == *part);
        free.pins.retain(|pin| !is_here(&pin.part));
        asked.search = Search::new(&free, Settings::default())
            .ok()
            .map(|mut search| {
                search.go_on_from(asked.holds.clone());
                search
            });
        let wood = Rc::new(wood);
        asked.sought = Some(Sought {
            finder: Finder::new(&asked.known, &wanted, &wood, (start.as_deref(), is_like)),
            tried: Vec::new(),
            wanted,
            wood,
        });
        asked
    }

    /// Does a little more, some milliseconds as a rule; false where nothing more is to come.
    ///
    /// The first proposal is made into a plan as soon as there is one, the others when they are known to be the best.
    pub fn step(&mut self) -> bool {
        let Some(sought) = &mut self.sought else {
            return false;
        };
        if !sought.finder.is_finished() {
            sought.finder.step();
            let is_first = self.cards.is_empty();
            if is_first && !sought.finder.proposals().is_empty() {
                self.try_next();
            }
            return true;
        }
        if self.cards.len() < OFFERED && self.try_next() {
            return true;
        }
        self.look_for_cheapest()
    }

    /// What is known so far.
    pub fn found(&self) -> FacesFound {
        let Some(sought) = &self.sought else {
            return FacesFound {
                sentence: self.why_not.clone(),
                done: true,
                share: 1.0,
                ..FacesFound::default()
            };
        };
        let done = sought.finder.is_finished() && self.search.is_none();
        let cards = self.order();
        FacesFound {
            sentence: self.sentence(sought, done),
            contradictions: if done {
                self.contradictions(sought)
            } else {
                Vec::new()
            },
            cards: cards.into_iter().map(|k| self.card(k, sought)).collect(),
            share: if done {
                1.0
            } else {
                0.95 * sought.finder.share()
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
        let Some(mut sought) = self.sought.take() else {
            return false;
        };
        let tried = self.try_next_of(&mut sought);
        self.sought = Some(sought);
        tried
    }

    fn try_next_of(&mut self, sought: &mut Sought) -> bool {
        let proposals = sought.finder.proposals();
        let next = proposals.iter().find(|p| !sought.tried.contains(&p.lies));
        let Some(next) = next.map(|p| p.lies.clone()) else {
            return false;
        };
        sought.tried.push(next.clone());
        let Sought { wanted, wood, .. } = &*sought;
        let lies = next.iter().enumerate().map(|(tile, (source, at))| -> Lies {
            let part = wanted.seats[tile].part.clone();
            (
                part,
                wood.board(*source).clone(),
                wood.lies(tile, *source, *at),
            )
        });
        let lies: Vec<Lies> = lies.collect();
        let made = planned(&self.job, &self.holds, &lies, |tile, board, pose| {
            wood.may_lie_on(tile, board, pose)
        });
        let card = made.and_then(|made| {
            let measured = self.measured(&made.plan, wanted)?;
            Some(Card {
                worth: worth(&measured, &wanted.wish),
                cost: Cost::of(&made.job, &made.plan),
                measured,
                made,
            })
        });
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
    fn measured(&self, plan: &Plan, wanted: &Wanted) -> Option<Vec<Measured>> {
        let faces = faces_of(&self.job, plan).into_iter();
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
        let reasons = balance::why_not(&sought.wanted.wish, &faces);
        let doubts = self.doubts.iter().map(|doubt| format!("{doubt}."));
        doubts
            .chain(reasons.iter().map(balance::WhyNot::sentence))
            .collect()
    }

    fn sentence(&self, sought: &Sought, done: bool) -> String {
        let best = self.cards.iter().map(|card| card.worth).reduce(f64::max);
        match best {
            None if !done => "Looking".to_owned(),
            None => sought.finder.why_none(&sought.wanted),
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

    fn card(&self, index: usize, sought: &Sought) -> FaceCard {
        let card = &self.cards[index];
        let lies = lies(&card.made.plan, &sought.wanted);
        FaceCard {
            index: index as u32,
            measures: measure_rows(&card.measured, sought.wanted.size, sought.wanted.stands),
            worth: card.worth,
            cost: self.cost_words(card),
            lies: lies_words(&card.made.job, &sought.wanted, &lies),
            cut_away: cut_away(card, &sought.wanted, &lies),
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

impl Cost {
    fn of(job: &Job, plan: &Plan) -> Cost {
        Cost {
            missing: job.piece_count().saturating_sub(pieces_placed(job, plan)),
            cost: Score::of(job, plan).cost,
        }
    }
}

/// Where the parts of a face lie in a plan.
fn lies(plan: &Plan, wanted: &Wanted) -> Vec<Lies> {
    let lies = wanted.seats.iter().filter_map(|seat| {
        let (layout, place) = plan.find(&seat.part.part, seat.part.copy)?;
        let layout = &plan.layouts[layout];
        let pose = layout.placements[place].pose();
        Some((seat.part.clone(), layout.board.clone(), pose))
    });
    lies.collect()
}

/// "Stave 1 from A, stave 2 from C, turned over".
fn lies_words(job: &Job, wanted: &Wanted, lies: &[Lies]) -> String {
    let said = wanted
        .seats
        .iter()
        .zip(lies)
        .map(|(seat, (_, board, pose))| {
            let turn = math::normalise_deg(pose.turn);
            let mut said = format!("{} from {}", seat.name, board_label(job, board));
            if (135.0..225.0).contains(&turn) {
                said.push_str(", end for end");
            }
            if pose.turned_over {
                said.push_str(", turned over");
            }
            said
        });
    capital(&said.collect::<Vec<_>>().join("; "))
}

/// What falls away because parts lie askew, and what of the boards becomes parts.
fn cut_away(card: &Card, wanted: &Wanted, lies: &[Lies]) -> Vec<String> {
    let job = &card.made.job;
    let mut said: Vec<String> = wanted
        .seats
        .iter()
        .zip(lies)
        .filter_map(|(seat, (_, board, pose))| {
            let part = job.part(&seat.part.part)?;
            let askew = pose.turn - 90.0 * (pose.turn / 90.0).round();
            if askew.abs() < SQUARE {
                return None;
            }
            let (sin, cos) = math::sin_cos_deg(askew.abs());
            Some(format!(
                "{} lies {}° askew: beside it a wedge of up to {} falls away from {}",
                capital(&seat.name),
                write_decimal(askew.abs(), 1),
                write_length((part.length() * sin / cos).round(), &job.units),
                board_label(job, board)
            ))
        })
        .collect();
    if card.made.is_straightened {
        said.push(
            "Its parts were to lie askew, which could not be cut: they lie square to the boards"
                .to_owned(),
        );
    }
    let mut boards: Vec<&BoardCopy> = lies.iter().map(|(_, board, _)| board).collect();
    boards.arrange();
    boards.dedup();
    let own = Plan {
        layouts: card
            .made
            .plan
            .layouts
            .iter()
            .filter(|l| boards.contains(&&l.board))
            .cloned()
            .collect(),
        ..card.made.plan.clone()
    };
    let names: Vec<String> = boards.iter().map(|board| board_label(job, board)).collect();
    said.push(format!(
        "{} of {} becomes parts, the rest is offcuts and waste",
        write_percent(wood_in_parts(job, &own)),
        listed(&names)
    ));
    said
}
