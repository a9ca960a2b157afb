//! Published instances: read into a job without kerf, allowance or grain.

use heartside_geometry::{Bounds, Point, Pose, Region, Ring, Tolerance};
use heartside_timber::document::{
    Aim, ClearOf, Cuts, EdgeKind, Faces, FixingMaterial, HeartSide, PartCut, Stops, Surface, Use,
    ZoneFace, ZoneKind,
};
use heartside_timber::grain::GrainField;
use heartside_timber::job::{
    Allowances, Board, Form, Goal, GrainRule, Job, Part, SideState, Tool, Warp, Workshop, Zone,
};
use heartside_timber::length::DisplayUnits;
use heartside_timber::plan::Plan;
use heartside_timber::plan::Way;
use heartside_timber::score::{cost_in_order, counted_offcut_areas, strip_length, value_placed};
use serde::Deserialize;

/// An instance that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum InstanceError {
    /// The text is not JSON of the instances' form.
    #[error("line {line}, column {column}: {message}")]
    Form {
        /// Line, from 1.
        line: usize,
        /// Column, from 1.
        column: usize,
        /// What is wrong.
        message: String,
    },
    /// An outline is not a simple polygon.
    #[error("{whose}: {message}")]
    Outline {
        /// "part 3" or "board 1".
        whose: String,
        /// What is wrong with it.
        message: String,
    },
    /// The rule asked for is not among the instance's.
    #[error("no other rule \"{asked}\"; the instance has: {known}")]
    Rule {
        /// The name asked for.
        asked: String,
        /// The names there are.
        known: String,
    },
    /// There is nothing to cut or nothing to cut from.
    #[error("the instance has no {what}")]
    Empty {
        /// "parts" or "boards".
        what: &'static str,
    },
}

/// What is asked of the reader besides the file.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// How boards are cut; straight for rectangles and sawn for the rest where not said.
    pub way: Option<Way>,
    /// Parts keep the way round that the file draws.
    pub no_turns: bool,
    /// An entry of `other_rules`, by its text or a part of it.
    pub rule: Option<String>,
    /// Of hides the largest clear offcut is to stay whole, and what is measured is less by it.
    pub keeps_offcuts: bool,
}

/// A published instance.
#[derive(Debug, Clone)]
pub struct Instance {
    /// Its name.
    pub name: String,
    /// Its kind, as in the file.
    pub kind: String,
    /// How its boards are cut.
    pub way: Way,
    /// The job.
    pub job: Job,
    /// What is measured.
    pub measure: Measure,
    /// The best published value, in the unit of the measure.
    pub best_known: Option<f64>,
    /// The published value is proved to be the best.
    pub proven: bool,
    /// For every part of the job: the corner of its published outline's bounding box, which the part frame starts at.
    pub origins: Vec<Point>,
    /// Area of all parts.
    total_area: f64,
}

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// Per cent of the strip's used part that is covered; more is better.
    Density {
        /// Height of the strip.
        height: f64,
    },
    /// Length of the strip; less is better.
    Length,
    /// Value of the parts placed; more is better.
    Value,
    /// Cost of the boards used; less is better.
    Cost,
    /// Boards used; less is better.
    Boards,
    /// Waste area: boards used less what is left whole at the right of the last and less the parts; less is better.
    Waste,
    /// Area of the parts placed, in per cent of the boards used; more is better.
    UsedArea,
    /// The same, but in per cent of the boards used less the largest clear offcut parted off one of them.
    UsedAreaLessOffcut,
}

impl Measure {
    /// Its name in results.
    pub fn name(self) -> &'static str {
        match self {
            Measure::Density { .. } => "density %",
            Measure::Length => "length",
            Measure::Value => "value",
            Measure::Cost => "cost",
            Measure::Boards => "boards",
            Measure::Waste => "waste area",
            Measure::UsedArea => "used area %",
            Measure::UsedAreaLessOffcut => "used area less offcut %",
        }
    }

    /// Whether a larger value is better.
    pub fn more_is_better(self) -> bool {
        matches!(
            self,
            Measure::Density { .. }
                | Measure::Value
                | Measure::UsedArea
                | Measure::UsedAreaLessOffcut
        )
    }
}

impl Instance {
    /// Reads an instance.
    ///
    /// # Errors
    /// [`InstanceError`] names the line, the outline or the rule.
    pub fn read(text: &str, options: &Options) -> Result<Instance, InstanceError> {
        let file: File = serde_json::from_str(text).map_err(|e| InstanceError::Form {
            line: e.line(),
            column: e.column(),
            message: e.to_string(),
        })?;
        file.instance(options)
    }

    /// The measured value of a plan; [`None`] where it leaves out parts that must all be placed.
    pub fn value(&self, plan: &Plan) -> Option<f64> {
        let all = self.job.piece_count() == plan.placed_count() as u64;
        let used = plan.layouts.iter().filter(|l| !l.placements.is_empty());
        match self.measure {
            Measure::Value => Some(value_placed(&self.job, plan)),
            // Hides cost their area, and parts are worth theirs.
            Measure::UsedArea | Measure::UsedAreaLessOffcut => {
                let mut cost: f64 = used
                    .clone()
                    .filter_map(|l| self.job.board(&l.board.board))
                    .map(|b| b.cost)
                    .sum();
                if self.measure == Measure::UsedAreaLessOffcut {
                    let kept = used
                        .filter_map(|l| Some((self.job.board(&l.board.board)?, l)))
                        .flat_map(|(b, l)| counted_offcut_areas(&self.job, b, l));
                    cost -= kept.fold(0.0, f64::max);
                }
                let value = value_placed(&self.job, plan);
                Some(if cost > 0.0 {
                    100.0 * value / cost
                } else {
                    0.0
                })
            }
            _ if !all => None,
            Measure::Density { height } => {
                Some(100.0 * self.total_area / (height * strip_length(&self.job, plan)))
            }
            Measure::Length => Some(strip_length(&self.job, plan)),
            Measure::Cost => Some(
                used.filter_map(|l| self.job.board(&l.board.board))
                    .map(|b| b.cost)
                    .sum(),
            ),
            Measure::Boards => Some(used.count() as f64),
            // Plates cost their area, so what is used up of them is the cost.
            Measure::Waste => Some(cost_in_order(&self.job, plan) - self.total_area),
        }
    }

    /// Gap to the best published value in per cent; positive is worse.
    pub fn gap_percent(&self, value: f64) -> Option<f64> {
        let best = self.best_known?;
        Some(match self.measure {
            Measure::Density { .. } => 100.0 * (best / value - 1.0),
            Measure::Value | Measure::UsedArea | Measure::UsedAreaLessOffcut => {
                100.0 * (best - value) / best
            }
            _ => 100.0 * (value / best - 1.0),
        })
    }
}

#[derive(Deserialize)]
struct File {
    name: String,
    kind: String,
    #[serde(default)]
    strip_height: Option<f64>,
    #[serde(default)]
    boards: Vec<FileBoard>,
    parts: Vec<FilePart>,
    #[serde(default)]
    best_known: Option<FileBest>,
    #[serde(default)]
    optimum_proven: bool,
    #[serde(default)]
    other_rules: Option<Vec<FileRule>>,
}

#[derive(Deserialize)]
struct FileBoard {
    outline: Vec<[f64; 2]>,
    #[serde(default)]
    defects: Vec<Vec<[f64; 2]>>,
    quantity: Option<u32>,
    #[serde(default)]
    cost: f64,
}

#[derive(Deserialize)]
struct FilePart {
    id: String,
    outline: Vec<[f64; 2]>,
    quantity: Option<u32>,
    rotations_deg: Turns,
    #[serde(default)]
    value: Option<f64>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Turns {
    List(Vec<f64>),
    Word(serde::de::IgnoredAny),
}

#[derive(Deserialize, Clone)]
struct FileBest {
    measure: String,
    value: f64,
}

#[derive(Deserialize)]
struct FileRule {
    rule: String,
    #[serde(default)]
    best_known: Option<FileBest>,
    #[serde(default)]
    optimum_proven: bool,
}

impl File {
    fn instance(self, options: &Options) -> Result<Instance, InstanceError> {
        if self.parts.is_empty() {
            return Err(InstanceError::Empty { what: "parts" });
        }
        let rule = self.rule(options)?;
        let once = rule.is_some_and(|r| r.rule.contains("at most once"));
        let (best, proven) = match rule {
            Some(rule) => (rule.best_known.clone(), rule.optimum_proven),
            None => (self.best_known.clone(), self.optimum_proven),
        };
        // A set of irregular kind may happen to hold rectangles only; its values still are for free layouts.
        let rectangles =
            !self.kind.contains("irregular") && self.parts.iter().all(|p| is_rectangle(&p.outline));
        let way = options
            .way
            .unwrap_or(if rectangles { Way::Straight } else { Way::Sawn });
        let strip = self.strip_height;
        let largest = largest_coordinate(&self);
        let goal = match self.kind.as_str() {
            _ if strip.is_some() => Goal::StripLength,
            "knapsack-guillotine" | "bin-irregular-defects" => Goal::Value,
            "bin-guillotine-defects" => Goal::InOrder,
            _ => Goal::Furnish,
        };
        let boards_area: f64 = self.boards.iter().map(|b| shoelace(&b.outline).abs()).sum();
        let mut parts = Vec::new();
        let mut origins = Vec::new();
        for part in &self.parts {
            let (part, origin) = part.part(way, once, goal, boards_area, options.no_turns)?;
            parts.push(part);
            origins.push(origin);
        }
        let pieces: u64 = parts.iter().map(|p| u64::from(p.count)).sum();
        let boards = match strip {
            Some(height) => vec![strip_board(height, &parts, way)?],
            None => {
                let mut boards = Vec::new();
                for (index, board) in self.boards.iter().enumerate() {
                    boards.push(board.board(index, way, self.kind.as_str(), pieces)?);
                }
                boards
            }
        };
        if boards.is_empty() {
            return Err(InstanceError::Empty { what: "boards" });
        }
        let measure = match (strip, self.kind.as_str()) {
            (Some(height), _) if best.as_ref().is_none_or(|b| b.measure == "density %") => {
                Measure::Density { height }
            }
            (Some(_), _) => Measure::Length,
            (None, "knapsack-guillotine") => Measure::Value,
            (None, "bin-rect") => Measure::Cost,
            (None, "bin-irregular") => Measure::Boards,
            (None, "bin-guillotine-defects") => Measure::Waste,
            (None, "bin-irregular-defects") if options.keeps_offcuts => Measure::UsedAreaLessOffcut,
            (None, "bin-irregular-defects") => Measure::UsedArea,
            (None, _) => Measure::Cost,
        };
        let total_area = parts
            .iter()
            .map(|p| f64::from(p.count) * p.outline.area())
            .sum();
        let mut job = job(self.name.clone(), goal, boards, parts, largest);
        if measure == Measure::UsedAreaLessOffcut {
            keep_offcuts(&mut job, largest);
        }
        Ok(Instance {
            job,
            name: self.name,
            kind: self.kind,
            way,
            measure,
            best_known: best.map(|b| b.value),
            proven,
            origins,
            total_area,
        })
    }

    fn rule(&self, options: &Options) -> Result<Option<&FileRule>, InstanceError> {
        let Some(asked) = &options.rule else {
            return Ok(None);
        };
        let rules = self.other_rules.as_deref().unwrap_or_default();
        rules
            .iter()
            .find(|r| r.rule.contains(asked.as_str()))
            .map(Some)
            .ok_or_else(|| InstanceError::Rule {
                asked: asked.clone(),
                known: if rules.is_empty() {
                    "none".into()
                } else {
                    rules
                        .iter()
                        .map(|r| format!("\"{}\"", r.rule))
                        .collect::<Vec<_>>()
                        .join(", ")
                },
            })
    }
}

impl FilePart {
    fn part(
        &self,
        way: Way,
        once: bool,
        goal: Goal,
        boards_area: f64,
        no_turns: bool,
    ) -> Result<(Part, Point), InstanceError> {
        let whose = || format!("part {}", self.id);
        let region = region(&self.outline, &[], whose)?;
        let origin = region.bounds().min;
        let back = Pose {
            x: -origin.x,
            y: -origin.y,
            turn: 0.0,
            turned_over: false,
        };
        let outline = back.apply_region(&region);
        let area = outline.area();
        let limit = (boards_area / area).floor().clamp(1.0, 1.0e6) as u32;
        let count = if once {
            1
        } else {
            self.quantity.unwrap_or(limit)
        };
        let grain = match &self.rotations_deg {
            _ if no_turns => GrainRule::Turns(vec![0.0]),
            Turns::List(turns) => GrainRule::Turns(turns.clone()),
            Turns::Word(_) => GrainRule::Any,
        };
        let rectangle = is_rectangle(&self.outline);
        let part = Part {
            id: self.id.clone(),
            name: format!("Part {}", self.id),
            count,
            species: Vec::new(),
            form: if rectangle {
                Form::Rectangle
            } else {
                Form::Free
            },
            outline,
            tenon: (0.0, 0.0),
            thickness: 1.0,
            grain,
            faces: Faces::Hidden,
            may_turn_over: false,
            allowances: Allowances {
                end: 0.0,
                edge: 0.0,
                sawn: 0.0,
                planing: 0.0,
                clean_up: 0.0,
            },
            fixing_ok: false,
            cut: if way == Way::Straight && rectangle {
                PartCut::Straight
            } else {
                PartCut::Sawn
            },
            priority: 1,
            value: if goal == Goal::Value {
                self.value.unwrap_or(area)
            } else {
                0.0
            },
            in_hand: Vec::new(),
            stave: None,
            composed: None,
        };
        Ok((part, origin))
    }
}

impl FileBoard {
    fn board(
        &self,
        index: usize,
        way: Way,
        kind: &str,
        pieces: u64,
    ) -> Result<Board, InstanceError> {
        let whose = || format!("board {}", index + 1);
        let outline = region(&self.outline, &[], whose)?;
        let mut zones = Vec::new();
        for defect in &self.defects {
            let shape = region(defect, &[], || format!("a defect of board {}", index + 1))?;
            // No part touches a defect's inside; on glass no cut crosses it either.
            let fixed = if kind == "bin-guillotine-defects" {
                vec![ZoneKind::Fixing]
            } else {
                Vec::new()
            };
            for kind in [ZoneKind::Defect].into_iter().chain(fixed) {
                zones.push(zone(zones.len(), kind, shape.clone()));
            }
        }
        let count = self
            .quantity
            .unwrap_or(u32::try_from(pieces).unwrap_or(u32::MAX))
            .max(1);
        let cost = match kind {
            "bin-irregular" => 1.0,
            // Of two ways to place the same parts, the one that takes less of the hides is better.
            "bin-irregular-defects" => outline.area(),
            _ => self.cost,
        };
        Ok(plain_board(
            format!("{}", index + 1),
            outline,
            zones,
            count,
            cost,
            way,
        ))
    }
}

fn zone(index: usize, kind: ZoneKind, shape: Region) -> Zone {
    Zone {
        index,
        kind,
        shape,
        face: ZoneFace::Through,
        depth: f64::INFINITY,
        sound: false,
        margin: 0.0,
        clear_of: ClearOf::Blank,
        stops: Stops::All,
        material: FixingMaterial::Wood,
        buried: None,
        drawn_before_planing: false,
        weight: 0.0,
        note: String::new(),
    }
}

/// A strip long enough for all parts one after the other.
fn strip_board(height: f64, parts: &[Part], way: Way) -> Result<Board, InstanceError> {
    let length: f64 = parts
        .iter()
        .map(|p| f64::from(p.count) * p.length().max(p.width()))
        .sum();
    let bounds = Bounds {
        min: Point { x: 0.0, y: 0.0 },
        max: Point {
            x: length,
            y: height,
        },
    };
    let outline = Region::rectangle(bounds).ok_or_else(|| InstanceError::Outline {
        whose: "the strip".into(),
        message: "it has no height".into(),
    })?;
    Ok(plain_board(
        "1".into(),
        outline,
        Vec::new(),
        1,
        length * height,
        way,
    ))
}

fn plain_board(
    id: String,
    outline: Region,
    zones: Vec<Zone>,
    count: u32,
    cost: f64,
    way: Way,
) -> Board {
    let sides = outline.outer().edges().map(|(a, b)| SideState {
        kind: EdgeKind::Straight,
        is_end: (b.y - a.y).abs() > (b.x - a.x).abs(),
    });
    Board {
        name: format!("Board {id}"),
        id,
        species: String::new(),
        count,
        usage: Use::Freely,
        sides: sides.collect(),
        outline,
        thickness: 1.0,
        surface: Surface::Planed,
        grain: GrainField::straight(0.0),
        heart_side: HeartSide::Unknown,
        rings: Default::default(),
        cost_is_estimate: false,
        zones,
        warp: Warp::Flat,
        cost,
        density: 0.0,
        cuts: match way {
            Way::Straight => Cuts::Straight,
            Way::Sawn => Cuts::Sawn,
        },
        gone: Vec::new(),
        from: None,
    }
}

fn job(title: String, goal: Goal, boards: Vec<Board>, parts: Vec<Part>, largest: f64) -> Job {
    // The literature's saw takes nothing, reaches everywhere and may shave an edge.
    let saw = Tool {
        name: "saw".into(),
        rips: true,
        crosscuts: true,
        saws: true,
        kerf: 0.0,
        leaves_true_edge: true,
        can_skim: true,
        ..Tool::default()
    };
    Job {
        title,
        units: DisplayUnits::default(),
        currency: String::new(),
        cost_is_volume: false,
        offcut_value: 0.0,
        goal,
        order: vec![Aim::Timber, Aim::Labour, Aim::Offcuts],
        tolerance: Tolerance::instance(largest),
        workshop: Workshop {
            tools: vec![saw],
            sawn_kerf: 0.0,
            trim_end: 0.0,
            trim_edge: 0.0,
            min_offcut: (0.0, 0.0),
            max_lift_kg: f64::INFINITY,
        },
        boards,
        parts,
        panels: Vec::new(),
        matches: Vec::new(),
        pins: Vec::new(),
        dimensions: Vec::new(),
        done: Vec::new(),
        spent: 0.0,
        earlier: Vec::new(),
        photos: Vec::new(),
        figure: Vec::new(),
        wishes: Vec::new(),
        figure_worth: 0.0,
        judge: None,
        revision: 0,
    }
}

/// Of hides no offcut is kept that is shorter or narrower than this share of the largest coordinate.
const LEAST_OFFCUT: f64 = 0.02;

/// Makes a job of values one that asks for all parts, then for little timber, then for offcuts.
///
/// Offcuts are kept of furniture only; parts keep their values for the measure. A hide as large
/// as this is handled whole: nothing but offcuts is parted off it, and no slivers.
fn keep_offcuts(job: &mut Job, largest: f64) {
    job.workshop.min_offcut = (LEAST_OFFCUT * largest, LEAST_OFFCUT * largest);
    job.goal = Goal::Furnish;
    job.order = vec![Aim::Timber, Aim::Offcuts, Aim::Labour];
    // A square millimetre of offcut is worth what one of hide costs: what is measured is what is looked for.
    let thickness = job.boards.first().map_or(1.0, |board| board.thickness);
    job.offcut_value = 1e9 / thickness;
    for tool in &mut job.workshop.tools {
        tool.max_length = 4.0 * largest;
    }
}

fn region(
    points: &[[f64; 2]],
    holes: &[Ring],
    whose: impl Fn() -> String,
) -> Result<Region, InstanceError> {
    let points = points.iter().map(|&[x, y]| Point { x, y }).collect();
    let fault = |message: String| InstanceError::Outline {
        whose: whose(),
        message,
    };
    let ring = Ring::new(points).map_err(|e| fault(e.to_string()))?;
    Region::new(ring, holes.to_vec()).map_err(|e| fault(e.to_string()))
}

fn shoelace(points: &[[f64; 2]]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
        .sum::<f64>()
        / 2.0
}

/// Four corners with sides along the axes.
fn is_rectangle(points: &[[f64; 2]]) -> bool {
    points.len() == 4
        && points
            .iter()
            .zip(points.iter().cycle().skip(1))
            .all(|(a, b)| a[0] == b[0] || a[1] == b[1])
        && shoelace(points) != 0.0
}

fn largest_coordinate(file: &File) -> f64 {
    let outlines = file
        .parts
        .iter()
        .map(|p| &p.outline)
        .chain(file.boards.iter().map(|b| &b.outline));
    let largest = outlines
        .flatten()
        .flatten()
        .fold(0.0f64, |most, v| most.max(v.abs()));
    largest.max(file.strip_height.unwrap_or(0.0)).max(1.0)
}
