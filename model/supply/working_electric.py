"""The electrical end of the solar working: voltages in the cold and in the heat, currents, back-fed current."""

from __future__ import annotations

from model import names
from model.supply.array import BRIGHT_FACTOR, COLD_BELOW_COLDEST_MONTH_K
from model.supply.table import Supply, SupplyInput
from model.working import Step

STAGE = "supply"


def electric_steps(inputs: SupplyInput, answer: Supply) -> list[Step]:
    """From the lowest temperature to the voltages and currents that the controller meets."""
    wiring, module, controller = answer.wiring, inputs.module, inputs.controller
    coldest = min(inputs.climate.temperature_c)
    estimated = inputs.lowest_c is None
    tracking = controller.kind == "MPPT"
    found = [
        Step(
            "supply.lowest_c",
            STAGE,
            "Lowest temperature",
            f"coldest month {coldest:.1f} - {COLD_BELOW_COLDEST_MONTH_K:g} K" if estimated else "as given",
            wiring.lowest_c,
            "°C",
            "own cautious estimate, no source" if estimated else inputs.climate.source,
        ),
        Step(
            "supply.cold_voc_v",
            STAGE,
            names.COLD_VOLTAGE.full,
            f"{module.voc_v:g} V x (1 + {module.voc_per_k:g} x ({wiring.lowest_c:.1f} - 25)) x {wiring.in_series}",
            wiring.cold_voc_v,
            "V",
            "NEC 690.7(A)(1) with the module's coefficient, from memory, to be checked against the code",
            ("supply.lowest_c",),
        ),
        Step(
            "supply.hot_vmp_v",
            STAGE,
            "Working voltage of the hottest cells",
            f"{module.vmp_v:g} V x (1 + {module.power_per_k:g} x"
            f" ({max(month.cell_max_c for month in answer.months):.0f} - 25)) x {wiring.in_series}",
            wiring.hot_vmp_v,
            "V",
            "current hardly changes with temperature: the voltage carries the coefficient of power",
        ),
        Step(
            "supply.controller_a",
            STAGE,
            names.CONTROLLER.full,
            f"{answer.array_w:g} W / {inputs.system_v:g} V"
            if tracking
            else f"{wiring.strings} x {module.isc_a:g} A x {BRIGHT_FACTOR:g}",
            wiring.controller_a,
            "A",
            "I = P / U at nominal battery voltage, the cautious end"
            if tracking
            else "NEC 690.8(A)(1), from memory, to be checked against the code",
            ("supply.array_w",),
        ),
    ]
    if wiring.strings > 1:
        found.append(
            Step(
                "supply.backfed_a",
                STAGE,
                "Current into a failed string",
                f"({wiring.strings} - 1) x {module.isc_a:g} A x {BRIGHT_FACTOR:g}",
                wiring.backfed_a,
                "A",
                "IEC 62548 and NEC 690.9, from memory, to be checked",
                ("supply.array_w",),
            )
        )
    return found
