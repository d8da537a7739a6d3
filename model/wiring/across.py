"""What a careful friend would say about all circuits together, and the working of what belongs to no single one."""

from __future__ import annotations

from typing import cast

from model.quantities import percent
from model.storage.chemistry import chemistries
from model.wiring.circuit import Source
from model.wiring.conductors import conductor
from model.wiring.entered import same
from model.wiring.findings_protection import HOLDER_SHARE, amps
from model.wiring.hanging import MAINS, Placing
from model.wiring.parallel import TakeOff, shares
from model.wiring.short_circuit import bank_ohm, cell_resistance_mohm_ah, short_circuit_a
from model.wiring.table import CircuitPlan, WiringInput
from model.working import Finding, Step

SPARE_WAYS, SPARE_SHARE = 2, 0.2
"""Ways of the panel to keep free: needs grow. Common practice, no source."""

LUGS = 4
"""Ring terminals on one stud, at most: quoted from ABYC E-11 at second hand."""

UNEVEN = 0.10
"""Share of a battery in parallel that may differ from an equal one. Common practice, no source."""

LINK_M, LUG_OHM = 0.25, 0.0001
"""A link between paralleled batteries where nobody measured it: 0.25 m of 50 mm2 and a lug at each end; common practice."""

NAMED = 6  # names in one message before "and n more"


def across(
    inputs: WiringInput, battery: Source, circuits: tuple[CircuitPlan, ...], placing: Placing, panel_a: float
) -> tuple[Finding, ...]:
    """Findings on panel, battery post, names and what is on no circuit."""
    return (
        *_names(inputs),
        *_ways(inputs),
        *_panel(inputs, circuits, panel_a),
        *_battery_post(inputs, circuits),
        *_shares(inputs),
        *_chassis(circuits),
        *_assumed(circuits),
        *_unplaced(inputs, placing),
        *_bonds(inputs),
    )


def mains_side(path: str, name: str) -> Finding:
    """The refusal to plan what hangs behind the inverter."""
    return Finding("warning", f"{path}/feed", f"{name} hangs behind the inverter; it is not planned.", MAINS)


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
    fuses = [
        device.rating_a
        for run in (main.wired.circuit.runs if main is not None else ())
        for device in (run.protection, run.end_protection)
        if device is not None and device.rating_a is not None
    ]
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


def _at_battery(circuits: tuple[CircuitPlan, ...]) -> list[CircuitPlan]:
    """The circuits with an end at the house battery."""
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
    names = listed([one.name for one in there])
    found = [
        Finding(
            "note",
            "wiring/take_off",
            f"The negatives of {names} end at a bus bar on the load side of the monitor's shunt.",
            "One return on the battery's own post, and the monitor no longer counts it.",
        )
    ]
    if len(there) > LUGS:
        found.append(
            Finding(
                "warning",
                "wiring/take_off",
                f"{len(there)} cables end at the battery; more than {LUGS} lugs on one stud work loose and heat.",
                "One cable to a bus bar, and the others there, each with its fuse.",
            )
        )
    return found


def battery_shares(inputs: WiringInput) -> list[float]:
    """Share of each paralleled battery in the current, new ones of one make; [1] for a single one."""
    count = inputs.units_parallel
    if count < 2 or inputs.installed_ah <= 0:
        return [1.0]
    cells = chemistries()[inputs.chemistry].cells(inputs.system_v)
    least, _, _ = cell_resistance_mohm_ah(inputs.chemistry)
    one_ohm = bank_ohm(least, cells, inputs.installed_ah / count, 1)
    return shares([one_ohm] * count, link_ohm(inputs), cast(TakeOff, inputs.settings.take_off))


def link_ohm(inputs: WiringInput) -> float:
    """One link between paralleled batteries: as measured, else a short thick cable with its lugs."""
    if inputs.settings.link_ohm is not None:
        return inputs.settings.link_ohm
    return conductor("mm2", "50").resistance_20c_ohm_per_m * LINK_M + 2 * LUG_OHM


def _shares(inputs: WiringInput) -> list[Finding]:
    found = battery_shares(inputs)
    equal = 1 / len(found)
    most, least = max(found), min(found)
    if most <= equal * (1 + UNEVEN) and least >= equal * (1 - UNEVEN):
        return []
    return [
        Finding(
            "warning",
            "wiring/take_off",
            f"Of {len(found)} batteries in parallel, taken off at {inputs.settings.take_off}, one carries"
            f" {percent(most)} of the current and one {percent(least)}.",
            "Bus bars with leads of equal length, thicker links, or fewer and larger batteries: the busiest ages first.",
        )
    ]


def _chassis(circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    there = [one for one in circuits if any(run.returns == "chassis" for run in one.entered.runs)]
    if not there:
        return []
    return [
        Finding(
            "warning",
            f"{there[0].path or f'circuits/{there[0].key}'}/runs",
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
            f"circuits/{one.key}",
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


def own_steps(
    inputs: WiringInput,
    battery: Source,
    panel: Source,
    circuits: tuple[CircuitPlan, ...],
    panel_a: float,
    loss_wh: float,
) -> tuple[Step, ...]:
    """The battery as a source, the panel's voltage and sum, the losses of all cables."""
    chemistry = chemistries()[inputs.chemistry]
    cells = chemistry.cells(inputs.system_v)
    cell_least, cell_most, source = cell_resistance_mohm_ah(inputs.chemistry)
    found = [
        _step("battery.running_v", "Battery while running", f"{cells} cells x {chemistry.cell_nominal_v:g} V",
              battery.running_v, "V", chemistry.source("cell_nominal_v")),
        _step("battery.low_v", "Low battery", f"{cells} cells x {chemistry.cell_empty_v:g} V, not below 11 V of 12 V",
              battery.low_v, "V", f"{chemistry.source('cell_empty_v')}; 22 V of 24 V: inverter example after Wiles"),
        _step("battery.full_v", "Full battery", f"{cells} cells x {chemistry.cell_full_v:g} V", battery.full_v, "V",
              chemistry.source("cell_full_v")),
    ]  # fmt: skip
    typed_a = inputs.settings.short_circuit_a
    if battery.ohm_least is not None and battery.ohm_most is not None:
        typed = typed_a is not None
        behind = f"{cells} cells / {inputs.installed_ah:g} Ah"
        found += [
            _step(
                "battery.ohm_most",
                "Resistance of the battery, warm and worn",
                f"{cell_most:g} mohm Ah x {behind}",
                battery.ohm_most,
                "ohm",
                source,
            ),
            _step(
                "battery.short_circuit_a",
                "Largest short-circuit current of the battery",
                "typed" if typed else f"{battery.full_v:g} V / ({cell_least:g} mohm Ah x {behind})",
                short_circuit_a(battery.full_v, battery.ohm_least),
                "A",
                "typed" if typed else source,
                *(() if typed else ("battery.full_v",)),
            ),
        ]
    on_panel = [one for one in circuits if one.entered.kind == "loads" and one.entered.feed == "panel"]
    if on_panel:
        found += [
            _step(
                "panel.volts",
                "Voltage at the fuse panel, everything on",
                f"{battery.running_v:.4g} V - {panel.upstream_drop_v:.2f} V in the main feed, rounded down to 0.02 V",
                panel.running_v,
                "V",
                "Kirchhoff's and Ohm's laws",
                "battery.running_v",
            ),
            _step(
                "panel.current_a",
                "All ways of the panel together",
                f"sum of {len(on_panel)} circuits, everything on",
                panel_a,
                "A",
                "Kirchhoff's law of currents; coincidence is the cautious case",
                "panel.volts",
            ),
        ]
    parts = [one for one in circuits if one.wired.loss_wh_per_day and one.entered.kind in ("loads", "main", "inverter")]
    found.append(
        _step(
            "loss_wh_per_day",
            "Lost a day in the cables from the battery to the loads",
            " + ".join(f"{one.wired.loss_wh_per_day or 0:.3g}" for one in parts) or "no cable carries anything",
            loss_wh,
            "Wh",
            "sum of the circuits; charging cables lose before the battery",
            *(f"{one.key}.loss_wh_per_day" for one in parts),
        )
    )
    return tuple(found)


def _step(what: str, label: str, formula: str, value: float, unit: str, source: str, *uses: str) -> Step:
    return Step(
        f"wiring.{what}", "wiring", label, formula, value, unit, source, tuple(f"wiring.{used}" for used in uses)
    )
