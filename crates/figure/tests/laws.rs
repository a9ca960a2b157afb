//! What holds of any marks.

use heartside_figure::{CheckLength, Given, Mark, Picture, Resampling, Spot, straighten};
use heartside_geometry::{Bounds, Point};
use heartside_testkit::{PhotoSettings, photo_marks};
use proptest::prelude::*;

const SIZE: [u32; 2] = [4000, 3000];

fn exact(seed: u32, marks: usize) -> (heartside_testkit::Camera, Vec<Mark>) {
    let settings = PhotoSettings {
        size: SIZE,
        marks,
        marks_off: 0.0,
        ..PhotoSettings::default()
    };
    photo_marks(seed, &settings)
}

fn given<'a>(marks: &'a [Mark], checks: &'a [CheckLength]) -> Given<'a> {
    Given {
        marks,
        checks,
        board: Bounds::of_size(2000.0, 180.0),
        size: SIZE,
    }
}

/// Numbers as they may come from anywhere.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        6 => -100.0..4000.0,
        1 => any::<f64>(),
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => (0i32..6).prop_map(|k| f64::from(k) * 500.0),
    ]
}

fn any_mark() -> impl Strategy<Value = Mark> {
    [number(), number(), number(), number()].prop_map(|[u, v, x, y]| Mark {
        seen: Spot::new(u, v),
        place: Point::new(x, y),
    })
}

/// Marks on a coarse grid, so that many lie in one line or at one place.
fn grid_mark() -> impl Strategy<Value = Mark> {
    [0i32..4, 0i32..4, 0i32..4, 0i32..4].prop_map(|k| {
        let [u, v, x, y] = k.map(|k| f64::from(k) * 300.0);
        Mark {
            seen: Spot::new(u, v),
            place: Point::new(x, y),
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn any_input_has_an_answer_in_numbers(
        marks in prop_oneof![
            proptest::collection::vec(any_mark(), 0..8),
            proptest::collection::vec(grid_mark(), 0..8),
        ],
        checks in proptest::collection::vec([number(), number(), number(), number(), number()], 0..3),
        corners in [number(), number(), number(), number()],
        place in [number(), number()],
    ) {
        let checks: Vec<CheckLength> = checks
            .into_iter()
            .map(|[a, b, c, d, length]| CheckLength {
                from: Spot::new(a, b),
                to: Spot::new(c, d),
                length,
            })
            .collect();
        let [a, b, c, d] = corners;
        let asked = Given {
            board: Bounds { min: Point::new(a, b), max: Point::new(c, d) },
            ..given(&marks, &checks)
        };
        for asked in [asked, given(&marks, &checks)] {
            match straighten(&asked) {
                Err(remarks) => {
                    prop_assert!(!remarks.is_empty());
                    prop_assert!(remarks.iter().all(|r| r.is_in_the_way() && !r.to_string().is_empty()));
                }
                Ok(found) => {
                    prop_assert!(found.remarks.iter().all(|r| !r.is_in_the_way()));
                    prop_assert!(found.view.spot_of(asked.board.min).is_some());
                    prop_assert!(found.ends.iter().all(|e| *e >= 0.0));
                    prop_assert!(!found.misfit.is_some_and(f64::is_nan));
                    prop_assert!(found.remarks.iter().all(|r| !r.to_string().contains("NaN")));
                    let place = Point::new(place[0], place[1]);
                    if place.is_finite() {
                        prop_assert!(!found.error_at(place).is_nan());
                    }
                }
            }
        }
    }

    #[test]
    fn exact_marks_give_the_true_view(seed in 0u32..5000, marks in 4usize..9) {
        let (camera, marks) = exact(seed, marks);
        let found = straighten(&given(&marks, &[])).unwrap();
        for corner in Bounds::of_size(2000.0, 180.0).corners() {
            let back = found.view.place_of(camera.spot_of(corner)).unwrap();
            prop_assert!(back.distance(corner) < 1e-6, "{}", back.distance(corner));
            let again = found.view.place_of(found.view.spot_of(corner).unwrap()).unwrap();
            prop_assert!(again.distance(corner) < 1e-6);
        }
    }

    #[test]
    fn the_order_of_marks_and_the_frame_of_the_board_change_nothing(
        seed in 0u32..5000,
        by in 1usize..6,
        x in -3000.0..3000.0,
        y in -3000.0..3000.0,
    ) {
        let settings = PhotoSettings { size: SIZE, marks: 6, ..PhotoSettings::default() };
        let (_, marks) = photo_marks(seed, &settings);
        let found = straighten(&given(&marks, &[])).unwrap();
        let mut other = marks.clone();
        other.rotate_left(by);
        let turned = straighten(&given(&other, &[])).unwrap();
        for mark in &mut other {
            mark.place = Point::new(mark.place.x + x, mark.place.y + y);
        }
        let moved = straighten(&Given {
            board: Bounds::new(Point::new(x, y), Point::new(x + 2000.0, y + 180.0)),
            ..given(&other, &[])
        });
        let moved = moved.unwrap();
        for end in 0..2 {
            prop_assert!((found.ends[end] - turned.ends[end]).abs() < 1e-6);
            prop_assert!((found.ends[end] - moved.ends[end]).abs() < 1e-5);
        }
        let spot = Spot::new(900.0, 1400.0);
        let (a, b) = (found.view.place_of(spot).unwrap(), moved.view.place_of(spot).unwrap());
        prop_assert!(a.distance(Point::new(b.x - x, b.y - y)) < 1e-5);
        let b = turned.view.place_of(spot).unwrap();
        prop_assert!(a.distance(b) < 1e-6);
    }

    #[test]
    fn steps_of_rows_add_up(seed in 0u32..200, first in 0u32..40, pixel in 4.0..30.0) {
        let (_, marks) = exact(seed, 4);
        let view = straighten(&given(&marks, &[])).unwrap().view;
        let picture = Picture {
            width: 400,
            height: 300,
            rgb: (0..360_000u32).map(|k| (k.wrapping_mul(2_654_435_761) >> 24) as u8).collect(),
        };
        let shown = Bounds::of_size(2000.0, 180.0);
        let mut whole = Resampling::new(view, shown, pixel).unwrap();
        prop_assert!(whole.step(&picture, u32::MAX));
        let mut parts = Resampling::new(view, shown, pixel).unwrap();
        parts.step(&picture, first);
        while !parts.step(&picture, 3) {
            prop_assert!(parts.progress() < 1.0);
        }
        prop_assert_eq!(whole.finish(), parts.finish());
    }
}
