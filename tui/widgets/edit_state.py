"""The edit under way in a table's cell, and which keys begin one."""

from __future__ import annotations

from dataclasses import dataclass

from tui.widgets.edit_buffer import EditBuffer
from tui.widgets.row_table import Cell
from tui.widgets.table_rows import Column


@dataclass(slots=True)
class Edit:
    """Text typed into a cell and not yet taken; `message` says why not, `told` whether the owner heard of it."""

    cell: Cell
    buffer: EditBuffer
    original: str
    message: str = ""
    told: bool = False


def letter(character: str | None) -> bool:
    """Whether a key is text other than blanks."""
    return bool(character) and str(character).isprintable() and not str(character).isspace()


def anything(_column: Column, character: str) -> bool:
    """Whatever is typed begins an edit: in dialogs, where no letter is a command."""
    return letter(character)


def digits_only(_column: Column, character: str) -> bool:
    """A digit or sign begins an edit; letters are left to the program's keys, in every table alike."""
    return character.isdigit() or character in ".,+-−"


def typing_starts_edit(column: Column, character: str) -> bool:
    """Whether typing `character` on an editable cell begins an edit; if not, the program's keys get it.

    Digits, signs and decimal marks always do, letters in text columns, and the first letter of a choice.
    """
    if digits_only(column, character):
        return True
    if column.takes_letters:
        return letter(character)
    return any(choice.startswith(character) for choice in column.choices or ())
