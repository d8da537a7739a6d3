"""In which order this design is switched on for the first time, and how it is switched off."""

from __future__ import annotations

from dataclasses import dataclass

from model.storage.handing_over import links
from model.wiring.circuit import Source
from model.wiring.papers.check import Check
from model.wiring.papers.paper import HABIT, Job
from model.wiring.table import WiringPlan

SECTION = "switch on"
COLD_TO_HOT = 0.15
"""Open-circuit volts of a module between 0 °C and 70 °C against 25 °C, at about 0.3 % per kelvin; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of switching on, and what undoes it. kinds: circuits of which one must be there; () always."""

    kinds: tuple[str, ...]
    on: tuple[Check, ...]
    off: str


def switch_on(job: Job) -> tuple[Check, ...]:
    """The first switching on, step by step: battery before panel, main fuse last, controller to the battery before the array."""
    return tuple(check for stage in _stages(job) for check in stage.on)


def switching_off(job: Job) -> tuple[str, ...]:
    """The same backwards: the array leaves the controller before the battery does."""
    return tuple(stage.off for stage in reversed(_stages(job)) if stage.off)


def _stages(job: Job) -> list[Stage]:
    there = {circuit.entered.kind for circuit in job.wiring.circuits}
    return [stage for stage in _all(job) if not stage.kinds or there.intersection(stage.kinds)]


def _all(job: Job) -> list[Stage]:
    battery = battery_source(job.wiring)
    bank = links(job.battery) if job.battery is not None else ()
    return [
        Stage(
            (),
            (
                _do("Main switch open, all fuses out, inverter and chargers off, engine off, shore lead unplugged."),
                _do("Cover the modules or open the array's switch: they give full voltage in any daylight."),
            ),
            "Store with the main fuse out or the main switch open, and covers on all live terminals.",
        ),
        Stage(
            (),
            (
                _do(
                    "Bolt all returns to the negative bar behind the shunt, all positives to their bars; main fuse out, no"
                    " battery joined yet."
                ),
                _do(
                    "Volts between positive and negative bar: none. Only then ohms: far from 0, or rising as capacitors fill. A"
                    " short shows here."
                ),
            ),
            "",
        ),
        Stage((), tuple(_do(step) for step in bank), ""),
        Stage(
            (),
            (
                _rested(
                    "Polarity before the last link: red to the main fuse's battery side, black to negative.", battery
                ),
                _do("Now the main fuse, the last link; the main switch stays open."),
            ),
            "Take the main fuse out if anybody works on the cables.",
        ),
        Stage(
            (),
            (
                _do("Close the main switch."),
                _rested("Positive bar and every panel, red on positive, black on negative: no minus sign.", battery),
            ),
            "Open the main switch.",
        ),
        Stage(
            ("controller",),
            (
                _do(
                    "Solar controller: battery side first, by its fuse. It must find the battery before it sees the array."
                ),
                _rested("Controller's battery terminals; its display must show the same.", battery),
            ),
            "Then the controller from the battery, by its fuse.",
        ),
        Stage(("array",), _array(job), "The array from the controller first: open its switch or cover the modules."),
        Stage(
            ("alternator",),
            (
                _rested("Charger from the vehicle, engine off: its house side.", battery),
                _do("Start the engine: the charger must show that it charges; stop it: it must stop within minutes."),
            ),
            "Stop the engine, or switch its charger off.",
        ),
        Stage(
            ("charger",),
            (_do("Shore charger: fuse in, then plug in; the residual current device is tested with its button."),),
            "Unplug shore power.",
        ),
        Stage(
            ("inverter",),
            (
                _do(
                    "Inverter off: pre-charge through the resistor until its input has the battery's volts, then its fuse."
                ),
                _rested("Inverter's terminals, red on positive: a reversed inverter is lost at once.", battery),
                _do("Inverter on, nothing plugged in; its alternating side belongs to licensed people."),
            ),
            "Switch the inverter off.",
        ),
        Stage(
            ("loads",),
            (_do("Fuses of the circuits one by one, each with its readings below, before the next goes in."),),
            "Switch the loads off.",
        ),
    ]


def battery_source(plan: WiringPlan) -> Source | None:
    """What stands for the battery's volts: its own circuit's source, else the panel's; None without any."""
    sources = [circuit.wired.circuit.source for circuit in plan.circuits]
    for kind in ("battery", "panel"):
        found = next((one for one in sources if one.kind == kind), None)
        if found is not None:
            return found
    return None


def _array(job: Job) -> tuple[Check, ...]:
    open_v = job.design.module.voc_v * job.design.array.in_series
    return (
        Check(
            SECTION,
            "Array, uncovered and not yet on the controller: red on positive, in sun.",
            expected_v=open_v,
            tolerance_v=COLD_TO_HOT * open_v,
            why=f"modules in series x open-circuit volts; from 70 °C to 0 °C; {HABIT}",
        ),
        _do("Close the array's switch; the controller must show that it charges."),
    )


def _do(text: str) -> Check:
    return Check(SECTION, text, why=HABIT)


def _rested(text: str, battery: Source | None = None) -> Check:
    """A reading of the battery: anything between a low and a full one."""
    if battery is None:
        return _do(text)
    middle_v, half_v = (battery.full_v + battery.low_v) / 2, abs(battery.full_v - battery.low_v) / 2
    why = f"from a low battery to a full one, {battery.low_v:.1f} to {battery.full_v:.1f} V"
    return Check(SECTION, text, expected_v=middle_v, tolerance_v=half_v, why=why)
