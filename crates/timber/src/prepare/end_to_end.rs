//! Staves of pieces that are joined end to end: their rules, and which lengths the pieces have.

use heartside_geometry::SortedMap;

use super::reading::{Reading, Thing, Wanted};
use crate::choices::{Held, Stave};
use crate::defaults;
use crate::document::{self, Document, MatchKind};
use crate::job::{EndJoints, Panel, Part};

/// What the staves may come to over the panel's width, in mm for each of them: widths are rounded up
/// to what a rule shows.
pub(super) const OVER_A_STAVE: f64 = 0.1;

/// Two lengths this near are one, in mm.
pub(super) const SAME: f64 = 1e-6;

/// True where some of this stave was sawn already.
pub(super) fn is_held(held: &Held, number: u32) -> bool {
    held.range((number, 0)..=(number, u32::MAX))
        .next()
        .is_some()
}

/// How staves of a panel are joined end to end; none where that has a fault.
pub(super) fn end_joints(
    document: &Document,
    source: &document::Panel,
    (part, length): (&Part, f64),
    thing: &Thing,
    reading: &mut Reading<'_>,
) -> Option<EndJoints> {
    let mut read = |field: &str, what: &str, value: &Option<document::Length>, wanted, usual| {
        let place = thing.field(&format!("panel.{field}"));
        reading.usual(place, what, value.as_ref(), wanted, usual)
    };
    let usual = defaults::LEAST_PIECE.min(length / 2.0);
    let least = read(
        "min_piece",
        "shortest piece",
        &source.min_piece,
        Wanted::SIZE,
        usual,
    );
    let apart = read(
        "ends_apart",
        "distance of end joints",
        &source.ends_apart,
        Wanted::EXTRA,
        defaults::ENDS_APART,
    );
    let taken = read(
        "end_joint",
        "length that an end joint takes",
        &source.end_joint,
        Wanted::EXTRA,
        0.0,
    );
    let mut ends = EndJoints {
        allowed: source.end_to_end,
        least: least?,
        apart: apart?,
        taken: taken?,
    };
    if !ends.allowed {
        return Some(ends);
    }
    if 2.0 * ends.taken > ends.least {
        reading.error(
            "end-joint-too-long",
            thing.field("panel.end_joint"),
            "an end joint takes more than half of the shortest piece",
            "make the joint shorter, or the shortest piece longer",
        );
        return None;
    }
    let is_tied = |kind| {
        use MatchKind::{Book, ContinuousAcross, ContinuousAlong, Slip};
        matches!(kind, Book | ContinuousAcross | ContinuousAlong | Slip)
    };
    let mut tied = document.matches.iter().filter(|m| is_tied(m.kind));
    if tied.any(|m| m.parts.iter().any(|c| c.part == part.id)) {
        reading.warn(
            "end-to-end-in-a-run",
            thing.field("panel.end_to_end"),
            "its staves are to match as a run or as leaves, so they are not joined end to end",
            "let go of the match, or of joining them",
        );
        ends.allowed = false;
    }
    Some(ends)
}

/// Says where nothing can be joined by these rules.
pub(super) fn note_pieces(panel: &Panel, thing: &Thing, reading: &mut Reading<'_>) {
    let ends = &panel.ends;
    if !ends.allowed {
        return;
    }
    let spare = panel.length + ends.taken - 2.0 * ends.least;
    if spare < -SAME {
        reading.warn(
            "pieces-too-long",
            thing.field("panel.min_piece"),
            "two of the shortest pieces are longer than a stave, so no stave can be joined",
            "allow shorter pieces",
        );
    } else if spare < ends.apart - SAME {
        reading.warn(
            "ends-too-far-apart",
            thing.field("panel.ends_apart"),
            "end joints so far apart leave no two neighbouring staves that are both joined",
            "let them stand nearer, or allow shorter pieces",
        );
    }
}

/// Up to a tenth, as a rule shows it, so that nothing is missing.
fn tenth_up(length: f64) -> f64 {
    (length * 10.0 - 1e-5).ceil() / 10.0
}

impl Panel {
    /// True where the pieces of a stave make up its length by the rules of the panel; what was sawn already is
    /// as it is.
    pub(super) fn allows_pieces(&self, stave: &Stave, held: &Held) -> bool {
        let count = stave.pieces.len();
        if count == 0 {
            return true;
        }
        let over = stave.joined(self.ends.taken) - self.length;
        let own = |k: usize| !held.contains_key(&(stave.number, k as u32 + 1));
        let mut lengths = stave.pieces.iter().enumerate();
        (2..=defaults::MOST_STAVES as usize).contains(&count)
            && (self.ends.allowed || is_held(held, stave.number))
            && (-SAME..=OVER_A_STAVE * count as f64 + SAME).contains(&over)
            && lengths
                .all(|(k, length)| *length > 0.0 && (!own(k) || *length >= self.ends.least - SAME))
    }

    /// True where the end joints of two neighbouring staves stand far enough apart.
    pub fn keeps_apart(&self, a: &Stave, b: &Stave) -> bool {
        let (a, b) = (a.ends(self.ends.taken), b.ends(self.ends.taken));
        let far = |x: &f64| b.iter().all(|y| (x - y).abs() >= self.ends.apart - SAME);
        a.iter().all(far)
    }

    /// Pieces of a stave of which the longest is about as long as `longest` if that is said, else as even as
    /// neighbours let them be. Turned end for end they suit a neighbour. None where that cannot be.
    pub fn pieces(&self, count: u32, longest: Option<f64>) -> Option<Vec<f64>> {
        let EndJoints {
            least,
            apart,
            taken,
            ..
        } = self.ends;
        let n = f64::from(count);
        let whole = self.length + (n - 1.0) * taken;
        let each = whole / n;
        // Half of what neighbours stand apart, and what rounding may take of it.
        let shift = longest.map_or(apart / 2.0 + OVER_A_STAVE, |longest| longest - each);
        let lengths = (0..count).map(|k| match k {
            0 => each + shift,
            k if k + 1 == count => each - shift,
            _ => each,
        });
        let pieces: Vec<f64> = lengths.map(tenth_up).collect();
        let stave = Stave {
            pieces,
            ..Stave::default()
        };
        let mut turned = stave.clone();
        turned.pieces.reverse();
        let is_right = count >= 2
            && stave.pieces.iter().all(|length| *length >= least - SAME)
            && self.keeps_apart(&stave, &turned);
        is_right.then_some(stave.pieces)
    }

    /// Joins staves that no board gives in one piece, each so that its joints stand apart from those of the one
    /// before it and the next that was sawn already, if that can be.
    pub(super) fn join_too_long(&self, staves: &mut [Stave], held: &Held, longest: f64) {
        if !self.ends.allowed || self.length <= longest {
            return;
        }
        let least = self.ends.least.max(1.0);
        let most = (self.length / least) as u32 + 1;
        let fits = |pieces: &Vec<f64>| pieces.iter().all(|length| *length <= longest);
        let ways: Vec<Vec<f64>> = (2..=most.min(defaults::MOST_STAVES))
            .filter_map(|count| self.pieces(count, None).filter(fits))
            .take(3)
            .flat_map(|pieces| {
                let turned = pieces.iter().rev().copied().collect();
                [pieces, turned]
            })
            .collect();
        for k in 0..staves.len() {
            if is_held(held, staves[k].number) {
                continue;
            }
            let joined = |pieces: &Vec<f64>| Stave {
                pieces: pieces.clone(),
                ..staves[k].clone()
            };
            let beside = |stave: &Stave| {
                let before = k.checked_sub(1).map(|k| &staves[k]);
                let after = staves.get(k + 1);
                let mut beside = before.into_iter().chain(after);
                beside.all(|other| self.keeps_apart(stave, other))
            };
            let way = ways.iter().map(joined).find(beside);
            if let Some(stave) = way.or_else(|| ways.first().map(joined)) {
                staves[k] = stave;
            }
        }
    }

    /// The lengths of a stave of which something was sawn already: the rest as even as can be, no piece longer
    /// than `longest`. Empty where it was sawn in one piece.
    pub(super) fn held_pieces(&self, held: &Held, number: u32, longest: f64) -> Vec<f64> {
        let own = held.range((number, 1)..=(number, u32::MAX));
        let own: SortedMap<u32, f64> = own
            .map(|((_, piece), (_, length))| (*piece, *length))
            .collect();
        let Some(last) = own.keys().next_back() else {
            return Vec::new();
        };
        let there: f64 = own.values().sum();
        let mut count = (*last).max(2);
        loop {
            let missing = self.length + f64::from(count - 1) * self.ends.taken - there;
            let free = count - own.len() as u32;
            let each = missing / f64::from(free.max(1));
            let is_whole = missing <= SAME || (free > 0 && each <= longest);
            if is_whole || count >= defaults::MOST_STAVES {
                let each = tenth_up(each.max(self.ends.least));
                let length = |piece| own.get(&piece).copied().unwrap_or(each);
                return (1..=count).map(length).collect();
            }
            count += 1;
        }
    }

    /// Staves that were chosen while the panel was longer or shorter: the longest piece that was not sawn yet
    /// takes what has changed.
    pub(super) fn lengthen(&self, staves: &mut [Stave], held: &Held) {
        for stave in staves.iter_mut().filter(|s| !s.pieces.is_empty()) {
            let missing = self.length - stave.joined(self.ends.taken);
            if (-OVER_A_STAVE * stave.pieces.len() as f64 - SAME..=SAME).contains(&missing) {
                continue;
            }
            let free = |k: &usize| !held.contains_key(&(stave.number, *k as u32 + 1));
            let free = (0..stave.pieces.len()).filter(free);
            let longest = free.reduce(|a, b| match stave.pieces[b] > stave.pieces[a] {
                true => b,
                false => a,
            });
            if let Some(longest) = longest {
                stave.pieces[longest] = tenth_up(stave.pieces[longest] + missing);
            }
        }
    }
}
