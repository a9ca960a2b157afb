//! What can be seen in a straightened picture of a board: proposals for the maker, never used by themselves.
//!
//! [`Looking`] goes step by step, so that a worker can tell how far it is and stop between steps; each step
//! takes some hundredths of a second of a phone.

pub(crate) mod along_edges;
mod areas;
mod best_path;
mod blur;
pub(crate) mod colours;
pub(crate) mod grain;
mod how_sure;
mod knots;
mod outline;
pub(crate) mod ribbon;
mod seen;
mod splits;
mod wood_or_ground;

use std::rc::Rc;

use heartside_geometry::{Location, Point, Ring};

use crate::TruePicture;
use colours::Colours;
pub use grain::GrainField;
use grain::GrainSearch;
use knots::KnotSearch;
use outline::OutlineSearch;
use ribbon::Ribbon;
pub use seen::{CannotLook, Oval, Seen};

/// Rows of working pixels read in one step.
const ROWS: usize = 64;
/// Rows of the photograph whose grain is taken in in one step.
const GRAIN_ROWS: usize = 128;

/// Half the width of dark spots in bark, in millimetres, at most; larger ones are knots that make bark of an
/// edge.
const SPOT_IN_BARK: f64 = 7.0;

/// All that was seen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Proposals {
    /// The board's outline, counter-clockwise; none if it was given, or no board was seen.
    pub outline: Option<Seen<Ring>>,
    /// Knots, surest first.
    pub knots: Vec<Seen<Oval>>,
    /// Splits, as outlines.
    pub splits: Vec<Seen<Vec<Point>>>,
    /// Bark along an edge, as outlines.
    pub bark: Vec<Seen<Vec<Point>>>,
    /// Sapwood along an edge, as outlines.
    pub sapwood: Vec<Seen<Vec<Point>>>,
    /// The direction of the grain.
    pub grain: Option<Seen<GrainField>>,
}

/// What is known of where the board lies.
#[derive(Debug, Clone)]
pub enum Where {
    /// At or within these marks, in millimetres of the board's frame; with fewer than three in the
    /// middle of the picture.
    Marks(Vec<Point>),
    /// Its outline, as the maker has it.
    Outline(Ring),
}

/// Looks at a picture, step by step. The same picture gives the same proposals on every machine, however
/// the steps are taken.
#[derive(Debug, Clone)]
pub struct Looking {
    photo: Rc<TruePicture>,
    known: Where,
    colours: Colours,
    ribbon: Option<Ribbon>,
    stage: Stage,
    steps: usize,
    proposals: Proposals,
}

#[derive(Debug, Clone)]
enum Stage {
    Reading,
    Outline(Box<OutlineSearch>),
    Grain(GrainSearch),
    Knots(Box<KnotSearch>, GrainSearch),
    Splits,
    Edges,
    Done,
}

impl Looking {
    /// Begins to look at a picture.
    ///
    /// # Errors
    /// [`CannotLook`] if it is no picture, or too small a one.
    pub fn new(photo: Rc<TruePicture>, known: Where) -> Result<Looking, CannotLook> {
        let colours = Colours::new(&photo)?;
        Ok(Looking {
            photo,
            known,
            colours,
            ribbon: None,
            stage: Stage::Reading,
            steps: 0,
            proposals: Proposals::default(),
        })
    }

    /// Goes on by up to so many steps; true once nothing is left to do.
    ///
    /// # Errors
    /// [`CannotLook::Elsewhere`] if the board cannot lie in the picture.
    pub fn step(&mut self, steps: usize) -> Result<bool, CannotLook> {
        for _ in 0..steps {
            if matches!(self.stage, Stage::Done) {
                return Ok(true);
            }
            self.steps += 1;
            let stage = std::mem::replace(&mut self.stage, Stage::Done);
            self.stage = self.next(stage)?;
        }
        Ok(matches!(self.stage, Stage::Done))
    }

    /// How much is done: 0 to 1.
    pub fn progress(&self) -> f64 {
        if matches!(self.stage, Stage::Done) {
            return 1.0;
        }
        let reading = self.colours.height.div_ceil(ROWS);
        // The outline, the grain, some fourteen scales of knots, their sizes, the rest.
        let all = reading
            + OutlineSearch::steps(&self.colours)
            + self.photo.picture.height as usize / GRAIN_ROWS
            + 21;
        (self.steps as f64 / all as f64).min(0.99)
    }

    /// What was seen so far; all of it once [`step`](Self::step) gave true.
    pub fn proposals(&self) -> &Proposals {
        &self.proposals
    }

    fn next(&mut self, stage: Stage) -> Result<Stage, CannotLook> {
        let (photo, colours) = (&*self.photo, &mut self.colours);
        Ok(match stage {
            Stage::Reading => {
                if !colours.read(photo, ROWS) {
                    return Ok(Stage::Reading);
                }
                match &self.known {
                    Where::Marks(marks) => Stage::Outline(Box::new(
                        OutlineSearch::new(colours, marks).ok_or(CannotLook::Elsewhere)?,
                    )),
                    Where::Outline(outline) => {
                        self.ribbon =
                            Some(Ribbon::of(outline, colours).ok_or(CannotLook::Elsewhere)?);
                        Stage::Grain(GrainSearch::new(photo))
                    }
                }
            }
            Stage::Outline(mut search) => {
                if !search.step(colours) {
                    return Ok(Stage::Outline(search));
                }
                // A photograph of nothing: no board, and so nothing on it.
                let Some((ribbon, outline)) = search.found(colours) else {
                    return Ok(Stage::Done);
                };
                self.ribbon = Some(ribbon);
                self.proposals.outline = Some(outline);
                Stage::Grain(GrainSearch::new(photo))
            }
            Stage::Grain(mut search) => {
                let Some(ribbon) = &self.ribbon else {
                    return Ok(Stage::Done);
                };
                if search.step(photo, colours, ribbon, GRAIN_ROWS) {
                    self.proposals.grain = search.found(photo, colours, ribbon, &[]);
                    Stage::Knots(Box::new(KnotSearch::new(colours, ribbon)), search)
                } else {
                    Stage::Grain(search)
                }
            }
            Stage::Knots(mut search, grain) => {
                let Some(ribbon) = &self.ribbon else {
                    return Ok(Stage::Done);
                };
                let field = self.proposals.grain.as_ref().map(|seen| &seen.what);
                if !search.step(colours, ribbon, field) {
                    return Ok(Stage::Knots(search, grain));
                }
                let knots = search.found();
                // Within a knot the rings say nothing of the grain.
                self.proposals.grain = grain.found(photo, colours, ribbon, &knots);
                self.proposals.knots = knots;
                Stage::Splits
            }
            Stage::Splits => {
                if let Some(ribbon) = &self.ribbon {
                    self.proposals.splits = splits::splits(colours, ribbon);
                }
                Stage::Edges
            }
            Stage::Edges => {
                if let Some(ribbon) = &self.ribbon {
                    self.proposals.bark = along_edges::bark(colours, ribbon);
                    // Small dark spots in bark are bark.
                    let bark = self.proposals.bark.iter();
                    let bark: Vec<Ring> = bark
                        .filter_map(|seen| Ring::new(seen.what.clone()).ok())
                        .collect();
                    self.proposals.knots.retain(|knot| {
                        let Oval {
                            middle, half_width, ..
                        } = knot.what;
                        let within = |bark: &Ring| bark.locate(middle) == Location::Inside;
                        half_width > SPOT_IN_BARK || !bark.iter().any(within)
                    });
                    self.proposals.sapwood = along_edges::sapwood(colours, ribbon);
                }
                Stage::Done
            }
            Stage::Done => Stage::Done,
        })
    }
}
