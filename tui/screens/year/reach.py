"""The way back from a chance to a size, read off a map of battery against array: what is missing, and in whose words.

Numbers come from `model.year.battery_map`; nothing is simulated here, so that another target is answered at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import ceil, floor, inf, isfinite, log10
from typing import TYPE_CHECKING

from model.calendar import month_name
from model.design import Design
from model.quantities import show
from tui.widgets.map_chart import DASHED, DOTTED, FULL, Field, Line, Mark, Way

if TYPE_CHECKING:
    from model.plan import Plan
    from model.storage.systems import ChanceMap
    from model.supply.weather_file import MeasuredDays

TARGETS = (100, 30, 10)
"""One empty day in so many days: what may be aimed at."""
DRAWN = (100, 10, 3)
YEARS = 40
FEWEST_MODULES, MOST_W, COLUMNS, ROWS = 4, 20_000.0, 16, 12


@dataclass(frozen=True, slots=True)
class Sizes:
    """What keeps the target: battery in Wh rated, array in W, infinite where the map has none.

    `battery_low_wh`, `battery_high_wh`: with the chance one standard error lower and higher. `lightest_*`: whole modules.
    """

    battery_wh: float
    battery_low_wh: float
    battery_high_wh: float
    array_w: float
    lightest_w: float
    lightest_wh: float
    lightest_kg: float


@dataclass(frozen=True)
class Reach:
    """The map of a plan: for the month looked at, and for all months of use where these are others."""

    plan: Plan
    month: ChanceMap
    use: ChanceMap | None
    measured: bool = False

    @property
    def chance(self) -> float:
        """The chance of an empty day of this very design in the month looked at, as the map has it."""
        row, column = self._own(self.month)
        return float(self.month.chance[row, column])

    def sizes(self, target: float, chances: ChanceMap) -> Sizes:
        """What keeps `target` in the days that `chances` holds."""
        from model.storage.systems import contour
        from model.year import KG_PER_W

        row, column = self._own(chances)
        array_w, full_wh = float(chances.array_w[column]), float(chances.full_wh[row])
        line = dict(contour(chances, target))
        low = dict(contour(replace(chances, chance=chances.chance - chances.error), target))
        high = dict(contour(replace(chances, chance=chances.chance + chances.error), target))
        turned = replace(
            chances,
            array_w=chances.full_wh,
            full_wh=chances.array_w,
            chance=chances.chance.T,
            error=chances.error.T,
        )
        module, option = self.plan.design.module, self.plan.storage.chosen
        kg_per_w = KG_PER_W if module.mass_kg is None else module.mass_kg / module.rated_w
        kg_per_wh = option.mass_kg / option.installed_wh
        masses = {
            watts: watts * kg_per_w + battery * kg_per_wh
            for watts, battery in line.items()
            if abs(watts / module.rated_w - round(watts / module.rated_w)) < 1e-6
        }
        best = min(masses, key=lambda watts: masses[watts], default=None)
        return Sizes(
            line.get(array_w, inf),
            low.get(array_w, inf),
            high.get(array_w, inf),
            dict(contour(turned, target)).get(full_wh, inf),
            inf if best is None else best,
            inf if best is None else line[best],
            inf if best is None else masses[best],
        )

    def _own(self, chances: ChanceMap) -> tuple[int, int]:
        """Row and column of this design in the map; it lies on it by `grid`."""
        row = abs(chances.full_wh - self.plan.storage.chosen.installed_wh).argmin()
        column = abs(chances.array_w - _array_w(self.plan)).argmin()
        return int(row), int(column)


def what_it_hangs_on(design: Design) -> Design:
    """The design without what the map does not depend on, to tell whether a map is still true."""
    return replace(design, name="", stops=(), circuits=())


def grid(plan: Plan) -> tuple[list[float], list[float]]:
    """Arrays (W) and batteries (Wh rated) to try: whole modules up to well beyond what is needed, and this design itself."""
    option, module_w, array_w = plan.storage.chosen, plan.design.module.rated_w, _array_w(plan)
    needed_w = plan.supply.month.needed_w if plan.supply is not None else 0.0
    wanted_w = max(2 * array_w, FEWEST_MODULES * module_w)
    if needed_w <= MOST_W:
        wanted_w = max(wanted_w, min(1.3 * needed_w, 4 * wanted_w))
    modules = ceil(wanted_w / module_w - 1e-9)
    step = max(1, ceil(modules / COLUMNS))
    part = 2 if 2 * modules <= COLUMNS else 1
    arrays = {index * step * module_w / part for index in range(part * ceil(modules / step) + 1)}
    most_wh = max(2 * option.installed_wh, 1.3 * option.capacity_needed_wh)
    batteries = {most_wh / 16 * 16 ** (index / (ROWS - 1)) for index in range(ROWS)}
    return sorted({*arrays, array_w}), sorted({*batteries, option.installed_wh})


def reach(
    plan: Plan, measured: MeasuredDays | None, progress: Callable[[float], None], cancelled: Callable[[], bool]
) -> Iterator[Reach]:
    """The maps of a plan: that of the month, then with that of the months of use. Raises as `model.year.battery_map`."""
    from model.year import battery_map

    arrays, batteries = grid(plan)
    use = plan.design.months_of_use
    both = bool(use) and use != (plan.design.month,)

    def made(months: tuple[int, ...], begun: float, part: float) -> ChanceMap:
        return battery_map(
            plan,
            arrays,
            batteries,
            months=months,
            years=2
            if measured is not None and measured.years == 1
            else YEARS,  # one year repeated says no more than twice
            measured=measured,
            progress=lambda share: progress(begun + part * share),
            cancelled=cancelled,
        )

    part = 0.5 if both else 1.0
    month = made((plan.design.month,), 0.0, part)
    yield Reach(plan, month, None, measured is not None)
    if both:
        yield Reach(plan, month, made(use, 0.5, 0.5), measured is not None)


def field_of(found: Reach, aim: int) -> Field:
    """The map as a picture: the lines of equal chance, this design, and the ways to the line aimed at."""
    option, chances = found.plan.storage.chosen, found.month
    sizes, array_w = found.sizes(1 / aim, chances), _array_w(found.plan)
    here = installed_ah(found.plan, option.installed_wh)
    others = [one for one in DRAWN if one != aim]
    strokes = dict(zip(others, (DASHED, DOTTED, DOTTED), strict=False))
    lines = [Line(1 / one, f"1 day in {one}", strokes.get(one, FULL)) for one in sorted({*DRAWN, aim}, reverse=True)]
    marks = [Mark(array_w, here, "◆", f"this design, {how_often(found.chance)}")]
    if isfinite(sizes.lightest_w):
        marks.append(
            Mark(sizes.lightest_w, installed_ah(found.plan, sizes.lightest_wh), "◇", f"lightest for 1 in {aim}")
        )
    ways = []
    if found.chance > 1 / aim:
        if isfinite(sizes.battery_wh):
            more = installed_ah(found.plan, sizes.battery_wh)
            ways.append(Way(array_w, here, array_w, more, f"+{_up(more - here)} Ah"))
        if isfinite(sizes.array_w):
            ways.append(Way(array_w, here, sizes.array_w, here, f"+{_up(sizes.array_w - array_w)} W"))
    return Field(
        [float(value) for value in chances.array_w],
        [installed_ah(found.plan, float(value)) for value in chances.full_wh],
        [[float(value) for value in row] for row in chances.chance],
        lines,
        marks,
        ways,
        title=finding(found, aim),
    )


def finding(found: Reach, aim: int) -> str:
    """What the map says, in one sentence."""
    plan, sizes = found.plan, found.sizes(1 / aim, found.month)
    name, array_w = month_name(plan.design.month), _array_w(plan)
    here = installed_ah(plan, plan.storage.chosen.installed_wh)
    under = f"{name} under 1 empty day in {aim}"
    if found.chance <= 1 / aim:
        spare = here - _up(installed_ah(plan, sizes.battery_wh))
        enough = f"; {_up(installed_ah(plan, sizes.battery_wh))} Ah would do" if spare >= here / 20 else ""
        return f"{_w(array_w)} and {here:.0f} Ah keep {under}{enough}"
    battery = isfinite(sizes.battery_wh)
    more_ah = f"{_up(installed_ah(plan, sizes.battery_wh) - here)} Ah more" if battery else ""
    more_w = f"{_up(sizes.array_w - array_w)} W more" if isfinite(sizes.array_w) else ""
    if more_ah and more_w:
        return f"At {_w(array_w)}, {more_ah} or {more_w} keeps {under}"
    if more_ah or more_w:
        barren = f"; no battery here does at {_w(array_w)}" if more_w else ""
        return f"At {_w(array_w)}, {more_ah or more_w} keeps {under}" + barren * (not battery)
    if isfinite(sizes.lightest_w):
        return f"Only more array and more battery together keep {under}"
    return f"Nothing on this map keeps {under}"


def table_of(found: Reach, aim: int) -> list[tuple[str, ...]]:
    """What keeps the target: a line of headings, then a label and a text for the month and for the months of use."""
    plan = found.plan
    maps = [("in " + month_name(plan.design.month), found.month)]
    if found.use is not None:
        maps.append(
            ("in the months on the road" if len(plan.design.months_of_use) < 12 else "over the year", found.use)
        )
    sizes = [found.sizes(1 / aim, chances) for _, chances in maps]
    array = _w(_array_w(plan))
    battery = f"{installed_ah(plan, plan.storage.chosen.installed_wh):.0f} Ah"
    return [
        ("", *(words for words, _ in maps)),
        (f"smallest battery for {array}", *(_battery(plan, each) for each in sizes)),
        (f"smallest array for {battery}", *(_array(plan, each.array_w) for each in sizes)),
        ("lightest of all", *(_lightest(plan, each) for each in sizes)),
    ]


def how_often(chance: float) -> str:
    """A chance as people count: "1 day in 20", "2 days in 3"."""
    if chance < 0.001:
        return "hardly an empty day"
    if chance > 0.5:
        return "every day" if chance > 0.95 else f"{round(10 * chance)} days in 10"
    days = 1 / chance
    return f"1 day in {round(days) if days < 20 else _round(days)}"


def installed_ah(plan: Plan, full_wh: float) -> float:
    """A rated energy as charge at the battery's own voltage."""
    return full_wh / plan.storage.chosen.bank_v


def _battery(plan: Plan, sizes: Sizes) -> str:
    if not isfinite(sizes.battery_wh):
        return "none on this map"
    low, high = (installed_ah(plan, wh) for wh in (sizes.battery_low_wh, sizes.battery_high_wh))
    upper = f"{_up(high)}" if isfinite(high) else "more"
    return f"{_up(installed_ah(plan, sizes.battery_wh))} Ah ({_round(low)} to {upper})"


def _array(plan: Plan, array_w: float) -> str:
    if not isfinite(array_w):
        return "none on this map"
    count = ceil(array_w / plan.design.module.rated_w - 1e-6)
    return f"{_up(array_w)} W, {count} module{'' if count == 1 else 's'}"


def _lightest(plan: Plan, sizes: Sizes) -> str:
    if not isfinite(sizes.lightest_kg):
        return "none on this map"
    battery = _up(installed_ah(plan, sizes.lightest_wh))
    return f"{_w(sizes.lightest_w)} + {battery} Ah, {sizes.lightest_kg:.0f} kg"


def _array_w(plan: Plan) -> float:
    return plan.supply.array_w if plan.supply is not None else 0.0


def _w(value: float) -> str:
    return show(value, "power")


def _up(value: float) -> int:
    """To two figures or five, never less: what falls short would not do."""
    return ceil(value / _unit(value) - 1e-9) * _unit(value)


def _round(value: float) -> int:
    """To two figures or five, whichever is nearer."""
    return round(value / _unit(value)) * _unit(value)


def _unit(value: float) -> int:
    return max(5, int(10 ** (floor(log10(max(value, 1.0))) - 1)))


def error_words(found: Reach) -> str:
    """How well the map is known."""
    weather = "measured" if found.measured else "synthetic"
    return f"{found.month.years} {weather} years a size · (a to b): within one standard error"
