"""Everything to be bought for the cables, counted from the schedule. No prices: nobody typed any."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from typing import cast

from model.wiring.bars import NO_BAR, SHUNT, bars, shunt_link
from model.wiring.circuit import Contact
from model.wiring.conductors import Conductor, Family
from model.wiring.findings_contacts import HOLDER_SHARE
from model.wiring.fuses import breakers, families
from model.wiring.papers.cables import MINUS, Cable, named, to_lay
from model.wiring.papers.cut_list import Spool, cut_list
from model.wiring.papers.ends import REMARK, is_bolted, joints
from model.wiring.papers.labels import labels
from model.wiring.papers.paper import HABIT, Column
from model.wiring.papers.ways import on_panel, roots
from model.wiring.protection import devices
from model.wiring.table import CircuitPlan, WiringPlan

SUPPORT_M = 0.45
"""Cables are held every 18 inches: ABYC E-11 and ISO 10133, from memory, to be checked against the standards."""

MANY = 4  # fuses of one rating from which on two spares go along
BY_THE_METRE = 0.5  # of a spool: below it the rest is waste
SHRINK_M = 0.05  # heat shrink on one crimp
SPARE_CRIMPS = 0.1  # bad ones, and samples for the pull test

REMARKS = (
    f"Spare fuses: one of each rating, two from {MANY} in use on; spare crimps: a tenth, at least one: {HABIT}.",
    f"Ties or clips every {SUPPORT_M:g} m (ABYC E-11 and ISO 10133, from memory); heat shrink {SHRINK_M:g} m a crimp.",
    REMARK,
    "Cable of copper all through, by its section in mm2 or its gauge: one sold by its outside diameter is thinner than it looks.",
    "Cables that are laid already, with their ends, clips and grommets, are left out; fuses and labels are not.",
    "Sizes of studs are not known here: measure them before you order ring terminals.",
    "Not listed: devices, conduit, tools; two ring terminals of the feed's size for the main switch.",
)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the list. spools: whole spools that hold the metres; single pieces beyond a spool's length are in the note."""

    kind: str
    item: str
    quantity: int | float
    unit: str
    spare: int = 0
    spools: int | None = None
    note: str = ""


COLUMNS = (
    Column("kind", "Kind"),
    Column("item", "Item"),
    Column("quantity", "Needed"),
    Column("unit", "Unit"),
    Column("spare", "Spare"),
    Column("spools", "Spools"),
    Column("note", "Note"),
)


def shopping(plan: WiringPlan) -> tuple[Item, ...]:
    """The whole list: cables first, then what protects, joins, names and holds them."""
    found = to_lay(plan)
    return (
        *_cables(plan),
        *_fuses(plan),
        *_battery_fuses(plan),
        *_panel(plan),
        *_bars(plan),
        *_strings(plan),
        *_mains(plan),
        *_switches(plan),
        *_connectors(found),
        *_crimps(found),
        *_small_parts(plan, found),
    )


def spare_fuses(in_use: int) -> int:
    """How many of one rating go along: one, or two where many are in use. Common practice, no source."""
    return 2 if in_use >= MANY else 1


def _cables(plan: WiringPlan) -> Iterator[Item]:
    by_material: dict[str, list[Spool]] = {}
    for spool in cut_list(plan):
        by_material.setdefault(spool.item, []).append(spool)
    for item, spools in by_material.items():
        whole = sum(1 for spool in spools if spool.number is not None)
        used_m = sum(spool.used_m for spool in spools if spool.number is not None)
        long = [f"{spool.used_m:.2f} m" for spool in spools if spool.number is None]
        notes = [f"spools of {plan.settings.spool_m:g} m"] if whole else []
        notes += ["or by the metre"] if whole == 1 and used_m < BY_THE_METRE * plan.settings.spool_m else []
        notes += [f"in one piece: {', '.join(long)}"] if long else []
        yield Item("cable", item, sum(spool.used_m for spool in spools), "m", spools=whole, note="; ".join(notes))


def fuses(plan: WiringPlan) -> Counter[tuple[str, float]]:
    """(family, rating in A) -> how many are in use."""
    found: Counter[tuple[str, float]] = Counter()
    for circuit in plan.circuits:
        for run in circuit.wired.circuit.runs:
            for _, one in devices(run):
                if one.rating_a is not None:
                    found[one.family or "", one.rating_a] += 1
    return found


def _fuses(plan: WiringPlan) -> Iterator[Item]:
    order = list(families())
    for (family, rating_a), count in sorted(fuses(plan).items(), key=lambda one: (_rank(order, one[0][0]), one[0][1])):
        if family in breakers():
            continue
        yield Item("fuse", f"{rating_a:g} A {family}".rstrip(), count, "pieces", spare_fuses(count))
    holders = Counter(
        one.family or ""
        for circuit in plan.circuits
        for index, run in enumerate(circuit.wired.circuit.runs)
        for end, one in devices(run)
        if one.rating_a is not None
        and one.family not in breakers()
        and not (on_panel(circuit) and end == "start" and index in roots(circuit))
    )
    for family in sorted(holders, key=lambda name: _rank(order, name)):
        note = "with a cover; two ring terminals each" if is_bolted(family) else ""
        yield Item("holder", f"Fuse holder, {family}", holders[family], "pieces", note=note)


def _battery_fuses(plan: WiringPlan) -> Iterator[Item]:
    """The fuse of each battery where several stand in parallel, and the leads that no circuit has."""
    if plan.batteries < 2:
        return
    rating_a = plan.settings.battery_fuse_a
    size = "not chosen yet" if rating_a is None else f"{rating_a:g} A"
    item = f"Fuse at the post of each battery, {size}, breaks {plan.battery_fuse_breaks_a:.0f} A, with holder"
    yield Item("fuse", item, plan.batteries, "pieces", spare_fuses(plan.batteries))
    note = "measured where the batteries stand; of one length each where they end on bus bars"
    yield Item("cable", "Leads and links of the paralleled batteries", 2 * plan.batteries, "pieces", note=note)


def _strings(plan: WiringPlan) -> Iterator[Item]:
    fuses = plan.string_fuses
    if fuses is not None and fuses.rating_a is not None:
        item = f"{fuses.rating_a:g} A string fuse for {fuses.open_v:.0f} V direct current, with holder"
        yield Item(
            "fuse", item, fuses.strings, "pieces", spare_fuses(fuses.strings), note="one in each string's positive"
        )


def _mains(plan: WiringPlan) -> Iterator[Item]:
    """What alternating current needs besides its cables; a licensed person chooses the make."""
    note = "chosen and fitted by a licensed person"
    for (family, rating_a), count in sorted(fuses(plan).items()):
        if family in breakers():
            volts = next(one.wired.circuit.source.nominal_v for one in plan.circuits if _is_mains(one))
            yield Item(
                "breaker", f"{rating_a:g} A breaker, double-pole, {volts:g} V alternating", count, "pieces", note=note
            )
    if any(_is_mains(one) for one in plan.circuits):
        yield Item("breaker", "Residual-current device, 30 mA, double-pole", 1, "pieces", note=note)


def _is_mains(circuit: CircuitPlan) -> bool:
    return circuit.wired.circuit.source.kind == "inverter"


def _rank(order: list[str], family: str) -> int:
    return order.index(family) if family in order else len(order)


def _panel(plan: WiringPlan) -> Iterator[Item]:
    if any(on_panel(circuit) for circuit in plan.circuits):
        rating = f", {plan.settings.panel_a:g} A" if plan.settings.panel_a else ""
        yield Item("panel", f"Fuse panel with {plan.settings.panel_ways:g} ways{rating}", 1, "pieces")


def _bars(plan: WiringPlan) -> Iterator[Item]:
    found = bars(plan.circuits)
    for one in found:
        if one.studs <= NO_BAR:
            continue  # one return: it ends on the shunt itself
        least = (
            ""
            if one.current_a is None
            else f", at least {ceil(max(one.current_a / HOLDER_SHARE, one.fuse_a or 0.0))} A"
        )
        where = "negative, behind the shunt" if one.point == SHUNT else f"at {one.point}, one a pole"
        yield Item(
            "bus bar", f"Bus bar with {one.studs} studs{least}", one.poles, "pieces", note=f"{where}; with a cover"
        )
    shunted = next((one for one in found if one.point == SHUNT), None)
    if shunted is not None and shunted.current_a is not None:
        item = f"Shunt of the battery monitor, at least {ceil(shunted.current_a / HOLDER_SHARE)} A"
        yield Item("shunt", item, 1, "pieces", note="in the negative, before all returns")
        if shunted.studs > NO_BAR:
            yield _shunt_cable(plan)


def _shunt_cable(plan: WiringPlan) -> Item:
    """The two short cables of the shunt, which no circuit has: all returns together flow in them."""
    settings = plan.settings
    link = shunt_link(plan.circuits, cast(Family, settings.conductors), settings.tinned, settings.insulation_c)
    size = "thicker than any listed: two equal ones side by side" if link is None else named(link)
    note = (
        "battery to shunt to bar, short; four ring terminals; bears the largest fuse and what the other circuits draw"
    )
    return Item("cable", f"{size}, {MINUS}, {settings.insulation_c:g} °C, for the shunt", 2, "pieces", note=note)


def _switches(plan: WiringPlan) -> Iterator[Item]:
    mains = [circuit for circuit in plan.circuits if circuit.entered.kind == "main"]
    if mains and not any(_has_switch(circuit) for circuit in mains):
        amps = max(_main_a(circuit) for circuit in mains)
        item = f"Main switch, at least {ceil(amps)} A at {plan.system_v:g} V direct current"
        yield Item("switch", item, 1, "pieces", note="opens the positive behind the main fuse")
    inverters = sum(1 for circuit in plan.circuits if circuit.entered.kind == "inverter")
    if inverters:
        note = "charges the inverter's capacitors before its fuse or switch closes, or contacts burn; see the maker's sheet"
        yield Item("switch", "Pre-charge resistor with push button", inverters, "pieces", note=note)


def _main_a(circuit: CircuitPlan) -> float:
    """What a switch in a main circuit must bear: its loads with their margin, and what its fuse lets through for long."""
    own = roots(circuit)
    fuses_a = [one.rating_a for run in own for _, one in devices(circuit.wired.circuit.runs[run]) if one.rating_a]
    return max(sum(circuit.wired.passing_a[run] for run in own), *fuses_a, 0.0)


def _has_switch(circuit: CircuitPlan) -> bool:
    names = [one.name.lower() for run in circuit.wired.circuit.runs for one in run.contacts]
    return any("switch" in name or "isolator" in name for name in names)


def _connectors(found: tuple[Cable, ...]) -> Iterator[Item]:
    counted = Counter(_connector(one) for cable in found for one in cable.run.contacts)
    for item in sorted(counted):
        yield Item("connector", item, counted[item], "pieces")


def _connector(one: Contact) -> str:
    return f"{one.name}, {one.poles} contacts, {one.rating_a:g} A"


def _crimps(found: tuple[Cable, ...]) -> Iterator[Item]:
    needed = joints(found)
    for title, counted in (("Ring terminal", needed.rings), ("Butt splice", needed.splices)):
        for one in sorted(counted, key=_area):
            count = counted[one]
            if count:
                note = "by the stud" if counted is needed.rings else "for the thickest conductor in it"
                yield Item("crimp", f"{title} for {one.name}", count, "pieces", ceil(count * SPARE_CRIMPS), note=note)
    both = needed.rings + needed.splices
    for one in sorted(both, key=_area):
        yield Item("heat shrink", f"Heat shrink with adhesive for {one.name}", both[one] * SHRINK_M, "m")


def _area(one: Conductor) -> tuple[float, str]:
    return one.nominal_area_mm2, one.name


def _small_parts(plan: WiringPlan, found: tuple[Cable, ...]) -> Iterator[Item]:
    count = sum(label.count for label in labels(plan))
    if count:
        yield Item("label", "Wire label", count, "pieces", note="texts on the label list")
    grommets = Counter(
        f"{cable.make} {cable.conductor.name}"
        for cable in found
        if cable.pieces and cable.circuit.entered.runs[cable.index].through_metal
    )
    for cable, number in sorted(grommets.items()):
        yield Item("grommet", f"Grommet for {cable}", number, "pieces", note="one hole counted; count them on the van")
    returning = [cable for cable in found if cable.run.returns == "chassis" and not cable.run.mains]
    if returning:
        bond = max((cable.conductor for cable in returning), key=lambda one: one.nominal_area_mm2)
        note = "battery negative to chassis, behind the shunt; its length is measured on the van; made once"
        yield Item("bond", f"{named(bond)} or thicker, to the chassis", 1, "pieces", note=note)
        studs = len(returning) + 1
        yield Item(
            "bond", "Chassis stud with nut and toothed washer", studs, "pieces", note="on bare metal, then painted"
        )
    ties = sum(ceil(cable.run.length_m / SUPPORT_M) for cable in found if cable.pieces)
    if ties:
        yield Item("tie", "Cable tie or clip", ties, "pieces")
