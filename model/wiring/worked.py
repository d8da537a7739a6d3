"""One circuit of a design worked out and remembered, its findings leading to the fields that cause them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from model.design import Circuit
from model.wiring import circuit as calculation
from model.wiring.automatic import MADE_FROM
from model.wiring.circuit import PointLoad
from model.wiring.ends import Ends
from model.wiring.entered import PANEL_NAMES, Defaults, calculable, same
from model.wiring.findings import findings
from model.wiring.table import CircuitPlan
from model.wiring.wired import Wired, wired
from model.working import Finding


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
    return CircuitPlan(asked.key, asked.path, entered, one, (*_shape_findings(asked, one), *told), jackets, asked.feeds)


STARTS = {
    "panel": PANEL_NAMES,
    "battery": ("battery", "house battery", "leisure battery", "battery +"),
    "inverter": ("inverter",),
}
"""Names of first points that say by themselves what feeds a circuit."""

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


def _shape_findings(asked: Asked, one: Wired) -> list[Finding]:
    """What the calculation cannot know: runs that are missing, and a charging circuit entered from the wrong end."""
    base, name = asked.path, one.circuit.name
    if base is None:
        return []
    if not asked.entered.runs:
        return [Finding("note", f"{base}/runs", f"{name} has no runs yet.", "Type its first run: to where, how long.")]
    if asked.ends.far is not None and same(one.circuit.source.point) in ("battery", "house battery"):
        return [
            Finding(
                "warning",
                f"{base}/runs/0/start",
                f"{name} is entered from the battery; it is reckoned as if the {asked.ends.source.kind} stood there.",
                "Enter it the way its current flows: from what charges to the battery.",
            )
        ]
    return [*_wrong_feed(entered=asked.entered, base=base, name=name), *_leaving(asked, one)]


def _wrong_feed(entered: Circuit, base: str, name: str) -> list[Finding]:
    """A circuit that says where it starts and is fed from elsewhere: volts, short circuit and fuse are those of the feed."""
    start = same(entered.runs[0].start)
    named = next((feed for feed, words in STARTS.items() if start in words), entered.feed)
    if entered.kind != "loads" or named == entered.feed:
        return []
    where = {"panel": "the fuse panel", "battery": "the battery", "inverter": "the inverter"}
    return [
        Finding(
            "danger",
            f"{base}/feed",
            f"{name} starts at {where[named]} and is fed from {where[entered.feed]}: its volts, its short circuit and its fuse"
            f" are those behind {where[entered.feed]}.",
            f"Fed from: {named}; or another first point.",
        )
    ]


def _leaving(asked: Asked, one: Wired) -> list[Finding]:
    """More than one cable on a way of the panel, which holds one fuse."""
    roots = one.shape.roots
    if asked.entered.kind != "loads" or asked.entered.feed != "panel" or len(roots) < 2:
        return []
    fuses = [one.circuit.runs[run].protection for run in roots]
    rated = " and ".join(f"{each.rating_a:g} A" for each in fuses if each is not None and each.rating_a is not None)
    return [
        Finding(
            "warning",
            f"{asked.path}/runs/{roots[1]}/start",
            f"{one.circuit.name}: {len(roots)} cables leave the panel, each with a fuse of its own ({rated}); a way holds one.",
            "A circuit, and a way, for each of them; or one cable to a point from which they part.",
        )
    ]
