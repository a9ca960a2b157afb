//! The demo job whose photographs are rendered: its boards are those that the invented logs give.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use heartside_app::figure::asked::FaceAsked;
use heartside_app::photograph::Photograph;
use heartside_app::protocol::{FacePictures, PhotoToRender};
use heartside_app::session::Session;
use heartside_figure::log::{Log, THICKNESS};
use heartside_timber::choices::{PanelChoice, Stave};
use heartside_timber::document::{
    BoardOutline, Document, FigureMap, HeartSide, Length, PartCopy, Station, ZoneFace,
};
use heartside_timber::plan::Plan;

/// How far apart its widths are given, and how much of the floor its pictures show round it, in millimetres.
const STEP: f64 = 100.0;
const RIM: f64 = 12.0;

fn whole(mm: f64) -> Length {
    Length::Mm(mm)
}

/// Where a file of the demo lies.
fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures")
        .join(name)
}

/// A number that tells texts apart (FNV-1a, 32 bits).
fn hash(text: &str) -> u32 {
    let step = |hash: u32, byte: u8| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    text.bytes().fold(0x811c_9dc5, step)
}

/// The demo job as it is opened.
fn opened() -> Session {
    let text = std::fs::read_to_string(fixture("sideboard.heartside.json"));
    let mut session = Session::default();
    session.open(&text.unwrap_or_default());
    session
}

/// The map of a face whose photograph is asked for.
fn rendered(asked: &PhotoToRender) -> String {
    let mut photograph = Photograph::rendered(
        [asked.log, asked.board],
        asked.is_down,
        asked.size,
        asked.place.pixel,
        asked.place.origin,
    );
    photograph.map_begin(&asked.place.outline);
    while photograph.map(256) < 1.0 {}
    photograph.figure().map
}

/// The demo job with the maps of all its photographs, which are made once.
fn mapped() -> Session {
    static MAPPED: OnceLock<String> = OnceLock::new();
    let text = MAPPED.get_or_init(|| {
        let mut session = opened();
        for (place, asked) in session.photos_to_render().iter().enumerate() {
            assert!(session.keep_rendered(asked.row, &hash_of(place), &rendered(asked)));
        }
        session.save()
    });
    let mut session = Session::default();
    session.open(text);
    let photos = session.faces_known().len();
    session.show_photos((0..photos).map(hash_of).collect());
    session
}

/// What the file of a photograph is called here.
fn hash_of(place: usize) -> String {
    format!("{place:064x}")
}

/// The shapes that a drawing clips by, by their ids.
fn clips(svg: &str) -> Vec<(String, String)> {
    let told = svg.split("<clipPath id=\"").skip(1);
    let clips = told.filter_map(|clip| {
        let (id, rest) = clip.split_once('"')?;
        let (shape, _) = rest.split_once("</clipPath>")?;
        Some((id.to_owned(), shape.to_owned()))
    });
    clips.collect()
}

/// Beside the dark wood about a pith all heartwood is pale; told as sapwood it kept the neighbours apart.
#[test]
fn neighbours_of_one_log_are_offered_opened_like_a_book() {
    let session = mapped();
    for face in session.faces_known() {
        let levels = face.map.sapwood.levels.iter().filter(|level| **level > 0);
        let (wood, sap) = levels.fold((0, 0), |(wood, sap), level| {
            (wood + 1, sap + u32::from(*level >= 128))
        });
        let told = format!("{} {}: {sap} of {wood}", face.board, face.is_down);
        assert!(wood > 1_000 && 4 * sap < wood, "{told}");
    }
    let key = session.faces()[0].key.clone();
    let mut asked = FaceAsked::new(&session.save(), &key, None);
    while asked.step() {}
    let best = &asked.found().cards[0];
    assert_eq!(best.lies, "Stave 1 from A; stave 2 from B, turned over");
    assert!(best.worth > 0.7, "{}", best.worth);
}

/// A plan of least timber has a wide stave and a narrow one, whose halves cannot answer.
#[test]
fn a_top_is_halved_where_its_staves_are_free() {
    let session = mapped();
    let mut document = Document::open(&session.save()).unwrap().document;
    let panel = &mut document.panels[0];
    (panel.equal, panel.max_count) = (false, None);
    (panel.min_width, panel.max_width) = (None, None);
    let staves = [331.0, 99.0].into_iter().zip(1..);
    let staves = staves.map(|(width, number)| Stave::whole(number, width));
    document.plan = Some(Plan {
        panels: vec![PanelChoice {
            panel: PartCopy {
                part: panel.part.clone(),
                copy: 1,
            },
            staves: staves.collect(),
        }],
        ..Plan::default()
    });
    let key = session.faces()[0].key.clone();
    let mut asked = FaceAsked::new(&document.save(), &key, None);
    while asked.step() {}
    let best = asked.found().cards.remove(0);
    assert!(best.worth > 0.7, "{}", best.worth);
    assert_eq!(best.cut_away[0], "Other staves than now: 2 of 215 mm");
    let mut shapes: BTreeMap<String, String> = BTreeMap::new();
    for card in asked.found().cards {
        let pictures = session.face_pictures(&key, &asked.plan(card.index).unwrap());
        let FacePictures { face, boards } = pictures.unwrap();
        for clip in [&face, &boards].iter().flat_map(|svg| clips(svg)) {
            let known = shapes.entry(clip.0).or_insert(clip.1.clone());
            assert_eq!(*known, clip.1, "what is shown beside it clips by it");
        }
    }
    assert!(shapes.len() > 4, "{shapes:?}");
    let mut taken = Session::default();
    taken.open(&document.save());
    let plan = asked.plan(best.index).unwrap();
    assert!(taken.take_face(&key, &plan).done);
    let widths = |session: &Session| -> Vec<String> {
        let staves = session.panels().remove(0).staves;
        staves.into_iter().map(|stave| stave.text).collect()
    };
    assert!(
        widths(&taken)
            .iter()
            .all(|text| text.starts_with("215 wide")),
        "{:?}",
        widths(&taken)
    );
    taken.undo();
    assert!(
        widths(&taken)[0].starts_with("99 wide"),
        "{:?}",
        widths(&taken)
    );
}

/// `sideboard-map.txt` holds the number that the browser tests find in the page too.
#[test]
fn the_map_of_its_first_face_is_the_same_everywhere() {
    let mut session = opened();
    let asked = session.photos_to_render().remove(0);
    let map = rendered(&asked);
    assert!(session.keep_rendered(asked.row, &"ab".repeat(32), &map));
    let waiting = session.photos_to_render();
    assert!(waiting.iter().all(|other| other.row != asked.row));
    let rows: Vec<FigureMap> = serde_json::from_str(&map).unwrap();
    let layers = rows.iter().flat_map(|row| row.layers.values());
    let levels = layers.map(|levels| serde_json::to_value(levels).unwrap());
    let levels: String = levels
        .map(|text| text.as_str().unwrap().to_owned())
        .collect();
    let told = format!("{}\n", hash(&levels));
    let path = fixture("sideboard-map.txt");
    if std::env::var_os("HEARTSIDE_BLESS").is_some() {
        std::fs::write(&path, &told).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), told);
}

#[test]
fn its_boards_are_those_of_the_logs() {
    let path = fixture("sideboard.heartside.json");
    let text = std::fs::read_to_string(&path).unwrap();
    let mut document = Document::open(&text).unwrap().document;
    assert_eq!(document.photos.len(), 6);
    for photo in &mut document.photos {
        let rendered = photo.rendered.as_ref().unwrap();
        let board = document
            .boards
            .iter_mut()
            .find(|b| b.id == photo.board)
            .unwrap();
        let Some(BoardOutline::Tape {
            length, stations, ..
        }) = &mut board.outline
        else {
            panic!("board {} is not measured by tape", board.id);
        };
        let end = length.plain_mm().unwrap();
        let log = Log::new(rendered.log);
        let [up, down] = [false, true].map(|is_down| log.face(rendered.board, is_down));
        *stations = (0..=(end / STEP) as u32)
            .map(|k| {
                let at = f64::from(k) * STEP;
                // Both faces are full within the outline; the down face is seen turned over.
                let about = (-6..=6).map(|step| (at + 10.0 * f64::from(step)).clamp(0.0, end));
                let widths = about.map(|x| {
                    let ([low, high], [over, under]) = (up.edges(x), down.edges(x));
                    [high.min(-over), (-low).min(under)]
                });
                let [left, right] = widths
                    .reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1])])
                    .unwrap();
                Station {
                    at: whole(at),
                    left: whole(left.floor()),
                    right: whole(right.floor()),
                }
            })
            .collect();
        board.thickness = Some(whole(THICKNESS));
        board.heart_side = HeartSide::Down;
        let face = if photo.face == ZoneFace::Down {
            &down
        } else {
            &up
        };
        let edges = (0..=(end / 10.0) as u32).map(|k| face.edges(f64::from(k) * 10.0));
        let [low, high] = edges
            .reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
            .unwrap();
        let [low, high] = [(low - RIM).floor(), (high + RIM).ceil()];
        photo.origin = [-RIM, low];
        photo.size = [end + 2.0 * RIM, high - low].map(|mm| (mm / photo.pixel) as u32);
        photo.original = photo.size;
    }
    let told = document.save();
    if std::env::var_os("HEARTSIDE_BLESS").is_some() {
        std::fs::write(&path, &told).unwrap();
    }
    assert!(
        told == text,
        "run with HEARTSIDE_BLESS=1 to write the boards anew"
    );
}
