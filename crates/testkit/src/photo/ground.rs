//! What a board lies on when it is photographed.

use heartside_geometry::{Point, math};

use super::noise::{Noise, blended, lit, smooth};

/// What a board lies on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ground {
    /// A smooth grey floor with stains.
    Concrete,
    /// A lawn.
    Grass,
    /// A dyed cloth with folds.
    Cloth,
    /// Other boards, lying the same way.
    Boards,
    /// Stones as large as a knot.
    Gravel,
    /// A floor of planks, laid across.
    Planks,
}

impl Ground {
    /// All of them.
    pub const ALL: [Ground; 6] = [
        Ground::Concrete,
        Ground::Grass,
        Ground::Cloth,
        Ground::Boards,
        Ground::Gravel,
        Ground::Planks,
    ];

    /// Its colour at a place: red, green, blue from 0 to 255.
    pub(super) fn colour(self, noise: Noise, place: Point) -> [f64; 3] {
        let Point { x, y } = place;
        match self {
            Ground::Concrete => {
                let stain = noise.detailed(x / 400.0, y / 400.0, 3);
                let grain = noise.other(50).at(x / 1.5, y / 1.5);
                lit([152.0, 150.0, 145.0], 1.0 + 0.16 * stain + 0.07 * grain)
            }
            Ground::Grass => {
                // Blades: short strokes, each area in its own direction.
                let area = noise.of_cell((x / 25.0).floor() as i32, (y / 25.0).floor() as i32);
                let (s, c) = (math::sin(3.1 * area), math::cos(3.1 * area));
                let blade = noise
                    .other(51)
                    .at((x * c + y * s) / 22.0, (y * c - x * s) / 3.0);
                let light = noise.detailed(x / 90.0, y / 90.0, 3);
                let dry = smooth(0.5 + noise.other(52).at(x / 30.0, y / 30.0) - 0.4);
                let green = blended([78.0, 108.0, 42.0], [150.0, 146.0, 84.0], dry);
                lit(green, 1.0 + 0.45 * blade + 0.3 * light)
            }
            Ground::Cloth => {
                let dye = [[48.0, 66.0, 104.0], [122.0, 40.0, 44.0], [88.0, 90.0, 92.0]];
                let dye = dye[(noise.of_cell(0, 0) * 3.0) as usize % 3];
                let weave = math::sin(x * 2.1) * math::sin(y * 2.1);
                let fold = noise.detailed((x + 0.3 * y) / 160.0, (y - 0.2 * x) / 420.0, 2);
                lit(dye, 1.0 + 0.08 * weave + 0.35 * fold)
            }
            Ground::Boards => {
                // Each 150 wide and of its own tint, with a gap between.
                let lane = (y / 154.0).floor();
                let tint = noise.of_cell(lane as i32, 7);
                let within = y - lane * 154.0;
                if within < 4.0 {
                    return [28.0, 24.0, 20.0];
                }
                let wood = blended([176.0, 138.0, 96.0], [124.0, 88.0, 58.0], tint);
                planed(noise.other(lane as i32 as u32), wood, x, y)
            }
            Ground::Gravel => {
                let (near, number) = nearest_stone(noise, x / 24.0, y / 24.0);
                let stone = blended([128.0, 122.0, 114.0], [170.0, 152.0, 130.0], number);
                let light = 1.1 - 0.9 * smooth((near - 0.25) / 0.5);
                lit(
                    stone,
                    light * (0.8 + 0.4 * noise.of_cell((number * 1e6) as i32, 3)),
                )
            }
            Ground::Planks => {
                let lane = (x / 96.0).floor();
                let tint = noise.of_cell(lane as i32, 11);
                if x - lane * 96.0 < 2.0 {
                    return [40.0, 32.0, 26.0];
                }
                let wood = blended([132.0, 104.0, 78.0], [160.0, 128.0, 96.0], tint);
                planed(noise.other(lane as i32 as u32), wood, y, x)
            }
        }
    }
}

/// Plain wood of a colour, its grain along the first coordinate.
fn planed(noise: Noise, wood: [f64; 3], along: f64, across: f64) -> [f64; 3] {
    let line = across + 6.0 * noise.at(along / 300.0, across / 120.0);
    let ring = noise.other(60).at(along / 900.0, line / 5.0);
    let fibre = noise.other(61).at(along / 40.0, line / 1.2);
    lit(wood, 1.0 + 0.12 * ring + 0.07 * fibre)
}

/// The distance to the nearest stone's middle, and that stone's number within [0, 1) (cellular noise:
/// Worley 1996).
fn nearest_stone(noise: Noise, x: f64, y: f64) -> (f64, f64) {
    let (column, row) = (x.floor() as i32, y.floor() as i32);
    let mut best = (f64::INFINITY, 0.0);
    for r in row - 1..=row + 1 {
        for c in column - 1..=column + 1 {
            let dx = f64::from(c) + noise.of_cell(c, r) - x;
            let dy = f64::from(r) + noise.other(1).of_cell(c, r) - y;
            let squared = dx * dx + dy * dy;
            if squared < best.0 {
                best = (squared, noise.other(2).of_cell(c, r));
            }
        }
    }
    (best.0.sqrt(), best.1)
}
