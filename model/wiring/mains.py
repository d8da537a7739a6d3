"""What is said about circuits of alternating current behind the inverter.

Planned are volts, conductors and breakers; everything that makes alternating current deadly is left to licensed people.
"""

from __future__ import annotations

from collections.abc import Sequence

from model.design import Inverter
from model.wiring.table import CircuitPlan
from model.working import Finding

LICENSED = "This side belongs to a licensed person: hand over the plan, and let it be fitted, bonded and measured."


def mains_findings(inverter: Inverter, circuits: Sequence[CircuitPlan]) -> list[Finding]:
    """What is checked of the circuits behind the inverter and what is not, said once; and what must not be."""
    there = [one for one in circuits if one.wired.circuit.source.kind == "inverter"]
    if not there:
        return []
    found = [
        Finding(
            "note",
            f"{there[0].path}/feed",
            f"{', '.join(one.name for one in there)}: {inverter.output_v:g} V behind the inverter. Planned are volts, conductors"
            " and breakers. Not checked: protective earth, bond of neutral and earth, residual-current device, whether a breaker"
            " opens in time at the little that an inverter drives into a short, power factor, sockets.",
            LICENSED,
        )
    ]
    if not inverter.fitted:
        found.append(
            Finding(
                "warning",
                "inverter/fitted",
                f"{there[0].name} hangs behind an inverter, but none is fitted.",
                "Enter the inverter, or feed the circuit from the panel.",
            )
        )
    return [*found, *(said for one in there for said in _runs(one))]


def _runs(plan: CircuitPlan) -> list[Finding]:
    found: list[Finding] = []
    for index, run in enumerate(plan.wired.circuit.runs):
        where, name = f"{plan.path}/runs/{index}", f"{plan.name}, {run.start} to {run.end}"
        if run.returns == "chassis":
            message = f"{name}: alternating current would return through the chassis."
            found.append(
                Finding("danger", f"{where}/returns", message, "A cable with line, neutral and protective earth.")
            )
        if run.conductor is not None and run.conductor.family == "SAE":
            message = f"{name}: {run.conductor.name} is vehicle wire, made for 60 V at most."
            advice = "A flexible cable for the inverter's voltage, with protective earth."
            found.append(Finding("danger", f"{where}/conductor", message, advice))
    return found
