"""What a hand that is quicker than the eye does, and what the screen makes of it."""

from dataclasses import replace

from model import shelf
from model.plan import plan
from model.record.files import open_design
from tests.tui.conftest import NARROW, opened, press, screen_text, settled, shown, type_text
from tui.screens.circuit import figure_key
from tui.screens.circuits import CircuitsPlace
from tui.screens.new_design import NewDesign
from tui.screens.picker import Picker


async def test_the_list_of_typical_loads_stays_until_escape():
    """What is typed behind one load is a search for the next, no command."""
    async with opened() as pilot:
        app = pilot.app
        before = len(app.document.design.loads)
        place = app.document.design.place
        await pilot.press("a")
        for word in ("pump", "phone"):
            await type_text(pilot, word)
            await pilot.press("enter")
        assert isinstance(app.screen, Picker)
        await press(pilot, "escape")
        assert len(app.document.design.loads) == before + 2
        assert app.document.design.place == place and "2 loads added" in screen_text(app)


async def test_a_new_obstacle_is_named_at_once():
    async with opened() as pilot:
        await pilot.press("s", "n")
        await type_text(pilot, "Fan")
        await press(pilot, "enter")
        assert pilot.app.document.design.roof.obstacles[-1].name == "Fan"


async def test_answers_of_a_new_design_are_kept_when_it_is_left():
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("N")
        await type_text(pilot, "Leipzig")
        await pilot.press("enter", "down", "down")
        await type_text(pilot, "4")
        await pilot.press("enter", "escape")
        assert "Your answers are kept" in screen_text(app)
        await pilot.press("N")
        assert isinstance(app.screen, NewDesign)
        text = await shown(pilot, "Leipzig")
        assert "4 m" in text


async def test_a_length_without_a_unit_is_in_metres():
    async with opened() as pilot:
        await pilot.press("N", "down", "down", "down")
        await type_text(pilot, "3,4")
        await pilot.press("enter")
        assert "3.4 m" in screen_text(pilot.app)


async def test_a_load_that_does_not_exist_is_refused_on_a_circuit():
    async with opened() as pilot:
        app = pilot.app
        await press(pilot, "i")
        place = app.query_one(CircuitsPlace)
        at = next(n for n, one in enumerate(app.document.design.circuits) if one.name == "Ceiling lamps")
        place.open(f"circuits/{at}")
        await settled(pilot)
        place.one.table.put_cursor("taps/1", "to")
        before = app.document.design
        await pilot.press("f2")
        await type_text(pilot, " kitchen")
        await pilot.press("enter")
        assert "no load is called" in screen_text(app)
        assert app.document.design == before


async def test_the_cursor_stays_where_a_column_was_put_away():
    async with opened(size=(120, 40)) as pilot:
        app = pilot.app
        await press(pilot, "b", "right", "right")
        table = app.here.table
        assert table.cursor.column_key == "LTO"
        await press(pilot, "h")
        assert table.cursor.column_key == "sodium-ion"


async def test_no_chemistry_is_taken_from_a_table_that_is_not_seen():
    async with opened(size=NARROW) as pilot:
        app = pilot.app
        await press(pilot, "b", "right", "v", "c")
        assert app.document.design.battery.chemistry == "LFP"
        assert "v leads back to the table" in screen_text(app)


async def test_pieces_that_hang_nowhere_yet_are_counted(tmp_path):
    design = open_design(shelf.path("heron.toml")).design
    lamps = next(one for one in design.circuits if one.name == "Ceiling lamps")
    fewer = replace(
        lamps, taps=tuple(replace(tap, quantity=1.0) for tap in lamps.taps if tap.load == "Ceiling lamps")[:5]
    )
    loads = tuple(replace(load, circuit="") if load.name == "Ceiling lamps" else load for load in design.loads)
    async with opened() as pilot:
        app = pilot.app
        app.edit(
            replace(design, loads=loads, circuits=tuple(fewer if one is lamps else one for one in design.circuits)), "t"
        )
        await press(pilot, "i")
        app.query_one(CircuitsPlace).open(f"circuits/{design.circuits.index(lamps)}")
        await settled(pilot)
        await pilot.press("a")
        await type_text(pilot, "ceil")
        await shown(pilot, "of 6 on no circuit yet")


async def test_designs_beside_the_open_one_are_listed_and_nothing_else(tmp_path, monkeypatch):
    there, started = tmp_path / "vans", tmp_path / "started"
    for folder in (there, started):
        folder.mkdir()
    for path in (there / "mine.toml", there / "theirs.toml", started / "here.toml"):
        path.write_text(shelf.path("heron.toml").read_text())
    (there / "tool.toml").write_text("[project]\nname = 'x'\n")
    monkeypatch.chdir(started)
    async with opened(there / "mine.toml") as pilot:
        for key in ("o", "D"):
            await pilot.press(key)
            text = await shown(pilot, "theirs.toml", "here.toml")
            assert "tool.toml" not in text
            await pilot.press("escape")


async def test_an_empty_list_of_circuits_says_how_to_begin(tmp_path):
    path = tmp_path / "bare.toml"
    path.write_text('format = 1\n[system]\nalways_on = "0 W"\n')
    async with opened(path) as pilot:
        await press(pilot, "i")
        assert "n adds a circuit" in screen_text(pilot.app)


async def test_a_refrigerator_that_hardly_runs_says_why():
    async with opened() as pilot:
        app = pilot.app
        design = app.document.design
        app.edit(replace(design, month=1, place=replace(design.place, latitude_deg=60.0, longitude_deg=25.0)), "north")
        await settled(pilot)
        await pilot.press("down", "up")
        assert "not heated" not in screen_text(app)  # the demonstration's cabin is heated
        unheated = replace(app.document.design, system=replace(design.system, cabin_heated_to_c=None))
        app.edit(unheated, "cold")
        await settled(pilot)
        await pilot.press("down", "up")
        assert "the cabin counts as not heated (shift+E)" in screen_text(app)


async def test_the_reason_of_a_current_is_that_of_the_load_in_its_row():
    """Several loads hang at one point: each row leads to the working of its own."""
    made = next(
        one for one in plan(open_design(shelf.path("heron.toml")).design).wiring.circuits if one.name == "Desk and bunk"
    )
    by_key = {step.key: step.label for step in made.steps}
    points = [tap.point for tap in made.entered.taps]
    assert len(set(points)) < len(points)
    for at, tap in enumerate(made.entered.taps):
        assert f"{tap.load}, " in by_key[figure_key(made, f"taps/{at}", "amps", tap.point)]


async def test_rows_begun_one_after_the_other_stand_in_their_order():
    """Enter goes down from the new row to the one after it; the next new row still belongs below the first."""
    async with opened() as pilot:
        for name in ("Sewing", "Printer", "Camera"):
            await pilot.press("n")
            await type_text(pilot, name)
            await pilot.press("tab", "tab")
            await type_text(pilot, "30")
            await press(pilot, "enter")
        names = [load.name for load in pilot.app.document.design.loads]
        assert names[1:4] == ["Sewing", "Printer", "Camera"]
        await pilot.press("down", "down", "up", "up", "n")  # elsewhere and back: below the cursor again
        await type_text(pilot, "Late")
        await press(pilot, "enter")
        names = [load.name for load in pilot.app.document.design.loads]
        assert names.index("Late") == 5
