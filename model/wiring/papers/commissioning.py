"""The commissioning sheet: switch on in this order, read these volts and amps, look at what no program can see."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from model import shelf
from model.quantities.gauge import gauge_area_mm2, gauge_number
from model.storage.chemistry import chemistries
from model.wiring.ampacity import interpolated
from model.wiring.automatic import CHARGING
from model.wiring.bonding import RULES, states
from model.wiring.cautions import FOR_CABLES
from model.wiring.conductors import Conductor
from model.wiring.metering import AMPS_REASON, VOLTS_REASON, amps_tolerance_a, drop_tolerance_v, volts_tolerance_v
from model.wiring.papers.cables import cables
from model.wiring.papers.check import COLUMNS, Check
from model.wiring.papers.ends import joints
from model.wiring.papers.paper import HABIT, Job
from model.wiring.papers.shopping import SUPPORT_M
from model.wiring.papers.switching import switch_on, switching_off
from model.wiring.papers.ways import load_a
from model.wiring.table import CircuitPlan

__all__ = ["COLUMNS", "REMARKS", "commissioning", "pull_force_n"]

HEAVY_A, JOINT_MV = 20.0, 20.0
"""Circuits whose joints are measured one by one, and what a joint may lose at full load. Common practice, no source."""

PULL_TABLE = "crimp_pull.csv"
PULL = "a connector maker's application specification"
BEFORE, BONDS, CIRCUITS, WALLS = "before you begin", "bonds", "circuit", "before the walls close"
LATER, OFF, STORED = "later", "switch off", "stored"

REMARKS = (
    "A wrong reading stops the sheet: find out why before the next line.",
    "Expected volts hold for the source's volts in the circuit's first line; with other volts there, all shift with them.",
    "Pull forces: a connector maker's application specification; between its sizes interpolated over the area of copper."
    " On samples made with the same tool, never on the cable that stays.",
)


def commissioning(job: Job) -> tuple[Check, ...]:
    """The whole sheet, numbered."""
    lines = (
        *_before(),
        *_bonds(job),
        *switch_on(job),
        *_circuits(job),
        *_walls(job),
        *_later(job),
        *_switch_off(job),
        *_stored(job),
    )
    return tuple(replace(line, number=number) for number, line in enumerate(lines, start=1))


def _before() -> Iterator[Check]:
    for caution in FOR_CABLES:
        yield Check(BEFORE, caution, why="the usual cautions of the trade")


def _bonds(job: Job) -> Iterator[Check]:
    """Where neutral and earth are joined in each state of supply, for a licensed person to measure."""
    design = job.design
    table = states(design.inverter, design.shore, design.generator)
    for one in table:
        opens = " The residual-current device opens by its button." if one.joined_at and one.known else ""
        yield Check(BONDS, f"{one.words}{opens} Measured by a licensed person.", why=RULES)
    if len(table) > 1:
        over = (
            "Changing over parts both conductors; no two supplies ever meet, and no charger hangs on its own inverter."
        )
        yield Check(BONDS, f"{over} Measured by a licensed person.", why=RULES)


def _switch_off(job: Job) -> Iterator[Check]:
    for step in switching_off(job):
        yield Check(OFF, step, why=HABIT)


def _circuits(job: Job) -> Iterator[Check]:
    for circuit in job.wiring.circuits:
        if circuit.wired.circuit.runs:
            yield from circuit_checks(circuit)


def circuit_checks(circuit: CircuitPlan) -> tuple[Check, ...]:
    """Volts and amps of one circuit under its test load: all its loads on; a note where no voltage carries them."""
    wired = circuit.wired
    running, source, shape = wired.running, wired.circuit.source, wired.shape
    if circuit.entered.kind in ("array", *CHARGING):
        return _charging(circuit)
    if source.kind == "inverter":
        text = (
            f"{circuit.name}: a licensed person measures insulation, polarity, protective earth, the bond, and the time in which"
            " the residual-current device opens; nobody else opens this side."
        )
        return (Check(CIRCUITS, text, circuit.key, why=HABIT),)
    test = f"{circuit.name}: {_test_load(circuit)}"
    if running is None:
        return (Check(CIRCUITS, f"{test}: no voltage here carries these loads; see the findings.", circuit.key),)
    amps = load_a(circuit) or 0.0
    lines = [
        Check(
            CIRCUITS,
            f"{test}. Amps at the fuse, volts at {source.point}; write them down, all volts below hang on them.",
            circuit.key,
            (source.full_v + source.low_v) / 2,
            (source.full_v - source.low_v) / 2 + volts_tolerance_v(source.full_v, 0.0),
            amps,
            amps_tolerance_a(amps),
            why=f"volts: from a low battery to a full one; amps: {AMPS_REASON}",
        )
    ]
    for place in range(1, len(shape.points)):
        volts = running.volts[place]
        lines.append(
            Check(
                CIRCUITS,
                f"{circuit.name}: volts at {shape.points[place]}, the same load on, where {source.point} has"
                f" {source.running_v:.2f} V; as much more or less as that has.",
                circuit.key,
                volts,
                volts_tolerance_v(volts, source.running_v - volts),
                why=VOLTS_REASON,
            )
        )
    return tuple(lines)


def _charging(circuit: CircuitPlan) -> tuple[Check, ...]:
    """What charges gives what the sun or the engine lets it: no current to expect, but the drop of each of its cables."""
    wired, running = circuit.wired, circuit.wired.running
    if running is None:
        return ()
    lines: list[Check] = []
    for index in wired.shape.order:
        run, drop_v = wired.circuit.runs[index], running.drop_v(index)
        text = (
            f"{circuit.name}: volts lost between {run.start} and {run.end}, both poles together, while it charges;"
            f" these at {running.current_a[index]:.1f} A, in proportion at less."
        )
        lines.append(Check(CIRCUITS, text, circuit.key, drop_v, drop_tolerance_v(drop_v), why=VOLTS_REASON))
    return tuple(lines)


def _test_load(circuit: CircuitPlan) -> str:
    names = circuit.feeds or tuple(dict.fromkeys(load.name for load in circuit.wired.circuit.loads))
    return f"test load {', '.join(names)}" if names else "no load on it"


@cache
def _pull_points() -> tuple[tuple[float, float], ...]:
    points = []
    for row in shelf.rows(PULL_TABLE):
        gauge = gauge_number(f"{row['awg']} AWG")
        assert gauge is not None
        points.append((gauge_area_mm2(gauge), float(row["force_n"])))
    return tuple(points)


def pull_force_n(one: Conductor) -> float | None:
    """Force that a good crimp on it stands; None beyond the table, from 26 to 2/0 AWG."""
    points = _pull_points()
    area_mm2 = one.nominal_area_mm2 if one.family == "AWG" else one.conducting_area_mm2
    if not points[0][0] * 0.99 <= area_mm2 <= points[-1][0] * 1.01:
        return None
    return interpolated(points, area_mm2)


def _walls(job: Job) -> Iterator[Check]:
    found = cables(job.wiring)
    holes = [cable.id for cable in found if cable.circuit.entered.runs[cable.index].through_metal]
    if holes:
        yield _look(f"A grommet in every hole of {', '.join(holes)}; pull the cable to and fro: no edge touches it.")
    yield _look("No cable lies on an edge, under a screw, in the way of a door, a slide or a seat; none can chafe.")
    yield _look(f"Held every {SUPPORT_M:g} m and beside every joint; no joint carries the cable's weight.")
    yield _look("No bend tighter than five times the cable's diameter, ten times for a bundle.")
    yield _look(
        "One strand of every spool scraped: red all through. Silver inside is aluminium under copper, which heats and loosens:"
        " send it back. The section printed on the jacket counts, not the outside diameter."
    )
    needed = joints(found)
    for one in sorted(needed.rings + needed.splices, key=lambda one: one.nominal_area_mm2):
        force_n = pull_force_n(one)
        force = "the force on the maker's sheet" if force_n is None else f"{force_n:.0f} N ({force_n / 9.81:.0f} kg)"
        yield _look(f"A sample crimp on {one.name} stands {force} for a minute, and every crimp a firm tug.", PULL)
    yield _look(
        "One return for each device, as thick as its positive: a second, thinner one carries it all when the first comes off."
    )
    yield _look("Polarity at every device's plug: red on positive, no minus sign.")
    yield _look(
        "Every stud tightened to its maker's torque and marked with paint; at most four rings on it, widest below."
    )
    yield _look("Labels at both ends of every cable, as on the label list; photographs of all routes with a scale.")
    yield _look("A draw-wire left in every conduit: the next cable follows it.")
    yield _look("Alternating and direct current are in bundles and boxes of their own.")
    yield _look("Covers on all live terminals; the cable up to the main fuse is sheathed.")


def _later(job: Job) -> Iterator[Check]:
    yield Check(LATER, "After an hour at full load: holders, bars and plugs are no more than hand-warm.", why=HABIT)
    for circuit in job.wiring.circuits:
        amps = max((circuit.wired.lasting_a(index) or 0.0 for index in circuit.wired.shape.order), default=0.0)
        if amps >= HEAVY_A and circuit.wired.circuit.source.kind != "inverter":
            text = (
                f"{circuit.name}, {amps:.0f} A: volts across each joint, lug to lug. A millivolt is {amps / 1000:.2g} W of heat;"
                f" {JOINT_MV:g} mV want a new crimp, or a stud tightened."
            )
            yield Check(LATER, text, circuit.key, JOINT_MV / 2000, JOINT_MV / 2000, amps, why=HABIT)
    yield Check(
        LATER,
        "Every radio on all its bands, each charger, controller and inverter running by itself: where it hisses, twist the two"
        " conductors of the culprit, put a ferrite on them, and move the aerial's cable away.",
        why=HABIT,
    )
    yield Check(
        LATER, "After the first 500 km: re-tighten every stud, look at paint marks, grommets and clips.", why=HABIT
    )
    yield Check(LATER, "Write the readings of the bench into the design file.", why=HABIT)


def _stored(job: Job) -> Iterator[Check]:
    option = job.battery
    if option is None:
        return
    lead = chemistries()[option.chemistry].lead
    charge = "full, and charged again every month or two" if lead else "about half full, and looked at every few months"
    months = option.storage_months
    lasts = f"a full battery is empty after about {months:.0f} months" if months < 120 else "a full battery lasts years"
    yield Check(
        STORED,
        f"Storage card for the door: {option.chemistry}, main switch open, {charge}; with everything off {lasts}."
        " Not charged while frozen.",
        why=HABIT,
    )


def _look(text: str, why: str = HABIT) -> Check:
    return Check(WALLS, text, why=why)
