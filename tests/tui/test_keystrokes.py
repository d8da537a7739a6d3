"""How many keys the journeys of README take, typed by hand from the start of the program; DEVELOPERS.md tells the same counts."""

import re
from pathlib import Path

import pytest

from tests.tui.conftest import opened, screen_text, settled, shown, until

TABLE = Path(__file__).parents[2] / "DEVELOPERS.md"
CHARACTERS = {" ": "space", ",": "comma", ".": "full_stop", "-": "minus"}


def typed(text):
    return [CHARACTERS.get(character, character) for character in text]


JOURNEYS = {
    "a load with its hours": ["n", *typed("Kettle"), "tab", "tab", *typed("900"), "tab", *typed("0,1"), "enter"],
    "another place and month": ["s", "p", *typed("kiruna"), "enter", "m"],
    "the next chemistry taken": ["b", "right", "right", "c"],
}
FIRST_MINUTE = "an own van: five answers, three loads, battery and array"
ANSWERS = ("granada", "oct-apr", "3", "4", "1.7")
LOADS = ("fridge", "lamp", "pump")


def told():
    """Journey -> keys, from the table in DEVELOPERS.md."""
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    rows = (re.fullmatch(r"\| (.+) \| (\d+) \|", line) for line in lines)
    return {row[1]: int(row[2]) for row in rows if row}


def test_every_journey_is_counted_in_the_table():
    assert {name: len(keys) for name, keys in JOURNEYS.items()}.items() <= told().items()
    assert set(told()) == {*JOURNEYS, FIRST_MINUTE}


@pytest.mark.parametrize("name", JOURNEYS)
async def test_the_keys_lead_there(name):
    async with opened() as pilot:
        app = pilot.app
        before = app.document.design
        for key in JOURNEYS[name]:
            await pilot.press(key)
            if key == "p":
                await until(pilot, lambda: len(app.screen_stack) == 2)
        await settled(pilot)
        await until(pilot, lambda: app.document.design != before)
        await settled(pilot)
        now = app.document.design
        if name == "a load with its hours":
            load = next(one for one in now.loads if one.name == "Kettle")
            assert (load.power_w, load.hours_per_day) == (900.0, 0.1)
        elif name == "another place and month":
            await until(pilot, lambda: "Kiruna" in app.document.design.place.name)
            await until(pilot, lambda: app.document.design.month == before.month % 12 + 1)
        else:
            assert now.battery.chemistry == "LTO" and app.plan.storage.chosen.chemistry == "LTO"


async def test_the_first_minute_takes_that_many_keys():
    async with opened() as pilot:
        app, count = pilot.app, 0

        async def press(*keys):
            nonlocal count
            for key in keys:
                await pilot.press(key)
                count += 1

        await press("N")
        await until(pilot, lambda: len(app.screen_stack) == 2)
        for text in ANSWERS:
            await press(*typed(text), "enter")
        await press("enter", "enter")  # the system's voltage as it stands, and on to the loads
        for number, word in enumerate(LOADS):
            await shown(pilot, f"{number} in the table")
            await press(*typed(word), "enter")
        await shown(pilot, "3 in the table")
        await press("escape")
        await until(pilot, lambda: len(app.screen_stack) == 1)
        await settled(pilot)
        await press("b")
        assert "needed Ah" in screen_text(app)
        await press("s")
        assert "Array needed" in screen_text(app)
        assert count == told()[FIRST_MINUTE]
