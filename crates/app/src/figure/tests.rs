//! Faces looked for on boards with maps, offered and taken.

use heartside_check::check;
use heartside_testkit::figured_job;
use heartside_timber::document::{
    Answer, BoardCopy, Document, Levels, PartCopy, Pin, SapwoodSeen, Spread, Use, ZoneFace,
};
use heartside_timber::finding::is_sound;
use heartside_timber::plan::{Placed, Plan};

use super::asked::FaceAsked;
use crate::protocol::{FacesFound, Thing, ThingKind};
use crate::session::Session;

const TOP: &str = "panel top 1 front";

/// All that is found for the top of a job.
fn looked(document: &Document, like: Option<&str>) -> FaceAsked {
    let mut asked = FaceAsked::new(&document.save(), TOP, like);
    while asked.step() {}
    asked
}

fn why_nothing(document: &Document) -> String {
    let mut asked = FaceAsked::new(&document.save(), TOP, None);
    assert!(!asked.step());
    let FacesFound {
        sentence,
        cards,
        done,
        ..
    } = asked.found();
    assert!(done && cards.is_empty());
    sentence
}

fn opened(document: &Document) -> Session {
    let mut session = Session::default();
    assert!(session.open(&document.save()).accepted);
    session
}

fn plan_of(asked: &FaceAsked, index: u32) -> Plan {
    Plan::read(&asked.plan(index).unwrap()).unwrap()
}

#[test]
fn what_is_offered_is_checked_and_taken_in_one_step() {
    let mut offered = 0;
    for seed in [3, 5] {
        let document = figured_job(seed);
        let asked = looked(&document, None);
        let found = asked.found();
        assert!(found.done && found.share == 1.0);
        offered += found.cards.len();
        for card in &found.cards {
            let (job, plan) = asked.made(card.index).unwrap();
            assert!(is_sound(&check(job, plan)), "{seed}");
            assert!((0.0..=1.0).contains(&card.worth));
            assert!(card.cost.contains("cheapest plan known"), "{}", card.cost);
        }
        let worths: Vec<f64> = found.cards.iter().map(|card| card.worth).collect();
        let Some(best) = found.cards.first() else {
            continue;
        };
        assert!(best.worth + 1e-9 >= worths.iter().copied().fold(0.0, f64::max));
        let mut session = opened(&document);
        let before = session.save();
        let plan = asked.plan(best.index).unwrap();
        let taken = session.take_face(TOP, &plan);
        assert!(taken.done, "{:?}", taken.problem);
        let after = Document::open(&session.save()).unwrap().document;
        let staves = after
            .pins
            .iter()
            .filter(|p| p.part.part.starts_with("top.."));
        assert_eq!(
            staves.count(),
            plan_of(&asked, best.index).panels[0].staves.len()
        );
        let balance = session.balance(TOP, false).unwrap();
        assert_eq!(
            balance.measures, best.measures,
            "the floor shows what the card showed"
        );
        session.undo();
        assert_eq!(session.save(), before);
    }
    assert!(offered > 4, "{offered}");
}

#[test]
fn nothing_is_proposed_on_boards_left_alone_or_under_what_is_pinned() {
    let has_rail = |d: &Document| d.parts.iter().any(|p| p.id.starts_with("rail"));
    let mut document = (5..).map(figured_job).find(has_rail).unwrap();
    document.boards[0].usage = Use::Leave;
    let left = document.boards[0].id.clone();
    let asked = looked(&document, None);
    let cards = asked.found().cards;
    for card in &cards {
        let plan = plan_of(&asked, card.index);
        assert!(plan.layouts.iter().all(|l| l.board.board != left));
    }
    document.boards[0].usage = Use::Freely;
    // A rail in the middle of the first board stays there, and all faces lie beside it.
    let rail = document.parts.iter().find(|p| p.id.starts_with("rail"));
    let rail = rail.map(|p| p.id.clone()).unwrap();
    document.pins.push(Pin {
        part: PartCopy {
            part: rail.clone(),
            copy: 1,
        },
        board: left.clone(),
        board_copy: 1,
        at: Placed {
            x: 600.0,
            y: -30.0,
            ..Placed::default()
        },
    });
    let asked = looked(&document, None);
    let cards = asked.found().cards;
    assert!(!cards.is_empty());
    for card in cards {
        let plan = plan_of(&asked, card.index);
        let (layout, place) = plan.find(&rail, 1).unwrap();
        let board = BoardCopy {
            board: left.clone(),
            copy: 1,
        };
        assert_eq!(plan.layouts[layout].board, board);
        assert_eq!(plan.layouts[layout].placements[place].at.x, 600.0);
    }
}

#[test]
fn more_like_one_lie_near_where_it_lies() {
    let document = figured_job(3);
    let asked = looked(&document, None);
    let tells_staves = |card: &crate::protocol::FaceCard| {
        let mut told = card.cut_away.iter();
        told.any(|said| said.starts_with("Other staves"))
    };
    // One of the staves of the job, so that nothing is told of others.
    let cards = asked.found().cards;
    let first = cards.iter().find(|card| !tells_staves(card)).unwrap().index;
    let plan = asked.plan(first).unwrap();
    let like = looked(&document, Some(&plan));
    let cards = like.found().cards;
    assert!(!cards.is_empty());
    let one = plan_of(&asked, first);
    for card in cards {
        assert!(!tells_staves(&card), "{}", card.lies);
        let other = plan_of(&like, card.index);
        for stave in &one.panels[0].staves {
            let id = format!("top..1.{}", stave.number);
            let place = |plan: &Plan| {
                let (layout, place) = plan.find(&id, 1).unwrap();
                let layout = &plan.layouts[layout];
                (layout.board.clone(), layout.placements[place].at)
            };
            let (a, b) = (place(&one), place(&other));
            assert_eq!((a.0, a.1.turned_over), (b.0, b.1.turned_over));
        }
    }
}

#[test]
fn why_there_is_nothing_to_look_for_is_said() {
    let document = figured_job(3);
    let mut bare = document.clone();
    (bare.photos, bare.figure_maps) = Default::default();
    assert!(why_nothing(&bare).starts_with("Nothing is known of the figure of any board"));
    let balance = opened(&bare).balance(TOP, false).unwrap();
    assert!(balance.measures.is_empty() && balance.cannot_look.is_some());
    let mut thick = document.clone();
    let panel = thick.parts.iter_mut().find(|p| p.id == "top").unwrap();
    panel.thickness = Some(heartside_timber::document::Length::Mm(60.0));
    assert!(why_nothing(&thick).starts_with("No board whose figure is known gives Top"));
    let mut many = document.clone();
    many.panels[0].max_width = Some(heartside_timber::document::Length::Mm(30.0));
    many.panels[0].min_width = Some(heartside_timber::document::Length::Mm(20.0));
    assert!(why_nothing(&many).starts_with("It is of "));
    let mut unknown = FaceAsked::new(&document.save(), "panel lid 1 front", None);
    assert!(!unknown.step() && unknown.found().done);
    // Too coarse to say anything of it: no measure is made up.
    let mut coarse = document.clone();
    for map in &mut coarse.figure_maps {
        (map.cell, map.origin) = (map.cell * 60.0, [0.0, -6000.0]);
    }
    let asked = looked(&coarse, None);
    let found = asked.found();
    let said = |card: &crate::protocol::FaceCard| {
        card.measures
            .iter()
            .any(|m| m.name.starts_with("Halves") && m.value.is_some())
    };
    assert!(!found.cards.iter().any(said), "{found:?}");
}

#[test]
fn a_face_of_an_older_job_is_refused() {
    let document = figured_job(3);
    let asked = looked(&document, None);
    let plan = asked.plan(asked.found().cards[0].index).unwrap();
    let mut session = opened(&document);
    assert!(!session.take_face(TOP, "{").done);
    assert!(!session.take_face("panel lid 1 front", &plan).done);
    let pictures = session.face_pictures(TOP, &plan).unwrap();
    assert!(pictures.face.starts_with("<svg") && pictures.boards.contains("<svg"));
    let row = crate::protocol::Thing::row(crate::protocol::ThingKind::Part, 0);
    assert!(session.set(&row, "shape.length", "300").done);
    let before = session.save();
    let refused = session.take_face(TOP, &plan);
    assert!(!refused.done && refused.problem.unwrap().contains("look again"));
    assert_eq!(session.save(), before);
}

#[test]
fn what_stands_against_a_wish_is_told_where_it_is_chosen() {
    let mut document = figured_job(3);
    let is_up = |document: &Document, id: &str| {
        let mut photos = document.photos.iter();
        photos.any(|p| p.board == id && p.face == ZoneFace::Up)
    };
    let seen = document.clone();
    document.boards.retain(|board| is_up(&seen, &board.id));
    let row = document.parts.iter().position(|p| p.id == "top").unwrap();
    document.parts[row].may_turn_over = Some(false);
    let questions = |document: &Document| -> Vec<String> {
        let form = opened(document).form(&Thing::row(ThingKind::Part, row));
        let wish = form
            .fields
            .into_iter()
            .filter(|f| f.name.starts_with("panel.wish."));
        wish.filter_map(|field| field.question).collect()
    };
    assert_eq!(questions(&document), Vec::<String>::new());
    let wish = &mut document.panels[0].wish;
    (wish.answer, wish.spread, wish.sapwood) = (Answer::Mirror, Spread::Middle, SapwoodSeen::None);
    assert_eq!(questions(&document), Vec::<String>::new());
    let mut sappy = document.clone();
    for map in &mut sappy.figure_maps {
        for (name, levels) in &mut map.layers {
            if name == "sapwood" {
                *levels = Levels(vec![255; levels.0.len()].into());
            } else if name == "strength" {
                *levels = Levels(vec![90; levels.0.len()].into());
            }
        }
    }
    let said = questions(&sappy);
    assert!(
        said.len() == 2 && said[0].contains("lively everywhere"),
        "{said:?}"
    );
    assert!(said[1].contains("heartwood for 0 of 100"), "{said:?}");
    (document.photos, document.figure_maps) = Default::default();
    let said = questions(&document);
    assert_eq!(said.len(), 3, "{said:?}");
}
