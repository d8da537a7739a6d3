"""A log of real days on the screen: asked for by its path, told month by month, refused in words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from model.logged import compare, in_words
from model.record.log_files import read_log
from tests.tui.conftest import opened, press, screen_text, type_text
from tui.screens.log_view import LogView

HEAD = "day, Wh in, Wh out, min %\n"
LOG = HEAD + "".join(f"2025-12-{day:02}, {880 + 5 * (day % 4)}, {990 + 10 * (day % 3)}, 55\n" for day in range(1, 21))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("AMPLEDGER_FOLDER", str(tmp_path))
    return tmp_path


async def asked(pilot, name: str) -> str:
    """The log `name` asked for in the Year; answers what stands in the dialog."""
    await press(pilot, "y", "L")
    await type_text(pilot, name)
    await pilot.press("enter")
    for _ in range(200):
        await pilot.pause(0.01)
        if isinstance(pilot.app.screen, LogView) and pilot.app.screen.is_mounted:
            await pilot.pause(0.05)
            break
    return screen_text(pilot.app)


def plain(text: str) -> str:
    """The words within the dialog, on one line."""
    return " ".join(" ".join(re.findall(r"│(.*)│", text)).split())


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40)], ids=["60x20", "80x24", "120x40"])
async def test_the_log_is_told_as_the_command_line_tells_it(size, folder):
    (folder / "winter.csv").write_text(LOG)
    async with opened(size=size) as pilot:
        text = await asked(pilot, "winter.csv")
        assert "winter.csv: 20 real days beside the plan" in text
        said = in_words(compare(pilot.app.plan, read_log(folder / "winter.csv")))
        assert any(line.startswith("Use, all months together") for line in said)
        if size[1] > 20:  # all of it is there without scrolling
            for line in said:
                assert line in plain(text)
        await press(pilot, "escape")
        assert len(pilot.app.screen_stack) == 1 and not pilot.app.document.dirty


async def test_what_is_no_log_is_refused_in_words(folder):
    (folder / "notes.csv").write_text("dear diary\nit rained\n")
    (folder / "broken.csv").write_text(HEAD + "2025-12-01, 900, 1000, 50\n2025-13-01, much, 7, 50\n")
    async with opened() as pilot:
        for name, told in (
            ("notes.csv", "names no day and no energy"),
            ("broken.csv", "line 3"),
            ("nowhere.csv", "nowhere.csv"),
        ):
            text = await asked(pilot, name)
            assert "The log was not taken" in text and told in plain(text), text
            await press(pilot, "escape")


async def test_a_log_beyond_the_folder_is_refused_where_it_is_typed(folder, tmp_path_factory):
    other = tmp_path_factory.mktemp("other") / "log.csv"
    other.write_text(LOG)
    async with opened() as pilot:
        text = await asked(pilot, str(other))
        assert "lies outside" in text and not isinstance(pilot.app.screen, LogView)


async def test_brackets_in_a_log_are_no_markup(folder):
    (folder / "[bold]log.csv").write_text("[red]day[/red], nothing\n1, 2\n")
    async with opened() as pilot:
        await press(pilot, "y", "L")
        await pilot.press("left_square_bracket")
        await type_text(pilot, "bold")
        await pilot.press("right_square_bracket")
        await type_text(pilot, "log.csv")
        await pilot.press("enter")
        await pilot.pause(0.3)
        assert "[bold]log.csv" in screen_text(pilot.app)
