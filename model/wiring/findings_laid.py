"""Cables that lie where they stay: what can still be done about them, and what must be written down of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from model.wiring.wired import Wired
from model.wiring.wording import name_of, where_of
from model.working import Finding

LEFT = (
    "It is laid already: less load, or part of it on a second circuit with a cable and a fuse of its own, is what is left; or"
    " take it out."
)
ABOUT_COPPER = ("conductor", "protection", "fuse", "contacts")
"""Fields of a run whose usual cure is another cable."""


def laid_findings(one: Wired) -> list[Finding]:
    """Laid cables whose conductor nobody typed: the program would go on choosing what can no longer change."""
    return [
        Finding(
            "warning",
            where_of(one, index, "conductor"),
            f"{name_of(one, index)}: laid, but its conductor is not typed; the plan would take another one when it changes.",
            f"Type what lies there. The program would take {one.runs[index].conductor.name} now.",
        )
        for index in one.shape.order
        if one.circuit.runs[index].laid and one.runs[index].governs != "typed"
    ]


def with_what_is_left(one: Wired, found: Iterable[Finding]) -> Iterator[Finding]:
    """The findings, those whose cure would be another cable with what is left where it is laid."""
    for said in found:
        yield replace(said, advice=f"{said.advice} {LEFT}") if _is_laid(one, said.where) else said


def _is_laid(one: Wired, where: str) -> bool:
    """Whether a finding is about a laid cable, or about a load whose way loses most in one."""
    parts = where.removeprefix(f"circuits/{one.circuit.key}/").split("/")
    if parts == ["runs"]:  # about all its cables
        return any(one.circuit.runs[index].laid for index in one.shape.order)
    if len(parts) < 3 or not parts[1].isdigit():
        return False
    at = int(parts[1])
    if parts[0] == "runs" and parts[2].startswith(ABOUT_COPPER):
        return one.circuit.runs[at].laid
    place = one.shape.place.get(one.circuit.loads[at].point) if parts[0] == "loads" else None
    if place is None or one.running is None or not one.shape.path(place):
        return False
    return one.circuit.runs[max(one.shape.path(place), key=one.running.drop_v)].laid
