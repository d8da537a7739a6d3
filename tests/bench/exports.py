"""Every kind of file that leaves the program, written by a process that begins with nothing imported."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench import edits

MORE_CIRCUITS = 25
ALONE = "from tests.bench.exports import write_all; write_all({more})"


def in_all_s(more_circuits: int = 0) -> float:
    """Seconds from starting a process until the demonstration, with more circuits, is written in all kinds."""
    begun = time.perf_counter()
    subprocess.run([sys.executable, "-c", ALONE.format(more=more_circuits)], capture_output=True, check=True)
    return time.perf_counter() - begun


def write_all(more_circuits: int) -> None:
    """The demonstration in all kinds of file, and its tables in a folder."""
    from model.plan import plan
    from model.record import export

    van = edits.demonstration()
    subject = export.Subject(plan(edits.with_circuits(van, more_circuits) if more_circuits else van))
    with tempfile.TemporaryDirectory() as folder:
        for ending in export.WRITERS:
            export.export(subject, Path(folder) / f"plan{ending}")
        export.export(subject, f"{folder}/tables/")
