"""What a trip comes to, in the words and the picture below its stops."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from tui import display
from tui.display import percent
from tui.widgets.fan_chart import DAY_H, Fan

if TYPE_CHECKING:
    from model.trip import Cure, Trip


def fan_of(found: Trip) -> Fan:
    """The state of charge along the trip, stop by stop."""
    reserve = [stop.reserve for stop in found.stops for _ in range(DAY_H * stop.nights)]
    hours = len(found.charge_by_hour[0])
    reserve = (reserve + [reserve[-1]] * hours)[:hours]
    marks = [(DAY_H * stop.first, f"{stop.arrives} {short(stop.name)}", short(stop.name)) for stop in found.stops]
    return Fan(found.charge_by_hour, reserve, title_of(found), marks, inner="half", outer="9 of 10")


def title_of(found: Trip) -> str:
    """What the trip comes to, in one sentence."""
    worst = found.worst_stop
    if worst is None or worst.bad_trips == 0:
        lowest = min(min(stop.departure[0], *(day[0] for day in stop.charge_by_day)) for stop in found.stops)
        return f"Never empty in {found.years} trips; 19 of 20 stay above {percent(lowest)}"
    return f"{short(worst.name)} is worst: empty in {worst.bad_trips} of {found.years} trips"


def short(name: str) -> str:
    """The name of a stop without its country."""
    return name.split(",")[0].strip() or "stop"


def words_of(found: Trip) -> Text:
    """The worst stop, and what would mend it, or that nothing need be."""
    text = Text()
    worst = found.worst_stop
    if worst is None or worst.bad_trips == 0:
        text.append("Nothing to mend. ", "bold")
        text.append("Leaves: charge at the end of the stop in the middle trip; 1 in 20: in the bad one.")
        return text
    aim = round(1 / found.target)
    text.append(f"{short(worst.name)}, {worst.arrives} to {worst.leaves}: ", "bold")
    text.append(display.local(f"{worst.empty_days:.1f} empty days a stay"))
    if worst.locked_days >= 0.5:
        text.append(f", {worst.locked_days:.0f} too cold or hot to charge")
    text.append(f". For under 1 trip in {aim}:" if found.cures else f": under 1 trip in {aim}.")
    for cure in sorted(found.cures, key=lambda cure: cure.amount is None):
        enough = cure.amount is not None
        words = cure.words if enough else _not_enough(cure)
        text.append(f"\n{'·' if enough else 'x'} {display.local(words)}")
    return text


def brief_words_of(found: Trip, *, chances: bool) -> Text:
    """The same as running text; with the watts of a cure, and the chance that it leaves, if `chances`."""
    worst = found.worst_stop
    if worst is None or worst.bad_trips == 0 or not found.cures:
        return words_of(found)
    enough = [cure for cure in found.cures if cure.amount is not None]
    helps = [f"{cure.what} ({_left(cure.chance)})" if chances else cure.what.partition(" (")[0] for cure in enough]
    text = Text()
    then = " (chance then)" if chances and enough else ""
    text.append(f"Under 1 trip in {round(1 / found.target)}{then}: ", "bold")
    text.append(f"{display.local('; '.join(helps))}." if helps else "nothing tried is enough by itself.")
    if chances or not helps:
        text.append("".join(f" {_not_enough(cure)}" for cure in found.cures if cure.amount is None))
    return text


def _left(value: float) -> str:
    return "0 %" if value == 0 else "< 1 %" if value < 0.01 else percent(value)


def _not_enough(cure: Cure) -> str:
    return f"{cure.words.partition(':')[0].rstrip('.')}."
