"""What a careful friend would say about one circuit's cables, volts and contacts."""

from __future__ import annotations

from model.quantities import percent
from model.wiring.ampacity import insulation_class_c
from model.wiring.circuit import PointLoad
from model.wiring.findings_charging import charging_findings
from model.wiring.findings_contacts import contact_findings
from model.wiring.findings_laid import laid_findings, with_what_is_left
from model.wiring.findings_protection import protection_findings
from model.wiring.sizing import is_strong
from model.wiring.wired import Wired
from model.wiring.wording import amps, run_name
from model.working import Finding, by_severity

PANEL_TERMINAL_MM2 = 10.0
"""The thickest conductor that the terminals of a panel's ways take. Common practice, no source."""

BULKY_MM2, BULKY_SHARE = 10.0, 3.0
"""From that section on a word is worth it where the fuse in front is that many times the load. Common practice, no source."""

DROP_ROUNDING_V = 1e-4  # sizes are searched to a few microvolts


def findings(one: Wired) -> tuple[Finding, ...]:
    """Everything about the circuit, dangers first; of its parts one after the other."""
    if one.parts:
        return by_severity(dict.fromkeys((*one.shape.faults, *(said for part in one.parts for said in findings(part)))))
    found = [*one.shape.faults, *_volts(one)]
    for index in one.shape.order:
        found += _conductor(one, index)
        found += contact_findings(one, index)
        found += _thick(one, index)
    found += _chassis(one)
    found += [*protection_findings(one), *charging_findings(one), *laid_findings(one)]
    return by_severity(dict.fromkeys(with_what_is_left(one, found)))


def _volts(one: Wired) -> list[Finding]:
    circuit, where = one.circuit, f"circuits/{one.circuit.key}"
    if one.running is None:
        return [
            Finding(
                "danger",
                f"{where}/runs",
                f"{circuit.name}: no voltage carries these loads; the cable would take more than it passes on.",
                "Thicker or shorter cable, less load, or a higher system voltage.",
            )
        ]
    found: list[Finding] = []
    for index, load in enumerate(circuit.loads):
        place = one.shape.place.get(load.point)
        if place is None or load.power_w <= 0:
            continue
        lost_v = one.drop_v(place)
        assert lost_v is not None
        share = lost_v / circuit.source.nominal_v
        if lost_v > load.drop_limit * circuit.source.nominal_v + DROP_ROUNDING_V:
            found.append(
                Finding(
                    "warning",
                    f"{where}/loads/{index}/point",
                    f"{circuit.name}: {load.name} loses {lost_v:.2f} V on the way ({percent(share, 1)});"
                    f" {percent(load.drop_limit)} are allowed.",
                    f"Thicker cable on the way there: {_heaviest_drop(one, place)} loses most.",
                )
            )
        found += _cut_out(one, index, place, load)
    if one.starting is None:
        found.append(
            Finding(
                "warning",
                f"{where}/runs",
                f"{circuit.name}: on a low battery no voltage carries these loads while one of them starts.",
                "Thicker or shorter cable; otherwise it fails on a cold evening and works at noon.",
            )
        )
    return found


def _cut_out(one: Wired, index: int, place: int, load: PointLoad) -> list[Finding]:
    """A load that would switch itself off while one starts on a low battery, and what would help."""
    if one.starting is None or load.cut_out_v is None:
        return []
    source_v, low_v = one.starting.volts[0], one.starting.volts[place]
    if low_v >= load.cut_out_v - DROP_ROUNDING_V:
        return []
    source = one.circuit.source
    typed = [index for index in one.shape.path(place) if one.runs[index].governs == "typed"]
    if source_v < load.cut_out_v:
        there = f"the low {source.kind} itself" if source.kind == "battery" else f"the {source.kind} itself"
        more = f"; {there} is down to {source_v:.2f} V then"
        advice = (
            "No cable of this circuit helps: a larger or fuller battery, a thicker cable up to there, or less at once."
        )
    elif typed:
        more = ""
        advice = f"Thicker cable ({_heaviest_drop(one, place)} loses most), better joints, or a fuller battery."
    else:
        more = " even behind the thickest conductor"
        advice = "A shorter way, better joints, two circuits, or a fuller battery."
    return [
        Finding(
            "warning",
            f"circuits/{one.circuit.key}/loads/{index}/cut_out_v",
            f"{one.circuit.name}: at starting current on a low battery {load.name} sees {low_v:.2f} V"
            f" and cuts out at {load.cut_out_v:g} V{more}.",
            advice,
        )
    ]


def _heaviest_drop(one: Wired, place: int) -> str:
    """What loses most on the way to a place: one of its runs, or the main feed that it shares with others."""
    flow, way = one.running, one.shape.path(place)
    if flow is None or not way:
        return "the main feed"
    worst = max(way, key=flow.drop_v)
    return (
        "the main feed"
        if one.circuit.source.upstream_drop_v > flow.drop_v(worst)
        else run_name(one.circuit.runs[worst])
    )


def _conductor(one: Wired, index: int) -> list[Finding]:
    run, sized, circuit = one.circuit.runs[index], one.runs[index], one.circuit
    where = f"circuits/{circuit.key}/runs/{index}"
    name = f"{circuit.name}, {run_name(run)}"
    found: list[Finding] = []
    column = insulation_class_c(run.insulation_c)
    if column is None:
        found.append(
            Finding(
                "danger",
                f"{where}/insulation_c",
                f"{name}: insulation for {run.insulation_c:g} °C is below the table of ampacity, which begins at 60 °C.",
                "Take a cable for 60 °C at least; what this one bears is not checked.",
            )
        )
    elif run.ambient_c >= column:
        found.append(
            Finding(
                "danger",
                f"{where}/ambient_c",
                f"{name}: {run.ambient_c:g} °C around insulation of the class for {column} °C leave no room for any current.",
                "Another way, or insulation for a higher temperature.",
            )
        )
    elif not sized.enough:
        found.append(
            Finding(
                "danger" if sized.governs != "drop" else "warning",
                f"{where}/conductor",
                f"{name}: even the thickest conductor, {sized.conductor.name}, is too thin ({sized.governs}).",
                "Several circuits, or two equal cables for each pole with a fuse each; or a higher system voltage."
                if sized.governs != "drop"
                else "Divide the load over several circuits, shorten the run, or take a higher system voltage.",
            )
        )
    if not is_strong(sized.conductor, run.sheathed, run.mains):
        least = (
            "14 AWG or 1.5 mm2"
            if run.mains
            else "18 AWG or 0.75 mm2 in a sheath"
            if run.sheathed
            else "16 AWG or 1 mm2"
        )
        found.append(
            Finding(
                "warning",
                f"{where}/conductor",
                f"{name}: {sized.conductor.name} is thinner than a single cable in a vehicle should be ({least}).",
                "It breaks at the crimp before it is ever overloaded: take a thicker one, or one with a sheath.",
            )
        )
    return found


def _thick(one: Wired, index: int) -> list[Finding]:
    """A conductor that is thick for another reason than its load, or too thick for where it begins."""
    run, sized, source = one.circuit.runs[index], one.runs[index], one.circuit.source
    area_mm2, where = sized.conductor.nominal_area_mm2, f"circuits/{one.circuit.key}/runs/{index}"
    name, found = f"{one.circuit.name}, {run_name(run)}", list[Finding]()
    if sized.allowed_a <= 0:  # the thickest of all for want of any ampacity: said with the place
        return found
    if source.kind == "panel" and run.start == source.point and area_mm2 > PANEL_TERMINAL_MM2:
        message = f"{name}: {sized.conductor.name} hardly fits a way of a fuse panel."
        advice = "A fuse of its own on a bus bar, a shorter way, a higher system voltage; or more drop, if the device bears it."
        found.append(Finding("note", f"{where}/conductor", message, advice))
    in_front = next((guard for guard in one.guards if guard.run == index and guard.source is source), None)
    if sized.governs != "ampacity" or area_mm2 < BULKY_MM2 or in_front is None or in_front.device is None:
        return found
    rating_a, load_a = in_front.rating_a or 0.0, one.passing_a[index]
    if in_front.device[0] != index and rating_a > BULKY_SHARE * load_a:
        message = (
            f"{name}: {sized.conductor.name} only because the fuse in front of it lets {rating_a:g} A pass; its load with reserve"
            f" is {amps(load_a)}."
        )
        advice = "A fuse of its own at its start, and it may be thinner."
        found.append(Finding("note", f"{where}/protection", message, advice))
    return found


def _chassis(one: Wired) -> list[Finding]:
    """Returns through the chassis whose resistance nobody measured, said once for a circuit."""
    runs = one.circuit.runs
    there = [at for at in one.shape.order if runs[at].returns == "chassis" and runs[at].chassis_ohm is None]
    if not there:
        return []
    more = f" and {len(there) - 1} more" if len(there) > 1 else ""
    return [
        Finding(
            "warning",
            f"circuits/{one.circuit.key}/runs/{there[0]}/chassis_ohm",
            f"{one.circuit.name}, {run_name(runs[there[0]])}{more}: what the chassis loses is not known; it is counted like a"
            " second cable.",
            "Measure it under load, or lay a second conductor: paint and rust make chassis returns fail.",
        )
    ]
