"""One name for each figure: whatever leaves the program is read, and each figure that has a key is looked for under its name."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from functools import cache

import pytest
from openpyxl import load_workbook

from model import names
from model.compare import compare
from model.names import NAMES, Name, name_of
from model.quantities import percent, show
from model.record.as_text import as_text
from model.record.report.document import Paragraph, Span, Table, Text, plain
from model.record.spreadsheet import xlsx
from model.record.tables import TABLES
from model.record.words import verdict
from tests.model.record.reports import demo, demo_document, demo_json, demo_plan

GENERAL = ("Figure", "Beside it")  # heads of columns whose rows say what they hold


def called(key: str, words: str) -> bool:
    """Whether `words` call the figure with this key by its name; a cautious one by that word."""
    name = name_of(key)
    assert name is not None
    known = (name.full, name.short, *(("cautious",) if "cautious" in key else ()))
    return any(re.search(rf"(?<!\w){re.escape(each)}(?!\w)", words, re.IGNORECASE) for each in known)


def test_no_key_and_no_name_stands_for_two_figures() -> None:
    ends = [end for each in NAMES for end in each.keys]
    assert len(ends) == len(set(ends)) and len({each.full for each in NAMES}) == len(NAMES) > 35
    assert name_of("supply.months.11.harvest_wh_per_day") is names.HARVEST
    assert name_of("storage.LFP.autonomy_days") is names.AUTONOMY
    assert name_of("wiring.L1.run.0.ohm") is None


def test_every_key_that_is_declared_is_one_of_the_json_the_steps_or_the_spreadsheet() -> None:
    there = {".".join(key) for key in _paths(demo_json())} | {
        _without_numbers(step["key"]) for step in demo_json()["steps"]
    }
    there |= {column.field for table in TABLES.values() for column in table.columns}
    for each in NAMES:
        for end in each.keys:
            assert any(path == end or path.endswith(f".{end}") for path in there), (each.full, end)


def _paths(data: object, before: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """The keys of all that the JSON holds, without the numbers of rows."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield (*before, key)
            yield from _paths(value, (*before, key))
    elif isinstance(data, list):
        for value in data:
            yield from _paths(value, before)


def _without_numbers(key: str) -> str:
    return ".".join(part for part in key.split(".") if not part.isdigit())


def test_the_working_calls_each_figure_by_its_name() -> None:
    known = [step for step in demo_json()["steps"] if name_of(step["key"])]
    assert len(known) > 200
    for step in known:
        assert called(step["key"], step["label"]), (step["key"], step["label"])


def test_the_report_calls_each_figure_by_its_name() -> None:
    figures = [(key, words) for block in demo_document().blocks() for key, words in _figures(block)]
    assert len(figures) > 300 and {name_of(key) for key, _ in figures} >= set(KNOWN_TO_THE_REPORT)
    for key, words in figures:
        assert called(key, words), (key, words)


KNOWN_TO_THE_REPORT = (
    names.USE, names.PEAK, names.SURGE, names.FLAT, names.PANEL, names.YIELD, names.TEMPERATURE, names.HARVEST,
    names.OTHER_INCOME, names.ARRAY, names.ARRAY_NEEDED, names.ARRAY_NEEDED_FOR_REST, names.CAPACITY_NEEDED, names.INSTALLED,
    names.USABLE, names.AUTONOMY, names.AUTONOMY_ASKED, names.MASS, names.LIFE, names.CHANCE, names.UNMET, names.STATE_OF_CHARGE,
    names.CURRENT, names.FUSE, names.VOLTS, names.DROP,
)  # fmt: skip


def _figures(block: object) -> Iterator[tuple[str, str]]:
    """Key of each named figure of a block, with the words that say what it is."""
    if isinstance(block, Paragraph):
        yield from ((span.key, plain(block.text)) for span in block.text if _named(span))
    elif isinstance(block, Table):
        for row in block.rows:
            for column, cell in zip(block.columns, row, strict=True):
                for at, span in enumerate(cell):
                    if _named(span) and column.head in GENERAL:
                        yield span.key, f"{plain(row[0])}; {_around(cell, at)}"
                    elif _named(span):
                        yield span.key, column.head if cell is not row[0] else plain(cell)


def _named(span: Span) -> bool:
    return bool(span.key) and name_of(span.key) is not None


def _around(cell: Text, at: int) -> str:
    """The words before and behind a figure, as far as the next one."""
    return " ".join(span.text for span in cell[max(0, at - 1) : at + 2] if not span.key)


@cache
def _book() -> dict[str, list[str]]:
    sheets = load_workbook(io.BytesIO(xlsx(demo_plan(), demo().year)), read_only=True)
    return {sheet.title: [str(cell.value) for cell in next(sheet.iter_rows(max_row=1))] for sheet in sheets}


def test_the_spreadsheet_calls_each_column_by_its_name() -> None:
    checked = 0
    for table in TABLES.values():
        heads = _book()[table.name.replace("-", " ")]
        for column, head in zip(table.columns, heads, strict=False):
            if name_of(column.field) is not None:
                assert called(column.field, head), (table.name, column.field, head)
                checked += 1
    assert checked > 30


def _row_of(section: str, begins: str) -> dict[str, str]:
    """A row of a table of the plan as text, by its heads; figures end where their heads end."""
    lines = _text().split(section, 1)[1].splitlines()
    row = next(index for index, line in enumerate(lines) if line.startswith(begins))
    head = next(line for line in reversed(lines[:row]) if re.match(r"Load |Month |Chemistry |Key ", line))
    ends = {found[0]: found.end() for found in re.finditer(r"\S+(?: \S+)*", head)}
    return {name: lines[row][:end].split()[-1] for name, end in ends.items() if lines[row][end : end + 1] in ("", " ")}


@cache
def _text() -> str:
    return as_text(demo_plan())


def test_the_plan_as_text_has_each_figure_under_its_name_flush_right() -> None:
    data = demo_json()
    december, lfp, lamps = data["supply"]["months"][11], data["storage"]["options"][0], data["wiring"]["circuits"][5]
    total = _row_of("LOADS", "Total")
    assert total["use Wh"] == show(data["demand"]["energy_wh_per_day"], "energy", unit=False)
    assert total["use Ah"] == show(data["demand"]["charge_ah_per_day"], "charge", unit=False)
    row = _row_of("SUN", "Dec")
    for name in (
        names.FLAT,
        names.FLAT_CAUTIOUS,
        names.PANEL,
        names.YIELD,
        names.HARVEST,
        names.OTHER_INCOME,
        names.USE,
    ):
        assert row[name.small_head] == show(december[_key_in(december, name)], "number"), name.full
    row = _row_of("BATTERY", "LFP")
    for name in (names.CAPACITY_NEEDED, names.USABLE, names.MASS):
        assert row[name.small_head] == show(lfp[_key_in(lfp, name)], "number"), name.full
    row = _row_of("CIRCUITS", "L1")
    assert row["current A"] == show(lamps["current_a"], "current", unit=False)
    assert row["fuse A"] == f"{lamps['fuse_a']:g}"
    drop = max(point["drop_percent"] for point in lamps["points"]) / 100
    assert row["largest drop %"] == percent(drop, 1).removesuffix(" %")


def _key_in(data: dict[str, object], name: Name) -> str:
    """The key of a figure in a part of the JSON; of several (Wh, Ah) the one in the unit of the name."""
    keys = [key for key in data if any(end.split(".")[-1] == key for end in name.keys)]
    return next((key for key in keys if f"_{name.unit.lower()}" in key), keys[0])


def test_the_verdict_calls_each_figure_by_its_name() -> None:
    for figure in verdict(demo_plan()):
        if name_of(figure.key) is names.COVERAGE:
            assert "cover" in figure.text  # it names the sources of the income
        elif name_of(figure.key) is not None:
            assert called(figure.key, figure.text), figure


@pytest.mark.parametrize(
    ("part", "key", "kind"),
    [
        ("Verdict", "demand.charge_ah_per_day", "charge"), ("Battery", "storage.options.0.capacity_needed_ah", "charge"),
        ("Battery", "storage.options.0.installed_ah", "charge"), ("Battery", "storage.options.0.usable_wh", "energy"),
        ("Battery", "storage.options.0.mass_kg", "mass"), ("Array", "supply.array_w", "power"),
        ("Array", "supply.harvest_wh_per_day", "energy"), ("Array", "supply.other_income_wh_per_day", "energy"),
        ("Array", "supply.array_needed_w", "power"), ("Array", "supply.controller_a", "current"),
    ],
)  # fmt: skip
def test_two_designs_are_compared_under_the_same_names(part: str, key: str, kind: str) -> None:
    value = demo_json()
    for step in key.split("."):
        value = value[int(step)] if isinstance(value, list) else value[step]
    rows = [row for row in compare(demo_plan(), demo_plan()) if row.part == part and row.here == show(value, kind)]
    assert any(called(key, row.label) for row in rows), rows
