"""Cells pasted from a spreadsheet into the load table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from model import edit
from model.design import Design, Load
from model.quantities import Refusal
from tui.screens.load_cells import load_with_text
from tui.screens.paste_head import by_units, head_of

PASTE_ORDER = ("name", "quantity", "power", "hours_per_day", "duty", "when", "months")


def pasted(
    design: Design, index: int | None, column: str, rows: Sequence[Sequence[str]]
) -> tuple[Design, int, list[str]]:
    """The design with `rows` pasted where the cursor stands, how many were taken, and what was refused, in words.

    `index` is the load under the cursor, None below the last one. Rows that begin with a name are new loads and go below
    the cursor; a first line of headings says which column is which, or is passed over. From any other column on, cells replace
    what is there, row by row, with new loads where the table ends.
    """
    loads = list(design.loads)
    columns = PASTE_ORDER[PASTE_ORDER.index(column) :]
    at = len(loads) if index is None else index
    head = head_of(rows[0]) if column == "name" else None
    if column == "name":
        rows = rows[1:] if head is not None or _is_heading(rows[0]) else rows
        if not rows:
            return design, 0, []
        head = head or by_units(rows)
        if index is not None and loads[index] == Load():
            del loads[index]  # a row just begun is what the paste is for
        elif index is not None:
            at += 1
        taken = rows[: max(0, edit.MOST_ROWS - len(loads))]
        loads[at:at] = [Load() for _ in taken]
    else:
        taken = rows[: max(0, edit.MOST_ROWS - at)]
        loads += [Load() for _ in range(at + len(taken) - len(loads))]
    refused = [f"rows beyond {edit.MOST_ROWS}"] if len(taken) < len(rows) else []
    refused += [f"column {text}" for text in head.left] if head is not None else []
    for row, cells in enumerate(taken, at):
        named = head.cells(cells) if head is not None else dict(zip(columns, cells, strict=False))
        loads[row], wrong = _with_cells(loads[row], tuple(named), tuple(named.values()))
        refused += [f"{loads[row].name or f'row {row + 1}'}: {words}" for words in wrong]
    return replace(design, loads=tuple(loads)), len(taken), refused


def words(count: int, refused: Sequence[str]) -> str:
    """What a paste did, for the message line and for undo."""
    done = f"pasted {count} row{'' if count == 1 else 's'}"
    if not refused:
        return done
    columns = [text.removeprefix("column ") for text in refused if text.startswith("column ")]
    cells = cells_of(refused)
    if columns:
        done += f", without {', '.join(columns)}"
    return f"{done}, {len(cells)} cell{'' if len(cells) == 1 else 's'} left out" if cells else done


def cells_of(refused: Sequence[str]) -> list[str]:
    """Of what was refused the cells; columns that are none of ours are named in `words`."""
    return [text for text in refused if not text.startswith("column ")]


def _with_cells(load: Load, columns: Sequence[str], cells: Sequence[str]) -> tuple[Load, list[str]]:
    """The load with `cells` put in, and why some were not; empty ones leave what is there."""
    refused = []
    for column, text in zip(columns, cells, strict=False):
        try:
            load = load_with_text(load, column, text) if text.strip() else load
        except Refusal as refusal:
            refused.append(str(refusal))
    return load, refused


def _is_heading(cells: Sequence[str]) -> bool:
    """Whether a line that begins with a name is headings: it has further cells, and none of them has a digit or makes sense."""
    further = [text for text in cells[1 : len(PASTE_ORDER)] if text.strip()]
    figures = any(character.isdigit() for text in further for character in text)
    return bool(further) and not figures and len(_with_cells(Load(), PASTE_ORDER[1:], cells[1:])[1]) == len(further)
