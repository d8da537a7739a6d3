"""What a careful friend would say about connectors, sockets and fuse holders: they melt where no fuse blows."""

from __future__ import annotations

from model.quantities import percent
from model.wiring.circuit import Contact, End, Protection
from model.wiring.contacts import derated_a
from model.wiring.fuses import BLADES
from model.wiring.wired import Wired
from model.wiring.wording import FIELD, amps, name_of, where_of
from model.working import Finding

HOLDER_SHARE = 0.8
"""A holder, contact or panel way is warm for ever above that share of its rating: the 80 % of panel makers' sheets."""

LASTING_H = 3.0
"""Current that flows as long a day counts as lasting: NEC article 100, from memory, to be checked against the standard."""

BLADE_LASTING_A = 20.0
"""What blade fuses in a holder of their own bear for hours: holders near 30 A are known to soften. Common practice, no source."""

LIGHTER_NAMES = ("lighter", "cigar")


def lasting_a(one: Wired, run: int) -> float:
    """What flows in a run for hours: of the loads beyond it that run three hours a day and more, A; 0 where nothing carries
    them."""
    if one.running is None:
        return 0.0
    found = 0.0
    for load in one.circuit.loads:
        place = one.shape.place.get(load.point)
        if place is not None and load.hours_per_day >= LASTING_H and run in one.shape.path(place):
            found += load.current_a(one.running.volts[place])
    return found


def contact_findings(one: Wired, index: int) -> list[Finding]:
    """Every contact of a run against what it carries: at all, with its neighbours loaded, and for hours."""
    found: list[Finding] = []
    current_a = one.lasting_a(index)
    current_a = one.passing_a[index] if current_a is None else current_a
    hours_a = lasting_a(one, index) if one.circuit.runs[index].contacts else 0.0
    for at, contact in enumerate(one.circuit.runs[index].contacts):
        where, carries = where_of(one, index, f"contacts/{at}"), f"{one.circuit.name}: {contact.name} carries"
        several_a = derated_a(contact)
        if current_a > contact.rating_a:
            message = f"{carries} {amps(current_a)} and is rated for {contact.rating_a:g} A."
            found.append(Finding("danger", f"{where}/rating_a", message, "A larger contact, or two circuits."))
        elif current_a > several_a:
            found.append(
                Finding(
                    "warning",
                    f"{where}/loaded",
                    f"{carries} {amps(current_a)}; with {contact.loaded} of {contact.poles} contacts loaded each bears about"
                    f" {amps(several_a)}.",
                    "Spread the load over more connectors, or look up the maker's figure for all contacts loaded.",
                )
            )
        elif hours_a > HOLDER_SHARE * several_a:
            message = (
                f"{carries} {amps(hours_a)} for hours, more than {percent(HOLDER_SHARE)} of its {amps(several_a)}."
            )
            advice = "A larger contact: one that is always warm grows warmer with the years, and no fuse blows."
            found.append(Finding("warning", f"{where}/rating_a", message, advice))
        found += _lighter(contact, hours_a, f"{where}/name", carries)
    return found


def _lighter(contact: Contact, hours_a: float, where: str, carries: str) -> list[Finding]:
    """A socket of the lighter kind under a load that runs for hours."""
    if hours_a <= 0 or not any(word in contact.name.casefold() for word in LIGHTER_NAMES):
        return []
    message = f"{carries} {amps(hours_a)} for hours: springs alone hold such a plug, and it works loose on the road."
    advice = "A plug that locks or is screwed, for a refrigerator above all."
    return [Finding("warning", where, message, advice)]


def holder_findings(one: Wired, index: int, end: End, device: Protection) -> list[Finding]:
    """The holder of a fuse against the fuse in it and against what flows for hours."""
    if device.rating_a is None:
        return []
    if (wrong := _not_for_a_panel(one, index, end, device)) is not None:
        return [wrong]
    where, name = where_of(one, index, f"{FIELD[end]}/holder_a"), name_of(one, index)
    if device.holder_a is None:
        return _blade(one, index, end, device, where, name)
    if device.rating_a > device.holder_a:
        message = f"{name}: the holder is rated for {device.holder_a:g} A and holds a fuse of {device.rating_a:g} A."
        return [Finding("danger", where, message, f"A fuse of {device.holder_a:g} A at most, or a larger holder.")]
    current_a = one.lasting_a(index) or 0.0
    if current_a > HOLDER_SHARE * device.holder_a:
        message = (
            f"{name}: {amps(current_a)} are more than {percent(HOLDER_SHARE)} of the holder's {device.holder_a:g} A."
        )
        return [Finding("warning", where, message, "A holder that melts never blows its fuse: take a larger one.")]
    return []


def _blade(one: Wired, index: int, end: End, device: Protection, where: str, name: str) -> list[Finding]:
    """A blade fuse whose holder nobody rated, with much current for hours; the panel's ways have the panel's own rating."""
    hours_a = lasting_a(one, index)
    if _in_panel(one, index, end) or device.family not in BLADES or hours_a <= BLADE_LASTING_A:
        return []
    message = f"{name}: {amps(hours_a)} flow for hours through a blade fuse; the rating of its holder is not typed."
    advice = "A bolted fuse, or a holder whose maker allows that for long: holders for blades melt near 30 A and blow no fuse."
    return [Finding("warning", where, message, advice)]


def _in_panel(one: Wired, index: int, end: End) -> bool:
    """Whether a fuse sits in a way of the panel."""
    source = one.circuit.source
    return source.kind == "panel" and end == "start" and one.circuit.runs[index].start == source.point


def _not_for_a_panel(one: Wired, index: int, end: End, device: Protection) -> Finding | None:
    """A bolted fuse that the program had to take for a way of the panel, for want of a blade of that rating or voltage."""
    typed = one.typed.runs[index].protection
    chosen = typed is not None and typed.family is None
    if not chosen or not _in_panel(one, index, end) or device.family in BLADES:
        return None
    volts = one.circuit.source.nominal_v
    return Finding(
        "warning",
        where_of(one, index, f"{FIELD[end]}/family"),
        f"{name_of(one, index)}: no blade fuse listed fits a way of the panel here; {device.rating_a:g} A {device.family} is"
        " bolted and does not sit in one.",
        "Feed it from the battery or a bus bar with that fuse in a holder of its own; "
        + (
            "or several circuits."
            if volts < 24
            else "for what is small a converter to 12 V, or a panel made for these volts."
        ),
    )
