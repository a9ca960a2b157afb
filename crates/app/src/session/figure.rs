//! How well faces of the plan on the floor are balanced, and better ones taken.

use heartside_drawing::{FaceOf, FaceSeen, FaceShown, assembled, faces_of, overview_svg, together};
use heartside_figure::balance::measure;
use heartside_timber::choices::Choices;
use heartside_timber::document::Pin;
use heartside_timber::plan::{Made, Plan};

use super::{Change, Session};
use crate::figure::known::{as_tiles, faces_known};
use crate::figure::notes::notes;
use crate::figure::shapes::{is_stave_of, why_in_no_shape};
use crate::figure::wanted::wanted;
use crate::figure::words::measure_rows;
use crate::protocol::{FaceBalance, FacePictures, Outcome};
use crate::words::GONE;

/// A face that was found is of a job that is no longer so.
const OLDER: &str = "the job has changed since this face was found: look again";

impl Session {
    /// Every face that is put together, from the front and from behind.
    pub fn faces(&self) -> Vec<FaceSeen> {
        faces_of(&self.job, &self.plan_or_empty())
    }

    /// How well a face of the plan on the floor is balanced, some milliseconds; none where it is there no more.
    /// `stands`: it is shown with its grain upright.
    pub fn balance(&self, key: &str, stands: bool) -> Option<FaceBalance> {
        let seen = self.faces().into_iter().find(|face| face.key == key)?;
        let known = faces_known(&self.job);
        let is_planned = seen.tiles.iter().any(|tile| tile.board.is_some());
        let has_maps = !known.is_empty();
        let measures = if is_planned && has_maps {
            let maps: Vec<_> = known.iter().map(|face| face.map.clone()).collect();
            let measured = measure(&maps, &as_tiles(&known, &seen));
            measure_rows(&measured, seen.size, stands)
        } else {
            Vec::new()
        };
        let cannot_look = match seen.is_back {
            true => Some("Better faces are looked for from the front".to_owned()),
            false => wanted(&self.job, key)
                .and_then(|face| why_in_no_shape(&self.document, (&self.job, &known), &face)),
        };
        Some(FaceBalance {
            notes: notes(&self.job, &known, &seen),
            measures,
            cannot_look,
            key: seen.key,
        })
    }

    /// How a face will look in a plan that was found for it, and where it lies on the boards.
    pub fn face_pictures(&self, key: &str, plan: &str) -> Option<FacePictures> {
        let plan = Plan::read(plan).ok()?;
        self.in_its_job(&plan, |_, job, _| {
            let own = faces_of(job, &plan)
                .into_iter()
                .find(|face| face.key == key)?;
            let shown = FaceShown {
                is_back: own.is_back,
                stands: own.stands,
                is_bare: true,
                ..FaceShown::default()
            };
            let face = match &own.of {
                FaceOf::Panel(copy) => assembled(job, &plan, copy, shown)?,
                FaceOf::Match(_) => together(job, &own, shown),
            };
            let is_own = |board| {
                own.tiles
                    .iter()
                    .any(|tile| tile.board.as_ref() == Some(board))
            };
            let boards = Plan {
                layouts: plan
                    .layouts
                    .iter()
                    .filter(|l| is_own(&l.board))
                    .cloned()
                    .collect(),
                ..plan.clone()
            };
            let mut cut = job.clone();
            cut.boards
                .retain(|b| boards.layouts.iter().any(|l| l.board.board == b.id));
            Some(FacePictures {
                face,
                boards: overview_svg(&cut, &boards, &[], &Default::default()).svg,
            })
        })
    }

    /// Puts a face that was found on the floor ([`crate::figure::asked::FaceAsked`]): its parts are pinned where
    /// they lie in the plan, and the plan goes along. One undo step. Refused where it breaks a rule of the job as it
    /// is now.
    pub fn take_face(&mut self, key: &str, plan: &str) -> Outcome {
        self.put_down();
        self.end_set_out();
        let Ok(plan) = Plan::read(plan) else {
            return Outcome::refused(GONE);
        };
        if plan.revision != self.document.revision {
            return Outcome::refused(OLDER);
        }
        // A panel may be glued up from other staves there than on the floor.
        let faces = self.in_its_job(&plan, |_, job, _| faces_of(job, &plan));
        let Some(face) = faces.into_iter().find(|face| face.key == key) else {
            return Outcome::refused(OLDER);
        };
        let mut after = self.document.clone();
        let is_other = |pin: &Pin| match &face.of {
            FaceOf::Panel(of) => is_stave_of(of, &pin.part.part),
            FaceOf::Match(_) => false,
        };
        after
            .pins
            .retain(|pin| face.tiles.iter().all(|tile| tile.part != pin.part) && !is_other(pin));
        for tile in &face.tiles {
            let Some((layout, place)) = plan.find(&tile.part.part, tile.part.copy) else {
                continue;
            };
            let layout = &plan.layouts[layout];
            after.pins.push(Pin {
                part: tile.part.clone(),
                board: layout.board.board.clone(),
                board_copy: layout.board.copy,
                at: layout.placements[place].at,
            });
        }
        // Judged as it will lie: with its own pins and no others of its parts.
        let prepared = heartside_timber::prepare::prepare_with(&after, &Choices::of(&plan));
        let holds = prepared.job.panel_choices() == plan.panels;
        let findings = heartside_check::check(&prepared.job, &plan);
        if !holds || !heartside_timber::finding::is_sound(&findings) {
            return Outcome::refused(OLDER);
        }
        after.plan = Some(Plan {
            made: Made::default(),
            bound: None,
            ..plan
        });
        self.progress.clear();
        self.commit(
            &format!("taking a face for {}", face.name),
            after,
            Change::Hand,
        );
        Outcome::done().saying(format!(
            "{} lies as you chose it, pinned; the rest is planned round it",
            face.name
        ))
    }
}
