//! A photograph of a board in a worker: straightened by marks, and told how well they fit.

mod figure;
mod laid;
mod seeing;
#[cfg(test)]
mod tests;

use std::rc::Rc;

use heartside_figure::log::Log;
use heartside_figure::map::{CannotMap, Cells, Mapping};
use heartside_figure::{
    CannotLook, CheckLength, Given, Looking, Picture, Remark, Resampling, Spot, Straightened,
    TruePicture, Where, straighten,
};
use heartside_geometry::{Bounds, Point, Ring};

use crate::protocol::{
    PhotoAsked, PhotoError, PhotoFigure, PhotoFit, PhotoRemark, PhotoSeen, PhotoSpot, PhotoTrue,
};
use laid::{Laid, Wanting, laid, spot};

/// The most pixels of a photograph: 400 MB while it is taken in, and no phone or camera of a workshop makes
/// more.
const MOST_PIXELS: u64 = 100_000_000;

/// What is shown round what was measured, as a share of it along and across, and in millimetres at least: a
/// rim of the ground tells where the board ends, and marks on the board do not span all of it.
const ROUND: ([f64; 2], f64) = ([0.15, 0.5], 40.0);
/// The same round the board's own corners.
const ROUND_CORNERS: ([f64; 2], f64) = ([0.02, 0.15], 40.0);

/// A photograph. Never fails: what is in the way is said where it is asked for.
#[derive(Debug, Default)]
pub struct Photograph {
    picture: Option<Picture>,
    /// Why there is no picture.
    refused: Option<String>,
    found: Option<Found>,
    making: Option<Resampling>,
    made: Option<Rc<TruePicture>>,
    looking: Option<Looking>,
    /// Why nothing can be seen in it.
    unseen: Option<CannotLook>,
    mapping: Option<Mapping>,
    figure: PhotoFigure,
}

#[derive(Debug)]
struct Found {
    straightened: Straightened,
    shown: Bounds,
    /// Where the marks lie on the board.
    marks: Vec<Point>,
}

impl Photograph {
    /// Takes in pixels: rows from the top, four bytes a pixel (red, green, blue and how dense). O(1) for each
    /// pixel, in place.
    pub fn new(mut rgba: Vec<u8>, width: u32, height: u32) -> Photograph {
        let refused = |why: &str| Photograph {
            refused: Some(why.to_owned()),
            ..Photograph::default()
        };
        let pixels = u64::from(width) * u64::from(height);
        if pixels == 0 || pixels.checked_mul(4) != Some(rgba.len() as u64) {
            return refused("this is no picture, or its file is broken");
        }
        if pixels > MOST_PIXELS {
            return refused(
                "this picture is larger than 100 megapixels: take a smaller one, it is as exact",
            );
        }
        for k in 0..pixels as usize {
            rgba.copy_within(4 * k..4 * k + 3, 3 * k);
        }
        rgba.truncate(3 * pixels as usize);
        Photograph {
            picture: Some(Picture {
                width,
                height,
                rgb: rgba,
            }),
            ..Photograph::default()
        }
    }

    /// Takes in a picture that is at true scale already, with pixels of so many millimetres and its lower left corner
    /// at a place of the frame of its face. For its map alone.
    pub fn at_true_scale(
        rgba: Vec<u8>,
        width: u32,
        height: u32,
        pixel: f64,
        origin: [f64; 2],
    ) -> Photograph {
        let mut photograph = Photograph::new(rgba, width, height);
        let picture = photograph.picture.take();
        photograph.made = picture.map(|picture| {
            Rc::new(TruePicture {
                picture,
                pixel,
                origin,
            })
        });
        photograph
    }

    /// A picture of an invented log, at true scale.
    pub fn rendered(
        [log, board]: [u32; 2],
        is_down: bool,
        size: [u32; 2],
        pixel: f64,
        origin: [f64; 2],
    ) -> Photograph {
        let log = Log::new(log);
        let made = log.face(board, is_down).picture(size, pixel, origin);
        Photograph {
            made: Some(Rc::new(made)),
            ..Photograph::default()
        }
    }

    /// Why there is no photograph, if so.
    pub fn problem(&self) -> Option<String> {
        self.refused.clone()
    }

    /// How well marks fit; the photograph is straightened by them from now on.
    pub fn straighten(&mut self, asked: &PhotoAsked) -> PhotoFit {
        self.found = None;
        self.making = None;
        let Some(picture) = &self.picture else {
            let text = self.refused.clone().unwrap_or_default();
            return without(vec![in_the_way(text, Vec::new())]);
        };
        let laid = match laid(asked) {
            Ok(laid) => laid,
            Err(Wanting { text, marks }) => return without(vec![in_the_way(text, marks)]),
        };
        let checks: Vec<CheckLength> = asked
            .checks
            .iter()
            .map(|c| CheckLength {
                from: spot(&c.from),
                to: spot(&c.to),
                length: c.length,
            })
            .collect();
        let Laid {
            marks,
            taken,
            measured,
        } = laid;
        let size = [picture.width, picture.height];
        let board = with_extent(measured);
        let given = Given {
            marks: &marks,
            checks: &checks,
            board,
            size,
        };
        let straightened = match straighten(&given) {
            Ok(straightened) => straightened,
            Err(remarks) => {
                return PhotoFit {
                    marks: taken,
                    ..without(remarks.iter().map(told).collect())
                };
            }
        };
        let round = if asked.laid == crate::protocol::PhotoLaid::Corners {
            ROUND_CORNERS
        } else {
            ROUND
        };
        let shown = shown(&straightened, board, size, round);
        let corners = board.corners().map(|c| straightened.view.spot_of(c));
        let fit = PhotoFit {
            error: Some(told_error(straightened.ends)),
            misfit: straightened.misfit.map(told_misfit),
            remarks: straightened.remarks.iter().map(told).collect(),
            corners: corners
                .into_iter()
                .flatten()
                .map(|s| PhotoSpot { x: s.x, y: s.y })
                .collect(),
            marks: taken,
            shown: [shown.min.x, shown.min.y, shown.max.x, shown.max.y],
        };
        self.found = Some(Found {
            straightened,
            shown,
            marks: marks.iter().map(|mark| mark.place).collect(),
        });
        fit
    }

    /// How far the photograph may be off at the ends of what lies within x and y from, x and y to; none
    /// before it is straightened.
    pub fn error_over(&self, within: [f64; 4]) -> Option<PhotoError> {
        let found = self.found.as_ref()?;
        let [left, low, right, high] = within;
        let at = |x: f64| {
            let two = [low, high].map(|y| found.straightened.error_at(Point::new(x, y)));
            two[0].max(two[1])
        };
        Some(told_error([at(left), at(right)]))
    }

    /// Begins the picture at true scale of what lies within x and y from, x and y to (what the fit said is
    /// shown, unless given), with pixels of the side `pixel` in millimetres.
    pub fn begin(&mut self, pixel: f64, within: Option<[f64; 4]>) -> PhotoTrue {
        (self.making, self.made, self.looking) = (None, None, None);
        let refused = |why: String| PhotoTrue {
            problem: Some(why),
            ..PhotoTrue::default()
        };
        let Some(found) = &self.found else {
            return refused("set the marks first".to_owned());
        };
        let shown = within.map_or(found.shown, |[a, b, c, d]| Bounds {
            min: Point::new(a, b),
            max: Point::new(c, d),
        });
        match Resampling::new(found.straightened.view, shown, pixel) {
            Ok(making) => {
                let size = making.size();
                self.making = Some(making);
                PhotoTrue {
                    problem: None,
                    size,
                    pixel,
                    origin: [shown.min.x, shown.min.y],
                }
            }
            Err(remark) => refused(remark.to_string()),
        }
    }

    /// Makes up to so many rows more and tells the share that is made: 1 at the end, and where nothing was begun.
    pub fn step(&mut self, rows: u32) -> f64 {
        let (Some(making), Some(picture)) = (&mut self.making, &self.picture) else {
            return 1.0;
        };
        if !making.step(picture, rows) {
            return making.progress();
        }
        let done = self.making.take();
        self.made = done
            .and_then(Resampling::finish)
            .map(|(made, _)| Rc::new(made));
        1.0
    }

    /// The picture at true scale, four bytes a pixel; empty before it is made.
    pub fn pixels(&self) -> Vec<u8> {
        let Some(made) = &self.made else {
            return Vec::new();
        };
        let rgb = &made.picture.rgb;
        let mut rgba = Vec::with_capacity(rgb.len() / 3 * 4);
        for pixel in rgb.chunks_exact(3) {
            rgba.extend_from_slice(pixel);
            rgba.push(255);
        }
        rgba
    }

    /// Begins to look for what can be seen in the picture at true scale: within an outline (x and y of its
    /// points in turn, in millimetres), or for a board where the marks lie if that is empty.
    pub fn look_begin(&mut self, outline: &[f64]) {
        self.looking = None;
        self.unseen = None;
        let Some(made) = &self.made else { return };
        let given = outline.chunks_exact(2).map(|p| Point::new(p[0], p[1]));
        let known = match (Ring::new(given.collect()), &self.found) {
            (Ok(outline), _) => Where::Outline(outline),
            (_, Some(found)) => Where::Marks(found.marks.clone()),
            (_, None) => Where::Marks(Vec::new()),
        };
        match Looking::new(Rc::clone(made), known) {
            Ok(looking) => self.looking = Some(looking),
            Err(why) => self.unseen = Some(why),
        }
    }

    /// Looks on by so many steps, each some hundredths of a second, and tells the share that is done: 1 at the
    /// end, and where nothing was begun.
    pub fn look(&mut self, steps: usize) -> f64 {
        let Some(looking) = &mut self.looking else {
            return 1.0;
        };
        match looking.step(steps) {
            Ok(_) => looking.progress(),
            Err(why) => {
                self.unseen = Some(why);
                self.looking = None;
                1.0
            }
        }
    }

    /// Begins the map of the figure that the picture at true scale shows within an outline (x and y of its points in
    /// turn, in millimetres).
    pub fn map_begin(&mut self, outline: &[f64]) {
        self.mapping = None;
        self.figure = PhotoFigure::default();
        let Some(made) = &self.made else { return };
        let points = outline.chunks_exact(2).map(|p| Point::new(p[0], p[1]));
        let mapping = Ring::new(points.collect())
            .map_err(|_| CannotMap::Elsewhere)
            .and_then(|outline| Mapping::new(Rc::clone(made), &outline, Cells::default()));
        match mapping {
            Ok(mapping) => self.mapping = Some(mapping),
            Err(why) => {
                self.figure = PhotoFigure {
                    map: "[]".to_owned(),
                    problem: Some(why.to_string()),
                };
            }
        }
    }

    /// Goes on with the map by so many rows and tells the share that is done: 1 at the end, and where nothing was begun.
    pub fn map(&mut self, rows: usize) -> f64 {
        let Some(mapping) = &mut self.mapping else {
            return 1.0;
        };
        if !mapping.step(rows) {
            return mapping.progress();
        }
        let map = self.mapping.take().and_then(Mapping::finish);
        let rows = map.map(|map| figure::rows(&map)).unwrap_or_default();
        self.figure.map = serde_json::to_string(&rows).unwrap_or_default();
        1.0
    }

    /// The map, once it is done.
    pub fn figure(&self) -> PhotoFigure {
        self.figure.clone()
    }

    /// What was seen so far: proposals, used by nothing until they are accepted.
    pub fn seen(&self) -> PhotoSeen {
        match (&self.looking, self.unseen) {
            (_, Some(why)) => PhotoSeen {
                problem: Some(why.to_string()),
                ..PhotoSeen::default()
            },
            (Some(looking), None) => seeing::told(looking.proposals()),
            (None, None) => PhotoSeen::default(),
        }
    }
}

/// With some extent both ways: marks along a rule have none across.
fn with_extent(measured: Bounds) -> Bounds {
    let wanting = |extent: f64| if extent > 0.0 { 0.0 } else { 1.0 };
    Bounds {
        min: measured.min,
        max: Point::new(
            measured.max.x + wanting(measured.width()),
            measured.max.y + wanting(measured.height()),
        ),
    }
}

/// What was measured and a rim of the ground, as far as the photograph reaches.
fn shown(
    straightened: &Straightened,
    board: Bounds,
    size: [u32; 2],
    (shares, least): ([f64; 2], f64),
) -> Bounds {
    let along = (shares[0] * board.width()).max(least);
    let across = (shares[1] * board.height()).max(least);
    let wished = Bounds {
        min: Point::new(board.min.x - along, board.min.y - across),
        max: Point::new(board.max.x + along, board.max.y + across),
    };
    let [right, bottom] = size.map(f64::from);
    let corners = [(0.0, 0.0), (right, 0.0), (right, bottom), (0.0, bottom)]
        .map(|(x, y)| straightened.view.place_of(Spot::new(x, y)));
    let [Some(a), Some(b), Some(c), Some(d)] = corners else {
        return wished;
    };
    let Some(seen) = Bounds::of_points([a, b, c, d]) else {
        return wished;
    };
    wished.intersection(seen).unwrap_or(wished)
}

fn without(remarks: Vec<PhotoRemark>) -> PhotoFit {
    PhotoFit {
        remarks,
        ..PhotoFit::default()
    }
}

fn in_the_way(text: String, marks: Vec<u32>) -> PhotoRemark {
    PhotoRemark {
        text,
        marks,
        in_the_way: true,
    }
}

fn told(remark: &Remark) -> PhotoRemark {
    PhotoRemark {
        text: remark.to_string(),
        marks: remark.marks().into_iter().map(|m| m as u32).collect(),
        in_the_way: remark.is_in_the_way(),
    }
}

fn told_error(ends: [f64; 2]) -> PhotoError {
    let [left, right] = ends.map(|end| {
        if end < 1000.0 {
            // Never told smaller than it is.
            format!("{:.1} mm", (10.0 * end - 1e-9).ceil() / 10.0)
        } else {
            "more than a metre".to_owned()
        }
    });
    let told = if left == right {
        format!("within {left} at both ends")
    } else {
        format!("within {left} at the left end and {right} at the right end")
    };
    PhotoError { ends, told }
}

fn told_misfit(misfit: f64) -> String {
    format!("what was measured agrees within {misfit:.1} mm")
}
