"""The cable schedule: one line for each cable that disappears behind a panel."""

from __future__ import annotations

from dataclasses import dataclass

from model import names
from model.wiring.cautions import FOR_CABLES
from model.wiring.circuit import Contact, Protection
from model.wiring.papers.cables import JACKETED_UP_TO_MM2, Cable, awg, cables, named
from model.wiring.papers.labels import Label, labels
from model.wiring.papers.paper import HABIT, Column
from model.wiring.table import WiringPlan

REMARKS = (
    f"Out and return lie in one jacket up to {JACKETED_UP_TO_MM2:g} mm2, as two single conductors above: {HABIT}.",
    "AWG: for sizes in mm2 and SAE the thinnest AWG size with as much copper, so that it may be taken instead.",
    "The drop is that from the source to the far end with all loads on, of its nominal voltage; the main feed's counts in.",
    "Cut length: the route and the service slack at each end.",
    f"Pulled thick ones first, of one section the longest first, with a draw-wire beside the last one in a conduit: {HABIT}.",
    *FOR_CABLES,
)


@dataclass(frozen=True, slots=True)
class ScheduleRow:
    """One cable. start and end: points; load_a, drop_v and drop_share (percent) are None where nothing can be said. pull: its
    turn when the cables are pulled in, None for a run without length and for a laid one; route: the way it takes, in words;
    laid: the day, "" while it is planned."""

    id: str
    circuit: str
    start: str
    end: str
    conductor: str
    awg: str
    area_mm2: float
    make: str
    colour: str
    routed_m: float
    cut_m: float
    fuse_start_a: float | None
    fuse_start_family: str
    fuse_end_a: float | None
    fuse_end_family: str
    protected_by_a: float | None
    load_a: float | None
    drop_v: float | None
    drop_percent: float | None
    connector_start: str
    pins_start: str
    connector_end: str
    pins_end: str
    label_start: str
    label_end: str
    through_metal: str
    pull: int | None
    route: str
    laid: str
    note: str


COLUMNS = (
    Column("id", "Cable"),
    Column("circuit", "Circuit"),
    Column("start", "From"),
    Column("end", "To"),
    Column("conductor", "Conductor"),
    Column("awg", "AWG"),
    Column("area_mm2", "Area", "mm2"),
    Column("make", "Make"),
    Column("colour", "Jacket"),
    Column("routed_m", "Routed", "m"),
    Column("cut_m", "Cut length", "m"),
    Column("fuse_start_a", "Fuse at start", "A", 1),
    Column("fuse_start_family", "Its family"),
    Column("fuse_end_a", "Fuse at end", "A", 1),
    Column("fuse_end_family", "Family at end"),
    Column("protected_by_a", "Protected by", "A", 1),
    Column("load_a", names.CURRENT.full, "A"),
    Column("drop_v", names.DROP.full, "V", 3),
    Column("drop_percent", names.DROP.full, "%"),
    Column("connector_start", "Connector at start"),
    Column("pins_start", "Pins at start"),
    Column("connector_end", "Connector at end"),
    Column("pins_end", "Pins at end"),
    Column("label_start", "Label at start"),
    Column("label_end", "Label at end"),
    Column("through_metal", "Through metal"),
    Column("pull", "Pulled as number"),
    Column("route", "Way it takes"),
    Column("laid", "Laid on"),
    Column("note", "Note"),
)


def schedule(plan: WiringPlan) -> tuple[ScheduleRow, ...]:
    """Every run of every circuit, once."""
    texts: dict[str, list[Label]] = {}
    for label in labels(plan):
        texts.setdefault(label.cable, []).append(label)
    every = cables(plan)
    turn = {cable.id: number for number, cable in enumerate(pull_order(every), start=1)}
    return tuple(_row(cable, texts.get(cable.id, []), turn.get(cable.id)) for cable in every)


def pull_order(every: tuple[Cable, ...]) -> tuple[Cable, ...]:
    """The cables in the order in which they go in: thick ones before thin ones, of one section the longest first, while there is
    room for them; laid ones need none. Common practice, no source."""
    there = (cable for cable in every if cable.pieces and not cable.laid)
    return tuple(sorted(there, key=lambda cable: (-cable.conductor.nominal_area_mm2, -cable.run.length_m)))


def _row(cable: Cable, found: list[Label], pull: int | None) -> ScheduleRow:
    run, one, wired = cable.run, cable.conductor, cable.circuit.wired
    entered = cable.circuit.entered.runs[cable.index]
    drop_v = None if cable.place is None else wired.drop_v(cable.place)
    share = None if cable.place is None else wired.drop_share(cable.place)
    half = len(found) // 2
    return ScheduleRow(
        id=cable.id,
        circuit=cable.circuit.name,
        start=run.start,
        end=run.end,
        conductor=named(one),
        awg=awg(one),
        area_mm2=one.nominal_area_mm2,
        make=cable.make,
        colour=" / ".join(dict.fromkeys(piece.material.colour for piece in cable.pieces)),
        routed_m=run.length_m,
        cut_m=cable.cut_m,
        fuse_start_a=_rating(run.protection),
        fuse_start_family=_family(run.protection),
        fuse_end_a=_rating(run.end_protection),
        fuse_end_family=_family(run.end_protection),
        protected_by_a=protected_by_a(cable),
        load_a=cable.load_a,
        drop_v=drop_v,
        drop_percent=None if share is None else share * 100,
        connector_start=_names(run.contacts, "start"),
        pins_start=_pins(run.contacts, "start"),
        connector_end=_names(run.contacts, "end"),
        pins_end=_pins(run.contacts, "end"),
        label_start=" / ".join(label.text for label in found[:half]),
        label_end=" / ".join(label.text for label in found[half:]),
        through_metal="grommet" if entered.through_metal else "",
        pull=pull,
        route=entered.route,
        laid=entered.laid or "",
        note="; ".join(_notes(cable, entered.note)),
    )


def protected_by_a(cable: Cable) -> float | None:
    """Rating that protects the cable from what feeds it, else from what stands at its other end; None where nothing does."""
    guards = cable.circuit.wired.guards
    return next((one.rating_a for one in guards if one.run == cable.index and one.rating_a is not None), None)


def _notes(cable: Cable, note: str) -> list[str]:
    found = [note] if note else []
    if cable.run.length_m <= 0:
        found.append("no length: no cable")
    if cable.place is None:
        found.append("nothing feeds it")
    if cable.run.mains:
        found.append("alternating current, with protective earth: for a licensed person")
    if cable.run.returns == "chassis":
        found.append("returns through the chassis")
    return found


def _rating(one: Protection | None) -> float | None:
    return None if one is None else one.rating_a


def _family(one: Protection | None) -> str:
    return "" if one is None else one.family or ""


def _names(contacts: tuple[Contact, ...], end: str) -> str:
    return "; ".join(one.name for one in contacts if one.end == end)


def _pins(contacts: tuple[Contact, ...], end: str) -> str:
    return "; ".join(one.pins for one in contacts if one.end == end and one.pins)
