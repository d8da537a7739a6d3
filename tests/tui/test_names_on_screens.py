"""One name for each figure on the screens too: what `plan --json` calls a figure stands under its name, flush right below it."""

from __future__ import annotations

import json
from typing import Any

from textual.pilot import Pilot

from model import names
from model.names import Name
from model.quantities import percent, show
from model.record.as_json import as_dict
from tests.tui.conftest import WIDE, opened, press, screen_text, until
from tui.screens.year import YearPlace


def under(text: str, head: str, row: str) -> str:
    """What stands in a row of a table up to the right end of a head; the row is the first that has `row` below the head."""
    lines = text.splitlines()
    top = next((index for index, line in enumerate(lines) if head in line), None)
    assert top is not None, f"{head}: no such head in\n{text}"
    end = lines[top].index(head) + len(head)
    found = next(line for line in lines[top + 1 :] if row in line)
    assert found[end : end + 1] in ("", " ") and found[end - 1 : end].strip(), f"{head}: not flush right in\n{found}"
    return found[:end]


def beside(text: str, label: str) -> str:
    """The first word behind a label."""
    line = next((line for line in text.splitlines() if label in line), None)
    assert line is not None, f"{label}: not in\n{text}"
    return line.split(label, 1)[1].split()[0]


def share(value: float, digits: int = 0) -> str:
    return percent(value, digits).removesuffix(" %")


def holds(text: str, name: Name, row: str, wanted: str) -> None:
    """That the figure `wanted` stands in `row` under the head that `name` has."""
    found = under(text, name.head, row)
    assert found.endswith(f" {wanted}"), (name.full, wanted, found)


async def of_place(pilot: Pilot[None], key: str) -> str:
    await press(pilot, key)
    return screen_text(pilot.app)


async def test_the_six_places_call_each_figure_by_its_name():
    async with opened(size=WIDE) as pilot:
        plan = json.loads(json.dumps(as_dict(pilot.app.plan)))
        _loads(await of_place(pilot, "l"), plan)
        _sun(await of_place(pilot, "s"), plan["supply"])
        _circuits(await of_place(pilot, "i"), plan["wiring"])
        await pilot.press("y")
        place = pilot.app.query_one(YearPlace)
        await until(pilot, lambda: place.found is not None)
        year = json.loads(json.dumps(as_dict(pilot.app.plan, place.found)))
        _year(screen_text(pilot.app), year["storage"]["months"][11])
        _battery(await of_place(pilot, "b"), plan["storage"])  # last: it has the odds of every chemistry worked out


def _loads(text: str, plan: dict[str, Any]) -> None:
    demand = plan["demand"]
    assert f"{names.USE.full} {show(demand['charge_ah_per_day'], 'charge')} a day" in text
    assert f"{names.AUTONOMY.small} {plan['storage']['autonomy_days']:.1f} days" in text
    for load in demand["loads"][3:6]:
        found = under(text, f"{names.USE.short} Ah", load["name"])
        assert found.endswith(f" {show(load['charge_ah_per_day'], 'charge', unit=False)}"), load
    assert f"{names.PEAK.short.lower()} {show(demand['peak_w'], 'power')}" in text
    assert f"{names.SURGE.small} {show(demand['surge_w'], 'power')}" in text


def _sun(text: str, supply: dict[str, Any]) -> None:
    december = supply["months"][11]
    for name, key in (
        (names.FLAT, "ghi_kwh_per_m2_day"), (names.YIELD, "yield_wh_per_w_day"), (names.HARVEST, "harvest_wh_per_day"),
        (names.USE, "use_wh_per_day"),
    ):  # fmt: skip
        holds(text, name, "Dec◂", show(december[key], "number"))
    holds(text, names.TEMPERATURE, "Dec◂", f"{december['temperature_c']:.1f}")
    for name, key in ((names.FLAT_CAUTIOUS, "ghi_cautious_kwh_per_m2_day"), (names.PANEL, "poa_kwh_per_m2_day")):
        assert under(text, f" {name.short}", "Dec◂").endswith(f" {show(december[key], 'number')}"), name
    for label, key in (
        (f"{names.ARRAY.full}, 4 modules", "array_w"),
        (f"{names.ARRAY_NEEDED.full}, sun alone, Dec", "array_needed_w"),
        (names.ARRAY_NEEDED_FOR_REST.full, "array_needed_for_rest_w"),
        (f"{names.ARRAY_NEEDED.full}, worst: Dec", "worst_month_array_needed_w"),
        (f"{names.HARVEST.full} a day", "harvest_wh_per_day"),
        (f"{names.OTHER_INCOME.full} a day", "other_income_wh_per_day"),
        (f"{names.FLAT.full} a day, Dec", "ghi_kwh_per_m2_day"),
        (f"{names.PANEL.full} a day", "poa_kwh_per_m2_day"),
    ):
        assert beside(text, label) == show(supply[key], "number"), label


def _battery(text: str, storage: dict[str, Any]) -> None:
    lfp = storage["options"][0]
    for name, wanted in (
        (names.CAPACITY_NEEDED, show(lfp["capacity_needed_ah"], "number")), (names.USABLE, show(lfp["usable_wh"], "number")),
        (names.AUTONOMY, f"{storage['autonomy_days']:.1f}"), (names.DEPTH, share(lfp["depth_of_discharge"])),
        (names.MASS, show(lfp["mass_kg"], "number")), (names.VOLUME, f"{lfp['volume_l']:.0f}"),
        (names.LIFE, f"{lfp['life_years']:.0f}"),
    ):  # fmt: skip
        assert beside(text, f" {name.small_head} ") == wanted, name
    assert beside(text, names.AUTONOMY_ASKED.full) == f"{storage['autonomy_days_asked']:g}"


def _circuits(text: str, wiring: dict[str, Any]) -> None:
    for one in wiring["circuits"][5:8]:
        row, largest = f" {one['name']} ", max(point["drop_percent"] for point in one["points"])
        holds(text, names.CURRENT, row, show(one["current_a"], "current", unit=False))
        holds(text, names.FUSE, row, f"{one['fuse_a']:g}")
        holds(text, names.LARGEST_DROP, row, share(largest / 100, 1))


def _year(text: str, odds: dict[str, Any]) -> None:
    chance = f"{share(odds['chance_of_empty_day'], 1)} ± {share(odds['chance_error'], 1)}"
    holds(text, names.CHANCE, "Dec◂", chance)
    holds(text, names.UNMET, "Dec◂", share(odds["unmet_fraction"], 1))
    assert f"{names.HARVEST.small}, Wh a day" in text and f"{names.GIVEN_UP.head} {names.LEFT_OVER.head}" in text
