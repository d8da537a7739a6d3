"""This design at 12, 24 and 48 V, on the screen and on the command line."""

from __future__ import annotations

from tests.tui.conftest import opened, screen_text, until
from tui.commandline import run


async def test_a_key_of_the_circuits_shows_them_side_by_side():
    async with opened() as pilot:
        await pilot.press("i", "V")
        await until(pilot, lambda: pilot.app.screen.query("#voltages-table"))
        text = screen_text(pilot.app)
        assert "12 V, entered" in text and "Copper of all cables, kg" in text and "New dangers" in text
        await pilot.press("down", "down")
        assert "16 mm2 at Inverter, battery to inverter" in screen_text(pilot.app)
        await pilot.press("v")
        assert "What changes" in screen_text(pilot.app)
        await pilot.press("v", "escape")
        assert len(pilot.app.screen_stack) == 1


def test_the_command_line_prints_them(capsys):
    assert run(["compare", "--voltages"]) == 0
    text = capsys.readouterr().out
    assert "12 V, entered" in text and "What speaks against it" in text
    assert run(["compare", "--voltages", "one.toml", "two.toml"]) == 2
    assert run(["compare", "one.toml"]) == 2
    assert "OTHER" in capsys.readouterr().err
