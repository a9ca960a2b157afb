//! A job that is packed with its photographs: the drawings hold them, and a job without them is drawn as ever.

mod run;

use heartside_exchange::bundle::Packing;
use run::{fixture, folder, heartside, text};
use sha2::{Digest, Sha256};

#[test]
fn drawings_hold_the_photographs_that_are_packed_with_the_job() {
    let picture = b"\xff\xd8 a picture".to_vec();
    let hash: String = Sha256::digest(&picture)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    let job = std::fs::read_to_string(fixture("step-stool.heartside.json")).expect("a fixture");
    let mut job: serde_json::Value = serde_json::from_str(&job).expect("JSON");
    let photo = |hash: &str, board: &str| {
        serde_json::json!({ "hash": hash, "board": board, "face": "up", "pixel": 1.0,
            "origin": [0.0, -200.0], "size": [1800, 400] })
    };
    let other = "ab".repeat(32);
    job["photos"] = serde_json::json!([photo(&hash, "A"), photo(&other, "A")]);
    let job = job.to_string();
    let place = folder("photographed");
    std::fs::create_dir_all(&place).expect("a folder");
    let mut packing = Packing::default();
    let mut zip = packing.job(&job);
    zip.extend(job.bytes());
    // The second is not the picture that it is called by.
    for name in [&hash, &other] {
        zip.extend(packing.photo(name, &picture).expect("there is room"));
        zip.extend(&picture);
    }
    zip.extend(packing.finish());
    let (packed, plain) = (place.join("job.zip"), place.join("job.json"));
    std::fs::write(&packed, &zip).expect("written");
    std::fs::write(&plain, &job).expect("written");
    let drawn = |from: &std::path::Path, name: &str| {
        let out = place.join(name);
        let words = [
            "set-out",
            from.to_str().expect("plain"),
            "-o",
            out.to_str().expect("plain"),
        ];
        let run = heartside(&[&words[..], &["--steps", "200"]].concat());
        assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
        let read = |name: &str| std::fs::read_to_string(out.join(name)).expect("a drawing");
        let svg = read("board-A.svg") + &read("overview.svg");
        assert!(!svg.contains("photo:"));
        (svg, text(&run.stderr))
    };
    let (svg, told) = drawn(&packed, "with");
    assert_eq!(svg.matches("data:image/jpeg;base64,/9gg").count(), 2);
    assert!(
        told.contains("passed over in") && told.contains(&other),
        "{told}"
    );
    let (svg, told) = drawn(&plain, "without");
    assert!(!svg.contains("<image") && told.is_empty(), "{told}");
    std::fs::write(&packed, &zip[..zip.len() - 5]).expect("written");
    let run = heartside(&["check", packed.to_str().expect("plain")]);
    assert_eq!(run.status.code(), Some(2));
    assert!(
        text(&run.stderr).contains("ZIP file"),
        "{}",
        text(&run.stderr)
    );
}
