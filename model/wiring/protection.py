"""What stands between each source and each run: fuses by what must pass them, and the metres before the first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf
from typing import NamedTuple

from model.wiring.circuit import Circuit, End, PointLoad, Protection, Run, Source, Tree
from model.wiring.fuses import family_named, smallest_family, strongest_family

CONTINUOUS = 1.25
"""Protection over continuous load: NEC 210.20(A), 215.3, from memory, to be checked; the 80 % of breaker makers' sheets."""

LARGEST_STEP = 1.5
"""A fuse may be that much larger than the smallest one for the sake of its family; common practice, no source."""

ROUNDING_A = 1e-6
INCH_M = 0.0254
BARE_M, SHEATHED_M, AT_BATTERY_M, AT_CHARGER_M = 7 * INCH_M, 40 * INCH_M, 72 * INCH_M, 1.8


class Hop(NamedTuple):
    """One run walked away from a source: run as index, `here` and `there` as places; forward: from its start to its end."""

    run: int
    here: int
    there: int
    forward: bool


@dataclass(frozen=True, slots=True)
class Guard:
    """What protects one run from one source: the smallest rating between them, None where there is nothing.

    device: the run and the end where it is; far: the place where the run ends, seen from the source.
    """

    source: Source
    run: int
    far: int
    rating_a: float | None
    device: tuple[int, End] | None


@dataclass(frozen=True, slots=True)
class Exposure:
    """Conductor between a source and the first protection on a way: its length, whether all is sheathed, and where it ends.

    protected: False where the way ends (at `run`'s far end) without any protection at all.
    """

    source: Source
    run: int
    metres: float
    sheathed: bool
    protected: bool


def design_current_a(source: Source, load: PointLoad) -> float:
    """The largest current that a load draws for long: at the lowest voltage it may meet, a resistance at the highest.

    The lowest is that of a low battery or of the running one less the permitted drop (IEEE 1013 takes 95 % of nominal), but
    not below half the running voltage: no constant power has an operating point there.
    """
    if load.law == "resistance":
        return load.current_a(max(source.running_v, source.low_v, source.full_v))
    lowest_v = min(source.low_v, source.running_v - load.drop_limit * source.nominal_v)
    return load.current_a(max(lowest_v, source.running_v / 2))


def needed_a(circuit: Circuit, shape: Tree) -> list[float]:
    """For each run, what its protection must pass: 1.25 x continuous + 1.0 x other loads beyond it, or 1.25 x what charges beyond
    it give, whichever is more."""
    if circuit.charges:
        charged = circuit.charged
        return list(map(max, needed_a(replace(circuit, charges=()), shape), needed_a(charged, shape)))
    beyond = [0.0] * len(shape.points)
    for load in circuit.loads:
        if load.point in shape.place:
            factor = CONTINUOUS if load.continuous else 1.0
            beyond[shape.place[load.point]] += factor * design_current_a(circuit.source, load)
    found = [0.0] * len(circuit.runs)
    for place in range(len(shape.points) - 1, 0, -1):
        found[shape.order[place - 1]] = beyond[place]
        beyond[shape.parent[place]] += beyond[place]
    return found


def chosen(
    protection: Protection,
    least_a: float,
    system_v: float,
    prospective_a: float,
    must_break: bool,
    start_a: float = 0.0,
    most_a: float = inf,
    in_panel: bool = False,
) -> Protection:
    """The protection with rating and family filled in as far as a standard one exists.

    The rating is the smallest standard one that is not below least_a, the lasting load with its reserve, and that lets a start
    of start_a pass (`FuseFamily.start_share`); where that would be above most_a, what the weakest thing behind it bears, the one
    for the lasting load alone, and a finding tells that a start may blow it. in_panel: it sits in a way of a fuse panel.
    """
    lasting = _chosen(protection, least_a, system_v, prospective_a, must_break, most_a, in_panel)
    if protection.rating_a is not None or start_a <= 0:
        return lasting
    starting = _chosen(protection, least_a, system_v, prospective_a, must_break, most_a, in_panel, start_a)
    return lasting if starting.rating_a is None or starting.rating_a > most_a + ROUNDING_A else starting


def _chosen(
    protection: Protection,
    least_a: float,
    system_v: float,
    prospective_a: float,
    must_break: bool,
    most_a: float,
    in_panel: bool,
    start_a: float = 0.0,
) -> Protection:
    """The smallest one for a lasting load and a start.

    Typed values stay. Without a typed family: the one with the smallest rating that can break the prospective current. Beyond
    the first device, where a main fuse stands behind it, not at the price of a rating that protects nothing: more than
    `LARGEST_STEP` above the smallest there is, or more than what lies behind it bears (most_a), the small one stays, and a
    finding tells the rest. On a way of a panel (in_panel) blades alone, where the list has one.
    """
    asked_a = least_a if protection.rating_a is None else protection.rating_a
    if protection.family is not None:
        family = family_named(protection.family)
        rating_a = family.rating_a(asked_a, start_a) if family else None
        return _filled(protection, rating_a, protection.family)
    in_panel = in_panel and smallest_family(asked_a, system_v, 0.0, in_panel=True) is not None  # else a finding tells
    small = smallest_family(asked_a, system_v, 0.0, start_a, in_panel) or smallest_family(
        asked_a, system_v, 0.0, start_a
    )
    if small is None:
        return protection
    breaking = None
    if protection.interrupting_a is None:
        breaking = smallest_family(asked_a, system_v, prospective_a, start_a, in_panel) if prospective_a > 0 else small
        if breaking is None and must_break:  # a finding tells what is missing
            breaking = strongest_family(asked_a, system_v, start_a)
    most_a = min(small[1] * LARGEST_STEP, max(most_a, small[1]) + ROUNDING_A)
    if breaking is None or (breaking[1] > most_a and not must_break):
        breaking = small
    return _filled(protection, breaking[1], breaking[0].name)


def breaks_a(device: Protection, system_v: float) -> float:
    """The largest short circuit that a device can break: as typed, or its family's at the system's voltage; 0 for neither."""
    if device.interrupting_a is not None:
        return device.interrupting_a
    family = family_named(device.family)
    return family.breaks_a(system_v) if family else 0.0


def _filled(protection: Protection, rating_a: float | None, family: str) -> Protection:
    return replace(protection, rating_a=rating_a if protection.rating_a is None else protection.rating_a, family=family)


def devices(run: Run) -> Iterator[tuple[End, Protection]]:
    """The protections of a run with the ends at which they are."""
    if run.protection is not None:
        yield "start", run.protection
    if run.end_protection is not None:
        yield "end", run.end_protection


def outward(shape: Tree, place: int) -> Iterator[Hop]:
    """All runs in the order in which current from `place` would reach them, against the tree's direction where it must."""
    if place == 0:  # from the source the tree's own order is one
        for end, run in enumerate(shape.order, start=1):
            yield Hop(run, shape.parent[end], end, True)
        return
    touching: list[list[Hop]] = [[] for _ in shape.points]
    for end in range(1, len(shape.points)):
        start, run = shape.parent[end], shape.order[end - 1]
        touching[start].append(Hop(run, start, end, True))
        touching[end].append(Hop(run, end, start, False))
    waiting, seen = list(touching[place]), {place}
    for hop in waiting:  # grows while it is walked
        if hop.there not in seen:
            seen.add(hop.there)
            waiting += touching[hop.there]
            yield hop


def sources(circuit: Circuit, shape: Tree) -> list[Source]:
    """All sources that hang on the tree, the feeding one first."""
    return [circuit.source, *(one for one in circuit.others if one.point in shape.place)]


def guards(circuit: Circuit, shape: Tree) -> tuple[tuple[Guard, ...], tuple[Exposure, ...]]:
    """What protects every run from every source, and the conductor that nothing protects. Ratings must be filled in.

    A device passes a fault's current in either direction, so the one at the end of a run that a source reaches first protects
    that run and all beyond; the smallest rating passed so far is what counts. A device without a rating is none.
    """
    found: list[Guard] = []
    exposed: list[Exposure] = []
    for source in sources(circuit, shape):
        start = shape.place[source.point]
        before: dict[int, _Way] = {start: _Way()}
        for hop in outward(shape, start):
            run, way = circuit.runs[hop.run], before[hop.here]
            near, far = devices_on(run, hop)
            if near is not None:
                if way.rating_a is None:
                    whole = way.sheathed and near[1].sheathed
                    exposed.append(Exposure(source, hop.run, way.metres + near[1].distance_m, whole, True))
                way = way.behind(hop.run, *near)
            found.append(Guard(source, hop.run, hop.there, way.rating_a, way.device))
            if way.rating_a is None:
                way = replace(way, metres=way.metres + run.length_m, sheathed=way.sheathed and run.sheathed)
            if far is not None:
                if way.rating_a is None:
                    bare_m = max(way.metres - far[1].distance_m, 0.0)
                    exposed.append(Exposure(source, hop.run, bare_m, way.sheathed, True))
                way = way.behind(hop.run, *far)
            elif way.rating_a is None and _ends(shape, hop):
                exposed.append(Exposure(source, hop.run, way.metres, way.sheathed, False))
            before[hop.there] = way
    return tuple(found), tuple(exposed)


@dataclass(frozen=True, slots=True)
class _Way:
    """The way from a source to a place: the smallest rating passed and where, or the bare metres so far."""

    rating_a: float | None = None
    device: tuple[int, End] | None = None
    metres: float = 0.0
    sheathed: bool = True

    def behind(self, run: int, end: End, one: Protection) -> _Way:
        """The way behind a further device; of equal ratings the nearer to the fault counts."""
        if one.rating_a is None or (self.rating_a is not None and self.rating_a < one.rating_a):
            return self
        return _Way(one.rating_a, (run, end), self.metres, self.sheathed)


Device = tuple[End, Protection]


def devices_on(run: Run, hop: Hop) -> tuple[Device | None, Device | None]:
    """The devices with a rating at the near and the far end of a run, as the hop meets them."""
    start: Device | None = None
    end: Device | None = None
    if run.protection is not None and run.protection.rating_a is not None:
        start = "start", run.protection
    if run.end_protection is not None and run.end_protection.rating_a is not None:
        end = "end", run.end_protection
    return (start, end) if hop.forward else (end, start)


def _ends(shape: Tree, hop: Hop) -> bool:
    """Whether no further run leaves the far end of the hop."""
    return hop.there not in shape.parent if hop.forward else hop.there == 0 and shape.parent.count(0) == 1


def unprotected_limit_m(source: Source, sheathed: bool) -> tuple[float, str]:
    """Length of conductor allowed before the first protection, and by which rule."""
    if source.kind == "battery" and sheathed:
        return AT_BATTERY_M, "33 CFR 183.460(a), 72 inches, from memory, to be checked against the standard"
    if source.kind in ("alternator", "charger", "controller"):
        return AT_CHARGER_M, "ISO 13297:2020, 12.3, 1.8 m, in an extract"
    if sheathed:
        return SHEATHED_M, "33 CFR 183.455, 40 inches in a sheath or enclosure"
    return BARE_M, "33 CFR 183.455, 7 inches"
