//! What the command says of a job and draws of it is so: no flaw elsewhere than measured,
//! nothing left out unsaid, no number that means something else.

use crate::run;

use heartside_app::protocol::{PageName, View};
use heartside_app::session::Session;
use run::{plan_in, set_out, text_of};
use serde_json::{Value, json};

/// One board of 1200 x 200 by its corners, which begin to count at a place of their own, and a
/// part that nearly fills half of it; a knot 600 from the start end.
fn knotty(x: f64, y: f64) -> Value {
    json!({
        "format": "heartside-job", "version": 1, "title": "Knot",
        "boards": [{"id": "A", "thickness": 27,
            "outline": {"form": "polygon",
                "points": [[x, y], [x + 1200.0, y], [x + 1200.0, y + 200.0], [x, y + 200.0]],
                "sides": ["straight", "straight", "straight", "straight"]},
            "zones": [{"note": "knot", "margin": 5,
                "shape": {"form": "spot", "along": 600, "across": 100, "length": 60, "width": 60}}]}],
        "parts": [{"id": "p", "name": "Part", "thickness": 20,
            "shape": {"form": "rectangle", "length": 500, "width": 180}}]
    })
}

#[test]
fn no_part_lies_over_a_knot_of_a_board_whose_corners_begin_elsewhere() {
    let (run, folder) = set_out("knotty", &knotty(300.0, 0.0));
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
    let placement = &plan_in(&folder)["layouts"][0]["placements"][0];
    let x = placement["x"].as_f64().expect("a place");
    let turned = placement["turn"].as_f64().unwrap_or(0.0).abs() > 90.0;
    let (from, to) = if turned {
        (x - 500.0, x)
    } else {
        (x, x + 500.0)
    };
    // The knot with its margin lies from 865 to 935.
    assert!(
        to < 865.0 || from > 935.0,
        "the part lies from {from} to {to}"
    );
}

#[test]
fn where_corners_begin_to_count_changes_nothing_in_the_drawing() {
    let drawing = |name: &str, x: f64, y: f64| {
        let (run, folder) = set_out(name, &knotty(x, y));
        assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
        let svg = std::fs::read_to_string(folder.join("board-A.svg")).expect("a drawing");
        // Hatches and grain begin where they like; everything else stays.
        let told = svg.split('<').filter(|element| {
            !["hs-grain", "hs-faint", "hs-zone\"", "!-- heartside"]
                .iter()
                .any(|class| element.contains(class))
        });
        told.map(str::to_owned).collect::<Vec<String>>()
    };
    let plain = drawing("knot-at-0", 0.0, 0.0);
    assert!(plain.iter().any(|element| element.ends_with(">knot")));
    assert!(plain.len() > 60);
    assert_eq!(drawing("knot-at-300", 300.0, 0.0), plain);
    assert_eq!(drawing("knot-at-minus-64", -64.0, 512.0), plain);
}

/// A small job that can be done: two boards with prices and a few parts.
fn stool() -> Value {
    let text = std::fs::read_to_string(run::fixture("step-stool.heartside.json")).expect("a job");
    serde_json::from_str(&text).expect("JSON")
}

fn row<'a>(summary: &'a str, what: &str) -> &'a str {
    let line = summary.lines().find(|l| l.trim().starts_with(what));
    line.unwrap_or_else(|| panic!("no {what:?} in:\n{summary}"))
        .trim()
        .trim_start_matches(what)
        .trim()
}

#[test]
fn a_part_with_a_problem_is_not_placed_and_counts() {
    let mut job = stool();
    job["parts"][0]["count"] = json!(2.5);
    let (run, folder) = set_out("left-out", &job);
    let told = text_of(&run);
    assert_eq!(run.status.code(), Some(1), "{told}");
    assert_eq!(row(&told, "Parts placed"), "3 of at least 4");
    assert!(
        told.contains("1 x Tread: the part itself has a problem to be mended first\n"),
        "{told}"
    );
    assert!(told.contains("part Tread is left out: the number of such parts must be"));
    assert!(told.contains("what is placed is checked against every rule; 1 part is not placed"));
    let plan = plan_in(&folder);
    assert_eq!(plan["unplaced"][0]["part"], "tread");
    assert_eq!(plan["unplaced"][0]["reason"], "part_not_sound");
    let drawing = std::fs::read_to_string(folder.join("overview.svg")).expect("a drawing");
    assert!(drawing.contains("1 part is not placed"));
    // The other command says the same of it.
    let path = folder.join("plan.heartside.json");
    let checked = run::heartside(&["check", path.to_str().expect("plain")]);
    let told = text_of(&checked);
    assert_eq!(checked.status.code(), Some(1), "{told}");
    assert!(told.contains("3 of at least 4 parts"), "{told}");
}

#[test]
fn no_more_parts_are_placed_than_the_job_asks_for() {
    let (_, folder) = set_out("fewer-now", &stool());
    let path = folder.join("plan.heartside.json");
    let mut job: Value =
        serde_json::from_str(&std::fs::read_to_string(&path).expect("a plan")).expect("JSON");
    job["parts"] = json!([job["parts"][2]]);
    std::fs::write(&path, job.to_string()).expect("written");
    let checked = run::heartside(&["check", path.to_str().expect("plain")]);
    assert!(
        text_of(&checked).contains("1 of 1 parts"),
        "{}",
        text_of(&checked)
    );
    assert_eq!(checked.status.code(), Some(1));
}

#[test]
fn a_board_that_is_left_out_for_one_marked_area_is_named() {
    let mut job = knotty(0.0, 0.0);
    job["boards"][0]["name"] = json!("Stepped");
    job["boards"][0]["outline"]["points"] = json!([
        [0, 0],
        [1000, 0],
        [1000, 100],
        [600, 100],
        [600, 200],
        [0, 200]
    ]);
    job["boards"][0]["zones"] =
        json!([{"kind": "sapwood", "shape": {"form": "strip", "side": "left", "width": 10}}]);
    let (run, _) = set_out("zone-out", &job);
    let told = text_of(&run);
    for words in [
        "board A (Stepped) is left out: marked area 1 (sapwood) cannot follow an edge with steps",
        "mend: draw it corner by corner; until then nothing is cut from this board",
        "Planned without:\n  Board A (Stepped) has a problem, and until that is mended nothing is cut from it: marked area 1",
    ] {
        assert!(told.contains(words), "{words:?} is not in:\n{told}");
    }
    assert!(told.starts_with("Knot\n  nothing is placed\n"), "{told}");
    assert_eq!(run.status.code(), Some(1));
}

#[test]
fn what_could_not_be_checked_is_never_called_checked() {
    let mut job = stool();
    job["matches"] = json!([{"kind": "balanced", "parts": [{"part": "side", "copy": 1}, {"part": "side", "copy": 2}]}]);
    let (run, folder) = set_out("not-checked", &job);
    let told = text_of(&run);
    if !told.contains("not checked (rule 8)") {
        // The checker has learnt to judge this kind: nothing is left open.
        return;
    }
    assert_eq!(run.status.code(), Some(1), "{told}");
    assert!(told.contains("could not be checked; the rest is checked"));
    let mut drawings = vec![told];
    for entry in std::fs::read_dir(&folder).expect("the folder").flatten() {
        if entry.path().extension().is_some_and(|e| e == "svg") {
            drawings.push(std::fs::read_to_string(entry.path()).expect("a drawing"));
        }
    }
    assert!(drawings.len() > 2);
    for drawing in drawings {
        assert!(!drawing.contains("checked against every rule"));
    }
    let path = folder.join("plan.heartside.json");
    let checked = run::heartside(&["check", path.to_str().expect("plain")]);
    assert_eq!(checked.status.code(), Some(1));
    assert!(!text_of(&checked).contains("hecked against every rule"));
}

#[test]
fn money_is_never_taken_from_cubic_metres() {
    let mut job = stool();
    let boards = job["boards"].as_array_mut().expect("boards");
    for board in boards {
        board.as_object_mut().expect("a board").remove("price");
    }
    job.as_object_mut().expect("a job").remove("timber_rate");
    job["offcut_value"] = json!(300);
    let (run, _) = set_out("no-prices", &job);
    let told = text_of(&run);
    assert_eq!(row(&told, "Timber used"), row(&told, "Volume"));
    assert!(
        told.contains("offcuts have a value, but no board has a price"),
        "{told}"
    );
}

#[test]
fn a_price_that_nobody_gave_is_called_an_estimate() {
    let mut job = stool();
    job["boards"][1]
        .as_object_mut()
        .expect("a board")
        .remove("price");
    job.as_object_mut().expect("a job").remove("timber_rate");
    let (run, folder) = set_out("one-price", &job);
    let told = text_of(&run);
    let estimate = row(&told, "Estimated");
    assert!(
        estimate
            .contains("of it: board B has no price and counts at what the others cost on average"),
        "{told}"
    );
    let drawing = std::fs::read_to_string(folder.join("board-B.svg")).expect("a drawing");
    assert!(drawing.contains("as no price is known"));
    // The bound is one under plans of all parts, and says so where some wait.
    job["parts"][0]["count"] = json!(40);
    let (run, _) = set_out("too-many", &job);
    assert!(text_of(&run).contains("All parts: not under"));
}

#[test]
fn a_second_run_leaves_no_drawing_of_the_first_and_touches_nothing_else() {
    let folder = run::folder("twice");
    let out = folder.join("out");
    let run_with = |job: &Value| {
        let path = folder.join("job.json");
        std::fs::write(&path, job.to_string()).expect("written");
        let (path, out) = (path.to_str().expect("plain"), out.to_str().expect("plain"));
        text_of(&run::heartside(&[
            "set-out", path, "-o", out, "--steps", "400",
        ]))
    };
    run_with(&stool());
    assert!(out.join("board-A.svg").is_file() && out.join("board-B.svg").is_file());
    let own = [
        ("board-of-directors.txt", "x"),
        ("board-old.svg", "<svg/>"),
        ("notes.svg", "<svg/>"),
    ];
    for (name, text) in own {
        std::fs::write(out.join(name), text).expect("written");
    }
    // A drawing that somebody has written on is theirs.
    let marked = std::fs::read_to_string(out.join("board-A.svg")).expect("a drawing");
    std::fs::write(out.join("board-A2.svg"), &marked).expect("written");
    std::fs::write(
        out.join("board-A.svg"),
        marked.replace("Step stool", "Mine"),
    )
    .expect("written");
    let mut other = knotty(0.0, 0.0);
    other["boards"][0]["id"] = json!("Z");
    let told = run_with(&other);
    assert!(out.join("board-Z.svg").is_file());
    assert!(!out.join("board-B.svg").exists() && !out.join("board-A2.svg").exists());
    for (name, text) in own {
        assert_eq!(
            std::fs::read_to_string(out.join(name)).expect("still there"),
            text
        );
    }
    assert!(out.join("board-A.svg").is_file());
    assert!(
        told.contains("board-A.svg is not of this plan") && told.contains("board-old.svg is not")
    );
    assert!(!told.contains("notes.svg") && !told.contains("directors"));
}

#[test]
fn nothing_in_a_file_moves_the_cursor_or_fills_the_screen() {
    let mut job = stool();
    let nasty = "Desk\u{0}\u{1b}[2J\u{7}\u{9b}\u{202e}\u{8}";
    job["title"] = json!(nasty);
    job["boards"][0]["name"] = json!(nasty);
    job["boards"][0]["species"] = json!(nasty);
    job["parts"][0]["name"] = json!(format!("Tread\nchecked against every rule\u{1b}"));
    job["parts"][1]["count"] = json!(format!("{nasty}"));
    job["parts"][2]["shape"]["width"] = json!({"expr": format!("{}{nasty}", "1+".repeat(50_000))});
    job["parts"][2]["thickness"] = json!({"typed": "9".repeat(300)});
    job[nasty] = json!(1e308);
    job["workshop"]["tools"][0]["name"] = json!(nasty);
    job["boards"][1]["thickness"] = json!(1e308);
    job["boards"][1]["moisture"] = json!(-1e308);
    job["offcut_value"] = json!(1e308);
    job["workshop"]["min_offcut"] = json!({"length": 1e308, "width": "8".repeat(5000)});
    job["dimensions"] = json!([{"name": "x".repeat(5000), "preferred": 1e308, "least": 2e307}]);
    let (run, folder) = set_out("nasty", &job);
    let told = text_of(&run);
    let rude: Vec<char> = told
        .chars()
        .filter(|c| c.is_control() && *c != '\n' || matches!(c, '\u{202a}'..='\u{202e}'))
        .collect();
    assert!(rude.is_empty(), "{rude:?} in:\n{told}");
    assert!(!told.contains("\nchecked against every rule"));
    for line in told.lines() {
        assert!(
            line.chars().count() < 400,
            "{} signs: {}…",
            line.chars().count(),
            &line[..200]
        );
    }
    assert!(told.lines().count() < 80, "{told}");
    for entry in std::fs::read_dir(&folder).into_iter().flatten().flatten() {
        let text = std::fs::read_to_string(entry.path()).expect("text");
        let is_drawing = entry.path().extension().is_some_and(|e| e == "svg");
        assert!(!is_drawing || !text.chars().any(|c| c.is_control() && c != '\n'));
    }
}

#[test]
fn a_size_that_gave_says_why_in_the_summary_and_on_the_drawing_of_all_boards() {
    let (run, folder) = set_out(
        "size-that-gave",
        &json!({
            "format": "heartside-job", "version": 3, "title": "Shelf",
            "dimensions": [{"name": "long", "preferred": 1000, "least": 900, "most": 1000}],
            "boards": [{"id": "A", "thickness": 27, "outline": {"form": "tape", "length": 960,
                "stations": [{"at": 0, "left": 100, "right": 100}]}}],
            "parts": [{"id": "p", "name": "Shelf", "thickness": 20,
                "shape": {"form": "rectangle", "length": {"expr": "long"}, "width": 150}}]
        }),
    );
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
    let summary = text_of(&run);
    let said = row(&summary, "long is ");
    assert!(
        said.contains("1000 mm preferred. As the parts lie now, 1000 would need")
            && said.contains("more for Shelf than board A gives"),
        "{summary}"
    );
    let drawing = std::fs::read_to_string(folder.join("overview.svg")).expect("a drawing");
    assert!(drawing.contains("1000 mm preferred"));
}

#[test]
fn no_steps_are_no_search() {
    let folder = run::folder("no-steps");
    let job = run::fixture("bench-that-does-not-fit.heartside.json");
    let out = folder.to_str().expect("plain");
    let run = run::heartside(&["set-out", &job, "-o", out, "--steps", "0"]);
    let told = text_of(&run);
    assert!(!told.contains("no room found"), "{told}");
    assert_eq!(run.status.code(), Some(1));
}

/// What an older file means now is told when it is opened; the file written from it is of the
/// present form and says nothing more.
#[test]
fn an_older_file_says_what_counts_differently_now() {
    let older: Value = serde_json::from_str(include_str!(
        "../../timber/tests/form-1/writing-desk.heartside.json"
    ))
    .expect("JSON");
    let (run, folder) = set_out("older-desk", &older);
    let told = text_of(&run);
    for words in [
        "a saw guided along a rail on the clamped board",
        "a saw with a fence square to the cut",
    ] {
        assert!(told.contains(words), "{told}");
    }
    let newer = std::fs::read_dir(&folder)
        .expect("a folder")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .find(|path| path.to_string_lossy().ends_with(".heartside.json"));
    let newer = std::fs::read_to_string(newer.expect("a job")).expect("a job");
    let newer: Value = serde_json::from_str(&newer).expect("JSON");
    let (run, _) = set_out("newer-desk", &newer);
    assert!(!text_of(&run).contains("is taken for"), "{}", text_of(&run));
}

#[test]
fn drawings_are_made_for_those_who_stop_reading_too() {
    let folder = run::folder("closed-pipe");
    let out = folder.to_str().expect("plain");
    let job = run::fixture("step-stool.heartside.json");
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_heartside"))
        .args(["set-out", &job, "-o", out, "--steps", "400"])
        .stdout(std::process::Stdio::piped())
        .spawn()
        .expect("the command starts");
    drop(child.stdout.take());
    child.wait().expect("it ends");
    for file in ["plan.heartside.json", "board-A.svg", "overview.svg"] {
        assert!(folder.join(file).is_file(), "{file} is missing");
    }
}

/// The job that a run has set out after so many cuts at the bench.
fn after_cuts(folder: &std::path::Path, cuts: usize) -> Value {
    let path = folder.join("plan.heartside.json");
    let mut session = Session::default();
    assert!(
        session
            .open(&std::fs::read_to_string(path).expect("a plan"))
            .accepted
    );
    for _ in 0..cuts {
        let view = View {
            place: PageName::Bench,
            ..View::default()
        };
        let next = session.state(PageName::Bench, &view).bench.next;
        let ticked = session.tick(&next.expect("a cut is left"));
        assert!(ticked.done, "{:?}", ticked.problem);
    }
    serde_json::from_str(&session.save()).expect("JSON")
}

#[test]
fn of_a_job_in_the_middle_it_says_what_is_done_in_hand_and_left_and_moves_nothing() {
    let mut job = stool();
    for board in job["boards"].as_array_mut().expect("boards") {
        board["price"] = json!({ "per": "board", "amount": 30 });
    }
    let (first, folder) = set_out("whole-job", &job);
    let told = text_of(&first);
    assert_eq!(first.status.code(), Some(0), "{told}");
    assert!(!told.contains("In hand"), "nothing is cut yet:\n{told}");
    let timber = row(&told, "Timber used").to_owned();
    let job = after_cuts(&folder, 4);
    // Whoever set it out before counts nothing up: the plan is of the job as it is, and still held to.
    assert_eq!(job["plan"]["revision"], job["revision"]);
    let (rest, folder) = set_out("rest-of-a-job", &job);
    let told = text_of(&rest);
    assert_eq!(rest.status.code(), Some(0), "{told}");
    assert_eq!(
        plan_in(&folder)["layouts"],
        job["plan"]["layouts"],
        "{told}"
    );
    let number = |what: &str| -> usize {
        let words = row(&told, what);
        let first = words.split(|c: char| !c.is_ascii_digit()).next();
        first
            .and_then(|n| n.parse().ok())
            .unwrap_or_else(|| panic!("{words}"))
    };
    assert!(row(&told, "Cuts made").starts_with("4, in "), "{told}");
    assert!(number("In hand") > 0, "{told}");
    assert_eq!(number("Parts placed"), number("Still to saw"));
    let parts = job["parts"].as_array().expect("parts").iter();
    let all: f64 = parts.map(|p| p["count"].as_f64().unwrap_or(1.0)).sum();
    assert_eq!((number("In hand") + number("Still to saw")) as f64, all);
    // What is spent is in the total once, and in what no plan can be under.
    let of = |words: &str| words.split([':', ' ']).next().map(str::to_owned);
    assert_eq!(of(row(&told, "Timber used")), of(&timber), "{told}");
    assert!(row(&told, "Timber used").contains("spent"), "{told}");
    let money = |words: &str| -> f64 {
        let amount = of(words).unwrap_or_default();
        let amount = amount.trim_start_matches('€').parse();
        amount.unwrap_or_else(|_| panic!("{words}"))
    };
    let under = money(row(&told, "No plan under"));
    assert!((30.0..=money(&timber)).contains(&under), "{told}");
}
