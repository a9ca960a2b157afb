//! Boards as they are called out along the rack.

use heartside_timber::document::{BoardOutline, EdgeKind, Length, Station};
use heartside_timber::length::Unit;
use proptest::prelude::*;

use super::*;

const MM: Unit = Unit::Millimetres;

fn read(text: &str, unit: Unit) -> Vec<TapeLine> {
    let woods = ["Bog wood".to_owned()];
    let reading = TapeReading {
        unit,
        woods: &woods,
    };
    read_tape(text, &reading, &mut TakenIds::of(["B"]))
}

fn board(text: &str, unit: Unit) -> Board {
    let lines = read(text, unit);
    assert_eq!(lines.len(), 1, "{text}");
    let told = &lines[0].diagnostics;
    lines[0]
        .board
        .clone()
        .unwrap_or_else(|| panic!("{text}: {told:?}"))
}

/// Length, widths as place, left and right, thickness.
fn sizes(board: &Board) -> (f64, Vec<[f64; 3]>, f64) {
    let Some(BoardOutline::Tape {
        length, stations, ..
    }) = &board.outline
    else {
        panic!("not by tape");
    };
    let mm = |length: &Length| length.plain_mm().unwrap();
    let stations = stations
        .iter()
        .map(|s| [mm(&s.at), mm(&s.left), mm(&s.right)]);
    (
        mm(length),
        stations.collect(),
        mm(board.thickness.as_ref().unwrap()),
    )
}

/// The code, the column and the words of what is wrong.
fn fault(text: &str, unit: Unit) -> (String, usize, String) {
    let lines = read(text, unit);
    assert_eq!(lines.len(), 1, "{text}");
    assert_eq!(lines[0].board, None, "{text} is taken");
    let first = &lines[0].diagnostics[0];
    assert!(
        first.hint.as_ref().is_some_and(|hint| !hint.is_empty()),
        "{text}: no mend"
    );
    (
        first.code.clone(),
        first.place.column.unwrap(),
        first.message.clone(),
    )
}

#[test]
fn a_board_with_a_chalk_line_is_read_with_its_widths_evenly_spaced() {
    let read = board("2680 x 128/110 131/110 128/112 27", MM);
    let widths = vec![
        [0.0, 128.0, 110.0],
        [1340.0, 131.0, 110.0],
        [2680.0, 128.0, 112.0],
    ];
    assert_eq!(sizes(&read), (2680.0, widths, 27.0));
    assert_eq!(read.id, "A");
    for same in [
        "2680x128+110 131+110 128+112 x 27",
        "2,68 m × 128/110, 131/110, 128/112, 27",
        "268 cm x @0 128/110 @1340 131/110 @2680 128/112 27 mm",
        "2.68m x 12.8cm/11cm 131/110 128/112 27",
    ] {
        assert_eq!(sizes(&board(same, MM)), sizes(&read), "{same}");
    }
}

#[test]
fn whole_widths_lie_half_on_either_side_and_may_taper() {
    assert_eq!(
        sizes(&board("1800 x 140 27", MM)),
        (1800.0, vec![[0.0, 70.0, 70.0]], 27.0)
    );
    let taper = vec![[0.0, 70.0, 70.0], [1800.0, 60.0, 60.0]];
    assert_eq!(sizes(&board("1800 x 140 120 27", MM)).1, taper);
    assert_eq!(sizes(&board("1800 x 140-120 27", MM)).1, taper);
}

#[test]
fn places_are_given_where_they_are_not_even() {
    let read = board("2000 x 100/100 @600 110/90 105/95 100/100 27", MM);
    let places: Vec<f64> = sizes(&read).1.iter().map(|s| s[0]).collect();
    assert_eq!(places, [0.0, 600.0, 1300.0, 2000.0]);
    // A single width at a place of its own.
    assert_eq!(sizes(&board("2000 x @900 140 27", MM)).1[0][0], 900.0);
}

#[test]
fn inches_feet_and_fractions_are_read_as_everywhere() {
    let inch = 25.4;
    for (text, length, widths, thickness) in [
        ("8' x 5 1/2\"/4\" 1\"", 96.0, vec![[5.5, 4.0]], 1.0),
        ("8' 9 1/2\" x 5 1/2+4 x 3/4", 105.5, vec![[5.5, 4.0]], 0.75),
        (
            "96 x 5 1/2/4 1/4 5/4 1",
            96.0,
            vec![[5.5, 4.25], [5.0, 4.0]],
            1.0,
        ),
        ("96 x 8\" 3/4\"", 96.0, vec![[4.0, 4.0]], 0.75),
        ("96 x 8 x 3/4", 96.0, vec![[4.0, 4.0]], 0.75),
        ("96 x 5½+4¼ 1", 96.0, vec![[5.5, 4.25]], 1.0),
        (
            "5ft 3in x 5-1/2+4 1 1/16 oak",
            63.0,
            vec![[5.5, 4.0]],
            1.0625,
        ),
        ("96” x 15/16+1/2 1", 96.0, vec![[0.9375, 0.5]], 1.0),
    ] {
        let read = sizes(&board(text, Unit::Inches));
        assert!((read.0 - length * inch).abs() < 1e-9, "{text}: {read:?}");
        assert!((read.2 - thickness * inch).abs() < 1e-9, "{text}: {read:?}");
        for (found, [left, right]) in read.1.iter().zip(&widths) {
            assert!((found[1] - left * inch).abs() < 1e-9, "{text}: {read:?}");
            assert!((found[2] - right * inch).abs() < 1e-9, "{text}: {read:?}");
        }
        assert_eq!(read.1.len(), widths.len(), "{text}");
    }
    // A width and a thickness that is a fraction are one size: it is asked for the other.
    assert_eq!(fault("96 x 8 3/4", Unit::Inches).0, UNFINISHED);
    // Inches in a job in millimetres.
    let read = sizes(&board("2400 x 140 3/4", MM));
    assert_eq!((read.1[0][1], read.2), (70.0, 19.05));
    let read = sizes(&board("8' x 5 1/2\"/4\" 27", MM));
    assert_eq!((read.0, read.2), (2438.4, 27.0));
}

#[test]
fn words_say_the_wood_how_many_straight_edges_and_the_name() {
    let read = board(
        "C: 1800 x 140 27 European oak, 3 alike, straight left, called From the barn, x2",
        MM,
    );
    assert_eq!((read.id.as_str(), read.count), ("C", Some(3.0)));
    assert_eq!(read.species, "European oak");
    assert_eq!(read.name, "From the barn, x2");
    let Some(BoardOutline::Tape { left, right, .. }) = read.outline else {
        panic!("not by tape");
    };
    assert_eq!((left, right), (EdgeKind::Straight, EdgeKind::Raw));
    assert_eq!(board("1800 x 140 27 3 alike", MM).count, Some(3.0));
    assert_eq!(board("1800 x 140 27, x3", MM).count, Some(3.0));
    assert_eq!(board("1800 x 140 27 oak x3", MM).count, Some(3.0));
    assert_eq!(board("1800 x 140 27 bog wood", MM).species, "bog wood");
    assert_eq!(board("1800 x 140 27 of Huon pine", MM).species, "Huon pine");
}

#[test]
fn words_that_are_no_wood_are_the_name_and_that_is_told() {
    let lines = read("1800 x 140 27 zebra plank", MM);
    assert_eq!(lines[0].board.as_ref().unwrap().name, "zebra plank");
    let told = &lines[0].diagnostics;
    assert_eq!(
        (told[0].code.as_str(), told[0].level),
        ("tape-name", Level::Note)
    );
    assert_eq!(told[0].place.column, Some(15));
}

#[test]
fn a_fault_is_told_at_its_column() {
    for (text, unit, code, column) in [
        ("2680", MM, UNFINISHED, 5),
        ("2680 x", MM, UNFINISHED, 7),
        ("2680 x 140", MM, UNFINISHED, 11),
        ("2680 x 128/110 131/110", MM, UNFINISHED, 23),
        ("2680 x 128/", MM, UNFINISHED, 12),
        ("2680 140 27", MM, "tape-x", 6),
        ("2 680 x 140 27", MM, "tape-x", 3),
        ("oak 2680 x 140 27", MM, "tape-missing", 1),
        ("2680 x 128/110 27 # 3", MM, "tape-sign", 19),
        ("2680 x 15/16 27", MM, "tape-two-readings", 8),
        ("2680 x 128/110 31/64 27", MM, "tape-two-readings", 16),
        ("2680 x x 27", MM, "tape-missing", 12),
        ("2680 x 1,400 27", MM, "tape-size", 8),
        ("2680 x 140 3/0", MM, UNFINISHED, 15),
        ("200 m x 140 27", MM, "tape-size", 1),
        ("2680 x 140 130 x27", MM, "tape-x-two-readings", 16),
        ("2680 x 140 x 27 30", MM, "tape-behind-thickness", 17),
        ("2680 x 128/110 @2900 100/100 27", MM, "tape-beyond", 17),
        ("2680 x 128/110 @0 100/100 27", MM, "tape-order", 17),
        ("2680 x 128/110 @900 27 oak", MM, "tape-missing", 24),
        ("96 x 5+4 8/4", Unit::Inches, "tape-nominal", 10),
        ("2400 x 5/4\" 27", MM, "tape-units", 8),
        ("B: 2680 x 140 27", MM, "tape-mark-taken", 1),
        ("no/mark: 2680 x 140 27", MM, "tape-mark", 1),
        ("2680 x 140 27 0 alike", MM, "tape-count", 15),
        ("2680 x 140 27 oak ash", MM, "tape-twice", 19),
    ] {
        let (found, at, message) = fault(text, unit);
        assert_eq!((found.as_str(), at), (code, column), "{text}: {message}");
    }
}

#[test]
fn several_lines_are_several_boards_and_one_bad_line_spoils_no_other() {
    let lines = read(
        "\n2680 x 140 27\nA: 1800 x 100 27\nrubbish\n  \n900 x 80 20\n",
        MM,
    );
    let marks: Vec<(usize, Option<&str>)> = lines
        .iter()
        .map(|l| (l.number, l.board.as_ref().map(|b| b.id.as_str())))
        .collect();
    // A is typed, B is taken.
    assert_eq!(
        marks,
        [(2, Some("C")), (3, Some("A")), (4, None), (6, Some("D"))]
    );
    assert_eq!(lines[2].diagnostics[0].place.line, Some(4));
}

#[test]
fn too_much_at_once_is_refused_with_a_word() {
    let lines = read(&"900 x 80 20\n".repeat(MOST_TAPE_LINES + 1), MM);
    assert_eq!((lines.len(), lines[0].board.clone()), (1, None));
    assert_eq!(fault(&"9".repeat(3000), MM).0, "tape-too-long");
}

fn length(most: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        (1..most as u32).prop_map(f64::from),
        (1..(most * 64.0 / 25.4) as u32).prop_map(|n| f64::from(n) * 25.4 / 64.0),
        0.5..most,
    ]
}

fn any_board() -> impl Strategy<Value = Board> {
    let widths = proptest::collection::vec((0.0..1.0_f64, length(400.0), length(400.0)), 1..7);
    let words = (
        "[A-Z][a-z]{0,3}",
        "[a-z]{0,6}( [a-z]{1,6}){0,2}",
        "\\PC{0,12}",
    );
    let edges = (any::<bool>(), any::<bool>(), any::<bool>());
    (
        length(6000.0),
        widths,
        length(120.0),
        words,
        edges,
        0..40u32,
    )
        .prop_map(
            |(length, widths, thickness, (id, species, name), (left, right, even), count)| {
                let n = widths.len();
                let mut stations: Vec<Station> = Vec::new();
                for (k, (share, left, right)) in widths.into_iter().enumerate() {
                    let at = match (even, k) {
                        (true, 0) => 0.0,
                        (true, k) => (length * k as f64 / (n - 1) as f64).round().min(length),
                        (false, _) => (length * share * 4.0).round() / 4.0,
                    };
                    let at = if even && n > 1 && k == n - 1 {
                        length
                    } else {
                        at
                    };
                    stations.push(Station {
                        at: Length::Mm(at),
                        left: Length::Mm(left),
                        right: Length::Mm(right),
                    });
                }
                let edge = |straight| {
                    if straight {
                        EdgeKind::Straight
                    } else {
                        EdgeKind::Raw
                    }
                };
                Board {
                    id,
                    species: species.trim().to_owned(),
                    name: name.trim().to_owned(),
                    count: (count > 0).then_some(f64::from(count)),
                    thickness: Some(Length::Mm(thickness)),
                    outline: Some(BoardOutline::Tape {
                        length: Length::Mm(length),
                        stations,
                        left: edge(left),
                        right: edge(right),
                        start: EdgeKind::Raw,
                        end: EdgeKind::Raw,
                    }),
                    ..Board::default()
                }
            },
        )
}

proptest! {
    /// Written as a line and read again it is the same board to the last bit, in both units.
    #[test]
    fn a_board_written_as_a_line_reads_back(typed in any_board(), inches in any::<bool>()) {
        let unit = if inches { Unit::Inches } else { MM };
        let Some(written) = write_tape(&typed, unit) else {
            // Two widths at one place.
            return Ok(());
        };
        let reading = TapeReading { unit, woods: &[] };
        let lines = read_tape(&written, &reading, &mut TakenIds::default());
        prop_assert_eq!(lines.len(), 1);
        let again = lines[0].board.clone();
        prop_assert!(again.is_some(), "{}: {:?}", written, lines[0].diagnostics);
        let again = again.unwrap();
        let mut stations = sizes(&typed);
        stations.1.sort_by(|a, b| a[0].total_cmp(&b[0]));
        prop_assert_eq!(sizes(&again), stations, "{}", written);
        prop_assert_eq!(&again.id, &typed.id);
        prop_assert_eq!(again.count, typed.count);
        // "called" as a word of the wood would be where the name begins.
        if typed.species.split_whitespace().all(|word| word != "called") {
            let plain: Vec<&str> = typed.species.split_whitespace().collect();
            prop_assert_eq!(&again.species, &plain.join(" "));
        }
        prop_assert_eq!(&again.name, &typed.name);
        let edges = |b: &Board| match &b.outline {
            Some(BoardOutline::Tape { left, right, .. }) => (*left, *right),
            _ => unreachable!(),
        };
        prop_assert_eq!(edges(&again), edges(&typed));
        // Written once more it is the same line.
        prop_assert_eq!(write_tape(&again, unit).unwrap(), written);
    }

    /// Whatever is typed: no panic, every line with something in it is told of, each is a board or
    /// a fault within its line, and no mark comes twice.
    #[test]
    fn nothing_typed_is_dropped(text in "([0-9]{1,4}|[x/+@,:;'\"\\-. ]|x3|oak|of|called|straight|alike|mm|ft|½|”|×|\\PC|\n){0,40}", inches in any::<bool>()) {
        let unit = if inches { Unit::Inches } else { MM };
        let reading = TapeReading { unit, woods: &[] };
        let lines = read_tape(&text, &reading, &mut TakenIds::default());
        let typed: Vec<(usize, &str)> = text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()).collect();
        prop_assert_eq!(lines.len(), typed.len());
        let mut marks = TakenIds::default();
        for (line, (number, typed)) in lines.iter().zip(typed) {
            prop_assert_eq!(line.number, number + 1);
            let is_fault = line.diagnostics.iter().any(|d| d.level == Level::Error);
            prop_assert_eq!(line.board.is_none(), is_fault);
            for told in &line.diagnostics {
                let column = told.place.column.unwrap();
                prop_assert!((1..=typed.chars().count() + 1).contains(&column));
            }
            if let Some(board) = &line.board {
                prop_assert!(marks.take(&board.id));
                prop_assert!(sizes(board).1.windows(2).all(|w| w[0][0] < w[1][0]));
            }
        }
    }

    /// Half a line is a board or says at its end or before what is missing, at every key.
    #[test]
    fn every_beginning_of_a_line_says_what_comes_next(typed in any_board()) {
        let Some(written) = write_tape(&typed, MM) else { return Ok(()) };
        let ends = written.char_indices().map(|(k, _)| k);
        for end in ends {
            let lines = read(&written[..end], MM);
            for line in &lines {
                prop_assert!(line.board.is_some() || !line.diagnostics.is_empty());
            }
        }
    }
}
