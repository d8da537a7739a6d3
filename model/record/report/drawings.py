"""The wiring's drawings as blocks of the report."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.record.diagram import circuit_svg, circuit_words, system_svgs, system_words
from model.record.report.document import Drawing

if TYPE_CHECKING:
    from model.plan import Plan
    from model.wiring.table import CircuitPlan


def system_drawings(plan: Plan) -> tuple[Drawing, ...]:
    """The one-line diagram, on as many sheets as its fuse panel needs."""
    if not plan.wiring.circuits:
        return ()
    sheets = system_svgs(plan)
    return tuple(
        Drawing(
            f"One-line diagram{f', sheet {number} of {len(sheets)}' if len(sheets) > 1 else ''}",
            system_words(plan),
            drawn,
        )
        for number, drawn in enumerate(sheets, start=1)
    )


def circuit_drawing(circuit: CircuitPlan, number: int) -> Drawing:
    """One circuit; number: its own in the report."""
    return Drawing(f"Drawing of {circuit.key}", circuit_words(circuit), circuit_svg(circuit, number))
