"""The whole system as a one-line diagram: sources on the left, what the battery feeds on the right, the fuse panel below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from model.quantities import show
from model.record.as_text import units_text
from model.record.diagram import symbols
from model.record.diagram.facts import Link, cables_of, fuse, link
from model.record.diagram.sheet import BAR, MARGIN, SIZE, SMALL, WIDTH, Sheet
from model.record.diagram.symbols import Symbol, load_symbol
from model.wiring.papers.ways import Way, ways

if TYPE_CHECKING:
    from model.plan import Plan
    from model.wiring.table import CircuitPlan

RIGHT = WIDTH - MARGIN
BUS = 392.0  # x of the positive bus bar
SOURCE, CONVERTER = 38.0, 206.0  # x of what gives, and of what stands between it and the battery
LEFT_PITCH, RIGHT_PITCH, WAY_PITCH = 88.0, 80.0, 36.0
PANEL_BUS, WAY_FUSE, WAY_CABLE, WAY_LOAD = 34.0, 80.0, 208.0, 446.0  # x of the columns of the panel
# Rows of the panel that read well on one page of paper, with and without what feeds them.
FIRST_ROWS, FURTHER_ROWS = 14, 24


def draw(sheet: Sheet, plan: Plan, top: float, rows: Sequence[Way], first: bool = True) -> float:
    """The system with `rows` of its panel; `first` draws what is in front of them too. Answers where it ends."""
    feed = _feed(plan)
    below = top
    if first:
        below, feed_y = _battery_side(sheet, plan, feed, top)
        if feed is not None:
            below = _down_to_panel(sheet, feed_y, below)
    if rows:
        below = _panel(sheet, plan, rows, below, first)
    if first:
        below = _fed_by_inverter(sheet, plan, below)
    return below


def panel_rows(plan: Plan) -> tuple[Way, ...]:
    """The ways in use, by number."""
    return tuple(way for way in ways(plan.wiring) if not way.free)


def _feed(plan: Plan) -> CircuitPlan | None:
    """The circuit that feeds the panel."""
    return next((one for one in plan.wiring.circuits if one.entered.kind == "main"), None)


def _link(circuit: CircuitPlan, part: slice = slice(None)) -> Link | None:
    """The circuit's runs, or some of them, as one piece; None where nothing hangs together."""
    cables = cables_of(circuit)
    found = [cables[index] for index in circuit.wired.shape.order][part]
    return link(found) if found else None


@dataclass(frozen=True, slots=True)
class _Given:
    """A row of the left side. title: bold, over the row. between: the converter's symbol and name."""

    title: str
    symbol: Symbol
    to_converter: Link | None
    between: tuple[Symbol, str] | None
    to_bus: Link | None
    isolated: bool = False


def _sources(plan: Plan) -> list[_Given]:
    """What charges the battery: each row begins at what gives and ends at the bus bar."""
    of_kind = {
        kind: [one for one in plan.wiring.circuits if one.entered.kind == kind]
        for kind in ("array", "controller", "alternator", "charger")
    }
    arrays, controllers = of_kind["array"], of_kind["controller"]
    controller = (symbols.DC_DC, f"{plan.design.controller.kind} charge controller")
    found = []
    for at in range(max(len(arrays), len(controllers))):
        array = arrays[at] if at < len(arrays) else None
        behind = controllers[at] if at < len(controllers) else None
        names = " and ".join(one.key for one in (array, behind) if one is not None)
        found.append(
            _Given(
                f"{names}: {_array(plan)}" if at == 0 else names,
                symbols.SOLAR,
                _link(array) if array else None,
                controller,
                _link(behind) if behind else None,
                True,
            )
        )
    for one in of_kind["alternator"]:
        link_name = plan.design.alternator.kind
        between = (symbols.SWITCH if link_name == "relay" else symbols.DC_DC, link_name)
        split = len(one.wired.shape.order) > 1
        near = _link(one, slice(0, 1)) if split else None
        rest = _link(one, slice(1, None)) if split else _link(one)
        found.append(
            _Given(f"{one.key}: from the starter battery", symbols.BATTERY, near, between if split else None, rest)
        )
    for one in of_kind["charger"]:
        gives = "generator" if plan.design.generator.hours_per_week > 0 else "shore power"
        if plan.design.generator.hours_per_week > 0 and plan.design.shore.nights_per_week > 0:
            gives = "shore power or generator"
        found.append(_Given(f"{one.key}: {gives}", symbols.AC_SOURCE, None, (symbols.AC_DC, "charger"), _link(one)))
    return found


def _array(plan: Plan) -> str:
    if plan.supply is None:
        return "solar modules"
    wiring = plan.supply.wiring
    strings = f"{wiring.strings} {'string' if wiring.strings == 1 else 'strings'} of {wiring.in_series}"
    return f"{wiring.count} x {show(plan.design.module.rated_w, 'power')}, {strings}"


def _titled(one: CircuitPlan) -> str:
    return f"{one.key} · {one.name}" if one.name.strip().lower() != one.key else one.name


def _battery_side(sheet: Sheet, plan: Plan, feed: CircuitPlan | None, top: float) -> tuple[float, float]:
    """Everything on the positive bus bar. Answers where it ends, and the height of the panel's feed."""
    given = _sources(plan)
    others = [one for one in plan.wiring.circuits if _at_battery(one) and one is not feed]
    taken = [*others, *([feed] if feed is not None else [])]
    y, ys = top + 48, []
    for one in given:
        _given(sheet, one, y)
        ys.append(y)
        y += LEFT_PITCH
    _battery(sheet, plan, y)
    ys.append(y)
    left_end = y + (72 if _through_chassis(plan) else 58)
    y = top + 48
    for circuit in taken:
        _taken(sheet, plan, circuit, y, circuit is feed)
        ys.append(y)
        y += RIGHT_PITCH
    sheet.line((BUS, min(ys) - 14), (BUS, max(ys) + 14), thick=BAR)
    sheet.words(BUS, top + 14, "positive bus bar", size=SMALL, anchor="middle")
    return max(left_end, y - RIGHT_PITCH + 50), y - RIGHT_PITCH


def _at_battery(one: CircuitPlan) -> bool:
    kind = one.entered.kind
    return kind in ("inverter", "main") or (kind == "loads" and one.entered.feed == "battery")


def _given(sheet: Sheet, row: _Given, y: float) -> None:
    sheet.words(MARGIN, y - 36, row.title, bold=True, room=BUS - 2 * MARGIN - 44)
    if row.between is None:
        _piece(sheet, row.to_bus, SOURCE, row.symbol.half, BUS, y)
    else:
        symbol, name = row.between
        sheet.symbol(CONVERTER, y, symbol)
        sheet.words(CONVERTER, y - 21, name, size=SMALL, anchor="middle", room=170)
        _piece(sheet, row.to_converter, SOURCE, row.symbol.half, CONVERTER - symbol.half, y, isolated=row.isolated)
        _piece(sheet, row.to_bus, CONVERTER, symbol.half, BUS, y)
    sheet.symbol(SOURCE, y, row.symbol)
    sheet.arrow(BUS - BAR / 2, y)


def _piece(
    sheet: Sheet, one: Link | None, x: float, half: float, end: float, y: float, *, isolated: bool = False
) -> None:
    """A wire from what stands at x to `end`, its cable above it, its colour and fuses below."""
    start = x + half
    room = end - start - 8
    devices, free = [], end  # the isolator's blade stands where no words are
    if one is not None and one.at_start:
        devices.append((start + 19, symbols.FUSE))
    if one is not None and one.at_end:
        free = end - 44
        devices.append((free + 17, symbols.FUSE))
    if isolated or (one is not None and one.isolator):
        free -= 30
        devices.append((free + 13, symbols.ISOLATOR))
    sheet.wire(start, end, y, *devices)
    if one is None:
        return
    sheet.words(start + 4, y - 9, one.cable, size=SMALL, room=free - start - 8)
    sheet.words(start + 4, y + 16, one.colour, size=SMALL, room=room)
    for at, said in enumerate(_fuses(one)):
        sheet.words(start + 4, y + 28 + 12 * at, f"fuse {said}", size=SMALL, bold=True, room=room)


def _fuses(one: Link) -> list[str]:
    """What fuses it has, two lines at most."""
    if one.at_start and one.at_start == one.at_end:
        found = [f"{one.at_start}, one at each end"]
    else:
        found = [words for words in (one.at_start, one.at_end) if words]
    if one.other_fuses > 0:
        found = [*found[:1], " and ".join([*found[1:], f"{one.other_fuses} more on the way"])]
    return found


def _battery(sheet: Sheet, plan: Plan, y: float) -> None:
    """The battery's row: its plus to the bus bar, its minus through the shunt to the other bar."""
    chosen = plan.storage.chosen
    units = units_text(chosen.units_series, chosen.units_parallel, chosen.unit_v, chosen.unit_ah)
    sheet.words(MARGIN, y - 22, f"battery: {chosen.chemistry}, {units}", bold=True, room=BUS - 2 * MARGIN)
    half = symbols.BATTERY.half
    sheet.symbol(SOURCE, y, symbols.BATTERY)
    sheet.line((SOURCE + half, y), (BUS, y))
    figures = f"{chosen.bank_v:g} V, {chosen.installed_ah:g} Ah, {show(chosen.installed_wh, 'energy')}"
    sheet.words(SOURCE + half + 8, y - 7, figures, size=SMALL, room=BUS - SOURCE - half - 16)
    below = y + 34
    sheet.line((SOURCE - half, y), (SOURCE - half, below), (SOURCE + 20, below))
    shunt = SOURCE + 34
    sheet.symbol(shunt, below, symbols.SHUNT)
    sheet.line((shunt + 14, below), (140, below))
    sheet.line((140, below), (BUS - 22, below), thick=BAR)
    sheet.words(MARGIN + 8, below + 18, "shunt of the monitor", size=SMALL)
    sheet.words(148, below + 18, "negative bus bar: every return ends here", size=SMALL, room=BUS - 148)
    if _through_chassis(plan):
        sheet.words(148, below + 31, "chassis:", size=SMALL)
        sheet.symbol(204, below + 28, symbols.CHASSIS)


def _through_chassis(plan: Plan) -> bool:
    return any(run.returns == "chassis" for one in plan.wiring.circuits for run in one.wired.circuit.runs)


def _taken(sheet: Sheet, plan: Plan, circuit: CircuitPlan, y: float, to_panel: bool) -> None:
    """What the battery feeds through a fuse of its own."""
    start, one = BUS + BAR / 2, _link(circuit)
    kind = circuit.entered.kind
    title = f"{circuit.key}: to the fuse panel" if to_panel else _titled(circuit) if kind == "loads" else circuit.key
    sheet.words(start + 18, y - 22, title, bold=True, room=RIGHT - start - 18)
    symbol = symbols.DC_AC if kind == "inverter" else _load(circuit)
    end = RIGHT if to_panel else RIGHT - 2 * symbol.half
    devices = [(start + 32, symbols.FUSE)] if one is not None and one.at_start else []
    if to_panel or (one is not None and one.isolator):
        devices.append((start + 84, symbols.ISOLATOR))
    if one is not None and one.at_end:
        devices.append((end - 40, symbols.FUSE))
    sheet.wire(start, end, y, *devices)
    if not to_panel:
        sheet.arrow(end, y)
        sheet.symbol(end + symbol.half, y, symbol)
    x, room = start + 18, end - start - 24
    if one is None:
        return
    beside = x + (90 if len(devices) > 1 and devices[1][1] is symbols.ISOLATOR else 0)
    sheet.words(beside, y - 8, one.cable, size=SMALL, room=room - (beside - x))
    sheet.words(
        x, y + 17, f"fuse {'; '.join(_fuses(one))}" if _fuses(one) else "no fuse", size=SMALL, bold=True, room=room
    )
    more = [one.colour, *([f"{one.amps:.3g} A"] if one.amps is not None else [])]
    more += [one.isolator or "main isolator"] if to_panel else [one.isolator] if one.isolator else []
    sheet.words(x, y + 30, " · ".join(word for word in more if word), size=SMALL, room=room)
    if not to_panel:
        fed = ", ".join(circuit.feeds)
        rated = show(plan.design.inverter.rated_w, "power") if kind == "inverter" else ""
        sheet.words(x, y + 43, "; ".join(word for word in (rated, fed) if word), size=SMALL, room=RIGHT - x)


def _load(circuit: CircuitPlan) -> Symbol:
    """The symbol of what takes most power on a circuit."""
    watts: dict[str, float] = {}
    found: dict[str, Symbol] = {}
    for load in circuit.wired.circuit.loads:
        symbol = load_symbol(load.name, load.law == "resistance")
        found[symbol.name] = symbol
        watts[symbol.name] = watts.get(symbol.name, 0.0) + load.power_w
    return found[max(watts, key=lambda name: watts[name])] if found else symbols.DEVICE


def _down_to_panel(sheet: Sheet, feed_y: float, below: float) -> float:
    """The feed turns down and leads back to the head of the panel's bus bar."""
    y = below + 12
    sheet.line((RIGHT, feed_y), (RIGHT, y), (PANEL_BUS, y), (PANEL_BUS, y + 10))
    return y + 6


def _panel(sheet: Sheet, plan: Plan, rows: Sequence[Way], top: float, first: bool) -> float:
    wiring = plan.wiring
    used, count = len(panel_rows(plan)), f"{wiring.settings.panel_ways:g}"
    title = f"Fuse panel: {used} of {count} ways in use, {show(wiring.panel_a, 'current')} together"
    if wiring.settings.panel_a is not None:
        title += f", rated {wiring.settings.panel_a:g} A"
    sheet.words(WAY_FUSE - 22, top + 18, title if first else f"{title}, continued", bold=True, room=RIGHT - WAY_FUSE)
    y = top + 50
    start = top + 4
    by_key = {one.key: one for one in wiring.circuits}
    for way in rows:
        _way(sheet, way, by_key[way.circuit], y)
        y += WAY_PITCH
    sheet.line((PANEL_BUS, start), (PANEL_BUS, y - WAY_PITCH + 12), thick=BAR)
    free = [way.way for way in ways(wiring) if way.free]
    last = panel_rows(plan)[-1:] == tuple(rows[-1:])
    if free and last:
        words = f"free: {'way' if len(free) == 1 else 'ways'} {', '.join(map(str, free))}"
        sheet.words(WAY_FUSE - 22, y, words, size=SMALL, room=RIGHT - WAY_FUSE)
    return y + 14


def _way(sheet: Sheet, way: Way, circuit: CircuitPlan, y: float) -> None:
    """One row: number, fuse, cable, circuit and loads."""
    one, symbol = _link(circuit), _load(circuit)
    roots = [circuit.wired.circuit.runs[at] for at in circuit.wired.shape.order[:1]]
    found = fuse(roots[0].protection) if roots else ""
    devices = [(WAY_FUSE, symbols.FUSE)] if found else []
    sheet.wire(PANEL_BUS, WAY_LOAD - 2 * symbol.half, y, *devices)
    sheet.arrow(WAY_LOAD - 2 * symbol.half, y)
    sheet.symbol(WAY_LOAD - symbol.half, y, symbol)
    sheet.words(WAY_FUSE - 20, y - 8, f"{way.way}", size=SIZE, bold=True, anchor="end")
    rating, _, shade = found.partition(", ")
    beside = WAY_FUSE + 19
    sheet.words(beside, y - 6, rating or "no fuse", bold=True, room=WAY_CABLE - beside - 6)
    if shade:
        sheet.words(beside, y + 13, shade, size=SMALL, room=WAY_CABLE - beside - 6)
    _cable_and_loads(sheet, circuit, one, WAY_CABLE, y)


def _cable_and_loads(sheet: Sheet, circuit: CircuitPlan, one: Link | None, x: float, y: float) -> None:
    if one is not None:
        room = WAY_LOAD - x - 34
        amps = f" · {one.amps:.3g} A" if one.amps is not None else ""
        sheet.words(x, y - 6, one.cable, size=SIZE, room=room)
        sheet.words(x, y + 13, f"{one.colour}{amps}", size=SMALL, room=room)
    room = RIGHT - WAY_LOAD - 8
    sheet.words(WAY_LOAD + 8, y - 4, _titled(circuit), bold=True, room=room)
    sheet.words(WAY_LOAD + 8, y + 9, ", ".join(circuit.feeds) or "no load on it", size=SMALL, room=room)


def _fed_by_inverter(sheet: Sheet, plan: Plan, top: float) -> float:
    """Circuits of alternating current, which the inverter feeds."""
    found = [one for one in plan.wiring.circuits if one.entered.kind == "loads" and one.entered.feed == "inverter"]
    if not found:
        return top
    sheet.words(WAY_FUSE - 22, top + 18, "From the inverter, alternating current", bold=True)
    y = top + 50
    for circuit in found:
        one, symbol = _link(circuit), _load(circuit)
        devices = [(WAY_FUSE, symbols.FUSE)] if one is not None and one.at_start else []
        sheet.wire(PANEL_BUS, WAY_LOAD - 2 * symbol.half, y, *devices)
        sheet.symbol(WAY_LOAD - symbol.half, y, symbol)
        if one is not None and one.at_start:
            sheet.words(WAY_FUSE + 19, y - 6, one.at_start, bold=True, room=WAY_CABLE - WAY_FUSE - 25)
        _cable_and_loads(sheet, circuit, one, WAY_CABLE, y)
        y += WAY_PITCH
    sheet.line((PANEL_BUS, top + 28), (PANEL_BUS, y - WAY_PITCH + 12), thick=BAR)
    return y + 4
