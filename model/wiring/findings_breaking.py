"""What a careful friend would say about a fuse against the short circuit that it may have to break."""

from __future__ import annotations

from math import isinf

from model.wiring.circuit import End, Protection
from model.wiring.fuses import FULL_V_PER_NOMINAL, family_named, smallest_family
from model.wiring.protection import ROUNDING_A, breaks_a, sources
from model.wiring.wired import Wired
from model.wiring.wording import FIELD, name_of, where_of
from model.working import Finding


def breaking_findings(one: Wired, index: int, end: End, device: Protection) -> list[Finding]:
    """A fuse that cannot break the short circuit at its place, or is not made for the volts there."""
    most_a, able_a = one.at_devices_a[index, end], breaks_a(device, one.circuit.fused_v)
    where, name = where_of(one, index, FIELD[end]), name_of(one, index)
    if able_a <= 0:
        return [
            Finding(
                "danger",
                f"{where}/family",
                f"{name}: fuses of {device.family} are not made for {made_for(one)}.",
                "Another family: an arc that does not go out burns on. Breakers for alternating current break no direct one.",
            )
        ]
    if isinf(most_a):
        return [
            Finding(
                "warning",
                f"circuits/{one.circuit.key}/source",
                f"{name}: the short-circuit current is not known; whether the fuse can break it is not checked.",
                "Type the battery's chemistry and capacity, or its maker's short-circuit current.",
            )
        ]
    if most_a <= able_a:
        return []
    run = one.circuit.runs[index]
    message = f"{name}: a short circuit here may reach {most_a:.0f} A; {_kind(device)} breaks {able_a:.0f} A."
    batteries = {source.point for source in (one.circuit.source, *one.circuit.others) if source.kind == "battery"}
    if (run.start if end == "start" else run.end) in batteries:
        return [Finding("danger", f"{where}/family", message, _what_breaks(one, index, device, most_a))]
    driving = [source for source in sources(one.circuit, one.shape) if source.limited_a is None]
    backup_a = min((source.backup_breaks_a or 0.0 for source in driving), default=0.0)
    if backup_a >= most_a:
        advice = (
            f"The main fuse in front breaks {backup_a:.0f} A; that it opens first is not proved here: replace both after such a"
            " short."
        )
        return [Finding("note", f"{where}/family", message, advice)]
    advice = "A family that breaks more here, or a main fuse in front that breaks it."
    return [Finding("warning", f"{where}/family", message, advice)]


def made_for(one: Wired) -> str:
    """What the circuit's fuses must be made for, as words."""
    nominal_v, fused_v = one.circuit.source.nominal_v, one.circuit.fused_v
    return (
        f"{nominal_v:g} V systems"
        if fused_v <= nominal_v
        else f"the {fused_v * FULL_V_PER_NOMINAL:.1f} V of its full battery"
    )


def _kind(device: Protection) -> str:
    """The family of a device as one reads it: "Class T (cartridge, bolted)"."""
    family = family_named(device.family)
    return device.family or "this device" if family is None else f"{family.name} ({family.form})"


def _what_breaks(one: Wired, index: int, device: Protection, most_a: float) -> str:
    """Advice at a battery's terminal: the fuse of the list that breaks `most_a`; where none does, what else there is."""
    system_v, sized = one.circuit.fused_v, one.runs[index]
    able = smallest_family(device.rating_a or 0.0, system_v, most_a)
    if able is not None:
        family, rating_a = able
        breaks = f"{family.name} breaks {family.breaks_a(system_v):.0f} A: one of {rating_a:g} A"
        if rating_a <= sized.allowed_a + ROUNDING_A:
            return f"{breaks}, which its cable bears."
        return f"{breaks}, with a cable that bears it; or lead it from the panel or a bar, behind the main fuse that breaks it."
    return (
        "No fuse listed breaks that. Type the maker's short-circuit current of one battery if it is less; divide the battery over"
        " two main feeds; or type what the maker of a stronger fuse says that it breaks."
    )
