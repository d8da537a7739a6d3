"""This design beside another one."""

from __future__ import annotations

from pathlib import Path

from model import shelf
from tests.tui.conftest import opened, press, screen_text
from tui.commandline import run


async def compared(pilot, *keys: str) -> str:
    """The screen once the comparison stands on it."""
    await pilot.press("D")
    await pilot.pause(0.1)
    await pilot.press(*keys)
    for _ in range(200):
        await pilot.pause(0.02)
        if pilot.app.screen.query("#comparison-table"):
            break
    await pilot.pause(0.05)
    return screen_text(pilot.app)


async def test_an_earlier_state_is_one_key_away():
    async with opened() as pilot:
        await press(pilot, "delete")
        text = await compared(pilot, "down", "enter")
        assert "beside the other: as last saved" in text
        assert "Compressor fridge" in text and "only there" in text
        assert "Chemistry" not in text
        await pilot.press("v")
        await pilot.pause(0.05)
        assert "Use a day" in screen_text(pilot.app)
        await pilot.press("escape")
        assert len(pilot.app.screen_stack) == 1


async def test_without_edits_there_are_files_alone():
    async with opened() as pilot:
        await pilot.press("D")
        await pilot.pause(0.1)
        assert "as last saved" not in screen_text(pilot.app)
        await pilot.press("enter")
        await pilot.pause(0.05)
        assert "type a file name" in screen_text(pilot.app)
        await pilot.press("escape")


def test_the_command_line_says_the_same(tmp_path: Path, capsys):
    heron = shelf.path("heron.toml")
    other = tmp_path / "other.toml"
    other.write_text(
        heron.read_text(encoding="utf-8").replace('chemistry = "LFP"', 'chemistry = "AGM"'), encoding="utf-8"
    )
    assert run(["compare", str(heron), str(other)]) == 0
    text = capsys.readouterr().out
    assert "Battery: Chemistry" in text and "another" in text and "Modules" not in text
    assert run(["compare", str(heron), str(other), "--all"]) == 0
    assert "Modules" in capsys.readouterr().out
    assert run(["compare", str(heron), str(tmp_path / "none.toml")]) == 2
    assert "none.toml" in capsys.readouterr().err
