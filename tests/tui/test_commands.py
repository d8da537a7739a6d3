"""Every command is declared once, answers its key, and every kind of edit can be undone."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from inspect import iscoroutinefunction

import pytest
from rich.cells import cell_len

from tests.tui.conftest import NARROW, opened, press, screen_text, settled, type_text
from tests.tui.waiting import asking
from tui.commands import EVERY_COMMAND, PLACES, active, footer

GO = {"loads": "l", "sun": "s", "battery": "b", "year": "y", "circuits": "i", "report": "r"}
LEAVING = {
    f"file_dialogs.{name}" for name in ("leave", "save", "save_as", "open_file", "new_design")
}  # those ask or go; the journeys test them


def test_no_key_is_claimed_twice_in_one_place():
    for place in PLACES:
        keys = [key for command in active(place) for key in command.keys.split(",")]
        assert len(keys) == len(set(keys))


def test_the_footer_never_exceeds_its_line():
    for place in PLACES:
        for width in (40, 60, 78, 118, 158):
            shown = footer(place, width)
            assert sum(len(one.key_text) + len(one.title) + 3 for one in shown) - 2 <= width
    everywhere = {*GO.values(), "question_mark,f1"}
    own = {"loads": {"a"}, "sun": set(), "battery": {"c"}, "year": {"k"}, "circuits": {"a"}, "report": {"e"}}
    for place in PLACES:
        assert everywhere | own[place] <= {one.keys for one in footer(place, 78)}
        assert "w" in {one.keys for one in footer(place, 118)}


async def test_the_heading_keeps_its_width_whatever_the_names():
    async with opened() as pilot:
        app = pilot.app
        design = app.document.design
        place = replace(design.place, name="東京湾 🚐 " + "a very long name of a marsh " * 4)
        app.edit(replace(design, place=place), "place")
        await settled(pilot)
        heading = screen_text(app).splitlines()[0]
        assert cell_len(heading) <= 80
        assert "shift+S saves" in heading and "…" in heading and heading.rstrip().endswith("· m December")


async def test_the_heading_names_the_keys_of_place_and_month():
    async with opened() as pilot:
        assert screen_text(pilot.app).splitlines()[0].rstrip().endswith("p Guadalquivir marsh · m December")
        await press(pilot, "m")
        assert screen_text(pilot.app).splitlines()[0].rstrip().endswith("· m January")


async def test_heading_and_footer_follow_the_terminal_size():
    async with opened() as pilot:
        for width in (120, 60, 80):
            await pilot.resize_terminal(width, 24)
            await pilot.pause(0.05)
            lines = screen_text(pilot.app).splitlines()
            assert cell_len(lines[0].rstrip()) == width - 1  # one cell of padding at each side
            assert lines[-1].count("  ") == len(footer("loads", width - 2)) - 1


async def test_a_terminal_that_is_too_small_is_told_in_one_line():
    async with opened(size=(60, 20)) as pilot:
        for size, told in (((60, 20), False), ((59, 20), True), ((60, 19), True), ((30, 8), True), ((80, 24), False)):
            await pilot.resize_terminal(*size)
            await pilot.pause(0.05)
            assert (
                f"Too small: {size[0]} x {size[1]}"[: size[0] - 2] in screen_text(pilot.app).splitlines()[0]
            ) is told


async def test_page_keys_in_a_list_that_has_no_line_left_change_nothing():
    async with opened() as pilot:
        await pilot.press("f")
        await pilot.resize_terminal(1, 1)
        await pilot.press("down", "pagedown", "pageup", "end", "home")
        await pilot.resize_terminal(*NARROW)
        await pilot.pause(0.05)
        assert pilot.app.is_running and "findings" in screen_text(pilot.app)
        await press(pilot, "escape")


async def test_what_was_said_in_one_place_is_not_left_standing_in_another():
    async with opened() as pilot:
        await press(pilot, "s", "v")
        assert "month by month" in screen_text(pilot.app)
        await press(pilot, "b")
        assert "month by month" not in screen_text(pilot.app)


PLACE_MATTERS = {f"looking.{name}" for name in ("working", "findings", "view", "copy_text", "help_here", "go")}
"""What the commands that listen everywhere and do not stand here do is the same in each place: one place tries them."""


@pytest.mark.parametrize("place", PLACES)
async def test_every_key_of_a_place_is_answered(place):
    async with opened(size=NARROW) as pilot:
        app = pilot.app
        for command in active(place):
            if command.does in LEAVING or not (command.places or place == "loads" or command.does in PLACE_MATTERS):
                continue
            for key in command.keys.split(","):
                if app.place != place:
                    await _until(pilot, lambda: app.place == place, GO[place])
                await pilot.press(key)
                # Escape closes a dialog, or gives up a cell being edited.
                await _until(pilot, lambda: len(app.screen_stack) == 1 and not asking(app), "escape")
                assert app.is_running
        await settled(pilot)


async def _until(pilot, reached, key: str) -> None:
    """Press a key, once more where the first one only left something on the way (a cell being edited, a dialog over another)."""
    for _ in range(5):
        await pilot.press(key)
        if reached():
            return
    raise AssertionError(f"{key} did not lead there")


EDITS = {
    "quantity": ("right", "4", "enter"),
    "power": ("right", "right", "6", "0", "enter"),
    "choice": ("right", "right", "right", "right", "right", "space"),
    "new row": ("n", "escape"),
    "double": ("d",),
    "remove": ("delete",),
    "move": ("J",),
    "switch off": ("x",),
    "month": ("m",),
    "typical load": ("a", "enter", "escape"),
    "inverter row": ("end", "home", *["down"] * 12, "right", "right", "5", "enter"),
}


@pytest.mark.parametrize("kind", EDITS)
async def test_every_kind_of_edit_is_undone_and_done_again(kind):
    async with opened() as pilot:
        app = pilot.app
        before = app.document.design
        await pilot.press(*EDITS[kind])
        await settled(pilot)
        after = app.document.design
        assert after != before
        await press(pilot, "u")
        assert app.document.design == before
        await press(pilot, "U")
        assert app.document.design == after
        await press(pilot, "u")
        assert not app.document.dirty


async def test_letters_typed_into_a_cell_are_no_commands():
    async with opened() as pilot:
        await pilot.press("enter")
        await pilot.press("home")
        await type_text(pilot, "smbuqdx")
        await press(pilot, "enter")
        assert pilot.app.document.design.loads[0].name == "smbuqdxCompressor fridge"
        assert pilot.app.place == "loads"


async def test_help_lists_every_key_of_the_place():
    async with opened(size=(120, 80)) as pilot:
        await pilot.press("question_mark")
        await pilot.pause()
        text = screen_text(pilot.app)
        for command in active("loads"):
            assert command.sentence[:30] in text
        assert "licensed people" in text


def test_every_command_has_words_and_an_action():
    for command in EVERY_COMMAND:
        assert command.title and command.sentence.endswith(".")
        module, _, function = command.does.rpartition(".")
        behind = getattr(import_module(f"tui.{module}"), function)
        assert iscoroutinefunction(behind) or not command.asks
        assert behind.__doc__
