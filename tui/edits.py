"""The commands that change the design: rows, place, month, weather, chemistry."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from model import edit, shelf
from model.calendar import month_name
from model.design import Design, Load, Stop, Weather
from tui import marked_rows
from tui.screens.loads import LoadsPlace
from tui.screens.picker import Choice, Picker
from tui.widgets.edit_table import EditTable

if TYPE_CHECKING:
    from tui.app import Ampledger
    from tui.screens.sun import SunPlace
    from tui.screens.year import YearPlace


def _design(app: Ampledger) -> Design:
    assert app.document is not None
    return app.document.design


def undo(app: Ampledger) -> None:
    """Take the last edit back; a text that was refused and left in its cell goes first."""
    assert app.document is not None
    for table in app.here.query(EditTable):
        if (text := table.give_up()) is not None:
            app.say(f"“{text}” is gone: it was not taken · u once more takes back the edit before")
            return
    _turned(app, "undone", app.document.undo())


def redo(app: Ampledger) -> None:
    """Make the edit again that was taken back."""
    assert app.document is not None
    _turned(app, "done again", app.document.redo())


def _turned(app: Ampledger, word: str, title: str | None) -> None:
    app.query_one(LoadsPlace).marked = ()  # they would be on other rows
    app.say(f"{word}: {title}" if title else f"nothing to be {word}")
    app.show_design()


def change_month(app: Ampledger, by: int) -> None:
    """Look at the next month, or the one before."""
    design = _design(app)
    month = (design.month - 1 + by) % 12 + 1
    app.edit(replace(design, month=month), f"month: {month_name(month)}")


async def choose_place(app: Ampledger) -> None:
    """Search the place by name, or take typed coordinates; on the trip, that of the stop under the cursor.

    Own weather belongs to its place and goes with it.
    """
    year = _year(app)
    if year is not None and year.on_trip:
        await _place_stop(app, year)
        return
    found = await _ask_place(app, "Where do you go?")
    if found is None:
        return
    design = _design(app)
    place = replace(design.place, **_where(found))
    gone = " (own weather removed: it belonged to the place before)" if design.weather is not None else ""
    app.edit(replace(design, place=place, weather=None), f"place: {place.name}{gone}")


async def _place_stop(app: Ampledger, year: YearPlace) -> None:
    index = year.stop_index()
    if index is None:
        await new_stop(app)
        return
    stop = _design(app).stops[index]
    found = await _ask_place(app, f"Where is {stop.name or 'this stop'}?")
    if found is not None:
        placed = replace(stop, **_where(found))
        app.edit(edit.put(_design(app), f"stops/{index}", placed), f"stop: {placed.name}")


async def new_stop(app: Ampledger) -> None:
    """One more stop of the trip, below the cursor: its place is searched first."""
    year = _year(app)
    if year is None:
        return
    if not year.on_trip:
        year.set_view("trip")
        year.take_focus()
    here = year.stop_index()
    found = await _ask_place(app, "Where is the next stop?")
    if found is None:
        return
    design = _design(app)
    if len(design.stops) >= edit.MOST_ROWS:
        app.say(f"{edit.MOST_ROWS} stops are the most that a trip takes.")
        return
    index = len(design.stops) if here is None else here + 1
    stop = Stop(**_where(found))
    app.edit(edit.insert(design, "stops", index, [stop]), f"new stop: {stop.name}")
    year.go_to(f"stops/{index}/nights")


async def _ask_place(app: Ampledger, title: str) -> Any:
    """A place from the gazetteer, or one made of typed coordinates; None where the person went back."""
    from model.supply.places import at, label, parse_coordinates, search

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
    return await app.push_screen_wait(Picker(title, find, prompt=prompt, nothing=nothing))


def _where(found: Any) -> dict[str, Any]:
    """What a place that was found is called in a design, and where it lies."""
    from model.supply.places import label

    return {
        "name": label(found),
        "latitude_deg": found.latitude_deg,
        "longitude_deg": found.longitude_deg,
        "elevation_m": found.elevation_m,
    }


async def pick_load(app: Ampledger) -> bool:
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
    row = await app.push_screen_wait(Picker(_loads_so_far(app), find, prompt="fridge, light …", nothing=nothing))
    if row is not None:
        _insert(app, typical_load(row), f"added {row['name']}", begin_edit=False)
    return row is not None


def _loads_so_far(app: Ampledger) -> str:
    """What the list of typical loads is headed by: how it is meant, and how many rows there are."""
    count = len(_design(app).loads)
    return f"Typical loads: correct the figures by your own · {count} in the table"


def new_row(app: Ampledger) -> None:
    """An empty row below the cursor, its name being typed at once; in Sun, one more obstacle on the roof."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.new(app)
        return
    sun = _sun(app)
    if sun is not None:
        design = sun.new_obstacle()
        if design is not None:
            app.edit(design, "one more thing on the roof")
            sun.go_to(f"roof/obstacles/{len(design.roof.obstacles) - 1}/name")
        return
    _insert(app, Load(), "new row", begin_edit=True)


def _insert(app: Ampledger, load: Load, title: str, *, begin_edit: bool) -> None:
    design, place = _design(app), _loads(app)
    if len(design.loads) >= edit.MOST_ROWS:
        app.say(f"{edit.MOST_ROWS} rows are the most that a table takes.")
        return
    here = place.row_index()
    index = len(design.loads) if here is None else here + 1
    app.edit(edit.insert(design, "loads", index, [load]), title)
    place.go_to(f"loads/{index}/name")
    if begin_edit:
        place.table.begin_edit()


def duplicate_row(app: Ampledger) -> None:
    """Copy the row under the cursor below itself, or the marked rows."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.double(app)
        return
    if marked_rows.duplicate(app):
        return
    path, index = _row(app)
    if index is not None:
        app.edit(edit.duplicate(_design(app), path, index), "row copied")


def remove_row(app: Ampledger) -> None:
    """Remove the row under the cursor, or the marked rows."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.remove(app)
        return
    if marked_rows.remove(app):
        return
    path, index = _row(app)
    if index is not None:
        name = edit.get(_design(app), f"{path}/{index}/name")
        app.edit(edit.remove(_design(app), path, [index]), f"removed {name or 'row'}")


def move_row(app: Ampledger, by: int) -> None:
    """Move the row under the cursor by `by` places, or the marked rows."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.move(app, by)
        return
    if marked_rows.move(app, by):
        return
    path, index = _row(app)
    if index is not None:
        app.edit(edit.move(_design(app), path, index, by), "row moved")
        app.here.go_to(f"{path}/{max(0, index + by)}")


def switch_row(app: Ampledger) -> None:
    """Count the load or leave it out, or the marked ones."""
    if marked_rows.switch(app):
        return
    _, index = _row(app)
    if index is not None:
        load = _design(app).loads[index]
        title = f"{load.name or 'row'} {'switched off' if load.on else 'counted again'}"
        app.edit(edit.put(_design(app), f"loads/{index}/on", not load.on), title)


def _row(app: Ampledger) -> tuple[str, int | None]:
    """The list and the index of the row under the cursor; says so where there is none."""
    sun, year = _sun(app), _year(app)
    if year is not None:
        path, index = "stops", year.stop_index()
        hint = "n adds a stop." if year.on_trip else "Stops are rows of the trip: v leads there, n adds one."
    elif sun is not None:
        path, index = "roof/obstacles", sun.obstacle_index()
        hint = "Put the cursor on a thing on the roof: rows of the design itself stay."
    else:
        path, index = "loads", _loads(app).row_index()
        hint = "The program makes this row itself; e edits it, or type 0 where it does not apply."
    if index is None:
        app.say(hint)
    return path, index


def _loads(app: Ampledger) -> LoadsPlace:
    return app.query_one(LoadsPlace)


def _sun(app: Ampledger) -> SunPlace | None:
    """The Sun, where it is the place on the screen; its module waits for the first visit, to keep the start short."""
    if app.place != "sun":
        return None
    from tui.screens.sun import SunPlace

    return app.query_one(SunPlace)


def _year(app: Ampledger) -> YearPlace | None:
    """The Year, where it is the place on the screen; its module waits for the first visit, as that of the Sun."""
    if app.place != "year":
        return None
    from tui.screens.year import YearPlace

    return app.query_one(YearPlace)


async def design_form(app: Ampledger) -> None:
    """A form with the design's name and what holds for the whole van."""
    from tui.screens.fields import DESIGN_FIELDS
    from tui.screens.form import Form

    await app.push_screen_wait(Form(app, "", DESIGN_FIELDS))


async def kinds_of_day(app: Ampledger) -> None:
    """The kinds of day of the design, and what is used on each."""
    from tui.screens.kinds_form import KindsForm

    await app.push_screen_wait(KindsForm(app))


async def details(app: Ampledger) -> None:
    """A form with every field of the row under the cursor; each field is an edit of its own."""
    if app.place == "circuits":
        from tui import circuit_edits

        await circuit_edits.details(app)
        return
    from tui.screens.form import Form

    year = _year(app)
    wanted = _loads(app).details() if year is None else year.details()
    if wanted is None and year is not None:
        _row(app)  # says where the rows are
    if wanted is not None:
        path, _ = wanted
        await app.push_screen_wait(Form(app, path))


def choose_chemistry(app: Ampledger) -> None:
    """Take the chemistry under the cursor."""
    from tui.screens.battery import BatteryPlace

    place = app.query_one(BatteryPlace)
    option = place.option()
    if option is not None:
        app.edit(edit.put(_design(app), "battery/chemistry", option.chemistry), f"battery: {option.chemistry}")


async def typed_weather(app: Ampledger) -> None:
    """Twelve typed monthly values in place of the built-in climate."""
    from tui.screens.months_form import MonthsForm

    design = _design(app)
    weather: Weather | None = await app.push_screen_wait(MonthsForm(design.weather, _monthly_guess(app)))
    if weather is not None:
        kept = weather if any(weather.ghi_kwh_per_m2_day) else None
        app.edit(replace(design, weather=kept), "own weather typed" if kept else "built-in climate again")


def _monthly_guess(app: Ampledger) -> tuple[float, ...] | None:
    """What the form begins with: the values in force; None where there is no climate."""
    climate = app.plan.climate if app.plan is not None else None
    return climate.ghi_kwh_per_m2_day if climate is not None else None


async def weather_file(app: Ampledger) -> None:
    """Read a weather file; its place and its months replace those of the design."""
    from model.record.weather_files import read_weather_file
    from tui.file_dialogs import ask_path

    path = await ask_path(app, "Read a weather file: TMY3, TMY2, EPW, or PVGIS (CSV, JSON)")
    if path is None:
        return
    try:
        read: Any = read_weather_file(path, app.session.path.parent if app.session.path else None)
    except (OSError, ValueError) as trouble:
        app.say(str(trouble))
        return
    design = replace(_design(app), weather=read.weather, place=read.place)
    app.edit(design, f"weather from {path.name}")


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
