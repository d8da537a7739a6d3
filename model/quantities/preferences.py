"""How a person wants to read numbers. Files, JSON and the working stay metric with a decimal point."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Preferences:
    """Feet in place of metres, degrees Fahrenheit in place of Celsius, a decimal comma in place of the point."""

    feet: bool = False
    fahrenheit: bool = False
    comma: bool = False


METRIC = Preferences()
