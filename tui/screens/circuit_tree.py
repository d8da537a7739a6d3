"""A circuit as a tree of lines: one line a point, one a load, with the strokes that join them.

The longest way from the source goes straight down; what leaves it is drawn beside it, before the way goes on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from model.wiring.entered import same

SOURCE, POINT = "■ ", "● "


@dataclass(frozen=True, slots=True)
class Line:
    """One line. run: index of the run that ends at `point`, None for the source and for loads. load: index into the loads at
    that point, None for a point. strokes: what is drawn before the name."""

    strokes: str
    point: str
    run: int | None = None
    load: int | None = None
    loose: bool = False


def lines(points: Sequence[tuple[str, str]], root: str, loads: Mapping[str, int]) -> list[Line]:
    """Lines for the runs between `points` (from, to), beginning at `root`; `loads`: how many hang at a point, by its name as
    `same` has it. Runs that hang on nothing, or that close a loop, come last."""
    leaving: dict[str, list[int]] = {}
    for index, (start, _) in enumerate(points):
        leaving.setdefault(same(start), []).append(index)
    beyond, reached = _tree(points, root, leaving)
    found: list[Line] = []
    waiting: list[tuple[int | None, str, str]] = [(None, SOURCE, "")]
    while waiting:
        run, head, lane = waiting.pop()
        point = root if run is None else points[run][1]
        onward = sorted(
            (one for one in leaving.get(same(point), ()) if one in reached), key=lambda one: (-beyond[one], one)
        )
        found.append(Line(head, point, run))
        hanging = loads.get(same(point), 0)
        for load in range(hanging):
            last = load == hanging - 1 and not onward
            found.append(Line(lane + ("└╴" if last else "├╴"), point, None, load))
        if onward:
            trunk, *branches = onward
            waiting.append((trunk, lane + POINT, lane))
            waiting += [(one, f"{lane}├─{POINT}", f"{lane}│ ") for one in sorted(branches, reverse=True)]
    loose = [index for index in range(len(points)) if index not in reached]
    return found + [Line("? ", points[index][1], index, loose=True) for index in loose]


def _tree(
    points: Sequence[tuple[str, str]], root: str, leaving: Mapping[str, Sequence[int]]
) -> tuple[dict[int, int], set[int]]:
    """For each run that hangs on the source the runs of the longest way that begins with it; and which those runs are."""
    seen, order, places = {same(root)}, list[int](), [same(root)]
    for place in places:  # grows while it is walked
        for run in leaving.get(place, ()):
            end = same(points[run][1])
            if end not in seen:
                seen.add(end)
                places.append(end)
                order.append(run)
    reached, beyond = set(order), dict[int, int]()
    for run in reversed(order):
        beyond[run] = 1 + max(
            (beyond[one] for one in leaving.get(same(points[run][1]), ()) if one in reached), default=0
        )
    return beyond, reached
