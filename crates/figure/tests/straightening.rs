//! How near straightened photographs come to the truth, and whether they say so.

use heartside_figure::{CheckLength, Given, Mark, Spot, Straightened, straighten};
use heartside_geometry::{Bounds, Point};
use heartside_testkit::{Camera, Chance, PhotoSettings, photo_marks};

fn board(settings: &PhotoSettings) -> Bounds {
    Bounds::of_size(settings.length, settings.width)
}

fn straightened(
    settings: &PhotoSettings,
    marks: &[Mark],
    checks: &[CheckLength],
) -> Option<Straightened> {
    let given = Given {
        marks,
        checks,
        board: board(settings),
        size: settings.size,
    };
    straighten(&given).ok()
}

/// How far off a place comes out.
fn error(found: &Straightened, camera: &Camera, place: Point) -> f64 {
    let place_found = found.view.place_of(camera.spot_of(place));
    place_found.map_or(f64::INFINITY, |p| p.distance(place))
}

/// The median, the value that so many in a thousand stay under, and the greatest.
fn spread(values: &mut [f64]) -> [f64; 3] {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| values[((values.len() - 1) as f64 * share) as usize];
    [at(0.5), at(0.95), at(1.0)]
}

/// Photographs of a board of 2 m by four marks that span 80 % of it, each off by half a pixel at most: the
/// worst corner of each.
fn corner_errors(size: [u32; 2], photographs: u32) -> Vec<f64> {
    let settings = PhotoSettings {
        size,
        ..PhotoSettings::default()
    };
    let of_seed = |seed: u32| {
        let (camera, marks) = photo_marks(seed, &settings);
        let found = straightened(&settings, &marks, &[]).expect("marks of a photograph");
        let corners = board(&settings).corners();
        corners
            .map(|c| error(&found, &camera, c))
            .into_iter()
            .fold(0.0, f64::max)
    };
    (0..photographs).map(of_seed).collect()
}

#[test]
fn corners_come_out_within_a_millimetre_over_two_metres() {
    for (size, must) in [([6000, 4000], 1.0), ([4000, 3000], 1.5)] {
        let mut errors = corner_errors(size, 1000);
        let [middle, most, worst] = spread(&mut errors);
        let near = errors.iter().filter(|&&e| e <= 0.5).count();
        println!(
            "{size:?}: worst corner {middle:.2} mm in the middle, {most:.2} in 95 of 100, {worst:.2} at most; \
             {near} of 1000 within 0.5 mm"
        );
        assert!(worst <= must, "{size:?}: {worst} mm");
    }
}

/// Marks anywhere on and beside the board, four to eight of them.
fn any_marks(seed: u32, settings: &PhotoSettings) -> (Camera, Vec<Mark>) {
    let (camera, _) = photo_marks(seed, settings);
    let mut chance = Chance::new(seed ^ 0x3a4b_5c6d);
    let marks = (0..4 + chance.below(5)).map(|_| {
        let place = Point::new(
            chance.between(0.0, settings.length),
            chance.between(-60.0, settings.width + 60.0),
        );
        let spot = camera.spot_of(place);
        let off = settings.marks_off;
        let seen = Spot::new(
            spot.x + chance.between(-off, off),
            spot.y + chance.between(-off, off),
        );
        Mark { seen, place }
    });
    let marks = marks.collect();
    (camera, marks)
}

/// How often the told error of both ends holds, and by how much it is too large in the middle.
fn told(settings: &PhotoSettings, any: bool, with_check: bool) -> (usize, usize, f64) {
    let (mut held, mut of) = (0, 0);
    let mut ratios = Vec::new();
    for seed in 0..1000 {
        let (camera, marks) = if any {
            any_marks(seed, settings)
        } else {
            photo_marks(seed, settings)
        };
        let mut checks = Vec::new();
        if with_check {
            let (a, b) = (
                Point::new(20.0, 40.0),
                Point::new(settings.length - 30.0, 50.0),
            );
            let length = a.distance(b);
            let (from, to) = (camera.spot_of(a), camera.spot_of(b));
            checks.push(CheckLength { from, to, length });
        }
        // Marks in one line are refused; nothing is told then.
        let Some(found) = straightened(settings, &marks, &checks) else {
            continue;
        };
        for (end, x) in [0.0, settings.length].into_iter().enumerate() {
            let corners = [0.0, settings.width].map(|y| error(&found, &camera, Point::new(x, y)));
            let worst = corners[0].max(corners[1]);
            of += 1;
            held += usize::from(worst <= found.ends[end]);
            ratios.push(found.ends[end] / worst.max(1e-9));
        }
    }
    (held, of, spread(&mut ratios)[0])
}

#[test]
fn the_told_error_bounds_the_true_one_in_99_of_100() {
    let usual = PhotoSettings {
        size: [4000, 3000],
        ..PhotoSettings::default()
    };
    let small = PhotoSettings {
        size: [1600, 1200],
        spanning: 0.4,
        ..usual
    };
    let six = PhotoSettings { marks: 6, ..usual };
    let bent = |marks, bend| PhotoSettings {
        marks,
        bend,
        ..usual
    };
    let careless = PhotoSettings {
        marks: 6,
        marks_off: 1.5,
        ..usual
    };
    let two = PhotoSettings {
        marks: 2,
        tilt: 3.0,
        ..usual
    };
    let kinds = [
        ("four marks", usual, false, false),
        ("marks that span 40 %", small, false, false),
        ("six marks", six, false, false),
        ("any marks", usual, true, false),
        ("six marks, off by 1.5 pixels", careless, false, false),
        (
            "eight marks, lens bent by 0.01",
            bent(8, 0.01),
            false,
            false,
        ),
        (
            "eight marks, lens bent by -0.03",
            bent(8, -0.03),
            false,
            false,
        ),
        (
            "four marks and a check length, lens bent by 0.01",
            bent(4, 0.01),
            false,
            true,
        ),
        ("two marks, square on within 3 degrees", two, false, false),
    ];
    let mut short = Vec::new();
    for (name, settings, any, with_check) in kinds {
        let (held, of, ratio) = told(&settings, any, with_check);
        let share = 100.0 * held as f64 / of as f64;
        println!(
            "{name}: holds in {share:.1} of 100 ({of} ends), told {ratio:.1} times the true one in the middle"
        );
        assert!(of > 1500, "{name}: only {of} ends");
        // A slight bend hides in half a pixel of each mark: there the floor is met, not the aim.
        let slight = name == "eight marks, lens bent by 0.01";
        let least = if slight { 95.0 } else { 99.0 };
        if share < least {
            short.push((name, share));
        }
        // A bound that is always far too large tells nothing.
        assert!(ratio < 12.0, "{name}: {ratio}");
    }
    assert!(short.is_empty(), "{short:?}");
}
