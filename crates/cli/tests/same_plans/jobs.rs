//! Jobs whose plans are recorded: the fixtures, thirty generated ones and twelve published instances.

use std::path::PathBuf;

use heartside_nest::WayWanted;
use heartside_testkit::{
    CutApart, JobSize, Outfit, SawnCutApart, cut_apart, fit_out, published, sawn_apart,
    sawn_cut_apart, workshop_job,
};
use heartside_timber::document::{
    Board, BoardOutline, Document, EdgeKind, Length, Part, PartCut, Shape,
};
use heartside_timber::job::Goal;
use heartside_trials::instance::{Instance, Options};

/// A job in its file's form, with the way it is cut and the steps it is searched for.
pub(crate) struct Recorded {
    /// Names it in the record.
    pub(crate) name: String,
    /// How boards are cut.
    pub(crate) way: WayWanted,
    /// Steps.
    pub(crate) steps: u64,
    /// The job.
    pub(crate) document: Document,
}

/// The three fixtures, by straight cuts and by line.
pub(crate) fn fixtures() -> Vec<Recorded> {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../../fixtures"));
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .expect("the fixtures' folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|p| p.to_string_lossy().ends_with(".heartside.json"))
        .collect();
    files.sort();
    let mut list = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a readable fixture");
        let document = Document::open(&text).expect("a sound fixture").document;
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        let name = name.trim_end_matches(".heartside.json").to_owned();
        for (way, steps) in [
            (WayWanted::AsJob, 1500),
            (WayWanted::Straight, 1000),
            (WayWanted::Sawn, 400),
        ] {
            list.push(Recorded {
                name: name.clone(),
                way,
                steps,
                document: document.clone(),
            });
        }
    }
    list
}

/// Thirty generated jobs, half of them for each engine, every fourth in a workshop of odd tools.
pub(crate) fn generated() -> Vec<Recorded> {
    (0..30u32)
        .map(|seed| {
            let job = |boards, pieces, sawn| {
                workshop_job(
                    seed,
                    JobSize {
                        boards,
                        pieces,
                        sawn,
                    },
                )
            };
            let mut document = match seed % 6 {
                0 => job(3, 12, 0),
                1 | 3 => job(2, 8, 100),
                2 => job(4, 20, 30),
                4 => cut_apart(seed, CutApart::default()),
                _ if seed % 12 == 5 => sawn_apart(seed, 2, 4),
                _ => sawn_cut_apart(
                    seed,
                    SawnCutApart {
                        boards: 2,
                        parts: 10,
                        tolerance: 5.0,
                    },
                ),
            };
            document.plan = None;
            if seed % 4 == 0 {
                fit_out(&mut document, seed, Outfit::Sensible);
            }
            let (way, steps) = if seed % 2 == 0 {
                (WayWanted::Straight, 1000)
            } else {
                (WayWanted::Sawn, 300)
            };
            Recorded {
                name: format!("generated {seed}"),
                way,
                steps,
                document,
            }
        })
        .collect()
}

/// Twelve published instances with the steps each is searched for.
pub(crate) fn instances() -> Vec<(Instance, u64)> {
    let names = [
        ("bin-irregular/t1_ta001", 300),
        ("bin-irregular/t2_tb001c10", 150),
        ("bin-rect/vsbpp_class_1_1", 1000),
        ("bin-rect/vsbpp_mc_1_50_100_1", 1000),
        ("defects/glass_a1", 1000),
        ("defects/glass_a9", 1000),
        ("irregular-defects/hide_test5", 200),
        ("knapsack-guillotine/cgcut1", 1000),
        ("knapsack-guillotine/gcut3", 1000),
        ("strip-irregular/jakobs1", 500),
        ("strip-irregular/fu", 500),
        ("strip-rect/t1a", 1000),
    ];
    let read = |(name, steps)| Some((published(name, &Options::default())?, steps));
    names.into_iter().filter_map(read).collect()
}

/// A published instance as a job file: its boards and parts, to be furnished with and not for value or
/// length, so that the page can open it. Boards are at least as large as ones that are cut.
pub(crate) fn as_document(instance: &Instance) -> Document {
    let widths = instance.job.boards.iter();
    let widest = widths.map(|b| b.outline.bounds().height());
    let scale = (1000.0 / widest.fold(1.0, f64::max)).max(1.0);
    let mm = |x: f64| Length::Mm(x * scale);
    let is_strip = instance.job.goal == Goal::StripLength;
    let corners = |region: &heartside_geometry::Region| -> Vec<[Length; 2]> {
        let points = region.outer().points().iter();
        points.map(|p| [mm(p.x), mm(p.y)]).collect()
    };
    let mut document = Document {
        parts: Vec::new(),
        boards: Vec::new(),
        ..heartside_testkit::workshop_job(
            0,
            JobSize {
                boards: 1,
                pieces: 1,
                sawn: 0,
            },
        )
    };
    document.pins.clear();
    for board in &instance.job.boards {
        // A strip is as long as all its parts; as a board it ends somewhere.
        let mut points = corners(&board.outline);
        for [x, _] in &mut points {
            if let Length::Mm(x) = x {
                *x = x.min(if is_strip { 5_000.0 } else { *x });
            }
        }
        document.boards.push(Board {
            id: board.id.clone(),
            count: Some(f64::from(board.count)),
            thickness: Some(Length::Mm(30.0)),
            outline: Some(BoardOutline::Polygon {
                sides: vec![EdgeKind::Straight; points.len()],
                points,
                holes: Vec::new(),
                hole_sides: Vec::new(),
            }),
            ..Board::default()
        });
    }
    for part in &instance.job.parts {
        document.parts.push(Part {
            id: part.id.clone(),
            count: Some(f64::from(part.count)),
            thickness: Some(Length::Mm(20.0)),
            shape: Some(Shape::Polygon {
                points: corners(&part.outline),
                holes: Vec::new(),
            }),
            cut: match part.cut {
                heartside_timber::job::PartCut::Straight => PartCut::Straight,
                heartside_timber::job::PartCut::Sawn => PartCut::Sawn,
            },
            ..Part::default()
        });
    }
    document
}
