"""The working of what belongs to no single circuit: the battery as a source, the panel, the losses of all cables."""

from __future__ import annotations

from model import names
from model.storage.chemistry import chemistries
from model.wiring.bank import Bank
from model.wiring.circuit import Source
from model.wiring.short_circuit import cell, short_circuit_a
from model.wiring.table import CircuitPlan, WiringInput
from model.working import Step


def own_steps(
    inputs: WiringInput,
    battery: Bank,
    panel: Source,
    circuits: tuple[CircuitPlan, ...],
    panel_a: float,
    loss_wh: float,
) -> tuple[Step, ...]:
    """The battery as a source, the panel's voltage and sum, the losses of all cables."""
    chemistry, one = chemistries()[inputs.chemistry], cell(inputs.chemistry)
    cells, source = battery.cells, battery.source
    nominal, empty = chemistry.source("cell_nominal_v"), chemistry.source("cell_empty_v")
    found = [
        _step("battery.running_v", "Battery while running", f"{cells} cells x {chemistry.cell_nominal_v:g} V",
              source.running_v, "V", nominal),
        _step("battery.low_v", "Low battery", f"{cells} cells x {chemistry.cell_empty_v:g} V, not below 11 V of 12 V",
              source.low_v, "V", f"{empty}; 22 V of 24 V: inverter example after Wiles"),
        _step("battery.full_v", "Full battery at rest", f"{cells} cells x {one.full_v:g} V", source.full_v, "V", one.source),
    ]  # fmt: skip
    typed_a = inputs.settings.short_circuit_a if battery.disbelieved_a is None else None
    if source.ohm_least is not None:
        behind = (
            f"{inputs.units_parallel} strings taken off at {inputs.settings.take_off}"
            if inputs.units_parallel > 1
            else "one"
        )
        found += [
            _step(
                "battery.one_ohm",
                "Least resistance of one battery",
                f"{source.full_v:.4g} V / {typed_a:g} A"
                if typed_a is not None
                else f"{cells} cells x ({one.least_mohm_ah:g} mohm Ah / {inputs.installed_ah / inputs.units_parallel:g} Ah"
                f" + {one.link_mohm:g} mohm)",
                battery.one_least_ohm,
                "ohm",
                "the battery's maker, typed" if typed_a is not None else one.source,
                *(("battery.full_v",) if typed_a is not None else ()),
            ),
            _step(
                "battery.ohm",
                "Least resistance of the batteries together",
                behind,
                source.ohm_least,
                "ohm",
                "Kirchhoff's laws",
                "battery.one_ohm",
            ),
            _step(
                "battery.cold_ohm",
                "Most resistance of the batteries together, cold",
                f"each {battery.one_most_ohm * 1000:.3g} mohm x {one.at_0c:g}^((25 - {inputs.battery_c:g}) / 25)",
                source.start_ohm,
                "ohm",
                f"worn cells on a cold evening, before links: {one.source}",
            ),
            _step(
                "battery.short_circuit_a",
                "Largest short-circuit current of the battery",
                f"{source.full_v:.4g} V / {source.ohm_least * 1000:.3g} mohm",
                short_circuit_a(source.full_v, source.ohm_least),
                "A",
                "Ohm's law",
                "battery.full_v",
                "battery.ohm",
            ),
        ]
    on_panel = [one for one in circuits if one.entered.kind == "loads" and one.entered.feed == "panel"]
    if on_panel:
        found += [
            _step(
                "panel.volts",
                f"{names.VOLTS.full} at the fuse panel, everything on",
                f"{source.running_v:.4g} V - {panel.upstream_drop_v:.2f} V in the main feed, rounded down to 0.02 V",
                panel.running_v,
                "V",
                "Kirchhoff's and Ohm's laws",
                "battery.running_v",
            ),
            _step(
                "panel.current_a",
                f"{names.CURRENT.full} of all ways of the panel together",
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


def counted_efficiency(use_wh: float, loss_wh: float) -> tuple[float, Step]:
    """What the cables pass on of a day's energy, use / (use + loss) in the month looked at; taken for all months alike."""
    found = use_wh / (use_wh + loss_wh) if use_wh > 0 else 1.0
    return found, _step(
        "efficiency",
        "Wiring efficiency, from the cables",
        f"{use_wh:.4g} Wh / ({use_wh:.4g} + {loss_wh:.3g}) Wh; it takes the place of what is typed, in all months",
        found,
        "",
        "heat in the cables as their circuits have it",
        "loss_wh_per_day",
    )


def _step(what: str, label: str, formula: str, value: float, unit: str, source: str, *uses: str) -> Step:
    return Step(
        f"wiring.{what}", "wiring", label, formula, value, unit, source, tuple(f"wiring.{used}" for used in uses)
    )
