"""12: cuts that were made, their pieces, and blanks in hand, read from the document."""

from __future__ import annotations

import math
from itertools import combinations
from typing import TYPE_CHECKING

from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from document import Board
from shapes import FAR, SLACK, apart, depth_beyond

if TYPE_CHECKING:
    from rules import Judge

#: How far curves drawn as corners may be off; what is thinner all along is no piece.
FLATTENED = 0.05
#: Sums of areas agree within this share of what was cut.
AREA_SHARE = 1.0e-6


class Past:
    """What was cut already: which boards are gone, what came from what, and which copies are in hand."""

    def __init__(self, document: dict) -> None:
        self.cuts = {cut["id"]: cut for cut in document.get("done", [])}
        self.gone = {(cut["board"], cut.get("board_copy", 1)) for cut in self.cuts.values()}
        rows = {b["id"]: b for b in document["boards"]}
        self.origin = {id: b["from"] for id, b in rows.items() if b.get("from") and b["from"]["done"] in self.cuts}
        self.measured = {id for id, b in rows.items() if b.get("measured")}
        #: The placement of the finished part in each blank in hand, by the piece's id; the first of leaves.
        self.holds = {
            id: rows[id]["holds"] for id in self.origin if rows[id].get("holds") and (id, 1) not in self.gone
        }
        #: All of them, with those that a thick blank is still to be resawn into.
        self.held = [(id, at) for id, first in self.holds.items() for at in [first, *rows[id].get("leaves", [])]]
        self.in_hand = {(at["part"], at.get("copy", 1)): id for id, at in self.held}

    def resawn_from(self, piece: str) -> str | None:
        """The thick blank that a piece is a leaf of."""
        cut = self.cuts[self.origin[piece]["done"]] if piece in self.origin else {}
        return cut["board"] if cut.get("resawn") else None

    def root(self, board: str, copy: int) -> tuple[str, int]:
        """The board as it was bought from which a copy of a board came."""
        while board in self.origin:
            cut = self.cuts[self.origin[board]["done"]]
            board, copy = cut["board"], cut.get("board_copy", 1)
        return board, copy


def judge_done(judge: Judge) -> None:
    """Everything about cuts that were made, and what the plan makes of them."""
    past, note = judge.past, judge.verdict.note
    plan = judge.document["plan"]
    for layout in plan["layouts"]:
        if (layout["board"], layout.get("copy", 1)) in past.gone or layout["board"] in past.holds:
            note(12, -1.0)
        for at in layout["placements"]:
            if (at["part"], at.get("copy", 1)) in past.in_hand:
                note(12, -1.0)
    for unplaced in plan.get("unplaced", []):
        if any((unplaced["part"], copy) in past.in_hand for copy in unplaced["copies"]):
            note(12, -1.0)
    for id, cut in past.cuts.items():
        if cut["board"] not in judge.boards:
            continue
        pieces = [judge.boards[b] for b, origin in past.origin.items() if origin["done"] == id]
        Parting(judge, cut, pieces).judge()
    for id, at in past.held:
        blank_in_hand(judge, judge.boards[id], at)


class Parting:
    """One cut: what was cut, and what it left."""

    def __init__(self, judge: Judge, cut: dict, pieces: list[Board]) -> None:
        self.judgement, self.cut, self.pieces = judge, cut, pieces
        self.note = judge.verdict.note
        self.whole = judge.boards[cut["board"]].outline
        self.line = [tuple(point) for point in cut["line"]]
        self.kerf = cut["kerf"]
        self.is_straight = len(self.line) == 2
        self.forgiven = SLACK + (0.0 if self.is_straight else FLATTENED)

    def side(self, piece: Board) -> str:
        return self.judgement.past.origin[piece.id].get("side", "right")

    def judge_leaves(self) -> None:
        """Leaves have the blank's outline, and with the kerfs between them are no thicker than it was."""
        planned = [piece for piece in self.pieces if piece.id not in self.judgement.past.measured]
        for piece in planned:
            self.note(12, SLACK - depth_beyond(piece.outline, self.whole))
            self.note(12, (piece.outline.area - (1.0 - AREA_SHARE) * self.whole.area) / self.whole.length, 1e-6)
        thick = self.judgement.boards[self.cut["board"]].thickness
        self.note(12, thick + SLACK - sum(p.thickness for p in planned) - (len(self.pieces) - 1) * self.kerf)

    def judge(self) -> None:
        if self.cut.get("resawn"):
            self.judge_leaves()
            return
        measured = self.judgement.past.measured
        planned = [piece for piece in self.pieces if piece.id not in measured]
        for piece in planned:
            self.note(12, self.forgiven - depth_beyond(piece.outline, self.whole))
            if self.is_straight:
                self.note(12, self.forgiven - depth_beyond(piece.outline, self.half(self.side(piece))))
        for one, other in combinations(planned, 2):
            across = not self.is_straight and self.side(one) != self.side(other)
            kept = self.kerf - FLATTENED if across else 0.0
            self.note(12, apart(one.outline, other.outline) - kept + self.forgiven)
        self.areas(len(planned) < len(self.pieces))

    def half(self, side: str) -> BaseGeometry:
        """Everything on one side of a straight cut's kerf."""
        (ax, ay), (bx, by) = self.line
        length = math.dist(*self.line)
        ux, uy = (bx - ax) / length, (by - ay) / length
        # To the left of its direction y is up.
        sign = 1.0 if side == "left" else -1.0
        nx, ny = -uy * sign, ux * sign
        near = [(ax + nx * self.kerf / 2 + s * ux * FAR, ay + ny * self.kerf / 2 + s * uy * FAR) for s in (-1, 1)]
        far = [(x + nx * FAR, y + ny * FAR) for x, y in reversed(near)]
        return Polygon(near + far)

    def areas(self, is_measured: bool) -> None:
        """Pieces and kerf are all of it: never more; less only where a piece was measured."""
        whole = self.whole.area
        left = sum(piece.outline.area for piece in self.pieces)
        if self.is_straight:
            halves = [self.whole.intersection(self.half(side)) for side in ("left", "right")]
            least = whole - sum(half.area for half in halves)
            parts = [part for half in halves for part in getattr(half, "geoms", [half])]
            most = least + sum(part.area for part in parts if is_sliver(part))
        else:
            kerf = self.kerf + 2.0 * FLATTENED
            least, most = 0.0, kerf * LineString(self.line).length + math.pi * kerf * kerf / 4.0
        if is_measured:
            least, most = 0.0, whole
        # What is told is millimetres along the longer side.
        x0, y0, x1, y1 = self.whole.bounds
        reach, near = max(x1 - x0, y1 - y0), AREA_SHARE * whole
        self.note(12, (whole + near - left - least) / reach, 0.5 * near / reach)
        self.note(12, (left + most - whole + near) / reach, 0.5 * near / reach)


def is_sliver(shape: BaseGeometry) -> bool:
    if shape.is_empty:
        return True
    x0, y0, x1, y1 = shape.bounds
    return shape.area <= FLATTENED * max(x1 - x0, y1 - y0)


def blank_in_hand(judge: Judge, board: Board, at: dict) -> None:
    """A copy in hand must still come out of its blank."""
    part = judge.parts[at["part"]]
    piece = judge.piece(at)
    judge.verdict.note(12, SLACK - depth_beyond(piece.finished, board.outline))
    thick = judge.past.resawn_from(board.id)
    left = judge.thickness_left(board, piece)
    if thick is not None:
        # One of its faces is planed already.
        left += judge.planed_each_face(board, part)
        if board.id in judge.past.measured:
            piece = judge.piece({key: value for key, value in at.items() if key != "leaf"})
        else:
            board = judge.boards[thick]
    judge.verdict.note(12, left - part.thickness + SLACK)
    for zone in board.zones:
        # What lies in the allowance is planed or sawn away.
        if judge.demands(board, piece, zone):
            judge.verdict.note(12, apart(piece.finished, zone.shape) + SLACK, zone.window)
        elif zone.kind == "fixing":
            judge.held_fixing(board, piece, zone)
