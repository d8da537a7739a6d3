"""One circuit in words: its line of figures, a short circuit anywhere, and what the plan says about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import isinf

from model import names
from model.wiring.circuit import PointLoad, Source
from model.wiring.fault import Fault, fault_at
from model.wiring.protection import Exposure
from model.wiring.starting import start_volts
from model.wiring.table import CircuitPlan
from model.wiring.wired import feed_current_a, first_fuse
from model.wiring.wording import amps
from model.working import Finding
from tui import display

SIGNS = {"danger": "!!", "warning": "!", "note": "·"}
AT_ONCE, LATE = 10.0, 3.0
"""Times its rating above which a fuse opens in a blink, and below which it takes its time. From memory of ISO 8820-3's limits of
operating time (6 times: 0.1 s at most for blades), to be checked against the standard."""


def figure(value: float) -> str:
    """Amperes for a column that has the unit in its head."""
    return display.show(value, "current", unit=False)


def volts(value: float) -> str:
    """Volts for a column: two decimals, one from 100 V on."""
    return display.local(f"{value:.{1 if value >= 99.995 else 2}f}")


def keys_line(parts: Sequence[str], room: int) -> str:
    """As many parts as there is room for, none of them cut."""
    line = ""
    for part in parts:
        longer = f"{line} · {part}" if line else part
        if len(longer) <= room:
            line = longer
    return line


def worst_of(found: Iterable[Finding]) -> str:
    """How bad the worst of some findings is, in a word."""
    there = {said.severity for said in found}
    return next((severity for severity in SIGNS if severity in there), "")


def worst_place(plan: CircuitPlan, beyond: int = 0) -> int:
    """The place of a circuit's tree that loses most, of those to which the way leads over `beyond`."""
    shape, flow = plan.wired.shape, plan.wired.running
    if flow is None:
        return beyond
    there = {beyond}
    for place in range(beyond + 1, len(shape.points)):
        if shape.parent[place] in there:
            there.add(place)
    return min(sorted(there, reverse=True), key=lambda place: flow.volts[place])


def limit_at(plan: CircuitPlan, place: int) -> float | None:
    """The strictest limit of drop of what hangs at a place; None where nothing does."""
    circuit = plan.wired.circuit
    there = [
        load.drop_limit for load in circuit.loads if load.power_w > 0 and load.point == plan.wired.shape.points[place]
    ]
    return min(there, default=None)


def drop_share(plan: CircuitPlan, place: int) -> float | None:
    """Share of the nominal voltage that is lost on the way from the battery to a place."""
    return plan.wired.drop_share(place)


def heading(plan: CircuitPlan) -> list[str]:
    """The circuit in a line, part by part."""
    one, fuse = plan.wired, first_fuse(plan.wired)
    parts = [f"{plan.key} {plan.name}" if plan.key != plan.name else plan.name]
    if plan.automatic:
        parts.append("made by the program; any edit enters it")
    parts.append(f"fuse {fuse.rating_a:g} A" if fuse is not None and fuse.rating_a is not None else "no fuse")
    parts.append(amps(feed_current_a(one, one.running)) if one.running is not None else "no voltage carries its loads")
    place = worst_place(plan)
    share, limit = drop_share(plan, place), limit_at(plan, place)
    if place and share is not None:
        allowed = f" (limit {display.percent(limit)})" if limit is not None else ""
        parts.append(f"{names.LARGEST_DROP.small} {display.percent(share, 1)}{allowed}")
    return [display.local(part) for part in parts]


def short_lines(plan: CircuitPlan, place: int) -> list[tuple[str, str]]:
    """A short circuit at a place, from each source by itself, as lines of a name and a sentence."""
    one = plan.wired
    if len(one.shape.points) < 2:
        return [("", "No run yet: n lays the first one.")]
    found: list[tuple[str, str]] = []
    sources = [each for each in (one.circuit.source, *one.circuit.others) if each.point in one.shape.place]
    for source in sources:
        fault = fault_at(one, place, source)
        by = f"from the {source.point}: " if len(sources) > 1 else ""
        found += [("draws", by + _currents(fault)), *_opens(plan, fault, source)]
    found += [("unfused", text) for text in _unfused(plan)]
    found.append(("unsure", _unsure(sources)))
    here = one.shape.points[place]
    found += [("starts", f"{each.load}: {each.words}") for each in start_volts(plan) if each.point == here]
    return [(name, display.local(text)) for name, text in found]


def short_in_a_line(plan: CircuitPlan, place: int) -> str:
    """The short circuit at a place by the circuit's own source, for one line."""
    one, source = plan.wired, plan.wired.circuit.source
    fault = fault_at(one, place)
    most = "unknown" if isinf(fault.most_a) else amps(fault.most_a)
    text = f"a short here draws {most} at most, {amps(fault.least_a)} at least"
    if source.limited_a is not None:
        return display.local(f"{text}: the source gives no more")
    if fault.rating_a is None:
        return display.local(f"{text}: no fuse lies before it")
    able = "" if fault.can_break else " but cannot break it"
    return display.local(f"{text}: the {fault.rating_a:g} A fuse opens{able}")


def _currents(fault: Fault) -> str:
    if isinf(fault.most_a):
        return f"at least {amps(fault.least_a)}; the most is not known: nobody said what the source can give"
    if fault.most_a - fault.least_a < 0.005 * fault.most_a:
        return f"{amps(fault.most_a)}, cold or warm"
    return f"{amps(fault.most_a)} at most (full, cold, new), {amps(fault.least_a)} at least (warm, worn)"


def _opens(plan: CircuitPlan, fault: Fault, source: Source) -> Iterator[tuple[str, str]]:
    one = plan.wired
    if source.limited_a is not None:
        yield "opens", "no fuse need: it cannot give more than that"
        return
    if fault.rating_a is None or fault.run is None:
        yield "opens", "nothing: no fuse lies between the source and this point"
        return
    run = one.circuit.runs[fault.run]
    where = run.start if fault.end == "start" else run.end
    device = run.protection if fault.end == "start" else run.end_protection
    family = f", {device.family}" if device is not None and device.family else ""
    yield "opens", f"the {fault.rating_a:g} A fuse at {where}{family}"
    yield "breaks", _breaks(source, fault)
    yield "speed", _speed(fault)


def _breaks(source: Source, fault: Fault) -> str:
    able_a, behind_a = fault.breaks_a or 0.0, fault.at_fuse_a or 0.0
    backup_a = source.backup_breaks_a
    if isinf(fault.most_a):
        return f"up to {amps(able_a)}; whether that is enough is not known"
    helped = backup_a is not None and backup_a >= max(fault.most_a, behind_a)
    main = f"the main fuse in front breaks {amps(backup_a or 0)}" if helped else ""
    if not fault.can_break:
        return f"{amps(able_a)}, less than this; " + (f"{main} and must open first" if main else "it may go on burning")
    if behind_a > able_a:
        return f"{amps(able_a)}, enough here; not right behind it ({amps(behind_a)}), where " + (
            main or "it may go on burning"
        )
    return f"{amps(able_a)}, enough here and right behind it ({amps(behind_a)})"


def _speed(fault: Fault) -> str:
    times = fault.times_rating or 0.0
    if times <= 1.0:
        return f"{times:.1f} times its rating at least: it may never open, and the cable heats"
    words = "at once" if times >= AT_ONCE else "late, the cable glows" if times < LATE else "soon"
    return f"{times:.3g} times its rating at least: it opens {words}"


def _unfused(plan: CircuitPlan) -> list[str]:
    """The stretch between each source and its first fuse, of sources that can do harm."""
    return [
        f"{exposure.metres:.2g} m between {exposure.source.point} and {_first(plan, exposure)}"
        + ("" if exposure.sheathed else ", not sheathed all the way")
        for exposure in plan.wired.exposures
        if exposure.metres > 0 and exposure.source.limited_a is None
    ]


def _first(plan: CircuitPlan, exposure: Exposure) -> str:
    run = plan.wired.circuit.runs[exposure.run]
    return "its fuse" if exposure.protected else f"the end at {run.end}: no fuse at all"


def _unsure(sources: Sequence[Source]) -> str:
    if all(source.limited_a is not None for source in sources):
        return "what it gives into a short is taken from its rated current; its sheet may say otherwise"
    return "the battery's own resistance most of all; arcs and clamps, which make it less, are not counted"


def findings_lines(plan: CircuitPlan) -> list[tuple[str, str, str]]:
    """Sign, message and advice of what is said about a circuit."""
    return [(SIGNS[said.severity], display.local(said.message), display.local(said.advice)) for said in plan.findings]


def loads_at(plan: CircuitPlan, place: int) -> list[PointLoad]:
    """What hangs at a place."""
    return [load for load in plan.wired.circuit.loads if load.point == plan.wired.shape.points[place]]
