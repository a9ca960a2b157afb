"""Makes the cases once: our own generator and checker write them, the oracle reads them."""

import json
import os
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
#: How many plans are judged; at least 500 by the project's own promise.
COUNT = int(os.environ.get("HEARTSIDE_ORACLE_CASES", "1100"))
#: For how many random jobs the engines' own plans are judged; by hand 1000 and more.
PLANS = int(os.environ.get("HEARTSIDE_ORACLE_PLANS", "120"))
#: For how many random jobs sawn by line every distance is measured; by hand 500 and more.
SAWN = int(os.environ.get("HEARTSIDE_ORACLE_SAWN", "40"))
#: How many jobs with staves at small angles of their own are judged; by hand 300.
TILTED = int(os.environ.get("HEARTSIDE_ORACLE_TILTED", "24"))
#: How many jobs in the middle of the sawing are judged.
DONE = int(os.environ.get("HEARTSIDE_ORACLE_DONE", "500"))


#: How many jobs with panels are judged, good and broken; by hand 500 and more.
GLUED = int(os.environ.get("HEARTSIDE_ORACLE_GLUED", "380"))
#: How many jobs with parts that must look related are judged, good and broken.
RELATED = int(os.environ.get("HEARTSIDE_ORACLE_RELATED", "640"))
#: How many faces that were found, and what is planned round them, are judged; by hand 300.
FACES = int(os.environ.get("HEARTSIDE_ORACLE_FACES", "12"))
#: For how many photographs the straightening is compared.
STRAIGHTENED = int(os.environ.get("HEARTSIDE_ORACLE_STRAIGHTENED", "300"))
#: For how many panels the exact reference is worked out anew; by hand all 100.
EXACT = int(os.environ.get("HEARTSIDE_ORACLE_EXACT", "8"))


def written_by(example: str, *arguments: object) -> list[dict]:
    """What one of our own examples writes, an object a line."""
    # Built as the Rust tests build it, so that nothing is compiled twice.
    build = ["cargo", "build", "--quiet", "--workspace", "--example", example]
    built = subprocess.run(build, cwd=ROOT, capture_output=True, text=True, check=False)
    assert built.returncode == 0, built.stderr[-2000:]
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    command = [target / "debug" / "examples" / example, *map(str, arguments)]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr[-2000:]
    return [json.loads(line) for line in run.stdout.splitlines()]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests of the same cases run in one process, so that these are made once."""
    made = {"cases", "free_panels"}
    for item in items:
        shared = sorted(made.intersection(getattr(item, "fixturenames", ())))
        item.add_marker(pytest.mark.xdist_group(shared[0] if shared else item.name))


@pytest.fixture(scope="session")
def cases() -> list[dict]:
    """Plans of the generators, good and broken in every way."""
    return written_by("oracle_cases", COUNT)


@pytest.fixture(scope="session")
def done() -> list[dict]:
    """Jobs of which some cuts are made, good and broken afterwards."""
    return written_by("done_cases", DONE)


@pytest.fixture(scope="session")
def planned() -> list[dict]:
    """Random jobs with the plans that the engines make for them."""
    return written_by("planned_jobs", PLANS)


@pytest.fixture(scope="session")
def sawn() -> list[dict]:
    """Random jobs sawn by line, with the plans that the engine makes for them."""
    return written_by("planned_jobs", SAWN, "sawn")


@pytest.fixture(scope="session")
def tilted() -> list[dict]:
    """Jobs whose staves are pinned at small angles of their own, the rest planned round them."""
    return written_by("planned_jobs", TILTED, "tilted")


@pytest.fixture(scope="session")
def glued() -> list[dict]:
    """Jobs with panels of every kind and plans for them, most of them broken afterwards."""
    return written_by("panel_jobs", GLUED, 150, "broken")


@pytest.fixture(scope="session")
def free_panels() -> list[dict]:
    """One panel of free widths each, on rectangular boards with flaws in boxes."""
    return written_by("panel_jobs", 100, 1500)


@pytest.fixture(scope="session")
def known_costs() -> list[float | None]:
    """What the exact reference came to for each of these, in order; none where no boards give the panel."""
    return json.loads((Path(__file__).parent / "panel_costs.json").read_text())


@pytest.fixture(scope="session")
def related() -> list[dict]:
    """Jobs whose parts must look related and plans for them, most of them broken afterwards."""
    return written_by("related_jobs", RELATED, 600)


@pytest.fixture(scope="session")
def faces() -> list[dict]:
    """Faces that were found for jobs with maps of figure, each taken with the plan of its job."""
    return written_by("face_jobs", FACES)


@pytest.fixture(scope="session")
def straightened() -> list[dict]:
    """Marks of photographs, with where our own straightening finds the board's corners."""
    return written_by("straightening_cases", STRAIGHTENED)


@pytest.fixture(scope="session")
def correlated() -> list[dict]:
    """Blocks of maps of figure, whole maps, and how alike we find them at every shift."""
    return written_by("correlation_cases", 12)


@pytest.fixture(scope="session")
def exact() -> int:
    """How many of them it is to be worked out for anew."""
    return EXACT
