"""8: parts of one board, grain that runs on, and leaves of one thick blank, written again from their wording."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from shapely import affinity

from document import Board, Part
from shapes import SLACK

if TYPE_CHECKING:
    from rules import Judge, Piece

#: Turns of related parts may differ by so many degrees.
EQUAL_TURN = 0.1
#: What is forgiven where a distance has a greatest: besides, what a search keeps to spare and the grid.
UPPER = SLACK + 3.0e-3
#: Degrees are compared more finely than millimetres.
DEGREES = 1.0e-4

LEAVES = ("slip", "book")


def leaves_of(document: dict, key: tuple[str, int]) -> list[tuple[str, int]]:
    """All copies of the blank that a copy is a leaf of, from the up face down; none for others."""
    for match in document.get("matches", []):
        copies = [(p["part"], p.get("copy", 1)) for p in match["parts"]]
        if match["kind"] in LEAVES and key in copies:
            return copies
    return []


def are_leaves(document: dict, a: Piece, b: Piece) -> bool:
    """True where two pieces lie one below the other in a blank, as far as they say."""
    return a.at.get("leaf") is not None and b.at.get("leaf") is not None and b.key in leaves_of(document, a.key)


def resawn(judge: Judge, part: Part) -> tuple[bool, float]:
    """Whether a part's blank can be resawn, standing on its longer edge, and the kerf."""
    x0, y0, x1, y1 = part.blank.bounds
    length, width = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)
    tools = judge.tools.values()
    able = [t.kerf for t in tools if "resaw" in t.does and t.max_depth >= width and t.max_length >= length]
    if able:
        return True, min(able)
    rips = [t.kerf for t in tools if "rip" in t.does]
    return not any("resaw" in t.does for t in tools), max(rips)


def between(judge: Judge, first: Part, a: Part, b: Part) -> float:
    """What is lost between two leaves: the kerf, and what is planed off both faces that it parted."""
    return resawn(judge, first)[1] + a.clean_up + b.clean_up


def all_leaves(judge: Judge, parts: list[Part]) -> float:
    """The finished thickness that a board must yield for leaves."""
    return sum(p.thickness for p in parts) + sum(between(judge, parts[0], a, b) for a, b in pairwise(parts))


def zone_met(judge: Judge, board: Board, piece: Piece, zone, planed: float):
    """A zone as a leaf meets it, as (face, depth); none where it does not reach it."""
    through = zone.face == "through" or zone.depth >= board.thickness
    rot = zone.kind == "defect" and not zone.sound
    if piece.at.get("leaf") is None or through or rot:
        return zone.face, zone.depth
    copies = leaves_of(judge.document, piece.key)
    place = copies.index(piece.key) if piece.key in copies else 0
    parts = [judge.parts[id] for id, _ in copies]
    beyond = parts[place + 1 :][::-1] if zone.face == "down" else parts[:place]
    within = planed
    for near, far in zip(beyond[1:] + [piece.part], beyond):
        within += far.thickness + between(judge, piece.part, near, far)
    reach = zone.depth - within
    if beyond and reach <= SLACK:
        return None
    if reach >= piece.part.thickness - SLACK:
        return "through", zone.depth
    return zone.face, planed + reach


def judge_related(judge: Judge, plan: dict, groups: list[list[Piece]]) -> None:
    """All matches of a job."""
    lying: dict[tuple[str, int], tuple[int, int, Piece]] = {}
    for l, group in enumerate(groups):
        for k, piece in enumerate(group):
            lying.setdefault(piece.key, (l, k, piece))
    for match in judge.document.get("matches", []):
        copies = [(p["part"], p.get("copy", 1)) for p in match["parts"]]
        if match["kind"] in LEAVES:
            leaves(judge, plan, match["kind"], copies, lying)
        elif match["kind"].startswith("continuous"):
            runs_on(judge, plan, match["kind"] == "continuous_along", copies, lying)


def own_box(piece: Piece, other: Piece, shape) -> tuple[float, float, float, float]:
    """The box round a shape along the axes of a piece, mirrored with it."""
    at = other.at
    seen = affinity.translate(shape, -at["x"], -at["y"])
    seen = affinity.rotate(seen, -at.get("turn", 0.0), origin=(0, 0))
    if at.get("turned_over", False):
        seen = affinity.scale(seen, 1.0, -1.0, origin=(0, 0))
    return seen.bounds


def turn_between(a: dict, b: dict) -> float:
    off = (a.get("turn", 0.0) - b.get("turn", 0.0)) % 360.0
    return min(off, 360.0 - off)


def runs_on(judge: Judge, plan: dict, along: bool, copies: list, lying: dict) -> None:
    """The grain runs on from each copy to the next."""
    note = judge.verdict.note
    upwards = None
    for one, two in pairwise(copies):
        if one not in lying or two not in lying:
            continue
        (l, i, a), (m, j, b) = lying[one], lying[two]
        roots = [judge.past.root(plan["layouts"][k]["board"], plan["layouts"][k].get("copy", 1)) for k in (l, m)]
        if roots[0] != roots[1] or a.at.get("turned_over", False) != b.at.get("turned_over", False):
            note(8, -1.0)
            continue
        turn = EQUAL_TURN + 1e-6 - turn_between(a.at, b.at)
        note(8, turn, DEGREES)
        if turn < 0.0:
            continue
        ax0, ay0, ax1, ay1 = own_box(a, a, a.finished)
        bx0, by0, bx1, by1 = own_box(b, a, b.finished)
        if along:
            row, other, band, other_band = (ax0, ax1), (bx0, bx1), (ay0, ay1), (by0, by1)
        else:
            row, other, band, other_band = (ay0, ay1), (by0, by1), (ax0, ax1), (bx0, bx1)
            if upwards is None:
                upwards = sum(other) >= sum(row)
        gap = other[0] - row[1] if along or upwards else row[0] - other[1]
        narrow, wide = sorted((band, other_band), key=lambda span: span[1] - span[0])
        note(8, gap + SLACK)
        note(8, SLACK - max(wide[0] - narrow[0], narrow[1] - wide[1]))
        extra = lambda p: p.sawn if p.cut == "sawn" else p.end if along else p.edge
        kerf = judge.kerf_of_run(plan["layouts"][l] if l == m else None, l, i, j)
        note(8, extra(a.part) + extra(b.part) + kerf + UPPER - gap)


def leaves(judge: Judge, plan: dict, kind: str, copies: list, lying: dict) -> None:
    """All lie in one place, in their order and the right way up, in a board thick enough that can be resawn."""
    note = judge.verdict.note
    there = [(number, lying[copy]) for number, copy in enumerate(copies, 1) if copy in lying]
    if not there:
        return
    home_layout, _, home = there[0][1]
    sound = True
    for number, (l, _, piece) in there:
        over = number % 2 == 1 if kind == "book" else home.at.get("turned_over", False)
        if l != home_layout or piece.at.get("leaf") != number or piece.at.get("turned_over", False) != over:
            note(8, -1.0)
            sound = False
            continue
        turn = EQUAL_TURN + 1e-6 - turn_between(home.at, piece.at)
        note(8, turn, DEGREES)
        boxes = own_box(home, home, home.blank), own_box(piece, home, piece.blank)
        off = max(abs(a - b) for a, b in zip(*boxes))
        note(8, UPPER - off)
        sound &= turn >= 0.0 and off <= UPPER
    if sound and len(there) > 1:
        board = judge.boards[plan["layouts"][home_layout]["board"]]
        needed = all_leaves(judge, [judge.parts[id] for id, _ in copies])
        note(6, judge.thickness_left(board, home) - needed + SLACK)
        if not resawn(judge, home.part)[0]:
            note(9, -1.0)
