"""Two designs side by side: what was entered otherwise, and what comes of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from math import isclose, isfinite
from typing import Any

from model import names
from model.calendar import MONTHS, month_name
from model.design import Design, Entry, Load
from model.entry import entries, write_entry
from model.plan import Plan
from model.quantities import KINDS, percent, show

SAME = 1e-9  # of the larger figure: less is the computer's rounding
NOTHING = "-"
ONLY_HERE, ONLY_THERE, OTHER = "only here", "only there", "another"
HEADS = {
    "system": "The van",
    "place": "Place",
    "weather": "Own weather",
    "inverter": "Inverter",
    "roof": "Roof",
    "module": "Module",
    "array": "Array",
    "controller": "Controller",
    "alternator": "Driving",
    "shore": "Shore power",
    "generator": "Generator",
    "battery": "Battery",
    "wiring": "Cables",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One line: the part it belongs to, what it is, its text in either design, and how this one differs from the other.

    `difference` is "" where they agree, else words with an arrow: "↑ 12 % more", "only here".
    """

    part: str
    label: str
    here: str
    there: str
    difference: str


def compare(here: Plan, there: Plan) -> tuple[Compared, ...]:
    """Every figure of two plans: the verdict, what was entered otherwise, loads, battery, array, months."""
    return (
        *_verdict(here, there),
        # Loads have a part of their own.
        *entered(replace(here.design, loads=()), replace(there.design, loads=())),
        *_loads(here, there),
        *_battery(here, there),
        *_array(here, there),
        *_months(here, there),
    )


def differing(rows: tuple[Compared, ...]) -> tuple[Compared, ...]:
    """The lines in which the designs differ."""
    return tuple(row for row in rows if row.difference)


def as_text(rows: tuple[Compared, ...], here: str, there: str) -> str:
    """The lines as a table of text, `here` and `there` being the names of the designs."""
    if not rows:
        return f"{here} and {there}: nothing differs."
    widths = [max(len(head), *(len(text) for text in texts)) for head, texts in zip(
        ("", here, there), (("  " + row.label for row in rows), (row.here for row in rows), (row.there for row in rows)),
        strict=True,
    )]  # fmt: skip

    def line(label: str, left: str, right: str, words: str) -> str:
        return f"{label:<{widths[0]}}  {left:>{widths[1]}}  {right:>{widths[2]}}  {words}".rstrip()

    lines, part = [line("", here, there, "the first is")], ""
    for row in rows:
        lines += [row.part] if row.part != part else []
        lines.append(line("  " + row.label, row.here, row.there, row.difference))
        part = row.part
    return "\n".join(lines)


def entered(here: Design, there: Design) -> tuple[Compared, ...]:
    """What was entered otherwise in one design than in the other, field by field; needs no plan."""
    return tuple(_fields_of(here, there, ""))


def _fields_of(here: Any, there: Any, head: str) -> Iterator[Compared]:
    """The fields in which two records of one kind differ, and those of the records in them; `head` says where they are."""
    kind: type = type(here if here is not None else there)
    declared = entries(kind)
    for item in fields(kind):
        mine, other = (None if one is None else getattr(one, item.name) for one in (here, there))
        if mine == other:
            continue
        entry = declared.get(item.name)
        if entry is not None:
            label = f"{head}: {entry.label}" if head else entry.label
            counted = entry.kind in KINDS and not entry.choices and not entry.many
            difference = _more(mine, other) if counted else OTHER
            yield Compared("Entered", label, _text(entry, mine), _text(entry, other), difference)
        elif not isinstance(mine, tuple):
            yield from _fields_of(mine, other, HEADS[item.name])
        else:
            yield from _rows_of(mine or (), other or (), head, item.name)


def _rows_of(mine: Sequence[Any], other: Sequence[Any], head: str, what: str) -> Iterator[Compared]:
    """What differs between two lists of rows, which go by their names; one that was renamed goes by where it stands."""
    mine_names, names_there = _names(mine, what), _names(other, what)
    if len(mine_names) == len(names_there) and sorted(mine_names) != sorted(names_there):
        names_there = mine_names
    rows, rows_there = dict(zip(mine_names, mine, strict=True)), dict(zip(names_there, other, strict=True))
    for name in dict.fromkeys((*mine_names, *names_there)):
        label = f"{head}, {name}" if head else name
        if name in rows and name in rows_there:
            yield from _fields_of(rows[name], rows_there[name], label)
        else:
            here, there = ("row", NOTHING) if name in rows else (NOTHING, "row")
            yield Compared("Entered", label, here, there, ONLY_HERE if name in rows else ONLY_THERE)
    if [name for name in mine_names if name in rows_there] != [name for name in names_there if name in rows]:
        yield Compared("Entered", f"{head}: order of {what}" if head else f"Order of {what}", NOTHING, NOTHING, OTHER)


def _names(rows: Sequence[Any], what: str) -> list[str]:
    """A name for each row, the second "Lamp" being "Lamp (2)"; of one without a name, which it is: "row 3"."""
    found: list[str] = []
    for index, row in enumerate(rows):
        base = getattr(row, "name", "") or f"{what} {index + 1}"
        name, count = base, 1
        while name in found:
            count += 1
            name = f"{base} ({count})"
        found.append(name)
    return found


def _text(entry: Entry, value: Any) -> str:
    """A value as it was typed; of twelve monthly ones, that there are some."""
    if value is None:
        return NOTHING
    return "typed" if entry.many else write_entry(entry, value) or NOTHING


def _verdict(here: Plan, there: Plan) -> Iterator[Compared]:
    part = "Verdict"
    yield _figure(
        part,
        f"{names.USE.full} a day, as charge",
        "charge",
        here.demand.month.charge_ah_per_day,
        there.demand.month.charge_ah_per_day,
    )
    yield _figure(
        part,
        f"{names.USE.full} a day",
        "energy",
        here.demand.month.energy_wh_per_day,
        there.demand.month.energy_wh_per_day,
    )
    yield _spelled(
        part, names.AUTONOMY.full, "{:.1f} days", here.storage.chosen.autonomy_days, there.storage.chosen.autonomy_days
    )
    mine, other = (None if one.supply is None else one.supply.coverage_with_other for one in (here, there))
    yield Compared(
        part, f"{names.COVERAGE.full}, {_month(here, there)}", _share(mine), _share(other), _more(mine, other)
    )
    yield _count(part, "Findings", len(here.findings), len(there.findings))
    yield _count(part, "Dangers among them", _dangers(here), _dangers(there))


def _battery(here: Plan, there: Plan) -> Iterator[Compared]:
    part, mine, other = "Battery", here.storage.chosen, there.storage.chosen
    yield _words(part, "Chemistry", mine.chemistry, other.chemistry)
    yield _figure(part, names.CAPACITY_NEEDED.full, "charge", mine.capacity_needed_ah, other.capacity_needed_ah)
    yield _figure(part, names.INSTALLED.full, "charge", mine.installed_ah, other.installed_ah)
    yield _figure(part, names.USABLE.full, "energy", mine.usable_wh, other.usable_wh)
    yield _words(part, names.DECIDED_BY.full, mine.governs, other.governs)
    yield _figure(part, names.MASS.full, "mass", mine.mass_kg, other.mass_kg)
    yield _spelled(part, names.LIFE.full, "{:.1f} years", mine.life_years, other.life_years)
    yield _figure(part, names.CHARGE_LIMIT.full, "current", mine.charge_limit_a, other.charge_limit_a)
    yield _figure(part, "Price", "money", mine.price, other.price)


def _array(here: Plan, there: Plan) -> Iterator[Compared]:
    part, mine, other = "Array", here.supply, there.supply
    if mine is None or other is None:
        if mine is not other:
            here_text, there_text = ("no climate data" if one is None else "worked out" for one in (mine, other))
            yield Compared(part, "Sun", here_text, there_text, OTHER)
        return
    yield _figure(part, "Modules", "count", mine.wiring.count, other.wiring.count)
    yield _figure(part, names.ARRAY.full, "power", mine.array_w, other.array_w)
    yield _figure(
        part, f"{names.HARVEST.full} a day", "energy", mine.month.harvest_wh_per_day, other.month.harvest_wh_per_day
    )
    yield _figure(
        part,
        f"{names.OTHER_INCOME.full} a day",
        "energy",
        mine.month.other_income_wh_per_day,
        other.month.other_income_wh_per_day,
    )
    yield _figure(part, f"{names.ARRAY_NEEDED.full}, sun alone", "power", mine.month.needed_w, other.month.needed_w)
    yield _figure(
        part, "cautious (9 years of 10)", "power", mine.month.needed_cautious_w, other.month.needed_cautious_w
    )
    yield _words(part, names.WORST_MONTH.full, month_name(mine.worst.month), month_name(other.worst.month))
    yield _figure(part, f"{names.ARRAY_NEEDED.full}, worst month", "power", mine.worst.needed_w, other.worst.needed_w)
    yield _figure(part, names.CONTROLLER.full, "current", mine.wiring.controller_a, other.wiring.controller_a)


def _months(here: Plan, there: Plan) -> Iterator[Compared]:
    for index, name in enumerate(MONTHS):
        mine, other = here.demand.months[index], there.demand.months[index]
        yield _figure(f"{names.USE.full} a day in", name, "energy", mine.energy_wh_per_day, other.energy_wh_per_day)
    if here.supply is not None and there.supply is not None:
        for index, name in enumerate(MONTHS):
            mine_s, other_s = here.supply.months[index], there.supply.months[index]
            yield _figure(
                f"{names.INCOME.full} a day in",
                name,
                "energy",
                mine_s.harvest_wh_per_day + mine_s.other_income_wh_per_day,
                other_s.harvest_wh_per_day + other_s.other_income_wh_per_day,
            )


def _loads(here: Plan, there: Plan) -> Iterator[Compared]:
    """Loads by name, the second "Lamp" of one design against the second of the other."""
    part = f"Loads, {names.USE.small} a day"
    mine, other = _named(here), _named(there)
    for name in dict.fromkeys((*mine, *other)):
        if name in mine and name in other:
            (load, wh), (load_there, wh_there) = mine[name], other[name]
            row = _figure(part, name, "energy", wh, wh_there)
            if not row.difference and load != load_there:
                row = Compared(part, name, row.here, row.there, f"{OTHER} {_first_field(load, load_there)}")
            yield row
        elif name in mine:
            yield Compared(part, name, show(mine[name][1], "energy"), NOTHING, ONLY_HERE)
        else:
            yield Compared(part, name, NOTHING, show(other[name][1], "energy"), ONLY_THERE)


def _named(made: Plan) -> dict[str, tuple[Load, float]]:
    found: dict[str, tuple[Load, float]] = {}
    loads = made.design.loads
    for index, (load, name) in enumerate(zip(loads, _names(loads, "row"), strict=True)):
        step = made.working.get(f"demand.load.{index}.energy_wh_per_day")
        value = 0.0 if step is None or isinstance(step.value, str) else step.value
        found[name] = (load, value)
    return found


def _first_field(here: Load, there: Load) -> str:
    """The first field in which two loads differ, as the file calls it: "months"."""
    return next(
        entry.key.replace("_", " ")
        for name, entry in entries(Load).items()
        if getattr(here, name) != getattr(there, name)
    )


def _figure(part: str, label: str, kind: str, here: float | None, there: float | None) -> Compared:
    return Compared(part, label, show(here, kind), show(there, kind), _more(here, there))


def _words(part: str, label: str, here: str, there: str) -> Compared:
    return Compared(part, label, here, there, "" if here == there else OTHER)


def _more(here: float | None, there: float | None) -> str:
    """How `here` differs from `there`: "↑ 12 % more", "↓ 3 % less", "" where they agree."""
    if here is None or there is None:
        return "" if here is there else ONLY_THERE if here is None else ONLY_HERE
    if here == there or isclose(here, there, rel_tol=SAME):
        return ""
    arrow, word = ("↑", "more") if here > there else ("↓", "less")
    if there == 0 or not (isfinite(here) and isfinite(there)) or here * there < 0:
        return f"{arrow} {word}"
    share = abs(here / there - 1)
    if share >= 10:
        return f"{arrow} {here / there:.0f} times"
    return f"{arrow} {percent(share, 1 if share < 0.1 else 0)} {word}"


def _spelled(part: str, label: str, form: str, here: float, there: float) -> Compared:
    return Compared(part, label, form.format(here), form.format(there), _more(here, there))


def _count(part: str, label: str, here: int, there: int) -> Compared:
    words = f"↑ {here - there} more" if here > there else f"↓ {there - here} less" if here < there else ""
    return Compared(part, label, str(here), str(there), words)


def _dangers(made: Plan) -> int:
    return sum(finding.severity == "danger" for finding in made.findings)


def _share(coverage: float | None) -> str:
    return NOTHING if coverage is None else percent(coverage)


def _month(here: Plan, there: Plan) -> str:
    names = dict.fromkeys(month_name(one.design.month) for one in (here, there))
    return " / ".join(names)
