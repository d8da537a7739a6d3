"""The van at 12, 24 and 48 V as a table, and in words: what changes, what has to be bought anew, what speaks against it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from model.quantities import percent, show
from model.voltages import CONVERTER_EFFICIENCY, CONVERTER_IDLE_W, AtVoltage, Most
from model.wiring.across_panel import listed
from model.wiring.wording import amps

NOTHING = "-"
ASSUMED = (
    "Watts, routes and typed conductors stay; typed fuses are chosen anew, chargers give as many watts.",
    "Cables of the vehicle's side, of the panels and behind the inverter keep their voltage: they count in the first line alone.",
    f"A converter: efficiency {percent(CONVERTER_EFFICIENCY)}, {CONVERTER_IDLE_W:g} W while idle, always on"
    " (common practice, no source).",
)


@dataclass(frozen=True, slots=True)
class VoltageRow:
    """One line of the table: what it is, with its unit, its text at each voltage; words: where, or why, as sentences."""

    label: str
    texts: tuple[str, ...]
    words: tuple[str, ...] = ()


def heads(found: Sequence[AtVoltage]) -> tuple[str, ...]:
    """ "12 V, entered", "24 V", "48 V"."""
    return tuple(f"{volts(one)}, entered" if one.entered else volts(one) for one in found)


def table(found: Sequence[AtVoltage]) -> tuple[VoltageRow, ...]:
    """Every figure of the comparison, a line each."""
    return (
        _row("Copper of all cables, kg", found, lambda one: f"{one.copper_kg:.2f}", words=changes(found)),
        _row(
            "Copper of heavy ones, kg",
            found,
            lambda one: f"{one.heavy_kg:.2f}",
            words=("Between battery, panel, inverter and chargers.",),
        ),
        _row("Thickest conductor", found, _conductor, lambda one: one.conductor and one.conductor[1]),
        _row("Largest current, A", found, lambda one: _figure(one.current_a), lambda one: _place(one.current_a)),
        _row(
            "Largest fuse, A",
            found,
            lambda one: f"{one.fuse_a.value:g}" if one.fuse_a else NOTHING,
            lambda one: _place(one.fuse_a),
        ),
        _row(
            "Largest drop to a load, %",
            found,
            lambda one: f"{one.drop.value * 100:.1f}" if one.drop else NOTHING,
            lambda one: _place(one.drop),
        ),
        _row(
            "Lost in cables, Wh a day",
            found,
            lambda one: show(one.plan.wiring.loss_wh_per_day, "energy", unit=False),
            words=("From the battery to the loads.",),
        ),
        _row("One feed carries, W", found, lambda one: _watts(one.feed_w), words=(_feed(found),)),
        _row(
            "Solar controller gives, A",
            found,
            lambda one: show(one.controller_a, "current", unit=False),
            words=_controller(found),
        ),
        _row("Battery: series x parallel", found, _units, words=_batteries(found)),
        _row("Through a converter, W", found, lambda one: _watts(one.converter_w), words=converters(found)),
        _row("New dangers, warnings", found, _counted, words=against(found)),
    )


def changes(found: Sequence[AtVoltage]) -> tuple[str, ...]:
    """What another voltage changes, and what has to be bought for it, a sentence or two each."""
    own = next(one for one in found if one.entered)
    return tuple(_change(one, own) for one in found if one is not own)


def converters(found: Sequence[AtVoltage]) -> tuple[str, ...]:
    """Which loads need a converter at which voltage, and of which nobody typed what they take."""
    told = [
        f"{volts(one)}: {', '.join(one.converter_names)} through a converter of {one.converter_w:.0f} W or more,"
        f" which loses {one.converter_wh_per_day:.0f} Wh a day."
        for one in found
        if one.converter_names
    ]
    unknown = found[0].unknown
    if unknown:
        told.append(
            f"Look at the label: no rated voltage is typed for {', '.join(unknown)}. They are taken to bear each voltage."
        )
    return tuple(told)


def against(found: Sequence[AtVoltage]) -> tuple[str, ...]:
    """What speaks against another voltage: dangers first, then warnings, none that the design as entered has too."""
    told = []
    for one in found:
        if one.batteries_fit is False:
            told.append(
                f"{volts(one)}: the batteries that are there do not make up {volts(one)} without one left over."
            )
        told += [f"{volts(one)}, {said.severity}: {said.message}" for said in one.against]
    return tuple(told) or ("Nothing that the design as entered has not too.",)


def as_text(found: Sequence[AtVoltage]) -> str:
    """The table, then the words, as plain text."""
    rows, names = table(found), heads(found)
    wide = max(len(row.label) for row in rows)
    widths = [max(len(name), *(len(row.texts[at]) for row in rows)) for at, name in enumerate(names)]

    def line(label: str, texts: Sequence[str]) -> str:
        return "  ".join([f"{label:<{wide}}", *(f"{one:>{width}}" for one, width in zip(texts, widths, strict=True))])

    lines = [line("", names).rstrip(), *(line(row.label, row.texts).rstrip() for row in rows)]
    for head, sentences in paragraphs(found):
        lines += ["", head, *(f"  {one}" for one in sentences)]
    return "\n".join(lines)


def paragraphs(found: Sequence[AtVoltage]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The words under their heads."""
    told = (
        ("What changes", changes(found)),
        ("What needs a converter", converters(found)),
        ("What speaks against it", against(found)),
        ("One feed", (_feed(found),)),
        ("Taken as given", ASSUMED),
    )
    return tuple((head, sentences) for head, sentences in told if sentences)


def volts(one: AtVoltage) -> str:
    """ "24 V"."""
    return f"{one.system_v:g} V"


def _row(
    label: str,
    found: Sequence[AtVoltage],
    text: Callable[[AtVoltage], str],
    where: Callable[[AtVoltage], str | None] | None = None,
    words: Sequence[str] = (),
) -> VoltageRow:
    if where is not None:
        words = tuple(f"{volts(one)}: {text(one)} at {place}." for one in found if (place := where(one)))
    return VoltageRow(label, tuple(text(one) for one in found), tuple(one for one in words if one))


def _change(one: AtVoltage, own: AtVoltage) -> str:
    told = [f"copper {one.copper_kg:.2f} kg instead of {own.copper_kg:.2f}"]
    if one.current_a and own.current_a:
        told.append(f"largest current {amps(one.current_a.value)} instead of {amps(own.current_a.value)}")
    if one.drop and own.drop and percent(one.drop.value, 1) != percent(own.drop.value, 1):
        told.append(f"largest drop {percent(one.drop.value, 1)} instead of {percent(own.drop.value, 1)}")
    design = own.plan.design
    new = ["inverter"] * design.inverter.fitted
    new += ["charger on the way from the alternator"] * design.alternator.fitted
    new += ["shore charger"] * (design.shore.nights_per_week > 0 or design.generator.hours_per_week > 0)
    bought = f" To buy for {volts(one)}: {listed(new)}." if new else ""
    return f"{volts(one)}: {', '.join(told)}.{bought}"


def _feed(found: Sequence[AtVoltage]) -> str:
    known = [f"{_watts(one.feed_w)} W at {volts(one)}" for one in found if one.feed_w is not None]
    if not known:
        return ""
    return (
        f"The largest fuse that breaks this battery's short circuit, on the thickest cable listed, carries {listed(known)} for"
        " long: beyond that a voltage wants two feeds, or the next one."
    )


def _controller(found: Sequence[AtVoltage]) -> tuple[str, ...]:
    limit_a = found[0].plan.design.controller.limit_a
    return (f"Its limit stays as typed, {amps(limit_a)}, and its cable is made for that; it must know the voltage.",)


def _batteries(found: Sequence[AtVoltage]) -> tuple[str, ...]:
    told = (
        f"{chosen.units_series * chosen.units_parallel} units of {chosen.unit_v:g} V, {chosen.unit_ah:g} Ah at {volts(one)}"
        for one in found
        for chosen in (one.plan.storage.chosen,)
    )
    return (f"{'; '.join(told)}.",)


def _figure(most: Most | None) -> str:
    return NOTHING if most is None else show(most.value, "current", unit=False)


def _place(most: Most | None) -> str | None:
    return None if most is None else most.where


def _conductor(one: AtVoltage) -> str:
    return one.conductor[0].name if one.conductor else NOTHING


def _watts(watts: float | None) -> str:
    return NOTHING if not watts else f"{watts:.0f}"


def _units(one: AtVoltage) -> str:
    chosen = one.plan.storage.chosen
    return f"{chosen.units_series} x {chosen.units_parallel}, {chosen.installed_ah:.0f} Ah"


def _counted(one: AtVoltage) -> str:
    dangers = sum(said.severity == "danger" for said in one.against)
    return NOTHING if one.entered else f"{dangers}, {len(one.against) - dangers}"
