"""Circuits that no load table holds, made from the design where none of their kind is entered. Their lengths are assumed."""

from __future__ import annotations

from model.design import Circuit, Run
from model.wiring.ends import shore_charger_a
from model.wiring.heavy import StringFuses, string_fuses
from model.wiring.table import CircuitPlan, WiringInput

MADE_FROM = {
    "main": "wiring/panel_ways",
    "inverter": "inverter/rated_w",
    "alternator": "alternator/charger_a",
    "array": "array/count",
    "controller": "controller/limit_a",
    "charger": "shore/charger_a",
}
"""The field of the design that implies each kind of circuit."""

KINDS = tuple(MADE_FROM)
CHARGING = ("alternator", "controller", "charger")
"""Those that charge the house battery; the array charges through its controller."""

MAIN_M, INVERTER_M, CONTROLLER_M, CHARGER_M, DC_DC_M = 1.0, 1.0, 1.0, 1.5, 1.0
STARTER_M, ARRAY_M = 4.0, 4.0
"""Routed lengths of circuits that nobody has entered. Common practice, no source."""


def automatic(kind: str, inputs: WiringInput) -> Circuit | None:
    """The circuit of that kind as the design implies it; None where it implies none. The main feed is always implied."""
    match kind:
        case "main":
            return Circuit("Main feed", kind, runs=(Run("battery", "fuse panel", MAIN_M),))
        case "inverter" if inputs.inverter.fitted:
            return Circuit("Inverter feed", kind, runs=(Run("battery", "inverter", INVERTER_M),))
        case "alternator" if inputs.alternator.fitted and inputs.alternator.charger_a > 0:
            link = "relay" if inputs.alternator.kind == "relay" else "DC-DC charger"
            first = Run("starter battery", link, STARTER_M, place="engine space", through_metal=True)
            return Circuit("Charging while driving", kind, runs=(first, Run(link, "battery", DC_DC_M)))
        case "array" if inputs.strings > 0:
            note = "An isolator between array and controller."
            fuses = fuses_of_strings(inputs)
            if fuses is not None and fuses.rating_a is not None:
                note += f" A fuse of {fuses.rating_a:g} A in each string."
            run = Run("array", "charge controller", ARRAY_M, place="roof", through_metal=True)
            return Circuit("Solar array", kind, note=note, runs=(run,))
        case "controller" if inputs.strings > 0:
            return Circuit("Charge controller", kind, runs=(Run("charge controller", "battery", CONTROLLER_M),))
        case "charger" if shore_charger_a(inputs) > 0:
            return Circuit("Shore charger", kind, runs=(Run("charger", "battery", CHARGER_M),))
    return None


def fuses_of_strings(inputs: WiringInput) -> StringFuses | None:
    """What each string of the array needs; None where none is needed."""
    module = inputs.module
    return string_fuses(inputs.strings, module.isc_a, module.series_fuse_a, inputs.cold_voc_v)


def as_entered(plan: CircuitPlan) -> Circuit:
    """The circuit as one may enter it: for an automatic one the runs that were assumed, its sizes still left to the program."""
    return plan.entered
