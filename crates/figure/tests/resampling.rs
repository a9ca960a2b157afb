//! Straightened pictures look as the board does from above.

use heartside_figure::{Given, Picture, Remark, Resampling, TruePicture, straighten};
use heartside_geometry::Bounds;
use heartside_testkit::{Ground, PhotoSettings, board_photo, photo_marks, straight_photo};

fn level(picture: &TruePicture, column: u32, row: u32) -> f64 {
    let at = 3 * (row * picture.picture.width + column) as usize;
    let bytes = &picture.picture.rgb[at..at + 3];
    bytes.iter().map(|&b| f64::from(b)).sum::<f64>() / 3.0
}

/// How alike two pictures are, moved against each other by some pixels: the correlation of their levels.
fn alike(a: &TruePicture, b: &TruePicture, by: [i32; 2]) -> f64 {
    let (width, height) = (a.picture.width as i32, a.picture.height as i32);
    let mut pairs = Vec::new();
    for row in 4..height - 4 {
        for column in 4..width - 4 {
            let (c, r) = (column + by[0], row + by[1]);
            pairs.push((
                level(a, column as u32, row as u32),
                level(b, c as u32, r as u32),
            ));
        }
    }
    let n = pairs.len() as f64;
    let (ma, mb) = (
        pairs.iter().map(|p| p.0).sum::<f64>() / n,
        pairs.iter().map(|p| p.1).sum::<f64>() / n,
    );
    let product: f64 = pairs.iter().map(|p| (p.0 - ma) * (p.1 - mb)).sum();
    let (sa, sb) = (
        pairs.iter().map(|p| (p.0 - ma) * (p.0 - ma)).sum::<f64>(),
        pairs.iter().map(|p| (p.1 - mb) * (p.1 - mb)).sum::<f64>(),
    );
    product / (sa * sb).sqrt()
}

#[test]
fn a_straightened_photograph_is_the_board_from_above() {
    for (seed, ground) in Ground::ALL.into_iter().enumerate() {
        let settings = PhotoSettings {
            ground,
            length: 700.0,
            width: 160.0,
            size: [1000, 600],
            noise: 2.0,
            fall_off: 0.0,
            marks_off: 0.3,
            chalk: false,
            ..PhotoSettings::default()
        };
        let photo = board_photo(seed as u32, &settings);
        let board = Bounds::of_size(settings.length, settings.width);
        let found = straighten(&Given {
            marks: &photo.marks,
            checks: &[],
            board,
            size: settings.size,
        })
        .expect("marks of a photograph");
        // Two millimetres a pixel: the grain that the photograph cannot show is averaged in both.
        let mut work =
            Resampling::new(found.view, board.grown(20.0), 2.0).expect("a small picture");
        while !work.step(&photo.picture, 16) {}
        let (made, seen) = work.finish().expect("all rows");
        assert_eq!(seen, 1.0, "{ground:?}");
        let fine = straight_photo(seed as u32, ground, &photo.board, 0.5, 20.0);
        let truth = shrunk(&fine, 4);
        assert_eq!(
            (truth.picture.width, truth.picture.height),
            (made.picture.width, made.picture.height)
        );
        let here = alike(&made, &truth, [0, 0]);
        let beside = [[1, 0], [-1, 0], [0, 1], [0, -1]].map(|by| alike(&made, &truth, by));
        println!("{ground:?}: alike by {here:.3}, moved by a pixel {beside:.3?}");
        assert!(here > 0.9, "{ground:?}: {here}");
        assert!(
            beside.iter().all(|&b| b < here),
            "{ground:?}: {here}, {beside:?}"
        );
    }
}

/// A picture so many times smaller, each pixel the average of its area.
fn shrunk(fine: &TruePicture, by: u32) -> TruePicture {
    let (width, height) = (fine.picture.width / by, fine.picture.height / by);
    let mut rgb = Vec::new();
    for row in 0..height {
        for column in 0..width {
            for channel in 0..3 {
                let mut sum = 0;
                for k in 0..by * by {
                    let (c, r) = (column * by + k % by, row * by + k / by);
                    sum += u32::from(
                        fine.picture.rgb[(3 * (r * fine.picture.width + c) + channel) as usize],
                    );
                }
                rgb.push((sum / (by * by)) as u8);
            }
        }
    }
    TruePicture {
        picture: Picture { width, height, rgb },
        pixel: fine.pixel * f64::from(by),
        origin: fine.origin,
    }
}

#[test]
fn what_the_photograph_does_not_show_is_grey_and_counted() {
    let settings = PhotoSettings::default();
    let (_, marks) = photo_marks(1, &settings);
    let board = Bounds::of_size(2000.0, 180.0);
    let given = Given {
        marks: &marks,
        checks: &[],
        board,
        size: settings.size,
    };
    let view = straighten(&given).unwrap().view;
    let black = Picture {
        width: 1600,
        height: 1200,
        rgb: vec![0; 3 * 1600 * 1200],
    };
    let mut work = Resampling::new(view, board.grown(1500.0), 20.0).unwrap();
    work.step(&black, u32::MAX);
    let (made, seen) = work.finish().unwrap();
    let dark = made
        .picture
        .rgb
        .chunks(3)
        .filter(|c| c == &[0, 0, 0])
        .count();
    let grey = made
        .picture
        .rgb
        .chunks(3)
        .filter(|c| c == &[128, 128, 128])
        .count();
    let all = (made.picture.width * made.picture.height) as usize;
    assert_eq!(dark + grey, all);
    assert!(grey > all / 10 && dark > all / 10);
    assert!((seen - dark as f64 / all as f64).abs() < 1e-12);
}

#[test]
fn pictures_without_pixels_and_far_too_large_ones_are_no_trouble() {
    let settings = PhotoSettings::default();
    let (_, marks) = photo_marks(1, &settings);
    let board = Bounds::of_size(2000.0, 180.0);
    let given = Given {
        marks: &marks,
        checks: &[],
        board,
        size: settings.size,
    };
    let view = straighten(&given).unwrap().view;
    for (width, height) in [(0, 0), (0, 7), (1600, 1200), (u32::MAX, u32::MAX)] {
        let empty = Picture {
            width,
            height,
            rgb: Vec::new(),
        };
        let mut work = Resampling::new(view, board, 10.0).unwrap();
        assert!(work.step(&empty, u32::MAX));
        assert_eq!(work.finish().unwrap().1, 0.0);
    }
    // A board of 40 m is taken in at 2 pixels a millimetre, and refused at 5 with a word.
    let long = Bounds::of_size(40_000.0, 300.0);
    assert!(Resampling::new(view, long, 0.5).is_ok());
    let refused = Resampling::new(view, long, 0.2).unwrap_err();
    let Remark::TooLarge { possible, .. } = refused else {
        panic!("{refused}")
    };
    assert!(Resampling::new(view, long, possible).is_ok());
    for pixel in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            Resampling::new(view, board, pixel).unwrap_err(),
            Remark::NoSize
        );
    }
    assert_eq!(
        Resampling::new(view, Bounds::EMPTY, 1.0).unwrap_err(),
        Remark::NoSize
    );
}
