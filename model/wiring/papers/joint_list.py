"""The joint list: every place where current passes from one piece of metal to another. No fuse protects against a loose one."""

from __future__ import annotations

from dataclasses import dataclass

from model import names
from model.wiring.papers.cables import JACKETED_UP_TO_MM2, cables, named
from model.wiring.papers.commissioning import JOINT_MV, pull_force_n
from model.wiring.papers.ends import PLUG, RING, Joint, all_joints
from model.wiring.papers.paper import HABIT, Column
from model.wiring.table import WiringPlan

BAD_OHM = 0.001
"""A joint that one would not see: a millohm, ten times a good one. Common practice, no source."""

REMARKS = (
    "No fuse opens for a loose joint: it heats until something burns. The heat is that of one with 1 mohm, I² R: a good one has a"
    f" tenth of it. Above {JOINT_MV:g} mV at full load it is made again: {HABIT}.",
    "Stud and torque: write down what the device's maker says, before the cable is crimped; they are not known here.",
    "Pull force of a sample: a connector maker's application specification, as on the commissioning sheet.",
    "Tick each when it is tightened and marked with paint, and again after the first 500 km.",
)


@dataclass(frozen=True, slots=True)
class JointRow:
    """One line. Blank are what the person writes: stud, torque, tightened, again. most_mohm: what brings JOINT_MV at its load;
    pull_n: None where no table has it; heat_w, load_a: None where nobody can say."""

    number: int
    point: str
    cables: str
    kind: str
    conductor: str
    count: int
    load_a: float | None
    most_mohm: float | None
    heat_w: float | None
    tool: str
    pull_n: float | None
    stud: str = ""
    torque: str = ""
    tightened: str = ""
    again: str = ""


COLUMNS = (
    Column("number", "No."),
    Column("point", "Point"),
    Column("cables", "Cables"),
    Column("kind", "Joint"),
    Column("conductor", "For"),
    Column("count", "How many"),
    Column("load_a", names.CURRENT.full, "A"),
    Column("most_mohm", "At most", "mohm", 2),
    Column("heat_w", "Heat at 1 mohm", "W", 2),
    Column("tool", "Tool"),
    Column("pull_n", "Sample stands", "N", 0),
    Column("stud", "Stud"),
    Column("torque", "Torque"),
    Column("tightened", "Tightened"),
    Column("again", "After 500 km"),
)


def joint_list(plan: WiringPlan) -> tuple[JointRow, ...]:
    """Every joint of every circuit but those of alternating current, numbered."""
    return tuple(_row(number, one) for number, one in enumerate(all_joints(cables(plan)), start=1))


def heat_w(current_a: float, ohm: float) -> float:
    """Heat in a joint: I^2 R, W. Source: Joule's law."""
    return current_a**2 * ohm


def _row(number: int, one: Joint) -> JointRow:
    amps = one.load_a
    return JointRow(
        number,
        one.point,
        ", ".join((*one.cables, *(["the device's lead"] if one.tail else []))),
        one.kind,
        named(one.conductor),
        one.count,
        amps,
        None if not amps else JOINT_MV / amps,
        None if amps is None else heat_w(amps, BAD_OHM),
        _tool(one),
        None if one.kind == PLUG else pull_force_n(one.conductor),
    )


def _tool(one: Joint) -> str:
    """What makes it. Common practice, no source."""
    if one.kind == PLUG:
        return "the connector maker's crimper"
    if one.conductor.nominal_area_mm2 > JACKETED_UP_TO_MM2:
        return "hexagonal crimper, die of this size"
    return "ratchet crimper, torque driver" if one.kind == RING else "ratchet crimper, hot air"
