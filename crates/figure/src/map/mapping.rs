//! A map made from a picture at true scale, step by step.

use std::rc::Rc;

use heartside_geometry::Ring;

use super::cells::Grid;
use super::fall_off::FallOff;
use super::sapwood::{Sapwood, within};
use super::{FigureMap, Layer, light, strength};
use crate::TruePicture;
use crate::see::along_edges;
use crate::see::colours::Colours;
use crate::see::grain::GrainSearch;
use crate::see::ribbon::Ribbon;

/// Side of the pixels that gradients are taken on, in millimetres: what a hand's breadth shows needs none finer.
const GRADIENTS: f64 = 1.0;

/// Sides of the cells of a map in millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cells {
    /// Of lightness and sapwood.
    pub fine: f64,
    /// Of strength and direction.
    pub coarse: f64,
}

impl Default for Cells {
    /// 4 mm, and 20 mm as where bent grain is followed in a plan.
    fn default() -> Cells {
        Cells {
            fine: 4.0,
            coarse: 20.0,
        }
    }
}

/// Why a picture gives no map.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CannotMap {
    /// A pixel is larger than half a cell.
    #[error(
        "the photo is too coarse to tell its figure: its pixels are {pixel:.1} mm, and {most:.1} mm is the most. \
         Take it from nearer, the board in two or three photos"
    )]
    TooCoarse {
        /// Side of a pixel in millimetres.
        pixel: f64,
        /// The largest that would do.
        most: f64,
    },
    /// Its pixels are not three bytes each, or a number makes no sense.
    #[error("the photo's size or scale makes no sense: take it in again")]
    NotAPicture,
    /// The board's outline does not lie in the picture.
    #[error("the board does not lie in the photo: check its outline")]
    Elsewhere,
}

/// The work of making a map: `step(a); step(b)` is `step(a + b)`, and the same picture gives the same map on
/// every machine.
#[derive(Debug, Clone)]
pub struct Mapping {
    photo: Rc<TruePicture>,
    cells: Cells,
    colours: Colours,
    ribbon: Ribbon,
    grain: GrainSearch,
    /// Rows of the picture whose colours are read; then those whose grain is.
    read: usize,
    followed: usize,
    made: Option<FigureMap>,
}

impl Mapping {
    /// Begins a map of what a picture shows within an outline in the frame of the face, that is the picture's own.
    ///
    /// # Errors
    /// [`CannotMap`] where nothing could be told.
    pub fn new(photo: Rc<TruePicture>, outline: &Ring, cells: Cells) -> Result<Mapping, CannotMap> {
        let is_sound = |side: f64| side.is_finite() && side > 0.0;
        if !is_sound(cells.fine) || !is_sound(cells.coarse) || cells.coarse < cells.fine {
            return Err(CannotMap::NotAPicture);
        }
        let most = 0.5 * cells.fine;
        if photo.pixel > most + 1e-9 {
            return Err(CannotMap::TooCoarse {
                pixel: photo.pixel,
                most,
            });
        }
        let colours = Colours::with_pixel(&photo, most).map_err(|_| CannotMap::NotAPicture)?;
        let ribbon = Ribbon::of(outline, &colours).ok_or(CannotMap::Elsewhere)?;
        let grain = GrainSearch::with_pixel(&photo, GRADIENTS);
        Ok(Mapping {
            photo,
            cells,
            colours,
            ribbon,
            grain,
            read: 0,
            followed: 0,
            made: None,
        })
    }

    /// Goes on by so many rows of the picture; true once the map is made. O(1) for each pixel, twice.
    pub fn step(&mut self, rows: usize) -> bool {
        let height = self.photo.picture.height as usize;
        let mut left = rows;
        while left > 0 && self.made.is_none() {
            // Rows that were worked on already are as good as done.
            left -= 1;
            if self.read < height {
                let due = |rows: usize| rows * self.colours.height / height;
                let more = due(self.read + 1) - due(self.read);
                self.colours.read(&self.photo, more);
                self.read += 1;
            } else if self.followed < height {
                self.followed += 1;
                let (photo, colours) = (&self.photo, &self.colours);
                self.grain.step(photo, colours, &self.ribbon, 1);
            } else {
                self.made = Some(self.measured());
            }
        }
        self.made.is_some()
    }

    /// The share that is done.
    pub fn progress(&self) -> f64 {
        let all = 2 * self.photo.picture.height as usize + 1;
        match self.made {
            Some(_) => 1.0,
            None => (self.read + self.followed) as f64 / all as f64,
        }
    }

    /// The map, once all steps are made. What the maker wants is not in it.
    pub fn finish(self) -> Option<FigureMap> {
        self.made
    }

    fn measured(&self) -> FigureMap {
        let (colours, ribbon) = (&self.colours, &self.ribbon);
        let grid = Grid::gathered(colours, ribbon, self.cells.fine);
        let within = within(&grid, &along_edges::sapwood(colours, ribbon));
        let fall_off = FallOff::fitted(&grid, |at| !within[at]);
        let sapwood = Sapwood::by_colour(&grid, &within, &fall_off);
        let field = self.grain.found(&self.photo, colours, ribbon, &[]);
        let field = field.map(|seen| seen.what);
        let coarse = self.cells.coarse;
        let strength = strength::strength(&grid, &fall_off, sapwood.as_ref(), coarse);
        FigureMap {
            light: light::light(&grid, &fall_off),
            sapwood: match &sapwood {
                Some(sapwood) => grid.layer(|at, _| 1.0 + 254.0 * sapwood.shares[at]),
                // All heartwood is told as well on large cells.
                None => {
                    let levels = strength.levels.iter().map(|&known| known.min(1));
                    Layer {
                        levels: levels.collect(),
                        ..strength.clone()
                    }
                }
            },
            direction: strength::direction(&strength, field.as_ref()),
            strength,
            wanted: Layer::default(),
        }
    }
}
