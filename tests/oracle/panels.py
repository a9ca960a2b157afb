"""The cheapest boards for a panel, exactly: what the engines' staves are measured against.

A job of one panel with free widths on rectangular boards with flaws in boxes. Everything lies on a
grid of 5 mm: boards, flaws, kerf, the panel, and here the staves' places and widths too.

The model is a relaxation: staves lie upright and full length anywhere on a board, clear of its flaws,
and one kerf apart from each other along or across. Whether cuts from edge to edge free them is not
asked, so no plan of any order of cuts on that grid can be cheaper; it may name boards that no saw
could use so. Any stave may be made narrower down to the least width, in steps of the grid. So what a
board gives is told by the greatest sum of widths for each number of staves, found by CP-SAT board by
board; which boards with how many staves each is a second model.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ortools.sat.python import cp_model

from document import Lengths

#: Millimetres in a step of the grid.
GRID = 5


@dataclass
class Wanted:
    """A panel, in steps of the grid."""

    length: int
    width: int
    least: int
    most: int
    count: int


@dataclass
class Plank:
    """A rectangular board and its flaws (x, y, and their lengths), in steps of the grid."""

    length: int
    width: int
    flaws: list[tuple[int, int, int, int]]
    price: float


def steps(value: float) -> int:
    """A length in steps of the grid, which it must meet."""
    found = round(value / GRID)
    assert abs(found * GRID - value) < 1e-6, f"{value} is not on the grid"
    return found


def read(document: dict) -> tuple[Wanted, list[Plank], int]:
    """The panel, the boards and the kerf of a job."""
    mm = Lengths(document)
    [panel] = document["panels"]
    part = next(p for p in document["parts"] if p["id"] == panel["part"])
    wanted = Wanted(
        steps(mm(part["shape"]["length"])),
        steps(mm(part["shape"]["width"])),
        steps(mm(panel["min_width"])),
        steps(mm(panel["max_width"])),
        panel["max_count"],
    )
    assert not panel.get("equal") and mm(panel.get("joint"), 0.0) == 0.0 and part.get("count", 1) == 1
    planks = []
    for board in document["boards"]:
        xs, ys = zip(*mm.points(board["outline"]["points"]))
        assert min(xs) == min(ys) == 0.0 and len(xs) == 4
        flaws = []
        for zone in board.get("zones", []):
            zx, zy = zip(*mm.points(zone["shape"]["points"]))
            low = steps(min(zx)), steps(min(zy))
            flaws.append((*low, steps(max(zx)) - low[0], steps(max(zy)) - low[1]))
        planks.append(Plank(steps(max(xs)), steps(max(ys)), flaws, mm(board["price"]["amount"])))
    [kerf] = {steps(mm(t["kerf"])) for t in document["workshop"]["tools"]}
    return wanted, planks, kerf


def at_most(plank: Plank, wanted: Wanted, kerf: int, count: int) -> int:
    """What so many staves of a board come to at most: each lies over one of the marks that are a stave's length apart."""
    stacks = plank.length // wanted.length
    return min(stacks * (plank.width + kerf) - count * kerf, count * wanted.most)


def widest_sum(plank: Plank, wanted: Wanted, kerf: int, count: int) -> int:
    """The greatest sum of widths of so many staves on a board; 0 where they do not all lie on it."""
    most = at_most(plank, wanted, kerf, count)
    if most < count * wanted.least:
        return 0
    model = cp_model.CpModel()
    along, across, widths, demands = [], [], [], []
    for k in range(count):
        x = model.new_int_var(0, plank.length - wanted.length, f"x{k}")
        y = model.new_int_var(0, plank.width - wanted.least, f"y{k}")
        width = model.new_int_var(wanted.least, min(wanted.most, plank.width), f"width{k}")
        end = model.new_int_var(0, plank.width + kerf, f"end{k}")
        gross = model.new_int_var(0, plank.width + kerf, f"gross{k}")
        model.add(gross == width + kerf)
        along.append(model.new_fixed_size_interval_var(x, wanted.length + kerf, f"along{k}"))
        across.append(model.new_interval_var(y, gross, end, f"across{k}"))
        widths.append(width)
        demands.append(gross)
        if k:
            model.add(widths[k - 1] >= width)
    # The kerf follows a stave on its upper sides and may run in a flaw.
    for x, y, long, wide in plank.flaws:
        if long > kerf and wide > kerf:
            along.append(model.new_fixed_size_interval_var(x + kerf, long - kerf, f"flaw{x}"))
            across.append(model.new_fixed_size_interval_var(y + kerf, wide - kerf, f"flaw{y}"))
            demands.append(wide - kerf)
        else:
            raise ValueError("a flaw as narrow as the kerf")
    model.add_no_overlap_2d(along, across)
    # Follows from it, and lets the solver see it: nowhere along the board lies more than its width.
    model.add_cumulative(along, demands, plank.width + kerf)
    model.add(sum(widths) <= most)
    model.maximize(sum(widths))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = 20.0
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return 0
    # A bound stands where the time was up: still nothing that a plan could be better than.
    return math.floor(solver.best_objective_bound + 1e-6)


def cheapest(document: dict) -> float:
    """The least cost of the boards that give the panel; infinite where all of them do not."""
    wanted, planks, kerf = read(document)
    model = cp_model.CpModel()
    used, staves, given = [], [], []
    for b, plank in enumerate(planks):
        options = [(0, 0)]
        for count in range(1, wanted.count + 1):
            known = max(width for _, width in options)
            # More staves that come to no more, or of a board that gives the panel by itself, are no help.
            if known >= wanted.width:
                break
            if at_most(plank, wanted, kerf, count) <= known:
                continue
            best = widest_sum(plank, wanted, kerf, count)
            if best == 0:
                break
            options.append((count, best))
        choice = [model.new_bool_var(f"board {b} gives {n}") for n, _ in options]
        model.add_exactly_one(choice)
        used.append(plank.price * (1 - choice[0]))
        staves += [n * c for (n, _), c in zip(options, choice)]
        given += [w * c for (_, w), c in zip(options, choice)]
    model.add(sum(staves) <= wanted.count)
    model.add(sum(given) >= wanted.width)
    model.add(wanted.least * sum(staves) <= wanted.width)
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    return math.inf if status == cp_model.INFEASIBLE else solver.objective_value
