"""One circuit of a design worked out and remembered, its findings leading to the fields that cause them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from model.design import Circuit
from model.wiring import circuit as calculation
from model.wiring.automatic import MADE_FROM
from model.wiring.circuit import PointLoad
from model.wiring.ends import Ends
from model.wiring.entered import Defaults, calculable
from model.wiring.findings import findings
from model.wiring.findings_shape import shape_findings
from model.wiring.table import CircuitPlan
from model.wiring.wired import wired


@dataclass(frozen=True, slots=True)
class Asked:
    """Everything that one circuit's figures depend on. origins: for each of `loads` the field that hung it there and the row."""

    key: str
    path: str | None
    entered: Circuit
    ends: Ends
    loads: tuple[PointLoad, ...]
    origins: tuple[tuple[str, str], ...]
    defaults: Defaults
    colour: str
    feeds: tuple[str, ...]


@lru_cache(maxsize=2048)
def circuit_of(asked: Asked) -> calculation.Circuit:
    """The circuit that is calculated for what was asked."""
    return calculable(asked.key, asked.entered, asked.ends, asked.loads, asked.defaults)


@lru_cache(maxsize=2048)
def circuit_plan(asked: Asked) -> CircuitPlan:
    """One circuit worked out, its findings leading to the fields that cause them."""
    entered = asked.entered
    one = wired(circuit_of(asked))
    own = len(one.circuit.loads) - len(asked.loads)
    told = tuple(replace(said, where=_where(said.where, asked, own)) for said in findings(one))
    jackets = tuple(run.jacket.strip() or asked.colour for run in entered.runs)
    return CircuitPlan(
        asked.key,
        asked.path,
        entered,
        one,
        (*shape_findings(entered, asked.path, asked.ends, one), *told),
        jackets,
        asked.feeds,
    )


FIELDS = {
    "protection": "fuse",
    "protection/rating_a": "fuse_a",
    "protection/family": "fuse_family",
    "protection/distance_m": "fuse_distance_m",
    "protection/holder_a": "holder_a",
}


def _where(where: str, asked: Asked, own: int) -> str:
    """The field of the design behind a path of the calculation: "circuits/L1/runs/0/protection/rating_a" -> ".../fuse_a".

    For a circuit made from the design it is the field that it was made from.
    """
    if where.endswith("cut_out_v") and asked.entered.kind == "inverter":
        return "inverter/cut_out_v"
    if asked.path is None:
        return MADE_FROM[asked.entered.kind] if "family" not in where else "wiring/short_circuit_a"
    parts = where.removeprefix(f"circuits/{asked.key}").strip("/").split("/")
    if parts[0] == "loads":
        at = int(parts[1]) - own
        if not 0 <= at < len(asked.origins):
            return f"{asked.path}/runs"
        origin, row = asked.origins[at]
        if parts[2] == "cut_out_v":
            return f"{row}/cut_out_v"
        return origin if origin.startswith("loads/") else f"{origin}/point"
    if parts[0] == "runs" and len(parts) > 2:
        field = "/".join(parts[2:]).removeprefix("end_")
        field = field.replace("contacts/", "connectors/", 1)
        return f"{asked.path}/runs/{parts[1]}/{FIELDS.get(field, field)}"
    return f"{asked.path}/runs"
