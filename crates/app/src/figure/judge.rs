//! The judge that goes along with a job: how good the figure of a whole plan is, for whoever compares plans.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use heartside_drawing::faces_of;
use heartside_figure::balance::{CELL, Face, Mosaic, Wish};
use heartside_figure::map::FigureMap;
use heartside_timber::document::{MatchKind, ZoneKind};
use heartside_timber::job::{FigureJudge, Job, JudgesFigure};
use heartside_timber::length::{write_decimal, write_money};
use heartside_timber::plan::Plan;
use heartside_timber::score::Score;

use super::known::{KnownFace, as_tiles, faces_known};
use super::wanted::wish_of;

/// Side of the cells of a rough look, in millimetres: a stave is some cells wide, and a look takes a
/// tenth of the time.
const ROUGH: f64 = 24.0;

/// So many looks are remembered: most changes of a plan leave most faces as they are.
const REMEMBERED: usize = 48;

/// Puts a judge beside a job, where something is known of the figure of its boards and faces are put together of
/// its parts; else nobody judges.
pub fn judge_figure(job: &mut Job) {
    job.judge = None;
    let is_seen = |kind: MatchKind| kind != MatchKind::SameBoard;
    let has_faces = !job.panels.is_empty() || job.matches.iter().any(|m| is_seen(m.kind));
    let is_marked = job.boards.iter().any(|board| {
        let mut zones = board.zones.iter();
        zones.any(|z| matches!(z.kind, ZoneKind::Figure | ZoneKind::Sapwood))
    });
    if has_faces && (is_marked || !job.figure.is_empty()) {
        let wood = Job {
            parts: Vec::new(),
            panels: Vec::new(),
            ..job.clone()
        };
        job.judge = Some(FigureJudge(Arc::new(Judge {
            wood,
            known: OnceLock::new(),
            looks: Mutex::default(),
        })));
    }
}

/// The same, by the judge of another job where that has the same boards and knows the same of them: it remembers what it saw.
pub fn judge_like(job: &mut Job, other: &Job) {
    let is_same = other.judge.is_some() && other.boards == job.boards && other.figure == job.figure;
    judge_figure(job);
    if is_same && job.judge.is_some() {
        job.judge.clone_from(&other.judge);
    }
}

/// "0.71 of 1, 3.00 dearer than the cheapest plan found": the figure of a plan whose score is known; none
/// where nobody judges it.
pub fn figure_words(job: &Job, plan: &Plan, score: &Score) -> Option<String> {
    job.judge.as_ref()?;
    let figure = write_decimal(1.0 - score.figure, 2);
    let dearer = score.cost - plan.cheapest.unwrap_or(score.cost);
    Some(match dearer > 0.0 && !job.cost_is_volume {
        true => {
            let more = write_money(dearer, &job.currency);
            format!("{figure} of 1, {more} dearer than the cheapest plan found")
        }
        false => format!("{figure} of 1"),
    })
}

/// One look at a face: what was seen, how roughly, and how well it met the wish.
type Look = (Face, Wish, f64, f64);

#[derive(Debug)]
struct Judge {
    /// The boards and what is known of them.
    wood: Job,
    /// Made when somebody asks.
    known: OnceLock<(Vec<KnownFace>, Vec<FigureMap>)>,
    /// The latest looks, the last one last. What comes of a look does not depend on them.
    looks: Mutex<Vec<Look>>,
}

impl Judge {
    fn known(&self) -> &(Vec<KnownFace>, Vec<FigureMap>) {
        self.known.get_or_init(|| {
            let mut faces = faces_known(&self.wood);
            let maps = faces.iter_mut().map(|face| std::mem::take(&mut face.map));
            let maps = maps.collect();
            (faces, maps)
        })
    }

    /// The mean of all fronts by their areas. What is not known counts as a half.
    fn loss_on(&self, job: &Job, plan: &Plan, cell: f64) -> f64 {
        let (known, _) = self.known();
        let (mut lost, mut all) = (0.0, 0.0);
        for seen in faces_of(job, plan).iter().filter(|face| !face.is_back) {
            let area = seen.size[0] * seen.size[1];
            let worth = self.worth(as_tiles(known, seen), wish_of(job, &seen.of), cell);
            lost += area * (1.0 - worth);
            all += area;
        }
        if all > 0.0 { lost / all } else { 0.0 }
    }

    fn worth(&self, face: Face, wish: Wish, cell: f64) -> f64 {
        if let Some(worth) = self.remembered(&face, &wish, cell) {
            return worth;
        }
        let (_, maps) = self.known();
        let worth = Mosaic::new(maps, &face, cell).worth(&wish);
        let mut looks = self.looks.lock().unwrap_or_else(PoisonError::into_inner);
        if looks.len() >= REMEMBERED {
            looks.remove(0);
        }
        looks.push((face, wish, cell, worth));
        worth
    }

    fn remembered(&self, face: &Face, wish: &Wish, cell: f64) -> Option<f64> {
        let mut looks = self.looks.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |look: &Look| look.0 == *face && look.1 == *wish && look.2 == cell;
        let at = looks.iter().rposition(same)?;
        let look = looks.remove(at);
        let worth = look.3;
        looks.push(look);
        Some(worth)
    }
}

impl JudgesFigure for Judge {
    fn loss(&self, job: &Job, plan: &Plan) -> f64 {
        self.loss_on(job, plan, CELL)
    }

    fn rough_loss(&self, job: &Job, plan: &Plan) -> f64 {
        self.loss_on(job, plan, ROUGH)
    }
}
