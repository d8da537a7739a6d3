"""What the calculation of one circuit cannot know: runs that are missing, and names of points that say something else."""

from __future__ import annotations

from model.design import Circuit
from model.wiring.circuit import Source
from model.wiring.ends import Ends
from model.wiring.entered import CONVERTER_NAMES, PANEL_NAMES, same
from model.wiring.findings_typed import typed_fuse_findings
from model.wiring.wired import Wired
from model.working import Finding

STARTS = {
    "panel": PANEL_NAMES,
    "battery": ("battery", "house battery", "leisure battery", "battery +"),
    "inverter": ("inverter",),
}
"""Names of first points that say by themselves what feeds a circuit."""


def shape_findings(entered: Circuit, base: str | None, ends: Ends, one: Wired) -> list[Finding]:
    """What the calculation cannot know: runs that are missing, and a charging circuit entered from the wrong end."""
    name = one.circuit.name
    if base is None:
        return []
    if not entered.runs:
        return [Finding("note", f"{base}/runs", f"{name} has no runs yet.", "Type its first run: to where, how long.")]
    if entered.kind == "array" and not ends.at_last:
        message = f"{name}: no modules are entered; its cables and fuses are planned for no current at all."
        return [Finding("danger", "array/count", message, "The modules first; do not buy or lay this cable before.")]
    if ends.far is not None and same(one.circuit.source.point) in ("battery", "house battery"):
        return [
            Finding(
                "warning",
                f"{base}/runs/0/start",
                f"{name} is entered from the battery; it is reckoned as if the {ends.source.kind} stood there.",
                "Enter it the way its current flows: from what charges to the battery.",
            )
        ]
    return [
        *_wrong_feed(entered, base, name),
        *_nowhere(entered, base, ends, one),
        *_second_source(entered, base, one),
        *_converter_guessed(base, one),
        *_leaving(entered, base, one),
        *typed_fuse_findings(entered, base, one),
    ]


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


def _nowhere(entered: Circuit, base: str, ends: Ends, one: Wired) -> list[Finding]:
    """A first or last point that names something else than what the circuit is reckoned from or to."""
    source, found = one.circuit.source, list[Finding]()
    first = same(entered.runs[0].start)
    feed = "the fuse panel" if source.kind == "panel" else f"the {source.kind}"
    if entered.kind == "loads" and first and not _is(source, first) and source.point != ends.source.point:
        words = [word for word in STARTS.values() if first in word]
        if not words:  # else it is said that the circuit is fed from elsewhere
            message = (
                f"{one.circuit.name} starts at {source.point}, which is no point of the main feed; it is reckoned as if that were"
                f" {feed}: its volts, and the fuse in front of it, are those there."
            )
            advice = "The point as the main feed has it; or no point at all, where it starts at " + f"{feed} itself."
            found.append(Finding("danger", f"{base}/runs/0/start", message, advice))
    far = ends.far
    last = entered.runs[-1].end.strip()
    if (
        far is not None
        and far.kind == "battery"
        and last
        and "battery" not in same(last)
        and same(last) != same(far.point)
    ):
        message = (
            f"{one.circuit.name} ends at {last}, no point of the main feed; it is reckoned as if that were the battery."
        )
        advice = "The point as the main feed has it, where it is a bus bar there; or battery."
        found.append(Finding("warning", f"{base}/runs/{len(entered.runs) - 1}/end", message, advice))
    return found


def _is(source: Source, first: str) -> bool:
    """Whether a name that is typed for a first point says the source of its kind."""
    if source.kind in ("battery", "inverter"):
        return source.kind in first and "starter" not in first
    return first in PANEL_NAMES if source.kind == "panel" else True


def _second_source(entered: Circuit, base: str, one: Wired) -> list[Finding]:
    """A circuit with loads that leads to what is a source itself by its name."""
    if entered.kind not in ("loads", "inverter") or one.circuit.source.kind == "inverter":
        return []
    for index, run in enumerate(one.circuit.runs):
        name = same(run.end)
        if "alternator" in name or "battery" in name.replace("battery charger", "").replace("battery monitor", ""):
            return [
                Finding(
                    "danger",
                    f"{base}/runs/{index}/end",
                    f"{one.circuit.name} leads to {run.end}, a source itself: a cable with a source at each end needs a fuse at"
                    " each end, and this one is reckoned with one.",
                    "Kind: alternator, for what joins the two batteries; or another name, if it is none.",
                )
            ]
    return []


def _converter_guessed(base: str, one: Wired) -> list[Finding]:
    """A DC-DC charger whose place nobody named, where it may be one of several."""
    converter, points = one.circuit.converter, {same(run.end) for run in one.circuit.runs[:-1]}
    if converter is None or len(points) < 2 or any(word in same(converter.point) for word in CONVERTER_NAMES):
        return []
    return [
        Finding(
            "danger",
            f"{base}/runs/0/end",
            f"{one.circuit.name}: the DC-DC charger is taken to stand at {converter.point}; no point is called so. Where it"
            " really stands the cables on either side carry other currents, behind other fuses.",
            "Call the point where it stands DC-DC charger.",
        )
    ]


def _leaving(entered: Circuit, base: str, one: Wired) -> list[Finding]:
    """More than one cable on a way of the panel, which holds one fuse."""
    roots = one.shape.roots
    if entered.kind != "loads" or entered.feed != "panel" or len(roots) < 2:
        return []
    fuses = [one.circuit.runs[run].protection for run in roots]
    rated = " and ".join(f"{each.rating_a:g} A" for each in fuses if each is not None and each.rating_a is not None)
    return [
        Finding(
            "warning",
            f"{base}/runs/{roots[1]}/start",
            f"{one.circuit.name}: {len(roots)} cables leave the panel, each with a fuse of its own ({rated}); a way holds one.",
            "A circuit, and a way, for each of them; or one cable to a point from which they part.",
        )
    ]
