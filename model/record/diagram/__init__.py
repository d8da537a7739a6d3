"""The wiring as drawings: a one-line diagram of the whole system, one of each circuit, and all of them on one tall sheet.

Drawn here and not with schemdraw: that one reads every label as mathematics and XML (it stops at "&"), leaves labels out of its
bounds, so that names are cut at the edge, and places by ends of elements; a dozen symbols at computed places are less.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from model.record.diagram import system, tree
from model.record.diagram.lettering import one_line, width
from model.record.diagram.sheet import MARGIN, SMALL, WIDTH, Sheet

if TYPE_CHECKING:
    from model.plan import Plan
    from model.wiring.papers.ways import Way
    from model.wiring.table import CircuitPlan

__all__ = ["circuit_svg", "circuit_words", "svg", "system_svgs", "system_words"]

NOTE = (
    "One wire is drawn for two; lengths are routes, one way.",
    "Nobody has examined this drawing: the program checks what it lists and approves nothing; local codes prevail.",
)


def svg(plan: Plan, date: str = "") -> str:
    """The system, then every circuit, on one tall sheet. date: as it shall stand in the title block, "" for none."""
    sheet = Sheet()
    y = _title_block(sheet, plan, date)
    sheet.begin(f"The system of {plan.design.name}")
    y = system.draw(sheet, plan, y, system.panel_rows(plan))
    sheet.end()
    for circuit in plan.wiring.circuits:
        y += 18
        sheet.line((MARGIN, y), (WIDTH - MARGIN, y), thick=0.5)
        sheet.begin(f"{circuit.key}, {circuit.name}")
        y = tree.draw(sheet, circuit, y + 10)
        sheet.end()
    y = _legend(sheet, y + 8)
    title = f"Wiring of {plan.design.name or 'a plan without a name'}"
    return sheet.svg(_notes(sheet, y), "all", title, system_words(plan))


def system_svgs(plan: Plan, date: str = "") -> tuple[str, ...]:
    """The one-line diagram of the system: one sheet, and further ones where the panel has more ways than a page takes."""
    rows = system.panel_rows(plan)
    ends = [system.FIRST_ROWS, *range(system.FIRST_ROWS + system.FURTHER_ROWS, len(rows) + 1, system.FURTHER_ROWS)]
    edges = [0, *(end for end in ends if end < len(rows)), len(rows)]
    parts = [rows[start:end] for start, end in pairwise(edges)]
    return tuple(_system(plan, date, number, len(parts), part) for number, part in enumerate(parts, start=1))


def circuit_svg(circuit: CircuitPlan, number: int = 0) -> str:
    """One circuit: its runs, points, volts, plugs and loads. number: what sets it apart in a document with several."""
    sheet = Sheet()
    height = tree.draw(sheet, circuit, 8)
    return sheet.svg(height, f"circuit-{number}", f"{circuit.key}, {circuit.name}", circuit_words(circuit))


def circuit_words(circuit: CircuitPlan) -> str:
    """What the drawing of a circuit shows, for who cannot see it."""
    wired = circuit.wired
    runs = (
        f"{run.start} to {run.end}: {run.length_m:.2f} m of {sized.conductor.name}"
        for run, sized in zip(wired.circuit.runs, wired.runs, strict=True)
    )
    return one_line("; ".join(runs) or "no runs")


def _system(plan: Plan, date: str, number: int, of: int, rows: tuple[Way, ...]) -> str:
    sheet = Sheet()
    y = _title_block(sheet, plan, date, f"sheet {number} of {of}" if of > 1 else "")
    y = system.draw(sheet, plan, y, rows, number == 1)
    y = _legend(sheet, y + 8)
    title = f"One-line diagram of {plan.design.name or 'a plan without a name'}"
    return sheet.svg(_notes(sheet, y), f"system-{number}", title, system_words(plan))


def system_words(plan: Plan) -> str:
    """What the drawing of the system shows, for who cannot see it; the tables have the figures."""
    wiring = plan.wiring
    names = ", ".join(f"{one.key} {one.name}" for one in wiring.circuits)
    return one_line(f"{wiring.system_v:g} V. Circuits: {names or 'none'}. Every figure is in the cable schedule.")


def _title_block(sheet: Sheet, plan: Plan, date: str, part: str = "") -> float:
    design = plan.design
    room = WIDTH - 2 * MARGIN
    sheet.words(MARGIN, 26, design.name or "A plan without a name", size=16, bold=True, room=room)
    said = ("wiring diagram", f"{design.system.nominal_v:g} V", part, date)
    sheet.words(MARGIN, 42, " · ".join(one for one in said if one), room=room)
    sheet.line((MARGIN, 50), (WIDTH - MARGIN, 50), thick=0.8)
    return 56


def _legend(sheet: Sheet, y: float) -> float:
    """The symbols that were drawn, with their names."""
    x, y = MARGIN, y + 14
    for symbol in [one for one in sheet.used.values() if one.half]:
        room = 2 * symbol.half + 8 + width(symbol.name, SMALL) + 18
        if x > MARGIN and x + room > WIDTH - MARGIN:
            x, y = MARGIN, y + 32
        sheet.symbol(x + symbol.half, y, symbol)
        sheet.words(x + 2 * symbol.half + 8, y + 3.5, symbol.name, size=SMALL)
        x += room
    return y + 24


def _notes(sheet: Sheet, y: float) -> float:
    """The lines that close a sheet; answers its height."""
    for note in NOTE:
        y += 13
        sheet.words(MARGIN, y, note, size=SMALL, room=WIDTH - 2 * MARGIN)
    return y + 12
