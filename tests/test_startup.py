"""What a start may load, by module names: they do not depend on how busy the machine is. Times are for the bench."""

from __future__ import annotations

import json
import os
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import model

ROOT = Path(model.__file__).parent.parent
SCREEN = {"textual", "rich"}
HEAVY = {"pandas", "numpy", "scipy", "pvlib", "pint", "msgspec", "rapidfuzz"}


def loaded_after(code: str, state: Path) -> tuple[set[str], str]:
    """Top-level names of the modules that a fresh interpreter has loaded after `code`, and what it printed before."""
    run = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport json, sys\nprint()\nprint(json.dumps(sorted(sys.modules)))"],
        cwd=ROOT,
        env={**os.environ, "AMPLEDGER_STATE": str(state), "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    printed, _, names = run.stdout.rstrip().rpartition("\n")
    return {name.partition(".")[0] for name in json.loads(names)}, printed


def test_no_module_of_the_model_loads_the_screen(tmp_path):
    names = [module.name for module in pkgutil.walk_packages(model.__path__, "model.")]
    assert len(names) > 30
    loaded, _ = loaded_after("\n".join(f"import {name}" for name in names), tmp_path)
    assert "model" in loaded
    assert not loaded & SCREEN


# Everything up to the moment at which the program begins to read the design: the first paint is over.
FIRST_PAINT = """
import json
import sys
from tui.app import Ampledger

class FirstPaint(Ampledger):
    CSS_PATH = sys.modules["tui.app"].__file__.replace("app.py", "app.tcss")

    def _read_design(self):
        strips = self.screen._compositor.render_strips()
        self.exit("\\n".join("".join(segment.text for segment in strip) for strip in strips))

print(FirstPaint().run(headless=True, size=(80, 24)))
"""


def test_the_first_paint_waits_for_nothing_heavy(tmp_path):
    loaded, screen = loaded_after(FIRST_PAINT, tmp_path)
    assert "Compressor fridge" in screen and "45 W" in screen  # the demonstration's first load, as its file says
    assert "textual" in loaded
    assert not loaded & HEAVY


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--version"], f"ampledger {model.__version__}"),
        (["plan", "--json"], '"energy_wh_per_day"'),
        (["plan"], "Compressor fridge"),
        (["check"], "December"),
        (["places", "oslo"], "Oslo"),
    ],
    ids=["version", "plan as JSON", "plan", "check", "places"],
)
def test_commands_load_no_screen(arguments, said, tmp_path):
    loaded, printed = loaded_after(f"from tui.__main__ import main\nmain({arguments!r})", tmp_path)
    assert said in printed
    assert not loaded & SCREEN


def test_the_version_loads_nothing_heavy(tmp_path):
    loaded, _ = loaded_after("from tui.__main__ import main\nmain(['--version'])", tmp_path)
    assert "tui" in loaded
    assert not loaded & (SCREEN | HEAVY)
