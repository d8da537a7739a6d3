"""The design that a new file begins with: nothing invented, only a few loads that nearly every van has."""

from __future__ import annotations

from model.design import Design, Load, Place


def starter() -> Design:
    """A new design: a fridge, lamps, a pump and phones, to be corrected by what the builder really has.

    Powers are common practice, no source; the place is one for which there is climate data.
    """
    return Design(
        name="My van",
        place=Place("Sevilla, Andalusia, Spain", 37.38, -5.97),
        loads=(
            Load("Refrigerator", power_w=45, hours_per_day=24, duty=0.35, follows_heat=True),
            Load("Lamps", quantity=4, power_w=3, hours_per_day=4, when="evening"),
            Load("Water pump", power_w=50, hours_per_day=0.2, when="day"),
            Load("Phones", quantity=2, power_w=10, hours_per_day=2, when="evening"),
        ),
    )
