"""The places that are made on their first visit: their modules are imported then."""

from __future__ import annotations

from tui.screens.place import Place


def made(place: str) -> Place:
    """The place of that name, new."""
    if place == "sun":
        from tui.screens.sun import SunPlace

        return SunPlace(id=place)
    if place == "year":
        from tui.screens.year import YearPlace

        return YearPlace(id=place)
    if place == "circuits":
        from tui.screens.circuits import CircuitsPlace

        return CircuitsPlace(id=place)
    if place == "report":
        from tui.screens.report import ReportPlace

        return ReportPlace(id=place)
    from tui.screens.battery import BatteryPlace

    return BatteryPlace(id=place)
