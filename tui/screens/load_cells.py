"""What a cell of the load table does to its load."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from model import entry
from model.design import Day, Load
from model.quantities import Refusal
from tui import display


def load_with_text(load: Load, column_key: str, text: str) -> Load:
    """The load with one of its cells as typed; Refusal where it does not fit.

    The power cell takes a current as well ("20 mA").
    """
    if column_key != "power":
        display.typed(text, entry.entries(Load)[column_key].kind)
        return replace(load, **{column_key: entry.read(Load, column_key, text)})
    try:
        current_a = entry.read(Load, "current_a", text) if text.strip()[-1:].lower() == "a" else None
    except Refusal:
        current_a = None
    if current_a is not None:
        return replace(load, power_w=None, current_a=current_a)
    return replace(load, power_w=entry.read(Load, "power_w", display.typed(text, "power")), current_a=None)


def days_offered(days: tuple[Day, ...]) -> tuple[str, ...]:
    """What a load's kinds of day may be, for going through them: each kind, of up to three every selection, and none at last."""
    names = [name for day in days if (name := " ".join(day.name.split())) and "," not in name]
    several = range(1, len(names) + 1) if len(names) <= 3 else (1,)
    return (*(", ".join(chosen) for count in several for chosen in combinations(names, count)), "")
