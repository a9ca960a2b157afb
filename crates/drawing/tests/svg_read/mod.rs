//! Drawings read back: their texts with boxes, ids and extents.

// What cannot be read as SVG fails the test that reads it.
#![allow(clippy::unwrap_used)]

use heartside_geometry::{Bounds, Point};
use quick_xml::Reader;
use quick_xml::events::Event;

/// Reads the whole document; returns its texts and ids.
pub(crate) fn read(svg: &str) -> (Vec<String>, Vec<String>) {
    let mut reader = Reader::from_str(svg);
    reader.config_mut().check_end_names = true;
    let (mut texts, mut ids, mut depth) = (Vec::new(), Vec::new(), 0);
    let mut text = String::new();
    loop {
        match reader.read_event().expect("sound XML") {
            Event::Start(e) | Event::Empty(e) if e.name().as_ref() == "script" => {
                panic!("a script")
            }
            Event::Start(e) => {
                depth += 1;
                ids.extend(id_of(&e));
                text.clear();
            }
            Event::Empty(e) => ids.extend(id_of(&e)),
            Event::Text(t) => text.push_str(&t),
            Event::GeneralRef(r) => text.push_str(&format!("&{};", &*r)),
            Event::End(e) => {
                depth -= 1;
                if matches!(e.name().as_ref(), "text" | "title") {
                    texts.push(text.clone());
                }
                text.clear();
            }
            Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!(depth, 0);
    (texts, ids)
}

fn id_of(e: &quick_xml::events::BytesStart) -> Option<String> {
    for attribute in e.attributes() {
        let attribute = attribute.expect("sound attribute");
        let value = attribute.value.to_string();
        assert!(!value.contains("NaN") && !value.contains("inf"), "{value}");
        if attribute.key.as_ref() == "id" {
            return Some(value);
        }
    }
    None
}

pub(crate) fn attribute(svg: &str, name: &str) -> String {
    let from = svg.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
    svg[from..].split('"').next().unwrap().to_owned()
}

/// The extent in x of the first path of a class.
pub(crate) fn span(svg: &str, class: &str) -> (f64, f64) {
    let from = svg.find(&format!("class=\"{class}\" d=\"")).unwrap();
    let d = svg[from..]
        .split(" d=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let xs: Vec<f64> = d
        .split(['M', 'L', 'Z'])
        .filter(|p| !p.is_empty())
        .map(|p| p.split(',').next().unwrap().parse().unwrap())
        .collect();
    (
        xs.iter().copied().fold(f64::INFINITY, f64::min),
        xs.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    )
}

/// A text as a general reader of SVG finds it.
pub(crate) struct Text {
    pub(crate) content: String,
    /// Its box, by the generous advances of [`heartside_drawing::text_width`].
    pub(crate) bounds: Bounds,
    /// The number in a bubble.
    pub(crate) in_bubble: bool,
    /// Size of its type in millimetres of the page.
    pub(crate) size: f64,
}

/// The texts of a drawing with their boxes in its own coordinates, groups' transforms applied.
pub(crate) fn texts_of(svg: &str) -> Vec<Text> {
    let mut reader = Reader::from_str(svg);
    let mut shifts: Vec<(f64, f64, f64)> = vec![(0.0, 0.0, 1.0)];
    let mut found: Vec<Text> = Vec::new();
    let mut open: Option<Text> = None;
    let value = |e: &quick_xml::events::BytesStart, name: &str| -> Option<String> {
        let found = e.try_get_attribute(name).ok().flatten()?;
        Some(String::from(found.value.as_ref()))
    };
    let mut anchor = String::new();
    let mut turned = false;
    let (mut x, mut y, mut size) = (0.0, 0.0, 0.0);
    loop {
        match reader.read_event().expect("sound XML") {
            Event::Start(e) if e.name().as_ref() == "g" => {
                let (dx, dy, by) = *shifts.last().unwrap();
                let own = value(&e, "transform").map(|t| {
                    let numbers: Vec<f64> = t
                        .split(['(', ')', ' '])
                        .filter_map(|w| w.parse().ok())
                        .collect();
                    (
                        numbers[0],
                        numbers[1],
                        numbers.get(2).copied().unwrap_or(1.0),
                    )
                });
                let (ox, oy, os) = own.unwrap_or((0.0, 0.0, 1.0));
                shifts.push((dx + ox * by, dy + oy * by, by * os));
            }
            Event::End(e) if e.name().as_ref() == "g" => {
                shifts.pop();
            }
            Event::Start(e) if e.name().as_ref() == "text" => {
                let number = |name: &str| value(&e, name).unwrap().parse::<f64>().unwrap();
                (x, y, size) = (number("x"), number("y"), number("font-size"));
                anchor = value(&e, "text-anchor").unwrap();
                turned = value(&e, "transform").is_some();
                open = Some(Text {
                    content: String::new(),
                    bounds: Bounds::new(Point { x, y }, Point { x, y }),
                    in_bubble: value(&e, "class").unwrap().contains("hs-number"),
                    size: size * shifts.last().unwrap().2,
                });
            }
            Event::Text(t) => {
                if let Some(text) = &mut open {
                    text.content.push_str(&t);
                }
            }
            Event::GeneralRef(r) => {
                if let Some(text) = &mut open {
                    // Its letter does not matter here.
                    text.content
                        .push_str(if r.as_ref() == "#39" { "'" } else { "&" });
                }
            }
            Event::End(e) if e.name().as_ref() == "text" => {
                let mut text = open.take().unwrap();
                let long = heartside_drawing::text_width(&text.content, size);
                let start = match anchor.as_str() {
                    "start" => 0.0,
                    "middle" => -long / 2.0,
                    _ => -long,
                };
                // Capitals to descenders, about the baseline.
                let (up, down) = (0.74 * size, 0.2 * size);
                let (dx, dy, by) = *shifts.last().unwrap();
                let corners = if turned {
                    [(x - up, y - start - long), (x + down, y - start)]
                } else {
                    [(x + start, y - up), (x + start + long, y + down)]
                };
                let [a, b] = corners.map(|(x, y)| Point {
                    x: dx + x * by,
                    y: dy + y * by,
                });
                text.bounds = Bounds::new(a, b);
                found.push(text);
            }
            Event::Eof => return found,
            _ => {}
        }
    }
}
