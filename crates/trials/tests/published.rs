//! Every published instance is read; where the folder is missing the test says so.

use std::path::{Path, PathBuf};

use heartside_timber::document::BoardCopy;
use heartside_timber::job::Goal;
use heartside_timber::plan::{
    CutNode, CutTree, Direction, Frame, Layout, Placed, Placement, Plan, Way,
};
use heartside_trials::instance::{Instance, Measure, Options};

#[allow(clippy::print_stdout)] // A skipped test says so.
fn folder() -> Option<PathBuf> {
    let folder = heartside_testkit::instances_folder();
    if folder.is_dir() {
        return Some(folder);
    }
    assert!(
        std::env::var_os("CI").is_none(),
        "published instances are missing: {}",
        folder.display()
    );
    println!("skipped: no published instances at {}", folder.display());
    None
}

fn files(family: &str) -> Vec<PathBuf> {
    let Some(folder) = folder() else {
        return Vec::new();
    };
    let mut files: Vec<_> = std::fs::read_dir(folder.join(family))
        .expect("the family's folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "json"))
        .collect();
    files.sort();
    files
}

fn read(path: &Path, options: &Options) -> Instance {
    let text = std::fs::read_to_string(path).expect("a readable file");
    Instance::read(&text, options).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

#[test]
fn every_published_instance_is_read() {
    for (family, count) in [
        ("strip-irregular", 30),
        ("strip-rect", 62),
        ("knapsack-guillotine", 14),
        ("bin-rect", 6),
        ("bin-irregular", 26),
        ("defects", 6),
        ("irregular-defects", 4),
    ] {
        let files = files(family);
        if !files.is_empty() {
            assert_eq!(files.len(), count, "{family}");
        }
        for file in files {
            let instance = read(&file, &Options::default());
            assert!(!instance.job.parts.is_empty());
            let rectangles = matches!(
                family,
                "strip-rect" | "knapsack-guillotine" | "bin-rect" | "defects"
            );
            assert_eq!(
                instance.way == Way::Straight,
                rectangles,
                "{}",
                instance.name
            );
        }
    }
}

#[test]
fn a_rule_changes_counts_and_the_value_to_beat() {
    for file in files("knapsack-guillotine")
        .into_iter()
        .filter(|f| f.ends_with("gcut1.json"))
    {
        let plain = read(&file, &Options::default());
        assert_eq!(
            (plain.best_known, plain.measure),
            (Some(56460.0), Measure::Value)
        );
        assert_eq!(plain.job.goal, Goal::Value);
        let once = read(
            &file,
            &Options {
                rule: Some("at most once".into()),
                ..Options::default()
            },
        );
        assert_eq!(once.best_known, Some(48368.0));
        assert!(once.job.parts.iter().all(|p| p.count == 1));
        let text = std::fs::read_to_string(&file).expect("a readable file");
        let asked = Options {
            rule: Some("by moonlight".into()),
            ..Options::default()
        };
        assert!(Instance::read(&text, &asked).is_err());
    }
}

#[test]
fn what_is_not_an_instance_is_refused_with_its_place() {
    let error =
        Instance::read("{\n \"name\": 3", &Options::default()).expect_err("not an instance");
    assert!(error.to_string().starts_with("line 2"), "{error}");
    let crossed = r#"{"name":"x","kind":"strip-irregular","strip_height":10,
        "parts":[{"id":"a","outline":[[0,0],[4,4],[4,0],[0,4]],"quantity":1,"rotations_deg":[0]}]}"#;
    let error = Instance::read(crossed, &Options::default()).expect_err("a crossed outline");
    assert!(error.to_string().starts_with("part a"), "{error}");
}

#[test]
fn an_offcut_parted_off_a_hide_is_not_used_where_that_is_asked() {
    // A hide of 100 x 100, its left half a part; a zone at the right leaves 40 of the other half clear.
    let hide = r#"{"name":"x","kind":"bin-irregular-defects",
        "boards":[{"outline":[[0,0],[100,0],[100,100],[0,100]],"quantity":1,
                   "defects":[[[90,40],[95,40],[95,60],[90,60]]]}],
        "parts":[{"id":"a","outline":[[0,0],[50,0],[50,100],[0,100]],"quantity":1,"rotations_deg":"any"}]}"#;
    let read = |keeps_offcuts| {
        let options = Options {
            keeps_offcuts,
            ..Options::default()
        };
        Instance::read(hide, &options).expect("the instance is sound")
    };
    let (plain, kept) = (read(false), read(true));
    assert!(!plain.job.asks_for_offcuts());
    assert!(kept.job.asks_for_offcuts());
    let nodes = vec![
        CutNode::Cut {
            angle: None,
            direction: Direction::Crosscut,
            tool: "saw".into(),
            at: 50.0,
            kerf: 0.0,
            low: 1,
            high: 2,
        },
        CutNode::Region {
            placements: vec![0],
        },
        CutNode::Offcut,
    ];
    let layout = Layout {
        board: BoardCopy {
            board: kept.job.boards[0].id.clone(),
            copy: 1,
        },
        way: Way::Sawn,
        frame: Frame::default(),
        placements: vec![Placement {
            part: "a".into(),
            copy: 1,
            at: Placed::default(),
            ..Placement::default()
        }],
        cuts: Some(CutTree { nodes }),
    };
    let plan = Plan {
        layouts: vec![layout],
        ..Plan::default()
    };
    assert_eq!(plain.value(&plan), Some(50.0));
    assert_eq!(kept.measure, Measure::UsedAreaLessOffcut);
    let share = kept.value(&plan).expect("a value");
    assert!((share - 100.0 * 5000.0 / 6000.0).abs() < 1e-9, "{share}");
}
