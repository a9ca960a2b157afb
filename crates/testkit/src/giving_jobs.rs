//! Jobs in which something gives: a panel of free widths, sizes with a range.

use heartside_timber::document::{
    Board, BoardOutline, Cuts, Dimension, Document, EdgeKind, Faces, GrainAxis, HeartSide, Hearts,
    Length, Panel, Part, PartGrain, Price, PricePer, Shape, Surface, Warp, Zone,
};

use crate::chance::Chance;
use crate::timberyard::{empty_job, mm, spot};

/// What a part is thick, and the boards are.
const THICK: (f64, f64) = (20.0, 24.0);

/// A job of one panel with free widths: up to eight straight-edged boards, some with flaws in boxes, all
/// sizes on a grid of 5 mm; a kerf of 5 mm and no allowances, so that an exact reference can be made.
pub fn panel_job(seed: u32) -> Document {
    let mut chance = Chance::new(seed ^ 0x7a4e_0001);
    let mut document = empty_job(format!("Panel {seed}"));
    document.workshop.tools.truncate(1);
    document.workshop.tools[0].kerf = mm(5.0);
    document.allowances.end = mm(0.0);
    document.allowances.edge = mm(0.0);
    let length = grid(&mut chance, 500.0, 1100.0);
    for index in 0..4 + chance.below(5) {
        let size = (
            grid(&mut chance, 600.0, 2600.0),
            grid(&mut chance, 90.0, 230.0),
        );
        let flaws = (0..chance.below(3)).map(|_| {
            let (wide, high) = (grid(&mut chance, 10.0, 60.0), grid(&mut chance, 10.0, 40.0));
            let x = grid(&mut chance, 0.0, size.0 - wide);
            let y = grid(&mut chance, 0.0, size.1 - high);
            let [x0, x1, y0, y1] = [x, x + wide, y, y + high];
            Zone {
                shape: Some(heartside_timber::document::ZoneShape::Polygon {
                    points: [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
                        .map(|p| p.map(Length::Mm))
                        .to_vec(),
                }),
                ..Zone::default()
            }
        });
        let flaws = flaws.collect();
        document.boards.push(straight_board(index, size, flaws));
    }
    let width = grid(&mut chance, 300.0, 700.0);
    document
        .parts
        .push(part("top", "Top", (length, width), 1.0));
    let widest = grid(&mut chance, 90.0, 180.0);
    document.panels.push(Panel {
        part: "top".into(),
        min_width: mm(40.0),
        max_width: mm(widest),
        max_count: Some((width / widest).ceil() as u32 + chance.below(5) as u32),
        flatten: mm(0.0),
        ..Panel::default()
    });
    document
}

/// A job with a panel of some kind beside other parts, on flawed boards of which the heart side is known;
/// some of them are sawn by line.
pub fn panels_job(seed: u32) -> Document {
    let mut document = crate::workshop_job(
        seed,
        crate::JobSize {
            boards: 8,
            pieces: 8,
            sawn: 0,
        },
    );
    let mut chance = Chance::new(seed ^ 0x7a4e_0002);
    for board in &mut document.boards {
        board.heart_side = *chance.one_of(&[
            heartside_timber::document::HeartSide::Up,
            heartside_timber::document::HeartSide::Down,
        ]);
        if chance.percent(15) {
            board.cuts = Cuts::Sawn;
        }
    }
    add_panel(&mut document, "top", "Top", &mut chance);
    document
}

/// A job of a panel whose staves may be joined end to end, beside other parts; no board is as long as the
/// panel, but for one in some jobs.
pub fn joined_job(seed: u32) -> Document {
    let mut chance = Chance::new(seed ^ 0x7a4e_0005);
    let mut document = empty_job(format!("Joined {seed}"));
    let length = chance.length(1200.0, 1800.0).round();
    let width = chance.length(220.0, 420.0).round();
    for index in 0..9 + chance.below(5) {
        let is_long = index == 0 && chance.percent(40);
        let size = (
            if is_long {
                length + 60.0
            } else {
                chance.length(0.45 * length, 0.9 * length).round()
            },
            chance.length(90.0, 190.0).round(),
        );
        let flaws = (0..chance.below(3)).map(|_| {
            let x = chance.length(50.0, size.0 - 50.0);
            let y = chance.length(10.0, size.1 - 10.0);
            let (wide, high) = (chance.length(15.0, 60.0), chance.length(10.0, 30.0));
            spot(x, y, wide, high, true)
        });
        let flaws = flaws.collect();
        let mut board = straight_board(index, size, flaws);
        board.heart_side = *chance.one_of(&[HeartSide::Up, HeartSide::Down]);
        if chance.percent(15) {
            board.cuts = Cuts::Sawn;
        }
        document.boards.push(board);
    }
    for index in 0..chance.below(4) {
        let size = (chance.length(200.0, 600.0), chance.length(40.0, 90.0));
        let (id, name) = (format!("p{index}"), format!("Part {index}"));
        document.parts.push(part(&id, &name, size, 1.0));
    }
    let mut top = part("top", "Top", (length, width), 1.0);
    top.thickness = mm(19.0);
    document.parts.push(top);
    document.panels.push(Panel {
        part: "top".into(),
        max_width: mm(chance.length(80.0, 140.0).round()),
        equal: chance.percent(30),
        hearts: *chance.one_of(&[Hearts::Any, Hearts::Alternate, Hearts::Same]),
        joint: chance.percent(30).then_some(Length::Mm(6.0)),
        end_to_end: true,
        min_piece: mm(chance.length(150.0, 300.0).round()),
        ends_apart: mm(chance.length(50.0, 150.0).round()),
        end_joint: chance.percent(40).then_some(Length::Mm(12.0)),
        ..Panel::default()
    });
    document
}

/// A job of 12 boards and 60 straight parts with three panels besides, of which the first plan is measured.
pub fn three_panels_job(seed: u32) -> Document {
    let mut document = crate::workshop_job(
        seed,
        crate::JobSize {
            boards: 12,
            pieces: 60,
            sawn: 0,
        },
    );
    let mut chance = Chance::new(seed ^ 0x7a4e_0004);
    for (id, name) in [("top", "Top"), ("shelf", "Shelf"), ("back", "Back")] {
        add_panel(&mut document, id, name, &mut chance);
    }
    document
}

fn add_panel(document: &mut Document, id: &str, name: &str, chance: &mut Chance) {
    let size = (chance.length(350.0, 800.0), chance.length(220.0, 420.0));
    let mut whole = part(id, name, size, 1.0 + chance.below(2) as f64);
    whole.thickness = mm(17.0);
    document.parts.push(whole);
    document.panels.push(Panel {
        part: id.into(),
        max_width: mm(chance.length(70.0, 130.0)),
        equal: chance.percent(40),
        hearts: *chance.one_of(&[Hearts::Any, Hearts::Alternate, Hearts::Same]),
        joint: chance.percent(30).then_some(Length::Mm(6.0)),
        ..Panel::default()
    });
}

/// A job whose sizes give: at most 4 boards and 12 parts, one or two dimensions with a range of 60 mm in
/// steps of 5.
pub fn sizes_job(seed: u32) -> Document {
    let mut chance = Chance::new(seed ^ 0x7a4e_0003);
    let mut document = empty_job(format!("Sizes {seed}"));
    let mut area = 0.0;
    for index in 0..2 + chance.below(3) {
        let size = (
            chance.length(900.0, 1800.0).round(),
            chance.length(110.0, 200.0).round(),
        );
        area += size.0 * size.1;
        let flaws = (0..chance.below(3)).map(|_| {
            let (x, y) = (
                chance.length(50.0, size.0 - 50.0),
                chance.length(10.0, size.1 - 10.0),
            );
            spot(
                x,
                y,
                chance.length(15.0, 60.0),
                chance.length(10.0, 30.0),
                true,
            )
        });
        let flaws = flaws.collect();
        document.boards.push(straight_board(index, size, flaws));
    }
    let names = ["length", "width"];
    let count = 1 + chance.below(2);
    let preferred = [
        grid(&mut chance, 500.0, 800.0),
        grid(&mut chance, 90.0, 120.0),
    ];
    for (name, preferred) in names.iter().zip(preferred).take(count) {
        let low = grid(&mut chance, 20.0, 60.0);
        document.dimensions.push(Dimension {
            name: (*name).into(),
            preferred: mm(preferred),
            least: mm(preferred - low),
            most: mm(preferred + 60.0 - low),
            step: mm(5.0),
            ..Dimension::default()
        });
    }
    let expr = |text: &str| Length::Expr { expr: text.into() };
    let mut made = 0.0;
    while made < 0.6 * area && document.parts.len() < 6 {
        let index = document.parts.len() + 1;
        let (id, name) = (format!("p{index}"), format!("Part {index}"));
        let count = 1 + chance.below(2);
        let size = (
            chance.length(200.0, 600.0).round(),
            chance.length(40.0, 90.0).round(),
        );
        let mut part = part(&id, &name, size, count as f64);
        let (mut length, mut width) = (Length::Mm(size.0), Length::Mm(size.1));
        if index == 1 || chance.percent(40) {
            length = expr("length - 40");
            made += preferred[0] * size.1 * count as f64;
        } else {
            made += size.0 * size.1 * count as f64;
        }
        if index == 2 && document.dimensions.len() > 1 {
            width = expr("width");
        }
        part.shape = Some(Shape::Rectangle { length, width });
        document.parts.push(part);
    }
    if document.parts.len() == 1 && document.dimensions.len() > 1 {
        document.dimensions.pop();
    }
    document
}

/// A length on the grid of 5 mm.
fn grid(chance: &mut Chance, low: f64, high: f64) -> f64 {
    (chance.between(low, high) / 5.0).round() * 5.0
}

fn straight_board(index: usize, (length, width): (f64, f64), zones: Vec<Zone>) -> Board {
    let corners = [[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]];
    Board {
        id: format!("B{}", index + 1),
        outline: Some(BoardOutline::Polygon {
            points: corners.map(|p| p.map(Length::Mm)).to_vec(),
            sides: vec![EdgeKind::Straight; 4],
            holes: Vec::new(),
            hole_sides: Vec::new(),
        }),
        thickness: mm(THICK.1),
        surface: Surface::Planed,
        warp: Some(Warp::default()),
        price: Some(Price {
            amount: (length * width / 1e4).round(),
            per: PricePer::Board,
        }),
        zones,
        ..Board::default()
    }
}

fn part(id: &str, name: &str, (length, width): (f64, f64), count: f64) -> Part {
    Part {
        id: id.into(),
        name: name.into(),
        count: Some(count),
        shape: Some(Shape::Rectangle {
            length: Length::Mm(length),
            width: Length::Mm(width),
        }),
        thickness: mm(THICK.0),
        grain: PartGrain {
            axis: GrainAxis::Along,
            ..PartGrain::default()
        },
        faces: Faces::Both,
        ..Part::default()
    }
}
