//! A piece as a row of the document's boards: what it has from the board that it came from.

use heartside_geometry::{PreparedRegion, Region, Vector, separation_at_most};
use heartside_timber::document::{
    self, BoardEnd, BoardOrigin, GapOver, Hand, Length, Twist, Zone, ZoneFrom, ZoneShape,
};
use heartside_timber::job::{Board, Zone as SoundZone};
use heartside_timber::plan::Placement;

use super::Ground;
use super::wood::Wood;

/// The row of a piece; none where its outline is not sound.
pub(super) fn row(
    ground: &Ground<'_>,
    wood: &Wood,
    id: String,
    (name, holds): (String, Option<Placement>),
    (done, side): (u32, Hand),
) -> Option<document::Board> {
    let source = ground.source;
    Some(document::Board {
        id,
        name,
        species: source.species.clone(),
        usage: source.usage,
        outline: Some(wood.outline()?),
        thickness: source.thickness.clone(),
        nominal: source.nominal.clone(),
        surface: source.surface,
        grain: source.grain.clone(),
        heart_side: source.heart_side,
        // Where the pith is marked it comes along as it lies: the piece's own ends are not looked at yet.
        rings: source
            .rings
            .clone()
            .filter(|_| !source.zones.iter().any(Zone::is_pith)),
        zones: zones(source, ground.board, &wood.region, Vector::ZERO),
        warp: source
            .warp
            .as_ref()
            .map(|w| over_its_spans(w, ground.board)),
        moisture: source.moisture,
        cuts: source.cuts,
        from: Some(BoardOrigin {
            done,
            side,
            ..BoardOrigin::default()
        }),
        holds,
        ..document::Board::default()
    })
}

/// The marked areas that lie on a piece or whose margin reaches it, each where it was, moved with
/// the piece.
pub(super) fn zones(
    source: &document::Board,
    board: &Board,
    piece: &Region,
    by: Vector,
) -> Vec<Zone> {
    let prepared = PreparedRegion::new(piece.clone());
    let reaches = |zone: &&SoundZone| {
        let near = zone.shape.bounds().grown(zone.margin);
        near.intersects(&piece.bounds()) && {
            let shape = PreparedRegion::new(zone.shape.clone());
            separation_at_most(&shape, &prepared, zone.margin)
                .is_some_and(|s| s.amount <= zone.margin)
        }
    };
    let kept = board.zones.iter().filter(reaches);
    kept.filter_map(|zone| {
        let typed = source.zones.get(zone.index)?;
        let shape = typed
            .shape
            .as_ref()
            .map(|shape| in_place(shape, zone, piece, by));
        Some(Zone {
            shape,
            ..typed.clone()
        })
    })
    .collect()
}

/// A shape that was measured from ends and edges, measured so that it stays where it is on a
/// piece with others.
fn in_place(shape: &ZoneShape, zone: &SoundZone, piece: &Region, by: Vector) -> ZoneShape {
    let own = zone.shape.bounds();
    let (start, centre) = (piece.bounds().min.x, own.centre());
    let mm = Length::Mm;
    match shape {
        ZoneShape::Spot {
            oval,
            length,
            width,
            ..
        } => ZoneShape::Spot {
            oval: *oval,
            along: mm(centre.x - start),
            across: mm(centre.y + by.y),
            from: ZoneFrom::ChalkLine,
            length: length.clone(),
            width: width.clone(),
        },
        ZoneShape::Span { oval, .. } => ZoneShape::Span {
            oval: *oval,
            end: BoardEnd::Start,
            begins: mm(own.min.x - start),
            ends: mm(own.max.x - start),
            edge: ZoneFrom::ChalkLine,
            near: mm(own.min.y + by.y),
            far: mm(own.max.y + by.y),
        },
        ZoneShape::Polygon { .. } if by == Vector::ZERO => shape.clone(),
        ZoneShape::Strip { .. } | ZoneShape::Polygon { .. } => {
            let corners = zone.shape.outer().points().iter();
            ZoneShape::Polygon {
                points: corners.map(|p| [mm(p.x + by.x), mm(p.y + by.y)]).collect(),
            }
        }
    }
}

/// Warp with every span written out: a piece is shorter and narrower than what was measured.
fn over_its_spans(warp: &document::Warp, board: &Board) -> document::Warp {
    let bounds = board.outline.bounds();
    let (length, width) = (bounds.width(), bounds.height());
    let over = |span: &Option<Length>, whole: f64| Some(span.clone().unwrap_or(Length::Mm(whole)));
    let gap = |gap: &GapOver, whole: f64| GapOver {
        gap: gap.gap.clone(),
        over: over(&gap.over, whole),
    };
    document::Warp {
        cup: warp.cup.as_ref().map(|cup| gap(cup, width)),
        bow: warp.bow.as_ref().map(|bow| gap(bow, length)),
        twist: warp.twist.as_ref().map(|twist| Twist {
            lift: twist.lift.clone(),
            over_length: over(&twist.over_length, length),
            over_width: over(&twist.over_width, width),
        }),
        unknown: warp.unknown.clone(),
    }
}
