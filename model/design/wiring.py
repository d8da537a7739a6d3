"""The cables as entered: circuits as trees of runs between named points, and what holds for all of them."""

from __future__ import annotations

from dataclasses import dataclass

from model.design.typed import typed

CONDUCTORS = ("mm2", "AWG", "SAE")
CIRCUIT_KINDS = ("loads", "main", "inverter", "alternator", "array", "controller", "charger")
FEEDS = ("panel", "battery", "inverter")
RUN_PLACES = ("cabin", "engine space", "roof")
RETURNS = ("two conductors", "chassis")
FUSE_PLACES = ("where needed", "at start", "at end", "at both ends", "none")
FUSE_FAMILIES = ("Type F", "Type C", "Type E", "SF30", "SF51", "terminal", "ANL", "Class T")
ENDS = ("start", "end")
TAKE_OFFS = ("opposite ends", "one end", "bus bars")


@dataclass(frozen=True, slots=True)
class Jacket:
    """The jacket colour of one system of circuits: lighting, water, heating, data."""

    system: str = typed("text", "system", "System", "")
    colour: str = typed("text", "colour", "Jacket colour", "")


@dataclass(frozen=True, slots=True)
class Wiring:
    """What holds for every circuit unless a run says otherwise."""

    conductors: str = typed("choice", "conductors", "Conductor sizes", "mm2", choices=CONDUCTORS)
    tinned: bool = typed("yes/no", "tinned", "Tinned strands", False)
    insulation_c: float = typed("temperature", "insulation", "Insulation bears", 105.0, low=60, high=200)
    slack_m: float = typed("length", "slack", "Service slack at each end", 0.3, low=0, high=5)
    spool_m: float = typed("length", "spool", "Length of a spool", 25.0, low=1, high=1_000)
    panel_ways: float = typed("count", "panel_ways", "Ways of the fuse panel", 12, high=200)
    panel_a: float | None = typed("current", "panel_rating", "Rating of the fuse panel", None, low=1, high=1_000)
    bus_bar_a: float | None = typed("current", "bus_bar_rating", "Rating of the bus bars", None, low=1, high=2_000)
    panel_fuses: str | None = typed("choice", "panel_fuses", "Fuses of the panel", None, choices=FUSE_FAMILIES)
    short_circuit_a: float | None = typed(
        "current", "short_circuit", "Short circuit of one battery, by its maker", None, low=1, high=200_000
    )
    battery_fuse_a: float | None = typed(
        "current", "battery_fuse", "Fuse at the post of each paralleled battery", None, low=1, high=1_000
    )
    take_off: str = typed(
        "choice", "take_off", "Paralleled batteries are taken off at", "opposite ends", choices=TAKE_OFFS
    )
    link_ohm: float | None = typed("resistance", "link", "Link between paralleled batteries", None, high=1)
    losses_counted: bool = typed("yes/no", "losses_counted", "Cable losses counted as use", False)
    jackets: tuple[Jacket, ...] = ()


@dataclass(frozen=True, slots=True)
class Connector:
    """A connector, terminal or switch at one end of a run."""

    name: str = typed("text", "name", "Connector", "")
    end: str = typed("choice", "end", "At which end of the run", "end", choices=ENDS)
    rating_a: float = typed("current", "rating", "Rating of one contact", 10.0, low=0.1, high=1_000)
    loaded: float = typed("count", "loaded", "Contacts that carry current", 2, low=1, high=200)
    poles: float = typed("count", "poles", "Contacts in all", 2, low=1, high=200)
    resistance_ohm: float = typed("resistance", "resistance", "Resistance, both poles together", 0.0, high=10)
    pins: str = typed("text", "pins", "What is on which pin", "")


@dataclass(frozen=True, slots=True)
class Run:
    """One piece of cable from a named point to the next, away from the source. Its length is that of the route, one way."""

    start: str = typed("text", "from", "From", "")
    end: str = typed("text", "to", "To", "")
    length_m: float = typed("length", "length", "Routed length, one way", 1.0, low=0, high=500)
    conductor: str | None = typed("conductor", "conductor", "Conductor, chosen if empty", None)
    place: str = typed("choice", "place", "Where it runs", "cabin", choices=RUN_PLACES)
    ambient_c: float | None = typed("temperature", "ambient", "Temperature along it", None, low=-40, high=120)
    insulation_c: float | None = typed("temperature", "insulation", "Insulation bears", None, low=60, high=200)
    bundled_with: float = typed("count", "bundled_with", "Other conductors in its bundle", 0, high=200)
    sheathed: bool = typed("yes/no", "sheathed", "In a sheath or conduit", True)
    through_metal: bool = typed("yes/no", "through_metal", "Passes through metal", False)
    returns: str = typed("choice", "return", "Return", "two conductors", choices=RETURNS)
    chassis_ohm: float | None = typed("resistance", "chassis", "Measured resistance of the chassis", None, high=10)
    joints_ohm: float = typed("resistance", "joints", "Resistance of other joints", 0.0, high=10)
    fuse: str = typed("choice", "fuse", "Fuse", "where needed", choices=FUSE_PLACES)
    fuse_a: float | None = typed("current", "fuse_rating", "Fuse rating, chosen if empty", None, low=0.1, high=1_000)
    fuse_family: str | None = typed(
        "choice", "fuse_family", "Fuse family, chosen if empty", None, choices=FUSE_FAMILIES
    )
    fuse_distance_m: float = typed(
        "length", "fuse_distance", "Cable between the end and its fuse", 0.1, low=0, high=100
    )
    holder_a: float | None = typed("current", "holder", "Rating of the fuse holder", None, low=0.1, high=2_000)
    breaks_a: float | None = typed(
        "current", "breaks", "What the fuse can break, by its maker", None, low=1, high=300_000
    )
    jacket: str = typed("text", "jacket", "Jacket colour, the system's if empty", "")
    route: str = typed("text", "route", "Way it takes", "")
    laid: str | None = typed("date", "laid", "Laid on", None)
    note: str = typed("text", "note", "Note", "")
    connectors: tuple[Connector, ...] = ()


@dataclass(frozen=True, slots=True)
class Tap:
    """Where a load hangs on the circuit, or some of its pieces; a load without a tap hangs at the last point."""

    load: str = typed("text", "load", "Load", "")
    point: str = typed("text", "point", "Point", "")
    quantity: float | None = typed("count", "quantity", "How many of them, the rest if empty", None, high=1000)


@dataclass(frozen=True, slots=True)
class Reading:
    """What the bench supply showed on the finished circuit."""

    date: str | None = typed("date", "date", "Date", None)
    supply_v: float = typed("voltage", "supply", "Volts at the supply", 12.0, low=0.1, high=100)
    current_a: float = typed("current", "current", "Measured current", 0.0, high=2_000)
    point: str = typed("text", "point", "Point where volts were measured", "")
    far_v: float | None = typed("voltage", "far_volts", "Volts measured there", None, high=100)
    note: str = typed("text", "note", "Note", "")


@dataclass(frozen=True, slots=True)
class Circuit:
    """One circuit. Those of battery, inverter, array and chargers are made from the design until one of their kind is entered."""

    name: str = typed("text", "name", "Circuit", "")
    kind: str = typed("choice", "kind", "Kind", "loads", choices=CIRCUIT_KINDS)
    system: str = typed("text", "system", "System", "")
    feed: str = typed("choice", "feed", "Fed from", "panel", choices=FEEDS)
    way: float | None = typed("count", "way", "Way of the panel", None, low=1, high=200)
    note: str = typed("text", "note", "Note", "")
    runs: tuple[Run, ...] = ()
    taps: tuple[Tap, ...] = ()
    readings: tuple[Reading, ...] = ()
