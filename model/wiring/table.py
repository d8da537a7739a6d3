"""What the room answers for a whole design: every circuit with its figures, and what is on none."""

from __future__ import annotations

from dataclasses import dataclass

from model.design import Circuit, Wiring
from model.wiring.wired import Wired
from model.working import Finding, Step


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
        return self.entered.name

    @property
    def automatic(self) -> bool:
        """Whether it was made from the design, not entered."""
        return self.path is None


@dataclass(frozen=True)
class WiringPlan:
    """settings: what holds for all. circuits: the battery's side first, then the panel's by way. unplaced: loads that are on no
    circuit. loss_wh_per_day: heat in all cables in a day. panel_a: largest lasting current of the panel's ways together.
    """

    settings: Wiring
    system_v: float
    circuits: tuple[CircuitPlan, ...]
    unplaced: tuple[str, ...]
    loss_wh_per_day: float
    panel_a: float
    findings: tuple[Finding, ...]
    steps: tuple[Step, ...]

    def circuit(self, key: str) -> CircuitPlan | None:
        """The circuit of that key."""
        return next((one for one in self.circuits if one.key == key), None)
