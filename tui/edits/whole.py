"""The commands for what holds for the whole van: its form, its kinds of day, its battery's chemistry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import edit
from tui.edits import here

if TYPE_CHECKING:
    from tui.app import Ampledger


async def design_form(app: Ampledger) -> None:
    """A form with the design's name and what holds for the whole van."""
    from tui.screens.fields import DESIGN_FIELDS
    from tui.screens.form import Form

    await app.push_screen_wait(Form(app, "", DESIGN_FIELDS))


async def kinds_of_day(app: Ampledger) -> None:
    """The kinds of day of the design, and what is used on each."""
    from tui.screens.kinds_form import KindsForm

    await app.push_screen_wait(KindsForm(app))


def choose_chemistry(app: Ampledger) -> None:
    """Take the chemistry under the cursor."""
    from tui.screens.battery import BatteryPlace

    place = app.query_one(BatteryPlace)
    option = place.option()
    if not place.table.size.height:
        app.say("v leads back to the table: c takes the chemistry under its cursor.")
    elif option is not None:
        though = f", though ruled out: {option.ruled_out}" if option.ruled_out else ""
        app.edit(
            edit.put(here.design(app), "battery/chemistry", option.chemistry), f"battery: {option.chemistry}{though}"
        )
