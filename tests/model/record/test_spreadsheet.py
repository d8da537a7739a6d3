"""The workbook, read back with openpyxl; its formulas are worked out here by rules of our own and held against the plan."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from model.plan import plan
from model.record.papers import job_of
from model.record.spreadsheet import xlsx
from model.record.tables import TABLES
from model.wiring.papers import PAPERS
from tests.model.record.reports import FORBIDDEN, HOSTILE, demo, demo_json, demonstration, odd_plans
from tests.model.record.test_diagram import crowded

Row = dict[str, Any]


@cache
def demo_book() -> Workbook:
    return load_workbook(io.BytesIO(xlsx(demo().plan, demo().year)))


def cells(sheet: Worksheet) -> list[dict[str, Cell]]:
    """The rows below the headings, up to the first empty one; the foot with its sums among them."""
    heads = [cell.value for cell in sheet[1]]
    found = []
    for row in sheet.iter_rows(min_row=2):
        if all(cell.value is None for cell in row):
            break
        found.append(dict(zip(heads, row, strict=True)))
    return found


def worked_out(sheet: Worksheet, value: Any) -> Any:
    """What a spreadsheet shows for a cell's content: the few signs and functions of ECMA-376, part 1, 18.17 that are used."""
    if not isinstance(value, str) or not value.startswith("="):
        return value
    words = value[1:].replace("$", "")
    assert re.fullmatch(r'(IF|SUM|[A-Z]{1,2}\d+|[\d.]+|""|[-+*/():,=])+', words), value

    def at(name: str) -> Any:
        found = worked_out(sheet, sheet[name].value)
        return 0 if found is None else found

    def total(first: str, last: str) -> float:
        shown = (worked_out(sheet, cell.value) for (cell,) in sheet[f"{first}:{last}"])
        return sum(one for one in shown if isinstance(one, int | float))

    def chosen(condition: bool, then: Any, other: Any) -> Any:
        return (then if condition else other)()

    words = re.sub(r"IF\((.*?)=(.*?),(.*?),(.*)\)", r"chosen((\1)==(\2),lambda:\3,lambda:\4)", words)
    words = re.sub(r"SUM\(([A-Z]+\d+):([A-Z]+\d+)\)", r"total('\1','\2')", words)
    words = re.sub(r"(?<!')\b([A-Z]{1,2}\d+)\b(?!')", r"at('\1')", words).replace('==("")', '==("" or 0)')
    return eval(words, {"__builtins__": {}, "at": at, "total": total, "chosen": chosen})


def shown(sheet: Worksheet) -> list[Row]:
    """The rows as a spreadsheet shows them."""
    return [{head: worked_out(sheet, cell.value) for head, cell in row.items()} for row in cells(sheet)]


def formulas(sheet: Worksheet) -> list[str]:
    return [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]


def exactly(value: Any) -> Any:
    """To the fifteen digits that a spreadsheet keeps (IEEE 754 doubles, written as decimals)."""
    return pytest.approx(value, rel=1e-15)


def test_there_is_a_sheet_for_every_table_of_the_plan():
    assert demo_book().sheetnames == [name.replace("-", " ") for name in TABLES]
    assert demo_book().sheetnames[:5] == ["loads", "months", "chemistries", "circuits", "schedule"]
    assert "shopping" in demo_book().sheetnames


def test_figures_are_numbers_and_their_units_stand_in_the_heads():
    heads = {str(cell.value) for sheet in demo_book() for cell in sheet[1]}
    assert heads >= {
        "Use (Wh a day)", "Use (Ah a day)", "Harvest (Wh a day)", "Mass (kg)", "Current (A)", "Cut length (m)",
    }  # fmt: skip
    numbers = 0
    for sheet in demo_book():
        for row in sheet.iter_rows(min_row=2):
            for cell in row:
                if isinstance(cell.value, str) and cell.data_type == "s" and sheet.title != "schedule":
                    assert not re.fullmatch(r"-?\d+\.\d+", cell.value), (sheet.title, cell.coordinate)
                numbers += cell.data_type == "n" and cell.value is not None
    assert numbers > 800


def test_loads_and_their_total_follow_from_live_formulas_and_are_those_of_the_plan():
    sheet, wanted = demo_book()["loads"], demo_json()["demand"]
    rows = shown(sheet)
    assert [row["Load"] for row in rows] == [*(load["name"] for load in wanted["loads"]), "Total"]
    for row, load in zip(rows, wanted["loads"], strict=False):
        assert row["Use (Wh a day)"] == pytest.approx(load["energy_wh_per_day"], rel=1e-12)
        assert row["Use (Ah a day)"] == pytest.approx(load["charge_ah_per_day"], rel=1e-12)
        assert row["Share (%)"] == pytest.approx(
            100 * load["energy_wh_per_day"] / wanted["energy_wh_per_day"], rel=1e-9
        )
    assert rows[-1]["Use (Wh a day)"] == pytest.approx(wanted["energy_wh_per_day"], rel=1e-9)
    assert rows[-1]["Use (Ah a day)"] == pytest.approx(wanted["charge_ah_per_day"], rel=1e-9)
    energies = [row["Use (Wh a day)"].value for row in cells(sheet)]
    assert (
        sum(str(one).startswith("=") for one in energies) >= len(energies) - 2
    )  # the rest are measured or of the program


def test_a_changed_hour_changes_the_sum():
    """What a live formula is for."""
    book = load_workbook(io.BytesIO(xlsx(demo().plan)))
    sheet = book["loads"]
    before, head = shown(sheet), cells(sheet)[1]
    assert head["Hours a day (h)"].value == 9 and head["Power of one (W)"].value == 20
    head["Hours a day (h)"].value = 10
    after = shown(sheet)
    assert after[1]["Use (Wh a day)"] == pytest.approx(before[1]["Use (Wh a day)"] * 10 / 9)
    assert after[-1]["Use (Wh a day)"] - before[-1]["Use (Wh a day)"] == pytest.approx(20 / 0.98)


def test_months_chemistries_and_circuits_are_those_of_the_plan():
    wanted, book = demo_json(), demo_book()
    months = shown(book["months"])
    assert len(months) == 12
    for row, sun, odds in zip(months, wanted["supply"]["months"], wanted["storage"]["months"], strict=True):
        assert row["Harvest (Wh a day)"] == exactly(sun["harvest_wh_per_day"])
        assert row["Income less use (Wh a day)"] == pytest.approx(
            sun["harvest_wh_per_day"] + sun["other_income_wh_per_day"] - sun["use_wh_per_day"]
        )
        assert row["Chance of an empty day (%)"] == pytest.approx(100 * odds["chance_of_empty_day"])
    for row, option in zip(shown(book["chemistries"]), wanted["storage"]["options"], strict=True):
        assert row["Capacity installed (Ah)"] == pytest.approx(option["installed_ah"])
        assert row["Chemistry"] == option["chemistry"] and row["Usable (Wh)"] == exactly(option["usable_wh"])
        assert row["Capacity installed (Wh)"] == pytest.approx(
            row["Capacity installed (Ah)"] * row["Nominal voltage (V)"]
        )
    circuits = shown(book["circuits"])
    for row, circuit in zip(circuits, wanted["wiring"]["circuits"], strict=False):
        drops = [point["drop_percent"] for point in circuit["points"] if point["drop_percent"] is not None]
        assert row["Key"] == circuit["id"] and row["Current (A)"] == exactly(circuit["current_a"])
        assert row["Fuse (A)"] == circuit["fuse_a"]
        assert row["Largest drop (%)"] == pytest.approx(max(drops))
        assert row["Length of its runs (m)"] == pytest.approx(sum(run["length_m"] for run in circuit["runs"]))
    assert circuits[-1]["Length of its runs (m)"] == pytest.approx(
        sum(run["length_m"] for circuit in wanted["wiring"]["circuits"] for run in circuit["runs"])
    )


def test_papers_stand_row_for_row_and_their_sums_are_right():
    for name, column, head in (
        ("schedule", "cut_m", "Cut length (m)"),
        ("cut-list", "used_m", "Used (m)"),
        ("ways", "load_a", "Current (A)"),
    ):
        made, rows = PAPERS[name].rows(job_of(demo().plan)), shown(demo_book()[name.replace("-", " ")])
        assert len(rows) == len(made) + 1
        for row, one in zip(rows, made, strict=False):
            assert row[head] == (None if (value := getattr(one, column)) is None else exactly(value))
        assert rows[-1][head] == pytest.approx(sum(getattr(one, column) or 0 for one in made))


def test_a_price_typed_on_the_shopping_list_is_added_up():
    sheet = load_workbook(io.BytesIO(xlsx(demo().plan)))["shopping"]
    rows = cells(sheet)
    assert shown(sheet)[-1]["Cost"] == 0 and shown(sheet)[0]["Cost"] == ""
    for row in (rows[0], rows[-2]):
        row["Price of one"].value = 2.5
    cost = [one["Cost"] for one in shown(sheet)]
    needed = [rows[at]["Needed"].value + (rows[at]["Spare"].value or 0) for at in (0, -2)]
    assert (cost[0], cost[-2]) == (2.5 * needed[0], 2.5 * needed[1])
    assert cost[-1] == pytest.approx(2.5 * sum(needed))


def test_who_works_nothing_out_sees_the_figures_as_well():
    """A preview, or a program that reads the values alone."""
    kept = load_workbook(io.BytesIO(xlsx(demo().plan, demo().year)), data_only=True)
    for sheet in demo_book():
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    wanted = worked_out(sheet, cell.value)
                    assert (kept[sheet.title][cell.coordinate].value or 0) == (
                        pytest.approx(wanted or 0, rel=1e-9, abs=1e-9)
                    )


def test_what_a_person_typed_becomes_no_formula():
    names = (*(f"{sign}1+1" for sign in "=+-@"), HOSTILE, "=HYPERLINK(A1)")
    before = demonstration()
    loads = tuple(replace(before.loads[1], name=name, note=name) for name in names)
    made = plan(replace(before, name="=1", loads=loads, circuits=(), stops=()))
    sheet = load_workbook(io.BytesIO(xlsx(made)))["loads"]
    for name, row in zip(names, cells(sheet), strict=False):
        for head in ("Load", "Note"):
            cell = row[head]
            assert cell.data_type == "s" and name in cell.value
            if head == "Load":
                assert cell.value == name and cell.quotePrefix == (name[0] in "=+-@")
    assert not [one for one in formulas(sheet) if "HYPERLINK" in one or one.startswith("=1+")]


@pytest.mark.parametrize("name", odd_plans())
def test_a_design_at_the_edge_has_a_workbook_without_errors(name):
    book = load_workbook(io.BytesIO(xlsx(odd_plans()[name])))
    assert "loads" in book.sheetnames
    for sheet in book:
        for row in shown(sheet):
            for value in row.values():
                assert not isinstance(value, float) or abs(value) < 1e12


def test_twenty_five_circuits_are_all_there():
    book = load_workbook(io.BytesIO(xlsx(crowded(25))))
    keys = [row["Key"].value for row in cells(book["circuits"])]
    assert len(keys) > 26 and keys[-1] == "Total"
    assert sum(row["Way"].value is not None for row in cells(book["circuits"])) == 25


def test_it_prints_on_paper_and_keeps_its_heads_in_sight():
    for sheet in demo_book():
        assert sheet.freeze_panes == "B2" and sheet.print_title_rows == "$1:$1"
        assert sheet.page_setup.orientation == "landscape" and sheet.sheet_properties.pageSetUpPr.fitToPage
        for letter, kept in sheet.column_dimensions.items():
            assert 7 <= kept.width <= 62, (sheet.title, letter)


def test_it_promises_nothing():
    told = " ".join(str(cell.value) for sheet in demo_book() for row in sheet.iter_rows() for cell in row if cell.value)
    assert not FORBIDDEN.findall(told)
