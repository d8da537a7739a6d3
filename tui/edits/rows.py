"""The commands that add, copy, remove, move and open the row under the cursor, in whichever table it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import edit
from model.design import Load
from tui.edits import here, marked

if TYPE_CHECKING:
    from tui.app import Ampledger


def new_row(app: Ampledger) -> None:
    """An empty row below the cursor, its name being typed at once; in Sun, one more obstacle on the roof."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.new(app)
        return
    sun = here.sun(app)
    if sun is not None:
        design = sun.new_obstacle()
        if design is not None:
            app.edit(design, "one more thing on the roof")
            sun.go_to(f"roof/obstacles/{len(design.roof.obstacles) - 1}/name")
            sun.fields.begin_edit("")
        return
    insert_load(app, Load(), "new row", begin_edit=True)


def insert_load(app: Ampledger, load: Load, title: str, *, begin_edit: bool) -> None:
    """Put a load below the cursor, as an edit of that title; `begin_edit`: its name is then being typed."""
    design, place = here.design(app), here.loads(app)
    if len(design.loads) >= edit.MOST_ROWS:
        app.say(f"{edit.MOST_ROWS} rows are the most that a table takes.")
        return
    row = place.row_index()
    index = len(design.loads) if row is None else row + 1
    if place.begun is not None and index == place.begun + 2:
        index -= 1  # Enter went on from the row just begun: the next one belongs below that, not below the one after
    app.edit(edit.insert(design, "loads", index, [load]), title)
    place.go_to(f"loads/{index}/name")
    place.begun = index if begin_edit else None
    if begin_edit:
        place.table.begin_edit()


def duplicate_row(app: Ampledger) -> None:
    """Copy the row under the cursor below itself, or the marked rows."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.double(app)
        return
    if marked.duplicate(app):
        return
    path, index = _row(app)
    if index is not None:
        app.edit(edit.duplicate(here.design(app), path, index), "row copied")


def remove_row(app: Ampledger) -> None:
    """Remove the row under the cursor, or the marked rows."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.remove(app)
        return
    if marked.remove(app):
        return
    path, index = _row(app)
    if index is not None:
        name = edit.get(here.design(app), f"{path}/{index}/name")
        app.edit(edit.remove(here.design(app), path, [index]), f"removed {name or 'row'}")


def move_row(app: Ampledger, by: int) -> None:
    """Move the row under the cursor by `by` places, or the marked rows."""
    if app.place == "circuits":
        from tui import circuit_edits

        circuit_edits.move(app, by)
        return
    if marked.move(app, by):
        return
    path, index = _row(app)
    if index is not None:
        app.edit(edit.move(here.design(app), path, index, by), "row moved")
        app.here.go_to(f"{path}/{max(0, index + by)}")


def switch_row(app: Ampledger) -> None:
    """Count the load or leave it out, or the marked ones."""
    if marked.switch(app):
        return
    _, index = _row(app)
    if index is not None:
        load = here.design(app).loads[index]
        title = f"{load.name or 'row'} {'switched off' if load.on else 'counted again'}"
        app.edit(edit.put(here.design(app), f"loads/{index}/on", not load.on), title)


async def details(app: Ampledger) -> None:
    """A form with every field of the row under the cursor; each field is an edit of its own."""
    if app.place == "circuits":
        from tui import circuit_edits

        await circuit_edits.details(app)
        return
    from tui.screens.form import Form

    year = here.year(app)
    wanted = here.loads(app).details() if year is None else year.details()
    if wanted is None and year is not None:
        _row(app)  # says where the rows are
    if wanted is not None:
        path, _ = wanted
        await app.push_screen_wait(Form(app, path))


def _row(app: Ampledger) -> tuple[str, int | None]:
    """The list and the index of the row under the cursor; says so where there is none."""
    sun, year = here.sun(app), here.year(app)
    if year is not None:
        path, index = "stops", year.stop_index()
        hint = "n adds a stop." if year.on_trip else "Stops are rows of the trip: v leads there, n adds one."
    elif sun is not None:
        path, index = "roof/obstacles", sun.obstacle_index()
        hint = "Put the cursor on a thing on the roof: rows of the design itself stay."
    else:
        path, index = "loads", here.loads(app).row_index()
        hint = "The program makes this row itself; e edits it, or type 0 where it does not apply."
    if index is None:
        app.say(hint)
    return path, index
