"""What every paper about cables must say: the usual cautions of the trade, each with where it belongs."""

from __future__ import annotations

BATTERY = (
    "Battery terminals: a tool across them welds itself fast. Insulated tools, no rings, no watch; a cover on each terminal at"
    " once; negative off first and on last where it is bonded to the chassis."
)
VEHICLE = (
    "Vehicles: keep away from airbag wiring, and from the high-voltage system of a hybrid or electric vehicle; look behind"
    " every panel before you drill."
)
CHASSIS = (
    "Chassis return: lay two conductors. If the chassis must carry current: one bond of battery and chassis, made once, as thick"
    " as the thickest cable that returns there; never on a boat."
)
MAINS = (
    "Shore power and inverter: one bond of neutral and earth in each state, never two and never none; a residual-current device"
    " of 30 mA; a changeover that parts both conductors; alternating and direct current never in one bundle or box."
)
LICENSED = "Work on alternating current and on gas appliances belongs to licensed people."
CODES = (
    "Local codes prevail, for instance ISO 13297 and ABYC E-11 on small craft, EN 1648 in leisure vehicles in Europe,"
    " NFPA 1192 and NEC article 551 in the USA, AS/NZS 3001 in Australia and New Zealand."
)

FOR_CABLES = (BATTERY, VEHICLE, CHASSIS, MAINS, f"{LICENSED} {CODES}")
"""All of them, for the papers of the job."""
