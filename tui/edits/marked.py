"""Marked rows of the load table: what is done to one of them is done to all, as one edit. No marks, nothing done."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from model import edit
from model.design import Design
from tui.screens.loads import LoadsPlace

if TYPE_CHECKING:
    from tui.app import Ampledger


def mark_row(app: Ampledger) -> None:
    """Mark the row under the cursor, or take its mark away, and go down."""
    place = app.query_one(LoadsPlace)
    index = place.row_index()
    if index is None:
        app.say("The program makes this row itself: only loads can be marked.")
        return
    place.mark(set(place.marked) ^ {index})
    place.table.action_cursor_down()
    _say_count(app, place)


def remove(app: Ampledger) -> bool:
    """Remove the marked rows. All of these answer whether any row was marked."""
    place, design = _place(app)
    if not place.marked:
        return False
    indices = place.marked
    place.mark(())
    app.edit(edit.remove(design, "loads", indices), f"removed {_rows(len(indices))}")
    return True


def duplicate(app: Ampledger) -> bool:
    """Copy the marked rows below the last of them; the copies are marked then."""
    place, design = _place(app)
    if not place.marked:
        return False
    indices = place.marked
    if len(design.loads) + len(indices) > edit.MOST_ROWS:
        app.say(f"{edit.MOST_ROWS} rows are the most that a table takes.")
        return True
    app.edit(edit.duplicate_rows(design, "loads", indices), f"copied {_rows(len(indices))}")
    place.mark(range(indices[-1] + 1, indices[-1] + 1 + len(indices)))
    return True


def move(app: Ampledger, by: int) -> bool:
    """Move the marked rows together; they keep their order and stop at the ends of the table."""
    place, design = _place(app)
    if not place.marked:
        return False
    moved, indices = edit.move_rows(design, "loads", place.marked, by)
    app.edit(moved, f"moved {_rows(len(indices))}")
    place.mark(indices)
    place.go_to(f"loads/{indices[0] if by < 0 else indices[-1]}")
    return True


def switch(app: Ampledger) -> bool:
    """Leave the marked rows out, or count them all again where none of them counts."""
    place, design = _place(app)
    if not place.marked:
        return False
    on = not any(design.loads[index].on for index in place.marked)
    loads = tuple(replace(load, on=on) if index in place.marked else load for index, load in enumerate(design.loads))
    title = f"{_rows(len(place.marked))} {'counted again' if on else 'switched off'}"
    app.edit(replace(design, loads=loads), title)
    return True


def text(app: Ampledger) -> str:
    """The marked rows as a spreadsheet takes them, cells between tabs; "" where none is marked."""
    place, _ = _place(app)
    return "\n".join("\t".join(place.texts(index)) for index in place.marked)


def _place(app: Ampledger) -> tuple[LoadsPlace, Design]:
    """The load table and the design; without marks where another place is on the screen."""
    assert app.document is not None
    place = app.query_one(LoadsPlace)
    if app.place != "loads" and place.marked:
        place.mark(())
    return place, app.document.design


def _say_count(app: Ampledger, place: LoadsPlace) -> None:
    count = len(place.marked)
    app.say(
        f"{_rows(count)} marked: Del, x, d, shift+C and moving take them together · Esc forgets the marks"
        if count
        else "no row marked"
    )


def _rows(count: int) -> str:
    return f"{count} row{'' if count == 1 else 's'}"
