"""Circuits by keyboard alone: the list, the tree and its volts, a short circuit, the papers, the bench, the way to the loads."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from model import shelf
from model.record.files import open_design
from tests.tui.conftest import WIDE, opened, press, screen_text, settled, type_text
from tui.screens import circuit_list, circuit_rows
from tui.screens.circuits import ONE, CircuitsPlace
from tui.screens.dialog import Dialog

LAMPS = "circuits/4"
"""The demonstration's ceiling lamps: six of 1.75 W and a dimmer on one trunk from the fuse panel."""
LAST = "runs/6"
"""Its run to the last lamp."""
OHM_PER_M = 0.0260
"""Of 0.75 mm2 at 20 degrees: IEC 60228 table 3, class 5, plain copper: 26.0 ohm/km."""


def place(app) -> CircuitsPlace:
    return app.query_one(CircuitsPlace)


def tree(app):
    return place(app).one.table


def cell(table, row: str, column: str) -> str:
    """What a cell shows."""
    return table._shown_rows[row].cells.get(column, "")


def volts(app, row: str = LAST) -> float:
    return float(cell(tree(app), row, "volts"))


def lamps(app):
    """The circuit of the ceiling lamps as it stands in the design."""
    return app.document.design.circuits[4]


async def open_lamps(pilot):
    """The program with the ceiling lamps open, the cursor on the length of their first run."""
    await pilot.press("i")
    await pilot.pause()
    assert place(pilot.app).open(LAMPS)
    await pilot.pause()
    return pilot.app


async def test_a_longer_cable_dims_the_last_lamp_at_once_and_undo_lights_it_again():
    async with opened(size=WIDE) as pilot:
        app = pilot.app
        await pilot.press("i")
        await pilot.press("down", "down", "down", "down", "down", "enter")
        assert place(app).level == ONE and "L1 Ceiling lamps" in screen_text(app)
        before, amps = volts(app), float(cell(tree(app), "runs/0", "amps"))
        await type_text(pilot, "4.6 m")  # 2 m more, both ways
        for _ in range(200):
            await pilot.pause(0.01)
            if app.plan.design.circuits[4].runs[0].length_m == 4.6:
                break
        # Ohm's law at 20 to 60 degrees (0.00393 a degree, IEC 60228), and as much current or a little more
        lost = before - volts(app)
        assert amps * 4.0 * OHM_PER_M * 0.99 - 0.005 < lost < amps * 1.01 * 4.0 * OHM_PER_M * 1.16 + 0.005
        assert lamps(app).runs[0].length_m == 2.6 and tree(app).editing  # a trial so far
        await press(pilot, "enter")
        assert lamps(app).runs[0].length_m == 4.6
        assert before - volts(app) == pytest.approx(lost)
        await press(pilot, "u")
        assert lamps(app).runs[0].length_m == 2.6 and volts(app) == before


async def test_a_bad_length_is_told_in_place_and_nothing_is_lost():
    async with opened() as pilot:
        app = await open_lamps(pilot)
        await type_text(pilot, "3 kg")
        await pilot.press("enter")
        assert tree(app).editing and "3 kg" in screen_text(app) and tree(app).message
        await pilot.press("down")
        assert [text for _, _, text, _ in tree(app).pending] == ["3 kg"]
        await pilot.press("up")
        await press(pilot, "escape")
        assert tree(app).pending == [] and lamps(app).runs[0].length_m == 2.6 and not app.document.dirty


async def test_conductor_and_fuse_are_typed_or_left_to_the_program():
    async with opened(size=WIDE) as pilot:
        app = await open_lamps(pilot)
        before = volts(app)
        await pilot.press("right")
        await type_text(pilot, "2.5 mm2")
        await pilot.press("tab")
        await type_text(pilot, "5 A")
        await press(pilot, "enter")
        assert (lamps(app).runs[0].conductor, lamps(app).runs[0].fuse_a) == ("2.5 mm2", 5.0)
        assert cell(tree(app), "runs/0", "fuse") == "5" and volts(app) > before
        tree(app).put_cursor("runs/0", "fuse")
        await pilot.press("enter", *["backspace"] * 4)
        await type_text(pilot, "auto")
        await press(pilot, "enter")
        assert lamps(app).runs[0].fuse_a is None and cell(tree(app), "runs/0", "fuse").startswith("(")


async def test_the_point_under_the_cursor_is_shorted():
    async with opened(size=WIDE) as pilot:
        app = await open_lamps(pilot)
        text = screen_text(app)
        assert "A short circuit at dimmer" in text and "the 2 A fuse at fuse panel" in text
        assert "breaks  1000 A" in text  # ISO 8820-3, from memory: what a blade fuse breaks at 32 V
        near = float(cell(tree(app), "runs/0", "short"))
        tree(app).put_cursor(LAST, "length")
        await pilot.pause()
        assert "A short circuit at lamp 6" in screen_text(app)
        far = float(cell(tree(app), LAST, "short"))
        # The resistance of 4.9 m more, both ways, at 20 degrees, in series: 1 / far - 1 / near = R / V
        assert 1 / far - 1 / near == pytest.approx(2 * 4.9 * OHM_PER_M / 13.6, rel=0.1)  # rested LFP is 13.3 to 14.4 V


async def test_runs_and_loads_come_and_go_in_the_tree():
    async with opened() as pilot:
        app = await open_lamps(pilot)
        tree(app).put_cursor("runs/2", "length")
        await press(pilot, "n")  # a branch from lamp 2
        assert len(lamps(app).runs) == 8
        row = tree(app).cursor.row_key
        branch = lamps(app).runs[int(row.split("/")[1])]
        assert branch.start == "lamp 2"
        assert "├─●" in screen_text(app)
        await type_text(pilot, "2 m")
        await press(pilot, "enter")
        tree(app).put_cursor(row, "to")
        await pilot.press("a")
        await pilot.pause()
        await type_text(pilot, "fan")
        await pilot.pause(0.05)
        await pilot.press("enter")
        await settled(pilot)
        assert [(tap.load, tap.point) for tap in lamps(app).taps if tap.load == "Roof fan"] == [
            ("Roof fan", branch.end)
        ]
        tree(app).put_cursor(row, "length")
        await press(pilot, "delete")
        assert len(lamps(app).runs) == 7
        assert [tap.point for tap in lamps(app).taps if tap.load == "Roof fan"] == ["lamp 2"]
        await press(pilot, "u", "u", "u", "u")
        assert lamps(app) == open_design(shelf.path("heron.toml")).design.circuits[4]


async def test_a_load_hangs_on_points_that_exist_only():
    async with opened() as pilot:
        app = await open_lamps(pilot)
        tree(app).put_cursor("taps/0", "conductor")
        before = app.document.design
        await pilot.press("1", "enter")
        assert "there is no point “1” here" in screen_text(app)
        await press(pilot, "escape")
        assert app.document.design == before


async def test_every_view_of_a_wide_terminal_shows_something_else():
    """Volts and short circuit stand side by side there: the key does not go from one to the other."""
    async with opened(size=WIDE) as pilot:
        app = await open_lamps(pilot)
        seen = [app.here.one.view]
        for _ in range(3):
            await press(pilot, "v")
            seen.append(app.here.one.view)
        assert seen == ["volts", "said", "bench", "tree"]


async def test_circuits_are_added_copied_swapped_and_removed():
    async with opened(size=WIDE) as pilot:
        app = pilot.app
        before = app.document.design.circuits
        await pilot.press("i")
        await press(pilot, "n")
        assert isinstance(app.screen, Dialog)
        await pilot.press("enter", *["backspace"] * 12)
        await type_text(pilot, "Reading light")
        await press(pilot, "enter")
        await press(pilot, "escape")
        new = app.document.design.circuits[-1]
        assert (new.name, new.way) == ("Reading light", 7)  # the lowest way that is free
        assert place(app).listing.row == f"circuits/{len(before)}" and "Reading light" in screen_text(app)
        await press(pilot, "delete")
        assert app.document.design.circuits == before
        place(app).listing.seek(LAMPS)
        await press(pilot, "d")
        copy = app.document.design.circuits[5]
        assert copy.runs == before[4].runs and copy.taps == () and copy.name != before[4].name
        await press(pilot, "u")
        place(app).listing.seek(LAMPS)
        await press(pilot, "J")
        ways = [one.way for one in app.document.design.circuits[4:6]]
        assert ways == [2, 1]  # lamps and fridge have swapped
        await press(pilot, "u")
        assert app.document.design.circuits == before


async def test_a_reading_is_compared_in_words_and_taken_into_the_budget():
    async with opened(size=WIDE) as pilot:
        app = await open_lamps(pilot)
        await pilot.press("v", "v")
        await press(pilot, "n")
        await type_text(pilot, "12.1 V")
        await pilot.press("tab")
        await type_text(pilot, "0.74 A")
        await press(pilot, "enter")
        reading = lamps(app).readings[0]
        assert (reading.supply_v, reading.current_a) == (12.1, 0.74)
        assert date.fromisoformat(reading.date) and reading.date in screen_text(app)
        # six lamps of 1.75 W and 20 mA at 12.1 V are 0.89 A: one lamp, 0.145 A, is missing
        assert "lamp" in str(app.query_one("#bench-words").render()).lower()
        assert 0.87 < float(cell(place(app).bench.table, "readings/0", "planned").rstrip(" !")) < 0.92
        before = app.plan.demand.month.energy_wh_per_day
        await press(pilot, "t")
        question = screen_text(app)  # a lamp that is missing must not thin out all six in the budget
        assert "looks like a fault" in question and "of their power" in question
        await press(pilot, "f")
        assert app.plan.demand.month.energy_wh_per_day == before
        await pilot.press("t")
        await press(pilot, "t")
        assert app.plan.demand.month.energy_wh_per_day < before
        assert cell(place(app).bench.table, "readings/0", "planned") == "0.740"
        load = next(one for one in app.document.design.loads if one.name == "Ceiling lamps")
        assert "0.74 A" in load.note and reading.date in load.note
        await press(pilot, "u")
        assert app.plan.demand.month.energy_wh_per_day == before and lamps(app).readings


async def test_one_key_leads_from_a_load_to_its_circuit_and_back():
    async with opened() as pilot:
        app = pilot.app
        app.here.go_to("loads/6/name")  # the touch dimmer
        await pilot.press("j")
        await pilot.pause()
        assert app.place == "circuits" and place(app).open_path == LAMPS
        assert tree(app).cursor.row_key == "taps/0"
        await pilot.press("j")
        await pilot.pause()
        assert app.place == "loads" and app.here.row_index() == 6


async def test_loads_on_no_circuit_are_listed_and_hung_on_one():
    async with opened(size=WIDE) as pilot:
        app = pilot.app
        design = app.document.design
        app.edit(replace(design, loads=(*design.loads, replace(design.loads[4], name="Barometer"))), "one more")
        await settled(pilot)
        await pilot.press("i")
        place(app).listing.seek(circuit_list.UNPLACED)
        await pilot.pause()
        text = screen_text(app)
        assert "1 load on no circuit" in text and "Barometer on no circuit" in text
        place(app).listing.seek("circuits/9")
        await pilot.press("a")
        await pilot.pause(0.05)
        await pilot.press("enter")  # it stands first
        await settled(pilot)
        assert app.document.design.circuits[9].taps[-1].load == "Barometer"
        await press(pilot, "escape")
        assert "on no circuit" not in screen_text(app)


async def test_every_cause_of_a_finding_has_its_place_on_the_screen():
    cells = {
        f"{LAMPS}/runs/2/length_m": ("runs/2", "length"),
        f"{LAMPS}/runs/0/conductor": ("runs/0", "conductor"),
        f"{LAMPS}/runs/0/fuse_a": ("runs/0", "fuse"),
        f"{LAMPS}/taps/3/load": ("taps/3", "to"),
        f"{LAMPS}/taps/3/quantity": ("taps/3", "length"),
    }
    forms = (
        f"{LAMPS}/name",
        f"{LAMPS}/way",
        f"{LAMPS}/runs/1/bundled_with",
        f"{LAMPS}/runs/1/connectors/0/rating_a",
        "wiring/panel_ways",
        "wiring/spool_m",
    )
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("i")
        for path, wanted in cells.items():
            assert app.here.go_to(path), path
            assert tuple(tree(app).cursor) == wanted
        for path in forms:
            assert app.here.go_to(path), path
            await pilot.pause()
            assert app.screen._fields.cursor.row_key == path
            app.screen.dismiss(None)
            await pilot.pause()
        for finding in app.plan.findings:
            if finding.where.split("/")[0] in ("circuits", "wiring"):
                assert app.here.go_to(finding.where), finding.where
                await pilot.pause()
                if isinstance(app.screen, Dialog):
                    app.screen.dismiss(None)
                    await pilot.pause()
        assert not app.here.go_to("circuits/99/name")


async def test_every_figure_of_list_and_tree_has_its_working():
    async with opened(size=(160, 50)) as pilot:
        app = await open_lamps(pilot)
        for column in ("length", "conductor", "fuse", "amps", "volts", "drop", "governs", "bears", "short"):
            tree(app).put_cursor("runs/2", column)
            steps = app.plan.chain(app.here.figure_key())
            assert steps, column
        tree(app).put_cursor(LAST, "drop")
        labels = [step.label for step in app.plan.chain(app.here.figure_key())]
        assert len(labels) > 7  # over seven runs, back to the battery
        await pilot.press("w")
        await pilot.pause()
        assert labels[-1] in screen_text(app)
        await pilot.press("escape", "escape")
        for one in app.plan.wiring.circuits:
            place(app).listing.seek(circuit_list.row_key(one))
            for column in ("load", "fuse", "thinnest", "drop"):
                place(app).listing.table.put_cursor(circuit_list.row_key(one), column)
                assert app.plan.chain(app.here.figure_key()), (one.key, column)


@pytest.mark.parametrize("columns_for", [circuit_list.columns_for, circuit_rows.columns_for], ids=["list", "tree"])
def test_columns_never_need_more_than_the_terminal_has(columns_for):
    before = 0
    for width in range(60, 220):
        columns = columns_for(width)
        assert sum(column.width + 1 for column in columns) + 1 <= width
        assert all(len(column.label) <= column.width for column in columns)
        assert len(columns) >= before
        before = len(columns)


async def test_tree_and_its_figures_stand_on_every_screen():
    async with opened(size=(160, 50)) as pilot:
        app = await open_lamps(pilot)
        for width, height in ((60, 20), (80, 24), (160, 50)):
            await pilot.resize_terminal(width, height)
            await pilot.pause(0.05)
            text = screen_text(app)
            assert "● dimmer" in text and "Length" in text and "Volts" in text and "Drop %" in text
            assert f"{volts(app, 'runs/0'):.2f}" in text


async def test_a_value_typed_on_a_figure_is_refused_whole():
    """The letters of its unit are no commands."""
    async with opened(size=WIDE) as pilot:
        app = await open_lamps(pilot)
        tree(app).put_cursor("taps/0", "fuse")
        month = app.document.design.month
        await type_text(pilot, "0.5 mm2")
        assert "is worked out, not typed" in screen_text(app)
        assert app.document.design.month == month


async def test_a_cable_is_said_to_be_laid_and_keeps_its_conductor():
    """x writes the day and the conductor as it is now; again, and it is planned once more; undo returns to the start."""
    async with opened(size=WIDE) as pilot:
        app = await open_lamps(pilot)
        before = app.document.design
        conductor = cell(tree(app), "runs/0", "conductor").strip("()")
        assert lamps(app).runs[0].conductor is None
        await press(pilot, "x")
        first = lamps(app).runs[0]
        assert (first.laid, first.conductor) == (date.today().isoformat(), conductor)
        assert cell(tree(app), "runs/0", "conductor") == f"{conductor} ✓"
        await press(pilot, "x")
        assert (lamps(app).runs[0].laid, lamps(app).runs[0].conductor) == (None, conductor)
        await press(pilot, "u", "u")
        assert app.document.design == before
        await press(pilot, "escape", "x")
        assert "put the cursor on a point" in screen_text(app) and app.document.design == before
