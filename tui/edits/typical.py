"""Typical loads, picked from a list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import shelf
from model.design import Load
from tui.edits import here
from tui.edits.rows import insert_load
from tui.screens.picker import Choice, Picker

if TYPE_CHECKING:
    from tui.app import Ampledger


async def pick_loads(app: Ampledger) -> None:
    """Pick typical loads one after the other, until Escape: letters typed behind one are a search for the next, no commands."""
    before = len(here.design(app).loads)
    while await _pick_load(app):
        pass
    added = len(here.design(app).loads) - before
    if added:
        app.say(f"{added} load{'s' if added > 1 else ''} added; type over the figures with your own")


async def _pick_load(app: Ampledger) -> bool:
    """Pick a typical load and put it below the cursor. Answers whether one was picked."""
    rows = shelf.rows("loads.csv")

    def find(text: str) -> list[Choice]:
        words = text.lower().split()
        return [
            Choice(typical_line(row), row)
            for row in rows
            if all(word in f"{row['group']} {row['name']}".lower() for word in words)
        ]

    nothing = "No typical load has these words; after Esc, n makes an empty row."
    picker = Picker(_loads_so_far(app), find, prompt="fridge, light …", nothing=nothing)
    picker.keys_text = "type to search · Enter adds one, the list stays · Esc on to the table"
    row = await app.push_screen_wait(picker)
    if row is not None:
        insert_load(app, typical_load(row), f"added {row['name']}", begin_edit=False)
    return row is not None


def _loads_so_far(app: Ampledger) -> str:
    """What the list of typical loads is headed by: how it is meant, and how many rows there are."""
    count = len(here.design(app).loads)
    return f"Typical loads: correct the figures by your own · {count} in the table"


def typical_line(row: dict[str, str]) -> str:
    """One line of the list of typical loads."""
    power = f"{row['power_w']} W" if row["power_w"] else f"{row['current_a']} A"
    return f"{row['name']:<38.38}  {power:>7}  {row['hours_per_day']:>5} h  {row['when']}"


def typical_load(row: dict[str, str]) -> Load:
    """A row of data/loads.csv as a load."""

    def number(column: str, default: float | None = None) -> float | None:
        return float(row[column]) if row.get(column) else default

    from model.calendar import read_months

    return Load(
        name=row["name"],
        power_w=number("power_w"),
        current_a=number("current_a"),
        supply=row["supply"],
        hours_per_day=number("hours_per_day", 0.0) or 0.0,
        duty=number("duty", 1.0) or 1.0,
        follows_heat=row["follows_heat"] == "yes",
        standby_w=number("standby_w", 0.0) or 0.0,
        surge_w=number("surge_w"),
        when=row["when"],
        months=read_months(row["months"] or "all"),
    )
