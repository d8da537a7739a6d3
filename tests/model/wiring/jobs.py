"""Whole wiring plans for the tests of the papers, put together by hand from circuits."""

from model.design import Circuit as Entered
from model.design import Run as EnteredRun
from model.design import Wiring
from model.wiring.circuit import Circuit
from model.wiring.table import CircuitPlan, WiringPlan
from model.wiring.wired import wired


def entered_of(circuit: Circuit, through_metal: bool = False, **changes: object) -> Entered:
    """The circuit as somebody would have typed it, as far as papers read it."""
    runs = tuple(
        EnteredRun(run.start, run.end, run.length_m, returns=run.returns, through_metal=through_metal)
        for run in circuit.runs
    )
    return Entered(**{"name": circuit.name, "runs": runs, **changes})


def circuit_plan(circuit: Circuit, jacket: str = "", path: str | None = "circuits/0", **changes: object) -> CircuitPlan:
    entered = entered_of(circuit, **changes)
    feeds = tuple(dict.fromkeys(load.name for load in circuit.loads))
    return CircuitPlan(circuit.key, path, entered, wired(circuit), (), (jacket,) * len(circuit.runs), feeds)


def wiring_plan(*circuits: CircuitPlan, **settings: object) -> WiringPlan:
    return WiringPlan(Wiring(**settings), 12.0, circuits, (), 0.0, 0.0, (), ())
