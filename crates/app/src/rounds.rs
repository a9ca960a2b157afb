//! The rounds of a search: who steps, who merges, when a plan is taken and when it ends.
//!
//! Several workers search one job, each with a draw of its own. All make as many steps, a
//! round, and then go on from the best plan among them. Within a round they may make a few steps
//! at a time, so that the best plan is looked at oftener; what is exchanged depends on whole
//! rounds alone, and so on the job, the seed, the workers and the steps, but not on who was
//! quicker or how often one looked.
//!
//! [`Rounds`] holds no worker, no plan and no clock. Whoever runs it (the command with its
//! threads, the page with its workers) carries its orders out, tells what came of them and
//! whether that was quick, and judges plans, which are a handle here.

#[cfg(test)]
mod tests;

/// After this many crashes of one search it is the job and not an accident.
const MOST_CRASHES: u32 = 3;

/// How a search is to be run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// How many workers there are.
    pub workers: usize,
    /// Steps of each worker in a round.
    pub round: u64,
    /// Steps of each worker in all; without an end where there are none.
    pub limit: Option<u64>,
    /// A round is made a few steps at a time, as many as are quickly made, and looked at in between.
    pub in_pieces: bool,
}

/// What a worker is to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Order<P> {
    /// The plan to take over first, where a round begins or a worker begins again.
    pub adopt: Option<P>,
    /// Steps to make then.
    pub steps: u64,
}

/// What came of a worker's steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Made<P> {
    /// Its best plan, where these steps have bettered it.
    pub better: Option<P>,
    /// Whether its best plan places anything.
    pub places: bool,
    /// Nothing is left to try.
    pub finished: bool,
}

/// What is seen when all have made what they were asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look<P> {
    /// The best plan so far, if there is one.
    pub best: Option<P>,
    /// Whether it is worth showing: an empty floor is only when the first round has brought nothing else.
    pub is_shown: bool,
    /// A round has ended.
    pub ends_round: bool,
    /// Nothing follows: no worker has anything left to try, or all steps are made.
    pub is_over: bool,
}

/// The machine. Plans are compared by whoever runs it; `P` is copied freely and should be small.
#[derive(Debug, Clone)]
pub struct Rounds<P> {
    terms: Terms,
    hands: Vec<Hand<P>>,
    /// What all went on from when this round began.
    exchanged: Option<P>,
    /// The best plan when they were last looked at.
    best: Option<P>,
    /// Steps asked for so far, and those of this round among them.
    asked: u64,
    of_round: u64,
    at_a_time: u64,
    has_shown: bool,
    is_over: bool,
    crashes: u32,
}

/// One worker in this round.
#[derive(Debug, Clone)]
struct Hand<P> {
    has_answered: bool,
    /// The best it has found in this round.
    best: Option<P>,
    places: bool,
    finished: bool,
}

impl<P> Hand<P> {
    const fn new() -> Hand<P> {
        Hand {
            has_answered: false,
            best: None,
            places: false,
            finished: false,
        }
    }
}

impl<P: Clone> Rounds<P> {
    /// A search of which no step is asked for yet; `from` is a plan to go on from.
    pub fn new(terms: Terms, from: Option<P>) -> Rounds<P> {
        // A round of no steps would never end.
        let terms = Terms {
            round: terms.round.max(1),
            ..terms
        };
        Rounds {
            hands: (0..terms.workers).map(|_| Hand::new()).collect(),
            best: from.clone(),
            exchanged: from,
            asked: 0,
            of_round: 0,
            at_a_time: if terms.in_pieces { 1 } else { terms.round },
            has_shown: false,
            is_over: terms.limit == Some(0) || terms.workers == 0,
            crashes: 0,
            terms,
        }
    }

    /// What every worker is to do now, after a look or at first; none where the search is over.
    /// `was_quick`: whether what was asked for last took less than one wants to wait between looks.
    pub fn next(&mut self, was_quick: bool) -> Option<Order<P>> {
        if self.is_over {
            return None;
        }
        let is_first = self.asked == 0;
        let begins_round = is_first || self.round_is_made();
        if begins_round {
            self.exchanged.clone_from(&self.best);
            self.of_round = 0;
        }
        if !is_first && was_quick {
            self.at_a_time = (2 * self.at_a_time).min(self.terms.round);
        } else if !is_first {
            self.at_a_time = (self.at_a_time / 2).max(1);
        }
        for hand in &mut self.hands {
            hand.has_answered = false;
            if begins_round {
                hand.best = None;
            }
        }
        let left = self.terms.limit.map_or(u64::MAX, |all| all - self.asked);
        let steps = self
            .at_a_time
            .min(self.terms.round - self.of_round)
            .min(left);
        self.asked += steps;
        self.of_round += steps;
        Some(Order {
            adopt: self.exchanged.clone().filter(|_| begins_round),
            steps,
        })
    }

    /// Takes down what a worker has made; true where all have answered, which is the time to look.
    pub fn made(&mut self, worker: usize, made: Made<P>) -> bool {
        if let Some(hand) = self.hands.get_mut(worker) {
            hand.has_answered = true;
            hand.places = made.places;
            hand.finished = made.finished;
            if made.better.is_some() {
                hand.best = made.better;
            }
        }
        self.hands.iter().all(|hand| hand.has_answered)
    }

    /// Looks at what all have made; `better` says whether the first of two plans is better.
    ///
    /// Merged in the order of the workers: a later one leads only if strictly better.
    pub fn look(&mut self, better: impl FnMut(&P, &P) -> bool) -> Look<P> {
        self.best = self.lead(|_| true, better);
        let ends_round = self.round_is_made();
        let is_finished = self.hands.iter().all(|hand| hand.finished);
        self.has_shown |= ends_round || is_finished || self.hands.iter().any(|hand| hand.places);
        self.is_over |= is_finished || self.terms.limit == Some(self.asked);
        Look {
            best: self.best.clone(),
            is_shown: self.has_shown,
            ends_round,
            is_over: self.is_over,
        }
    }

    /// A worker fell; what the one that takes its place is to do, or none where there were too many.
    ///
    /// It catches up with the round that is under way, as nearly as it can: what the other had
    /// learnt before is lost.
    pub fn fallen(&mut self, worker: usize) -> Option<Order<P>> {
        self.crashes += 1;
        self.is_over |= self.crashes > MOST_CRASHES;
        let hand = self.hands.get_mut(worker).filter(|_| !self.is_over)?;
        *hand = Hand::new();
        Some(Order {
            adopt: self.best.clone(),
            steps: self.of_round,
        })
    }

    /// The plan to keep where one stops before anything was shown: the best that any has placed.
    pub fn unshown(&self, better: impl FnMut(&P, &P) -> bool) -> Option<P> {
        let is_worth_it = !self.has_shown && self.hands.iter().any(|hand| hand.places);
        is_worth_it.then(|| self.lead(|hand| hand.places, better))?
    }

    /// The best plan when all were last looked at.
    pub fn best(&self) -> Option<&P> {
        self.best.as_ref()
    }

    /// Steps that each worker was asked for so far.
    pub fn steps(&self) -> u64 {
        self.asked
    }

    /// Whether nothing more of this round is to be asked for.
    fn round_is_made(&self) -> bool {
        self.of_round == self.terms.round || self.terms.limit == Some(self.asked)
    }

    /// The best of what some have found in this round, and of what all went on from.
    fn lead(
        &self,
        counts: impl Fn(&Hand<P>) -> bool,
        mut better: impl FnMut(&P, &P) -> bool,
    ) -> Option<P> {
        let mut best = self.exchanged.as_ref();
        for hand in self.hands.iter().filter(|hand| counts(hand)) {
            if let Some(found) = &hand.best
                && best.is_none_or(|best| better(found, best))
            {
                best = Some(found);
            }
        }
        best.cloned()
    }
}
