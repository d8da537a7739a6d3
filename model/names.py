"""What the figures are called: one name for each, on every screen, in the report, in spreadsheets and in the working.

Headings and labels are taken from here, and so is the table of words in README. The keys of `plan --json` are older and do not
change; a name follows its key where it can.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Name:
    """full: as a label has it. short: for the head of a narrow column. unit: the usual one, "" for a share, count or word.

    keys: ends of the keys of its steps and of its places in `plan --json`; the longest end that fits a key names it.
    """

    full: str
    short: str
    unit: str
    meaning: str
    keys: tuple[str, ...]

    @property
    def small(self) -> str:
        """The full name inside a sentence: "capacity needed"."""
        return self.full[:1].lower() + self.full[1:]

    @property
    def head(self) -> str:
        """The head of a narrow column, with its unit: "Harvest Wh"."""
        return f"{self.short} {self.unit}".rstrip()

    @property
    def small_head(self) -> str:
        """The same where heads are written small: "harvest Wh"."""
        return self.head[:1].lower() + self.head[1:]


USE = Name(
    "Use",
    "Use",
    "Wh",
    "What a load, or all together, take from the battery on a mean day of the month: as energy, or as charge at system voltage.",
    ("use_wh_per_day", "energy_wh_per_day", "charge_ah_per_day"),
)
PEAK = Name(
    "Peak power", "Peak", "W", "The largest power of an hour, all that can run together running together.", ("peak_w",)
)
SURGE = Name("Surge", "Surge", "W", "The same for a moment, while one of them starts.", ("surge_w",))

FLAT = Name("Sun on the flat", "Flat", "kWh/m2", "Irradiation of level ground in a day.", ("ghi_kwh_per_m2_day",))
FLAT_CAUTIOUS = Name(
    "Sun on the flat, cautious",
    "Cautious",
    "kWh/m2",
    "What nine years of ten exceed.",
    ("ghi_cautious_kwh_per_m2_day",),
)
PANEL = Name(
    "Sun on the panel", "Panel", "kWh/m2", "Irradiation of the module as it is mounted.", ("poa_kwh_per_m2_day",)
)
YIELD = Name(
    "Yield",
    "Yield",
    "Wh/W",
    "What one rated watt of the array brings to the battery in a day.",
    ("yield_wh_per_w_day",),
)
TEMPERATURE = Name(
    "Mean temperature", "Mean", "°C", "Air, mean of the month.", ("supply.temperature_c", "months.temperature_c")
)
ARRAY = Name("Array", "Array", "W", "Rated power of the modules that are connected.", ("array_w",))
HARVEST = Name(
    "Harvest", "Harvest", "Wh", "What the sun brings to the battery in a day.", ("harvest_wh_per_day", "sun_wh_per_day")
)
OTHER_INCOME = Name(
    "Other income",
    "Other",
    "Wh",
    "What driving, shore power and a generator bring in a day.",
    ("other_income_wh_per_day",),
)
INCOME = Name("Income", "Income", "Wh", "Harvest and other income together.", ("income_wh_per_day",))
COVERAGE = Name("Income covers", "Income covers", "", "Income over use.", ("coverage",))
LEFT_FOR_SUN = Name(
    "Left for the sun", "Left for the sun", "Wh", "Use less other income.", ("left_for_sun_wh_per_day",)
)
ARRAY_NEEDED = Name(
    "Array needed",
    "Array needed",
    "W",
    "The array whose harvest is the use, without other income; cautious: in nine years of ten.",
    ("array_needed_w", "array_needed_cautious_w", "array_needed_worst_w", "array_needed_worst_cautious_w"),
)
ARRAY_NEEDED_FOR_REST = Name(
    "Array needed for the rest",
    "Array needed for the rest",
    "W",
    "The array whose harvest is what other income leaves of the use.",
    ("array_needed_for_rest_w", "array_needed_for_rest_cautious_w"),
)
WORST_MONTH = Name(
    "Worst month", "Worst month", "", "Of the months of use the one with the largest array needed.", ("worst_month",)
)
MODULES_FIT = Name(
    "Modules that fit", "Modules that fit", "", "How many the roof has room for.", ("modules_that_fit", "modules_fit")
)
CONTROLLER = Name(
    "Controller current",
    "Controller current",
    "A",
    "Largest current from the controller to the battery.",
    ("controller_a",),
)
COLD_VOLTAGE = Name(
    "Cold open-circuit voltage",
    "Cold open-circuit voltage",
    "V",
    "Of the strings on the coldest morning.",
    ("cold_open_circuit_v", "cold_voc_v"),
)

CAPACITY_NEEDED = Name(
    "Capacity needed",
    "Needed",
    "Ah",
    "Smallest rated capacity that passes every gate, at the battery's own nominal voltage.",
    ("capacity_needed_ah", "capacity_needed_wh"),
)
INSTALLED = Name("Capacity installed", "Installed", "Ah", "The same in whole units.", ("installed_ah", "installed_wh"))
NOMINAL = Name("Nominal voltage", "Nominal", "V", "Of the battery.", ("bank_v",))
USABLE = Name(
    "Usable", "Usable", "Wh", "What the new battery gives in the month, to its depth of discharge.", ("usable_wh",)
)
AUTONOMY = Name(
    "Autonomy", "Autonomy", "days", "How long the full battery lasts without any income.", ("autonomy_days",)
)
AUTONOMY_ASKED = Name("Days of autonomy", "Asked", "days", "The autonomy that you ask for.", ("autonomy_days_asked",))
DECIDED_BY = Name("Decided by", "By", "", "The gate or rule that asks for most.", ("governs",))
DEPTH = Name(
    "Depth of discharge",
    "Depth",
    "%",
    "Share of the capacity that may be used; below it the battery counts as empty.",
    ("depth_of_discharge", "depth_of_discharge_percent"),
)
MASS = Name("Mass", "Mass", "kg", "Of the battery.", ("mass_kg",))
VOLUME = Name("Volume", "Volume", "l", "Of the battery.", ("volume_l",))
LIFE = Name(
    "Life", "Life", "years", "Of the battery at this use, by cycles and calendar.", ("life_years", "simulated_life")
)
CHARGE_LIMIT = Name("Charge limit", "Charge limit", "A", "Largest lasting charge current.", ("charge_limit_a",))
VENTILATION = Name("Air to vent", "Air", "m3/h", "Flow of air that keeps battery gas thin.", ("ventilation_m3_per_h",))

CHANCE = Name(
    "Chance of an empty day",
    "Chance",
    "%",
    "Share of the days, or of the trips with such a day, on which something essential went without.",
    ("chance_of_empty_day", "chance_of_empty_day_percent"),
)
CHANCE_ERROR = Name("Error", "±", "%", "One standard deviation of that chance.", ("chance_error",))
EMPTY_DAYS = Name("Empty days", "Empty days", "days", "How many of them in a month, a stay or a year.", ("empty_days",))
UNMET = Name("Unmet use", "Unmet", "%", "Share of the use that went without.", ("unmet_fraction", "unmet_percent"))
GIVEN_UP = Name("Given up", "Given up", "%", "Share of what can wait that never got its turn.", ())
LEFT_OVER = Name("Left over", "Left", "Wh", "Sun that found no use in a day, the battery being full.", ())
STATE_OF_CHARGE = Name(
    "State of charge",
    "Charge",
    "%",
    "How full the battery is, of its rated capacity.",
    ("charge_on_arrival", "charge_on_leaving", "start_charge"),
)

CURRENT = Name("Current", "Current", "A", "What the loads beyond draw together.", ("current_a", "load_a"))
FUSE = Name("Fuse", "Fuse", "A", "Rating of the fuse at the source.", ("fuse_a",))
AMPACITY = Name("Ampacity", "Ampacity", "A", "What the conductor bears in its bundle and heat.", ("allowed_a",))
VOLTS = Name("Volts", "Volts", "V", "Voltage at a point, everything running.", ("voltage_v", "volts"))
DROP = Name(
    "Drop", "Drop", "%", "Voltage lost on the way from the battery, of the nominal voltage.", ("drop_percent", "drop_v")
)
LARGEST_DROP = Name(
    "Largest drop",
    "Drop",
    "%",
    "That of the point of a circuit which loses most.",
    ("largest_drop_percent", "largest_drop_v"),
)

NAMES = tuple(each for each in globals().values() if isinstance(each, Name))
"""All of them, in the order in which the figures come about."""


def name_of(key: str) -> Name | None:
    """The name of the figure with this key: of a step, or of its place in `plan --json`; None for one that has none.

    Numbers in a key, which are indices and months, do not count: "supply.months.11.harvest_wh_per_day" is the harvest.
    """
    parts = [part for part in key.split(".") if not part.isdigit()]
    ends = [".".join(parts[start:]) for start in range(len(parts))]
    known = {end: each for each in NAMES for end in each.keys}
    return next((known[end] for end in ends if end in known), None)
