"""The commands that say where and when: place, month, and the stops of the trip."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from model import edit
from model.calendar import month_name
from model.design import Stop
from tui.edits import here
from tui.screens.picker import Choice, Picker

if TYPE_CHECKING:
    from tui.app import Ampledger
    from tui.screens.year import YearPlace


def change_month(app: Ampledger, by: int) -> None:
    """Look at the next month, or the one before."""
    design = here.design(app)
    month = (design.month - 1 + by) % 12 + 1
    app.edit(replace(design, month=month), f"month: {month_name(month)}")


async def choose_place(app: Ampledger) -> None:
    """Search the place by name, or take typed coordinates; on the trip, that of the stop under the cursor.

    Own weather belongs to its place and goes with it.
    """
    year = here.year(app)
    if year is not None and year.on_trip:
        await _place_stop(app, year)
        return
    found = await _ask_place(app, "Where do you go?")
    if found is None:
        return
    design = here.design(app)
    place = replace(design.place, **found)
    gone = " (own weather removed: it belonged to the place before)" if design.weather is not None else ""
    app.edit(replace(design, place=place, weather=None), f"place: {place.name}{gone}")


async def _place_stop(app: Ampledger, year: YearPlace) -> None:
    index = year.stop_index()
    if index is None:
        await new_stop(app)
        return
    stop = here.design(app).stops[index]
    found = await _ask_place(app, f"Where is {stop.name or 'this stop'}?")
    if found is not None:
        placed = replace(stop, **found)
        app.edit(edit.put(here.design(app), f"stops/{index}", placed), f"stop: {placed.name}")


async def new_stop(app: Ampledger) -> None:
    """One more stop of the trip, below the cursor: its place is searched first."""
    year = here.year(app)
    if year is None:
        return
    if not year.on_trip:
        year.set_view("trip")
        year.take_focus()
    row = year.stop_index()
    found = await _ask_place(app, "Where is the next stop?")
    if found is None:
        return
    design = here.design(app)
    if len(design.stops) >= edit.MOST_ROWS:
        app.say(f"{edit.MOST_ROWS} stops are the most that a trip takes.")
        return
    index = len(design.stops) if row is None else row + 1
    stop = Stop(**found)
    app.edit(edit.insert(design, "stops", index, [stop]), f"new stop: {stop.name}")
    year.go_to(f"stops/{index}/nights")


async def _ask_place(app: Ampledger, title: str) -> dict[str, Any] | None:
    """A place from the gazetteer, or one made of typed coordinates, as a design has it; None where the person went back."""
    from model.supply.places import as_entered, at, label, parse_coordinates, search

    def find(text: str) -> list[Choice]:
        if len(text.strip()) < 2:
            return []
        coordinates = parse_coordinates(text)
        if coordinates is not None:
            found = at(coordinates)
            return [Choice(f"use {label(found)}", found)]
        return [
            Choice(f"{label(place)}   {place.latitude_deg:.2f}, {place.longitude_deg:.2f}", place)
            for place in search(text)
        ]

    prompt = "a town, or coordinates such as 36.1, -79.95 or 36 06 N 79 57 W"
    nothing = "No place of 5000 people or more is called like this: try one nearby, fewer letters, or coordinates."
    found = await app.push_screen_wait(Picker(title, find, prompt=prompt, nothing=nothing))
    return None if found is None else as_entered(found)
