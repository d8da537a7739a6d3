"""The commands that put weather of one's own in place of the built-in climate."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from model.design import Weather
from tui.edits import here

if TYPE_CHECKING:
    from tui.app import Ampledger


async def typed_weather(app: Ampledger) -> None:
    """Twelve typed monthly values in place of the built-in climate."""
    from tui.screens.months_form import MonthsForm

    design = here.design(app)
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
    design = replace(here.design(app), weather=read.weather, place=read.place)
    app.edit(design, f"weather from {path.name}")
