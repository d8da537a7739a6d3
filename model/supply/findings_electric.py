"""What a careful friend would say about the array's voltages and currents, and about the charge controller."""

from __future__ import annotations

from model.quantities import percent
from model.supply.array_yield import array_yields
from model.supply.module_yield import charging_v
from model.supply.table import Supply, SupplyInput
from model.working import Finding

WASTEFUL_CLAMP = 0.85  # share of an MPPT controller's harvest below which PWM is worth a word


def electric_findings(inputs: SupplyInput, answer: Supply) -> tuple[Finding, ...]:
    """Voltages against the controller's limits, currents against its and the modules', and the kind of controller."""
    return (*_voltages(inputs, answer), *_currents(inputs, answer), *_controller(inputs, answer))


def _voltages(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    found: list[Finding] = []
    wiring, controller = answer.wiring, inputs.controller
    if wiring.strings == 0:
        return found
    series = f"{wiring.in_series} in series" if wiring.in_series > 1 else "one module"
    if wiring.cold_voc_v > controller.limit_v:
        found.append(
            Finding(
                "danger",
                "controller/limit_v",
                f"On a clear morning at {wiring.lowest_c:.0f} °C the panels ({series}) reach"
                f" {wiring.cold_voc_v:.1f} V; the controller bears {controller.limit_v:g} V.",
                "Over-voltage destroys a controller: put fewer in series, or take one for a higher voltage.",
            )
        )
    advice = (
        "Put more in series, take modules of a higher voltage, or look up the controller's margin in its data sheet."
    )
    if wiring.hot_vmp_v < wiring.run_v:
        found.append(
            Finding(
                "warning",
                "array/in_series",
                f"In the heat the panels ({series}) work at {wiring.hot_vmp_v:.1f} V; to fill a {inputs.system_v:g} V battery"
                f" it takes {wiring.run_v:.1f} V. What they cannot give is left out of the figures.",
                advice,
            )
        )
    elif wiring.warm_voc_v < wiring.start_v:
        found.append(
            Finding(
                "warning",
                "array/in_series",
                f"On warm mornings the panels ({series}) reach {wiring.warm_voc_v:.1f} V; the controller starts at"
                f" {wiring.start_v:.1f} V.",
                advice,
            )
        )
    return found


def _currents(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    found: list[Finding] = []
    wiring, controller, module = answer.wiring, inputs.controller, inputs.module
    if wiring.controller_a > controller.limit_a:
        tracking = controller.kind == "MPPT"
        found.append(
            Finding(
                "warning" if tracking else "danger",
                "controller/limit_a",
                f"{wiring.array_w:.0f} W at {inputs.system_v:g} V are {wiring.controller_a:.1f} A;"
                f" the controller gives {controller.limit_a:g} A at most."
                if tracking
                else f"{wiring.strings} x {module.isc_a:g} A x 1.25 are {wiring.controller_a:.1f} A;"
                f" the PWM controller bears {controller.limit_a:g} A.",
                "An MPPT controller clips what is too much: check that its data sheet allows so large an array."
                if tracking
                else "Too much current destroys a PWM controller: take a larger one, or fewer modules.",
            )
        )
    return found


def _controller(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    if answer.wiring.strings == 0:
        return []
    found: list[Finding] = []
    if inputs.controller.kind == "PWM":
        clamped = sum(month.yield_wh_per_w_day for month in answer.months)
        tracked = sum(month.yield_wh_per_w_day for month in array_yields(inputs, kind="MPPT"))
        share = clamped / tracked if tracked > 0 else 1.0
        if share < WASTEFUL_CLAMP:
            string_v = inputs.module.vmp_v * answer.wiring.in_series
            found.append(
                Finding(
                    "warning",
                    "controller/kind",
                    f"PWM ties {string_v:g} V of panels to a battery at {charging_v(inputs.system_v):.1f} V:"
                    f" it brings {percent(share)} of what an MPPT controller would over the year.",
                    "Take an MPPT controller, or modules whose voltage suits the battery.",
                )
            )
    found.append(
        Finding(
            "note",
            "controller/kind",
            "Panels are live whenever it is light, and a controller wants its battery first.",
            "Fit an isolator between panels and controller. On: battery, then panels. Off: panels, then battery.",
        )
    )
    return found
