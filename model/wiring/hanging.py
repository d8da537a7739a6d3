"""Which pieces of which load hang at which point of which circuit."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from model.demand.load import device_power_w
from model.design import Circuit, Load
from model.wiring.circuit import CRITICAL_DROP, OTHER_DROP, PointLoad
from model.wiring.entered import run_points, same
from model.working import Finding

MAINS = "Loads through the inverter hang on circuits that it feeds, all others on the panel's or the battery's."


@dataclass(frozen=True, slots=True)
class Hung:
    """Some pieces of load `index` at a point; where: the field that says so."""

    index: int
    pieces: float
    point: str
    where: str


@dataclass
class Placing:
    """The load table on its way to the circuits. left: pieces not placed yet."""

    loads: tuple[Load, ...]
    left: list[float]
    hung: list[list[Hung]]
    findings: list[Finding] = field(default_factory=list)

    @property
    def unplaced(self) -> tuple[int, ...]:
        """Loads of direct current with pieces that are on no circuit; the others find a socket behind the inverter."""
        return tuple(at for at, left in enumerate(self.left) if left > 0 and self.loads[at].supply == "DC")


def place_loads(circuits: tuple[Circuit, ...], firsts: tuple[str, ...], loads: tuple[Load, ...]) -> Placing:
    """Loads onto circuits: taps with a number first, taps without share what is left evenly, then loads that name a circuit
    hang at its last point. firsts: name of each circuit's source. Names that fit nothing become findings."""
    placing = Placing(loads, [_pieces(load) for load in loads], [[] for _ in circuits])
    by_name: dict[str, list[int]] = {}
    for at, load in enumerate(loads):
        by_name.setdefault(same(load.name), []).append(at)
    open_taps: dict[int, list[tuple[int, str, str]]] = {}
    for number, circuit in enumerate(circuits):
        spelled, last = _spelled(circuit, firsts[number])
        for at, tap in enumerate(circuit.taps):
            where = f"circuits/{number}/taps/{at}"
            called = by_name.get(same(tap.load), [])
            if not _usable(placing, circuit, tap.load, called, where):
                continue
            found = [index for index in called if _fits(circuit, loads[index])]
            point = last if not tap.point.strip() else spelled.get(same(tap.point), "")
            if not point:
                placing.findings.append(_no_point(circuit, tap.point, tap.load, last, f"{where}/point"))
                point = last
            index = next((one for one in found if placing.left[one] > 0), found[0])
            if tap.quantity is None:
                open_taps.setdefault(index, []).append((number, point, where))
            else:
                _take(placing, circuit, number, Hung(index, tap.quantity, point, where))
    for index, taps in open_taps.items():
        _share(placing, circuits, index, taps)
    for number, circuit in enumerate(circuits):  # in the order of the taps
        order = {f"circuits/{number}/taps/{at}": at for at in range(len(circuit.taps))}
        placing.hung[number].sort(key=lambda one, order=order: order[one.where])  # type: ignore[misc]
    _by_circuit(placing, circuits, firsts)
    return placing


def _pieces(load: Load) -> float:
    return load.quantity if load.on else 0.0


def is_mains(circuit: Circuit) -> bool:
    """Whether a circuit carries the inverter's alternating current."""
    return circuit.kind == "loads" and circuit.feed == "inverter"


def _fits(circuit: Circuit, load: Load) -> bool:
    return is_mains(circuit) == (load.supply == "AC")


def _spelled(circuit: Circuit, first: str) -> tuple[dict[str, str], str]:
    """The circuit's points by what their spellings share, and its last one."""
    points = run_points(circuit.runs, first)
    return {same(name): name for pair in points for name in pair}, points[-1][1] if points else first


def _usable(placing: Placing, circuit: Circuit, name: str, found: list[int], where: str) -> bool:
    """Whether a tap names a load that can hang on a circuit; loads that are not counted are left out without a word."""
    if not found:
        message = f"{_name(circuit)}: there is no load {name or 'without a name'}."
        placing.findings.append(
            Finding("warning", f"{where}/load", message, "Write the name as in the load table, or take the tap out.")
        )
        return False
    fitting = [at for at in found if _fits(circuit, placing.loads[at])]
    if not fitting:
        placing.findings.append(_wrong_kind(circuit, name, f"{where}/load"))
    return any(placing.loads[at].on and placing.loads[at].quantity for at in fitting)


def _wrong_kind(circuit: Circuit, load: str, where: str) -> Finding:
    message = (
        f"{_name(circuit)}: {load} takes direct current and cannot hang behind the inverter."
        if is_mains(circuit)
        else f"{_name(circuit)}: {load} runs through the inverter and cannot hang on a circuit of direct current."
    )
    return Finding("warning", where, message, MAINS)


def _no_point(circuit: Circuit, point: str, load: str, last: str, where: str) -> Finding:
    return Finding(
        "warning",
        where,
        f"{_name(circuit)}: no run leads to {point.strip()}; {load} is taken to hang at {last}.",
        "Write the point as in the runs, or add the run that leads there.",
    )


def _take(placing: Placing, circuit: Circuit, number: int, hung: Hung) -> None:
    left = placing.left[hung.index]
    if hung.pieces > left:
        load = placing.loads[hung.index]
        placing.findings.append(
            Finding(
                "warning",
                f"{hung.where}/quantity",
                f"{_name(circuit)}: {hung.pieces:g} of {load.name} are to hang at {hung.point}; {left:g} of {load.quantity:g}"
                " are left.",
                "Correct the number here, or the quantity in the load table.",
            )
        )
    pieces = min(hung.pieces, left)
    if pieces > 0:
        placing.left[hung.index] -= pieces
        placing.hung[number].append(Hung(hung.index, pieces, hung.point, hung.where))


def _share(placing: Placing, circuits: tuple[Circuit, ...], index: int, taps: list[tuple[int, str, str]]) -> None:
    """What is left of a load over the taps that name no number, in whole pieces, the first ones getting one more."""
    left = placing.left[index]
    each, more = divmod(left, len(taps))
    for at, (number, point, where) in enumerate(taps):
        pieces = each + min(1.0, max(0.0, more - at))
        if pieces <= 0:
            name = placing.loads[index].name
            message = f"{_name(circuits[number])}: nothing of {name} is left for {point}."
            placing.findings.append(
                Finding("warning", f"{where}/load", message, "More of it in the load table, or one tap less.")
            )
            continue
        placing.hung[number].append(Hung(index, pieces, point, where))
    placing.left[index] = 0.0


def _by_circuit(placing: Placing, circuits: tuple[Circuit, ...], firsts: tuple[str, ...]) -> None:
    """What is left of loads that name their circuit goes to its last point."""
    by_name: dict[str, int] = {}
    for number, circuit in enumerate(circuits):
        by_name.setdefault(same(circuit.name), number)
    for index, load in enumerate(placing.loads):
        if not circuits or not load.circuit.strip() or placing.left[index] <= 0:
            continue
        number = by_name.get(same(load.circuit), -1)
        if number < 0:
            placing.findings.append(
                Finding(
                    "warning",
                    f"loads/{index}/circuit",
                    f"{load.name} names the circuit {load.circuit.strip()}, which there is not.",
                    "Write the name as in the list of circuits, or enter that circuit.",
                )
            )
            continue
        if not _fits(circuits[number], load):
            placing.findings.append(_wrong_kind(circuits[number], load.name, f"loads/{index}/circuit"))
            continue
        _, last = _spelled(circuits[number], firsts[number])
        placing.hung[number].append(Hung(index, placing.left[index], last, f"loads/{index}/circuit"))
        placing.left[index] = 0.0


def _name(circuit: Circuit) -> str:
    return circuit.name.strip() or "A circuit without a name"


def point_load(load: Load, pieces: float, point: str, system: str, system_v: float, hours: float) -> PointLoad:
    """Some pieces of a load as the wiring meets them: with its own adaptor's loss, and no duty on what it draws while running.

    One piece starts while the others run. Limit of drop: as typed; 10 % for lighting and for what can wait, 3 % for the rest
    (ABYC E-11, 11.14.2.6: electronics, pumps, blowers and panel feeders; other lighting and what is not critical).
    """
    rated_v = load.rated_v or system_v
    one_w = device_power_w(load, system_v) / load.converter_efficiency
    standby_w = load.standby_w / load.converter_efficiency
    limit = OTHER_DROP if is_lighting(system) or load.need == "can wait" else CRITICAL_DROP
    hung = _hung(load, pieces, point, rated_v, one_w, standby_w, hours, limit)
    return replace(hung, cut_out_v=load.cut_out_v)


def mains_load(load: Load, pieces: float, point: str, output_v: float, system_v: float, hours: float) -> PointLoad:
    """Some pieces of a load behind the inverter; its power factor is taken as 1, its limit of drop as typed or 3 %.

    3 %: NEC 210.19(A), informational note, from memory, to be checked against the standard.
    """
    one_w = device_power_w(load, system_v)
    return _hung(load, pieces, point, output_v, one_w, load.standby_w, hours, CRITICAL_DROP)


def _hung(
    load: Load,
    pieces: float,
    point: str,
    volts: float,
    one_w: float,
    standby_w: float,
    hours: float,
    drop_limit: float,
) -> PointLoad:
    """Some pieces of a load of which one draws `one_w` at `volts`; `drop_limit` holds where none is typed."""
    starts = load.surge_w is not None and load.surge_w > one_w
    return PointLoad(
        load.name if pieces == 1 else f"{pieces:g} x {load.name}",
        point,
        pieces * one_w,
        volts,
        law="resistance" if load.behaviour == "resistive" else "power",
        start_a=((pieces - 1) * one_w + (load.surge_w or 0.0)) / volts if starts else None,
        standby_w=pieces * standby_w,
        hours_per_day=hours,
        drop_limit=drop_limit if load.drop_limit is None else load.drop_limit,
    )


def is_lighting(system: str) -> bool:
    """Whether a circuit's system is that of lamps, which only grow dimmer."""
    return any(word in same(system) for word in ("light", "lamp"))
