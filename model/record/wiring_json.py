"""The circuits as plain data: the part `wiring.circuits` of the contract of `plan --json`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from model.wiring.conductors import no_thinner
from model.wiring.papers.ways import ways
from model.wiring.wired import feed_current_a, first_fuse

if TYPE_CHECKING:
    from model.wiring.table import CircuitPlan, WiringPlan


def circuits_list(plan: WiringPlan) -> list[dict[str, Any]]:
    """Every circuit, the battery's side first; null where no voltage carries the loads."""
    return [_circuit(one) for one in plan.circuits]


def panel_dict(plan: WiringPlan) -> dict[str, Any]:
    """The fuse panel: its ways, its current with everything on, and what may be added."""
    left = plan.panel_spare
    return {
        "ways": int(plan.settings.panel_ways),
        "free_ways": sum(way.free for way in ways(plan)),
        "rating_a": plan.settings.panel_a,
        "current_a": plan.panel_a,
        "free_a": left.free_a if left is not None else None,
    }


def _circuit(plan: CircuitPlan) -> dict[str, Any]:
    one, fuse = plan.wired, first_fuse(plan.wired)
    return {
        "id": plan.key,
        "name": plan.name,
        "kind": plan.entered.kind,
        "system": plan.entered.system,
        "automatic": plan.automatic,
        "loads": list(plan.feeds),
        "current_a": feed_current_a(one, one.running),
        "fuse_a": fuse.rating_a if fuse is not None else None,
        "fuse_family": fuse.family if fuse is not None else None,
        "free_a": plan.free_a,
        "loss_wh_per_day": one.loss_wh_per_day,
        "runs": [_run(plan, index) for index in range(len(one.circuit.runs))],
        "points": [_point(plan, place) for place in range(len(one.shape.points))],
    }


def _run(plan: CircuitPlan, index: int) -> dict[str, Any]:
    run, flow = plan.wired.circuit.runs[index], plan.wired.running
    conductor = plan.wired.runs[index].conductor
    gauge = no_thinner(conductor, "AWG")
    return {
        "id": f"{plan.key}-{index + 1}",
        "from": run.start,
        "to": run.end,
        "length_m": run.length_m,
        "conductor": conductor.name,
        "awg": gauge.size if gauge is not None else None,
        "area_mm2": conductor.nominal_area_mm2,
        "current_a": flow.current_a[index] if flow is not None else None,
        "drop_v": flow.drop_v(index) if flow is not None else None,
        "governs": plan.wired.runs[index].governs,
    }


def _point(plan: CircuitPlan, place: int) -> dict[str, Any]:
    one = plan.wired
    share, left = one.drop_share(place), plan.spare[place]
    return {
        "name": one.shape.points[place],
        "voltage_v": one.running.volts[place] if one.running is not None else None,
        "start_voltage_v": one.starting.volts[place] if one.starting is not None else None,
        "drop_percent": share * 100 if share is not None else None,
        "free_a": left.free_a if left is not None else None,
    }
