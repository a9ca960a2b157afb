//! The elements of an XML file, in the order in which they begin. Texts and declarations are passed over.
//!
//! Nothing is fetched and nothing unfolded. The libraries weighed for this took 20 to 30 kB of the
//! page's core, most of it for what drawings do not have.

use std::borrow::Cow;
use std::iter::successors;

use heartside_geometry::SortedMap;

use super::drawn::{Refused, broken, too_many};

/// More elements than this are refused.
const MOST_ELEMENTS: usize = 1_000_000;
/// More things that are copied (`use`) than this are refused.
const MOST_COPIES: usize = 10_000;

/// One element.
struct Element<'a> {
    name: &'a str,
    /// As they are written.
    attributes: &'a str,
    /// Where it begins, from 1.
    line: usize,
    /// The one round it.
    parent: usize,
    /// The first after it and all within it.
    end: usize,
}

/// All elements of a file.
pub(super) struct Elements<'a>(Vec<Element<'a>>);

/// An element in its file.
#[derive(Clone, Copy)]
pub(super) struct Node<'a> {
    all: &'a [Element<'a>],
    at: usize,
}

impl<'a> Elements<'a> {
    /// Reads a file; what makes it no sound one is told with its line.
    pub(super) fn of(text: &'a str) -> Result<Elements<'a>, Refused> {
        let mut all: Vec<Element<'a>> = Vec::new();
        let mut open: Vec<usize> = Vec::new();
        let (mut rest, mut line) = (text, 1);
        while let Some(at) = rest.find('<') {
            line += lines_in(&rest[..at]);
            rest = &rest[at + 1..];
            let Some(length) = length_of_tag(rest) else {
                return Err(broken(line, "the file ends too early"));
            };
            let (begins, tag) = (line, &rest[..length]);
            line += lines_in(tag);
            rest = &rest[length + 1..];
            if tag.starts_with(['!', '?']) {
                continue;
            }
            if let Some(name) = tag.strip_prefix('/') {
                let closed = open.pop().filter(|at| all[*at].name == name.trim_end());
                let Some(closed) = closed else {
                    return Err(broken(begins, "an element ends that was not begun"));
                };
                all[closed].end = all.len();
                continue;
            }
            if open.is_empty() && !all.is_empty() {
                let message = "something stands after the end of the drawing";
                return Err(broken(begins, message));
            }
            let inner = tag.strip_suffix('/');
            let whole = inner.unwrap_or(tag).trim_end();
            let name_ends = whole.find(char::is_whitespace).unwrap_or(whole.len());
            let (name, attributes) = whole.split_at(name_ends);
            let mut left = attributes.trim_start();
            while !left.is_empty() {
                let Some((_, _, after)) = cut(left) else {
                    return Err(broken(begins, "an element cannot be read"));
                };
                left = after;
            }
            if all.len() >= MOST_ELEMENTS {
                return Err(too_many(begins));
            }
            let parent = open.last().copied().unwrap_or(0);
            if inner.is_none() {
                open.push(all.len());
            }
            all.push(Element {
                name,
                attributes,
                line: begins,
                parent,
                end: all.len() + 1,
            });
        }
        if all.is_empty() {
            return Err(broken(1, "this is no SVG drawing"));
        }
        if !open.is_empty() {
            return Err(broken(line, "the file ends too early"));
        }
        Ok(Elements(all))
    }

    /// The element of this number; the first holds all others.
    pub(super) fn get(&'a self, at: usize) -> Node<'a> {
        Node { all: &self.0, at }
    }

    /// The places of elements that others copy, by their ids. None where copies are too many.
    pub(super) fn copied(&'a self) -> Option<SortedMap<String, usize>> {
        let mut places = SortedMap::new();
        for at in 0..self.0.len() {
            if let Some(id) = self.get(at).link() {
                places.insert(id, usize::MAX);
            }
            if places.len() > MOST_COPIES {
                return None;
            }
        }
        if places.is_empty() {
            return Some(places);
        }
        for at in 0..self.0.len() {
            let id = self.get(at).attribute("id");
            let place = id.and_then(|id| places.get_mut(id.as_ref()));
            if let Some(place) = place.filter(|place| **place == usize::MAX) {
                *place = at;
            }
        }
        Some(places)
    }
}

fn lines_in(text: &str) -> usize {
    text.bytes().filter(|byte| *byte == b'\n').count()
}

/// How far it is from the beginning of a tag to the mark that ends it, which quotes may hold too.
fn length_of_tag(text: &str) -> Option<usize> {
    for (begins, ends) in [("!--", "-->"), ("![CDATA[", "]]>"), ("?", "?>")] {
        if text.starts_with(begins) {
            return Some(text.find(ends)? + ends.len() - 1);
        }
    }
    // What a document type declares stands in brackets.
    let (mut quote, mut depth) = (None, 0);
    text.bytes().position(|byte| {
        match (quote, byte) {
            (Some(begun), _) => quote = quote.filter(|_| begun != byte),
            (None, b'"' | b'\'') => quote = Some(byte),
            (None, b'<' | b'[') => depth += 1,
            (None, b']') => depth -= 1,
            (None, b'>') if depth <= 0 => return true,
            (None, b'>') => depth -= 1,
            _ => {}
        }
        false
    })
}

/// The name and value of the attribute that stands first, and what follows it.
fn cut(attributes: &str) -> Option<(&str, &str, &str)> {
    let (name, after) = attributes.split_once('=')?;
    let after = after.trim_start();
    let quote = after.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    let (value, after) = after[1..].split_once(quote)?;
    Some((name.trim_end(), value, after.trim_start()))
}

impl<'a> Node<'a> {
    /// Where it begins, from 1.
    pub(super) fn line(self) -> usize {
        self.all[self.at].line
    }

    /// The number of the element that it lies in.
    pub(super) fn parent(self) -> usize {
        self.all[self.at].parent
    }

    /// The prefix of its name and what follows it.
    pub(super) fn name(self) -> (&'a str, &'a str) {
        let name = self.all[self.at].name;
        name.split_once(':').unwrap_or(("", name))
    }

    /// An attribute by its whole name.
    pub(super) fn attribute(self, name: &str) -> Option<Cow<'a, str>> {
        self.find(name, false)
    }

    /// An attribute of this name, with or without a prefix.
    pub(super) fn any_prefix(self, name: &str) -> Option<Cow<'a, str>> {
        self.find(name, true)
    }

    fn find(self, name: &str, any_prefix: bool) -> Option<Cow<'a, str>> {
        let mut left = self.all[self.at].attributes.trim_start();
        loop {
            let (key, value, after) = cut(left)?;
            let own = key.split_once(':').filter(|_| any_prefix);
            if own.map_or(key, |(_, own)| own) == name {
                return Some(plain(value));
            }
            left = after;
        }
    }

    /// The id of what it copies, if it is a copy.
    pub(super) fn link(self) -> Option<String> {
        if self.name().1 != "use" {
            return None;
        }
        Some(self.any_prefix("href")?.strip_prefix('#')?.to_owned())
    }

    /// The elements right in it.
    pub(super) fn children(self) -> impl Iterator<Item = Node<'a>> {
        let next = move |at: usize| (at < self.all[self.at].end).then_some(at);
        let places = successors(next(self.at + 1), move |&at| next(self.all[at].end));
        places.map(move |at| Node { at, ..self })
    }
}

/// A text with the signs that stand in it by name or number. A name that the file would have to say
/// itself stays, and is told where it is no number.
fn plain(text: &str) -> Cow<'_, str> {
    if !text.contains('&') {
        return Cow::Borrowed(text);
    }
    let (mut read, mut rest) = (String::new(), text);
    while let Some((before, after)) = rest.split_once('&') {
        read.push_str(before);
        let known = after.split_once(';');
        let known = known.and_then(|(name, after)| Some((sign(name)?, after)));
        let (sign, after) = known.unwrap_or(('&', after));
        read.push(sign);
        rest = after;
    }
    Cow::Owned(read + rest)
}

fn sign(name: &str) -> Option<char> {
    Some(match name {
        "amp" => '&',
        "lt" => '<',
        "gt" => '>',
        "quot" => '"',
        "apos" => '\'',
        _ => {
            let digits = name.strip_prefix('#')?;
            let number = match digits.strip_prefix('x') {
                Some(digits) => u32::from_str_radix(digits, 16),
                None => digits.parse(),
            };
            char::from_u32(number.ok()?)?
        }
    })
}
