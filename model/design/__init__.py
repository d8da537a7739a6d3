"""What the builder enters, and nothing else: frozen records, no arithmetic.

Each field says once, in its metadata, what kind of text it takes, what it is called in a design file and what a person
calls it. The reader of design files, the table cells and the forms all work from these declarations.
"""

from __future__ import annotations

from dataclasses import dataclass

from model.design.demand import (
    BEHAVIOURS,
    INVERTER_CURVES,
    NEEDS,
    SUPPLIES,
    SYSTEM_VOLTAGES,
    Day,
    Inverter,
    Load,
    System,
)
from model.design.storage import BATTERY_PLACES, CHEMISTRIES, Battery, Price
from model.design.supply import (
    CHARGING_LINKS,
    CONTROLLERS,
    MOUNTINGS,
    VEHICLE_VOLTAGES,
    Alternator,
    Array,
    Controller,
    Generator,
    Module,
    Obstacle,
    Place,
    Roof,
    Shore,
    Weather,
)
from model.design.trip import Stop
from model.design.typed import ALL_MONTHS, Entry, typed
from model.design.wiring import Circuit, Connector, Jacket, Reading, Run, Tap, Wiring

__all__ = [
    "ALL_MONTHS",
    "BATTERY_PLACES",
    "BEHAVIOURS",
    "CHARGING_LINKS",
    "CHEMISTRIES",
    "CONTROLLERS",
    "INVERTER_CURVES",
    "MOUNTINGS",
    "NEEDS",
    "SUPPLIES",
    "SYSTEM_VOLTAGES",
    "VEHICLE_VOLTAGES",
    "Alternator",
    "Array",
    "Battery",
    "Circuit",
    "Connector",
    "Controller",
    "Day",
    "Design",
    "Entry",
    "Generator",
    "Inverter",
    "Jacket",
    "Load",
    "Module",
    "Obstacle",
    "Place",
    "Price",
    "Reading",
    "Roof",
    "Run",
    "Shore",
    "Stop",
    "System",
    "Tap",
    "Weather",
    "Wiring",
    "typed",
]


@dataclass(frozen=True, slots=True)
class Design:
    """Everything the builder entered. An edit makes a new one by `dataclasses.replace`."""

    name: str = typed("text", "name", "Name", "My van")
    month: int = typed("month", "month", "Month looked at", 12)
    months_of_use: tuple[int, ...] = typed("months", "months_of_use", "Months on the road", ALL_MONTHS)
    system: System = System()
    place: Place = Place()
    weather: Weather | None = None
    loads: tuple[Load, ...] = ()
    inverter: Inverter = Inverter()
    roof: Roof = Roof()
    module: Module = Module()
    array: Array = Array()
    controller: Controller = Controller()
    alternator: Alternator = Alternator()
    shore: Shore = Shore()
    generator: Generator = Generator()
    battery: Battery = Battery()
    days: tuple[Day, ...] = ()
    stops: tuple[Stop, ...] = ()
    wiring: Wiring = Wiring()
    circuits: tuple[Circuit, ...] = ()
