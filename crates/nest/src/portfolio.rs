//! How the two engines share a job: who cuts which boards, and whose turn it is.

use heartside_timber::document::Cuts;
use heartside_timber::job::{Job, PartCut};
use heartside_timber::plan::Layout;

use crate::chance::Chance;
use crate::engine::Engine;
use crate::sawn;
use crate::settings::{Settings, WayWanted};
use crate::straight;
use crate::task::{Pinned, Stock, Task, stock_by_line, usable_stock};

/// A job, and the same for boards that are sawn by line where that is another: blanks that are cut apart later
/// have another size there.
pub(crate) type Jobs<'a> = (&'a Job, Option<&'a Job>);

/// One way of sharing the boards between the engines: a first engine, then a second one
/// for what the first left over, on boards it did not use.
pub(crate) struct Strategy {
    first: Box<dyn Engine>,
    way: EngineKind,
    second: Option<Second>,
    follow: Option<Follow>,
    settings: Settings,
    /// Turns begun.
    turns: u64,
}

/// A running second engine and the layouts of the first that it was made for.
struct Second {
    engine: Box<dyn Engine>,
    beside: Vec<Layout>,
}

/// Which engine follows, and on which boards.
#[derive(Debug, Clone)]
struct Follow {
    way: EngineKind,
    stock: Vec<Stock>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum EngineKind {
    Straight,
    Sawn,
}

impl EngineKind {
    fn job<'a>(self, (job, by_line): Jobs<'a>) -> &'a Job {
        match self {
            EngineKind::Straight => job,
            EngineKind::Sawn => by_line.unwrap_or(job),
        }
    }
}

impl Strategy {
    /// Decides which engine has this turn; true if the layouts changed by that.
    ///
    /// The engines have turns one after the other. The second works beside the first one's
    /// best, and begins anew when that has changed.
    pub(crate) fn begin_turn(&mut self, jobs: Jobs<'_>) -> bool {
        self.turns += 1;
        let Some(follow) = self
            .follow
            .as_ref()
            .filter(|_| self.turns.is_multiple_of(2))
        else {
            return false;
        };
        let beside = self.first.layouts();
        if self.second.as_ref().is_some_and(|s| s.beside == beside) {
            return false;
        }
        self.second = Some(self.make_second(jobs, follow, beside.to_vec()));
        true
    }

    /// Steps of the present turn.
    pub(crate) fn turn_steps(&self) -> u64 {
        match &self.second {
            Some(second) if self.is_seconds_turn() => second.engine.turn_steps(),
            _ if self.is_finished() => 1,
            _ => self.first.turn_steps(),
        }
    }

    fn is_seconds_turn(&self) -> bool {
        self.follow.is_some() && self.turns.is_multiple_of(2) && self.turns > 0
    }

    /// One step of the engine whose turn it is; true if the strategy's layouts changed.
    pub(crate) fn step(&mut self, jobs: Jobs<'_>) -> bool {
        if !self.is_seconds_turn() {
            // While a second engine stands, what the first improves shows when the second is made anew.
            return self.first.step(self.way.job(jobs)) && self.second.is_none();
        }
        let Some(follow) = &self.follow else {
            return false;
        };
        let job = follow.way.job(jobs);
        self.second.as_mut().is_some_and(|s| s.engine.step(job))
    }

    /// The strategies that go other ways about straight cuts: those from outside.
    fn beside_straight(job: &Job, settings: Settings, task: &Task) -> Vec<Strategy> {
        let engines = settings.beside.straight(job, task).into_iter();
        engines
            .map(|first| Strategy {
                first,
                way: EngineKind::Straight,
                second: None,
                follow: None,
                settings,
                turns: 0,
            })
            .collect()
    }

    /// What no plan of straight cuts can better, where this strategy has proved that.
    pub(crate) fn limit(&self) -> Option<f64> {
        self.first.limit()
    }

    /// Where pins lie on the second engine's boards it must stand from the start, or they would be missing.
    fn hold_pins(&mut self, jobs: Jobs<'_>) {
        let job = jobs.0;
        let has_pins = |s: &Stock| {
            job.pins
                .iter()
                .any(|p| p.board.board == job.boards[s.board].id && p.board.copy == s.copy)
        };
        if let Some(follow) = self.follow.clone().filter(|f| f.stock.iter().any(has_pins)) {
            self.second = Some(self.make_second(jobs, &follow, self.first.layouts().to_vec()));
        }
    }

    fn make_second(&self, jobs: Jobs<'_>, follow: &Follow, beside: Vec<Layout>) -> Second {
        let job = follow.way.job(jobs);
        let stock: Vec<Stock> = follow
            .stock
            .iter()
            .copied()
            .filter(|s| {
                beside
                    .iter()
                    .all(|l| l.board.board != job.boards[s.board].id || l.board.copy != s.copy)
            })
            .collect();
        let mut task = task(job, self.settings, stock, |_| true, 1);
        for placement in beside.iter().flat_map(|l| &l.placements) {
            if let Some(part) = job.part_index(&placement.part) {
                task.wanted[part].retain(|c| *c != placement.copy);
            }
        }
        Second {
            engine: engine(job, self.settings, follow.way, task),
            beside,
        }
    }

    pub(crate) fn layouts(&self) -> Vec<Layout> {
        match &self.second {
            None => self.first.layouts().to_vec(),
            Some(second) => second
                .beside
                .iter()
                .chain(second.engine.layouts())
                .cloned()
                .collect(),
        }
    }

    /// What the engine whose turn it is passes by, with what lies beside it.
    pub(crate) fn passing(&self, jobs: Jobs<'_>, dearer: f64) -> Option<Vec<Layout>> {
        let Some(second) = &self.second else {
            return self.first.passing(self.way.job(jobs), dearer);
        };
        let way = self.follow.as_ref()?.way;
        let layouts = second.engine.passing(way.job(jobs), dearer)?;
        Some(second.beside.iter().cloned().chain(layouts).collect())
    }

    pub(crate) fn is_finished(&self) -> bool {
        self.follow.is_none() && self.first.is_finished()
    }

    pub(crate) fn chance_state(&self) -> u64 {
        let second = self.second.as_ref().map_or(0, |s| s.engine.chance_state());
        self.first.chance_state() ^ second.rotate_left(32)
    }

    pub(crate) fn hurry(&mut self) {
        self.first.hurry();
    }

    pub(crate) fn adopt(&mut self, jobs: Jobs<'_>, layouts: &[Layout]) {
        if self.follow.is_none() {
            self.first.adopt(self.way.job(jobs), layouts);
        }
    }
}

fn engine(job: &Job, settings: Settings, kind: EngineKind, task: Task) -> Box<dyn Engine> {
    match kind {
        EngineKind::Straight => straight::engine(job, task),
        EngineKind::Sawn => sawn::engine(job, task, settings.beside),
    }
}

/// The strategies of a search: each a division of boards and pieces between the engines.
pub(crate) fn portfolio(jobs: Jobs<'_>, settings: Settings) -> Vec<Strategy> {
    let job = jobs.0;
    let strategy = |kind: EngineKind, task: Task, follow: Option<Follow>| {
        let mut strategy = Strategy {
            first: engine(kind.job(jobs), settings, kind, task),
            way: kind,
            second: None,
            follow,
            settings,
            turns: 0,
        };
        strategy.hold_pins(jobs);
        strategy
    };
    let everything = |stock| task(job, settings, stock, |_| true, 0);
    match settings.way {
        WayWanted::Straight => {
            let stock = usable_stock(job, |c| c != Cuts::Sawn);
            let task = everything(stock);
            let beside = Strategy::beside_straight(job, settings, &task);
            let mut list = vec![strategy(EngineKind::Straight, task, None)];
            list.extend(beside);
            list
        }
        WayWanted::Sawn => {
            let stock = stock_by_line(job, |c| c != Cuts::Straight);
            vec![strategy(EngineKind::Sawn, everything(stock), None)]
        }
        WayWanted::AsJob => {
            let sawn_only = stock_by_line(job, |c| c == Cuts::Sawn);
            let straight = usable_stock(job, |c| c != Cuts::Sawn);
            if straight.is_empty() && !sawn_only.is_empty() {
                return vec![strategy(EngineKind::Sawn, everything(sawn_only), None)];
            }
            let may_saw = stock_by_line(job, |c| c != Cuts::Straight);
            let follow = (!sawn_only.is_empty()).then(|| Follow {
                way: EngineKind::Sawn,
                stock: sawn_only.clone(),
            });
            let mut list = vec![strategy(
                EngineKind::Straight,
                everything(straight.clone()),
                follow,
            )];
            let has_sawn_parts = job.parts.iter().any(|p| p.cut == PartCut::Sawn);
            if has_sawn_parts && !may_saw.is_empty() {
                // Sawn parts first, by line, on as few boards as they need; the rest by straight cuts on the others.
                let follow = Some(Follow {
                    way: EngineKind::Straight,
                    stock: straight.clone(),
                });
                let only_sawn = task(
                    job,
                    settings,
                    may_saw,
                    |p| job.parts[p].cut == PartCut::Sawn,
                    2,
                );
                list.push(strategy(EngineKind::Sawn, only_sawn, follow));
            }
            if !sawn_only.is_empty() {
                // Boards that are sawn by line anyway first, with whatever they take.
                let follow = Some(Follow {
                    way: EngineKind::Straight,
                    stock: straight.clone(),
                });
                let anything = task(job, settings, sawn_only.clone(), |_| true, 3);
                list.push(strategy(EngineKind::Sawn, anything, follow));
            }
            if sawn_only.is_empty() {
                let task = everything(straight);
                list.extend(Strategy::beside_straight(job, settings, &task));
            }
            list
        }
    }
}

/// The task for one engine: its boards, the copies of some parts that no pin holds, and the pins on its boards.
fn task(
    job: &Job,
    settings: Settings,
    stock: Vec<Stock>,
    wants: impl Fn(usize) -> bool,
    purpose: u32,
) -> Task {
    let is_pinned = |part: &str, copy: u32| {
        job.pins
            .iter()
            .any(|p| p.part.part == part && p.part.copy == copy)
    };
    let wanted = job
        .parts
        .iter()
        .enumerate()
        .map(|(index, part)| {
            if wants(index) {
                part.wanted().filter(|c| !is_pinned(&part.id, *c)).collect()
            } else {
                Vec::new()
            }
        })
        .collect();
    let pins = job
        .pins
        .iter()
        .filter_map(|pin| {
            let part = job.part_index(&pin.part.part)?;
            let stock = *stock
                .iter()
                .find(|s| job.boards[s.board].id == pin.board.board && s.copy == pin.board.copy)?;
            Some(Pinned {
                part,
                copy: pin.part.copy,
                stock,
                at: pin.at,
            })
        })
        .collect();
    Task {
        stock,
        wanted,
        pins,
        chance: Chance::new(settings.seed, settings.worker, purpose),
    }
}
