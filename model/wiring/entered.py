"""From a circuit as entered to one that can be calculated: names of points, conductors, fuses, contacts, ambient."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache, lru_cache

from model import design
from model.wiring.ampacity import AMBIENT_C
from model.wiring.circuit import Circuit, Contact, PointLoad, Protection, Run, Source
from model.wiring.conductors import Conductor, Family, conductor
from model.wiring.ends import Ends
from model.wiring.fuses import breaker_at

MAINS_INSULATION_C = 75.0
"""Terminals and flexible cables of alternating current bear no more, whatever the wire does: NEC 110.14(C), from memory, to be
checked against the standard."""

CONVERTER_NAMES = ("charger", "dc-dc", "dc/dc", "converter", "b2b")
PANEL_NAMES = ("fuse panel", "panel", "fuse box", "fuse board")


@dataclass(frozen=True, slots=True)
class Defaults:
    """What holds for the runs of one circuit unless they say otherwise. fuses: family of the panel's fuses, for its circuits.
    panel_a: the panel's rating, for the main feed that ends there."""

    family: Family
    tinned: bool
    insulation_c: float
    fuses: str | None
    panel_a: float | None = None


def same(text: str) -> str:
    """What two spellings of one name have in common: blanks and capitals do not matter."""
    return " ".join(text.split()).casefold()


@lru_cache(maxsize=2048)
def run_points(runs: tuple[design.Run, ...], first: str) -> tuple[tuple[str, str], ...]:
    """The points of every run, from and to. The first run starts at `first` where nothing is typed, each other at the end of
    the one before; an end without a name is numbered. Spellings that differ in blanks and capitals are one point."""
    spelled: dict[str, str] = {}
    for run in runs:
        for text in (run.start, run.end):
            if text.strip():
                spelled.setdefault(same(text), " ".join(text.split()))
    found: list[tuple[str, str]] = []
    before = first
    for number, run in enumerate(runs, start=1):
        start = spelled[same(run.start)] if run.start.strip() else before
        end = spelled[same(run.end)] if run.end.strip() else _fresh(f"point {number}", spelled)
        found.append((start, end))
        before = end
    return tuple(found)


def _fresh(name: str, spelled: dict[str, str]) -> str:
    while same(name) in spelled:
        name += "'"
    spelled[same(name)] = name
    return name


def panel_point(points: tuple[tuple[str, str], ...]) -> str:
    """Where the panel is on the main circuit: the point of that name, else the end of the last run."""
    named = (end for _, end in points if same(end) in PANEL_NAMES)
    return next(named, points[-1][1])


@cache
def conductor_of(text: str, tinned: bool) -> Conductor:
    """The conductor of a canonical name: "2.5 mm2", "12 AWG", "SAE 12"."""
    if text.startswith("SAE "):
        return conductor("SAE", text.removeprefix("SAE "), tinned)
    size, family = text.split(" ")
    return conductor("AWG" if family == "AWG" else "mm2", size, tinned)


def calculable(
    key: str, entered: design.Circuit, ends: Ends, loads: tuple[PointLoad, ...], defaults: Defaults
) -> Circuit:
    """The circuit to calculate. `loads`: those of the load table, at their points; the kind's own are added here."""
    points = run_points(entered.runs, ends.source.point)
    root = points[0][0] if points else ends.source.point
    last = points[-1][1] if points else root
    source = replace(ends.source, point=root)
    others = () if ends.far is None else (replace(ends.far, point=last),)
    own = [replace(one, point=last) for one in ends.at_last]
    converter = None
    if ends.converter is not None and ends.at_converter is not None:
        at = _converter_point(points, last)
        if at:
            own.insert(0, replace(ends.at_converter, point=at))
            converter = replace(ends.converter, point=at)
        else:  # a single run: what it takes in more than it gives hangs with what it gives
            more_w = ends.at_converter.power_w - sum(one.power_w for one in own)
            own.insert(0, replace(ends.at_converter, point=last, power_w=max(0.0, more_w)))
            source = replace(source, upstream_drop_v=ends.converter.upstream_drop_v)
    panel = panel_point(points) if points and entered.kind == "main" else ""
    runs = tuple(
        _run(run, start, end, source, others, defaults, defaults.panel_a if end == panel else None)
        for run, (start, end) in zip(entered.runs, points, strict=True)
    )
    name = entered.name.strip() or key
    family = "AWG" if source.kind == "inverter" and defaults.family == "SAE" else defaults.family  # SAE J1128: 60 V
    return Circuit(key, name, source, runs, (*own, *loads), others, family, defaults.tinned, converter, ends.charges)


def _converter_point(points: tuple[tuple[str, str], ...], last: str) -> str:
    """Where the DC-DC charger stands: the point that is called so, else the end of the first run; "" with no run behind it."""
    inner = [end for _, end in points if end != last]
    named = (end for end in inner if any(word in same(end) for word in CONVERTER_NAMES))
    return next(named, inner[0] if inner else "")


def _run(
    run: design.Run,
    start: str,
    end: str,
    source: Source,
    others: tuple[Source, ...],
    defaults: Defaults,
    end_bears_a: float | None,
) -> Run:
    wanted = {
        "start": run.fuse in ("at start", "at both ends") or (run.fuse == "where needed" and _drives(source, start)),
        "end": run.fuse in ("at end", "at both ends")
        or (run.fuse == "where needed" and any(_drives(other, end) for other in others)),
    }
    at_panel, mains = source.kind == "panel" and start == source.point, source.kind == "inverter"
    bears_c = min(defaults.insulation_c, MAINS_INSULATION_C) if mains else defaults.insulation_c
    device = Protection(
        rating_a=run.fuse_a,
        family=run.fuse_family
        or (breaker_at(source.nominal_v).name if mains else defaults.fuses if at_panel else None),
        distance_m=run.fuse_distance_m,
        sheathed=run.sheathed,
        holder_a=run.holder_a,
        interrupting_a=run.breaks_a,
    )
    chassis = run.returns == "chassis"
    return Run(
        start,
        end,
        run.length_m,
        conductor=None if run.conductor is None else conductor_of(run.conductor, defaults.tinned),
        insulation_c=bears_c if run.insulation_c is None else run.insulation_c,
        ambient_c=AMBIENT_C[run.place] if run.ambient_c is None else run.ambient_c,
        bundled_with=int(run.bundled_with),
        sheathed=run.sheathed,
        returns="chassis" if chassis else "two conductors",
        chassis_ohm=run.chassis_ohm if chassis else None,
        joints_ohm=run.joints_ohm,
        protection=device if wanted["start"] else None,
        end_protection=device if wanted["end"] else None,
        contacts=tuple(_contact(one) for one in run.connectors),
        mains=mains,
        end_bears_a=end_bears_a,
        laid=run.laid is not None,
    )


def _drives(source: Source, point: str) -> bool:
    """Whether a source at that point can drive a fault current that only a fuse ends. Behind an inverter there is a breaker all
    the same: on shore power the same cables hang on the shore's."""
    return source.point == point and (source.limited_a is None or source.kind == "inverter")


def _contact(one: design.Connector) -> Contact:
    return Contact(
        one.name.strip() or "connector",
        "start" if one.end == "start" else "end",
        one.rating_a,
        int(min(one.loaded, one.poles)),
        int(one.poles),
        one.resistance_ohm,
        one.pins,
    )
