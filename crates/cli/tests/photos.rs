//! A job that is packed with its photographs: the drawings hold them, and a job without them is drawn as ever.

use crate::run;

use std::path::Path;

use heartside_exchange::bundle::{Packing, unpack};
use heartside_geometry::Point;
use heartside_testkit::{PhotoSettings, board_photo};
use heartside_timber::document::Document;
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
    let drawn = |from: &Path, name: &str| {
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
        let stay = format!("The photographs stay in {}", from.display());
        (svg, text(&run.stderr), text(&run.stdout).contains(&stay))
    };
    let (svg, told, stay) = drawn(&packed, "with");
    assert!(stay, "nothing is said of the photographs");
    assert_eq!(svg.matches("data:image/jpeg;base64,/9gg").count(), 2);
    assert!(
        told.contains("passed over in") && told.contains(&other),
        "{told}"
    );
    let (svg, told, stay) = drawn(&plain, "without");
    assert!(
        !stay && !svg.contains("<image") && told.is_empty(),
        "{told}"
    );
    std::fs::write(&packed, &zip[..zip.len() - 5]).expect("written");
    let run = heartside(&["check", packed.to_str().expect("plain")]);
    assert_eq!(run.status.code(), Some(2));
    assert!(
        text(&run.stderr).contains("ZIP file"),
        "{}",
        text(&run.stderr)
    );
}

/// A JPEG file of a photograph that is stored lying on its side and says so (EXIF 3.0, orientation 6).
fn on_its_side(picture: image::RgbImage) -> Vec<u8> {
    let stored = image::imageops::rotate270(&picture);
    let mut plain = Vec::new();
    let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut plain, 92);
    stored.write_with_encoder(encoder).expect("a picture");
    let mut file = plain[..2].to_vec();
    file.extend(b"\xff\xe1\x00\x22Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0");
    file.extend(&plain[2..]);
    file
}

#[test]
fn a_board_comes_out_of_a_photograph() {
    let settings = PhotoSettings {
        size: [640, 480],
        tilt: 20.0,
        ..PhotoSettings::default()
    };
    let photo = board_photo(5, &settings);
    let (length, width) = (settings.length, settings.width);
    let corners = [(length, width), (0.0, 0.0), (length, 0.0), (0.0, width)];
    let corners = corners.map(|(x, y)| {
        let spot = photo.camera.spot_of(Point::new(x, y));
        format!("{:.1},{:.1}", spot.x, spot.y)
    });
    let place = folder("added");
    let picture = photo.picture;
    let picture = image::RgbImage::from_raw(picture.width, picture.height, picture.rgb);
    let picture = picture.expect("a picture");
    let file = place.join("photo.jpg");
    std::fs::write(&file, on_its_side(picture)).expect("written");
    let (job, out) = (fixture("step-stool.heartside.json"), place.join("job.zip"));
    let plain = |path: &Path| path.to_str().expect("plain").to_owned();
    let add = |job: &str, file: &Path, more: &[&str]| {
        let (file, out) = (plain(file), plain(&out));
        let mut words = vec![
            "add-photo",
            job,
            &file,
            "--length",
            "2 m",
            "--width",
            "180",
            "-o",
            &out,
        ];
        words.push("--corners");
        words.extend(corners.iter().map(String::as_str));
        words.extend(more);
        heartside(&words)
    };
    let run = add(&job, &file, &["--thickness", "27"]);
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let said = text(&run.stdout);
    assert!(said.contains("true within"), "{said}");
    let bytes = std::fs::read(&out).expect("a file");
    let found = unpack(&bytes).expect("it opens");
    let job = String::from_utf8_lossy(&bytes[found.job]).into_owned();
    let document = Document::open(&job).expect("a job").document;
    let (board, taken) = (
        document.boards.last().expect("a board"),
        &document.photos[0],
    );
    assert_eq!(taken.hash, found.photos[0].0);
    assert_eq!((&taken.board, taken.original), (&board.id, settings.size));
    // The other face goes to the same board; both pictures are packed.
    let run = add(
        &plain(&out),
        &file,
        &["--board", &board.id, "--down", "--pixel", "1"],
    );
    assert_eq!(run.status.code(), Some(0), "{}", text(&run.stderr));
    let bytes = std::fs::read(&out).expect("a file");
    assert_eq!(unpack(&bytes).expect("it opens").photos.len(), 2);
    // What is no picture, and what is no board.
    let broken = place.join("broken.jpg");
    std::fs::write(&broken, b"\0\0\0\x18ftypheic").expect("written");
    let speck = place.join("speck.png");
    image::RgbImage::new(1, 1).save(&speck).expect("written");
    for (file, more, word) in [
        (&speck, &[][..], "outside the picture"),
        (&broken, &[][..], "JPEG or PNG"),
        (&file, &["--board", "nowhere"][..], "no such board"),
        (&file, &["--pixel", "0.0001"][..], "mm a pixel"),
    ] {
        let run = add(&plain(&out), file, more);
        assert_eq!(run.status.code(), Some(2));
        assert!(text(&run.stderr).contains(word), "{}", text(&run.stderr));
    }
    assert_eq!(std::fs::read(&out).expect("a file"), bytes);
}
