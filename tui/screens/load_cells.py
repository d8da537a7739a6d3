"""What a cell of the load table does to its load."""

from __future__ import annotations

from dataclasses import replace

from model import entry
from model.design import Load
from model.quantities import Refusal


def load_with_text(load: Load, column_key: str, text: str) -> Load:
    """The load with one of its cells as typed; Refusal where it does not fit.

    The power cell takes a current as well ("20 mA").
    """
    if column_key != "power":
        return replace(load, **{column_key: entry.read(Load, column_key, text)})
    try:
        current_a = entry.read(Load, "current_a", text) if text.strip()[-1:].lower() == "a" else None
    except Refusal:
        current_a = None
    if current_a is not None:
        return replace(load, power_w=None, current_a=current_a)
    return replace(load, power_w=entry.read(Load, "power_w", text), current_a=None)
