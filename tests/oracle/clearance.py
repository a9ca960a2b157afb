"""The distances that a plan sawn by line must keep, measured between true outlines.

The rules speak of blanks with rounded corners. Here no corner is rounded and no curve is
drawn round a part: a blank is a core and a radius, so how far two blanks are apart is the
distance of their cores less both radii, to the last digit that shapely gives.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from document import Part, placed
from rules import Judge
from shapes import depth_beyond


def core_of(part: Part) -> tuple[BaseGeometry, float]:
    """What a blank is round, in the part's frame, and how far it reaches round that."""
    if part.cut == "sawn":
        return part.outline, part.sawn
    x0, y0, x1, y1 = part.outline.bounds
    return box(x0 - part.end, y0 - part.edge, x1 + part.end, y1 + part.edge), 0.0


def clearances(document: dict) -> Iterator[tuple[str, float]]:
    """What must keep clear of what on boards sawn by line, and by how much more than it must it does.

    Millimetres; negative is too near. Between blanks, from the outline, from raw sides, and
    from defects right through the board.
    """
    judge = Judge(document)
    for layout in document["plan"]["layouts"]:
        if layout.get("way") != "sawn":
            continue
        board = judge.boards[layout["board"]]
        cores = []
        for at in layout["placements"]:
            core, radius = core_of(judge.parts[at["part"]])
            cores.append((placed(core, at), radius))
        for (a, a_radius), (b, b_radius) in combinations(cores, 2):
            yield "blanks", a.distance(b) - a_radius - b_radius - judge.sawn_kerf(board)
        for core, radius in cores:
            inside = board.outline.boundary.distance(core)
            if not board.outline.covers(core):
                inside = -depth_beyond(core, board.outline)
            yield "outline", inside - radius
            for side in board.sides:
                trim = (judge.trim_end if side.is_end else judge.trim_edge) if side.raw else 0.0
                if trim > 0.0:
                    yield "raw sides", side.line.distance(core) - radius - trim
            for zone in board.zones:
                if zone.kind == "defect" and zone.face == "through" and zone.clear_of == "blank":
                    yield "defects", zone.shape.distance(core) - radius - zone.margin
