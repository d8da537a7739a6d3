"""The program's figures of speed and memory, each beside its bar. It reports; it fails on no machine for being slow.

Every time is the median of several runs, the first one left out where it warms a cache. `python -m tests.bench`.
"""

from __future__ import annotations

import os
import platform
import statistics
import tempfile
import warnings
from collections.abc import Callable, Sequence

from tests.bench import edits, exports, simulation, supply, terminal, wiring
from tui.commandline.opening import collect_garbage_seldom

ROUNDS = 5


def main() -> None:
    warnings.simplefilter("ignore")
    collect_garbage_seldom()  # as the program does
    with tempfile.TemporaryDirectory() as state:
        os.environ["AMPLEDGER_STATE"] = state
        print(f"Python {platform.python_version()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}\n")
        print(f"{'what':<58}{'measured':>10}{'bar':>10}")
        for report in (starts, edits_and_figures, searches_and_files):
            report()
        print()
        supply.ratio()
    print()
    simulation.report()
    print()
    wiring.report()


def starts() -> None:
    show_s("first paint in a terminal", repeated(terminal.first_paint_s), 0.35)
    show_s("first figures in a terminal", repeated(terminal.first_figures_s), 2.0)
    show_s("--version, whole process", repeated(lambda: terminal.process_s(["--version"])), 0.15)
    show_s("plan of the demonstration, whole process", repeated(lambda: terminal.process_s(["plan"])), 2.0)
    show("peak memory of a session in a terminal", terminal.session_mb(), 300, "MB")
    show_s("all exports of the demonstration, whole process", repeated(exports.in_all_s, 3), 6.0)
    show_s("the same with 25 circuits of ten runs", repeated(lambda: exports.in_all_s(exports.MORE_CIRCUITS), 3), 6.0)


def edits_and_figures() -> None:
    van = edits.demonstration()
    crowded = edits.with_loads(van, 200)
    show_s("edit of a load, the model's chain", edits.in_model_s(edits.hours_edits, van), 0.05)
    show_s("edit of a load, to the painted screen", edits.on_screen_s(edits.hours_edits, van), 0.05)
    show_s("edit of a load among 200, the model's chain", edits.in_model_s(edits.hours_edits, crowded), 0.15)
    show_s("edit of a load among 200, to the painted screen", edits.on_screen_s(edits.hours_edits, crowded), 0.15)
    cabled = edits.with_circuits(van, 100)
    show_s("length of a run, the model's chain", edits.in_model_s(edits.length_edits, van), 0.05)
    show_s(
        "length of a run, to the painted screen (Circuits)",
        edits.on_screen_s(edits.length_edits, van, "circuits"),
        0.05,
    )
    show_s("length of a run, 200 loads, 100 circuits, the model", edits.in_model_s(edits.length_edits, cabled), 0.15)
    show_s(
        "length of a run, the same, to the painted screen",
        edits.on_screen_s(edits.length_edits, cabled, "circuits"),
        0.15,
    )
    show_s("edit of a load, the same, to the painted screen", edits.on_screen_s(edits.hours_edits, cabled), 0.15)
    show_s("tilt, the model's chain", edits.in_model_s(edits.tilt_edits, van), 0.05)
    show_s("tilt, to the painted screen (Sun)", edits.on_screen_s(edits.tilt_edits, van, "sun"), 0.05)
    show_s("place, the model's chain", edits.in_model_s(edits.place_edits, van), 0.05)
    show_s("place, to the painted screen (Sun)", edits.on_screen_s(edits.place_edits, van, "sun"), 0.05)
    show_s("month, the model's chain", edits.in_model_s(edits.month_edits, van), 0.05)
    show_s("month, to the painted screen (Sun)", edits.on_screen_s(edits.month_edits, van, "sun"), 0.05)
    show_s("month, to the painted screen (Battery)", edits.on_screen_s(edits.month_edits, van, "battery"), 0.05)


def searches_and_files() -> None:
    van = edits.demonstration()
    letters = edits.keystroke_s()
    show_s("place search, a letter", letters, 0.05)
    show_s("place search, the slowest letter", [max(letters)], 0.1)
    for what, design in (("demonstration", van), ("200 loads", edits.with_loads(van, 200))):
        for task, times in edits.file_s(design).items():
            show_s(f"{task}, {what}", times, 0.05 if design is van else 0.15)


def repeated(measure: Callable[[], float], rounds: int = ROUNDS) -> list[float]:
    measure()  # warms the disk and compiles what is not
    return [measure() for _ in range(rounds)]


def show_s(what: str, times_s: Sequence[float], bar_s: float) -> None:
    show(what, statistics.median(times_s) * 1000, bar_s * 1000, "ms")


def show(what: str, measured: float, bar: float, unit: str) -> None:
    verdict = "ok" if measured < bar else "OVER"
    print(f"{what:<58}{measured:>7.1f} {unit}{bar:>7.0f} {unit}  {verdict}", flush=True)


if __name__ == "__main__":
    main()
