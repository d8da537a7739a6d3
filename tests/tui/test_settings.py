"""Settings: kept between runs, forgiving about their file, obeyed on the screen, and never in the way of typing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from model.design import CHEMISTRIES, Design, Load, Roof
from model.quantities import METRIC, Preferences
from model.record.files import new_text
from model.record.settings_file import read_settings, settings_path, write_settings
from tests.tui.conftest import opened, press, screen_text, settled, type_text
from tui import display, settings
from tui.commands import EVERY_COMMAND, PLACES, active, take_keys
from tui.settings import Settings, from_table, to_text


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    """Preferences and keys hold for the whole program: every test begins and leaves them as they are without settings."""
    display.use(METRIC)
    take_keys({})
    yield
    display.use(METRIC)
    take_keys({})


ODD = Settings(
    "feet",
    "Fahrenheit",
    "comma",
    "light",
    "AWG",
    "AGM",
    "Letter",
    ("gel", "flooded"),
    (("undo", "z"), ("off-on", "ctrl+e")),
)


@pytest.mark.parametrize("wanted", [Settings(), ODD])
def test_what_is_written_is_read_again(wanted: Settings):
    write_settings(to_text(wanted))
    table, note = read_settings()
    assert note == ""
    assert from_table(table) == (wanted, ())


def test_they_lie_where_the_environment_says(state_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    assert settings_path() == state_folder / "settings.toml"
    monkeypatch.setenv("AMPLEDGER_CONFIG", str(tmp_path / "own"))
    assert settings_path() == tmp_path / "own" / "settings.toml"


@pytest.mark.parametrize("content", [b"length = ", b"\xff\xfe\x00", b"[" * 20_000, b"a = 1\na = 2\n"])
def test_a_damaged_file_gives_the_defaults_and_a_note(content: bytes):
    settings_path().parent.mkdir(parents=True)
    settings_path().write_bytes(content)
    found, notes = settings.load()
    assert found == Settings()
    assert len(notes) == 1 and "settings.toml" in notes[0] and "\n" not in notes[0]
    assert settings_path().read_bytes() == content


def test_what_means_nothing_is_noted_and_the_rest_counts():
    found, notes = from_table({"length": "feet", "decimal": 7, "colour": "blue", "hidden": ["gel", 3], "keys": []})
    assert found == replace(Settings(), length="feet", hidden=("gel",))
    assert [note.split()[1] for note in notes] == ["decimal", "colour", "keys"]


def test_names_of_commands_are_their_own():
    names = [command.name for command in EVERY_COMMAND]
    assert len(names) == len(set(names))


def test_keys_are_changed_swapped_and_shown():
    assert take_keys({"undo": "m", "month": "u", "save": "/", "open": "shift+q"}) == ()
    now = {command.name: command for command in active("loads")}
    assert (now["undo"].key_text, now["month"].key_text) == ("m", "u")
    assert (now["save"].keys_now, now["save"].key_text) == ("slash", "/")
    assert now["open"].key_text == "shift+Q"


@pytest.mark.parametrize(
    ("wanted", "word"),
    [
        ({"fly": "z"}, "no command fly"),
        ({"undo": "5"}, "cannot be on"),
        ({"undo": ","}, "cannot be on"),
        ({"undo": "enter"}, "cannot be on"),
        ({"undo": "w"}, "belongs to why"),
        ({"undo": "z", "redo": "z"}, "belongs to"),
    ],
)
def test_keys_that_cannot_be_are_noted(wanted: dict[str, str], word: str):
    notes = take_keys(wanted)
    assert len(notes) == 1 and word in notes[0]
    for place in PLACES:
        keys = [key for command in active(place) for key in command.keys_now.split(",")]
        assert len(keys) == len(set(keys))


async def test_the_program_obeys_a_key_of_the_settings():
    write_settings('[keys]\nundo = "z"\n')
    async with opened() as pilot:
        before = pilot.app.document.design
        await press(pilot, "d")
        assert pilot.app.document.design != before
        await press(pilot, "u")
        assert pilot.app.document.design != before
        await press(pilot, "z")
        assert pilot.app.document.design == before


async def test_the_form_changes_and_keeps_them():
    async with opened(size=(100, 30)) as pilot:
        await pilot.press("P", "space", "down", "space", "down", "space")
        await pilot.pause()
        assert pilot.app.settings == replace(Settings(), length="feet", temperature="Fahrenheit", decimal="comma")
        assert settings.load() == (pilot.app.settings, ())
        await press(pilot, "escape", "s")
        text = screen_text(pilot.app)
        assert "9,84 ft" in text  # 3 m, the elevation
        assert "2,19 kWh/m2" in text and "56,5 °F" in text  # 13.6 °C


@pytest.mark.parametrize("theme", settings.THEMES)
async def test_every_theme_is_taken_and_kept(theme: str):
    settings.save(replace(Settings(), theme=theme))
    async with opened() as pilot:
        assert pilot.app.theme == settings.THEMES[theme]
        assert pilot.app.theme in pilot.app.available_themes
        assert "Compressor fridge" in screen_text(pilot.app)


async def test_what_a_cell_shows_can_be_typed_into_it():
    write_settings('length = "feet"\ntemperature = "Fahrenheit"\ndecimal = "comma"\n')
    async with opened(size=(100, 30)) as pilot:
        app = pilot.app
        await press(pilot, "s")
        app.here.go_to("roof/length_m")
        before = app.document.design
        shown = app.here.fields._shown_rows["roof/length_m"].cells["value"]
        await pilot.press("f2", "enter")
        await settled(pilot)
        assert app.document.design == before  # the exact length is what F2 edits
        app.here.go_to("roof/length_m")
        await type_text(pilot, shown)
        await press(pilot, "enter")
        assert app.document.design.roof.length_m == pytest.approx(before.roof.length_m, abs=0.00034)
        app.here.go_to("roof/length_m")
        await type_text(pilot, "3.1 m")
        await press(pilot, "enter")
        assert app.document.design.roof.length_m == 3.1


async def test_a_bare_temperature_is_in_the_degrees_on_the_screen():
    write_settings('temperature = "Fahrenheit"\n')
    async with opened() as pilot:
        app = pilot.app
        app.here.go_to("system/always_on_w")
        await press(pilot, "e")
        form = app.screen.query_one("#form-fields")
        form.put_cursor("system/cabin_heated_to_c", "value")
        await type_text(pilot, "68")
        await press(pilot, "enter")
        assert app.document.design.system.cabin_heated_to_c == 20.0


def test_files_stay_metric_whatever_the_screen_shows():
    design = Design(roof=Roof(length_m=3.4), loads=(Load("Lamp", power_w=1.5, hours_per_day=2.5),))
    plain = new_text(design)
    display.use(Preferences(feet=True, fahrenheit=True, comma=True))
    assert new_text(design) == plain


def test_every_chemistry_can_be_hidden():
    assert from_table({"hidden": list(CHEMISTRIES)})[0].hidden == CHEMISTRIES


async def test_the_comma_stands_on_every_screen_and_in_no_name():
    write_settings('decimal = "comma"\n')
    async with opened(size=(120, 40)) as pilot:
        app = pilot.app
        await press(pilot, "enter", "end")
        await type_text(pilot, " v1.2")
        await press(pilot, "enter")
        text = screen_text(app)
        assert "2,4 days" in text and "3,5 h" in text and "1,75 W" in text and "v1.2" in text
        await press(pilot, "b")
        assert "12,8 V" in screen_text(app) and "12.8 V" not in screen_text(app).split("PUTTING")[0]
        await pilot.press("w")
        await pilot.pause(0.1)
        text = screen_text(app)
        assert "271,598 Ah" in text and "IEEE 1013, 6.4" in text  # a clause is no number
