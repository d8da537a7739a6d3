"""Writes the steps of one chemistry, so that key, stage and name stand in one place."""

from __future__ import annotations

from model.working import Step

STAGE = "storage"
IEEE = "IEEE 1013, {}, from memory, to be checked against the standard"
ENERGY = "demand.energy_wh_per_day"


class Maker:
    """Collects steps. Keys of its own chemistry may be given short: "mass_kg" for "storage.LFP.mass_kg"."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.steps: list[Step] = []

    def key(self, what: str) -> str:
        return what if "." in what else f"storage.{self.name}.{what}"

    def __call__(
        self, what: str, label: str, formula: str, value: float | str, unit: str, source: str, *uses: str
    ) -> None:
        keys = tuple(self.key(used) for used in uses)
        self.steps.append(
            Step(self.key(what), STAGE, f"{self.name}: {label}", formula, value, unit, source, keys),
        )
