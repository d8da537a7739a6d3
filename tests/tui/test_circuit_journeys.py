"""More of the Circuits: what the program made and what was entered, odd text, papers by whole columns, paths, what is drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from textual.pilot import Pilot

from model import shelf
from model.design import Circuit, Design, Reading, Run, Tap
from model.plan import plan
from model.record.files import open_design
from model.wiring.papers import PAPERS, Job
from tests.tui.conftest import opened, press, screen_text, settled
from tui import circuit_edits, looking
from tui.app import Ampledger
from tui.commands import EVERY_COMMAND
from tui.screens.circuit_form import CircuitForm
from tui.screens.circuit_list import columns_for, names_fitting
from tui.screens.circuit_tree import lines
from tui.screens.circuit_words import figure, keys_line
from tui.screens.circuits import LIST, ONE, CircuitsPlace
from tui.screens.papers import in_sight, pages, paper_columns
from tui.widgets.drop_plot import Stop, Way, draw_way
from tui.widgets.table_rows import Column

LAMPS = "Ceiling lamps"
KEY = next(command.keys for command in EVERY_COMMAND if command.arguments == ("circuits",))


def design(pilot: Pilot[None]) -> Design:
    assert isinstance(pilot.app, Ampledger) and pilot.app.document is not None
    return pilot.app.document.design


def circuit(pilot: Pilot[None], name: str) -> Circuit:
    return next(one for one in design(pilot).circuits if one.name == name)


def path_of(pilot: Pilot[None], name: str) -> str:
    return f"circuits/{[one.name for one in design(pilot).circuits].index(name)}"


def row(place: CircuitsPlace, table: str, key: str) -> dict[str, str]:
    """What a row of a table shows, cell by cell."""
    tables = {"list": place.listing.table, "tree": place.one.table, "bench": place.bench.table}
    return dict(tables[table]._shown_rows[key].cells)


async def until(pilot: Pilot[None], true: Callable[[], bool]) -> None:
    """Wait until it is true: messages of the screen take their time on a busy machine."""
    for _ in range(300):
        await pilot.pause(0.01)
        if true():
            return
    raise AssertionError("it did not come about")


async def on_circuits(pilot: Pilot[None], name: str = "") -> CircuitsPlace:
    """The Circuits, one of them open where it is named."""
    await press(pilot, KEY)
    place = pilot.app.query_one(CircuitsPlace)
    if name:
        assert place.open(path_of(pilot, name))
        await settled(pilot)
    return place


async def undo_all(pilot: Pilot[None]) -> None:
    while pilot.app.document.dirty:
        await press(pilot, "u")


# -- the list ---------------------------------------------------------------------------------------------------------


async def test_what_the_program_made_is_entered_by_an_edit_and_made_again_when_that_is_undone():
    async with opened() as pilot:
        place = await on_circuits(pilot)
        assert not any(one.kind == "array" for one in design(pilot).circuits)
        place.show_list("array")
        await press(pilot, "delete")
        assert "makes this circuit" in screen_text(pilot.app)
        await press(pilot, "enter")
        await until(pilot, lambda: place.level == ONE)
        assert "made by the program" in screen_text(pilot.app)
        await press(pilot, "6", "enter")
        await until(pilot, lambda: any(one.kind == "array" for one in design(pilot).circuits))
        await settled(pilot)
        assert design(pilot).circuits[-1].runs[0].length_m == 6.0
        assert place.open_path == f"circuits/{len(design(pilot).circuits) - 1}"
        assert "made by the program" not in screen_text(pilot.app)
        await press(pilot, "u")
        assert place.level == ONE and "made by the program" in screen_text(pilot.app)


# -- inside a circuit -------------------------------------------------------------------------------------------------


async def test_a_figure_of_a_point_says_its_short_circuit_in_the_line_below():
    async with opened() as pilot:
        place = await on_circuits(pilot, LAMPS)
        place.one.table.put_cursor("runs/2", "volts")
        await until(pilot, lambda: "a short here draws" in screen_text(pilot.app))
        most_a = pilot.app.plan.wiring.circuit("L1").wired.short[3].most_a
        assert f"draws {most_a:.3g} A at most" in screen_text(pilot.app) and "the 2 A fuse opens" in screen_text(
            pilot.app
        )
        place.one.table.put_cursor("runs/2", "length")
        await until(pilot, lambda: "a short here draws" not in screen_text(pilot.app))


ODD = (
    ("length", "fifty", "length"),
    ("length", "-3", ""),
    ("length", "9" * 30, ""),
    ("conductor", "17 mm2", "17 mm2"),
    ("fuse", "x", ""),
    ("to", "dimmer", "dimmer already"),
)


async def test_odd_text_is_answered_in_place_and_nothing_is_lost():
    async with opened() as pilot:
        place = await on_circuits(pilot, LAMPS)
        before, table = design(pilot), place.one.table
        for column, text, words in ODD:
            table.put_cursor("runs/1", column)
            await pilot.pause()
            table.begin_edit(text)
            await press(pilot, "enter")
            assert design(pilot) == before
            assert table.message and words in table.message
            assert [one[2] for one in table.pending] == [text]
            await press(pilot, "escape")
            assert not table.pending and place.level == ONE
            assert row(place, "tree", "runs/1")["length"] == "1.8"


# -- papers and bench -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_paper_is_shown_by_whole_columns_and_none_is_left_out(width: int):
    made = plan(open_design(shelf.path("heron.toml")).design)
    for paper in PAPERS.values():
        table = paper.table(Job(made.wiring, made.design, made.storage.chosen))
        found = pages(paper_columns(table, width - 2), width - 2)
        assert all(sum(one.width + 1 for one in page) < width for page in found)
        filled = {one.heading for at, one in enumerate(paper.columns) if any(line[at] for line in table[1:])}
        assert filled <= {column.label for page in found for column in page}
        assert {page[0].label for page in found} == {paper.columns[0].heading}


async def test_the_arrows_go_on_to_the_next_columns_of_a_paper_and_back():
    async with opened() as pilot:
        place = await on_circuits(pilot)
        await press(pilot, "v")
        table = place.papers.table
        await until(pilot, lambda: table.has_focus)

        def heads() -> list[str]:
            return [str(column.label).strip() for column in table.columns.values()]

        first = heads()
        await press(pilot, *["right"] * len(first))
        assert heads()[0] == first[0] and not set(heads()[1:]) & set(first)
        await press(pilot, *["left"] * 2)
        assert heads() == first
        await press(pilot, "escape")
        assert place.level == LIST


# -- the way about ----------------------------------------------------------------------------------------------------


PATHS = {
    "circuits/4/runs/2/length_m": ("runs/2", "length"),
    "circuits/4/runs/1/conductor": ("runs/1", "conductor"),
    "circuits/4/taps/3/quantity": ("taps/3", "length"),
    "circuits/4/taps/1/point": ("taps/1", "conductor"),
    "circuits/4/taps/0/load": ("taps/0", "to"),
    "circuits/4/runs/0/end": ("runs/0", "to"),
}
IN_FORMS = ("circuits/4/way", "circuits/4/runs/1/connectors/0/rating_a", "wiring/panel_ways")


async def test_a_path_leads_to_its_cell_or_to_the_form_that_has_its_field():
    async with opened() as pilot:
        for path, cell in PATHS.items():
            await looking.go_to(pilot.app, path)
            await settled(pilot)
            place = pilot.app.query_one(CircuitsPlace)
            assert pilot.app.place == "circuits" and place.one.table.cursor == cell
            assert not pilot.app.query("SunPlace, YearPlace, BatteryPlace"), "the other places are not made on the way"
        for path in IN_FORMS:
            await looking.go_to(pilot.app, path)
            await until(pilot, lambda: isinstance(pilot.app.screen, CircuitForm))
            await until(pilot, lambda path=path: pilot.app.screen._fields.cursor.row_key == path)
            await press(pilot, "escape")


async def test_nothing_breaks_with_no_circuits_no_loads_and_odd_names():
    async with opened() as pilot:
        place = await on_circuits(pilot)
        pilot.app.edit(replace(design(pilot), circuits=(), loads=()), "all gone")
        await settled(pilot)
        for key in ("a", "d", "delete", "J", "e", "j", "t", "w"):
            await pilot.press(key, "escape")
        runs = (Run("a", "b"), Run("b", "a"), Run("q", "z"))
        odd = Circuit("[bold]x[/] \N{SNOWMAN}" * 5, runs=runs, taps=(Tap("none", "nowhere"),))
        odd = replace(odd, readings=(Reading(point="nowhere", far_v=3.0),))
        pilot.app.edit(replace(design(pilot), circuits=(odd, Circuit())), "odd")
        await settled(pilot)
        await press(pilot, KEY)
        for which in ("circuits/1", "circuits/0"):
            assert place.open(which)
            await pilot.press(*["v", "down"] * 5)
        assert "? z" in screen_text(pilot.app) and "[bold]x[/]" in screen_text(pilot.app)


# -- what is drawn, without the program ---------------------------------------------------------------------------------


def test_a_tree_is_drawn_with_its_longest_way_straight_down():
    points = [("panel", "a"), ("a", "b"), ("a", "x"), ("b", "c")]
    drawn = [line.strokes + line.point for line in lines(points, "panel", {})]
    assert drawn == ["■ panel", "● a", "├─● x", "● b", "● c"]


def test_the_plot_names_its_ends_and_its_limit():
    way = Way(
        [Stop("panel", 0.0, 12.8), Stop("mid", 2.0, 12.6), Stop("lamp", 5.0, 12.5)], 12.8, 12.45, "limit", "title"
    )
    text = "\n".join(draw_way(way, 70, 14).lines())
    assert "title" in text and "panel" in text and "lamp 12.50 V" in text and "limit: 12.45 V" in text
    assert draw_way(Way(), 70, 14).lines() and draw_way(way, 3, 2).lines()


@pytest.mark.parametrize(
    ("amps", "text"),
    [(0.0, "0"), (0.019, "0.0190"), (0.861, "0.861"), (9.996, "10.0"), (22.04, "22.0"), (2590.0, "2590")],
)
def test_amperes_stand_in_a_column(amps: float, text: str):
    assert figure(amps) == text


def test_what_has_no_room_is_left_out_whole():
    assert keys_line(("Enter opens", "n new", "v papers"), 19) == "Enter opens · n new"
    assert names_fitting(("Fridge", "Heater", "Pump"), 17) == "Fridge, Heater +1"
    assert names_fitting(("A very long name", "x"), 8) == "2 loads"
    assert list(in_sight([10, 8, 10, 10], 0, 30)) == [0, 1, 2] and list(in_sight([10, 8, 10, 10], 3, 30)) == [1, 2, 3]
    wide = [Column(name, name, 10) for name in "abcde"]
    assert [[one.key for one in page] for page in pages(wide, 33)] == [["a", "b", "c"], ["a", "d", "e"]]
    for width in range(60, 200, 7):
        assert sum(column.width + 1 for column in columns_for(width)) + 1 <= width


def test_a_free_way_is_the_lowest_that_nobody_has():
    circuits = (Circuit("a", way=1), Circuit("b", way=3), Circuit("c", kind="main", way=2))
    assert circuit_edits.free_way(Design(circuits=circuits)) == 2
