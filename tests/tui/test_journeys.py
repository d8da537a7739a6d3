"""The three journeys, by keyboard alone, at both sizes: enter loads, change place and month, compare chemistries."""

from __future__ import annotations

from pathlib import Path

import pytest

from model.record.files import open_design
from tests.tui.conftest import NARROW, WIDE, opened, press, screen_text, settled, type_text, until
from tui.looking import go_to
from tui.widgets.edit_table import EditTable
from tui.widgets.field_list import FieldList

SIZES = pytest.mark.parametrize("size", [NARROW, WIDE], ids=["80x24", "120x40"])


def table(app) -> EditTable:
    return app.query_one("#load-table", EditTable)


@SIZES
async def test_a_new_load_is_entered_and_counted(size):
    async with opened(size=size) as pilot:
        before = pilot.app.plan.demand.month.energy_wh_per_day
        await pilot.press("n")
        await type_text(pilot, "Kettle")
        await pilot.press("tab", "tab")  # over the quantity, which stays 1
        await type_text(pilot, "500 W")
        await pilot.press("tab")
        await type_text(pilot, "6 min")
        await press(pilot, "enter")
        load = pilot.app.document.design.loads[1]
        assert (load.name, load.power_w, load.hours_per_day) == ("Kettle", 500.0, 0.1)
        # 500 W x 0.1 h through wiring of 98 %
        assert pilot.app.plan.demand.month.energy_wh_per_day - before == pytest.approx(50 / 0.98)
        assert "Kettle" in screen_text(pilot.app)


async def test_letters_right_behind_tab_are_text_and_elsewhere_commands():
    """A whole row is typed as in a spreadsheet; after Enter or an arrow the keys are the program's again."""
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("n")
        for text in ("Siren", "2", "30", "1", "50", "night", "May-Sep"):
            await type_text(pilot, text)
            await pilot.press("tab")
        await settled(pilot)
        load = app.document.design.loads[1]
        assert (load.name, load.quantity, load.power_w, load.duty) == ("Siren", 2, 30, 0.5)
        assert (load.when, load.months) == ("night", (5, 6, 7, 8, 9))
        await pilot.press("up", "s")
        await until(pilot, lambda: app.place == "sun")


async def test_letters_begin_an_edit_in_a_form_where_none_is_a_command():
    async with opened() as pilot:
        await pilot.press("E")
        await pilot.pause()
        await type_text(pilot, "Sedge")
        await press(pilot, "enter", "escape")
        assert pilot.app.document.design.name == "Sedge"


async def test_a_mistyped_number_is_refused_in_place_and_escape_restores():
    async with opened() as pilot:
        await pilot.press("right", "right", "right")
        await type_text(pilot, "25 h")
        await pilot.press("enter")
        assert "a day has 24 hours" in screen_text(pilot.app)
        assert table(pilot.app).editing
        assert pilot.app.document.design.loads[0].hours_per_day == 24
        await press(pilot, "escape")
        assert not table(pilot.app).editing
        assert pilot.app.document.design.loads[0].hours_per_day == 24
        assert not pilot.app.document.dirty


async def test_nobody_is_held_in_a_refused_cell_and_its_text_is_asked_about():
    async with opened() as pilot:
        await pilot.press("right", "right", "right")
        await type_text(pilot, "25 h")
        await pilot.press("enter", "down")
        await pilot.pause()
        assert not table(pilot.app).editing
        assert [text for _, _, text, _ in table(pilot.app).pending] == ["25 h"]
        await pilot.press("q")
        await pilot.pause()
        assert "not accepted" in screen_text(pilot.app)
        await pilot.press("escape", "up")
        await press(pilot, "escape")
        assert table(pilot.app).pending == []


async def test_undo_takes_a_refused_text_before_it_takes_an_edit():
    """Who mistypes and presses u means the text in front of their eyes, not the good edit before it."""
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("right", "right", "right", "2", "enter")
        await type_text(pilot, "25 h")
        await press(pilot, "down", "u")
        assert table(app).pending == [] and "“25 h” is gone" in screen_text(app)
        assert app.document.design.loads[0].hours_per_day == 2
        await press(pilot, "u")
        assert not app.document.dirty


async def test_a_decimal_comma_is_a_decimal_comma():
    async with opened() as pilot:
        await pilot.press("right", "right", "right")
        await type_text(pilot, "1,5")
        await press(pilot, "enter")
        assert pilot.app.document.design.loads[0].hours_per_day == 1.5


async def test_figures_follow_while_typing_and_go_back_with_escape():
    async with opened() as pilot:
        app = pilot.app
        before = app.plan.demand.month.energy_wh_per_day
        await pilot.press("right", "right")
        await type_text(pilot, "90 W")
        for _ in range(200):
            await pilot.pause(0.01)
            if app.plan.demand.month.energy_wh_per_day > before:
                break
        assert app.plan.demand.month.energy_wh_per_day > before + 100
        assert not app.document.dirty
        await press(pilot, "escape")
        assert app.plan.demand.month.energy_wh_per_day == before


async def test_a_power_cell_takes_a_current():
    async with opened() as pilot:
        await pilot.press("right", "right")
        await type_text(pilot, "20 mA")
        await press(pilot, "enter")
        load = pilot.app.document.design.loads[0]
        assert (load.power_w, load.current_a) == (None, 0.02)
        assert "20 mA" in screen_text(pilot.app)


@SIZES
async def test_place_and_month_change_by_key(size):
    async with opened(size=size) as pilot:
        app = pilot.app
        assert app.document.design.month == 12
        await press(pilot, "m")
        assert app.document.design.month == 1
        assert "January" in screen_text(app)
        await press(pilot, "M")
        december = app.plan.supply.month.ghi_kwh_per_m2_day
        await pilot.press("p")
        await type_text(pilot, "greensboro")
        await press(pilot, "enter")
        place = app.document.design.place
        assert place.name.startswith("Greensboro")
        assert place.latitude_deg == pytest.approx(36.07, abs=0.1)
        assert app.plan.supply.month.ghi_kwh_per_m2_day != december
        assert "Greensboro" in screen_text(app)


async def test_typed_coordinates_are_a_place():
    async with opened() as pilot:
        await pilot.press("p")
        await type_text(pilot, "36.1, -79.95")
        await press(pilot, "enter")
        place = pilot.app.document.design.place
        assert (place.latitude_deg, place.longitude_deg) == (36.1, -79.95)


async def test_a_place_without_climate_says_so_and_offers_a_way_out():
    async with opened() as pilot:
        await pilot.press("p")
        await type_text(pilot, "21.3, -157.85")
        await press(pilot, "enter")
        assert pilot.app.plan.supply is None
        assert "no climate" in screen_text(pilot.app)
        await press(pilot, "s")
        await pilot.press("t")
        await pilot.pause()
        for value in ("3.9", "4.7", "5.3", "5.8", "6.2", "6.3", "6.3", "6.2", "5.8", "4.9", "4.1", "3.7"):
            await type_text(pilot, value)
            await pilot.press("enter")
        await press(pilot, "k")
        assert pilot.app.plan.supply is not None
        assert pilot.app.plan.supply.months[0].ghi_kwh_per_m2_day == pytest.approx(3.9)


@SIZES
async def test_chemistries_are_compared_and_one_is_taken(size):
    async with opened(size=size) as pilot:
        app = pilot.app
        await press(pilot, "b")
        text = screen_text(app)
        assert "LFP" in text and "decided by" in text and "Against it" in text
        await pilot.press("right", "right", "right", "right")
        await press(pilot, "c")
        assert app.document.design.battery.chemistry == "AGM"
        assert app.plan.storage.chosen.chemistry == "AGM"
        await press(pilot, "u")
        assert app.document.design.battery.chemistry == "LFP"


async def test_the_working_of_a_figure_leads_to_what_was_typed():
    async with opened() as pilot:
        await pilot.press("end", "left")
        await pilot.press("w")
        await pilot.pause()
        text = screen_text(pilot.app)
        assert "45 W x 24 h" in text
        assert "IEEE 1013" in text
        await pilot.press("escape")
        assert len(pilot.app.screen_stack) == 1


async def test_a_finding_leads_to_its_cause():
    async with opened() as pilot:
        await pilot.press("right", "right", "right")
        await type_text(pilot, "0")
        await press(pilot, "enter")
        index = [finding.where for finding in pilot.app.plan.findings].index("loads/0/hours_per_day")
        await pilot.press("f")
        await pilot.pause()
        await pilot.press(*["down"] * index, "enter")
        await settled(pilot)
        assert table(pilot.app).cursor == ("0", "hours_per_day")


async def test_a_finding_on_a_field_without_a_cell_opens_its_form_there():
    """What only a form shows: of a row, of the inverter, of the design."""
    async with opened() as pilot:
        for path, title in (
            ("loads/0/surge_w", "Compressor fridge"),
            ("inverter/rated_w", "Inverter"),
            ("system/cabin_heated_to_c", "The design"),
        ):
            pilot.app.run_worker(go_to(pilot.app, path))
            await until(pilot, lambda title=title: getattr(pilot.app.screen, "title_text", "") == title)
            await pilot.pause()
            assert pilot.app.screen.query_one(FieldList).cursor.row_key == path
            await pilot.press("escape")
            assert pilot.app.place == "loads"


async def test_saved_and_found_again_tomorrow(tmp_path: Path):
    target = tmp_path / "mine.toml"
    async with opened() as pilot:
        await pilot.press("right")
        await type_text(pilot, "2")
        await press(pilot, "enter")
        assert pilot.app.document.dirty
        await pilot.press("S")
        await pilot.pause()
        await type_text(pilot, str(tmp_path / "nowhere" / "mine"))  # in place of the name that stands there
        await press(pilot, "enter")
        assert "there is no folder" in screen_text(pilot.app) and pilot.app.document.dirty
        await pilot.press("ctrl+u")
        await type_text(pilot, str(target))
        await press(pilot, "enter")
        assert not pilot.app.document.dirty
        await pilot.press("q")
    assert open_design(target).design.loads[0].quantity == 2
    async with opened(target) as pilot:
        assert pilot.app.document.design.loads[0].quantity == 2
        assert "mine.toml" in screen_text(pilot.app)


async def test_leaving_with_unsaved_edits_asks_first():
    async with opened() as pilot:
        await pilot.press("right")
        await type_text(pilot, "3")
        await press(pilot, "enter")
        await pilot.press("q")
        await pilot.pause()
        assert "edits that are not saved" in screen_text(pilot.app)
        await press(pilot, "escape")
        assert pilot.app.is_running
        await pilot.press("q")
        await pilot.pause()
        await pilot.press("d")


async def test_edits_of_a_program_that_died_are_offered(tmp_path: Path):
    from dataclasses import replace

    from model.record import files, journal

    target = tmp_path / "van.toml"
    opened_file = files.save(files.untitled(_demo()), _demo(), target)
    lost = replace(opened_file.design, name="with the lost edit")
    dead = journal.Journal(target)
    dead.append(lost)
    import os

    os.close(dead._handle)  # what the system does when a process is killed
    async with opened(target) as pilot:
        await pilot.pause(0.2)
        assert "stopped without saving" in screen_text(pilot.app)
        await press(pilot, "r")
        assert pilot.app.document.design.name == "with the lost edit"
        await press(pilot, "u")
        assert pilot.app.document.design.name == opened_file.design.name


def _demo():
    from model import shelf
    from model.record import files

    return files.open_design(shelf.path("heron.toml")).design


async def test_a_field_is_edited_without_moving_to_its_value_first():
    async with opened() as pilot:
        app = pilot.app
        await press(pilot, "b")
        app.here.fields.focus()
        await type_text(pilot, "3")
        await press(pilot, "enter")
        assert app.document.design.battery.autonomy_days == 3
        assert "Days of autonomy: 3" in screen_text(app)
        await pilot.press("left", "space")  # the label takes no cursor; space goes to the next chemistry
        await settled(pilot)
        assert app.document.design.battery.chemistry == "NMC"


async def test_no_label_of_sun_is_cut_in_a_narrow_terminal():
    async with opened() as pilot:
        await press(pilot, "s")
        fields = pilot.app.here.fields
        rows = [fields.get_row_at(index)[0] for index in range(fields.row_count)]
        assert len(rows) > 50  # those of the demonstration, whose names are short
        assert not [str(label) for label in rows if "…" in str(label)]


async def test_a_place_without_climate_names_every_way_on_in_sun():
    async with opened() as pilot:
        await pilot.press("p")
        await type_text(pilot, "21.3, -157.85")
        await press(pilot, "enter", "s")
        text = screen_text(pilot.app)
        assert all(way in text for way in ("No climate data for this place", "t types", "shift+T reads", "p changes"))


async def test_typed_months_are_not_dropped_on_one_key():
    async with opened() as pilot:
        app = pilot.app
        await press(pilot, "s")
        await pilot.press("t")
        await pilot.pause()
        await type_text(pilot, "2.5")
        await pilot.press("enter", "escape")
        await pilot.pause()
        assert "Esc once more drops it" in screen_text(app)
        await press(pilot, "k")
        assert app.document.design.weather.ghi_kwh_per_m2_day[0] == 2.5


async def test_months_of_a_place_without_climate_begin_empty_and_all_are_asked_for():
    async with opened() as pilot:
        app = pilot.app
        await pilot.press("p")
        await type_text(pilot, "21.3, -157.85")
        await press(pilot, "enter", "s")
        await pilot.press("t")
        await pilot.pause()
        await type_text(pilot, "3.9")
        await pilot.press("enter", "k")
        await pilot.pause()
        assert "1 of 12 months are typed: February is still empty" in screen_text(app)
        await press(pilot, "escape", "escape")
        assert app.document.design.weather is None


async def test_a_search_that_finds_nothing_says_so():
    async with opened() as pilot:
        await pilot.press("p")
        await type_text(pilot, "xqzxqzv")
        await pilot.press("enter")
        await pilot.pause()
        assert "No place of 5000 people or more" in screen_text(pilot.app)
        await press(pilot, "escape")
        await pilot.press("a")
        await type_text(pilot, "xqz")
        await pilot.pause()
        assert "n makes an empty row" in screen_text(pilot.app)


async def test_taking_a_chemistry_that_is_ruled_out_says_why():
    """Four cells of 3.7 V are 14.8 V: too much for 12 V devices."""
    async with opened() as pilot:
        await press(pilot, "b")
        await press(pilot, "right", "c")
        assert pilot.app.document.design.battery.chemistry == "NMC"
        assert "NMC, though ruled out: 14.8 V nominal" in screen_text(pilot.app)
