"""Graphical symbols, each drawn around its middle with its wires leading left and right at y = 0.

After IEC 60617 (from memory, to be checked against the standard); battery, lamp, motor and chassis are the same in ANSI Y32.2.
"""

from __future__ import annotations

from dataclasses import dataclass

BOX = '<rect x="-14" y="-14" width="28" height="28"/><path d="M-14 14L14 -14"/>'
WAVE = '<path d="M{x} {y}q2.5 -6 5 0t5 0"/>'
MORE = '<path d="M-11 -7h9M-11 -4h9"/>'
OUT = '<path d="M2 6h9M2 9h9"/>'


@dataclass(frozen=True, slots=True)
class Symbol:
    """name: what the legend calls it. drawn: SVG without colours; half: from the middle to where its wire begins."""

    name: str
    drawn: str
    half: float


FUSE = Symbol("fuse", '<rect x="-13" y="-4.5" width="26" height="9"/><path d="M-13 0H13"/>', 13)
ISOLATOR = Symbol("isolator", '<path d="M-13 0H-9L9 -10M9 -5V5M9 0H13"/>', 13)
SWITCH = Symbol("switch", '<path d="M-13 0H-9L9 -9M9 0H13"/>', 13)
BREAK_PLUG = Symbol(
    "plug and socket",
    '<path d="M-9 0H-4M3 -6A6.5 6.5 0 0 0 3 6M-3.5 0H9"/><rect x="-1" y="-2" width="10" height="4" fill="currentColor"/>',
    9,
)
BATTERY = Symbol(
    "battery, positive at the long stroke",
    '<path d="M-16 0H-8M8 0H16M8 -12V12M-3 -12V12"/><path d="M3 -6V6M-8 -6V6" stroke-width="3.2"/>'
    '<path d="M11.5 -9h6M14.5 -12v6" stroke-width="1"/>',
    16,
)
SHUNT = Symbol(
    "shunt of the battery monitor",
    '<rect x="-14" y="-4.5" width="28" height="9"/><path d="M-9 -4.5v-6M9 -4.5v-6"/>',
    14,
)
SOLAR = Symbol(
    "solar modules",
    '<rect x="-16" y="-13" width="32" height="26"/><path d="M-16 5H-3M3 5H16M3 -2V12"/>'
    '<path d="M-3 1V9" stroke-width="3.2"/><path d="M-9 -11l5 7M-1 -11l5 7" />'
    '<path d="M-3 -2.5l-4 -1.8 2.6 -2zM5 -2.5l-4 -1.8 2.6 -2z" fill="currentColor" stroke="none"/>',
    16,
)
DC_DC = Symbol("converter, direct to direct current", BOX + MORE + OUT, 14)
DC_AC = Symbol("inverter, direct to alternating current", BOX + MORE + WAVE.format(x=1, y=8), 14)
AC_DC = Symbol("charger, alternating to direct current", BOX + WAVE.format(x=-11, y=-5) + OUT, 14)
AC_SOURCE = Symbol("source of alternating current", '<circle r="12"/>' + WAVE.format(x=-5, y=0), 12)
MOTOR = Symbol("motor", '<circle r="9"/><path d="M-4 4.5V-4.5L0 1.5 4 -4.5V4.5"/>', 9)
LAMP = Symbol("lamp", '<circle r="8"/><path d="M-5.7 -5.7L5.7 5.7M-5.7 5.7L5.7 -5.7"/>', 8)
HEATER = Symbol(
    "heating resistor", '<rect x="-10" y="-5" width="20" height="10"/><path d="M-5 -5V5M0 -5V5M5 -5V5"/>', 10
)
DEVICE = Symbol("device", '<rect x="-8" y="-7" width="16" height="14"/>', 8)
PANEL = Symbol("fuse panel", '<rect x="-12" y="-9" width="24" height="18"/><path d="M-7 -4H7M-7 0H7M-7 4H7"/>', 12)
CHASSIS = Symbol("chassis", '<path d="M-9 0H0M0 -9V9M0 -9l7 -4M0 0l7 -4M0 9l7 -4"/>', 9)
JOINT = Symbol("joint", '<circle r="2.7" fill="currentColor" stroke="none"/>', 0)
BAR = Symbol("bus bar", '<path d="M-12 0H12" stroke-width="5"/>', 12)

_WORDS = (
    (LAMP, ("lamp", "light", "led ", "bulb")),
    (MOTOR, ("pump", "fan", "fridge", "refrigerator", "freezer", "compressor", "motor", "winch", "blower")),
)


def load_symbol(name: str, resistive: bool = False) -> Symbol:
    """The symbol of a load, by the words of its name; a plain box where they say nothing."""
    if resistive:
        return HEATER
    words = f"{name.lower()} "
    return next((symbol for symbol, known in _WORDS if any(word in words for word in known)), DEVICE)
