"""The working of one circuit: every figure with its formula, numbers and source."""

from __future__ import annotations

from functools import lru_cache
from math import isinf

from model import names
from model.wiring.ampacity import SOURCE as AMPACITY
from model.wiring.ampacity import ambient_factor, base_ampacity_a, bundle_factor, insulation_class_c
from model.wiring.circuit import Circuit, PointLoad, Protection, Run
from model.wiring.fuses import family_named
from model.wiring.protection import CONTINUOUS, design_current_a, devices
from model.wiring.wired import Wired, wired
from model.working import Step

STAGE = "wiring"
CODE = "NEC 210.20(A), 215.3, from memory, to be checked against the standard"
BALANCE = "heat balance, as in the ambient factor of NEC 310.15(B)(1)"
KIRCHHOFF = "Kirchhoff's and Ohm's laws"
INTERPOLATED = "interpolated over the area of copper between its AWG sizes"


def steps(one: Wired) -> tuple[Step, ...]:
    """All figures of a circuit. Keys: wiring.<circuit>.load.<index>.*, .run.<index>.*, .point.<name>.*, .loss_w."""
    found: dict[str, Step] = {}
    for part in one.parts or (one,):
        make = _Maker(part)
        make.shared_drop()
        make.loads()
        for place, index in enumerate(part.shape.order, start=1):
            make.run(index)
            make.point(place, index)
        for step in make.found:
            found.setdefault(step.key, step)  # a converter's load stands at a point of both its parts
    whole = _Maker(one)
    whole.losses()
    return (*found.values(), *whole.found)


@lru_cache(maxsize=1024)
def steps_of(circuit: Circuit) -> tuple[Step, ...]:
    """The same for a circuit as typed, remembered."""
    return steps(wired(circuit))


class _Maker:
    """Collects the steps of one circuit, so that key, stage and name stand in one place."""

    def __init__(self, one: Wired) -> None:
        self.one, self.circuit, self.found = one, one.circuit, list[Step]()
        bars = (other.point for other in one.circuit.others if other.kind == "bus bar")
        self.shared = (
            next(bars, None) if one.circuit.source.upstream_drop_v else None
        )  # where it ends, if not at the battery

    def key(self, what: str) -> str:
        return f"wiring.{self.circuit.key}.{what}"

    def __call__(
        self, what: str, label: str, formula: str, value: float | str, unit: str, source: str, *uses: str
    ) -> None:
        keys = tuple(self.key(used) for used in uses)
        text = f"{self.circuit.name}: {label}"
        self.found.append(Step(self.key(what), STAGE, text, formula, value, unit, source, keys))

    def shared_drop(self) -> None:
        """What a charging circuit that ends at a bus bar loses beyond its own end."""
        if self.shared is None:
            return
        step = Step(
            self.key("shared_drop_v"),
            STAGE,
            f"{self.circuit.name}: lost from {self.shared} to the battery, in the main feed",
            "while everything charges, rounded up to 0.02 V",
            self.circuit.source.upstream_drop_v,
            "V",
            KIRCHHOFF,
            (f"wiring.main.charging.{self.shared.casefold()}.drop_v",),  # the main circuit may spell it in another way
        )
        self.found.append(step)

    def loads(self) -> None:
        for index, load in enumerate(self.circuit.loads):
            if load.point not in self.one.shape.place:
                continue
            amps = design_current_a(self.circuit.source, load)
            if load.law == "power":
                formula = f"{load.power_w:.4g} W at the lowest voltage, {load.power_w / amps if amps else 0:.4g} V"
            elif load.law == "current":
                formula = f"{load.power_w:.4g} W / {load.rated_v:g} V, at every voltage"
            else:
                formula = f"{load.power_w:.4g} W at {load.rated_v:g} V, a resistance at the highest voltage"
            where = "IEEE 1013 takes running loads at 95 % of nominal; here the low battery or the permitted drop"
            self(f"load.{index}.design_a", f"{load.name}, largest lasting current", formula, amps, "A", where)

    def run(self, index: int) -> None:
        run, sized, one = self.circuit.runs[index], self.one.runs[index], self.one
        name, here = f"{run.start} to {run.end}", f"run.{index}"
        beyond = self._beyond(index, self.circuit.loads)
        if one.charging is not None and one.charging.current_a[index]:
            given = [self.circuit.charges[at] for at in self._beyond(index, self.circuit.charges)]
            self(
                f"{here}.charging_a",
                f"{name}, current towards the battery while everything charges",
                " + ".join(f"{load.current_a(load.rated_v):.4g} A of {load.name}" for load in given),
                one.charging.current_a[index],
                "A",
                f"{KIRCHHOFF}; no load on is the cautious case",
            )
        self(
            f"{here}.passing_a",
            f"{name}, what protection must pass",
            self._passing(index, beyond),
            one.passing_a[index],
            "A",
            CODE,
            *(f"load.{at}.design_a" for at in beyond),
            *([f"{here}.charging_a"] if one.charging is not None and one.charging.current_a[index] else []),
        )
        if one.starting_a[index]:
            self(
                f"{here}.starting_a",
                f"{name}, largest current while a load starts",
                "the worst start beyond it, all others running, on a low battery",
                one.starting_a[index],
                "A",
                KIRCHHOFF,
            )
        for end, device in devices(run):
            if device.rating_a is None:
                continue
            typed = one.typed.runs[index].protection if end == "start" else one.typed.runs[index].end_protection
            chosen = typed is not None and typed.rating_a is None
            formula, source = self._fuse(index, device) if chosen else ("typed", "typed")
            self(
                f"{here}.{end}.fuse_a",
                f"{name}, fuse at its {end}" + (f", {device.family}" if device.family else ""),
                formula,
                device.rating_a,
                "A",
                source,
                f"{here}.passing_a",
                *([f"{here}.starting_a"] if one.starting_a[index] else []),
            )
        self._conductor(run, index, name, here)
        flow = one.running
        if flow is None:
            return
        warm_c, amps = flow.temperature_c[index], flow.current_a[index]
        self(
            f"{here}.current_a",
            f"{name}, {names.CURRENT.small} while running",
            "loads beyond it at their volts",
            amps,
            "A",
            KIRCHHOFF,
        )
        self(
            f"{here}.temperature_c",
            f"{name}, copper while running",
            f"{run.ambient_c:g} °C + ({insulation_class_c(run.insulation_c) or run.insulation_c:g} - {run.ambient_c:g}) K"
            f" x ({amps:.4g} A / {sized.allowed_a:.4g} A)²",
            warm_c,
            "°C",
            BALANCE,
            f"{here}.current_a",
            f"{here}.allowed_a",
        )
        self(
            f"{here}.ohm",
            f"{name}, resistance out and back",
            f"{sized.conductor.resistance_20c_ohm_per_m * 1000:.4g} mohm/m x {run.loop_m:.4g} m"
            f" x (1 + 0.00393 x ({warm_c:.1f} - 20)) + {run.fixed_ohm * 1000:.3g} mohm",
            flow.ohm[index],
            "ohm",
            sized.conductor.source,
            f"{here}.conductor",
            f"{here}.temperature_c",
        )
        self(
            f"{here}.drop_v",
            f"{name}, {names.DROP.small}",
            f"{amps:.4g} A x {flow.ohm[index] * 1000:.4g} mohm",
            flow.drop_v(index),
            "V",
            KIRCHHOFF,
            f"{here}.current_a",
            f"{here}.ohm",
        )

    def _fuse(self, index: int, device: Protection) -> tuple[str, str]:
        """How a chosen fuse came to its rating, with what governs it, and the source."""
        passing_a, start_a, family = self.one.passing_a[index], self.one.starting_a[index], family_named(device.family)
        lasting = f"lasting load governs: smallest standard rating >= {passing_a:.4g} A"
        if family is None or device.rating_a is None:
            return lasting, "common practice, no source"
        start = f"{start_a:.4g} A / {family.start_share:g} = {start_a / family.start_share:.4g} A"
        if start_a > family.start_share * device.rating_a:
            return (
                f"{lasting}; the start would need {start}, more than what lies behind the fuse bears, or than there is",
                family.source,
            )
        if start_a > family.start_share * passing_a:
            return f"start governs: smallest standard rating >= {start}", f"{family.source}; {family.start_source}"
        return lasting, family.source

    def _conductor(self, run: Run, index: int, name: str, here: str) -> None:
        sized, one = self.one.runs[index], self.one
        column = insulation_class_c(run.insulation_c)
        in_front = [
            f"run.{guard.device[0]}.{guard.device[1]}.fuse_a"
            for guard in one.guards
            if guard.run == index and guard.device is not None
        ]
        self(
            f"{here}.needed_a",
            f"{name}, what the conductor must bear",
            "the fuse in front of it" if in_front else "no fuse in front of it: its load with reserve",
            sized.needed_a,
            "A",
            "load <= fuse <= conductor: ISO 10133 and 13297, at second hand",
            f"{here}.passing_a",
            *dict.fromkeys(in_front),
        )
        chosen = f"smallest: {sized.governs} decides" if sized.governs != "typed" else "typed"
        source = sized.conductor.source if sized.governs != "typed" else f"typed; {sized.conductor.source}"
        self(f"{here}.conductor", name, chosen, sized.conductor.name, "", source, f"{here}.needed_a")
        direct = sized.conductor.family == "AWG"
        self(
            f"{here}.allowed_a",
            f"{name}, {names.AMPACITY.small} of {sized.conductor.name}",
            f"{base_ampacity_a(sized.conductor, run.insulation_c):.4g} A"
            f" x {min(1.0, ambient_factor(column, run.ambient_c)) if column else 0:.3g} ({run.ambient_c:g} °C)"
            f" x {bundle_factor(run.bundled):g} ({run.bundled} in the bundle)",
            sized.allowed_a,
            "A",
            f"{AMPACITY}, column {column} °C" + ("" if direct else f", {INTERPOLATED}"),
            f"{here}.conductor",
        )

    def _passing(self, index: int, beyond: list[int]) -> str:
        """How what protection must pass came about: the loads beyond, or what charges through the run."""
        source, loads = self.circuit.source, [self.circuit.loads[at] for at in beyond]
        given = [self.circuit.charges[at] for at in self._beyond(index, self.circuit.charges)]
        use, charge = (
            " + ".join(
                f"{CONTINUOUS if load.continuous else 1:g} x {design_current_a(source, load):.4g} A" for load in some
            )
            or "no load beyond"
            for some in (loads, given)
        )
        return f"the larger of {use} and, charging, {charge}" if given else use

    def _beyond(self, index: int, loads: tuple[PointLoad, ...]) -> list[int]:
        """The loads that a run feeds, or those that charge through it."""
        shape = self.one.shape
        return [
            at
            for at, load in enumerate(loads)
            if load.point in shape.place and index in shape.path(shape.place[load.point])
        ]

    def point(self, place: int, index: int) -> None:
        one, source = self.one, self.circuit.source
        name, short = one.shape.points[place], one.short[place]
        before = one.shape.points[one.shape.parent[place]]
        if one.charging is not None and one.charging_drop_v(place):
            way = [at for at in one.shape.path(place) if one.charging.current_a[at]]
            self(
                f"charging.{name.casefold()}.drop_v",
                f"lost from {name} to the battery while everything charges",
                " + ".join(
                    f"{one.charging.current_a[at]:.4g} A x {one.charging.ohm[at] * 1000:.4g} mohm" for at in way
                ),
                one.charging_drop_v(place),
                "V",
                KIRCHHOFF,
                *(f"run.{at}.charging_a" for at in way),
            )
        if one.running is not None:
            ahead_v, lost_v = one.running.volts[one.shape.parent[place]], one.running.drop_v(index)
            uses = [f"run.{index}.drop_v"] + ([f"point.{before}.volts"] if one.shape.parent[place] else [])
            self(
                f"point.{name}.volts",
                f"{names.VOLTS.small} at {name}",
                f"{ahead_v:.4g} V at {before} - {lost_v:.3g} V",
                one.running.volts[place],
                "V",
                KIRCHHOFF,
                *uses,
            )
            drop_v = one.drop_v(place)
            assert drop_v is not None
            self(
                f"point.{name}.drop_percent",
                f"{names.DROP.small} at {name}, from the battery",
                f"({source.running_v:.4g} - {one.running.volts[place]:.4g} + {source.upstream_drop_v:.3g}) V"
                f" / {source.nominal_v:g} V",
                drop_v / source.nominal_v * 100,
                "%",
                "share of the nominal voltage: ABYC E-11, 11.14.2.6, at second hand",
                f"point.{name}.volts",
                *(["shared_drop_v"] if self.shared is not None else []),
            )
        self(
            f"point.{name}.short_a",
            f"largest short-circuit current at {name}",
            f"{source.full_v:g} V over all that lies before it at 20 °C",
            "not known" if isinf(short.most_a) else short.most_a,
            "A",
            "U / R; battery and conductors as in their own steps",
            *(f"run.{at}.conductor" for at in one.shape.path(place)),
        )

    def losses(self) -> None:
        one = self.one
        if one.running is None:
            return
        ohms = [f"run.{index}.drop_v" for index in one.shape.order]
        self("loss_w", "heat in its cables", "sum of I² R of its runs", one.running.loss_w, "W", KIRCHHOFF, *ohms)
        if one.loss_wh_per_day is not None:
            self(
                "loss_wh_per_day",
                "lost in its cables in a day",
                "I² R over the hours, loads taken to run together as long as they can",
                one.loss_wh_per_day,
                "Wh",
                "common practice, no source",
                "loss_w",
            )
