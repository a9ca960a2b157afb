//! The machine with workers of numbers, against the definition of a round and against mishaps.

use proptest::prelude::*;

use super::{Look, MOST_CRASHES, Made, Order, Rounds, Terms};

/// A plan: its cost, and who found it at which step.
type Plan = (u64, usize, u64);

fn is_better(first: &Plan, second: &Plan) -> bool {
    first.0 < second.0
}

/// A worker that finds something at some of its steps: what it finds builds on its best, as in a real search.
#[derive(Clone)]
struct Worker {
    number: usize,
    seed: u64,
    steps: u64,
    best: Plan,
}

impl Worker {
    fn new(seed: u64, number: usize) -> Worker {
        Worker {
            number,
            seed,
            steps: 0,
            best: (1_000, number, 0),
        }
    }

    /// A number that depends on everything given, thoroughly mixed.
    fn draw(&self) -> u64 {
        let mut x = self.seed ^ (self.number as u64) << 32 ^ self.steps;
        for _ in 0..3 {
            x = x.wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(29) ^ 0x5851;
        }
        x
    }

    fn obey(&mut self, order: Order<Plan>) -> Made<Plan> {
        if let Some(plan) = order.adopt
            && is_better(&plan, &self.best)
        {
            self.best = plan;
        }
        let mut better = None;
        for _ in 0..order.steps {
            self.steps += 1;
            let drawn = self.draw();
            if drawn.is_multiple_of(5) {
                let cost = self.best.0.saturating_sub(1 + drawn / 5 % 3);
                self.best = (cost, self.number, self.steps);
                better = Some(self.best);
            }
        }
        Made {
            better,
            places: true,
            finished: self.best.0 == 0,
        }
    }
}

fn terms(workers: usize, round: u64, limit: Option<u64>, in_pieces: bool) -> Terms {
    Terms {
        workers,
        round,
        limit,
        in_pieces,
    }
}

fn team(seed: u64, workers: usize) -> Vec<Worker> {
    (0..workers)
        .map(|number| Worker::new(seed, number))
        .collect()
}

/// The definition: whole rounds, merged in the order of the workers. The best plan after each.
fn by_definition(seed: u64, terms: Terms, rounds: u64) -> Vec<Plan> {
    let mut team = team(seed, terms.workers);
    let mut best: Option<Plan> = None;
    let mut after_rounds = Vec::new();
    for _ in 0..rounds {
        let order = Order {
            adopt: best,
            steps: terms.round,
        };
        for worker in &mut team {
            let found = worker.obey(order).better;
            // `best` is what all went on from or what an earlier worker of this round has.
            if let Some(found) = found
                && best.is_none_or(|best| is_better(&found, &best))
            {
                best = Some(found);
            }
        }
        after_rounds.push(best.unwrap_or_default());
    }
    after_rounds
}

/// Runs the machine for some rounds; `whims` says who answers when and what was quick. The best plan after each round.
fn by_machine(seed: u64, terms: Terms, rounds: u64, whims: &[u8]) -> Vec<Plan> {
    let mut whims = whims.iter().copied().cycle();
    let mut whim = move || whims.next().unwrap_or_default();
    let mut team = team(seed, terms.workers);
    let mut machine = Rounds::new(terms, None);
    let mut after_rounds = Vec::new();
    while (after_rounds.len() as u64) < rounds {
        let Some(order) = machine.next(whim().is_multiple_of(2)) else {
            break;
        };
        let mut waiting: Vec<usize> = (0..terms.workers).collect();
        while !waiting.is_empty() {
            let worker = waiting.remove(usize::from(whim()) % waiting.len());
            let made = team[worker].obey(order);
            assert_eq!(machine.made(worker, made), waiting.is_empty());
        }
        let look = machine.look(is_better);
        if look.ends_round {
            after_rounds.push(look.best.unwrap_or_default());
        }
    }
    after_rounds
}

proptest! {
    #[test]
    fn any_order_of_answers_and_any_split_between_looks_give_the_same_plans(
        seed in any::<u64>(),
        workers in 1usize..5,
        round in 1u64..40,
        whims in prop::collection::vec(any::<u8>(), 1..60),
    ) {
        let wanted = by_definition(seed, terms(workers, round, None, false), 8);
        for in_pieces in [false, true] {
            let found = by_machine(seed, terms(workers, round, None, in_pieces), 8, &whims);
            prop_assert_eq!(&found, &wanted, "in pieces: {}", in_pieces);
        }
    }

    #[test]
    fn all_steps_of_a_limit_are_made_and_no_more(
        seed in any::<u64>(),
        round in 1u64..40,
        limit in 0u64..200,
        whims in prop::collection::vec(any::<u8>(), 1..40),
    ) {
        for in_pieces in [false, true] {
            let mut whims = whims.iter().copied().cycle();
            let mut team = team(seed, 2);
            let mut machine = Rounds::new(terms(2, round, Some(limit), in_pieces), None);
            let mut last = None;
            while let Some(order) = machine.next(whims.next().unwrap_or_default() > 99) {
                for (number, worker) in team.iter_mut().enumerate() {
                    machine.made(number, worker.obey(order));
                }
                last = Some(machine.look(is_better));
            }
            prop_assert_eq!(machine.steps(), limit);
            prop_assert!(team.iter().all(|worker| worker.steps == limit));
            prop_assert_eq!(last.is_none(), limit == 0);
            prop_assert!(last.is_none_or(|look| look.is_over && look.ends_round));
        }
    }

    /// A worker that can make its round again from where it began: what is lost is time alone.
    #[test]
    fn a_worker_that_fell_and_began_again_changes_nothing_but_time(
        seed in any::<u64>(),
        round in 1u64..40,
        falls_after in 1u32..12,
        whims in prop::collection::vec(any::<u8>(), 1..40),
    ) {
        let wanted = by_definition(seed, terms(3, round, None, true), 6);
        let mut whims = whims.iter().copied().cycle();
        let mut team = team(seed, 3);
        let mut began = team.clone();
        let mut machine = Rounds::new(terms(3, round, None, true), None);
        let mut after_rounds = Vec::new();
        let mut orders = 0;
        let mut since = Order { adopt: None, steps: 0 };
        while after_rounds.len() < wanted.len() {
            let Some(order) = machine.next(whims.next().unwrap_or_default() > 99) else {
                break;
            };
            if since.steps == 0 {
                began.clone_from(&team);
                since = order;
            } else {
                since.steps += order.steps;
            }
            orders += 1;
            machine.made(0, team[0].obey(order));
            machine.made(2, team[2].obey(order));
            if orders == falls_after {
                let again = machine.fallen(1);
                prop_assert_eq!(again.map(|order| order.steps), Some(since.steps));
                team[1] = began[1].clone();
                machine.made(1, team[1].obey(since));
            } else {
                machine.made(1, team[1].obey(order));
            }
            let look = machine.look(is_better);
            if look.ends_round {
                since.steps = 0;
                after_rounds.push(look.best.unwrap_or_default());
            }
        }
        prop_assert_eq!(after_rounds, wanted);
    }
}

const fn made(better: Option<Plan>, places: bool, finished: bool) -> Made<Plan> {
    Made {
        better,
        places,
        finished,
    }
}

const NINE: Plan = (9, 0, 1);

/// A machine of two workers whose first steps are asked for.
fn begun(round: u64) -> Rounds<Plan> {
    let mut machine = Rounds::new(terms(2, round, None, true), None);
    assert_eq!(
        machine.next(true),
        Some(Order {
            adopt: None,
            steps: 1
        })
    );
    machine
}

/// Both answer alike.
fn both(machine: &mut Rounds<Plan>, answer: Made<Plan>) -> Look<Plan> {
    assert!(!machine.made(0, answer));
    assert!(machine.made(1, answer));
    machine.look(is_better)
}

#[test]
fn an_empty_floor_is_shown_when_the_first_round_has_brought_nothing_else() {
    let mut machine = begun(3);
    assert!(!both(&mut machine, made(Some(NINE), false, false)).is_shown);
    machine.next(true);
    let look = both(&mut machine, made(None, false, false));
    assert!(look.is_shown && look.ends_round && !look.is_over);
    let mut machine = begun(3);
    machine.made(0, made(Some(NINE), true, false));
    machine.made(1, made(None, false, false));
    let look = machine.look(is_better);
    assert!(look.is_shown && !look.ends_round);
}

#[test]
fn it_is_over_when_no_worker_has_anything_left_to_try() {
    let mut machine = begun(5);
    machine.made(0, made(Some(NINE), true, true));
    machine.made(1, made(None, true, false));
    assert!(!machine.look(is_better).is_over);
    machine.next(true);
    assert!(both(&mut machine, made(None, true, true)).is_over);
    assert_eq!(machine.next(true), None);
}

#[test]
fn stopping_before_anything_was_shown_keeps_the_best_that_was_placed() {
    let mut machine = begun(4);
    machine.made(0, made(Some((3, 0, 1)), false, false));
    assert_eq!(machine.unshown(is_better), None);
    machine.made(1, made(Some(NINE), true, false));
    assert_eq!(machine.unshown(is_better), Some(NINE));
    machine.look(is_better);
    assert_eq!(machine.unshown(is_better), None);
}

#[test]
fn a_search_that_keeps_falling_gives_up() {
    let mut machine = begun(4);
    both(&mut machine, made(Some(NINE), true, false));
    machine.next(true);
    for _ in 0..MOST_CRASHES {
        let again = machine.fallen(1);
        assert_eq!(
            again,
            Some(Order {
                adopt: Some(NINE),
                steps: 3
            })
        );
    }
    assert_eq!(machine.fallen(1), None);
    assert_eq!(machine.next(true), None);
}

#[test]
fn pieces_grow_while_they_are_quick_and_never_beyond_a_round() {
    let mut machine = begun(20);
    let mut asked = Vec::new();
    for quick in [true, true, true, false, false, true, true, true, true] {
        both(&mut machine, made(None, true, false));
        asked.push(machine.next(quick).map_or(0, |order| order.steps));
    }
    assert_eq!(asked, [2, 4, 8, 4, 1, 4, 8, 8, 20]);
}
