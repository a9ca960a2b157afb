"""Boards in drawings that other programs' libraries write have the areas that shapely measures."""

import json
import math
import os
import random
from pathlib import Path

import ezdxf
import pytest
import svgwrite
from conftest import written_by
from ezdxf.math import bulge_to_arc
from shapely import affinity
from shapely.geometry import Polygon

#: How many drawings of each kind; by hand 200 and more.
DRAWINGS = int(os.environ.get("HEARTSIDE_ORACLE_DRAWINGS", "40"))
#: So far from the true area may one of ours be.
WITHIN = 1.0e-3
#: So far from the true line may the samples of the reference lie, in millimetres.
FINE = 1.0e-3

MILLIMETRES = {1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0}


def read(files: list[Path]) -> list[dict]:
    return written_by("drawn_boards", *files)


def compare(found: dict, outer: list[Polygon], holes: list[Polygon], zones: list[tuple[str, Polygon]]) -> list[str]:
    """What differs: areas too far off, or on the unsafe side."""
    if "boards" not in found:
        return [f"asked: {found}"]
    boards = found["boards"]
    wrong = []
    ours = {
        "outline": sorted(b["outer"] for b in boards),
        "hole": sorted(h for b in boards for h in b["holes"]),
    }
    theirs = {
        "outline": sorted(outer, key=lambda p: p.area),
        "hole": sorted(holes, key=lambda p: p.area),
    }
    for kind in {z[0] for z in zones} | {z["kind"] for b in boards for z in b["zones"]}:
        ours[kind] = sorted(z["area"] for b in boards for z in b["zones"] if z["kind"] == kind)
        theirs[kind] = sorted((p for k, p in zones if k == kind), key=lambda p: p.area)
    for what, expected in theirs.items():
        if len(ours[what]) != len(expected):
            wrong.append(f"{len(ours[what])} of {what}, not {len(expected)}; {found['messages']}")
            continue
        for a, shape in zip(ours[what], expected):
            # What the sampling of the reference may lose.
            slack = FINE * shape.length + 1e-6 * shape.area
            unsafe = a > shape.area + slack if what == "outline" else a < shape.area - slack
            if unsafe or not abs(a - shape.area) <= WITHIN * shape.area + slack:
                wrong.append(f"{what}: {a:.3f}, not {shape.area:.3f}")
    return wrong


def same_areas(cases: list) -> None:
    results = read([file for file, *_ in cases])
    assert len(results) == len(cases)
    wrong = []
    for (file, *expected), found in zip(cases, results):
        wrong += [f"{file.name}: {line}" for line in compare(found, *expected)]
    shapes = sum(len(outer) + len(holes) + len(zones) for _, outer, holes, zones in cases)
    print(f"\n{len(cases)} drawings, {shapes} shapes")
    assert not wrong, "\n".join(wrong[:20])


# --- DXF by ezdxf ---


def turned(points, by=None, unit: float = 1.0) -> Polygon:
    """Points of a drawing as a polygon in millimetres, after a block was placed."""
    placed = by.transform_vertices([(x, y, 0.0) for x, y in points]) if by is not None else None
    return Polygon([(p.x * unit, p.y * unit) for p in placed] if placed is not None else [(x * unit, y * unit) for x, y in points])


def bulged(corners):
    """The points of a closed line with bulges."""
    for (x, y, bulge), (u, v, _) in zip(corners, corners[1:] + corners[:1]):
        yield x, y
        if abs(bulge) > 1e-9:
            centre, start, end, radius = bulge_to_arc((x, y), (u, v), bulge)
            sweep = (end - start) % (2 * math.pi)
            arc = [start + sweep * k / 1500 for k in range(1, 1500)]
            for t in arc if bulge > 0 else reversed(arc):
                yield centre.x + radius * math.cos(t), centre.y + radius * math.sin(t)


def draw_outline(chance: random.Random, space, unit: float, layer: str) -> list:
    """A board about the origin, in a random form; its points in the drawing's unit."""
    long, wide = chance.uniform(600, 2800) / unit, chance.uniform(120, 500) / unit
    style = {"layer": layer}
    form = chance.choice(["bulged", "old", "lines", "slot", "spline", "nurbs", "ellipse"])
    if form in ("bulged", "old"):
        corners = [(0, 0), (long / 2, -wide / 10), (long, 0), (long, wide), (long / 3, wide * 1.1), (0, wide)]
        if chance.random() < 0.5:
            corners.reverse()
        # Swelling or hollow, whichever way round it is drawn.
        points = [(x, y, chance.uniform(-0.12, 0.12)) for x, y in corners]
        draw = space.add_lwpolyline if form == "bulged" else space.add_polyline2d
        draw(points, format="xyb", close=True, dxfattribs=style)
        return list(bulged(points))
    if form == "lines":
        corners = [(0, 0), (long, wide * 0.1), (long * 0.95, wide), (long / 2, wide * 0.8), (0, wide)]
        sides = list(zip(corners, corners[1:] + corners[:1]))
        sides = [(b, a) if chance.random() < 0.5 else (a, b) for a, b in sides]
        chance.shuffle(sides)
        for a, b in sides:
            space.add_line(a, b, dxfattribs=style)
        return corners
    if form == "slot":
        r = wide / 2
        space.add_line((0, 0), (long, 0), dxfattribs=style)
        space.add_line((long, wide), (0, wide), dxfattribs=style)
        space.add_arc((long, r), r, 270, 90, dxfattribs=style)
        space.add_arc((0, r), r, 90, 270, dxfattribs=style)
        return [*arc_points(long, r, r, r, 0, -90, 180), *arc_points(0, r, r, r, 0, 90, 180)]
    if form == "ellipse":
        turn = chance.uniform(0, 360)
        axis = (long / 2 * math.cos(math.radians(turn)), long / 2 * math.sin(math.radians(turn)))
        space.add_ellipse((0, 0), axis, wide / long, dxfattribs=style)
        return list(arc_points(0, 0, long / 2, wide / 2, turn, 0, 360))
    count = chance.randint(6, 12)
    around = [2 * math.pi * k / count for k in range(count)]
    points = [
        (long / 2 * math.cos(t) * chance.uniform(0.9, 1.1), wide / 2 * math.sin(t) * chance.uniform(0.9, 1.1), 0.0)
        for t in around
    ]
    spline = space.add_spline(dxfattribs=style)
    if form == "spline":
        spline.set_closed(points, degree=3)
    else:
        weights = [chance.uniform(0.4, 3.0) for _ in range(count + 1)]
        spline.set_open_rational(points + points[:1], weights, degree=3)
        spline.closed = True
    return [(p.x, p.y) for p in spline.construction_tool().approximate(6000)]


def dxf_case(seed: int, folder: Path):
    chance = random.Random(seed)
    code = chance.choice(list(MILLIMETRES))
    unit = MILLIMETRES[code]
    document = ezdxf.new(chance.choice(["R2000", "R2010", "R2018"]))
    document.header["$INSUNITS"] = code
    space = document.modelspace()
    by, target = None, space
    if chance.random() < 0.4:
        target = document.blocks.new("plank", base_point=(3.0 / unit, 4.0 / unit))
    drawn = draw_outline(chance, target, unit, chance.choice(["0", "Outline", "boards"]))
    if target is not space:
        stretch = chance.choice([1.0, -1.0, 0.75])
        insert = space.add_blockref(
            "plank",
            (chance.uniform(-500, 500) / unit, chance.uniform(-500, 500) / unit),
            dxfattribs={
                "layer": "boards",
                "rotation": chance.uniform(0, 360),
                "xscale": stretch,
                "yscale": chance.choice([1.0, 1.2]),
            },
        )
        by = insert.matrix44()
    outer = turned(drawn, by, unit)
    holes, zones = [], []
    middle = outer.representative_point()
    room = middle.distance(outer.exterior)
    x, y = middle.x / unit, middle.y / unit
    extra = chance.choice(["hole", "knot", "screw", "sapwood", None])
    # Large enough that a twentieth of a millimetre is no thousandth of its area.
    if extra and room > 110:
        style = {"layer": {"hole": "0", "knot": "Knots", "screw": "screws", "sapwood": "Sapwood_1"}[extra]}
        if chance.random() < 0.5:
            r = 0.9 * room / unit
            space.add_circle((x, y), r, dxfattribs=style)
            points = list(arc_points(x, y, r, r, 0, 0, 360))
        else:
            side = 0.6 * room / unit
            points = [(x - side, y - side), (x + side, y - side), (x + side, y + side), (x - side, y + side)]
            space.add_lwpolyline(points, close=True, dxfattribs=style)
        area = turned(points, None, unit)
        if extra == "hole":
            holes.append(area)
        else:
            kind = {"knot": "defect", "screw": "fixing", "sapwood": "sapwood"}[extra]
            zones.append((kind, area))
    file = folder / f"board-{seed}.dxf"
    document.saveas(file)
    return file, [outer], holes, zones


def test_boards_in_dxf_have_their_areas(tmp_path):
    same_areas([dxf_case(seed, tmp_path) for seed in range(DRAWINGS)])


# --- SVG by svgwrite ---


def bezier(points, count=400):
    """A curve by its own polynomial, sampled."""
    n = len(points) - 1
    for k in range(count + 1):
        t = k / count
        weights = [math.comb(n, i) * t**i * (1 - t) ** (n - i) for i in range(n + 1)]
        yield tuple(sum(w * p[axis] for w, p in zip(weights, points)) for axis in (0, 1))


def arc_points(cx, cy, rx, ry, turn, start, sweep, count=2000):
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    for k in range(count + 1):
        t = math.radians(start + sweep * k / count)
        x, y = rx * math.cos(t), ry * math.sin(t)
        yield cx + x * cos - y * sin, cy + x * sin + y * cos


def svg_shape(chance: random.Random, drawing, long: float, wide: float):
    """A shape, and its points in its own coordinates."""
    form = chance.choice(["curves", "relative", "arc", "rect", "ellipse", "circle", "polygon", "polyline", "quadratic"])
    if form in ("curves", "relative"):
        a, b, c, d = (0, 0), (long, 0), (long, wide), (0, wide)
        h = [(long * 0.3, -wide * 0.2), (long * 0.6, wide * 0.2), (long * 0.7, wide * 1.2), (long * 0.2, wide * 0.8)]
        points = [*bezier([a, h[0], h[1], b]), *bezier([c, h[2], h[3], d])]
        if form == "curves":
            data = f"M{a[0]},{a[1]} C{h[0][0]},{h[0][1]} {h[1][0]},{h[1][1]} {b[0]},{b[1]} V{c[1]} C{h[2][0]} {h[2][1]} {h[3][0]} {h[3][1]} {d[0]} {d[1]} Z"
        else:
            rel = lambda p, q: f"{p[0] - q[0]!r} {p[1] - q[1]!r}"
            data = f"m0 0c{rel(h[0], a)} {rel(h[1], a)} {rel(b, a)}v{wide!r}c{rel(h[2], c)} {rel(h[3], c)} {rel(d, c)}z"
        return drawing.path(d=data), points
    if form == "quadratic":
        a, m, b = (0, 0), (long / 4, -wide * 0.4), (long / 2, 0)
        mirrored = (2 * b[0] - m[0], 2 * b[1] - m[1])
        c = (long, wide * 0.1)
        points = [*bezier([a, m, b]), *bezier([b, mirrored, c]), (long, wide), (0, wide)]
        data = f"M0 0Q{m[0]} {m[1]} {b[0]} {b[1]}T{c[0]} {c[1]}L{long} {wide}H0z"
        return drawing.path(d=data), points
    if form == "arc":
        rx, ry, turn = long / 2, wide / 2, chance.uniform(-80, 80)
        start, sweep = chance.uniform(0, 360), chance.uniform(60, 330) * chance.choice([1, -1])
        points = list(arc_points(0, 0, rx, ry, turn, start, sweep))
        (x0, y0), (x1, y1) = points[0], points[-1]
        data = f"M{x0!r},{y0!r} A{rx!r},{ry!r} {turn!r} {int(abs(sweep) > 180)} {int(sweep > 0)} {x1!r},{y1!r} Z"
        return drawing.path(d=data), points
    if form == "rect":
        r = wide * 0.3
        points = [
            *arc_points(long - r, r, r, r, 0, -90, 90),
            *arc_points(long - r, wide - r, r, r, 0, 0, 90),
            *arc_points(r, wide - r, r, r, 0, 90, 90),
            *arc_points(r, r, r, r, 0, 180, 90),
        ]
        return drawing.rect((0, 0), (long, wide), rx=r, ry=r), points
    if form == "ellipse":
        return drawing.ellipse((0, 0), (long / 2, wide / 2)), list(arc_points(0, 0, long / 2, wide / 2, 0, 0, 360))
    if form == "circle":
        return drawing.circle((0, 0), wide / 2), list(arc_points(0, 0, wide / 2, wide / 2, 0, 0, 360))
    points = [(0, 0), (long, wide * 0.1), (long * 0.9, wide), (long / 2, wide * 0.7), (0, wide)]
    if form == "polygon":
        return drawing.polygon(points), points
    return drawing.polyline([*points, points[0]]), points


def svg_case(seed: int, folder: Path):
    chance = random.Random(seed)
    word, unit = chance.choice([("mm", 1.0), ("cm", 10.0), ("in", 25.4), ("px", 25.4 / 96)])
    scale = chance.choice([1.0, 0.1, 4.0])
    size = 4000.0
    drawing = svgwrite.Drawing(
        folder / f"board-{seed}.svg",
        size=(f"{size / unit}{word}", f"{size / unit}{word}"),
        viewBox=f"0 0 {size / scale} {size / scale}",
    )
    long, wide = chance.uniform(600, 2800) / scale, chance.uniform(200, 500) / scale
    shape, points = svg_shape(chance, drawing, long, wide)
    outer = Polygon(points)
    group = drawing.g(id="Outline")
    turn, x, y = chance.uniform(0, 360), chance.uniform(0, 500), chance.uniform(0, 500)
    kind = chance.choice(["rotate", "matrix", "skew", "nested"])
    if kind == "rotate":
        shape.rotate(turn, center=(10, 20))
        outer = affinity.rotate(outer, turn, origin=(10, 20))
    elif kind == "matrix":
        shape.matrix(0.5, 0.2, -0.1, 0.8, x, y)
        outer = affinity.affine_transform(outer, [0.5, -0.1, 0.2, 0.8, x, y])
    elif kind == "skew":
        shape.translate(x, y)
        shape.skewX(20)
        outer = affinity.translate(affinity.affine_transform(outer, [1, math.tan(math.radians(20)), 0, 1, 0, 0]), x, y)
    else:
        group.scale(1.1, -0.9)
        shape.translate(x, y)
        outer = affinity.scale(affinity.translate(outer, x, y), 1.1, -0.9, origin=(0, 0))
    group.add(shape)
    drawing.add(group)
    outer = affinity.scale(outer, scale, scale, origin=(0, 0))
    holes, zones = [], []
    middle = outer.representative_point()
    room = 0.9 * middle.distance(outer.exterior)
    extra = chance.choice(["hole", "knot", "figure", None])
    # As above.
    if extra and room > 110:
        at, radius = (middle.x / scale, middle.y / scale), room / scale
        area = Polygon(arc_points(middle.x, middle.y, room, room, 0, 0, 360))
        attributes = {"hole": {}, "knot": {"id": "knot-3"}, "figure": {"class_": "figure curly"}}[extra]
        drawing.add(drawing.circle(at, radius, **attributes))
        if extra == "hole":
            holes.append(area)
        else:
            zones.append(({"knot": "defect", "figure": "figure"}[extra], area))
    drawing.save()
    return folder / f"board-{seed}.svg", [outer], holes, zones


def test_boards_in_svg_have_their_areas(tmp_path):
    same_areas([svg_case(seed, tmp_path) for seed in range(DRAWINGS)])


@pytest.mark.parametrize("size", [None, ("100%", "100%"), (2000, 400)])
def test_a_drawing_without_a_unit_is_asked_about(tmp_path, size):
    drawing = svgwrite.Drawing(tmp_path / "open.svg", **({"size": size} if size else {}), viewBox="0 0 2000 400")
    drawing.add(drawing.rect((0, 0), (1800, 300)))
    drawing.save()
    document = ezdxf.new()
    document.header["$INSUNITS"] = 0
    document.modelspace().add_lwpolyline([(0, 0), (1800, 0), (1800, 300), (0, 300)], close=True)
    document.saveas(tmp_path / "open.dxf")
    for found in read([tmp_path / "open.svg", tmp_path / "open.dxf"]):
        assert found["asked"] == pytest.approx([1800, 300]), json.dumps(found)
