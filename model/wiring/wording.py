"""How findings and screens name a current, a run, and the field of a run that is meant."""

from __future__ import annotations

from model.wiring.circuit import End, Run
from model.wiring.wired import Wired

FIELD: dict[End, str] = {"start": "protection", "end": "end_protection"}


def amps(current_a: float) -> str:
    """ "7.5 A", "0.02 A", "1234 A"."""
    return f"{current_a:.0f} A" if current_a >= 100 else f"{current_a:.3g} A"


def run_name(run: Run) -> str:
    """ "panel to lamp 1"."""
    return f"{run.start} to {run.end}"


def name_of(one: Wired, run: int) -> str:
    """ "Ceiling lamps, panel to lamp 1"."""
    return f"{one.circuit.name}, {run_name(one.circuit.runs[run])}"


def where_of(one: Wired, run: int, field: str) -> str:
    """Path of a field of a run, as findings lead to it."""
    return f"circuits/{one.circuit.key}/runs/{run}/{field}"
