"""What a careful friend would say about all circuits together, and the working of what belongs to no single one."""

from __future__ import annotations

from model.quantities import percent
from model.wiring.automatic import MADE_FROM, fuses_of_strings
from model.wiring.bank import Bank
from model.wiring.circuit import Source
from model.wiring.entered import panel_point, same
from model.wiring.findings_protection import HOLDER_SHARE, amps
from model.wiring.hanging import Placing
from model.wiring.mains import mains_findings
from model.wiring.protection import devices
from model.wiring.table import CircuitPlan, WiringInput
from model.working import Finding

SPARE_WAYS, SPARE_SHARE = 2, 0.2
"""Ways of the panel to keep free: needs grow. Common practice, no source."""

LUGS = 4
"""Ring terminals on one stud, at most: quoted from ABYC E-11 at second hand."""

UNEVEN = 0.10
"""Share of a battery in parallel that may differ from an equal one. Common practice, no source."""

NAMED = 6  # names in one message before "and n more"


def across(
    inputs: WiringInput, battery: Bank, circuits: tuple[CircuitPlan, ...], placing: Placing, panel_a: float
) -> tuple[Finding, ...]:
    """Findings on panel, battery post, names and what is on no circuit."""
    return (
        *_names(inputs),
        *_ways(inputs),
        *_panel(inputs, circuits, panel_a),
        *_backed_up(circuits),
        *_battery_post(inputs, circuits),
        *_shares(inputs, battery),
        *_strings(inputs),
        *_chassis(circuits),
        *_assumed(circuits),
        *_unplaced(inputs, placing),
        *mains_findings(inputs.inverter, circuits),
        *_bonds(inputs),
    )


def _names(inputs: WiringInput) -> list[Finding]:
    """Circuits of one name cannot be told apart, nor two mains."""
    found: list[Finding] = []
    seen: dict[str, int] = {}
    mains = [at for at, one in enumerate(inputs.circuits) if one.kind == "main"]
    for at, one in enumerate(inputs.circuits):
        name = same(one.name)
        if name and name in seen:
            found.append(
                Finding(
                    "warning",
                    f"circuits/{at}/name",
                    f"Two circuits are called {one.name.strip()}; a load that names it goes to the first.",
                    "Give each its own name: it is what one reads at the panel.",
                )
            )
        seen.setdefault(name, at)
    for at in mains[1:]:
        message = "A second main feed is entered; the panel's circuits are taken to hang on the first."
        found.append(Finding("warning", f"circuits/{at}/kind", message, "One of kind main, others of kind loads."))
    return found


def _ways(inputs: WiringInput) -> list[Finding]:
    """Ways of the panel: each for one circuit, none beyond the last, some to spare."""
    found: list[Finding] = []
    ways, first_on = inputs.settings.panel_ways, dict[float, str]()
    on_panel = [(at, one) for at, one in enumerate(inputs.circuits) if one.kind == "loads" and one.feed == "panel"]
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
        found.append(Finding("danger", "wiring/panel_a", message, "A smaller main fuse, or a panel that bears it."))
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
            "It must open first: take no larger one, and replace both fuses after such a short.",
        )
    ]


def sources_of(one: CircuitPlan) -> tuple[Source, ...]:
    """All that feeds a circuit, from either end."""
    return (one.wired.circuit.source, *one.wired.circuit.others)


def _at_battery(circuits: tuple[CircuitPlan, ...]) -> list[CircuitPlan]:
    """The circuits with an end at the house battery, or at a bus bar that the main feed has."""
    return [
        one
        for one in circuits
        if one.entered.kind in ("main", "inverter", "alternator", "controller", "charger")
        or (one.entered.kind == "loads" and one.entered.feed == "battery")
    ]


def _battery_post(inputs: WiringInput, circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    there = _at_battery(circuits)
    if not there:
        return []
    bonded = any(run.returns == "chassis" for one in circuits for run in one.entered.runs)
    names = listed([one.name for one in there] + ["the bond to the chassis"] * bonded)
    found = [
        Finding(
            "note",
            "wiring/take_off",
            f"The negatives of {names} end at a bus bar on the load side of the monitor's shunt.",
            "One return on the battery's own post, and the monitor no longer counts it.",
        )
    ]
    bars = {same(point) for one in there if one.entered.kind == "main" for point in one.wired.shape.points[1:]}
    at_post = sum(1 for one in there if not any(same(each.point) in bars for each in sources_of(one)))
    if at_post > LUGS:
        found.append(
            Finding(
                "warning",
                "wiring/take_off",
                f"{at_post} cables end at the battery; more than {LUGS} lugs on one stud work loose and heat.",
                "One cable to a bus bar, and the others there, each with its fuse. A point of the main feed is such a bar, where"
                " other circuits name it as the point they start from or end at.",
            )
        )
    return found


def _shares(inputs: WiringInput, battery: Bank) -> list[Finding]:
    equal = 1 / len(battery.shares)
    most, least = max(battery.shares), min(battery.shares)
    if most <= equal * (1 + UNEVEN) and least >= equal * (1 - UNEVEN):
        return []
    return [
        Finding(
            "warning",
            "wiring/take_off",
            f"Of {len(battery.shares)} batteries in parallel, taken off at {inputs.settings.take_off}, one carries"
            f" {percent(most)} of the current and one {percent(least)}.",
            "Bus bars with leads of equal length, thicker links, or fewer and larger batteries: the busiest ages first.",
        )
    ]


def _strings(inputs: WiringInput) -> list[Finding]:
    """The fuse of each string, where strings in parallel need one."""
    fuses = fuses_of_strings(inputs)
    if fuses is None:
        return []
    if fuses.rating_a is None:
        most = "" if fuses.most_a is None else f"; the module bears {fuses.most_a:g} A"
        return [
            Finding(
                "danger",
                "module/series_fuse_a",
                f"Each of {fuses.strings} strings needs a fuse of {amps(fuses.least_a)} at least (1.56 x its short-circuit"
                f" current){most}: no standard one fits.",
                "More modules in series and fewer strings, or another module.",
            )
        ]
    return [
        Finding(
            "note",
            "array/count",
            f"Each of {fuses.strings} strings gets its own fuse of {fuses.rating_a:g} A for {fuses.open_v:.0f} V direct current,"
            " before they are joined.",
            "Fuses made for solar strings, one in each positive; never open one under load.",
        )
    ]


def _chassis(circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    there = [one for one in circuits if any(run.returns == "chassis" for run in one.entered.runs)]
    if not there:
        return []
    return [
        Finding(
            "warning",
            f"{there[0].path}/runs",
            f"The current of {listed([one.name for one in there])} returns through the chassis: paint and rust make a resistance"
            " that nobody sees.",
            "Two conductors; or one bond from battery to chassis, as thick as the thickest cable that returns there, made once"
            " and measured every year. Not on a boat.",
        )
    ]


def _assumed(circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    return [
        Finding(
            "note",
            MADE_FROM[one.entered.kind],
            f"{one.name}: its length is assumed, {' and '.join(f'{run.length_m:g} m' for run in one.entered.runs)}.",
            "Enter this circuit with its own route; it then replaces this one.",
        )
        for one in circuits
        if one.automatic
    ]


def _unplaced(inputs: WiringInput, placing: Placing) -> list[Finding]:
    there = placing.unplaced
    if not there:
        return []
    names = [
        inputs.loads[at].name
        if placing.left[at] >= inputs.loads[at].quantity
        else f"{placing.left[at]:g} of {inputs.loads[at].quantity:g} {inputs.loads[at].name}"
        for at in there
    ]
    are = "is" if len(names) == 1 else "are"
    return [
        Finding(
            "note",
            f"loads/{there[0]}/circuit",
            f"{listed(names)} {are} on no circuit; the main feed carries {'it' if len(names) == 1 else 'them'} all the same.",
            "Name a circuit in the load table, or tap a circuit for it.",
        )
    ]


def _bonds(inputs: WiringInput) -> list[Finding]:
    if not inputs.inverter.fitted or inputs.shore.nights_per_week <= 0:
        return []
    return [
        Finding(
            "note",
            "inverter/fitted",
            "Shore power and an inverter: exactly one bond of neutral and earth in each state. On shore: at the post, none in the"
            " van. On the inverter: one at the inverter. Never both, and the charger never on its own inverter.",
            "A transfer switch that parts both conductors, fitted by a licensed person; rules differ by country.",
        )
    ]


def listed(names: list[str]) -> str:
    """ "a", "a and b", "a, b and c", and "a, b, ... and 12 more"."""
    if len(names) > NAMED:
        return f"{', '.join(names[:NAMED])} and {len(names) - NAMED} more"
    *rest, last = names
    return f"{', '.join(rest)} and {last}" if rest else last
