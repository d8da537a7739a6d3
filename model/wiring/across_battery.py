"""What a careful friend would say about the battery as the wiring meets it: its short circuit, and several in parallel."""

from __future__ import annotations

from model.quantities import percent
from model.wiring.bank import Bank
from model.wiring.bars import cables_at_battery, drawn_a
from model.wiring.fuses import smallest_family
from model.wiring.protection import CONTINUOUS
from model.wiring.short_circuit import short_circuit_a
from model.wiring.table import CircuitPlan, WiringInput
from model.wiring.wording import amps
from model.working import Finding

UNEVEN = 0.10
"""Share of a battery in parallel that may differ from an equal one. Common practice, no source."""


def battery_findings(inputs: WiringInput, battery: Bank, circuits: tuple[CircuitPlan, ...]) -> tuple[Finding, ...]:
    """Everything about the battery itself."""
    return (
        *_believed(battery),
        *_each_its_fuse(inputs, battery, circuits),
        *_shares(inputs, battery),
        *_busiest(inputs, battery, circuits),
    )


def _believed(battery: Bank) -> list[Finding]:
    """A typed short-circuit current that no battery of that capacity has."""
    typed_a = battery.disbelieved_a
    if typed_a is None:
        return []
    least_a = short_circuit_a(battery.source.full_v, battery.one_most_ohm)
    slip = f"; {typed_a:g} kA are {typed_a * 1000:g} A" if typed_a < 50 else ""
    return [
        Finding(
            "danger",
            "wiring/short_circuit_a",
            f"A short circuit of {typed_a:g} A is typed for one battery; its cells give {least_a:.0f} A even when worn. Fuses are"
            " chosen by the cells.",
            f"The figure of its maker, in amperes{slip}; or leave it empty. What its protection lets pass is another figure: it"
            " may fail closed.",
        )
    ]


def others_drive_a(battery: Bank) -> float:
    """What all other batteries drive into a short circuit in one of them, A; links are left out, on the safe side."""
    if battery.one_least_ohm <= 0:
        return 0.0
    return (len(battery.shares) - 1) * short_circuit_a(battery.source.full_v, battery.one_least_ohm)


def _each_its_fuse(inputs: WiringInput, battery: Bank, circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    """Batteries in parallel drive what they have into the short of one of them: each wants a fuse of its own."""
    count, draws_a, fuse_a = len(battery.shares), drawn_a(cables_at_battery(circuits)), inputs.settings.battery_fuse_a
    if count < 2:
        return []
    busiest_a = None if draws_a is None else max(battery.shares) * draws_a
    if fuse_a is not None:
        if busiest_a is None or busiest_a <= fuse_a:
            return []
        message = (
            f"The fuse of each of {count} batteries is rated for {fuse_a:g} A; the busiest gives {amps(busiest_a)}."
        )
        advice = "It will blow, and then the others': a larger one with leads that bear it, or less at once."
        return [Finding("danger", "wiring/battery_fuse_a", message, advice)]
    least_a, short_a = CONTINUOUS * (busiest_a or 0.0), others_drive_a(battery)
    able = smallest_family(least_a, battery.source.fused_v, short_a)
    one = f", as {able[0].name} of {able[1]:g} A" if able is not None and busiest_a is not None else ""
    return [
        Finding(
            "warning",
            "wiring/battery_fuse_a",
            f"{count} batteries in parallel without a fuse of their own: into a short in one of them the others drive up to"
            f" {short_a:.0f} A, and the main fuse does not see it.",
            f"A fuse at the positive post of each that breaks that{one}; leads and links that bear it. They are in no schedule:"
            " measure them when the batteries stand.",
        )
    ]


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


def _busiest(inputs: WiringInput, battery: Bank, circuits: tuple[CircuitPlan, ...]) -> list[Finding]:
    """The busiest of several batteries in parallel against what one of them gives for long: where its protection opens, the
    others take its share and open too."""
    count, lasting_a, draws_a = len(battery.shares), inputs.battery_lasting_a, drawn_a(cables_at_battery(circuits))
    if count < 2 or lasting_a is None or draws_a is None or max(battery.shares) * draws_a <= lasting_a / count:
        return []
    busiest_a = max(battery.shares) * draws_a
    if draws_a > lasting_a:  # too much for all together: said with the battery
        return []
    return [
        Finding(
            "warning",
            "wiring/take_off",
            f"With everything on the busiest of {count} batteries gives {amps(busiest_a)} of {amps(draws_a)}; one of them gives"
            f" {amps(lasting_a / count)} for long. Where its protection opens, the others take its share and open too.",
            "Bus bars with leads of equal length, so that all give the same; or batteries that give more.",
        )
    ]
