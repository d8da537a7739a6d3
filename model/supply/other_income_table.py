"""What the other income reads and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from model.design import Alternator, Generator, Shore
from model.supply import other_income as formulas
from model.working import Finding, Step


@dataclass(frozen=True, slots=True)
class IncomeInput:
    """What driving, shore power and generator need to know of a design and of the chosen battery.

    `battery_temperature_c` and `use_wh_per_day`: twelve months. `bank_v`, `full_v`: nominal and full voltage of the battery.
    `usable_wh`: from full to empty. `solar_a`: charge current of the array, 0 where not known. `lead`: lead-acid of any kind.
    """

    alternator: Alternator
    shore: Shore
    generator: Generator
    system_v: float
    month: int
    months_of_use: tuple[int, ...]
    use_wh_per_day: tuple[float, ...]
    chemistry: str
    lead: bool
    bank_v: float
    full_v: float
    installed_ah: float
    usable_wh: float
    charge_limit_a: float
    charge_min_c: float
    charge_max_c: float
    battery_efficiency: float
    battery_temperature_c: tuple[float, ...]
    solar_a: float = 0.0

    @property
    def source_v(self) -> float:
        """Voltage at the alternator that one can count on."""
        return formulas.alternator_v(self.alternator.vehicle_v, self.alternator.smart)

    @property
    def drop_v(self) -> float:
        """Voltage lost in the cables from the alternator."""
        return formulas.drop_v(self.alternator.vehicle_v, self.alternator.cable_drop_v)

    @property
    def relay_opens_v(self) -> float:
        return self.alternator.vehicle_v / 12 * formulas.RELAY_OPENS_V_PER_12_V

    @property
    def link_share(self) -> float:
        """What of the typed current comes from the alternator: all by a DC-DC charger, less or nothing by a relay."""
        if self.alternator.kind != "relay":
            return 1.0
        if self.alternator.vehicle_v != self.system_v:
            return 0.0
        return formulas.relay_share(self.source_v, self.drop_v, self.bank_v, self.full_v, self.relay_opens_v)

    def takes_charge(self, month: int) -> bool:
        """Whether the battery's cells are warm and cool enough for charging in that month, 1 to 12."""
        return self.charge_min_c <= self.battery_temperature_c[month - 1] <= self.charge_max_c


@dataclass(frozen=True, slots=True)
class Source:
    """One source that is in use: hours a week, the charger's current, and what of it arrives.

    `current_a`: the charger's, at most what the battery takes. `share`: of it that flows on the average. `fillings`: how often
    a week the battery can be filled anew. `without_limits_wh_per_day`: before cold and a full battery are reckoned with.
    """

    key: str  # "alternator", "shore", "generator": the record of the design
    name: str  # "driving", "shore power", "generator"
    hours_per_week: float
    charger_a: float
    current_a: float
    share: float
    fillings: float
    without_limits_wh_per_day: float
    wh_per_day: tuple[float, ...]  # twelve months

    @property
    def ah_per_h(self) -> float:
        """What an hour of it charges, through cables and relay and as the battery accepts it, while there is room."""
        return self.current_a * self.share


@dataclass(frozen=True, slots=True)
class OtherIncome:
    """All sources in use together; `wh_per_day`: twelve months at the battery's terminals."""

    sources: tuple[Source, ...]
    wh_per_day: tuple[float, ...]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
