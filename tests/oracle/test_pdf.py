"""Pages, labels and templates as PDF, measured and read by pdfium (the library of a browser's own viewer)."""

import ctypes
import json
import os
import subprocess
from pathlib import Path

import numpy
import pypdfium2
import pypdfium2.raw as raw
import pytest
from conftest import ROOT
from test_sheets import command  # noqa: F401

#: A point and a pixel in millimetres.
POINT = 25.4 / 72
DPI = 300
PIXEL = 25.4 / DPI
#: Lying.
PAPERS = {"a4": (297.0, 210.0), "a3": (420.0, 297.0), "letter": (279.4, 215.9)}
#: Nearer to the edge few printers reach.
MARGIN = 5.0
#: So far may boxes of words lie over each other: letters lean and round out a little.
TOUCH = 0.1
NAMES = ['<Leg & "rail">', "Πόδι εμπρός", "Царга передняя", "רגל שמאל", "رجل يسار", "脚 \u2603", "=1+1</svg>", "M" * 300]

CASES = [("writing-desk", "a4"), ("step-stool", "a3"), ("step-stool", "letter")]
if os.environ.get("HEARTSIDE_ORACLE_PDF") == "all":
    JOBS = ["writing-desk", "writing-desk-inches", "dining-table", "sideboard", "step-stool", "bench-that-does-not-fit"]
    CASES = [(job, paper) for job in JOBS for paper in PAPERS]


def planned(command: Path, folder: Path, fixture: str, renamed: bool) -> Path:
    """A job of the fixtures with its plan; names changed, and a disc to be made of which there is a template."""
    job = ROOT / "fixtures" / f"{fixture}.heartside.json"
    run = [command, "set-out", job, "-o", folder / "plan", "--steps", "100"]
    assert subprocess.run(run, capture_output=True, check=False).returncode < 2
    source = folder / "plan" / "plan.heartside.json"
    document = json.loads(source.read_text(encoding="utf-8"))
    if renamed:
        for k, thing in enumerate(document["parts"] + document["boards"]):
            thing["name"] = NAMES[k % len(NAMES)]
        document["title"] = " ".join(NAMES[:3])
    disc = {"id": "disc", "name": "Seat", "thickness": 20, "shape": {"form": "disc", "diameter": 320}, "cut": "sawn"}
    document["parts"].append(disc)
    source.write_text(json.dumps(document), encoding="utf-8")
    return source


def written(command: Path, source: Path, out: Path, paper: str) -> dict[str, pypdfium2.PdfDocument]:
    run = [command, "sheets", source, "-o", out, "--only", "pdf", "--paper", paper]
    done = subprocess.run(run, capture_output=True, text=True, check=False)
    assert done.returncode < 2, done.stderr
    return {file.stem: pypdfium2.PdfDocument(file) for file in sorted(out.iterdir())}


def words(page: pypdfium2.PdfPage) -> list[tuple[str, list[float]]]:
    """Pieces of text with their boxes in millimetres: left, foot, right, head. Each face must be in the file."""
    text, found = page.get_textpage(), []
    for piece in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
        length = raw.FPDFTextObj_GetText(piece, text, None, 0)
        buffer = ctypes.create_string_buffer(length)
        raw.FPDFTextObj_GetText(piece, text, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), length)
        assert raw.FPDFFont_GetIsEmbedded(raw.FPDFTextObj_GetFont(piece)) == 1
        found.append((buffer.raw[: length - 2].decode("utf-16-le", "replace"), [side * POINT for side in piece.get_bounds()]))
    return found


def overlaps(pieces: list[tuple[str, list[float]]]) -> list[tuple[str, str]]:
    boxes = numpy.array([box for _, box in pieces])
    low, high = boxes[:, None, :2], boxes[:, None, 2:]
    shared = numpy.minimum(high, boxes[None, :, 2:]) - numpy.maximum(low, boxes[None, :, :2])
    both = numpy.argwhere(numpy.triu(shared.min(axis=2) > TOUCH, 1))
    return [(pieces[i][0], pieces[j][0]) for i, j in both]


def raster(page: pypdfium2.PdfPage, crop: tuple[float, float, float, float] = (0, 0, 0, 0)) -> numpy.ndarray:
    """Grey values; so many millimetres cut off left, below, right and above."""
    cut = tuple(side / POINT for side in crop)
    return page.render(scale=DPI / 72, grayscale=True, crop=cut).to_numpy().squeeze()


def dark_from(line: numpy.ndarray, start: int, step: int) -> float:
    """The middle of the first dark stretch of a line of pixels, going one way."""
    at = start
    while line[at] > 128:
        at += step
    end = at
    while line[end] <= 128:
        end += step
    return (at + end - step) / 2


def square(page: pypdfium2.PdfPage) -> tuple[float, float]:
    """Width and height of the square round the words in it, in millimetres, as they are on the paper."""
    left, foot, right, head = next(box for text, box in words(page) if text.startswith("100 mm"))
    pixels = raster(page)
    row = round((page.get_height() * POINT - head - 3) / PIXEL)
    column, beside = round((left + right) / 2 / PIXEL), round((right + 3) / PIXEL)
    wide = dark_from(pixels[row], column, 1) - dark_from(pixels[row], column, -1)
    high = dark_from(pixels[:, beside], row, 1) - dark_from(pixels[:, beside], row, -1)
    return wide * PIXEL, high * PIXEL


def nothing_near_the_edge(page: pypdfium2.PdfPage) -> bool:
    wide, high = page.get_width() * POINT, page.get_height() * POINT
    kept = MARGIN - PIXEL
    strips = [(0, 0, wide - kept, 0), (wide - kept, 0, 0, 0), (0, 0, 0, high - kept), (0, high - kept, 0, 0)]
    return all(raster(page, strip).min() == 255 for strip in strips)


@pytest.mark.parametrize(("fixture", "paper"), CASES)
@pytest.mark.parametrize("renamed", [True] if len(CASES) == 3 else [True, False])
def test_paper_is_true_and_its_words_are_words(command, tmp_path, fixture, paper, renamed):  # noqa: F811
    source = planned(command, tmp_path, fixture, renamed)
    documents = written(command, source, tmp_path / "out", paper)
    assert set(documents) == {"sheets", "labels", "templates"}
    read = ""
    for kind, document in documents.items():
        size = PAPERS[paper]
        if kind == "labels":
            size = PAPERS["letter" if paper == "letter" else "a4"][::-1]
        assert document.get_metadata_value("Author") == "Heartside"
        assert document.get_metadata_value("CreationDate") == ""
        for number, page in enumerate(document, 1):
            here = (kind, number)
            assert [side * POINT for side in page.get_size()] == pytest.approx(size, abs=0.01), here
            assert nothing_near_the_edge(page), here
            pieces = words(page)
            assert pieces and not overlaps(pieces), (here, overlaps(pieces))
            read += page.get_textpage().get_text_range()
    assert square(documents["templates"][0]) == pytest.approx((100, 100), abs=0.2)
    source = json.loads(source.read_text(encoding="utf-8"))
    assert documents["sheets"].get_metadata_value("Title") == source["title"]
    # Long names are shortened where there is no room.
    names = [part["name"] for part in source["parts"] if len(part["name"]) < 20]
    assert names and not [name for name in names if name not in read]
    found = [any(page.get_textpage().search(name).get_next() for page in documents["labels"]) for name in names]
    assert all(found), names


def test_the_same_plan_gives_the_same_bytes(command, tmp_path):  # noqa: F811
    source = planned(command, tmp_path, "step-stool", True)
    both = [written(command, source, tmp_path / out, "a4") for out in ("one", "two")]
    for kind in both[0]:
        one, two = ((tmp_path / out / f"{kind}.pdf").read_bytes() for out in ("one", "two"))
        assert one == two, kind
