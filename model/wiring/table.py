"""What the room reads, and what it answers for a whole design: every circuit with its figures, and what is on none."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from model.design import Alternator, Circuit, Controller, Generator, Inverter, Load, Module, Shore, Wiring
from model.wiring.heavy import StringFuses
from model.wiring.spare import Spare, spare
from model.wiring.starting import start_steps
from model.wiring.wired import Wired
from model.wiring.working import steps_of
from model.working import Finding, Step


@dataclass(frozen=True, slots=True)
class WiringInput:
    """What this room reads of a design and of its neighbours.

    load_hours: for each load the hours a day at full power, in the month looked at. inverter_efficiency: at rated power.
    ac_wh_per_day: what the inverter gives a day; ac_surge_w: what it must give for a moment. strings, cold_voc_v: of the array, 0
    where there is none. installed_ah: the chosen battery at its own voltage, in units_parallel strings. battery_peak_a: what its
    electronics let pass for a moment, None where nothing but its cells sets a limit; peak_known: whether its maker said so;
    battery_lasting_a: what it gives for long, None where nobody knows.
    battery_c: its cells on a cold evening.
    """

    settings: Wiring
    circuits: tuple[Circuit, ...]
    loads: tuple[Load, ...]
    load_hours: tuple[float, ...]
    system_v: float
    always_on_w: float
    inverter: Inverter
    inverter_efficiency: float
    ac_wh_per_day: float
    alternator: Alternator
    shore: Shore
    generator: Generator
    module: Module
    controller: Controller
    strings: int
    in_series: int
    cold_voc_v: float
    chemistry: str
    installed_ah: float
    units_parallel: int
    ac_surge_w: float = 0.0
    battery_peak_a: float | None = None
    peak_known: bool = False
    battery_lasting_a: float | None = None
    battery_c: float = 25.0


@dataclass(frozen=True)
class CircuitPlan:
    """One circuit worked out. key: unique and short, as on labels ("L1", "main"). path: where it is entered ("circuits/3"),
    None for one made from the design. entered: as typed or made. The runs of `wired` are those of `entered`, in its order.
    jackets: colour of each run, "" where nobody said. feeds: names of the loads on it.
    """

    key: str
    path: str | None
    entered: Circuit
    wired: Wired
    findings: tuple[Finding, ...]
    jackets: tuple[str, ...]
    feeds: tuple[str, ...]

    @property
    def name(self) -> str:
        return self.wired.circuit.name

    @property
    def automatic(self) -> bool:
        """Whether it was made from the design, not entered."""
        return self.path is None

    @property
    def takes_a_way(self) -> bool:
        """Whether it takes a way of the panel: it is meant to, and starts at no bus bar before it."""
        return (
            self.entered.kind == "loads" and self.entered.feed == "panel" and self.wired.circuit.source.kind == "panel"
        )

    @cached_property
    def spare(self) -> tuple[Spare | None, ...]:
        """What may be added at each point of the main feed or of a circuit with loads (see `model.wiring.spare`); else None."""
        more = self.entered.kind in ("loads", "main")
        return spare(self.wired) if more else (None,) * len(self.wired.shape.points)

    @property
    def spare_at_start(self) -> Spare | None:
        """The same at the first point beyond the source."""
        return self.spare[1] if len(self.spare) > 1 else None

    @property
    def free_a(self) -> float | None:
        """Continuous current that may be added at that first point; None where nobody can say."""
        return None if self.spare_at_start is None else self.spare_at_start.free_a

    @property
    def steps(self) -> tuple[Step, ...]:
        """The working of its figures; keys begin with wiring.<key>."""
        return (*steps_of(self.wired.typed), *start_steps(self))


@dataclass(frozen=True)
class WiringPlan:
    """settings: what holds for all. circuits: the battery's side first, then the panel's by way. unplaced: DC loads that are on
    no circuit, whole or in part. loss_wh_per_day: heat a day in the cables from the battery to the loads. panel_a: largest
    lasting current of the panel's ways together. panel_spare: what the panel may still feed, None where nobody can say.
    batteries: how many stand in parallel; battery_fuse_breaks_a: what a fuse at the post of one of them must break, A.
    findings: of the circuits, then of all together. own_steps: working of what belongs to no single circuit. efficiency: what the
    cables pass on, where their loss is counted as use; else None. string_fuses: what each string of the array needs, None where
    none is needed.
    """

    settings: Wiring
    system_v: float
    circuits: tuple[CircuitPlan, ...]
    unplaced: tuple[str, ...]
    loss_wh_per_day: float
    panel_a: float
    findings: tuple[Finding, ...]
    own_steps: tuple[Step, ...] = ()
    efficiency: float | None = None
    string_fuses: StringFuses | None = None
    panel_spare: Spare | None = None
    batteries: int = 1
    battery_fuse_breaks_a: float = 0.0

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The working of every figure of the room; made when it is asked for, a hundred circuits have thousands."""
        return (*self.own_steps, *(step for one in self.circuits for step in one.steps))

    def circuit(self, key: str) -> CircuitPlan | None:
        """The circuit of that key."""
        return next((one for one in self.circuits if one.key == key), None)
