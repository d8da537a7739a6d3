"""The Year: income against use, the odds, the map of sizes, and the trip."""

from tui.screens.year.place import YearPlace

__all__ = ["YearPlace"]
