//! What a plan leaves as: kinds, names of files, what is told, and what is refused.

use crate::run;

use std::collections::BTreeSet;
use std::path::Path;

use run::{fixture, folder, heartside, text, text_of};
use serde_json::{Value, json};

const HOSTILE: [&str; 8] = [
    "../../../etc/passwd",
    "=cmd|' /C calc'!A0",
    "Leg, \"left\"\r\n  0\r\nEOF",
    "</svg><script>x</script>",
    "\u{202e}gnp.\u{1f600}",
    "CON",
    "con",
    "",
];

/// A job with a plan by hand: names as they come, each part on the board.
fn hostile_job(title: &str) -> Value {
    let long = "ab".repeat(150);
    let names: Vec<&str> = HOSTILE.into_iter().chain([long.as_str()]).collect();
    let parts = names.iter().enumerate().map(|(k, name)| {
        json!({"id": format!("p{k}"), "name": name, "thickness": 20,
            "shape": {"form": "rectangle", "length": 300, "width": 80}})
    });
    let placed = (0..names.len()).map(|k| {
        json!({"part": format!("p{k}"), "copy": 1, "x": 20 + 330 * (k % 5), "y": 20 + 120 * (k / 5)})
    });
    json!({
        "format": "heartside-job", "version": 2, "title": title,
        "boards": [{"id": "A=1", "name": "@SUM(1;2)", "species": "+oak", "thickness": 27,
            "outline": {"form": "tape", "length": 1800,
                "stations": [{"at": 0, "left": 280, "right": 0}]}}],
        "parts": parts.collect::<Vec<Value>>(),
        "plan": {"layouts": [{"board": "A=1", "copy": 1, "way": "straight",
            "placements": placed.collect::<Vec<Value>>()}], "unplaced": []},
    })
}

fn written(folder: &Path) -> BTreeSet<String> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    let names = entries.map(|e| e.expect("an entry").file_name().into_string());
    names.map(|name| name.expect("plain letters")).collect()
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).expect("written")
}

#[test]
fn a_plan_leaves_in_every_kind_and_only_in_those_asked_for() {
    let out = folder("sheets-stool");
    let path = |name: &str| out.join(name).to_str().expect("plain").to_owned();
    let job = fixture("step-stool.heartside.json");
    let none = heartside(&["sheets", &job, "-o", &path("none")]);
    assert_eq!(none.status.code(), Some(2));
    assert!(text(&none.stderr).contains("there is no plan in this job"));
    assert!(!out.join("none").exists());
    heartside(&["set-out", &job, "-o", &path("plan"), "--steps", "400"]);
    let plan = path("plan/plan.heartside.json");

    let all = heartside(&["sheets", &plan, "-o", &path("all")]);
    assert_eq!(all.status.code(), Some(0), "{}", text_of(&all));
    let names = written(&out.join("all"));
    for expected in [
        "board-A.dxf",
        "list-cuts.csv",
        "board-A.svg",
        "all-boards.svg",
        "sheets.pdf",
        "labels.pdf",
    ] {
        assert!(
            names.contains(expected),
            "{expected} is not among {names:?}"
        );
    }
    assert!(names.iter().any(|n| n.starts_with("sheet-")));
    let told = text(&all.stdout);
    assert!(
        told.contains("list-boards.csv") && told.contains("5 of 5 parts placed, checked"),
        "{told}"
    );

    let some = [
        "sheets",
        &plan,
        "-o",
        &path("some"),
        "--only",
        "csv",
        "pages",
    ];
    let some = heartside(&[&some[..], &["--paper", "a3", "--separator", "semicolon"]].concat());
    assert_eq!(some.status.code(), Some(0), "{}", text_of(&some));
    let names = written(&out.join("some"));
    assert!(
        names
            .iter()
            .all(|n| n.starts_with("list-") || n.starts_with("sheet-")),
        "{names:?}"
    );
    let page = names
        .iter()
        .find(|n| n.starts_with("sheet-"))
        .expect("a page");
    assert!(read(&out.join("some"), page).contains("width=\"420mm\" height=\"297mm\""));
    let (commas, semicolons) = (
        read(&out.join("all"), "list-parts.csv"),
        read(&out.join("some"), "list-parts.csv"),
    );
    assert!(
        commas.starts_with("\u{feff}part,copy,board,finished length (mm),"),
        "{commas}"
    );
    assert!(semicolons.starts_with("\u{feff}part;copy;board;finished length (mm);"));
    assert_eq!(commas.lines().count(), semicolons.lines().count());

    // A PDF file of an earlier plan that had templates is told, one of the maker's own is not.
    for theirs in ["templates.pdf", "my sheets.pdf"] {
        std::fs::write(out.join("all").join(theirs), "mine").expect("written");
    }
    let again = text(&heartside(&["sheets", &plan, "-o", &path("all"), "--only", "pdf"]).stdout);
    assert!(again.contains("All that is printed (PDF, A4): 2 files, sheets.pdf, labels.pdf"));
    assert_eq!(again.matches("was not written now").count(), 1, "{again}");
    assert!(
        again.contains("templates.pdf was not written now"),
        "{again}"
    );

    // What lies there of another plan is told and left.
    std::fs::write(out.join("all/board-Z.dxf"), "mine").expect("written");
    std::fs::write(out.join("all/notes.txt"), "mine").expect("written");
    let again = text(&heartside(&["sheets", &plan, "-o", &path("all"), "--only", "dxf"]).stdout);
    assert_eq!(again.matches("was not written now").count(), 1, "{again}");
    assert!(
        again.contains("board-Z.dxf was not written now") && out.join("all/board-Z.dxf").exists()
    );
}

#[test]
fn hostile_names_stay_words() {
    let out = folder("sheets-hostile");
    let job = out.join("job.heartside.json");
    std::fs::write(&job, hostile_job("\u{202e}</svg>=1+1").to_string()).expect("written");
    let inner = out.join("a/b");
    let run = heartside(&[
        "sheets",
        job.to_str().expect("plain"),
        "-o",
        inner.to_str().expect("plain"),
    ]);
    // No cuts free these parts, so the plan is no good one; it is written and told.
    assert_eq!(run.status.code(), Some(1), "{}", text_of(&run));
    assert!(
        text(&run.stdout).contains("Look at it before you cut"),
        "{}",
        text_of(&run)
    );
    assert_eq!(
        written(&out),
        BTreeSet::from(["a".to_owned(), "job.heartside.json".to_owned()])
    );
    let names = written(&inner);
    let safe = |n: &String| {
        n.chars()
            .all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c))
    };
    assert!(
        names
            .iter()
            .all(|n| safe(n) && n.len() < 80 && !n.starts_with('.')),
        "{names:?}"
    );
    // `CON` and `con` are one name to some systems.
    let parts: BTreeSet<String> = names
        .iter()
        .filter(|n| n.starts_with("part-"))
        .map(|n| n.to_lowercase())
        .collect();
    assert_eq!(parts.len(), HOSTILE.len() + 1, "{names:?}");
    for name in &names {
        if name.ends_with(".pdf") {
            let bytes = std::fs::read(inner.join(name)).expect("written");
            assert!(bytes.starts_with(b"%PDF-") && bytes.trim_ascii_end().ends_with(b"%%EOF"));
            continue;
        }
        let written = read(&inner, name);
        match name.rsplit('.').next() {
            Some("dxf") => {
                assert!(written.is_ascii(), "{name}");
                assert_eq!(written.lines().filter(|l| *l == "EOF").count(), 1, "{name}");
            }
            Some("svg") => assert!(!written.contains("<script"), "{name}"),
            _ => {
                for line in written.lines() {
                    let starts = |cell: &str| {
                        cell.trim_start_matches(['"', '\u{feff}'])
                            .starts_with(['=', '@'])
                    };
                    assert!(!line.split(',').any(starts), "{name}: {line}");
                }
            }
        }
    }
}

/// The desk has tapered legs, a bracket and boards sawn by line.
#[test]
fn labels_and_templates_are_as_they_were_asked_for_or_nothing_is_written() {
    let out = folder("sheets-on-paper");
    let path = |name: &str| out.join(name).to_str().expect("plain").to_owned();
    let job = fixture("writing-desk.heartside.json");
    heartside(&["set-out", &job, "-o", &path("plan"), "--steps", "400"]);
    let plan = path("plan/plan.heartside.json");
    let sheets = |to: &str, more: &[&str]| {
        let to = path(to);
        let run = ["sheets", &plan, "-o", &to, "--only", "labels", "templates"];
        heartside(&[&run[..], more].concat())
    };
    let run = sheets("all", &["--date", "30 November 2026"]);
    assert!(run.status.code() < Some(2), "{}", text_of(&run));
    let names = written(&out.join("all"));
    let is_known = |n: &String| n.starts_with("label-") || n.starts_with("template-");
    assert!(names.iter().all(is_known), "{names:?}");
    for name in [
        "label-sheet-1.svg",
        "template-part-leg-A1.svg",
        "template-part-leg-A3.svg",
    ] {
        assert!(names.contains(name), "{name} is not among {names:?}");
    }
    assert!(read(&out.join("all"), "template-part-leg-A1.svg").contains("30 November 2026"));
    // Of thirty labels the sheet begins with the last.
    let grid = ["--label-grid", "10", "3", "60", "26", "12", "15", "3"];
    let begun = sheets(
        "begun",
        &[&grid[..], &["--first-label", "30", "--overlap", "15"]].concat(),
    );
    assert!(begun.status.code() < Some(2), "{}", text_of(&begun));
    let first = read(&out.join("begun"), "label-sheet-1.svg");
    let second = read(&out.join("begun"), "label-sheet-2.svg");
    assert!(first.matches("<text").count() * 5 < second.matches("<text").count());
    for (wrong, why) in [
        (
            ["--label-grid", "10", "3", "90", "26", "12", "15"].as_slice(),
            "label",
        ),
        (
            ["--label-grid", "ten", "3", "60", "26", "12", "15"].as_slice(),
            "rows and columns",
        ),
        (["--overlap", "a bit"].as_slice(), "--overlap"),
        (["--overlap", "400"].as_slice(), "overlap"),
        (["--first-label", "99"].as_slice(), "label"),
    ] {
        let run = sheets("refused", wrong);
        assert_eq!(run.status.code(), Some(2), "{wrong:?}: {}", text_of(&run));
        assert!(text(&run.stderr).contains(why), "{}", text(&run.stderr));
        assert!(!out.join("refused").exists(), "{wrong:?}");
    }
}
