"""What matters most: ten percent more of each input changes a figure by so much.

The answer is found by planning again with one input changed, so it holds for every figure that has a working, steps of whole
modules and the choice between gates included. It says what one change does, not what two do together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from math import isclose, isfinite
from typing import Any

from model import edit
from model.design import Design, Entry, Load, Run
from model.entry import LARGEST, entries, write_entry
from model.plan import Plan, plan
from model.quantities import KINDS

MORE = 0.10
SAME = 5e-5  # of the figure: a change that would be shown as 0.0 % is none
WHOLE = "count"
NO_RATIO = ("angle", "temperature")  # ten percent more of a latitude or of degrees Celsius means nothing
HEADS = {
    "battery": "battery",
    "array": "array",
    "module": "module",
    "controller": "controller",
    "roof": "roof",
    "alternator": "driving",
    "shore": "shore power",
    "generator": "generator",
    "inverter": "inverter",
    "weather": "own weather",
    "wiring": "cables",
    "place": "place",
}
# Demand reads these alone (of the place its cold); whatever is worked out behind it may read everything before it.
READ_BY_DEMAND = ("loads", "system", "inverter", "days", "place", "weather")
READ_BY_WIRING_ALONE = ("wiring", "circuits")


@dataclass(frozen=True, slots=True)
class Influence:
    """What one input does to a figure. `change` is the share by which the figure grows when the input goes from `before` to
    `after`, both as texts; `label` names several fields of a row where they do the very same."""

    path: str
    label: str
    before: str
    after: str
    change: float


@dataclass(frozen=True, slots=True)
class _Input:
    """A number of the design that may be made larger."""

    path: str
    record: str  # path of the record that holds it, "" for the design itself
    entry: Entry
    value: Any


@dataclass(frozen=True, slots=True)
class _Trial:
    """One input made larger, and by what share the figure grew for each tenth of the input."""

    input: _Input
    more: Any
    change: float
    per_tenth: float


class Cancelled(Exception):
    """Nobody waits for the answer any more."""


def sensitivity(
    made: Plan, key: str, limit: int = 8, cancelled: Callable[[], bool] = lambda: False
) -> tuple[Influence, ...]:
    """The `limit` inputs of `made.design` that change the figure `key` most, the strongest first; each by ten percent more.

    Whole numbers are made one more and ranked by what a tenth of them would do; what has an end stops there (24 hours,
    100 %). Empty where the figure is a word, is 0, or is unknown. Raises Cancelled soon after `cancelled` answers true.
    """
    base = _figure(made, key)
    if not base:
        return ()

    def changed(design: Design) -> float:
        if cancelled():
            raise Cancelled
        new = _figure(plan(design), key)
        return 0.0 if new is None else new / base - 1

    trials = []
    for record, inputs in _by_record(_inputs(made, key)).items():
        if record.startswith(("loads/", "circuits/")) and abs(changed(_all_more(made.design, inputs))) < SAME:
            continue  # one try for the whole row; there may be hundreds
        trials += [trial for one in inputs if (trial := _tried(made.design, one, changed)) is not None]
    strongest = sorted(_merged(trials), key=lambda group: -abs(group[0].per_tenth))
    return tuple(_influence(made.design, group) for group in strongest[:limit])


def _figure(made: Plan, key: str) -> float | None:
    step = made.working.get(key)
    if step is None or isinstance(step.value, str) or not isfinite(step.value):
        return None
    return float(step.value)


def _inputs(made: Plan, key: str) -> Iterator[_Input]:
    """The numbers that `key` may hang on, in the order of the design."""
    for one in _walk(made.design, ""):
        head = one.path.split("/")[0]
        if key.startswith("demand.") and head not in READ_BY_DEMAND:
            continue
        if head in READ_BY_WIRING_ALONE and not (key.startswith("wiring.") or made.design.wiring.losses_counted):
            continue
        value = one.value if one.value is not None else _in_force(made, one.path)
        if value is not None and value != 0:
            yield replace(one, value=value)


def _walk(record: Any, path: str) -> Iterator[_Input]:
    """Every number of a record and of the records in it; rows that are switched off are passed over."""
    if isinstance(record, Load) and not record.on:
        return
    kind: type = type(record)
    declared = entries(kind)
    for item in fields(record):
        value, below = getattr(record, item.name), f"{path}/{item.name}" if path else item.name
        entry = declared.get(item.name)
        if entry is None:
            rows = enumerate(value) if isinstance(value, tuple) else ((None, value),)
            for index, row in rows:
                if is_dataclass(row):
                    yield from _walk(row, below if index is None else f"{below}/{index}")
        elif entry.kind in KINDS and entry.kind not in NO_RATIO and not entry.choices and entry.many >= 0:
            yield _Input(below, path, entry, value)


def _in_force(made: Plan, path: str) -> float | None:
    """What counts where a field was left empty."""
    if path == "battery/depth_of_discharge":  # typed, it holds for the chosen chemistry alone
        return made.storage.chosen.depth_of_discharge
    if path == "array/count":
        return _figure(made, "supply.modules_fit")
    return None


def _by_record(inputs: Iterator[_Input]) -> dict[str, list[_Input]]:
    records: dict[str, list[_Input]] = {}
    for one in inputs:
        records.setdefault(one.record, []).append(one)
    return records


def _more(one: _Input) -> Any:
    """The input made larger, or as it is where it stands at its end already."""
    if isinstance(one.value, tuple):
        return tuple(min(value * (1 + MORE), KINDS[one.entry.kind].high) for value in one.value)
    if one.entry.kind == WHOLE:
        return min(one.value + 1, _highest(one.entry))
    more = one.value * (1 + MORE)
    low = KINDS[one.entry.kind].low if one.entry.low is None else one.entry.low
    return max(low, min(more, _highest(one.entry)))


def _highest(entry: Entry) -> float:
    return min(LARGEST, KINDS[entry.kind].high, LARGEST if entry.high is None else entry.high)


def _all_more(design: Design, inputs: list[_Input]) -> Design:
    """The design with every input of a row made larger, but for shares, whose growth may undo that of the others."""
    for one in inputs:
        if one.entry.kind != "efficiency":
            design = edit.put(design, one.path, _more(one))
    return design


def _tried(design: Design, one: _Input, changed: Callable[[Design], float]) -> _Trial | None:
    more = _more(one)
    if more == one.value:
        return None
    change = changed(edit.put(design, one.path, more))
    if abs(change) < SAME:
        return None
    tenths = (more / one.value - 1) / MORE if one.entry.kind == WHOLE else 1.0
    return _Trial(one, more, change, change / tenths)


def _merged(trials: list[_Trial]) -> list[list[_Trial]]:
    """Fields of one record that do the very same (power and hours of a load) become one line, whole numbers last in it."""
    groups: list[list[_Trial]] = []
    for trial in sorted(trials, key=lambda one: one.input.entry.kind == WHOLE):
        for group in groups:
            first = group[0]
            if first.input.record == trial.input.record and isclose(first.per_tenth, trial.per_tenth, rel_tol=1e-6):
                group.append(trial)
                break
        else:
            groups.append([trial])
    return groups


def _influence(design: Design, group: list[_Trial]) -> Influence:
    first = group[0].input
    return Influence(
        first.path,
        _label(design, [trial.input for trial in group]),
        _text(first.entry, first.value),
        _text(first.entry, group[0].more),
        group[0].change,
    )


def _text(entry: Entry, value: Any) -> str:
    """A value as it would be typed, at four figures."""
    if isinstance(value, tuple):
        return "12 months"
    return write_entry(entry, float(f"{value:.4g}"))


def _label(design: Design, inputs: list[_Input]) -> str:
    """The row's own name, or that of its section, and the fields: "Compressor fridge: power, hours"."""
    record = inputs[0].record
    if record.startswith(("loads/", "circuits/", "roof/obstacles/", "days/", "stops/", "battery/prices/")):
        parts = [getattr(edit.get(design, part), "name", "") for part in _rows_above(record)]
        row = edit.get(design, record)
        parts += [f"{row.start} to {row.end}"] if isinstance(row, Run) else []
        name = ", ".join(part for part in parts if part) or f"row {int(record.split('/')[-1]) + 1}"
        return f"{name}: {', '.join(one.entry.key.replace('_', ' ') for one in inputs)}"
    words = ", ".join(one.entry.label[:1].lower() + one.entry.label[1:] for one in inputs)
    head = HEADS.get(record, "")
    return f"{head[:1].upper()}{head[1:]}: {words}" if head else words[:1].upper() + words[1:]


def _rows_above(record: str) -> list[str]:
    """Paths of the rows on the way to a record, itself included: "circuits/0/runs/1" -> "circuits/0", "circuits/0/runs/1"."""
    parts = record.split("/")
    return ["/".join(parts[: index + 1]) for index, part in enumerate(parts) if part.isdigit()]
