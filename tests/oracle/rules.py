"""The rules of a valid plan, written again from their wording, on shapely shapes.

`judge(document)` gives, for each rule, the worst margin in millimetres (or degrees, or
pieces): negative means broken by that much. A rule that does not apply has no entry.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import combinations

from shapely import affinity
from shapely.geometry import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from document import Board, Lengths, Part, Tool, placed, read_board, read_part, read_tools
from done import Past, judge_done
from glued import judge_panels, staves_of
from related import are_leaves, judge_related, zone_met
from shapes import FAR, SLACK, apart, depth_beyond

#: What a piece may be larger than its blank: besides, what a search keeps to spare (2 micrometres) and the grid (1).
PIECE_SLACK = SLACK + 3.0e-3
#: The share of a workpiece's length over which a true edge runs along its fence.
FENCE_CONTACT = 0.9
#: Most degrees that a piece is turned against its board's line of reference.
MOST_ASKEW = 45.0
#: Most twist of a workpiece that is moved over a machine, in millimetres.
MOST_TWIST = 1.5


#: Nearer than this to a limit two programs may round apart: such rules are left out.
#: Less than half the slack of a micrometre, so that an exact fit still counts as good.
WINDOW = 4.0e-4
#: Degrees are compared far more finely than millimetres.
DEGREES_WINDOW = 1.0e-4
#: What a part may be off the grain by beyond its tolerance, in degrees: nobody measures that true.
GRAIN_SLACK = 2.0e-3


@dataclass
class Verdict:
    """Which rules are broken, and which lie too near a limit to judge."""

    margins: dict[int, float] = field(default_factory=dict)
    broken: set[int] = field(default_factory=set)
    near: set[int] = field(default_factory=set)

    def note(self, rule: int, margin: float, window: float = WINDOW) -> None:
        """Takes up how far a rule is from its limit; negative is beyond it."""
        self.margins[rule] = min(margin, self.margins.get(rule, math.inf))
        if margin <= -window:
            self.broken.add(rule)
        elif margin < window:
            self.near.add(rule)

    @property
    def unclear(self) -> set[int]:
        return self.near - self.broken


@dataclass
class Piece:
    key: tuple[str, int]
    part: Part
    at: dict
    blank: BaseGeometry
    finished: BaseGeometry


def planed_each_face(board: Board, part: Part) -> float:
    if board.warp is None:
        return part.planing
    flat = not any(board.warp.get(kind) for kind in ("cup", "bow", "twist"))
    return 0.0 if flat and board.planed else part.clean_up


def thickness_left(board: Board, part: Part, blank: BaseGeometry, mm: Lengths) -> float:
    x0, y0, x1, y1 = blank.bounds
    along, across = x1 - x0, y1 - y0
    lost = 2.0 * planed_each_face(board, part)
    warp = board.warp or {}
    if cup := warp.get("cup"):
        lost += mm(cup["gap"]) * (across / mm(cup.get("over"), board.width)) ** 2
    if bow := warp.get("bow"):
        lost += mm(bow["gap"]) * (along / mm(bow.get("over"), board.length)) ** 2
    lost += 0.5 * board.twist * along * across
    return board.thickness - lost


def seen(part: Part, turned_over: bool, up: bool, painted_counts: bool) -> bool:
    if part.faces == "both":
        return True
    if part.faces == "one":
        return turned_over != up
    return part.faces == "painted" and painted_counts


class Judge:
    def __init__(self, document: dict) -> None:
        mm = self.mm = Lengths(document)
        self.workshop = document.get("workshop", {})
        defaults = document.get("allowances", {})
        self.boards = {b["id"]: read_board(b, mm) for b in document["boards"]}
        self.past = Past(document)
        grain = {b["id"]: b.get("grain") for b in document["boards"]}
        for id, board in self.boards.items():
            # A bent field lies on cells counted from a corner of the board as it was bought.
            root, _ = self.past.root(id, 1)
            if grain[root] == grain[id]:
                board.cell_box = self.boards[root].outline.bounds
        self.parts = {p["id"]: read_part(p, defaults, mm) for p in document["parts"]}
        self.document = document
        self.panels, staves = staves_of(document, defaults, mm)
        # A stave is a part like any other; what is glued up from them is cut from no board.
        self.parts = {id: p for id, p in self.parts.items() if id not in self.panels} | staves
        trim = self.workshop.get("trim", {})
        self.trim_end, self.trim_edge = mm(trim.get("end"), 15.0), mm(trim.get("edge"), 4.0)
        self.tools = {t.name: t for t in read_tools(self.workshop, mm)}
        self.verdict = Verdict()
        #: The cuts of each layout, by its place; none where it has none.
        self.trees: list[Tree | None] = []

    def sawn_kerf(self, board: Board) -> float:
        """The kerf of lines in a board: of the thinnest saw for them that takes it."""
        for_lines = [t for t in self.tools.values() if "sawn" in t.does]
        able = [t.kerf for t in for_lines if t.max_depth >= board.thickness]
        if able:
            return min(able)
        # None takes it: that is said by rule 9, whatever the kerf.
        return for_lines[0].kerf if for_lines else self.mm(self.workshop.get("fallback_kerf", {}).get("sawn"), 2.0)

    def takes_lines(self, board: Board) -> None:
        """9: a tool that follows lines takes the board; one is taken to be there where none is named."""
        deepest = [t.max_depth for t in self.tools.values() if "sawn" in t.does]
        if deepest:
            self.verdict.note(9, max(deepest) - board.thickness + SLACK)

    def run(self) -> Verdict:
        plan = self.document["plan"]
        pieces = [self.layout(layout) for layout in plan["layouts"]]
        self.stock(plan, [p for group in pieces for p in group])
        self.matches(plan, pieces)
        judge_related(self, plan, pieces)
        judge_panels(self, pieces)
        judge_done(self)
        for dimension in self.document.get("dimensions", []):
            value = next((d["value"] for d in plan.get("dimensions", []) if d["name"] == dimension["name"]), None)
            if value is not None:
                low, high = self.mm(dimension.get("least"), -math.inf), self.mm(dimension.get("most"), math.inf)
                if math.isfinite(low) or math.isfinite(high):
                    self.verdict.note(11, min(value - low, high - value) + SLACK)
                    step, preferred = self.mm(dimension.get("step"), 0.0), dimension["preferred"]
                    if step > 0 and low < high and not (isinstance(preferred, dict) and "expr" in preferred):
                        steps = (value - self.mm(preferred)) / step
                        self.equal(abs(steps - round(steps)) * step)
                self.equal(abs(value - self.mm.names[dimension["name"]]))
        return self.verdict

    def equal(self, off: float) -> None:
        """Rule 11 of two values that are one, or are this far from it."""
        self.verdict.note(11, SLACK - off if off > 1e-6 else math.inf)

    def layout(self, layout: dict) -> list[Piece]:
        board = self.boards[layout["board"]]
        sawn = layout.get("way", "straight") == "sawn"
        pieces = []
        for at in layout["placements"]:
            pieces.append(self.piece(at))
        for piece in pieces:
            self.one(board, piece)
        by_line = [p for p in pieces if sawn or p.part.cut == "sawn"]
        if by_line:
            self.sawn_fixings(board, by_line)
            self.takes_lines(board)
        self.trees.append(None)
        if layout.get("cuts") is not None:
            # A sawn board may have them too: they break it down before anything is sawn by line.
            tree = Tree(self, board, layout, pieces)
            tree.walk()
            self.trees[-1] = tree
            for (i, a), (j, b) in combinations(enumerate(pieces), 2):
                if are_leaves(self.document, a, b):
                    continue
                self.verdict.note(2, apart(a.blank, b.blank) - tree.kerf_between(i, j) + SLACK)
        elif sawn:
            for a, b in combinations(pieces, 2):
                if are_leaves(self.document, a, b):
                    continue
                self.verdict.note(2, apart(a.blank, b.blank) - self.sawn_kerf(board) + SLACK)
        elif pieces:
            self.verdict.note(9, -1.0)
        return pieces

    def kerf_of_run(self, layout: dict | None, place: int, i: int, j: int) -> float:
        """One kerf between neighbours of a run: of the cut that parts them, else the widest that may."""
        tree = self.trees[place] if layout is not None else None
        if tree is not None and i in tree.freed_by and j in tree.freed_by:
            return tree.kerf_between(i, j)
        if layout is not None and layout.get("way") == "sawn":
            return self.sawn_kerf(self.boards[layout["board"]])
        return max(t.kerf for t in self.tools.values() if t.does & {"rip", "crosscut"})

    def piece(self, at: dict) -> Piece:
        part = self.parts[at["part"]]
        return Piece((part.id, at.get("copy", 1)), part, at, placed(part.blank, at), placed(part.outline, at))

    def thickness_left(self, board: Board, piece: Piece) -> float:
        return thickness_left(board, piece.part, piece.blank, self.mm)

    def planed_each_face(self, board: Board, part: Part) -> float:
        return planed_each_face(board, part)

    def one(self, board: Board, piece: Piece) -> None:
        note, part, at = self.verdict.note, piece.part, piece.at
        # 1. Inside, less the trim at raw sides.
        note(1, SLACK - depth_beyond(piece.blank, board.outline))
        for side in board.sides:
            trim = (self.trim_end if side.is_end else self.trim_edge) if side.raw else 0.0
            if trim > 0.0:
                note(1, piece.blank.distance(side.line) - trim + SLACK)
        # 3. Zones.
        for zone in board.zones:
            for target, reach in self.demands(board, piece, zone):
                note(3, apart(target, zone.shape) - reach + SLACK, zone.window)
            if zone.kind == "fixing":
                self.held_fixing(board, piece, zone)
        # 5. Grain.
        if part.turns is not None:
            turn = at.get("turn", 0.0) % 360.0
            off = min(min(abs(turn - t % 360.0), 360.0 - abs(turn - t % 360.0)) for t in part.turns)
            note(5, 1e-6 - off, DEGREES_WINDOW)
        elif part.axis != "any":
            direction = at.get("turn", 0.0) + (90.0 if part.axis == "across" else 0.0)
            worst = 0.0
            for angle, area in board.grain_cells(piece.blank):
                if area > 1e-6:
                    off = abs((direction - angle + 90.0) % 180.0 - 90.0)
                    worst = max(worst, off)
            note(5, part.tolerance - worst + GRAIN_SLACK, DEGREES_WINDOW)
        # 6. Thickness.
        note(6, self.thickness_left(board, piece) - part.thickness + SLACK)
        # 7. Turned over only where allowed.
        if at.get("turned_over", False) and not part.may_turn_over:
            note(7, -1.0)

    def demands(self, board: Board, piece: Piece, zone) -> list[tuple[BaseGeometry, float]]:
        """3: what of a piece keeps clear of a zone, and by how much."""
        part, over = piece.part, piece.at.get("turned_over", False)
        met = zone_met(self, board, piece, zone, planed_each_face(board, part))
        if met is None:
            return []
        face, depth = met
        # Of unknown depth, or as deep as the board: right through.
        through = face == "through" or depth >= board.thickness - SLACK
        if zone.kind == "sapwood":
            faces = [True, False] if through else [face == "up"]
            shows = any(seen(part, over, up, False) for up in faces)
            return [(piece.finished, zone.margin)] if shows else []
        if zone.kind != "defect":
            return []
        if through or not zone.sound:
            target = piece.blank if zone.clear_of == "blank" else piece.finished
            return [(target, zone.margin)] + ([] if zone.sound else [(piece.blank, 0.0)])
        shows = seen(part, over, face == "up", True) and depth > planed_each_face(board, part) + SLACK
        return [(piece.finished, zone.margin)] if shows else []

    def held_fixing(self, board: Board, piece: Piece, zone) -> None:
        """4, second half: a blank may hold a fixing only if it may, and whole."""
        held = apart(piece.blank, zone.shape)
        if abs(held) < zone.window:
            self.verdict.near.add(4)
        if held >= SLACK:
            return
        if not piece.part.fixing_ok or piece.at.get("leaf") is not None:
            self.verdict.note(4, held + SLACK, zone.window)
            return
        inside = -depth_beyond(zone.shape, piece.blank)
        self.verdict.note(4, inside - zone.margin + SLACK, zone.window)
        comes_off = board.thickness - piece.part.thickness
        if zone.material != "wood" and not zone.drawn and comes_off > SLACK:
            deepest = -math.inf if zone.buried is None else min(zone.buried[0], board.thickness - zone.buried[1])
            self.verdict.note(4, deepest - comes_off + SLACK)

    def sawn_fixings(self, board: Board, pieces: list[Piece]) -> None:
        """4: the line sawn round a blank counts as rip and crosscut."""
        kerf = self.sawn_kerf(board)
        for piece in pieces:
            band = piece.blank.buffer(kerf, quad_segs=160).difference(piece.blank).intersection(board.outline)
            for zone in board.zones:
                if zone.kind == "fixing" and not band.is_empty:
                    self.verdict.note(4, apart(band, zone.shape) - zone.margin + SLACK, zone.window)

    def stock(self, plan: dict, pieces: list[Piece]) -> None:
        note = self.verdict.note
        seen_copies: set[tuple[str, int]] = set()
        for layout in plan["layouts"]:
            board = self.boards[layout["board"]]
            copy = layout.get("copy", 1)
            if board.usage == "leave" and layout["placements"] and board.id not in self.past.holds:
                note(10, -1.0)
            if not 1 <= copy <= board.count:
                note(10, -1.0)
            for at in layout["placements"]:
                part = self.parts[at["part"]]
                key = (part.id, at.get("copy", 1))
                if key in seen_copies or not 1 <= key[1] <= part.count:
                    note(10, -1.0)
                seen_copies.add(key)
                if part.species and board.species not in part.species:
                    note(10, -1.0)
        boards_used = [(layout["board"], layout.get("copy", 1)) for layout in plan["layouts"]]
        if len(set(boards_used)) != len(boards_used):
            note(10, -1.0)
        listed = {(u["part"], c) for u in plan.get("unplaced", []) for c in u["copies"]}
        for part in self.parts.values():
            for copy in range(1, part.count + 1):
                if (part.id, copy) in self.past.in_hand:
                    continue
                if ((part.id, copy) in seen_copies) == ((part.id, copy) in listed):
                    note(10, -1.0)
        for pin in self.document.get("pins", []):
            if not any(self.is_pinned(layout, at, pin) for layout in plan["layouts"] for at in layout["placements"]):
                note(10, -1.0)

    def is_pinned(self, layout: dict, at: dict, pin: dict) -> bool:
        return (
            (at["part"], at.get("copy", 1)) == (pin["part"], pin.get("copy", 1))
            and (layout["board"], layout.get("copy", 1)) == (pin["board"], pin.get("board_copy", 1))
            and abs(at["x"] - pin["x"]) <= SLACK
            and abs(at["y"] - pin["y"]) <= SLACK
            and abs((at.get("turn", 0.0) - pin.get("turn", 0.0) + 180.0) % 360.0 - 180.0) <= 1e-6
            and at.get("turned_over", False) == pin.get("turned_over", False)
        )

    def matches(self, plan: dict, groups: list[list[Piece]]) -> None:
        # Pieces of one board are that board; what is in hand came from it too.
        where = {copy: self.past.root(board, 1) for copy, board in self.past.in_hand.items()}
        for layout, group in zip(plan["layouts"], groups):
            where |= {piece.key: self.past.root(layout["board"], layout.get("copy", 1)) for piece in group}
        for match in self.document.get("matches", []):
            found = [where.get((p["part"], p.get("copy", 1))) for p in match["parts"]]
            if any(f is None for f in found):
                continue
            if match["kind"] == "same_board" and len(set(found)) > 1:
                self.verdict.note(8, -1.0)


@dataclass
class Work:
    """A workpiece: all that the cuts so far leave, wood or not, and the line of reference it is cut by."""

    node: int
    #: Degrees from the layout's own line.
    turned: float
    #: Some cut turned it, be it back since.
    has_turned: bool
    #: In the layout's frame, as everything here.
    within: BaseGeometry
    #: Every side that a cut made, latest last: two points of its line; whether it is true.
    sides: list[tuple[LineString, bool]]
    #: The cuts that freed it: (node, low side?), outermost first.
    path: list[tuple[int, bool]]


class Tree:
    """4, 9 and 9a: the cuts of one board, carried out on shapely shapes in the layout's frame.

    Before a cut askew is made, everything is turned back round the frame's origin, so that it too
    is a box.
    """

    def __init__(self, judge: Judge, board: Board, layout: dict, pieces: list[Piece]) -> None:
        self.judge, self.board, self.layout, self.pieces = judge, board, layout, pieces
        self.nodes = layout["cuts"]["nodes"]
        frame = layout.get("frame") or {"x": 0.0, "y": 0.0, "angle": 0.0}
        self.to_frame = lambda shape: affinity.rotate(
            affinity.translate(shape, -frame["x"], -frame["y"]), -frame["angle"], origin=(0, 0)
        )
        self.outline = self.to_frame(board.outline)
        self.blanks = [self.to_frame(p.blank) for p in pieces]
        self.zones = [(z, self.to_frame(z.shape)) for z in board.zones if z.kind == "fixing"]
        # True sides of the board, in the frame: (start, end) points of straight sides.
        self.true_sides = [list(self.to_frame(s.line).coords) for s in board.sides if s.true]
        self.visited: set[int] = set()
        self.leaves: set[int] = set()
        # Where they lie but the first of each blank, rule 8 asks alone.
        self.resawn = {p for n in self.nodes if n["node"] == "leaves" for p in n["placements"][1:]}
        # For every placement the cuts that free it: (node, low side?), outermost first.
        self.freed_by: dict[int, list[tuple[int, bool]]] = {}

    def kerf_between(self, i: int, j: int) -> float:
        """The kerf of the cut that parts two placements; by line in one region or where none does on a sawn board; else the smallest there is."""
        for (node, low), (other, other_low) in zip(self.freed_by.get(i, []), self.freed_by.get(j, [])):
            if node == other and low != other_low:
                return self.nodes[node]["kerf"]
        if i in self.freed_by and self.freed_by[i] == self.freed_by.get(j):
            return self.judge.sawn_kerf(self.board)
        if self.layout.get("way") == "sawn":
            return self.judge.sawn_kerf(self.board)
        return min(t.kerf for t in self.judge.tools.values() if t.does & {"rip", "crosscut"})

    def walk(self) -> None:
        note = self.judge.verdict.note
        waiting = [Work(0, 0.0, False, box(-FAR, -FAR, FAR, FAR), [], [])]
        while waiting:
            work = waiting.pop()
            node = work.node
            if node in self.visited or not 0 <= node < len(self.nodes):
                note(9, -1.0)
                return
            self.visited.add(node)
            entry = self.nodes[node]
            kind = entry["node"]
            if kind == "cut":
                if angle := entry.get("angle"):
                    work.turned += angle
                    work.has_turned = True
                    note(9, MOST_ASKEW + 1e-6 - abs(work.turned), DEGREES_WINDOW)
                waiting.extend(self.cut(entry, work))
            elif kind == "blank":
                self.freed_by.setdefault(entry["placement"], work.path)
                self.leaf(entry["placement"], work, False)
            elif kind == "region":
                for placement in entry["placements"]:
                    self.freed_by.setdefault(placement, work.path)
                    self.leaf(placement, work, True)
            elif kind == "leaves":
                if len(entry["placements"]) < 2 or any(self.pieces[p].at.get("leaf") is None for p in entry["placements"]):
                    note(9, -1.0)
                for place, placement in enumerate(entry["placements"]):
                    self.freed_by.setdefault(placement, work.path)
                    # Whether the others lie where the first does is for rule 8.
                    if place == 0:
                        self.leaf(placement, work, False)
                    elif placement in self.leaves:
                        note(9, -1.0)
                    else:
                        self.leaves.add(placement)
            else:
                piece = self.outline.intersection(work.within)
                for place, blank in enumerate(self.blanks):
                    if place in self.resawn:
                        continue
                    overlap = blank.intersection(piece).area
                    if overlap > 1.0:
                        note(9, -overlap / max(1.0, blank.length))
        if len(self.visited) != len(self.nodes) or self.leaves != set(range(len(self.pieces))):
            note(9, -1.0)

    def leaf(self, placement: int, work: Work, shared: bool) -> None:
        """No cut runs into a blank, and its piece is no larger; whether it is all wood, rule 1 asks."""
        note = self.judge.verdict.note
        if not 0 <= placement < len(self.blanks) or placement in self.leaves:
            note(9, -1.0)
            return
        self.leaves.add(placement)
        blank, within = (turned(shape, -work.turned) for shape in (self.blanks[placement], work.within))
        piece = turned(self.outline, -work.turned).intersection(within)
        if piece.is_empty:
            note(9, -1.0)
            return
        note(9, SLACK - depth_beyond(blank, within))
        if not shared:
            (bx0, by0, bx1, by1), (px0, py0, px1, py1) = blank.bounds, piece.bounds
            note(9, PIECE_SLACK - max(bx0 - px0, by0 - py0, px1 - bx1, py1 - by1))

    def cut(self, entry: dict, work: Work) -> list[Work]:
        """Makes one cut."""
        judge, note = self.judge, self.judge.verdict.note
        rip = entry["direction"] == "rip"
        at, kerf = entry["at"], entry["kerf"]
        within = turned(work.within, -work.turned)
        piece = turned(self.outline, -work.turned).intersection(within)
        upright = (lambda low, high: box(-2 * FAR, low, 2 * FAR, high)) if rip else (lambda low, high: box(low, -2 * FAR, high, 2 * FAR))
        low, high = within.intersection(upright(-2 * FAR, at)), within.intersection(upright(at + kerf, 2 * FAR))
        band = within.intersection(upright(at, at + kerf))
        tool = judge.tools.get(entry.get("tool", ""))
        true = tool is None or tool.leaves_true
        result = []
        for child, half, level in (("low", low, at), ("high", high, at + kerf)):
            line = LineString([(-1e3, level), (1e3, level)] if rip else [(level, -1e3), (level, 1e3)])
            result.append(
                Work(
                    node=entry[child],
                    turned=work.turned,
                    has_turned=work.has_turned,
                    within=turned(half, work.turned),
                    sides=[*work.sides, (turned(line, work.turned), true)],
                    path=[*work.path, (work.node, child == "low")],
                )
            )
        sawn = band.intersection(piece)
        if piece.is_empty or sawn.area < 1e-9:
            note(9, -1.0)
            return result
        px0, py0, px1, py1 = piece.bounds
        # What falls off, kerf included, where one side yields nothing but dust.
        first = at + kerf - (py0 if rip else px0)
        last = (py1 if rip else px1) - at
        removed = min(first, last)
        if tool is None or not (tool.can_skim or tool.planes(rip)):
            note(9, removed - kerf + SLACK)
        elif removed <= 0.0:
            note(9, -1.0)
        if tool is None or not tool.makes(rip):
            note(9, -1.0)
        elif tool.planes(rip):
            # It takes no more than its depth, and nothing is left beyond.
            note(9, tool.kerf - kerf + SLACK)
            note(9, kerf - removed + SLACK)
        else:
            note(9, SLACK - abs(kerf - tool.kerf))
        if tool is not None:
            halves = [piece.intersection(half) for half in (low, high)]
            self.possible(tool, rip, piece, halves, (at, kerf), work)
        # 4. Fixings that this cut meets.
        for zone, shape in self.zones:
            if zone.stops == "all" or (zone.stops == "rips") == rip:
                if rip:
                    line = box(sawn.bounds[0], at, sawn.bounds[2], at + kerf)
                else:
                    line = box(at, sawn.bounds[1], at + kerf, sawn.bounds[3])
                note(4, apart(line, turned(shape, -work.turned)) - zone.margin + SLACK, zone.window)
        return result

    def possible(self, tool: Tool, rip: bool, piece, halves, where, work: Work) -> None:
        """9: the piece fits the machine, is held by enough, lies flat, and has a true edge at a rip fence."""
        note, (at, kerf) = self.judge.verdict.note, where
        along, square = spans(piece, rip)
        note(9, tool.max_depth - self.board.thickness + SLACK)
        note(9, tool.max_length - along + SLACK)
        if not tool.has_rip_fence:
            note(9, tool.max_width - square + SLACK)
        if tool.guide == "square":
            held = max(spans(half, rip)[1] for half in halves)
        elif tool.guide == "along" or tool.planes(rip):
            held = along
        else:
            held = max(along, square)
        note(9, held - tool.least_held + SLACK)
        if tool.work_moves:
            note(9, MOST_TWIST - self.board.twist * along * square + SLACK)
        if tool.has_rip_fence and not tool.planes(rip):
            px0, py0, px1, py1 = piece.bounds
            low, high = (py0, py1) if rip else (px0, px1)
            best = -1.0
            for level, half, width in ((low, halves[0], at - low), (high, halves[1], high - at - kerf)):
                touching = self.true_length(piece, rip, level, work)
                if width > SLACK and touching > SLACK:
                    share = touching - FENCE_CONTACT * along
                    length = spans(half, rip)[0] - tool.least_held
                    best = max(best, min(tool.max_width - width, share, length) + SLACK)
            note(9, best)

        if tool.guide == "square" and work.has_turned:
            # 9a. The old edges would turn it back: one that follows the new line lies against the fence.
            px0, py0, px1, py1 = piece.bounds
            edges = [self.edge_length(piece, not rip, level, work) for level in ((px0, px1) if rip else (py0, py1))]
            note(9, max(edges) - SLACK if max(edges) > SLACK else -1.0)

    def edge_length(self, piece: BaseGeometry, rip: bool, level: float, work: Work) -> float:
        """How much of a piece's edge at a level a cut made, true or not, or is true."""
        if self.side_at(rip, level, work) is not None:
            return sum(b - a for a, b in level_spans(piece.boundary, rip, level))
        return self.true_length(piece, rip, level, work)

    def side_at(self, rip: bool, level: float, work: Work) -> bool | None:
        """Whether the side that cuts left at a level is true; none where no cut left one."""
        for line, true in reversed(work.sides):
            ends = [y if rip else x for x, y in turned(line, -work.turned).coords]
            if all(abs(end - level) < SLACK for end in ends):
                return true
        return None

    def true_length(self, piece: BaseGeometry, rip: bool, level: float, work: Work) -> float:
        """How much of a piece's edge at a level is true: what a tool made so, or straight sides of the board."""
        edges = level_spans(piece.boundary, rip, level)
        if self.side_at(rip, level, work):
            return sum(b - a for a, b in edges)
        lines = [turned(LineString(side), -work.turned) for side in self.true_sides]
        sides = [span for line in lines for span in level_spans(line, rip, level)]
        return sum(max(0.0, min(b, d) - max(a, c)) for a, b in edges for c, d in sides)


def turned(shape: BaseGeometry, angle: float) -> BaseGeometry:
    """A shape turned round the origin of its frame."""
    return affinity.rotate(shape, angle, origin=(0, 0)) if angle else shape


def spans(shape: BaseGeometry, rip: bool) -> tuple[float, float]:
    """Extents along and square to a cut."""
    if shape.is_empty:
        return 0.0, 0.0
    x0, y0, x1, y1 = shape.bounds
    return (x1 - x0, y1 - y0) if rip else (y1 - y0, x1 - x0)


def level_spans(lines: BaseGeometry, rip: bool, level: float) -> list[tuple[float, float]]:
    """From where to where straight stretches of some lines run along a cut at a level."""
    found = []
    for line in getattr(lines, "geoms", [lines]):
        points = [(x, y) if rip else (y, x) for x, y in line.coords]
        for (ax, ay), (bx, by) in zip(points, points[1:]):
            if abs(ay - level) < SLACK and abs(by - level) < SLACK and abs(bx - ax) > SLACK:
                found.append((min(ax, bx), max(ax, bx)))
    return found


def judge(document: dict) -> Verdict:
    """The margins of every rule for a document and the plan in it."""
    return Judge(document).run()
