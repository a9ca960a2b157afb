//! The search for halves that answer each other: hidden ones are found, and what holds of any search.

use std::cell::Cell;
use std::rc::Rc;

use heartside_figure::balance::{Answer, Wish};
use heartside_figure::map::{FigureMap, Layer};
use heartside_figure::matching::{Lacking, Matching, Room, Sought, Source};
use heartside_geometry::{Bounds, Point, Pose};
use heartside_testkit::{AnsweringBoards, AnsweringSettings, answering_boards};
use proptest::prelude::*;

fn mirror() -> Wish {
    Wish {
        answer: Answer::Mirror,
        ..Wish::default()
    }
}

fn sought(boards: &AnsweringBoards) -> Sought {
    Sought {
        maps: Rc::from(boards.maps.clone()),
        sources: boards.sources.clone(),
        tiles: boards.tiles.clone(),
        size: boards.size,
        wish: mirror(),
        room: Rc::new(boards.room.clone()),
        seed: 1,
        start: None,
    }
}

fn done(sought: Sought) -> Matching {
    let mut matching = Matching::new(sought);
    while !matching.step(100) {}
    matching
}

/// Small boards, so that a search takes little.
fn small(seed: u32) -> AnsweringBoards {
    answering_boards(
        seed,
        &AnsweringSettings {
            stave: [500.0, 110.0],
            board: [800.0, 220.0],
            both_faces: 0,
            tilt: 1.5,
            ..AnsweringSettings::default()
        },
    )
}

#[test]
fn hidden_halves_are_found() {
    for seed in [1, 4] {
        let settings = AnsweringSettings {
            stave: [700.0, 150.0],
            board: [1300.0, 300.0],
            both_faces: seed as usize % 2,
            ..AnsweringSettings::default()
        };
        let boards = answering_boards(seed, &settings);
        let matching = done(sought(&boards));
        let off = boards.off(&matching.proposals()[0].lies);
        let found = off.iter().all(|o| o.0 <= 5.0 && o.1 <= 0.3);
        assert!(found, "case {seed}: {off:?} mm and degrees off");
    }
}

/// Asks the room, and remembers whether it was ever broken.
struct Asked {
    room: heartside_testkit::BoardRoom,
    asked: Cell<u32>,
}

impl Room for Asked {
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool {
        self.asked.set(self.asked.get() + 1);
        self.room.may_lie(tile, source, at)
    }
    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool {
        self.room.are_apart(one, other)
    }
}

#[test]
fn steps_add_up_never_worsen_and_nothing_breaks_the_room() {
    let boards = small(3);
    let room = Rc::new(Asked {
        room: boards.room.clone(),
        asked: Cell::new(0),
    });
    let mut one = Matching::new(Sought {
        room: Rc::clone(&room) as Rc<dyn Room>,
        ..sought(&boards)
    });
    let mut best = 0.0;
    let mut steps = 0;
    loop {
        let is_done = one.step(7);
        steps += 7;
        let proposals = one.proposals();
        assert!(proposals.len() <= 6);
        assert!(proposals.windows(2).all(|w| w[0].worth >= w[1].worth));
        let now = proposals.first().map_or(0.0, |p| p.worth);
        assert!(now >= best, "{now} after {best}, by step {steps}");
        best = now;
        for lies in proposals.iter().map(|p| &p.lies) {
            for (tile, &(source, at)) in lies.iter().enumerate() {
                assert!(boards.room.may_lie(tile, source, at));
                for (k, &(s, p)) in lies.iter().enumerate().skip(tile + 1) {
                    assert!(boards.room.are_apart((tile, source, at), (k, s, p)));
                }
            }
        }
        if is_done {
            break;
        }
    }
    assert!(best > 0.5);
    assert!(
        room.asked.get() < 40_000,
        "asked {} times",
        room.asked.get()
    );
    let mut other = Matching::new(sought(&boards));
    other.step(3);
    other.step(steps - 3);
    assert_eq!(other.proposals(), one.proposals());

    // More like the second, which stays.
    let second = one
        .proposals()
        .get(1)
        .cloned()
        .expect("there are two at least");
    one.more_like(&second);
    while !one.step(10) {}
    assert!(
        one.proposals()
            .iter()
            .any(|p| p.worth >= second.worth - 1e-9)
    );
    let sources = |lies: &[(usize, Pose)]| {
        let mut all: Vec<usize> = lies.iter().map(|l| l.0).collect();
        all.sort_unstable();
        all
    };
    assert!(
        one.proposals()
            .iter()
            .all(|p| sources(&p.lies) == sources(&second.lies))
    );
}

#[test]
fn a_given_face_is_taken_as_one_among_others() {
    let boards = small(5);
    let start = boards.hidden.clone();
    let mut given = Matching::new(Sought {
        start: Some(start),
        ..sought(&boards)
    });
    let mut steps = 0;
    while given.proposals().is_empty() {
        given.step(1);
        steps += 1;
    }
    let worth = given.proposals()[0].worth;
    assert!(worth > 0.6 && steps < 50, "{worth} after {steps} steps");
    while !given.step(100) {}
    assert!(given.proposals()[0].worth >= worth);
}

/// A room of which only some sources are known.
struct Fewer {
    room: heartside_testkit::BoardRoom,
    known: Vec<usize>,
}

impl Room for Fewer {
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool {
        self.room.may_lie(tile, self.known[source], at)
    }
    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool {
        let of = |(tile, source, at): (usize, usize, Pose)| (tile, self.known[source], at);
        self.room.are_apart(of(one), of(other))
    }
}

/// A room seen in a mirror, y to -y.
struct Mirrored(heartside_testkit::BoardRoom, Vec<Bounds>);

impl Mirrored {
    fn back(&self, tile: usize, at: Pose) -> Pose {
        let corner = at.apply(Point::new(0.0, self.1[tile].height()));
        Pose::new(corner.x, -corner.y, -at.turn)
    }
}

impl Room for Mirrored {
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool {
        self.0.may_lie(tile, source, self.back(tile, at))
    }
    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool {
        let of = |(tile, source, at): (usize, usize, Pose)| (tile, source, self.back(tile, at));
        self.0.are_apart(of(one), of(other))
    }
}

fn mirrored(layer: &Layer) -> Layer {
    let lines: Vec<&[u8]> = layer.levels.chunks(layer.columns.max(1)).rev().collect();
    Layer {
        origin: [
            layer.origin[0],
            -layer.origin[1] - layer.cell * layer.rows() as f64,
        ],
        levels: lines.concat(),
        ..layer.clone()
    }
}

#[test]
fn a_board_more_is_never_worse_and_mirrored_boards_give_mirrored_faces() {
    let seed = 2;
    let boards = answering_boards(
        seed,
        &AnsweringSettings {
            stave: [500.0, 110.0],
            boards: 3,
            board: [800.0, 220.0],
            both_faces: 0,
            tilt: 1.5,
            ..AnsweringSettings::default()
        },
    );
    let all = done(sought(&boards));
    let best = all.proposals()[0].worth;
    for out in 0..3 {
        let known: Vec<usize> = (0..3).filter(|s| *s != out).collect();
        let fewer = done(Sought {
            sources: known.iter().map(|&s| boards.sources[s]).collect(),
            room: Rc::new(Fewer {
                room: boards.room.clone(),
                known,
            }),
            ..sought(&boards)
        });
        let without = fewer.proposals().first().map_or(0.0, |p| p.worth);
        // A climb ends a little sooner or later.
        assert!(
            best >= without - 0.02,
            "case {seed}: {best}, and {without} without board {out}"
        );
    }
    let flipped =
        |b: Bounds| Bounds::new(Point::new(b.min.x, -b.max.y), Point::new(b.max.x, -b.min.y));
    let maps: Vec<FigureMap> = boards
        .maps
        .iter()
        .map(|map| FigureMap {
            light: mirrored(&map.light),
            sapwood: mirrored(&map.sapwood),
            ..FigureMap::default()
        })
        .collect();
    let sources = boards.sources.iter().map(|s| Source {
        extent: flipped(s.extent),
        ..*s
    });
    let room = Mirrored(boards.room.clone(), boards.tiles.clone());
    let in_mirror = done(Sought {
        maps: Rc::from(maps),
        sources: sources.collect(),
        room: Rc::new(room),
        ..sought(&boards)
    });
    let there = in_mirror.proposals()[0].worth;
    assert!(
        (there - best).abs() < 0.03,
        "case {seed}: {best}, and {there} in the mirror"
    );
}

/// Everything may lie everywhere within the extents, but never two at once on one board.
struct Anywhere(Vec<Source>, Vec<Bounds>);

impl Room for Anywhere {
    fn may_lie(&self, tile: usize, source: usize, at: Pose) -> bool {
        let corners = Bounds::of_size(self.1[tile].width(), self.1[tile].height()).corners();
        let extent = self.0[source].extent;
        corners.iter().all(|&c| extent.contains(at.apply(c)))
    }
    fn are_apart(&self, one: (usize, usize, Pose), other: (usize, usize, Pose)) -> bool {
        self.0[one.1].board != self.0[other.1].board
    }
}

fn any_layer() -> impl Strategy<Value = Layer> {
    let cell = prop_oneof![
        Just(4.0),
        Just(20.0),
        Just(0.0),
        Just(f64::NAN),
        Just(300.0)
    ];
    let levels = prop::collection::vec(prop_oneof![Just(0u8), any::<u8>()], 0..600);
    (cell, 0usize..60, levels).prop_map(|(cell, columns, levels)| Layer {
        cell,
        origin: [0.0, 0.0],
        columns,
        levels,
    })
}

fn any_side() -> impl Strategy<Value = f64> {
    prop_oneof![8 => 10.0..400.0, 1 => Just(1e5), 1 => Just(0.0), 1 => Just(f64::NAN)]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn nothing_panics_and_what_is_lacking_is_said(
        layers in prop::collection::vec(any_layer(), 1..3),
        tile in [any_side(), any_side()],
        extent in [50.0..900.0f64, 20.0..200.0f64],
        run_on in any::<bool>(),
    ) {
        let maps: Vec<FigureMap> = layers
            .into_iter()
            .map(|light| FigureMap { light, ..FigureMap::default() })
            .collect();
        let sources: Vec<Source> = (0..2)
            .map(|k| Source {
                map: k,
                board: k,
                is_down: false,
                extent: Bounds::of_size(extent[0], extent[1]),
            })
            .collect();
        let tiles = vec![
            Bounds { min: Point::new(0.0, 0.0), max: Point::new(tile[0], tile[1]) },
            Bounds { min: Point::new(0.0, tile[1]), max: Point::new(tile[0], 2.0 * tile[1]) },
        ];
        let answer = if run_on { Answer::RunOn } else { Answer::Mirror };
        let mut matching = Matching::new(Sought {
            maps: Rc::from(maps),
            sources: sources.clone(),
            tiles: tiles.clone(),
            size: [tile[0], 2.0 * tile[1]],
            wish: Wish { answer, ..Wish::default() },
            room: Rc::new(Anywhere(sources, tiles)),
            seed: 3,
            start: None,
        });
        while !matching.step(50) {}
        prop_assert!(matching.proposals().is_empty() == matching.lacking().is_some());
    }
}

#[test]
fn a_reason_is_given() {
    let boards = small(7);
    let reason = |change: &dyn Fn(&mut Sought)| {
        let mut sought = sought(&boards);
        change(&mut sought);
        let matching = done(sought);
        assert!(matching.proposals().is_empty());
        matching.lacking()
    };
    let unseen = reason(&|s| s.maps = Rc::from(vec![FigureMap::default(); s.maps.len()]));
    assert_eq!(unseen, Some(Lacking::Seen));
    let coarse = reason(&|s| {
        let light = Layer {
            cell: 60.0,
            origin: [0.0; 2],
            columns: 13,
            levels: vec![128; 39],
        };
        let map = FigureMap {
            light,
            ..FigureMap::default()
        };
        s.maps = Rc::from(vec![map; s.maps.len()]);
    });
    assert_eq!(coarse, Some(Lacking::Fineness));
    let too_long = reason(&|s| {
        s.size[0] = 900.0;
        for tile in &mut s.tiles {
            tile.max.x = 900.0;
        }
    });
    assert_eq!(too_long, Some(Lacking::Room { tile: 0 }));
    let none = reason(&|s| s.tiles.clear());
    assert_eq!(none, Some(Lacking::Nothing));
}
