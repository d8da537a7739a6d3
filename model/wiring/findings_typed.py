"""What a careful friend would say about fuses that somebody typed: ratings that nobody makes, and ratings of no fuse."""

from __future__ import annotations

from bisect import bisect_left

from model.design import Circuit
from model.wiring.fuses import FuseFamily, family_named
from model.wiring.protection import devices
from model.wiring.wired import Wired
from model.wiring.wording import name_of
from model.working import Finding


def typed_fuse_findings(entered: Circuit, base: str, one: Wired) -> list[Finding]:
    """Every run whose fuse has something typed about it."""
    found: list[Finding] = []
    for index, run in enumerate(entered.runs):
        there = [device for _, device in devices(one.circuit.runs[index])]
        where, name = f"{base}/runs/{index}/fuse_a", name_of(one, index)
        if run.fuse_a is not None and not there:
            found.append(
                Finding(
                    "warning",
                    where,
                    f"{name}: a fuse of {run.fuse_a:g} A is typed, and this run has none: nothing asks for one there.",
                    "Say at which end it sits (Fuse: at start, at end), or take the rating out.",
                )
            )
        family = family_named(there[0].family) if there else None
        if run.fuse_a is not None and family is not None and run.fuse_a not in family.ratings_a:
            message = f"{name}: {family.name} has no {run.fuse_a:g} A; {_nearest(family, run.fuse_a)}."
            found.append(Finding("warning", where, message, "One of its ratings, or another family."))
    return found


def _nearest(family: FuseFamily, rating_a: float) -> str:
    """The ratings on either side: "10 A and 15 A are the nearest", "it ends at 30 A"."""
    at = bisect_left(family.ratings_a, rating_a)
    if at == 0:
        return f"it begins at {family.ratings_a[0]:g} A"
    if at == len(family.ratings_a):
        return f"it ends at {family.ratings_a[-1]:g} A"
    return f"{family.ratings_a[at - 1]:g} A and {family.ratings_a[at]:g} A are the nearest"
