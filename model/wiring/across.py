"""What a careful friend would say about all circuits together, and the working of what belongs to no single one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from model.wiring.across_battery import battery_findings
from model.wiring.across_panel import listed, panel_findings
from model.wiring.automatic import MADE_FROM, fuses_of_strings
from model.wiring.bank import Bank
from model.wiring.bars import bar_findings, bars, cables_at_battery, has_battery_end
from model.wiring.bonding import bonding_findings
from model.wiring.entered import same
from model.wiring.hanging import Placing
from model.wiring.mains import mains_findings
from model.wiring.starting import start_findings
from model.wiring.table import CircuitPlan, WiringInput
from model.wiring.wording import amps
from model.working import Finding

LUGS = 4
"""Ring terminals on one stud, at most: quoted from ABYC E-11 at second hand."""

JOINING = ("bar", "block", "panel", "terminal", "busbar")
"""Words in the name of a point that hold many cables."""


def across(
    inputs: WiringInput, battery: Bank, circuits: tuple[CircuitPlan, ...], placing: Placing, panel_a: float
) -> tuple[Finding, ...]:
    """Findings on panel, battery post, names and what is on no circuit."""
    return (
        *_names(inputs),
        *panel_findings(inputs, circuits, panel_a),
        *_battery_post(circuits),
        *bar_findings(inputs, bars(circuits)),
        *_crowded(circuits),
        *battery_findings(inputs, battery, circuits),
        *_strings(inputs),
        *_chassis(circuits),
        *_assumed(circuits),
        *_unplaced(inputs, placing),
        *start_findings(circuits, inputs.loads, inputs.system_v),
        *mains_findings(inputs.inverter, circuits),
        *bonding_findings(inputs.inverter, inputs.shore, inputs.generator),
    )


def merged(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings of circuits made from the design that differ in the circuit alone, said once, all of them named.

    Entered circuits keep their own, which lead to their own fields.
    """
    alike: dict[tuple[str, ...], list[Finding]] = {}
    for said in found:
        rest = _tail(said) if said.where == "wiring/short_circuit_a" else ""
        alike.setdefault((said.severity, said.where, said.advice, rest or said.message), []).append(said)
    return tuple(
        first
        if not more
        else replace(first, message=f"{listed([_head(one) for one in (first, *more)])}: {_tail(first)}")
        for first, *more in alike.values()
    )


def _head(said: Finding) -> str:
    return said.message.partition(": ")[0]


def _tail(said: Finding) -> str:
    return said.message.partition(": ")[2]


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


def _battery_post(circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    there = [one for one in circuits if has_battery_end(one)]
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
    at_post = len(cables_at_battery(circuits))
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


def _crowded(circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    """Points of one circuit at which more cables meet than fit on a stud or in a splice."""
    found: list[Finding] = []
    for one in circuits:
        shape, runs = one.wired.shape, one.wired.circuit.runs
        for point in shape.points[1:]:
            meeting = sum(1 for run in runs if point in (run.start, run.end))
            if one.path is not None and meeting > LUGS and not any(word in same(point) for word in JOINING):
                last = next(index for index, run in enumerate(runs) if run.end == point)
                found.append(
                    Finding(
                        "warning",
                        f"{one.path}/runs/{last}/end",
                        f"{one.name}: {meeting} cables meet at {point}; more than {LUGS} lugs on one stud work loose,"
                        " and a splice holds two or three.",
                        "A bus bar or a terminal block there; a point whose name says so is taken for one.",
                    )
                )
    return found


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
            "Fuses made for solar strings, one in each positive; never open one under load."
            + (
                ""
                if fuses.most_a is not None
                else " Type the largest series fuse from the module's sheet: none may be larger."
            ),
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
            " and measured every year. Not on a boat. A device on two conductors whose case touches the chassis has a second"
            " return: a thin one carries all when the thick one comes off.",
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
