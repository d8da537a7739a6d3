"""Journeys over the Circuits: the list, a circuit as a tree that is edited in place, a short circuit anywhere, the papers, the
bench, and the way from a load to its circuit and back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from textual.pilot import Pilot

from model.design import Circuit, Design, Reading, Run, Tap
from model.wiring.bench_check import bench_check
from model.wiring.papers import PAPERS, Job
from tests.tui.conftest import NARROW, WIDE, opened, press, screen_text, settled, type_text
from tui import circuit_edits, looking
from tui.app import Ampledger
from tui.commands import EVERY_COMMAND
from tui.screens.circuit_form import CircuitForm
from tui.screens.circuit_list import PANEL, UNPLACED, columns_for, names_fitting
from tui.screens.circuit_tree import lines
from tui.screens.circuit_words import figure, keys_line
from tui.screens.circuits import LIST, ONE, CircuitsPlace
from tui.screens.papers import pages
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


@pytest.mark.parametrize("size", [(60, 20), (100, 30), (160, 50)])
async def test_list_and_tree_have_their_figures_whole_at_every_size(size: tuple[int, int]):
    async with opened(size=size) as pilot:
        place = await on_circuits(pilot)
        for one in pilot.app.plan.wiring.circuits:
            cells = row(place, "list", one.path or one.key)
            assert cells["name"] == one.name and cells["load"] and cells["fuse"] and cells["thinnest"]
        text = screen_text(pilot.app)
        assert "Panel: 6 of 8 ways" in text and "Main feed" in text and "feeds" in text
        assert all(len(line) <= size[0] for line in text.splitlines())
        place.open(path_of(pilot, LAMPS))
        await settled(pilot)
        await until(pilot, lambda: "● dimmer" in screen_text(pilot.app))
        text = screen_text(pilot.app)
        assert "Volts" in text and "Drop %" in text and "Fuse A" in text and "loses" in text
        assert all(len(line) <= size[0] for line in text.splitlines())


async def test_a_circuit_is_added_doubled_moved_and_removed_and_all_of_it_undone():
    async with opened() as pilot:
        place = await on_circuits(pilot)
        before = design(pilot)
        at = len(before.circuits)
        await press(pilot, "n")
        await until(pilot, lambda: isinstance(pilot.app.screen, CircuitForm))
        await press(pilot, "enter", *"Awning", "enter", "escape")
        await until(pilot, lambda: place.listing.row == f"circuits/{at}")
        assert design(pilot).circuits[at].name.endswith("Awning") and design(pilot).circuits[at].way == 7
        await press(pilot, "d")
        await until(pilot, lambda: place.listing.row == f"circuits/{at + 1}")
        copy = design(pilot).circuits[at + 1]
        assert copy.name.endswith("copy") and copy.way == 8 and copy.taps == ()
        await press(pilot, "shift+up")
        await until(pilot, lambda: design(pilot).circuits[at].way == 8)
        assert design(pilot).circuits[at + 1].way == 7
        assert place.listing.row == f"circuits/{at + 1}", "the cursor goes with the circuit"
        await press(pilot, "delete")
        await until(pilot, lambda: len(design(pilot).circuits) == at + 1)
        await undo_all(pilot)
        assert design(pilot) == before


async def test_a_load_on_no_circuit_is_listed_and_enter_hangs_it():
    async with opened() as pilot:
        place = await on_circuits(pilot)
        at = int(path_of(pilot, "Roof fan").split("/")[1])
        whole = design(pilot).circuits
        bare = (*whole[:at], replace(whole[at], taps=()), *whole[at + 1 :])
        pilot.app.edit(replace(design(pilot), circuits=bare), "fan off")
        await settled(pilot)
        assert row(place, "list", UNPLACED)["name"] == "1 load on no circuit"
        place.show_list(UNPLACED)
        await until(pilot, lambda: "Roof fan on no circuit" in screen_text(pilot.app))
        await pilot.press("enter")
        await until(pilot, lambda: "Which load?" in screen_text(pilot.app))
        await pilot.press("enter")  # the one on no circuit stands first
        await until(pilot, lambda: "Which circuit carries Roof fan?" in screen_text(pilot.app))
        await type_text(pilot, "fan")
        await pilot.press("enter")
        await until(pilot, lambda: bool(circuit(pilot, "Roof fan").taps))
        await settled(pilot)
        assert circuit(pilot, "Roof fan").taps[0].load == "Roof fan"
        assert pilot.app.plan.wiring.unplaced == ()


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


@pytest.mark.parametrize("size", [NARROW, WIDE])
async def test_a_longer_run_is_seen_at_the_far_lamp_while_typing_kept_and_undone(size: tuple[int, int]):
    async with opened(size=size) as pilot:
        place = await on_circuits(pilot, LAMPS)
        runs = [f"runs/{at}" for at in range(len(circuit(pilot, LAMPS).runs))]
        volts = [float(row(place, "tree", key)["volts"]) for key in runs]
        assert volts == sorted(volts, reverse=True), "the voltage never rises away from the source"
        assert [key for key in runs if place.one.table._shown_rows[key].word == "worst"] == runs[-1:]
        place.one.table.put_cursor(runs[0], "length")
        await type_text(pilot, "12")
        await until(pilot, lambda: float(row(place, "tree", runs[-1])["volts"]) < volts[-1] - 0.1)
        assert circuit(pilot, LAMPS).runs[0].length_m == 2.6, "what is typed is a preview: nothing is kept yet"
        await press(pilot, "enter")
        await until(pilot, lambda: circuit(pilot, LAMPS).runs[0].length_m == 12.0)
        await settled(pilot)
        wired = pilot.app.plan.wiring.circuit("L1").wired
        assert row(place, "tree", runs[-1])["volts"] == f"{wired.volts('lamp 6'):.2f}"
        await press(pilot, "u")
        assert float(row(place, "tree", runs[-1])["volts"]) == volts[-1]


async def test_conductor_fuse_and_note_are_typed_and_left_to_the_program_again():
    async with opened(size=(160, 50)) as pilot:
        place = await on_circuits(pilot, LAMPS)
        table = place.one.table
        assert row(place, "tree", "runs/0")["conductor"].startswith("(")
        for column, text in (
            ("conductor", "2.5 mm2"),
            ("fuse", "5"),
            ("note", "7 behind the bed"),
            ("jacket", "1 pair"),
        ):
            table.put_cursor("runs/0", column)
            await type_text(pilot, text)
            await press(pilot, "enter")
            await until(pilot, lambda: not table.editing)
            await settled(pilot)
        run = circuit(pilot, LAMPS).runs[0]
        assert (run.conductor, run.fuse_a, run.note, run.jacket) == ("2.5 mm2", 5.0, "7 behind the bed", "1 pair")
        assert row(place, "tree", "runs/0")["fuse"] == "5" and row(place, "tree", "runs/0")["conductor"] == "2.5 mm2"
        for column in ("conductor", "fuse"):
            table.put_cursor("runs/0", column)
            table.begin_edit("auto")
            await press(pilot, "enter")
            await until(pilot, lambda: not table.editing)
            await settled(pilot)
        assert (circuit(pilot, LAMPS).runs[0].conductor, circuit(pilot, LAMPS).runs[0].fuse_a) == (None, None)
        assert row(place, "tree", "runs/0")["conductor"].startswith("(")


async def test_runs_and_loads_come_and_go_in_the_tree():
    async with opened() as pilot:
        place = await on_circuits(pilot, LAMPS)
        whole, table = circuit(pilot, LAMPS), place.one.table
        table.put_cursor("runs/2", "to")
        await press(pilot, "n")
        await until(pilot, lambda: len(circuit(pilot, LAMPS).runs) == len(whole.runs) + 1)
        grown = circuit(pilot, LAMPS)
        added = next(run for run in grown.runs if run.end == "point 1")
        assert added.start == "lamp 2" and grown.runs[-1].end == "lamp 6", "the end stays the end"
        await type_text(pilot, "1.5")
        await press(pilot, "enter")
        await until(pilot, lambda: circuit(pilot, LAMPS).runs[grown.runs.index(added)].length_m == 1.5)
        table.put_cursor(f"runs/{grown.runs.index(added)}", "to")
        await pilot.press("a")
        await until(pilot, lambda: "Which load hangs at point 1?" in screen_text(pilot.app))
        await type_text(pilot, "router")
        await pilot.press("enter")
        await until(pilot, lambda: len(circuit(pilot, LAMPS).taps) == len(whole.taps) + 1)
        assert (circuit(pilot, LAMPS).taps[-1].load, circuit(pilot, LAMPS).taps[-1].point) == ("Router", "point 1")
        table.put_cursor(f"taps/{len(whole.taps)}", "to")
        await press(pilot, "shift+up")
        await until(pilot, lambda: circuit(pilot, LAMPS).taps[-1].point == "lamp 2")
        await press(pilot, "delete")
        await until(pilot, lambda: circuit(pilot, LAMPS).taps == whole.taps)
        table.put_cursor("runs/1", "length")
        await press(pilot, "delete")
        await until(pilot, lambda: "lamp 1" not in {run.end for run in circuit(pilot, LAMPS).runs})
        points = [tap.point for tap in circuit(pilot, LAMPS).taps]
        assert points.count("dimmer") == 2, "what hung at its end hangs where the run began"
        await undo_all(pilot)
        assert circuit(pilot, LAMPS) == whole


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


async def test_every_point_says_its_short_circuit_which_fuse_opens_and_whether_it_can():
    async with opened(size=WIDE) as pilot:
        place = await on_circuits(pilot, LAMPS)
        wired = pilot.app.plan.wiring.circuit("L1").wired
        before = float("inf")
        for at, run in enumerate(wired.circuit.runs):
            place.one.table.put_cursor(f"runs/{at}", "volts")
            await until(pilot, lambda end=run.end: f"A short circuit at {end}" in screen_text(pilot.app))
            text = screen_text(pilot.app)
            assert "A fuse at fuse panel" in text and "enough here" in text and "at once" in text
            most_a = wired.short[wired.shape.place[run.end]].most_a
            assert most_a < before, "further on there is more cable in the way"
            before = most_a
            assert row(place, "tree", f"runs/{at}")["short"] == figure(most_a)


async def test_every_figure_of_every_circuit_has_its_working():
    async with opened(size=(160, 50)) as pilot:
        place = await on_circuits(pilot)
        plan = pilot.app.plan
        for made in plan.wiring.circuits:
            for column in ("load", "fuse", "thinnest", "drop"):
                place.listing.table.put_cursor(made.path or made.key, column)
                assert plan.chain(place.figure_key() or ""), (made.name, column)
        place.listing.table.put_cursor(PANEL, "load")
        assert plan.chain(place.figure_key() or "")
        for made in plan.wiring.circuits:
            assert place.open(made.path or made.key)
            for key in place.one.table._shown_rows:
                for column in ("length", "conductor", "fuse", "amps", "volts", "drop", "governs", "bears", "short"):
                    place.one.table.put_cursor(key, column)
                    assert plan.chain(place.figure_key() or ""), (made.name, key, column)
        await pilot.press("w")
        await until(pilot, lambda: len(pilot.app.screen_stack) > 1)


# -- papers and bench -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [NARROW, WIDE])
async def test_every_paper_is_a_table_of_whole_columns_and_is_copied_as_text(size: tuple[int, int], monkeypatch):
    async with opened(size=size) as pilot:
        copied: list[str] = []
        monkeypatch.setattr(pilot.app, "copy_to_clipboard", copied.append)
        place = await on_circuits(pilot)
        plan, papers = pilot.app.plan, place.papers
        for paper in PAPERS.values():
            await press(pilot, "v")
            await until(pilot, lambda title=paper.title: papers.title == title)
            table = paper.table(Job(plan.wiring, plan.design, plan.storage.chosen))
            await press(pilot, "C")
            assert copied[-1] == "\n".join("\t".join(line) for line in table)
            assert all(sum(one.width + 1 for one in page) < size[0] for page in papers._pages)
            filled = {one.heading for at, one in enumerate(paper.columns) if any(line[at] for line in table[1:])}
            assert filled <= {column.label for page in papers._pages for column in page}
        await press(pilot, "v")
        assert place.level == LIST
        await press(pilot, "v")
        await until(pilot, lambda: papers.table.has_focus)

        def heads() -> list[str]:
            return [str(column.label).strip() for column in papers.table.columns.values()]

        first = heads()
        await press(pilot, *["right"] * len(first))
        assert heads()[0] == first[0] and not set(heads()[1:]) & set(first), "the arrows go on to the next columns"
        await press(pilot, *["left"] * 2)
        assert heads() == first
        await press(pilot, "escape")
        assert place.level == LIST


async def test_a_bench_reading_is_typed_explained_kept_with_its_date_and_taken_into_the_budget():
    async with opened(size=WIDE) as pilot:
        place = await on_circuits(pilot, LAMPS)
        await press(pilot, "v", "v", "v")
        assert place.one.view == "bench" and "No readings yet" in screen_text(pilot.app)
        await press(pilot, "n")
        await until(pilot, lambda: bool(circuit(pilot, LAMPS).readings))
        reading = circuit(pilot, LAMPS).readings[0]
        assert reading.date and len(reading.date) == 10 and reading.point == "lamp 6"
        for keys, text in ((("tab",), "12.1 V"), (("tab", "tab"), "0.75 A"), (("enter",), "11.8")):
            await type_text(pilot, text)
            await press(pilot, *keys)
        await until(pilot, lambda: circuit(pilot, LAMPS).readings[0].far_v == 11.8)
        await settled(pilot)
        reading = circuit(pilot, LAMPS).readings[0]
        assert (reading.supply_v, reading.current_a) == (12.1, 0.75)
        assert not bench_check(pilot.app.plan.wiring.circuit("L1"), reading).amps_agree
        assert "less than the planned" in screen_text(pilot.app)
        assert row(place, "bench", "readings/0")["planned"].endswith("!")
        before = next(load for load in design(pilot).loads if load.name == LAMPS)
        use_wh = pilot.app.plan.demand.month.energy_wh_per_day
        await press(pilot, "t")
        await until(pilot, lambda: pilot.app.plan.demand.month.energy_wh_per_day < use_wh)
        after = next(load for load in design(pilot).loads if load.name == LAMPS)
        assert after.power_w < before.power_w and "measured 0.75 A" in after.note
        assert bench_check(pilot.app.plan.wiring.circuit("L1"), reading).amps_agree
        await press(pilot, "u")
        assert next(load for load in design(pilot).loads if load.name == LAMPS) == before
        assert circuit(pilot, LAMPS).readings == (reading,)


# -- the way about ----------------------------------------------------------------------------------------------------


async def test_one_key_leads_from_a_load_to_its_circuit_and_back():
    async with opened() as pilot:
        app = pilot.app
        index = [load.name for load in design(pilot).loads].index("Water pump")
        assert app.here.go_to(f"loads/{index}/name")
        await press(pilot, "j")
        await until(pilot, lambda: app.place == "circuits")
        place = app.query_one(CircuitsPlace)
        await until(pilot, lambda: place.level == ONE and place.one.load_under_cursor() == index)
        assert place.open_path == path_of(pilot, "Water pump")
        await press(pilot, "j")
        await until(pilot, lambda: app.place == "loads" and app.here.row_index() == index)
        ac = next(at for at, load in enumerate(design(pilot).loads) if load.supply == "AC")
        app.here.go_to(f"loads/{ac}/name")
        await press(pilot, "j")
        await until(pilot, lambda: place.one.opened is not None and place.one.opened.entered.kind == "inverter")


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


async def test_every_finding_of_the_wiring_leads_somewhere():
    async with opened() as pilot:
        paths = {said.where for said in pilot.app.plan.wiring.findings if said.where.startswith(("circuits", "wiring"))}
        assert paths
        for path in sorted(paths):
            await looking.go_to(pilot.app, path)
            await settled(pilot)
            assert pilot.app.place == "circuits"
            if len(pilot.app.screen_stack) > 1:
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
            for _ in range(5):
                await press(pilot, "v", "down")
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
    [(0.0, "0.00"), (0.019, "0.019"), (0.861, "0.86"), (9.996, "10.0"), (22.04, "22.0"), (2590.0, "2590")],
)
def test_amperes_stand_in_a_column(amps: float, text: str):
    assert figure(amps) == text


def test_what_has_no_room_is_left_out_whole():
    assert keys_line(("Enter opens", "n new", "v papers"), 19) == "Enter opens · n new"
    assert names_fitting(("Fridge", "Heater", "Pump"), 17) == "Fridge, Heater +1"
    assert names_fitting(("A very long name", "x"), 8) == "2 loads"
    wide = [Column(name, name, 10) for name in "abcde"]
    assert [[one.key for one in page] for page in pages(wide, 33)] == [["a", "b", "c"], ["a", "d", "e"]]
    for width in range(60, 200, 7):
        assert sum(column.width + 1 for column in columns_for(width)) + 1 <= width


def test_a_free_way_is_the_lowest_that_nobody_has():
    circuits = (Circuit("a", way=1), Circuit("b", way=3), Circuit("c", kind="main", way=2))
    assert circuit_edits.free_way(Design(circuits=circuits)) == 2
