"""What a careful friend would say about the fuse panel: its ways, its rating, and the short circuits at it."""

from __future__ import annotations

from model.quantities import percent
from model.wiring.entered import panel_point
from model.wiring.findings_charging import joined_a
from model.wiring.findings_contacts import HOLDER_SHARE
from model.wiring.protection import devices
from model.wiring.table import CircuitPlan, WiringInput
from model.wiring.wording import amps
from model.working import Finding

SPARE_WAYS, SPARE_SHARE = 2, 0.2
"""Ways of the panel to keep free: needs grow. Common practice, no source."""

NAMED = 6  # names in one message before "and n more"


def panel_findings(inputs: WiringInput, circuits: tuple[CircuitPlan, ...], panel_a: float) -> tuple[Finding, ...]:
    """Everything about the panel."""
    return (*_ways(inputs, circuits), *_panel(inputs, circuits, panel_a), *_backed_up(circuits))


def _ways(inputs: WiringInput, circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    """Ways of the panel: each for one circuit, none beyond the last, some to spare."""
    found: list[Finding] = []
    ways, first_on = inputs.settings.panel_ways, dict[float, str]()
    elsewhere = {one.path for one in circuits if one.wired.circuit.source.kind == "bus bar"}
    on_panel = [
        (at, one)
        for at, one in enumerate(inputs.circuits)
        if one.kind == "loads" and one.feed == "panel" and f"circuits/{at}" not in elsewhere
    ]
    for at, one in on_panel:
        if one.way is None:
            continue
        name = one.name.strip() or "A circuit without a name"
        if one.way > ways:
            message = f"{name} is on way {one.way:g}; the panel has {ways:g} ways."
            found.append(Finding("warning", f"circuits/{at}/way", message, "Another way, or a larger panel."))
        if one.way in first_on:
            message = f"{name} and {first_on[one.way]} are both on way {one.way:g} of the panel."
            found.append(Finding("warning", f"circuits/{at}/way", message, "One circuit, one way, one fuse."))
        first_on.setdefault(one.way, name)
    spare = ways - len(on_panel)
    if on_panel and (spare < SPARE_WAYS or spare < SPARE_SHARE * ways):
        left = f"{spare:g} are spare" if spare >= 0 else f"{-spare:g} are missing"
        found.append(
            Finding(
                "warning",
                "wiring/panel_ways",
                f"{len(on_panel)} of the panel's {ways:g} ways are in use, {left}.",
                "Something is always forgotten: a panel with two ways and a fifth of them to spare.",
            )
        )
    return found


def _panel(inputs: WiringInput, circuits: tuple[CircuitPlan, ...], panel_a: float) -> list[Finding]:
    """The panel's own rating against its load and against the main fuse."""
    rating_a = inputs.settings.panel_a
    if rating_a is None:
        return []
    main = next((one for one in circuits if one.entered.kind == "main"), None)
    fuses = _in_front_of_panel(main) if main is not None else []
    found: list[Finding] = []
    if fuses and min(fuses) > rating_a:
        message = f"The main fuse lets {min(fuses):g} A pass; the fuse panel is rated for {rating_a:g} A."
        own = (
            "a fuse of its own at the bus bar before it"
            if main is not None and len(main.entered.runs) > 1
            else "a smaller main fuse"
        )
        found.append(
            Finding("danger", "wiring/panel_a", message, f"{own[0].upper()}{own[1:]}, or a panel that bears it.")
        )
    elif main is not None and fuses and min(fuses) + (besides_a := _charged_a(main)) > rating_a and besides_a > 0:
        message = (
            f"The main fuse lets {min(fuses):g} A pass and chargers give {amps(besides_a)} behind it: together more than the"
            f" {rating_a:g} A that the fuse panel is rated for."
        )
        advice = "A fuse of its own between the bar where the chargers end and the panel; or a panel that bears both."
        found.append(Finding("warning", "wiring/panel_a", message, advice))
    if panel_a > HOLDER_SHARE * rating_a:
        found.append(
            Finding(
                "danger" if panel_a > rating_a else "warning",
                "wiring/panel_a",
                f"All ways together draw {amps(panel_a)}; the panel is rated for {rating_a:g} A"
                f" ({percent(HOLDER_SHARE)} of that for long).",
                "A larger panel, or a second one.",
            )
        )
    return found


def _charged_a(main: CircuitPlan) -> float:
    """What chargers give between the nearest fuse before the panel and the panel itself, A."""
    one = main.wired
    points = tuple((run.start, run.end) for run in one.circuit.runs)
    place = one.shape.place.get(panel_point(points), 0) if points else 0
    at_panel = sum(
        load.current_a(load.rated_v) for load in one.circuit.charges if load.point == one.shape.points[place]
    )
    last = next((g for g in one.guards if g.far == place and g.source is one.circuit.source), None)
    return at_panel + (joined_a(one, last) if last is not None else 0.0)


def _in_front_of_panel(main: CircuitPlan) -> list[float]:
    """Ratings of the fuses between battery and panel, A."""
    one = main.wired
    points = tuple((run.start, run.end) for run in one.circuit.runs)
    place = one.shape.place.get(panel_point(points), 0) if points else 0
    on_the_way = [one.circuit.runs[index] for index in one.shape.path(place)]
    found = (device for run in on_the_way for _, device in devices(run))
    return [device.rating_a for device in found if device.rating_a is not None]


def is_backed_up(said: Finding) -> bool:
    """Whether a finding of one circuit says that the main fuse breaks what the circuit's own fuse cannot: one is enough."""
    return said.severity == "note" and said.where.endswith(("fuse_family", "short_circuit_a"))


def _backed_up(circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    there = [one for one in circuits if any(is_backed_up(said) for said in one.findings)]
    if not there:
        return []
    most_a = max(max(one.wired.at_devices_a.values(), default=0.0) for one in there)
    return [
        Finding(
            "note",
            "wiring/panel_fuses",
            f"At the panel a short circuit may reach {most_a:.0f} A, more than the fuses of {listed([one.name for one in there])}"
            " break; the main fuse in front of them does.",
            "That it opens first is not proved here: fuses whose maker vouches for the pair, or ways that break it themselves."
            " Take no larger main fuse, and replace both after such a short.",
        )
    ]


def listed(names: list[str]) -> str:
    """ "a", "a and b", "a, b and c", and "a, b, ... and 12 more"."""
    if len(names) > NAMED:
        return f"{', '.join(names[:NAMED])} and {len(names) - NAMED} more"
    *rest, last = names
    return f"{', '.join(rest)} and {last}" if rest else last
