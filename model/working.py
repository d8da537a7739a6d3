"""What every figure carries with it: the step that made it, and what a careful friend would say about it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

Severity = Literal["danger", "warning", "note"]
SEVERITIES: tuple[Severity, ...] = ("danger", "warning", "note")


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the working: a figure, how it was made, and on whose word.

    `key` names the figure once for all views ("storage.LFP.capacity_needed_wh"); `uses` holds the keys of the figures that
    went into it, so that the chain back to what was typed can be walked.
    """

    key: str
    stage: str  # "demand", "supply", "storage", "wiring"
    label: str
    formula: str  # with the numbers in it: "45 W x 24 h x 35 %"
    value: float | str
    unit: str
    source: str  # a standard with its clause, "typed", or "common practice, no source"
    uses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """What a careful friend would say: where it hurts, what is the matter, and a way out."""

    severity: Severity
    where: str  # path of the field that causes it: "loads/3/hours", "array/count", "battery/chemistry"
    message: str
    advice: str


def by_severity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Dangers first; the order within one severity is kept."""
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))


def chain(steps: Mapping[str, Step], key: str) -> tuple[Step, ...]:
    """The steps that lead to `key`, first causes first, `key` itself last; each step once. Unknown keys give nothing."""
    order: dict[str, Step] = {}
    seen: set[str] = set()  # marked on the way down, so that steps which use each other cannot go round for ever

    def visit(name: str) -> None:
        step = steps.get(name)
        if step is None or name in seen:
            return
        seen.add(name)
        for used in step.uses:
            visit(used)
        order[name] = step

    visit(key)
    return tuple(order.values())
