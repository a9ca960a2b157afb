//! Photographs: where they lie, and what is said of those that cannot be shown.

use super::*;

fn with(photo: Value) -> Prepared {
    prepare(&changed("photos", json!([photo])))
}

fn photo(hash: &str, board: &str, face: &str, pixel: f64) -> Value {
    json!({"hash": hash, "board": board, "face": face, "pixel": pixel,
           "origin": [-20.0, -120.0], "size": [4080, 480]})
}

#[test]
fn a_photograph_of_the_up_face_is_shown_and_no_plan_depends_on_it() {
    let hash = "0f".repeat(32);
    let prepared = with(photo(&hash, "A", "up", 0.5));
    assert!(codes(&prepared).is_empty());
    let covers = prepared.job.photos[0].covers;
    assert_eq!(
        (covers.min, covers.max.x),
        (Point::new(-20.0, -120.0), 2020.0)
    );
    let without = prepare(&document(small())).job;
    assert!(without.differs_in_pins_only(&prepared.job));
    let down = with(photo(&hash, "A", "down", 0.5)).job.photos;
    assert!(down[0].is_down && down[0].covers == covers);
}

#[test]
fn one_that_cannot_be_shown_is_said() {
    let hash = "0f".repeat(32);
    let wrong = [
        (photo(&hash, "B", "up", 0.5), "photo-of-no-board"),
        (photo(&hash, "A", "up", 0.0), "photo-unusable"),
        (photo(&hash, "A", "down", -1.0), "photo-unusable"),
        (photo(&hash, "A", "up", 1e9), "photo-unusable"),
        (photo("0f", "A", "up", 0.5), "photo-unusable"),
    ];
    for (photo, code) in wrong {
        let prepared = with(photo);
        assert_eq!(codes(&prepared), [code]);
        assert!(prepared.job.photos.is_empty() && !prepared.has_errors());
    }
}
