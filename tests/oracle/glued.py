"""8, for panels: the staves of a plan make up each panel by its rules, and their heart sides lie as asked."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from document import Lengths, Panel, Part, read_panel, read_stave
from shapes import SLACK

if TYPE_CHECKING:
    from rules import Judge

#: What each stave may add to the width that is wanted.
TENTH = 0.1


def chosen_by(plan: dict) -> dict[tuple[str, int], list[list[dict]]]:
    """The staves chosen for each copy of each panel; more than one list where it is said twice."""
    chosen: dict[tuple[str, int], list[list[dict]]] = {}
    for choice in plan.get("panels", []):
        chosen.setdefault((choice["part"], choice.get("copy", 1)), []).append(choice["staves"])
    return chosen


def named(panel: str, copy: int, stave: dict) -> list[str]:
    """What plans call a stave, or the pieces that it is joined from."""
    name = f"{panel}..{copy}.{stave['number']}"
    pieces = stave.get("pieces") or []
    return [f"{name}.{k}" for k in range(1, len(pieces) + 1)] or [name]


def ends(stave: dict, taken: float) -> list[float]:
    """Where its pieces meet, from the start of the panel: the middle of each joint."""
    pieces = stave.get("pieces") or []
    return [sum(pieces[:k]) - (k - 0.5) * taken for k in range(1, len(pieces))]


def staves_of(document: dict, defaults: dict, mm: Lengths) -> tuple[dict[str, Panel], dict[str, Part]]:
    """The panels of a document, and their staves as parts: those that its plan has chosen."""
    rows = {part["id"]: part for part in document["parts"]}
    panels: dict[str, Panel] = {}
    for raw in document.get("panels", []):
        panels.setdefault(raw["part"], read_panel(raw, rows[raw["part"]], mm))
    staves = {}
    for (id, copy), lists in chosen_by(document["plan"]).items():
        for stave in lists[0] if id in panels else []:
            for name, length in zip(named(id, copy, stave), stave.get("pieces") or [None]):
                staves[name] = read_stave(panels[id], name, (length, stave["width"]), defaults, mm)
    # What lies there without being glued up is some part all the same.
    for layout in document["plan"]["layouts"]:
        for at in layout["placements"]:
            id, mark, _ = at["part"].rpartition("..")
            if mark and at["part"] not in staves:
                size = at.get("length"), at.get("width") or 1.0
                staves[at["part"]] = read_stave(panels[id], at["part"], size, defaults, mm)
    return panels, staves


def judge_panels(judge: Judge, groups: list[list]) -> None:
    """Everything about panels."""
    note, plan = judge.verdict.note, judge.document["plan"]
    chosen = chosen_by(plan)
    known = {name for copy, lists in chosen.items() for stave in lists[0] for name in named(*copy, stave)}
    for id, panel in judge.panels.items():
        for copy in range(1, int(panel.part.get("count") or 1) + 1):
            lists = chosen.pop((id, copy), [])
            if len(lists) != 1:
                note(8, -1.0)
            if lists:
                judge_staves(judge, panel, (id, copy), lists[0])
                judge_hearts(judge, panel, (id, copy), lists[0], groups)
    if chosen:
        note(8, -1.0)
    for layout in plan["layouts"]:
        for at in layout["placements"]:
            if ".." in at["part"] and at["part"] not in known:
                note(8, -1.0)
            if (told := at.get("width")) is not None and ".." in at["part"]:
                x0, y0, x1, y1 = judge.parts[at["part"]].outline.bounds
                note(8, SLACK - abs(told - (y1 - y0)))
                if (told := at.get("length")) is not None:
                    note(8, SLACK - abs(told - (x1 - x0)))


def judge_staves(judge: Judge, panel: Panel, copy: tuple[str, int], staves: list[dict]) -> None:
    """Number, widths, and what they come to."""
    note = judge.verdict.note
    in_hand = judge.past.in_hand
    held = {stave["number"] for stave in staves if any((name, 1) in in_hand for name in named(*copy, stave))}
    if not 1 <= len(staves) <= panel.count or len({s["number"] for s in staves}) != len(staves):
        note(8, -1.0)
    # What was sawn once is as it is.
    free = [s["width"] for s in staves if s["number"] not in held]
    for width in free:
        note(8, width - panel.least + SLACK)
        if math.isfinite(panel.most):
            note(8, panel.most - width + SLACK)
    if panel.equal and free:
        note(8, TENTH - (max(free) - min(free)) + SLACK)
    whole = sum(s["width"] for s in staves) - panel.joint * (len(staves) - 1)
    note(8, whole - panel.width + SLACK)
    note(8, panel.width + TENTH * len(staves) - whole + SLACK)
    for stave in staves:
        pieces = stave.get("pieces") or []
        if not pieces:
            continue
        if len(pieces) < 2 or not (panel.end_to_end or stave["number"] in held):
            note(8, -1.0)
        for name, length in zip(named(*copy, stave), pieces):
            if (name, 1) not in in_hand:
                note(8, length - panel.least_piece + SLACK)
        joined = sum(pieces) - (len(pieces) - 1) * panel.end_joint
        note(8, joined - panel.length + SLACK)
        note(8, panel.length + TENTH * len(pieces) - joined + SLACK)
    for low, high in zip(staves, staves[1:]):
        for a in ends(low, panel.end_joint):
            for b in ends(high, panel.end_joint):
                note(8, abs(a - b) - panel.ends_apart + SLACK)


def judge_hearts(judge: Judge, panel: Panel, copy: tuple[str, int], staves: list[dict], groups: list[list]) -> None:
    """In glued order heart up and heart down in turn, or all one way; unknown ones and those nowhere are passed over."""
    if panel.hearts == "any":
        return
    rows = {board["id"]: board for board in judge.document["boards"]}
    lying = {at["part"]: (id, at) for id, at in judge.past.holds.items()}
    for layout, group in zip(judge.document["plan"]["layouts"], groups):
        lying |= {piece.part.id: (layout["board"], piece.at) for piece in group}
    ways = set()
    for place, stave in enumerate(staves):
        for name in named(*copy, stave):
            board, at = lying.get(name, (None, None))
            side = rows[board].get("heart_side", "unknown") if board else "unknown"
            if side != "unknown":
                up = (side == "up") != at.get("turned_over", False)
                ways.add(up != (panel.hearts == "alternate" and place % 2 == 1))
    if len(ways) > 1:
        judge.verdict.note(8, -1.0)
