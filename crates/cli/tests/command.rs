//! The command as a person runs it: files, both streams, exit codes.

use crate::run;

use run::{fixture, folder, heartside, text, text_of};

#[test]
fn a_small_job_is_set_out_and_its_plan_checks() {
    let out = folder("stool");
    let job = fixture("step-stool.heartside.json");
    let run = heartside(&[
        "set-out",
        &job,
        "-o",
        out.to_str().expect("plain"),
        "--steps",
        "400",
    ]);
    assert_eq!(
        run.status.code(),
        Some(0),
        "{}{}",
        text(&run.stdout),
        text(&run.stderr)
    );
    let summary = text(&run.stdout);
    for expected in [
        "Step stool",
        "checked against every rule",
        "5 of 5",
        "--start 1 --steps 400 --workers 2",
    ] {
        assert!(
            summary.contains(expected),
            "{expected:?} is not in:\n{summary}"
        );
    }
    assert!(
        text(&run.stderr).is_empty(),
        "a pipe gets no progress bar: {}",
        text(&run.stderr)
    );
    for file in ["plan.heartside.json", "overview.svg", "board-A.svg"] {
        assert!(out.join(file).is_file(), "{file} is missing");
    }
    let checked = heartside(&[
        "check",
        out.join("plan.heartside.json").to_str().expect("plain"),
    ]);
    assert_eq!(checked.status.code(), Some(0), "{}", text(&checked.stdout));
}

#[test]
fn the_same_numbers_give_the_same_plan() {
    let job = fixture("step-stool.heartside.json");
    // The option's old name still works; nobody is told of it.
    let plans: Vec<String> = ["--start", "--seed"]
        .iter()
        .map(|option| {
            let out = folder(&format!("same-by{option}"));
            heartside(&[
                "set-out",
                &job,
                "-o",
                out.to_str().expect("plain"),
                "--steps",
                "700",
                option,
                "9",
            ]);
            std::fs::read_to_string(out.join("plan.heartside.json")).expect("a plan")
        })
        .collect();
    assert_eq!(plans[0], plans[1]);
    let help = text(&heartside(&["set-out", "--help"]).stdout);
    assert!(
        help.contains("--start <NUMBER>") && !help.contains("seed"),
        "{help}"
    );
}

#[test]
fn what_the_clock_stopped_is_repeated_by_its_steps() {
    let job = fixture("writing-desk.heartside.json");
    let plan = |name: &str, limit: [&str; 2]| {
        let out = folder(name);
        let out = out.to_str().expect("plain");
        let run = heartside(&[
            "set-out", &job, "-o", out, "--cuts", "sawn", limit[0], limit[1],
        ]);
        assert!(run.status.code().is_some_and(|code| code < 2));
        let planned = std::fs::read_to_string(format!("{out}/plan.heartside.json"));
        let planned: serde_json::Value =
            serde_json::from_str(&planned.expect("a plan")).expect("JSON");
        planned["plan"].clone()
    };
    let stopped = plan("stopped", ["--seconds", "0.7"]);
    let steps = stopped["made"]["steps"].as_u64().expect("steps");
    assert!(steps > 0);
    assert_eq!(plan("repeated", ["--steps", &steps.to_string()]), stopped);
    // However short the time is, the first plan is waited for.
    let first = plan("first", ["--seconds", "0.001"]);
    assert_ne!(first["layouts"].as_array().map_or(0, Vec::len), 0);
}

#[test]
fn what_does_not_fit_is_named_with_the_least_board() {
    let out = folder("no-fit");
    let job = fixture("bench-that-does-not-fit.heartside.json");
    let run = heartside(&[
        "set-out",
        &job,
        "-o",
        out.to_str().expect("plain"),
        "--steps",
        "200",
    ]);
    assert_eq!(run.status.code(), Some(1));
    let summary = text(&run.stdout);
    assert!(
        summary.contains("Not placed:") && summary.contains("least board:"),
        "{summary}"
    );
    assert!(
        summary.contains("4 x Leg: no board is thick enough"),
        "{summary}"
    );
}

#[test]
fn a_broken_plan_is_told_with_rule_and_amount() {
    let out = folder("broken");
    let job = fixture("step-stool.heartside.json");
    heartside(&[
        "set-out",
        &job,
        "-o",
        out.to_str().expect("plain"),
        "--steps",
        "400",
    ]);
    let path = out.join("plan.heartside.json");
    let mut document: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(&path).expect("a plan")).expect("JSON");
    let x = &mut document["plan"]["layouts"][0]["placements"][0]["x"];
    *x = serde_json::json!(x.as_f64().expect("a number") - 500.0);
    std::fs::write(&path, document.to_string()).expect("written");
    let run = heartside(&["check", path.to_str().expect("plain")]);
    assert_eq!(run.status.code(), Some(1));
    assert!(
        text(&run.stdout).contains("broken (rule 1)"),
        "{}",
        text(&run.stdout)
    );
}

#[test]
fn bad_input_ends_with_2_and_says_where() {
    let folder = folder("bad");
    let bad = |name: &str, content: &str| {
        let path = folder.join(name);
        std::fs::write(&path, content).expect("written");
        path.to_str().expect("plain").to_owned()
    };
    let out = folder.join("out");
    let out = out.to_str().expect("plain");
    for (name, content, words) in [
        (
            "broken.json",
            "{\n \"format\": \"heartside-job\",\n oops",
            "line 3",
        ),
        (
            "other.json",
            r#"{"format": "something-else", "version": 1}"#,
            "something-else",
        ),
        (
            "newer.json",
            r#"{"format": "heartside-job", "version": 99}"#,
            "99",
        ),
    ] {
        let run = heartside(&["set-out", &bad(name, content), "-o", out]);
        assert_eq!(run.status.code(), Some(2), "{name}: {}", text(&run.stderr));
        assert!(
            text(&run.stderr).contains(words),
            "{name}: {}",
            text(&run.stderr)
        );
    }
    let missing = heartside(&["check", "no-such-file.json"]);
    assert_eq!(missing.status.code(), Some(2));
    let no_plan = heartside(&["check", &fixture("step-stool.heartside.json")]);
    assert_eq!(no_plan.status.code(), Some(2));
    assert!(text(&no_plan.stderr).contains("no plan"));
}

#[test]
fn board_ids_never_lead_out_of_the_folder() {
    let folder = folder("ids");
    let job = std::fs::read_to_string(fixture("step-stool.heartside.json")).expect("the stool");
    let job = job.replace("\"id\": \"A\"", "\"id\": \"../../x\"");
    let path = folder.join("job.json");
    std::fs::write(&path, job).expect("written");
    let out = folder.join("out");
    heartside(&[
        "set-out",
        path.to_str().expect("plain"),
        "-o",
        out.to_str().expect("plain"),
        "--steps",
        "100",
    ]);
    let outside: Vec<_> = std::fs::read_dir(&folder)
        .expect("the folder")
        .map(|e| e.expect("entry").file_name())
        .collect();
    assert_eq!(outside.len(), 2, "only the job and the folder: {outside:?}");
    for entry in std::fs::read_dir(&out).expect("the folder").flatten() {
        let name = entry.file_name().into_string().expect("plain letters");
        assert!(
            name.chars()
                .all(|c| c.is_ascii_alphanumeric() || "-_.".contains(c))
                && !name.contains(".."),
            "{name}"
        );
    }
}

#[test]
fn trials_go_on_after_a_break() {
    let folder = folder("trial");
    let instance = folder.join("two.json");
    std::fs::write(
        &instance,
        r#"{"name":"two squares","kind":"strip-rect","strip_height":10,
            "best_known":{"measure":"length","value":20},
            "parts":[{"id":"a","outline":[[0,0],[10,0],[10,10],[0,10]],"quantity":2,"rotations_deg":[0]}]}"#,
    )
    .expect("written");
    let results = folder.join("results.jsonl");
    let arguments = [
        "trial",
        instance.to_str().expect("plain"),
        "--steps",
        "200",
        "--json",
        "--append",
        results.to_str().expect("plain"),
        "--solutions",
        folder.to_str().expect("plain"),
    ];
    let first = heartside(&arguments);
    assert_eq!(
        first.status.code(),
        Some(0),
        "{}{}",
        text(&first.stdout),
        text(&first.stderr)
    );
    let line: serde_json::Value =
        serde_json::from_str(&text(&first.stdout)).expect("one JSON line");
    assert_eq!(
        (&line["value"], &line["gap_percent"], &line["checked"]),
        (&20.0.into(), &0.0.into(), &true.into())
    );
    assert!(folder.join("two-squares.json").is_file() || folder.join("two_squares.json").is_file());
    let second = heartside(&arguments);
    assert!(text(&second.stdout).is_empty(), "it was done already");
}

#[test]
fn a_trial_tells_what_it_had_found_by_its_marks() {
    let folder = folder("marks");
    let instance = folder.join("strip.json");
    let outlines = [
        "[[0,0],[7,0],[7,3],[3,3],[3,9],[0,9]]",
        "[[0,0],[6,0],[2,7]]",
        "[[0,0],[5,1],[4,6],[1,5]]",
    ];
    let parts: Vec<String> = outlines
        .iter()
        .enumerate()
        .map(|(k, outline)| {
            format!(r#"{{"id":"{k}","outline":{outline},"quantity":4,"rotations_deg":[0,180]}}"#)
        })
        .collect();
    let written = format!(
        r#"{{"name":"strip","kind":"strip-irregular","strip_height":15,"parts":[{}]}}"#,
        parts.join(",")
    );
    std::fs::write(&instance, written).expect("written");
    let instance = instance.to_str().expect("plain");
    let result = |options: &[&str]| {
        let run = heartside(&[&["trial", instance, "--json"][..], options].concat());
        assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
        serde_json::from_str::<serde_json::Value>(&text(&run.stdout)).expect("one JSON line")
    };
    for workers in ["1", "3"] {
        let marked = result(&[
            "--seconds",
            "1.5",
            "--marks",
            "0.00001,0.6,1.2",
            "--workers",
            workers,
        ]);
        let marks = marked["marks"].as_array().expect("marks");
        assert_eq!(marks.len(), 3);
        // No round is so short: nothing is placed yet.
        assert_eq!(
            (&marks[0]["value"], &marks[0]["steps"]),
            (&serde_json::Value::Null, &0.into())
        );
        for mark in &marks[1..] {
            assert_eq!(mark["checked"], true);
            assert!(mark["seconds"].as_f64() <= mark["at"].as_f64(), "{mark}");
            let steps = mark["steps"].as_u64().expect("steps");
            if steps > 0 {
                let again = result(&["--steps", &steps.to_string(), "--workers", workers]);
                assert_eq!(
                    again["value"], mark["value"],
                    "{steps} steps, {workers} workers"
                );
                assert_eq!(again.get("marks"), None);
            }
        }
        assert!(marks[1]["steps"].as_u64() <= marks[2]["steps"].as_u64());
        assert!(marks[2]["steps"].as_u64() <= marked["steps"].as_u64());
    }
    for (options, words) in [
        (
            &["--marks", "60,10", "--seconds", "99"][..],
            "--marks 60,10",
        ),
        (&["--marks", "-1"], "--marks -1"),
        (&["--marks", "11"], "ends at 10 seconds"),
        (&["--marks", "ten"], "ten"),
        (&["--marks", "1", "--steps", "9"], "--steps"),
    ] {
        let run = heartside(&[&["trial", instance][..], options].concat());
        assert_eq!(run.status.code(), Some(2), "{options:?}");
        assert!(
            text(&run.stderr).contains(words),
            "{options:?}: {}",
            text(&run.stderr)
        );
    }
}

#[test]
fn boards_are_added_from_drawings_and_tables() {
    let out = folder("add-boards");
    let job = fixture("step-stool.heartside.json");
    let at = |name: &str| out.join(name).to_str().expect("plain").to_owned();
    let page = |size: &str| {
        format!(
            "<svg {size} viewBox='0 0 900 90'><rect width='800' height='80'/><circle id='Layer3' cx='50' cy='40' r='9'/></svg>"
        )
    };
    let rack = "Length;Width;Thickness\n2000;150;27,5\n1800;140;27\n";
    for (name, text) in [
        ("open.svg", page("")),
        ("plank.svg", page("width='900mm'")),
        ("rack.csv", rack.to_owned()),
        ("board.txt.zip", String::new()),
    ] {
        std::fs::write(out.join(name), text).expect("written");
    }
    let add = |arguments: &[&str]| {
        let mut all = vec!["add-boards", job.as_str()];
        all.extend(arguments);
        let new = at("new.heartside.json");
        all.extend(["-o", &new]);
        heartside(&all)
    };
    let run = add(&[&at("plank.svg"), &at("rack.csv"), "--name", "Layer3=knot"]);
    assert_eq!(run.status.code(), Some(0), "{}", text_of(&run));
    assert!(text(&run.stdout).contains("2 boards"), "{}", text_of(&run));
    let new = std::fs::read_to_string(out.join("new.heartside.json")).expect("written");
    assert!(new.contains("27,5") && new.contains("\"knot\""), "{new}");
    let asked = add(&[&at("open.svg")]);
    assert_eq!(asked.status.code(), Some(2));
    assert!(
        text(&asked.stderr).contains("--unit mm"),
        "{}",
        text_of(&asked)
    );
    assert_eq!(
        add(&[&at("open.svg"), "--unit", "mm"]).status.code(),
        Some(0)
    );
    for bad in [vec!["--unit", "yd"], vec!["--name", "Layer3"]] {
        let file = at("plank.svg");
        let mut all = vec![file.as_str()];
        all.extend(bad);
        assert_eq!(add(&all).status.code(), Some(2));
    }
    assert_eq!(add(&[&at("board.txt.zip")]).status.code(), Some(2));
}
