"""What a plan leaves as, read by other libraries: DXF by ezdxf with shapely's areas, lists by csv and pandas."""

import csv
import json
import math
import os
import random
import subprocess
from pathlib import Path

import ezdxf
import pandas
import pytest
from conftest import ROOT
from ezdxf.math import bulge_to_arc
from shapely import affinity
from shapely.geometry import Point, Polygon, box

#: How many plans are written out; by hand 100 and more.
PLANS = int(os.environ.get("HEARTSIDE_ORACLE_SHEETS", "10"))
#: So far from the true area may one of ours be.
WITHIN = 1.0e-3
NAMES = ["Leg", "Rail, \"long\"", "=1+1", "two\r\nlines; more", "\u00c4pfel \u2300 \u05e9\u05dc\u05d5\u05dd", "\U0001f600", "%%u\\U+0041^J", ""]


def swollen(corners: list, swells: list) -> Polygon:
    """Corners joined by arcs whose middles lie so far outwards, finely sampled."""
    points = []
    for (x, y), (u, v), swell in zip(corners, corners[1:] + corners[:1], swells):
        points.append((x, y))
        if swell:
            chord = math.hypot(u - x, v - y)
            centre, start, end, radius = bulge_to_arc((x, y), (u, v), 2 * swell / chord)
            sweep = (end - start) % (2 * math.pi)
            turns = [start + sweep * k / 400 for k in range(1, 400)]
            points += [(centre.x + radius * math.cos(t), centre.y + radius * math.sin(t)) for t in (turns if swell > 0 else reversed(turns))]
    return Polygon(points)


def part(chance: random.Random) -> tuple[dict, Polygon]:
    """A shape as a job has it, and its true outline with the lower left corner of its box at (0, 0)."""
    long, wide = chance.uniform(150, 700), chance.uniform(80, 200)
    form = chance.choice(["rectangle", "taper", "disc", "ellipse", "arc_sided", "polygon"])
    if form == "rectangle":
        return {"form": form, "length": long, "width": wide}, box(0, 0, long, wide)
    if form == "taper":
        less = wide * chance.uniform(0.3, 0.9)
        corners = [(0, 0), (long, 0), (long, less), (0, wide)]
        return {"form": form, "length": long, "start_width": wide, "end_width": less}, Polygon(corners)
    if form == "disc":
        return {"form": form, "diameter": wide}, Point(wide / 2, wide / 2).buffer(wide / 2, 400)
    if form == "ellipse":
        oval = affinity.scale(Point(0, 0).buffer(1, 400), long / 2, wide / 2)
        return {"form": form, "length": long, "width": wide}, affinity.translate(oval, long / 2, wide / 2)
    corners = [(0, 0), (long, wide * 0.1), (long * 0.95, wide), (long / 2, wide * 0.8), (0, wide)]
    hole = [(long * 0.2, wide * 0.3), (long * 0.4, wide * 0.3), (long * 0.4, wide * 0.6)]
    swells = [0.0] * len(corners)
    shape = {"form": form, "points": corners, "holes": [hole]}
    if form == "arc_sided":
        swells = [chance.choice([0, chance.uniform(-0.2, 0.2) * wide]) for _ in corners]
        swells[chance.randrange(len(swells))] = 0.15 * wide
        shape["swells"] = swells
    outer = swollen(corners, swells)
    if not (outer.is_valid and outer.buffer(-1).contains(Polygon(hole))):
        return part(chance)
    left, low, _, _ = outer.bounds
    return shape, affinity.translate(outer.difference(Polygon(hole)), -left, -low)


def job(seed: int) -> tuple[dict, dict[str, Polygon], dict]:
    """A job with parts lying about on a board, their true outlines, and how each lies."""
    chance = random.Random(seed)
    parts, outlines, placed = [], {}, []
    for k in range(chance.randint(4, 9)):
        shape, outline = part(chance)
        name = f"p{k}"
        parts.append({"id": name, "name": chance.choice(NAMES), "thickness": chance.uniform(10, 22), "shape": shape, "cut": chance.choice(["sawn", "straight"])})
        outlines[name] = outline
        at = {"x": chance.uniform(0, 2000), "y": chance.uniform(0, 300), "turn": chance.uniform(0, 360), "turned_over": chance.random() < 0.5}
        placed.append({"part": name, "copy": 1, **at})
    knot = [(500, 50), (560, 70), (540, 130)]
    document = {
        "format": "heartside-job",
        "version": 2,
        "title": chance.choice(NAMES),
        "units": {"length": chance.choice(["mm", "in"])},
        "boards": [
            {
                "id": "A",
                "name": chance.choice(NAMES),
                "species": "oak",
                "thickness": 27,
                "outline": {"form": "polygon", "points": [(0, 0), (2500, 20), (2480, 320), (10, 300)]},
                "zones": [{"kind": "defect", "shape": {"form": "polygon", "points": knot}}],
            }
        ],
        "parts": parts,
        "allowances": {"end": 10, "edge": 3, "sawn": 4},
        "plan": {"layouts": [{"board": "A", "copy": 1, "way": "sawn", "placements": placed}], "unplaced": []},
    }
    return document, outlines, placed


@pytest.fixture(scope="session")
def command() -> Path:
    # With an example, as the Rust tests build it: alone it would be compiled anew with all it uses.
    build = ["cargo", "build", "--quiet", "--workspace", "--bin", "heartside"]
    build += ["--example", "face_jobs"]
    built = subprocess.run(build, cwd=ROOT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stderr[-2000:]
    return Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target")) / "debug" / "heartside"


def written(command: Path, folder: Path, document: dict, *more: str) -> Path:
    source = folder / "job.heartside.json"
    source.write_text(json.dumps(document), encoding="utf-8")
    run = subprocess.run([command, "sheets", source, "-o", folder / "out", *more], capture_output=True, text=True, check=False)
    # The plans are no good ones: parts lie over each other.
    assert run.returncode == 1, run.stdout + run.stderr
    return folder / "out"


def area(thing) -> Polygon:
    """A closed thing of a drawing as a fine polygon."""
    if thing.dxftype() == "CIRCLE":
        x, y, _ = thing.dxf.center
        return Point(x, y).buffer(thing.dxf.radius, 400)
    if thing.dxftype() == "ELLIPSE":
        return Polygon([(p.x, p.y) for p in thing.flattening(0.001)])
    assert thing.closed
    points = []
    corners = list(thing.get_points("xyb"))
    for (x, y, bulge), (u, v, _) in zip(corners, corners[1:] + corners[:1]):
        points.append((x, y))
        if bulge:
            centre, start, end, radius = bulge_to_arc((x, y), (u, v), bulge)
            sweep = (end - start) % (2 * math.pi)
            turns = [start + sweep * k / 400 for k in range(1, 400)]
            points += [(centre.x + radius * math.cos(t), centre.y + radius * math.sin(t)) for t in (turns if bulge > 0 else reversed(turns))]
    return Polygon(points)


def drawn(file: Path) -> dict[str, list]:
    """The closed things of a drawing by their layers, once it is found without a fault and in millimetres."""
    document = ezdxf.readfile(file)
    audit = document.audit()
    assert not audit.errors and not audit.fixes, (file.name, [e.message for e in audit.errors + audit.fixes])
    assert document.units == ezdxf.units.MM
    layers: dict[str, list] = {}
    for thing in document.modelspace():
        assert thing.dxf.layer in document.layers
        if thing.dxftype() != "TEXT":
            layers.setdefault(thing.dxf.layer, []).append(area(thing))
    return layers


def holed(rings: list[Polygon]) -> Polygon:
    """One outline of its rings."""
    first, *rest = sorted(rings, key=lambda r: -r.area)
    for hole in rest:
        first = first.difference(hole)
    return first


def same(ours: Polygon, known: Polygon) -> bool:
    """Alike in area, and in place: what is in one and not in the other is little."""
    return abs(ours.area - known.area) <= WITHIN * known.area and ours.symmetric_difference(known).area <= 2 * WITHIN * known.area


def lying(outline: Polygon, at: dict) -> Polygon:
    if at["turned_over"]:
        outline = affinity.scale(outline, 1, -1, origin=(0, 0))
    return affinity.translate(affinity.rotate(outline, at["turn"], origin=(0, 0)), at["x"], at["y"])


def blank(source: dict, outline: Polygon) -> Polygon:
    if source["cut"] == "sawn":
        return outline.buffer(4, 64)
    left, low, right, top = outline.bounds
    return box(left - 10, low - 3, right + 10, top + 3)


@pytest.mark.parametrize("seed", range(PLANS))
def test_drawings_have_their_areas_and_places(command, tmp_path, seed):
    document, outlines, placed = job(seed)
    out = written(command, tmp_path, document, "--only", "dxf")
    files = sorted(out.iterdir())
    assert len(files) == 1 + len(outlines)
    layers = drawn(out / "board-A.dxf")
    board = Polygon(document["boards"][0]["outline"]["points"])
    assert same(holed(layers["outline"]), board)
    assert same(holed(layers["defects"]), Polygon(document["boards"][0]["zones"][0]["shape"]["points"]))
    for layer, known in [
        ("parts", [lying(outlines[at["part"]], at) for at in placed]),
        ("blanks", [lying(blank(s, outlines[s["id"]]), at) for s, at in zip(document["parts"], placed)]),
    ]:
        rings = list(layers[layer])
        count = sum(1 + len(k.interiors) for k in known)
        assert len(rings) == count, layer
        for shape in known:
            own = 1 + len(shape.interiors)
            assert same(holed(rings[:own]), shape), (layer, seed)
            rings = rings[own:]
    # Each part in a file of its own; whichever name it has, no file is missing and none is there twice.
    parts = [holed(drawn(file)["outline"]) for file in files if file.name.startswith("part-")]
    for known in outlines.values():
        match = next((k for k, ours in enumerate(parts) if same(ours, known)), None)
        assert match is not None
        parts.pop(match)


def table(file: Path, separator: str) -> list[list[str]]:
    with open(file, encoding="utf-8-sig", newline="") as text:
        return list(csv.reader(text, delimiter=separator, strict=True))


@pytest.mark.parametrize("seed", range(max(1, PLANS // 5)))
def test_lists_are_read_alike_with_commas_and_semicolons(command, tmp_path, seed):
    document, outlines, placed = job(seed)
    unit = document["units"]["length"]
    inch = 25.4 if unit == "in" else 1.0
    read = {}
    for word, separator, decimal in [("comma", ",", "."), ("semicolon", ";", ",")]:
        folder = tmp_path / word
        folder.mkdir()
        out = written(command, folder, document, "--only", "csv", "--separator", word)
        for file in sorted(out.iterdir()):
            rows = table(file, separator)
            frame = pandas.read_csv(file, sep=separator, decimal=decimal, keep_default_na=False, na_values=[""])
            assert list(frame.columns) == rows[0] and len(frame) == len(rows) - 1, file.name
            for row in rows:
                assert len(row) == len(rows[0])
                assert not any(cell.startswith(("=", "@", "+")) for cell in row), row
            read.setdefault(file.name, []).append(frame)
    for name, (commas, semicolons) in read.items():
        pandas.testing.assert_frame_equal(commas, semicolons, obj=name)
    parts = read["list-parts.csv"][0]
    for k, (at, source) in enumerate(zip(placed, document["parts"])):
        left, low, right, top = outlines[at["part"]].bounds
        for heading, mm in [("finished length", right - left), ("finished width", top - low), ("finished thickness", source["thickness"])]:
            # Curves are flattened outwards by a twentieth of a millimetre.
            assert abs(parts[f"{heading} ({unit})"][k] * inch - mm) < 0.12, (heading, k)
        assert parts["turned over"][k] == ("yes" if at["turned_over"] else "no")
    boards = read["list-boards.csv"][0]
    assert boards[f"length ({unit})"][0] * inch == pytest.approx(2500, abs=0.01)
