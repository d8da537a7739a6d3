"""The plan as a workbook: a sheet for each table, figures as figures, and formulas where a person would look for one."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from math import fsum, isclose
from typing import TYPE_CHECKING, Any

from model.record.formula_values import with_values
from model.record.report.csv import FORMULA_SIGNS
from model.record.report.document import printable
from model.record.tables import TABLES, Rule, Table, value_of
from model.wiring.papers import Column

if TYPE_CHECKING:
    from openpyxl.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

    from model.plan import Plan
    from model.wiring.papers.paper import Value
    from model.year import Year

WIDEST, NARROWEST = 60, 7  # of a column, in letters
LONGEST_TEXT = 32_767  # letters in a cell, ECMA-376; a longer one makes the file unreadable
MORE_THAN_ONE_PAGE = 0  # "as many pages high as it takes", for the page set-up
_FIELD = re.compile(r"\{(\w+)(\.total)?\}")


def xlsx(plan: Plan, year: Year | None = None) -> bytes:
    """The workbook of all tables that have rows; with the odds where a simulated `year` is given."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    book.properties.title = printable(plan.design.name)
    book.properties.creator = "Ampledger"
    values = []
    for table in TABLES.values():
        rows = table.rows(plan, year)
        if rows or table.name == "loads":  # a workbook has a sheet at least
            values.append(_sheet(book.create_sheet(table.name.replace("-", " ")), table, rows))
    out = io.BytesIO()
    book.save(out)
    return with_values(out.getvalue(), values)


def _sheet(sheet: Worksheet, table: Table, rows: Sequence[Any]) -> dict[str, float | str]:
    """Fill the sheet; answers what its formulas come to, by cell."""
    from openpyxl.styles import Alignment, Border, Font, Side
    from openpyxl.utils import get_column_letter

    columns = (*table.columns, *table.to_fill)
    letters = {column.field: get_column_letter(at) for at, column in enumerate(columns, start=1)}
    bold, top = Font(bold=True), Alignment(vertical="top", wrap_text=True)
    for at, column in enumerate(columns, start=1):
        cell = sheet.cell(1, at, column.heading)
        cell.font, cell.alignment, cell.border = bold, top, Border(bottom=Side("thin"))
    widths = [_heading_width(column.heading) for column in columns]
    last = len(rows) + 1
    values: dict[str, float | str] = {}
    for number, row in enumerate(rows, start=2):
        for at, column in enumerate(columns, start=1):
            value = value_of(column, row) if at <= len(table.columns) else None
            cell = sheet.cell(number, at)
            rule = table.rules.get(column.field)
            if rule is not None and _holds(rule, row, value):
                cell.value = "=" + _written(rule.formula, row, letters, number, last)
                values[cell.coordinate] = value if isinstance(value, int | float) else ""
            elif value is not None:
                _put(cell, value)
            if not isinstance(value, str):
                cell.number_format = _format(column, value)
            widths[at - 1] = max(widths[at - 1], min(len(column.text(row)), WIDEST) if value is not None else 0)
            if isinstance(value, str) and len(value) > WIDEST:
                cell.alignment = top
    if table.sums and rows:
        values |= _total(sheet, table, rows, letters)
    for at, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(at)].width = max(NARROWEST, width + 2)
    for at, remark in enumerate(table.remarks, start=last + 3):
        _put(sheet.cell(at, 1), remark)
    _page(sheet, table)
    return values


def _heading_width(heading: str) -> int:
    """Headings may break into two lines at their words."""
    return max(max(map(len, heading.split())), (len(heading) + 1) // 2 + 1)


def _page(sheet: Worksheet, table: Table) -> None:
    """Heads that stay in sight, on the screen and on paper."""
    sheet.freeze_panes = "B2"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, MORE_THAN_ONE_PAGE
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.center.text = f"{table.title}, &P / &N"


def _total(sheet: Worksheet, table: Table, rows: Sequence[Any], letters: dict[str, str]) -> dict[str, float]:
    """The foot of the table: sums as formulas; answers what they come to, by cell."""
    from openpyxl.styles import Border, Font, Side

    foot, sums = len(rows) + 2, {}
    label = sheet.cell(foot, 1, "Total")
    cells = [label]
    for column in (*table.columns, *table.to_fill):
        if column.field in table.sums:
            letter = letters[column.field]
            cell = sheet[f"{letter}{foot}"]
            cell.value, cell.number_format = f"=SUM({letter}2:{letter}{foot - 1})", _format(column, 0.0)
            sums[cell.coordinate] = 0.0 if column in table.to_fill else _sum(column, rows)
            cells.append(cell)
    for cell in cells:
        cell.font, cell.border = Font(bold=True), Border(top=Side("thin"))
    return sums


def _sum(column: Column, rows: Sequence[Any]) -> float:
    return fsum(value for row in rows if isinstance(value := value_of(column, row), int | float))


def _holds(rule: Rule, row: object, value: Value) -> bool:
    """Whether the rule makes the plan's figure; one without a check holds always."""
    if rule.value is None:
        return True
    ruled = rule.value(row)
    return ruled is not None and isinstance(value, int | float) and isclose(ruled, value, rel_tol=1e-9, abs_tol=1e-9)


def _written(formula: str, row: object, letters: dict[str, str], number: int, last: int) -> str:
    """The formula with its cells: those of its row, and of the total for {field.total}."""

    def cell(found: re.Match[str]) -> str:
        name, total = found[1], found[2]
        if name not in letters:
            return repr(float(getattr(row, name))).removesuffix(".0")
        return f"{letters[name]}${last + 1}" if total else f"{letters[name]}{number}"

    return _FIELD.sub(cell, formula)


def _put(cell: Cell, value: Value) -> None:
    """A value as what it is: a text that begins like a formula stays a text, here and when somebody edits the cell."""
    if isinstance(value, bool):
        cell.value = "yes" if value else "no"
    elif isinstance(value, str):
        words = printable(value)[:LONGEST_TEXT]
        cell.value, cell.data_type = words, "s"  # openpyxl takes what begins with "=" for a formula
        if words.startswith(FORMULA_SIGNS):
            cell.quotePrefix = True
    else:
        cell.value = value


def _format(column: Column, value: Value) -> str:
    if isinstance(value, int):
        return "0"
    return f"0.{'0' * column.digits}" if column.digits else "0"
