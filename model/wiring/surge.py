"""Which limit gives in first while something starts behind the inverter: itself, the battery's electronics, a fuse, the volts.

Each is put as the alternating power that the inverter can give until then, so that they stand beside each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from model.wiring.automatic import MADE_FROM
from model.wiring.fuses import BLADE_START, family_named
from model.wiring.protection import devices
from model.wiring.table import CircuitPlan, WiringInput
from model.wiring.wired import feed_current_a
from model.working import Finding, Step

CUT_OUT_V_PER_12_V = 10.5
"""An inverter switches itself off below, where nobody typed at what voltage. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit. key: short and stable; name: what happens then, with its figure; output_w: alternating power that it lets pass
    for a moment; where: the field that sets it."""

    key: str
    name: str
    output_w: float
    formula: str
    source: str
    where: str
    advice: str


def output_at_current_w(current_a: float, emf_v: float, ohm: float, efficiency: float) -> float:
    """What an inverter gives at a battery current: I (E - I R) x efficiency, W; at most what E and R can give, E^2 / (4 R).

    emf_v, ohm: of the battery at rest and of all that lies before the inverter. Source: Ohm's law.
    """
    least_v = emf_v - current_a * ohm
    if least_v < emf_v / 2:  # more current would bring less power
        return emf_v**2 / (4 * ohm) * efficiency
    return current_a * least_v * efficiency


def output_at_volts_w(cut_out_v: float, emf_v: float, ohm: float, efficiency: float) -> float:
    """What an inverter gives until its terminals are down to `cut_out_v`: U (E - U) / R x efficiency, W. Source: Ohm's law.

    Below half of E no more is to be had; 0 where the battery is below `cut_out_v` at rest.
    """
    if emf_v <= cut_out_v:
        return 0.0
    held_v = max(cut_out_v, emf_v / 2)
    return held_v * (emf_v - held_v) / ohm * efficiency


def limits(
    inputs: WiringInput, circuits: Sequence[CircuitPlan], low_v: float, shares: Sequence[float] = (1.0,)
) -> tuple[Limit, ...]:
    """The limits of the inverter's circuit, the tightest first; () without one, or where its resistance is not known.

    On a low battery (low_v at rest), worn and cold, with all direct-current loads on. shares: of each of several batteries in
    parallel; the protection of the busiest opens first.
    """
    one = next((each for each in circuits if each.entered.kind == "inverter"), None)
    if one is None or not inputs.inverter.fitted or one.wired.running is None or not one.wired.circuit.runs:
        return ()
    source, running = one.wired.circuit.source, one.wired.running
    if source.ohm_most is None or not one.wired.shape.order:
        return ()
    others_a = _others_a(one, circuits)
    on_the_way = [(one, index, 0.0) for index in one.wired.shape.path(len(one.wired.shape.points) - 1)]
    ohm = source.start_ohm + sum(running.ohm[index] for _, index, _ in on_the_way)
    main = next((each for each in circuits if each.entered.kind == "main"), None)
    if main is not None and source.kind == "bus bar":
        place = main.wired.shape.place.get(source.point, 0)
        on_the_way += [(main, index, others_a) for index in main.wired.shape.path(place)]
    emf_v = low_v - others_a * source.start_ohm
    evenly = 1 / (len(shares) * max(shares))
    found = _Found(inputs, tuple(on_the_way), emf_v, ohm, others_a, evenly)
    return tuple(sorted(found.all(), key=lambda limit: limit.output_w))


def _others_a(inverter: CircuitPlan, circuits: Sequence[CircuitPlan]) -> float:
    """What all direct-current loads draw together while the inverter starts something: through the main feed, on which those
    of no circuit hang too, and on circuits of their own."""

    def feed_a(one: CircuitPlan) -> float:
        return feed_current_a(one.wired, one.wired.running)

    on_battery = sum(
        feed_a(each)
        for each in circuits
        if each.entered.kind == "main" or (each.entered.kind == "loads" and each.wired.circuit.source.kind == "battery")
    )
    itself_a = feed_a(inverter) if inverter.wired.circuit.source.kind == "bus bar" else 0.0  # then the main feed has it
    return max(0.0, on_battery - itself_a)


@dataclass(frozen=True, slots=True)
class _Found:
    """What the limits of one inverter circuit are reckoned from. way: runs before the inverter, as (circuit, index, what else
    flows there). evenly: of what the batteries give together, the part that they give before the busiest opens."""

    inputs: WiringInput
    way: tuple[tuple[CircuitPlan, int, float], ...]
    emf_v: float
    ohm: float
    others_a: float
    evenly: float

    def all(self) -> Iterator[Limit]:
        yield self._inverter()
        yield from self._battery()
        yield from self._fuses()
        yield self._volts()

    def _inverter(self) -> Limit:
        inverter = self.inputs.inverter
        typed = inverter.surge_w is not None
        return Limit(
            "inverter",
            "the inverter gives no more",
            max(inverter.rated_w, inverter.surge_w or 0.0),
            "surge power, typed" if typed else "rated power; no surge power is typed",
            "the inverter's maker, typed",
            "inverter/surge_w" if typed else "inverter/rated_w",
            "A larger inverter, or a device that starts softly.",
        )

    def _battery(self) -> Iterator[Limit]:
        if self.inputs.battery_peak_a is None:
            return
        peak_a = self.inputs.battery_peak_a * self.evenly
        known = self.inputs.peak_known
        left_a = max(0.0, peak_a - self.others_a)
        said = "" if known else "; no maker's figure is typed"
        yield Limit(
            "battery",
            f"the battery's protection opens ({peak_a:.0f} A{'' if known else ', usual for long'})",
            output_at_current_w(left_a, self.emf_v, self.ohm, self._efficiency),
            f"{self._at(left_a)}: {peak_a:.4g} A less {self.others_a:.3g} A of other loads",
            ("the battery's maker, typed" if known else f"usual for {self.inputs.chemistry}{said}") + "; Ohm's law",
            "battery/peak_a",
            "A battery that gives more for seconds, or less beside it."
            if known
            else "Type the battery's peak current from its data sheet; if that is not enough, a battery that gives more.",
        )

    def _fuses(self) -> Iterator[Limit]:
        for circuit, index, beside_a in self.way:
            run, base = circuit.wired.circuit.runs[index], circuit.path
            for end, device in devices(run):
                if device.rating_a is None:
                    continue
                family = family_named(device.family)
                share = family.start_share if family is not None else BLADE_START
                passes_a = max(0.0, share * device.rating_a - beside_a)
                beside = f" less {beside_a:.3g} A of other loads" if beside_a else ""
                yield Limit(
                    f"fuse.{circuit.key}.{index}.{end}",
                    f"the fuse of {device.rating_a:g} A at {run.start if end == 'start' else run.end} opens",
                    output_at_current_w(passes_a, self.emf_v, self.ohm, self._efficiency),
                    f"{self._at(passes_a)}: {share:g} x {device.rating_a:g} A{beside}",
                    f"{family.start_source if family is not None else 'as a blade'}; Ohm's law",
                    MADE_FROM[circuit.entered.kind] if base is None else f"{base}/runs/{index}/fuse_a",
                    "A larger fuse with a cable that bears it, or a slower one.",
                )

    def _volts(self) -> Limit:
        typed_v = self.inputs.inverter.cut_out_v
        least_v = CUT_OUT_V_PER_12_V * self.inputs.system_v / 12 if typed_v is None else typed_v
        return Limit(
            "volts",
            f"the inverter switches off, down to {least_v:g} V",
            output_at_volts_w(least_v, self.emf_v, self.ohm, self._efficiency),
            f"{least_v:g} V x ({self.emf_v:.4g} - {least_v:g}) V / {self.ohm * 1000:.3g} mohm x {self._efficiency:.3g}",
            f"{'common practice, no source' if typed_v is None else 'typed'}; Ohm's law; low battery, worn, other loads on",
            "inverter/cut_out_v",
            "Thicker or shorter cable to the inverter, a larger battery, or start it with the battery well charged.",
        )

    @property
    def _efficiency(self) -> float:
        return self.inputs.inverter_efficiency

    def _at(self, current_a: float) -> str:
        volts = f"{self.emf_v:.4g} V - {current_a:.4g} A x {self.ohm * 1000:.3g} mohm"
        return f"{current_a:.4g} A x ({volts}) x {self._efficiency:.3g}"


def surge_findings(inputs: WiringInput, found: Sequence[Limit]) -> list[Finding]:
    """What gives in before the hardest start is over; else what gives in before the inverter's own surge power, where one is
    typed. That the inverter itself is too small is said with the load."""
    if not found or found[0].key == "inverter":
        return []
    first, asked_w, surge_w = found[0], inputs.ac_surge_w, inputs.inverter.surge_w
    if first.key == "volts" and surge_w is not None and inputs.inverter.cut_out_v is not None:
        return []  # said with its circuit, at its surge power
    if asked_w > first.output_w:
        message = (
            f"A start behind the inverter asks for up to {asked_w:.0f} W; from {first.output_w:.0f} W on {first.name}"
            " first, on a low battery with everything on."
        )
        return [Finding("warning", first.where, message, first.advice)]
    if surge_w is not None and surge_w > first.output_w:
        message = (
            f"The inverter could give {surge_w:.0f} W for a moment; from {first.output_w:.0f} W on {first.name} first,"
            f" on a low battery with everything on. What is entered asks for {asked_w:.0f} W."
        )
        return [Finding("note", first.where, message, first.advice)]
    return []


def surge_steps(inputs: WiringInput, found: Sequence[Limit]) -> tuple[Step, ...]:
    """The working: every limit, then the one that gives in first."""
    if not found:
        return ()
    steps = [
        Step(f"wiring.inverter_start.{limit.key}_w", "wiring", f"A start behind the inverter until {limit.name}", limit.formula,
             limit.output_w, "W", limit.source)
        for limit in found
    ]  # fmt: skip
    keys = tuple(step.key for step in steps)
    steps.append(
        Step("wiring.inverter_start.most_w", "wiring", f"Largest start behind the inverter: then {found[0].name}",
             f"the least of {', '.join(f'{limit.output_w:.4g} W' for limit in found)}; asked for are {inputs.ac_surge_w:.4g} W",
             found[0].output_w, "W", "the tightest limit governs", keys)
    )  # fmt: skip
    return tuple(steps)
