"""Reads a job document into plain numbers and shapely shapes, with code of its own.

Nothing here is shared with the Rust crates: a mistake there and a mistake here would
have to be the same mistake to go unseen. Millimetres and degrees throughout.
"""

from __future__ import annotations

import ast
import math
import operator
from dataclasses import dataclass, field

from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

#: Chords in a quarter circle: a radius of 100 mm is off by a micrometre.
QUARTER = 160
#: Side of the square cells on which bent grain is constant.
CELL = 20.0

_OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
}


def evaluate(text: str, names: dict[str, float]) -> float:
    """The value of an expression over named dimensions."""

    def walk(node: ast.AST) -> float:
        if isinstance(node, ast.Expression):
            return walk(node.body)
        if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)):
            return float(node.value)
        if isinstance(node, ast.Name):
            return names[node.id]
        if isinstance(node, ast.BinOp):
            return _OPERATORS[type(node.op)](walk(node.left), walk(node.right))
        if isinstance(node, ast.UnaryOp):
            return _OPERATORS[type(node.op)](walk(node.operand))
        raise ValueError(f"not an expression of dimensions: {text!r}")

    return walk(ast.parse(text, mode="eval"))


class Lengths:
    """Turns lengths of a document into millimetres."""

    def __init__(self, document: dict) -> None:
        self.names: dict[str, float] = {}
        # A plan's own value counts, but for a size that is worked out from others.
        chosen = {d["name"]: d["value"] for d in (document.get("plan") or {}).get("dimensions", [])}
        waiting = list(document.get("dimensions", []))
        while waiting:
            left = []
            for dimension in waiting:
                try:
                    value = self(dimension["preferred"])
                    is_worked_out = isinstance(dimension["preferred"], dict) and "expr" in dimension["preferred"]
                    self.names[dimension["name"]] = value if is_worked_out else chosen.get(dimension["name"], value)
                except KeyError:
                    left.append(dimension)
            if len(left) == len(waiting):
                raise ValueError("dimensions refer to each other in a ring")
            waiting = left

    def __call__(self, value, default: float | None = None) -> float:
        if value is None:
            if default is None:
                raise KeyError("length missing")
            return default
        if isinstance(value, (int, float)):
            return float(value)
        if "expr" in value:
            return evaluate(value["expr"], self.names)
        return float(value["mm"])

    def points(self, pairs) -> list[tuple[float, float]]:
        return [(self(x), self(y)) for x, y in pairs]


@dataclass
class Side:
    """One side of a board's outline and what is trimmed off it."""

    line: LineString
    #: "raw", "straight" (and true) or "sawn" (neither trimmed nor true).
    state: str
    is_end: bool

    @property
    def raw(self) -> bool:
        return self.state == "raw"

    @property
    def true(self) -> bool:
        return self.state == "straight"


@dataclass
class Zone:
    kind: str
    shape: BaseGeometry
    margin: float
    face: str
    depth: float
    sound: bool
    clear_of: str
    stops: str
    material: str
    #: From where to where it lies below its face; none where that is not known.
    buried: tuple[float, float] | None
    drawn: bool
    #: How near a limit is too near to compare, in millimetres: curves are flattened
    #: outwards by up to 0.05 mm over there, and are all but true here.
    window: float


@dataclass
class Board:
    id: str
    species: str
    count: int
    usage: str
    outline: Polygon
    sides: list[Side]
    thickness: float
    planed: bool
    warp: dict | None
    #: Lift of the corner for each square millimetre of twisted board.
    twist: float
    angle: float
    lines: list[list[tuple[float, float]]]
    zones: list[Zone]
    cuts: str
    length: float
    width: float
    #: The box on whose corner the cells of bent grain are counted; its own unless it is a piece.
    cell_box: tuple[float, float, float, float]
    _cells: dict[tuple[int, int], float] = field(default_factory=dict)

    def grain_cells(self, shape: BaseGeometry) -> list[tuple[float, float]]:
        """(direction, area of shape within) for every cell of the grain field met."""
        segments = [(a, b) for line in self.lines for a, b in zip(line, line[1:]) if a != b]
        if not segments:
            return [(self.angle, shape.area)]
        x0, y0, x1, y1 = self.cell_box
        columns = max(1, math.ceil((x1 - x0) / CELL))
        rows = max(1, math.ceil((y1 - y0) / CELL))
        far = 1.0e6
        found = []
        sx0, sy0, sx1, sy1 = shape.bounds
        for row in range(rows):
            low = -far if row == 0 else y0 + row * CELL
            high = far if row == rows - 1 else y0 + (row + 1) * CELL
            if high <= sy0 or low >= sy1:
                continue
            for column in range(columns):
                left = -far if column == 0 else x0 + column * CELL
                right = far if column == columns - 1 else x0 + (column + 1) * CELL
                if right <= sx0 or left >= sx1:
                    continue
                area = shape.intersection(box(left, low, right, high)).area
                if area > 0.0:
                    key = (column, row)
                    if key not in self._cells:
                        middle = (x0 + (column + 0.5) * CELL, y0 + (row + 0.5) * CELL)
                        self._cells[key] = mean_direction(segments, middle)
                    found.append((self._cells[key], area))
        return found


@dataclass
class Part:
    id: str
    count: int
    species: list[str]
    outline: Polygon
    thickness: float
    axis: str
    tolerance: float
    turns: list[float] | None
    faces: str
    may_turn_over: bool
    end: float
    edge: float
    sawn: float
    planing: float
    clean_up: float
    fixing_ok: bool
    cut: str

    @property
    def blank(self) -> BaseGeometry:
        """The rough-sized wood, in the part's frame."""
        if self.cut == "sawn":
            return self.outline.buffer(self.sawn, quad_segs=QUARTER)
        x0, y0, x1, y1 = self.outline.bounds
        return box(x0 - self.end, y0 - self.edge, x1 + self.end, y1 + self.edge)


def mean_direction(segments, middle) -> float:
    """Mean direction of drawn grain lines at a point, on doubled angles.

    A segment weighs its length over its squared distance (plus one square millimetre).
    """
    sum_x = sum_y = 0.0
    here = Point(middle)
    for a, b in segments:
        length = math.dist(a, b)
        weight = length / (here.distance(LineString([a, b])) ** 2 + 1.0)
        doubled = 2.0 * math.atan2(b[1] - a[1], b[0] - a[0])
        sum_x += weight * math.cos(doubled)
        sum_y += weight * math.sin(doubled)
    return math.degrees(math.atan2(sum_y, sum_x)) / 2.0


def tape_outline(outline: dict, mm: Lengths) -> tuple[list[tuple[float, float]], list[str]]:
    """Corners, counter-clockwise from the start end's right, and the state of the side after each."""
    length = mm(outline["length"])
    stations = sorted((mm(s["at"]), mm(s["left"]), mm(s["right"])) for s in outline["stations"])
    stations = [s for s in stations if 0.0 <= s[0] <= length]
    if stations[0][0] > 0.0:
        stations.insert(0, (0.0, stations[0][1], stations[0][2]))
    if stations[-1][0] < length:
        stations.append((length, stations[-1][1], stations[-1][2]))
    right = [(at, -r) for at, _, r in stations]
    left = [(at, l) for at, l, _ in reversed(stations)]
    of = lambda key: outline.get(key, "raw")
    states = [of("right")] * (len(right) - 1) + [of("end")] + [of("left")] * (len(left) - 1) + [of("start")]
    return right + left, states


def edge_y(board_outline: Polygon, x: float, top: bool) -> float:
    """Height of the upper or lower edge of a board at x."""
    _, y0, _, y1 = board_outline.bounds
    cut = board_outline.intersection(LineString([(x, y0 - 1), (x, y1 + 1)]))
    return cut.bounds[3] if top else cut.bounds[1]


def zone_shape(shape: dict, outline: Polygon, tape, mm: Lengths) -> BaseGeometry:
    if shape["form"] == "polygon":
        return Polygon(mm.points(shape["points"]))
    if shape["form"] == "strip":
        width = mm(shape["width"])
        corners, _ = tape
        xs = sorted({x for x, _ in corners})
        top = shape["side"] == "left"
        edge = [(x, edge_y(outline, x, top)) for x in xs]
        shift = -width if top else width
        return Polygon(edge + [(x, y + shift) for x, y in reversed(edge)])
    # From the start end: the board's least x.
    along, across = outline.bounds[0] + mm(shape["along"]), mm(shape["across"])
    origin = shape.get("from", "right_edge")
    if origin == "chalk_line":
        y = across
    elif origin == "left_edge":
        y = edge_y(outline, along, True) - across
    else:
        y = edge_y(outline, along, False) + across
    half_l, half_w = mm(shape["length"]) / 2.0, mm(shape["width"]) / 2.0
    if shape.get("oval", True):
        unit = Point(0, 0).buffer(1.0, quad_segs=QUARTER)
        return affinity.translate(affinity.scale(unit, half_l, half_w, origin=(0, 0)), along, y)
    return box(along - half_l, y - half_w, along + half_l, y + half_w)


def sides_of(corners: list[tuple[float, float]], states: list[str]) -> list[Side]:
    """The sides of a ring, each with its state and whether it is an end."""
    sides = []
    for (a, b), state in zip(zip(corners, corners[1:] + corners[:1]), states):
        if a != b:
            sides.append(Side(LineString([a, b]), state, abs(b[1] - a[1]) > abs(b[0] - a[0])))
    return sides


@dataclass
class Tool:
    """A tool with everything that the document leaves unsaid."""

    name: str
    does: set[str]
    kerf: float
    max_length: float
    max_width: float
    max_depth: float
    least_held: float
    guide: str
    work_moves: bool
    leaves_true: bool
    can_skim: bool

    @property
    def has_rip_fence(self) -> bool:
        return self.guide == "along" and self.work_moves

    def planes(self, rip: bool) -> bool:
        """Trues a long edge instead of sawing along it."""
        return rip and "true_edge" in self.does and "rip" not in self.does

    def makes(self, rip: bool) -> bool:
        return bool(self.does & {"rip", "true_edge"}) if rip else "crosscut" in self.does


def read_tool(raw: dict, mm: Lengths) -> Tool:
    does = set(raw["does"])
    by_line, trues = "sawn" in does, "true_edge" in does
    guide = raw.get("guide", "none")
    moves, true = raw.get("work_moves"), raw.get("leaves_true_edge")
    if moves is None:
        moves = guide == "along" or trues or (by_line and "rip" in does)
    if true is None:
        true = trues or (guide != "none" and not by_line)
    circular = not (by_line or trues)
    hand_fed = circular and (guide == "square" or (guide == "along" and moves))
    return Tool(
        name=raw["name"],
        does=does,
        kerf=mm(raw["kerf"]),
        max_length=mm(raw.get("max_length"), math.inf),
        max_width=mm(raw.get("max_width"), math.inf),
        max_depth=mm(raw.get("max_depth"), math.inf),
        least_held=mm(raw.get("min_piece"), 300.0 if hand_fed else 0.0),
        guide=guide,
        work_moves=moves,
        leaves_true=true,
        can_skim=raw.get("can_skim", False),
    )


def read_tools(workshop: dict, mm: Lengths) -> list[Tool]:
    """The tools; where none is named, the maker's own hands, which rip, crosscut and skim."""
    named = [read_tool(t, mm) for t in workshop.get("tools", [])]
    if named:
        return named
    fallback = workshop.get("fallback_kerf", {})
    free = {"guide": "none", "leaves_true_edge": True, "can_skim": True}
    return [
        read_tool({"name": name, "does": [does], "kerf": mm(fallback.get(does), 3.2), **free}, mm)
        for name, does in (("any rip saw", "rip"), ("any crosscut saw", "crosscut"))
    ]


def twist_of(warp: dict, length: float, width: float, mm: Lengths) -> float:
    twist = warp.get("twist")
    if not twist:
        return 0.0
    return mm(twist["lift"]) / (mm(twist.get("over_length"), length) * mm(twist.get("over_width"), width))


def read_board(raw: dict, mm: Lengths) -> Board:
    outline = raw["outline"]
    if outline["form"] == "tape":
        corners, states = tape_outline(outline, mm)
        holes = []
    else:
        corners = mm.points(outline["points"])
        states = list(outline.get("sides", []))
        states += ["raw"] * (len(corners) - len(states))
        holes = [mm.points(h) for h in outline.get("holes", [])]
    shape = Polygon(corners, holes)
    sides = sides_of(corners, states)
    for hole, said in zip(holes, outline.get("hole_sides", []) + [[]] * len(holes)):
        sides += sides_of(hole, list(said) + ["raw"] * (len(hole) - len(said)))
    zones = [
        Zone(
            kind=z.get("kind", "defect"),
            shape=zone_shape(z["shape"], shape, (corners, states), mm),
            margin=mm(z.get("margin"), 12.0 if z.get("kind") == "fixing" else 0.0)
            + mm(z.get("uncertain"), 0.0),
            face=z.get("face", "through"),
            depth=mm(z.get("depth"), math.inf),
            sound=z.get("sound", False),
            clear_of=z.get("clear_of", "blank"),
            stops=z.get("stops", "all"),
            material=z.get("material", "unknown"),
            buried=(mm(z.get("depth_from"), 0.0), mm(z["depth_to"])) if z.get("depth_to") is not None else None,
            drawn=z.get("drawn_before_planing", False),
            window=0.055 if z["shape"]["form"] == "spot" and z["shape"].get("oval", True) else 4.0e-4,
        )
        for z in raw.get("zones", [])
    ]
    grain = raw.get("grain") or {}
    x0, y0, x1, y1 = shape.bounds
    return Board(
        id=raw["id"],
        species=raw.get("species", ""),
        count=int(raw.get("count") or 1),
        usage=raw.get("use", "freely"),
        outline=shape,
        sides=sides,
        thickness=mm(raw["thickness"]),
        planed=raw.get("surface") == "planed",
        warp=raw.get("warp"),
        twist=twist_of(raw.get("warp") or {}, x1 - x0, y1 - y0, mm),
        angle=grain.get("angle", 0.0),
        lines=[[tuple(p) for p in line] for line in grain.get("lines", [])],
        zones=zones,
        cuts=raw.get("cuts", "any"),
        length=x1 - x0,
        width=y1 - y0,
        cell_box=shape.bounds,
    )


def shape_corners(shape: dict, tenon: tuple[float, float], mm: Lengths) -> Polygon:
    start, end = tenon
    if shape["form"] == "rectangle":
        return box(0, 0, mm(shape["length"]) + start + end, mm(shape["width"]))
    if shape["form"] == "taper":
        length, w0, w1 = mm(shape["length"]), mm(shape["start_width"]), mm(shape["end_width"])
        high = max(w0, w1)
        if shape.get("both_sides"):
            ends = [((high - w) / 2.0, (high + w) / 2.0) for w in (w0, w1)]
        else:
            ends = [(0.0, w0), (0.0, w1)]
        (a0, a1), (b0, b1) = ends
        corners = [(-start, a0), (0, a0), (length, b0), (length + end, b0), (length + end, b1), (length, b1), (0, a1), (-start, a1)]
        return Polygon([p for place, p in enumerate(corners) if p != corners[place - 1]])
    if shape["form"] == "disc":
        r = mm(shape["diameter"]) / 2.0
        return Point(r, r).buffer(r, quad_segs=QUARTER)
    if shape["form"] == "ellipse":
        a, b = mm(shape["length"]) / 2.0, mm(shape["width"]) / 2.0
        unit = Point(0, 0).buffer(1.0, quad_segs=QUARTER)
        return affinity.translate(affinity.scale(unit, a, b, origin=(0, 0)), a, b)
    if shape["form"] == "polygon":
        return Polygon(mm.points(shape["points"]), [mm.points(h) for h in shape.get("holes", [])])
    corners = mm.points(shape["points"])
    area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1]))
    swells = [mm(s) for s in shape.get("swells", [])] + [0.0] * len(corners)
    outline: list[tuple[float, float]] = []
    for place, a in enumerate(corners):
        b = corners[(place + 1) % len(corners)]
        outline.append(a)
        swell = swells[place]
        if swell:
            chord = math.dist(a, b)
            radius = (chord * chord / 4.0 + swell * swell) / (2.0 * abs(swell))
            # To the right of a counter-clockwise side is outside.
            outward = 1.0 if area > 0 else -1.0
            nx, ny = outward * (b[1] - a[1]) / chord, -outward * (b[0] - a[0]) / chord
            away = math.copysign(1.0, swell)
            mx, my = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
            cx = mx + away * nx * (abs(swell) - radius)
            cy = my + away * ny * (abs(swell) - radius)
            t0, t1 = math.atan2(a[1] - cy, a[0] - cx), math.atan2(b[1] - cy, b[0] - cx)
            sweep = (t1 - t0 + math.pi) % (2 * math.pi) - math.pi
            if abs(swell) > chord / 2.0:
                sweep -= math.copysign(2 * math.pi, sweep)
            for step in range(1, QUARTER):
                t = t0 + sweep * step / QUARTER
                outline.append((cx + radius * math.cos(t), cy + radius * math.sin(t)))
    return Polygon(outline, [mm.points(h) for h in shape.get("holes", [])])


def read_part(raw: dict, defaults: dict, mm: Lengths) -> Part:
    own = raw.get("allowances") or {}

    def extra(name: str, fallback: float) -> float:
        return mm(own.get(name), mm(defaults.get(name), fallback))

    tenon = raw.get("tenon") or {}
    outline = shape_corners(raw["shape"], (mm(tenon.get("start"), 0.0), mm(tenon.get("end"), 0.0)), mm)
    x0, y0, _, _ = outline.bounds
    outline = affinity.translate(outline, -x0, -y0)
    grain = raw.get("grain") or {}
    handed = raw.get("handed", False)
    return Part(
        id=raw["id"],
        count=int(raw.get("count") or 1),
        species=raw.get("species", []),
        outline=outline,
        thickness=mm(raw["thickness"]),
        axis=grain.get("axis", "along"),
        tolerance=grain.get("tolerance", 3.0) if grain.get("tolerance") is not None else 3.0,
        turns=raw.get("turns"),
        faces=raw.get("faces", "one"),
        may_turn_over=raw.get("may_turn_over", True) is not False and not handed,
        end=extra("end", 6.0),
        edge=extra("edge", 3.0),
        sawn=extra("sawn", 3.0),
        planing=extra("planing", 2.5),
        clean_up=extra("clean_up", 0.8),
        fixing_ok=raw.get("fixing_ok", False),
        cut=raw.get("cut", "straight"),
    )


@dataclass
class Panel:
    """The rules of a part glued up from staves, in millimetres."""

    part: dict
    length: float
    width: float
    least: float
    most: float
    count: int
    equal: bool
    hearts: str
    joint: float
    flatten: float
    #: Staves may be of pieces; the shortest, how far their joints stand apart, and what each takes.
    end_to_end: bool
    least_piece: float
    ends_apart: float
    end_joint: float


#: What counts where a panel says nothing: narrowest stave, most staves, flattening of each face.
LEAST_STAVE, MOST_STAVES, FLATTEN = 40.0, 60, 0.5
#: The same of end joints: shortest piece, and how far those of neighbours stand apart.
LEAST_PIECE, ENDS_APART = 300.0, 150.0


def read_panel(raw: dict, part: dict, mm: Lengths) -> Panel:
    """A panel of a document; its staves run as its grain does."""
    plain = {key: value for key, value in part.items() if key != "tenon"}
    x0, y0, x1, y1 = read_part(plain, {}, mm).outline.bounds
    along, across = x1 - x0, y1 - y0
    if (part.get("grain") or {}).get("axis", "along") == "across":
        along, across = across, along
    most = mm(raw.get("max_width"), math.inf)
    least = mm(raw["min_width"]) if raw.get("min_width") is not None else min(LEAST_STAVE, most, across)
    count = raw.get("max_count")
    return Panel(
        part=part,
        length=along,
        width=across,
        least=least,
        most=most,
        count=max(1, min(MOST_STAVES, MOST_STAVES if count is None else count)),
        equal=raw.get("equal", False),
        hearts=raw.get("hearts", "any"),
        joint=mm(raw.get("joint"), 0.0),
        flatten=mm(raw.get("flatten"), FLATTEN),
        end_to_end=raw.get("end_to_end", False),
        least_piece=mm(raw.get("min_piece"), min(LEAST_PIECE, along / 2.0)),
        ends_apart=mm(raw.get("ends_apart"), ENDS_APART),
        end_joint=mm(raw.get("end_joint"), 0.0),
    )


def read_stave(panel: Panel, id: str, size: tuple[float | None, float], defaults: dict, mm: Lengths) -> Part:
    """A stave as the part that it is: as long as the panel or a piece of that length, thicker by what flattening takes."""
    length, width = size
    grain = {**(panel.part.get("grain") or {})}
    if grain.get("axis", "along") != "any":
        grain["axis"] = "along"
    raw = {key: value for key, value in panel.part.items() if key not in ("tenon", "count")}
    return read_part(
        {
            **raw,
            "id": id,
            "shape": {"form": "rectangle", "length": length or panel.length, "width": width},
            "thickness": mm(panel.part["thickness"]) + 2.0 * panel.flatten,
            "grain": grain,
            "cut": "straight",
        },
        defaults,
        mm,
    )


def placed(shape: BaseGeometry, at: dict) -> BaseGeometry:
    """A shape of the part's frame as it lies on the board: mirrored, turned, moved."""
    if at.get("turned_over"):
        shape = affinity.scale(shape, 1.0, -1.0, origin=(0, 0))
    shape = affinity.rotate(shape, at.get("turn", 0.0), origin=(0, 0))
    return affinity.translate(shape, at["x"], at["y"])
