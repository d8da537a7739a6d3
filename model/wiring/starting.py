"""What a device sees while something starts on a low battery, and where the volts are left on the way to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from model.design import Load
from model.working import Finding, Step

if TYPE_CHECKING:
    from model.wiring.table import CircuitPlan

DEEP = 0.8
"""Of the nominal voltage: 9.6 V of 12 V, where compressors and heaters of vehicles give up. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class StartVolts:
    """At one device that starts hard or has a cut-out, everything else of its circuit on.

    at_rest_v: of the source on a low battery; source_v: at its terminals then; behind: where the difference is lost; volts: at
    the device; cut_out_v: None where nobody typed one.
    """

    load: str
    point: str
    behind: str
    at_rest_v: float
    source_v: float
    volts: float
    cut_out_v: float | None
    from_battery: bool = False

    @property
    def left_v(self) -> float | None:
        """What is left above the cut-out, negative below it."""
        return None if self.cut_out_v is None else self.volts - self.cut_out_v

    @property
    def words(self) -> str:
        """ "9.77 V at the start on a low battery: 1.15 V stay in this circuit, ..." """
        behind = self.at_rest_v - self.source_v
        told = f"{self.volts:.2f} V at the start, low battery: {self.source_v - self.volts:.2f} V stay on the way"
        if behind >= 0.005:
            told += f", {behind:.2f} V {self.behind}"
        if self.left_v is None:
            return f"{told}; no cut-out is typed"
        where = "above" if self.left_v >= 0 else "below"
        return f"{told}; {abs(self.left_v):.2f} V {where} {self.load}'s cut-out of {self.cut_out_v:g} V"


def start_steps(plan: CircuitPlan) -> tuple[Step, ...]:
    """The working of those volts, device by device."""
    return tuple(
        Step(
            f"wiring.{plan.key}.starting.{number}",
            "wiring",
            f"{one.load}: volts at the start, low battery, cold",
            f"{one.at_rest_v:.4g} V - {one.at_rest_v - one.source_v:.3g} V {one.behind} -"
            f" {one.source_v - one.volts:.3g} V on the way",
            one.volts,
            "V",
            "Kirchhoff's laws; everything else of the circuit on",
            ("wiring.battery.cold_ohm", "wiring.battery.low_v") if one.from_battery else (),
        )
        for number, one in enumerate(start_volts(plan), start=1)
    )


def start_findings(circuits: Sequence[CircuitPlan], loads: Sequence[Load], system_v: float) -> list[Finding]:
    """Loads whose volts fall far at a start, where nobody typed at which they cut out."""
    found: list[Finding] = []
    for plan in circuits:
        for one in start_volts(plan) if plan.entered.kind == "loads" else ():
            if (
                one.cut_out_v is not None
                or one.volts >= DEEP * system_v
                or plan.wired.circuit.source.kind == "inverter"
            ):
                continue
            at = next((index for index, load in enumerate(loads) if load.name == one.load), None)
            if at is None:
                continue
            found.append(
                Finding(
                    "warning",
                    f"loads/{at}/cut_out_v",
                    f"{plan.name}: {one.load} sees {one.volts:.2f} V at the start on a low battery; no cut-out is typed, and many"
                    f" devices give up below {DEEP * system_v:.3g} V.",
                    "Its cut-out, from its sheet; or thicker or shorter cable, or a larger battery.",
                )
            )
    return found


def start_volts(plan: CircuitPlan) -> Iterator[StartVolts]:
    """Every device of the circuit that starts hard or switches itself off; none where no voltage carries a start."""
    for one in plan.wired.parts or (plan.wired,):
        if one.starting is None:
            continue
        source = one.circuit.source
        for load in one.circuit.loads:
            place = one.shape.place.get(load.point)
            told = load.cut_out_v is not None or (load.start_a is not None and plan.entered.kind != "main")
            if place is not None and load.power_w > 0 and told:  # on the main feed hang circuits, told by themselves
                yield StartVolts(
                    load.name,
                    load.point,
                    f"in the {source.point} itself" if source.kind == "battery" else f"before the {source.point}",
                    source.low_v,
                    one.starting.volts[0],
                    one.starting.volts[place],
                    load.cut_out_v,
                    source.kind == "battery" and source.ohm_cold is not None,
                )
