//! Marks that cannot be right, and what is said about them.

use heartside_figure::{CheckLength, Given, Mark, Remark, Spot, Straightened, straighten};
use heartside_geometry::{Bounds, Point};
use heartside_testkit::{Camera, Chance, PhotoSettings, photo_marks};

const SETTINGS: PhotoSettings = PhotoSettings {
    ground: heartside_testkit::Ground::Concrete,
    length: 2000.0,
    width: 180.0,
    size: [4000, 3000],
    tilt: 25.0,
    bend: 0.0,
    noise: 0.0,
    blur: 0.0,
    fall_off: 0.0,
    marks: 8,
    spanning: 0.8,
    marks_off: 0.3,
    chalk: false,
};

fn photo(seed: u32, marks: usize) -> (Camera, Vec<Mark>) {
    photo_marks(seed, &PhotoSettings { marks, ..SETTINGS })
}

/// Four marks at the corners and others evenly between them, in turn on either side.
fn around(seed: u32, marks: usize) -> (Camera, Vec<Mark>) {
    let (camera, _) = photo(seed, 4);
    let mut chance = Chance::new(seed);
    let places = [
        [200.0, -40.0],
        [1800.0, -40.0],
        [1800.0, 220.0],
        [200.0, 220.0],
        [1000.0, -30.0],
        [1000.0, 210.0],
        [600.0, -30.0],
        [1400.0, 210.0],
    ];
    let mut off = || chance.between(-0.3, 0.3);
    let marks = places.into_iter().take(marks).map(|[x, y]| {
        let place = Point::new(x, y);
        let spot = camera.spot_of(place);
        let seen = Spot::new(spot.x + off(), spot.y + off());
        Mark { seen, place }
    });
    let marks = marks.collect();
    (camera, marks)
}

fn with(marks: &[Mark], checks: &[CheckLength]) -> Result<Straightened, Vec<Remark>> {
    straighten(&Given {
        marks,
        checks,
        board: Bounds::of_size(SETTINGS.length, SETTINGS.width),
        size: SETTINGS.size,
    })
}

fn remarks(marks: &[Mark]) -> Vec<Remark> {
    with(marks, &[]).map_or_else(|r| r, |s| s.remarks)
}

#[test]
fn sound_marks_are_not_remarked_upon() {
    for seed in 0..200 {
        for n in [4, 5, 6, 8] {
            let (_, marks) = photo(seed, n);
            let said = remarks(&marks);
            let said: Vec<&Remark> = said
                .iter()
                .filter(|r| !matches!(r, Remark::CloseTogether { .. }))
                .collect();
            assert!(said.is_empty(), "seed {seed}, {n} marks: {said:?}");
        }
    }
}

#[test]
fn crossed_marks_are_told_with_the_two_to_exchange() {
    for seed in 0..50 {
        let (_, marks) = photo(seed, 4);
        for [a, b] in [[0, 1], [1, 2], [2, 3], [0, 3]] {
            let mut crossed = marks.clone();
            (crossed[a].place, crossed[b].place) = (marks[b].place, marks[a].place);
            let said = remarks(&crossed);
            assert!(
                matches!(said[..], [Remark::Crossed { exchanged: Some(_) }]),
                "{said:?}"
            );
            let Remark::Crossed {
                exchanged: Some([c, d]),
            } = said[0]
            else {
                continue;
            };
            // Exchanged as is said, they are in order again; often there is one such pair alone.
            (crossed[c].place, crossed[d].place) = (crossed[d].place, crossed[c].place);
            assert!(with(&crossed, &[]).is_ok());
        }
    }
}

#[test]
fn marks_the_other_way_round_are_mirrored() {
    let (_, mut marks) = photo(3, 4);
    let places: Vec<Point> = marks.iter().rev().map(|m| m.place).collect();
    for (mark, place) in marks.iter_mut().zip(places) {
        mark.place = place;
    }
    assert_eq!(remarks(&marks), [Remark::Mirrored]);
}

#[test]
fn marks_in_one_line_are_refused_and_thin_ones_tell_a_large_error() {
    let (camera, _) = photo(4, 4);
    let at = |x: f64, y: f64| {
        let place = Point::new(x, y);
        Mark {
            seen: camera.spot_of(place),
            place,
        }
    };
    let line: Vec<Mark> = [0.0, 400.0, 1200.0, 2000.0].map(|x| at(x, 90.0)).into();
    assert_eq!(remarks(&line), [Remark::InOneLine]);
    let all_but_one = [
        at(0.0, 0.0),
        at(900.0, 0.0),
        at(2000.0, 0.0),
        at(1000.0, 180.0),
    ];
    assert_eq!(remarks(&all_but_one), [Remark::InOneLine]);
    let thin = [
        at(0.0, 80.0),
        at(2000.0, 80.0),
        at(2000.0, 100.0),
        at(0.0, 100.0),
    ];
    let wide = [
        at(0.0, 0.0),
        at(2000.0, 0.0),
        at(2000.0, 180.0),
        at(0.0, 180.0),
    ];
    let told = |marks: &[Mark]| with(marks, &[]).map(|s| s.ends[0]);
    assert!(told(&thin).unwrap() > 2.0 * told(&wide).unwrap());
}

#[test]
fn the_wrong_mark_is_named() {
    let (mut named, mut tried) = (0, 0);
    for seed in 0..100 {
        let (_, marks) = around(seed, 8);
        for wrong in 0..8 {
            // Measured 20 mm too far along.
            let mut off = marks.clone();
            off[wrong].place.x += 20.0;
            let said = remarks(&off);
            tried += 1;
            let is_told = said
                .iter()
                .any(|r| matches!(r, Remark::Disagree { .. } | Remark::LensBends { .. }));
            assert!(is_told, "seed {seed}, mark {wrong}: {said:?}");
            named += usize::from(
                said.iter()
                    .any(|r| matches!(r, Remark::Disagree { mark: Some(m), .. } if *m == wrong)),
            );
            let blamed = said.iter().find_map(|r| match r {
                Remark::Disagree { mark: Some(m), .. } if *m != wrong => Some(*m),
                _ => None,
            });
            assert_eq!(blamed, None, "seed {seed}: mark {wrong} is wrong");
        }
    }
    println!("the wrong mark is named in {named} of {tried}");
    assert!(named * 100 >= tried * 90, "{named} of {tried}");
}

#[test]
fn with_five_marks_nobody_knows_which_is_wrong() {
    let (_, mut marks) = around(11, 5);
    marks[1].place.x += 40.0;
    let said = remarks(&marks);
    assert!(
        said.iter().any(|r| matches!(
            r,
            Remark::Disagree { mark: None, .. } | Remark::LensBends { .. }
        )),
        "{said:?}"
    );
}

#[test]
fn a_mark_far_off_is_named_too() {
    let (_, mut marks) = around(12, 6);
    // 180 typed for 1800.
    marks[1].place.x = 180.0;
    let said = remarks(&marks);
    assert!(
        matches!(
            said[0],
            Remark::Misplaced { mark: 1 } | Remark::Disagree { mark: Some(1), .. }
        ),
        "{said:?}"
    );
}

#[test]
fn a_lens_that_bends_is_told_from_a_wrong_mark() {
    let (mut lens, mut blamed) = (0, 0);
    for seed in 0..100 {
        for bend in [-0.04, 0.04] {
            let settings = PhotoSettings { bend, ..SETTINGS };
            let (_, marks) = photo_marks(seed, &settings);
            let said = remarks(&marks);
            lens += usize::from(said.iter().any(|r| matches!(r, Remark::LensBends { .. })));
            blamed += usize::from(
                said.iter()
                    .any(|r| matches!(r, Remark::Disagree { mark: Some(_), .. })),
            );
        }
    }
    println!("a bent lens: told {lens} of 200, a mark blamed {blamed} of 200");
    assert!(lens >= 150 && blamed <= 10, "told {lens}, blamed {blamed}");
}

#[test]
fn a_check_length_that_is_off_is_told_and_counts() {
    let (camera, marks) = photo(7, 4);
    let (a, b) = (Point::new(100.0, 30.0), Point::new(1900.0, 60.0));
    let check = |length| CheckLength {
        from: camera.spot_of(a),
        to: camera.spot_of(b),
        length,
    };
    let right = with(&marks, &[check(a.distance(b))]).unwrap();
    assert!(right.remarks.is_empty(), "{:?}", right.remarks);
    let wrong = with(&marks, &[check(a.distance(b) + 12.0)]).unwrap();
    assert!(
        matches!(wrong.remarks[..], [Remark::LengthOff { check: 0, .. }]),
        "{:?}",
        wrong.remarks
    );
    assert!(wrong.ends.iter().all(|&e| e >= 11.0), "{:?}", wrong.ends);
}

#[test]
fn few_marks_short_spans_and_ends_out_of_the_picture_are_told() {
    assert_eq!(remarks(&[]), [Remark::TooFew { given: 0 }]);
    let settings = PhotoSettings {
        spanning: 0.5,
        marks: 4,
        ..SETTINGS
    };
    let (_, marks) = photo_marks(9, &settings);
    let said = remarks(&marks);
    assert!(
        matches!(said[..], [Remark::SpanTooSmall { share }] if (share - 0.5).abs() < 1e-3),
        "{said:?}"
    );
    let (_, marks) = photo(9, 4);
    let longer = straighten(&Given {
        marks: &marks,
        checks: &[],
        board: Bounds::of_size(2600.0, 180.0),
        size: SETTINGS.size,
    });
    let said = longer.unwrap().remarks;
    assert!(said.contains(&Remark::NotInPicture { end: 1 }), "{said:?}");
    assert!(!said.contains(&Remark::NotInPicture { end: 0 }), "{said:?}");
}

#[test]
fn sentences_number_from_one_and_say_what_to_do() {
    let said = Remark::Disagree {
        mark: Some(2),
        misfit: 7.25,
    }
    .to_string();
    assert_eq!(
        said,
        "the marks disagree by 7.2 mm: probably mark 3 is wrong; measure it again"
    );
    let said = Remark::Crossed {
        exchanged: Some([0, 3]),
    }
    .to_string();
    assert_eq!(said, "the marks are crossed: exchange marks 1 and 4");
    assert!(Remark::Mirrored.is_in_the_way());
    assert!(!Remark::NotInPicture { end: 0 }.is_in_the_way());
}
