"""A table as CSV by RFC 4180: one line of heads, figures with fifteen digits, so that 17.6 is not 17.599999999999998."""

from __future__ import annotations

import csv
import io
import re

from model.record.report.document import Table, Text, plain

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins so for a formula (OWASP, CSV injection); names come from other people's designs."""


MISREAD = re.compile(r"[0-9]{1,2}[-/][0-9]{1,2}(?:[-/][0-9]{2,4})?|[0-9]+/[0-9]+|0[0-9]+|[0-9]+[eE][0-9]+")
"""Texts that a spreadsheet takes for a date or a number on a double click: the gauge 1/0, pins 1-2, a part number 0012 or 1E5."""


def as_csv(table: Table) -> str:
    """The table without its total, so that whoever adds a column up counts nothing twice."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([column.head for column in table.columns])
    for row in table.rows[: len(table.rows) - table.total]:
        writer.writerow([_cell(cell) for cell in row])
    return out.getvalue()


def _cell(cell: Text) -> str:
    """The figure in the unit of the head, where the cell is one.

    A text that a spreadsheet would take for a formula, a date or a number gets an apostrophe.
    """
    if len(cell) == 1 and cell[0].value is not None and not isinstance(cell[0].value, str):
        return f"{100 * cell[0].value if cell[0].percent else cell[0].value:.15g}"
    words = plain(cell)
    formula = words.startswith(FORMULA_SIGNS) and words != "-"
    return f"'{words}" if formula or MISREAD.fullmatch(words) else words
