#![allow(clippy::unwrap_used)]

use super::*;
use crate::protocol::{PhotoCheck, PhotoLaid, PhotoMarkAsked};

/// A photograph of a light board of 1000 x 100 mm on dark ground, lying at (100, 100) of the picture, a
/// pixel a millimetre.
fn photograph() -> Photograph {
    let (width, height) = (1200u32, 300u32);
    let mut rgba = Vec::new();
    for row in 0..height {
        for column in 0..width {
            let is_board = (100..1100).contains(&column) && (100..200).contains(&row);
            let value = if is_board { 200 } else { 20 };
            rgba.extend([value, value, value, 255]);
        }
    }
    Photograph::new(rgba, width, height)
}

fn mark(x: f64, y: f64) -> PhotoMarkAsked {
    PhotoMarkAsked {
        seen: PhotoSpot { x, y },
        place: None,
    }
}

fn corners() -> PhotoAsked {
    PhotoAsked {
        length: 1000.0,
        width: 100.0,
        marks: vec![
            mark(1100.0, 100.0),
            mark(100.0, 200.0),
            mark(100.0, 100.0),
            mark(1100.0, 200.0),
        ],
        ..PhotoAsked::default()
    }
}

#[test]
fn corners_are_known_in_whatever_order_they_are_tapped() {
    let mut photograph = photograph();
    let asked = corners();
    let fit = photograph.straighten(&asked);
    let places: Vec<_> = fit.marks.iter().map(|m| m.place.unwrap()).collect();
    let expected = [[1000.0, 100.0], [0.0, 0.0], [0.0, 100.0], [1000.0, 0.0]];
    assert_eq!(places, expected);
    assert_eq!(
        fit.marks[0].name.as_deref(),
        Some("right end, upper corner")
    );
    let [lower_left, ..] = &fit.corners[..] else {
        panic!("corners")
    };
    assert!((lower_left.x - 100.0).abs() < 1e-6 && (lower_left.y - 200.0).abs() < 1e-6);
    // Every order says the same of every mark.
    for by in 1..4 {
        let mut other = asked.clone();
        other.marks.rotate_left(by);
        other.marks.swap(0, 2);
        let again = photograph.straighten(&other);
        for (mark, taken) in other.marks.iter().zip(&again.marks) {
            let first = asked.marks.iter().position(|m| m == mark).unwrap();
            assert_eq!(taken, &fit.marks[first]);
        }
    }
    let turned = photograph.straighten(&PhotoAsked { turned: 2, ..asked });
    assert_eq!(turned.marks[0].place, Some([0.0, 0.0]));
}

#[test]
fn a_board_that_stands_upright_has_its_left_end_below() {
    let mut photograph = photograph();
    let asked = PhotoAsked {
        length: 200.0,
        width: 50.0,
        right_width: Some(40.0),
        marks: vec![
            mark(100.0, 10.0),
            mark(140.0, 10.0),
            mark(145.0, 210.0),
            mark(95.0, 210.0),
        ],
        ..PhotoAsked::default()
    };
    let fit = photograph.straighten(&asked);
    let places: Vec<_> = fit.marks.iter().map(|m| m.place.unwrap()).collect();
    let expected = [[200.0, 45.0], [200.0, 5.0], [0.0, 0.0], [0.0, 50.0]];
    assert_eq!(places, expected);
    assert!(fit.error.unwrap().ends[0] < 2.0);
}

#[test]
fn what_is_missing_is_asked_for() {
    let mut photograph = photograph();
    let mut asked = corners();
    asked.marks.truncate(2);
    let said = |photograph: &mut Photograph, asked: &PhotoAsked| {
        let fit = photograph.straighten(asked);
        assert!(fit.error.is_none() && fit.remarks[0].in_the_way);
        assert!(photograph.begin(1.0, None).problem.is_some());
        fit.remarks[0].clone()
    };
    let text = said(&mut photograph, &asked).text;
    assert_eq!(text, "tap 2 more corners of the board");
    asked.length = f64::NAN;
    assert!(said(&mut photograph, &asked).text.contains("above 0"));
    let mut more = corners();
    more.marks.push(mark(600.0, 150.0));
    let remark = said(&mut photograph, &more);
    assert!(remark.text.starts_with("mark 5:") && remark.marks == [4]);
    more.marks[4].place = Some([500.0, 50.0]);
    let fit = photograph.straighten(&more);
    assert_eq!(
        fit.misfit.unwrap(),
        "what was measured agrees within 0.0 mm"
    );
    let none = PhotoAsked {
        laid: PhotoLaid::Places,
        ..PhotoAsked::default()
    };
    said(&mut photograph, &none);
}

#[test]
fn a_check_length_that_disagrees_is_said() {
    let mut photograph = photograph();
    let mut asked = corners();
    asked.checks.push(PhotoCheck {
        from: PhotoSpot { x: 100.0, y: 200.0 },
        to: PhotoSpot {
            x: 1100.0,
            y: 100.0,
        },
        length: 1030.0,
    });
    let fit = photograph.straighten(&asked);
    assert!(fit.remarks[0].text.contains("check length 1"), "{fit:?}");
    assert!(!fit.remarks[0].in_the_way);
    assert!(fit.error.unwrap().ends[0] > 20.0);
}

#[test]
fn one_rule_tells_the_scale_and_the_whole_photo_is_shown() {
    let mut photograph = photograph();
    let asked = PhotoAsked {
        laid: PhotoLaid::Rule,
        length: 1000.0,
        marks: vec![mark(1100.0, 150.0), mark(100.0, 150.0)],
        ..PhotoAsked::default()
    };
    let fit = photograph.straighten(&asked);
    assert_eq!(fit.marks[1].place, Some([0.0, 0.0]));
    assert!(fit.error.unwrap().told.contains("both ends"));
    // A tilt that nobody sees counts for more, the farther from the rule.
    let wide = photograph
        .error_over([-500.0, -100.0, 1500.0, 100.0])
        .unwrap();
    let near = photograph.error_over([0.0, 0.0, 1000.0, 1.0]).unwrap();
    assert!(wide.ends[0] > near.ends[0] + 1.0);
    let across = PhotoAsked {
        across: true,
        ..asked
    };
    assert_eq!(
        photograph.straighten(&across).marks[1].place,
        Some([0.0, 1000.0])
    );
}

#[test]
fn the_picture_is_made_in_steps_of_rows() {
    let mut photograph = photograph();
    assert!(photograph.pixels().is_empty() && photograph.step(5) == 1.0);
    photograph.straighten(&corners());
    let told = photograph.begin(2.0, Some([-20.0, -20.0, 1020.0, 120.0]));
    assert_eq!((told.size, told.origin), ([520, 70], [-20.0, -20.0]));
    let mut before = 0.0;
    loop {
        let now = photograph.step(16);
        assert!(now > before);
        before = now;
        if now == 1.0 {
            break;
        }
        assert!(photograph.pixels().is_empty());
    }
    let rgba = photograph.pixels();
    assert_eq!(rgba.len(), 4 * 520 * 70);
    let at = |column: usize, row: usize| &rgba[4 * (row * 520 + column)..][..4];
    assert_eq!(at(260, 35), [200, 200, 200, 255]);
    assert_eq!(at(3, 3), [20, 20, 20, 255]);
    let huge = photograph.begin(1e-3, None).problem.unwrap();
    assert!(huge.contains("mm a pixel"), "{huge}");
}

#[test]
fn what_is_no_picture_is_said() {
    for (bytes, width, height) in [(0, 0, 0), (16, 2, 3), (0, 5, 0), (40, u32::MAX, u32::MAX)] {
        let mut photograph = Photograph::new(vec![0; bytes], width, height);
        let problem = photograph.problem().unwrap();
        assert!(problem.contains("no picture"), "{problem}");
        assert_eq!(photograph.straighten(&corners()).remarks[0].text, problem);
        assert!(photograph.begin(1.0, None).problem.is_some());
    }
}

#[test]
fn what_is_seen_comes_as_proposals() {
    let mut photograph = photograph();
    photograph.look_begin(&[]);
    assert_eq!(photograph.look(1), 1.0, "there is nothing to look at yet");
    assert_eq!(photograph.seen(), PhotoSeen::default());
    photograph.straighten(&corners());
    photograph.begin(1.0, None);
    while photograph.step(100) < 1.0 {}
    photograph.look_begin(&[]);
    let mut done = 0.0;
    while done < 1.0 {
        let further = photograph.look(1);
        assert!(further >= done, "{further} after {done}");
        done = further;
    }
    let seen = photograph.seen();
    let outline = seen.outline.unwrap();
    assert!(outline.sure > 0.5, "{outline:?}");
    for [x, y] in &outline.lines[0] {
        let off = (x.min(1000.0 - x).abs()).min(y.min(100.0 - y).abs());
        assert!(off < 2.5, "({x}, {y}) lies on no edge");
    }
    assert!(!photograph.pixels().is_empty());
    // Within an outline of the maker's none is proposed.
    photograph.look_begin(&[0.0, 0.0, 1000.0, 0.0, 1000.0, 100.0, 0.0, 100.0]);
    while photograph.look(5) < 1.0 {}
    assert_eq!(photograph.seen().outline, None);
    // One that lies elsewhere is told.
    photograph.look_begin(&[9e3, 9e3, 9.1e3, 9e3, 9.1e3, 9.1e3]);
    while photograph.look(5) < 1.0 {}
    assert!(
        photograph
            .seen()
            .problem
            .unwrap()
            .contains("does not lie in the picture")
    );
}
