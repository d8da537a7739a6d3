"""The trip on the Year: stops edited in their cells, placed by name, moved, removed; odds that follow; findings lead there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from time import sleep

import pytest

import model.trip
from model.design import Stop
from model.year import Cancelled
from tests.tui.conftest import opened, press, screen_text, settled, shown, type_text, until
from tests.tui.test_year import SIZES, worked_out
from tui import looking
from tui.screens.year import YearPlace

STOPS = (
    Stop("Marsh", 37.13, -6.49, None, "1 Dec", 3),
    Stop("Sierra", 40.94, -4.1, None, None, 4, 5.0),
)


@pytest.fixture(autouse=True)
def few_trips(monkeypatch):
    """How many trips are simulated is not what the screen is tested for, and costs seconds."""
    monkeypatch.setattr(model.trip, "trip", partial(model.trip.trip, years=60))


async def on_the_trip(pilot, stops=STOPS) -> YearPlace:
    """The Year on the trip's view, with `stops`, simulated."""
    design = pilot.app.document.design
    pilot.app.edit(replace(design, stops=stops), "stops")
    await press(pilot, "y")
    place = pilot.app.query_one(YearPlace)
    place.set_view("trip")
    place.take_focus()
    await travelled(pilot)
    return place


async def travelled(pilot) -> None:
    """Wait for the trip of the design in hand."""
    await settled(pilot)
    await worked_out(pilot)
    stops = pilot.app.document.design.stops
    found = pilot.app.query_one(YearPlace).trip.found
    assert not stops or (found is not None and found.plan.design == pilot.app.document.design)


async def test_the_stops_their_odds_and_the_fan_are_on_the_screen():
    async with opened() as pilot:
        place = await on_the_trip(pilot)
        odds = place.trip.found.stops[1]
        for size in SIZES:
            await pilot.resize_terminal(*size)
            await pilot.pause(0.1)
            text = screen_text(pilot.app)
            for word in ("Marsh", "Sierra", "(4 Dec)", "Chance %", "middle", "empty", "60 trips"):
                assert word in text, (word, text)
            stops, fan, words = (place.query_one(f"#trip-{name}") for name in ("stops", "fan", "scroll"))
            assert not stops.region.overlaps(fan.region) and not fan.region.overlaps(words.region)
            assert fan.region.height >= 6
            row = next(line for line in text.splitlines() if "Sierra" in line)
            assert f" {100 * odds.chance_of_empty_day:.1f} " in f"{row} " or " < 0.1 " in f"{row} "


async def test_an_edited_stop_gives_new_odds():
    async with opened() as pilot:
        place = await on_the_trip(pilot)
        before = place.trip.found.stops[1]
        await pilot.press("down", "right", "right")
        await type_text(pilot, "14")
        await pilot.press("enter")
        await travelled(pilot)
        after = place.trip.found.stops[1]
        assert pilot.app.document.design.stops[1].nights == 14
        assert after.nights == 14 and after.empty_days > before.empty_days
        await press(pilot, "u")
        assert pilot.app.document.design.stops[1].nights == 4


async def test_a_refused_text_says_so_in_place():
    async with opened() as pilot:
        await on_the_trip(pilot)
        await pilot.press("right")
        await pilot.press("3")
        await type_text(pilot, "1 Feb")
        await pilot.pause(0.05)
        text = screen_text(pilot.app)
        assert "a day that no calendar has" in text and "Esc restores" in text
        await pilot.press("escape")


async def test_stops_are_placed_added_moved_copied_and_removed_by_keys():
    async with opened() as pilot:
        place = await on_the_trip(pilot)
        app = pilot.app
        home = app.document.design.place
        await pilot.press("p")
        await type_text(pilot, "burgos")
        await pilot.pause(0.2)
        await pilot.press("enter")
        await settled(pilot)
        first = app.document.design.stops[0]
        assert first.name.startswith("Burgos") and first.latitude_deg == pytest.approx(42.34, abs=0.1)
        assert app.document.design.place == home, "the place of the design stays"
        await pilot.press("n")
        await type_text(pilot, "60.5, 22.3")
        await pilot.pause(0.2)
        await pilot.press("enter")
        await settled(pilot)
        stops = app.document.design.stops
        assert len(stops) == 3 and stops[1].latitude_deg == pytest.approx(60.5)
        assert place.trip.table.cursor == ("1", "nights")
        await press(pilot, "shift+down")
        assert app.document.design.stops[2] == stops[1]
        await press(pilot, "d")
        assert len(app.document.design.stops) == 4
        await press(pilot, "delete")
        assert len(app.document.design.stops) == 3
        await pilot.press("e")
        await pilot.pause(0.2)
        assert "Latitude" in screen_text(app) and "Nights on shore power" in screen_text(app)
        await pilot.press("escape")


async def test_rows_are_not_touched_where_the_trip_is_not_shown():
    async with opened() as pilot:
        place = await on_the_trip(pilot)
        place.set_view("income")
        before = pilot.app.document.design
        await press(pilot, "delete", "d", "shift+up")
        assert pilot.app.document.design == before
        assert "v leads there" in screen_text(pilot.app)


async def test_without_stops_the_view_says_what_to_do():
    async with opened() as pilot:
        await on_the_trip(pilot, ())
        text = screen_text(pilot.app)
        assert "No stops yet" in text and "n adds a stop" in text


async def test_a_finding_leads_to_the_field_of_a_stop():
    async with opened() as pilot:
        place = await on_the_trip(pilot)
        await press(pilot, "l")
        await looking.go_to(pilot.app, "stops/1/shore_nights")
        await pilot.pause()
        assert pilot.app.place == "year" and place.on_trip
        assert place.trip.table.has_focus and place.trip.table.cursor == ("1", "shore_nights")


async def test_the_working_of_a_stop_names_its_trips():
    async with opened() as pilot:
        await on_the_trip(pilot)
        await pilot.press("w")
        await pilot.pause(0.1)
        text = screen_text(pilot.app)
        assert "Chance of an empty day, Marsh" in text


async def test_the_trip_can_be_stopped(monkeypatch: pytest.MonkeyPatch):
    def endless(*_: object, cancelled: Callable[[], bool], **__: object) -> None:
        """A simulation that only a stop ends, however fast the machine is."""
        while not cancelled():
            sleep(0.01)
        raise Cancelled

    async with opened() as pilot:
        place = await on_the_trip(pilot)
        design = pilot.app.document.design
        monkeypatch.setattr(model.trip, "trip", endless)
        pilot.app.edit(replace(design, stops=(*STOPS, replace(STOPS[1], name="Coast", nights=60))), "one more")
        await settled(pilot)
        await until(pilot, lambda: any(one.group == "trip" and one.is_running for one in pilot.app.workers))
        await pilot.press("k")
        await shown(pilot, "stopped; the trip shown is that of an earlier design")
        assert place.trip.found.plan.design == design


async def test_the_stops_are_written_with_the_decimal_sign_of_the_settings():
    async with opened(size=(120, 40)) as pilot:
        await on_the_trip(pilot)
        design = pilot.app.document.design
        pilot.app.edit(replace(design, stops=(replace(design.stops[0], driving_hours=2.5), *design.stops[1:])), "far")
        pilot.app.take_settings(replace(pilot.app.settings, decimal="comma"))
        await settled(pilot)
        try:
            line = next(line for line in screen_text(pilot.app).splitlines() if design.stops[0].name in line)
            assert "2,5 h" in line and "." not in line, line
        finally:
            pilot.app.take_settings(replace(pilot.app.settings, decimal="point"))


async def test_what_would_mend_the_worst_stop_is_there_without_scrolling():
    thirsty = (
        Stop("Reed edge", 37.13, -6.49, None, "9 Feb", 7),
        Stop("Crane lagoon", 40.97, -1.5, 995.0, None, 5, 9.0),
        Stop("Loire mouth", 47.28, -2.0, None, None, 4, 11.0, 1.0),
        Stop("Goose polder", 53.37, 6.2, None, None, 6, 12.0, off="Field laptop, Camera battery charger"),
    )
    async with opened() as pilot:
        place = await on_the_trip(pilot, thirsty)
        assert place.trip.found.cures
        for size in SIZES:
            await pilot.resize_terminal(*size)
            for cure in place.trip.found.cures:
                if cure.amount is not None:
                    words = cure.what.partition(" (")[0]

                    def on_it(words: str = words) -> bool:
                        return words in " ".join(screen_text(pilot.app).split())

                    await until(pilot, on_it, f"{size}: {words}")
