"""Ten thousand random keys and pastes at random sizes: nothing breaks, nothing is lost, undo leads back to the start exactly.

Each run has a seed of its own and its own thousand keys; what a run did last is told where it fails. (Minutes: `make prove`.)
"""

from __future__ import annotations

import random
import shutil
from collections import deque
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from model.design import Design
from model.record.files import open_design, save, untitled
from model.record.journal import pending
from tests.tui.conftest import settled
from tui.app import Ampledger
from tui.commands import EVERY_COMMAND
from tui.document import Document
from tui.widgets.edit_table import EditTable

SEEDS, KEYS = range(10), 1_000
SIZES = ((60, 20), (160, 50))
SMALLER = ((59, 19), (40, 12), (20, 6), (8, 3), (1, 1))
LAST_TOLD = 60

MOVES = ("up", "down", "left", "right", "tab", "shift+tab", "pageup", "pagedown", "home", "end")
EDITS = ("enter", "f2", "escape", "space", "backspace", "delete", "ctrl+a", "ctrl+u", "ctrl+k", "ctrl+w", "shift+end")
TYPED = (
    *"0123456789",
    "full_stop",
    "comma",
    "minus",
    "plus",
    "percent_sign",
    "colon",
    "slash",
    *"aehknowWV",
    "é",
    "漢",
)
COMMANDS = tuple(key for one in EVERY_COMMAND for key in one.keys.split(",") if one.does != "file_dialogs.leave")
ODD = ("ctrl+p", "ctrl+c", "ctrl+x", "ctrl+v", "f1", "f5", "f12", "ctrl+left", "ctrl+@", "alt+enter", "insert")
GOING = tuple(key for one in EVERY_COMMAND for key in one.keys.split(",") if one.does == "looking.go")
LEAVING = ("q", "ctrl+q")
KINDS = (MOVES, EDITS, TYPED, COMMANDS, ODD, LEAVING)
WEIGHTS = (30, 22, 20, 24, 3, 0.3)

PASTES = (
    "Radio\t1\t5 W\t2 h\nScope\t2\t20 W\t1,5 h\n",
    "Load;Qty;Power;Hours\nPump;1;60 W;0,25 h\nLamp;6;1,75 W;5 h\n",
    "name,quantity,power\nHeater,1,20 W\n",
    "6,5\n",
    "1\t2\r\n3\t4\r\n",
    "0,5\n1,25\n-3\n1e9\n",
    "1.500,75\t1,500.75\n",
    "999999999999999999999999999999 kW",
    "1e308 W\t1e-308 h\n",
    "NaN\tinf\t-inf\n",
    "12 parsec\tfive\tüñï漢🚐\n",
    "\x00\x01\x1b[31mred\x1b[0m\x07\x7f",
    "\x1b]52;c;AAAA\x07\t\x85\u2028\u202e",
    "[bold]x[/bold] {load} %s $HOME <b>",
    "a" * 5_000,
    "\t" * 300,
    "\n" * 300,
    "x\ty\n" * 700,
    "",
    " ",
    "Hide day",
    "24 Dec",
    "37.0, -6.4",
    "2.5 mm2\n12 AWG\n",
)


@dataclass
class Soak:
    """One run: its dice, its folder, and what it did last."""

    seed: int
    folder: Path
    dice: random.Random = field(init=False)
    done: deque[str] = field(default_factory=lambda: deque(maxlen=LAST_TOLD))
    pressed: int = 0

    def __post_init__(self) -> None:
        self.dice = random.Random(self.seed)

    def keys(self) -> list[str]:
        """A burst of keys: a number into some cell, another place, one key held down, or anything at all."""
        chance = self.dice.random()
        if chance < 0.15:
            return [
                *self.dice.choices(MOVES, k=2),
                *self.dice.choices("0123456789", k=self.dice.randint(1, 4)),
                "enter",
            ]
        if chance < 0.25:
            return ["escape", "escape", self.dice.choice(GOING)]
        if chance < 0.35:
            return [self.dice.choice((*MOVES, "u", "U", "backspace"))] * self.dice.randint(2, 12)
        kinds = self.dice.choices(KINDS, WEIGHTS, k=self.dice.randint(1, 12))
        return [self.dice.choice(kind) for kind in kinds]

    def size(self) -> tuple[int, int]:
        """A size of the terminal; now and then one that is too small."""
        if self.dice.random() < 0.2:
            return self.dice.choice(SMALLER)
        (narrow, low), (wide, high) = SIZES
        return self.dice.randint(narrow, wide), self.dice.randint(low, high)


@pytest.fixture
def run_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder that the program cannot leave."""
    folder = tmp_path / "van"
    folder.mkdir()
    for name in ("STATE", "CONFIG"):
        monkeypatch.setenv(f"AMPLEDGER_{name}", str(tmp_path / name.lower()))
    monkeypatch.setenv("AMPLEDGER_FOLDER", str(folder))
    monkeypatch.chdir(folder)
    yield folder
    assert {one.name for one in tmp_path.iterdir()} <= {"van", "state", "config", "killed"}


@pytest.mark.parametrize("seed", SEEDS)
async def test_random_keys_and_pastes_break_nothing_and_lose_nothing(seed: int, run_folder: Path) -> None:
    soak = Soak(seed, run_folder)
    try:
        while soak.pressed < KEYS:
            async with program(soak) as pilot:
                await soaked(pilot, soak)
    except BaseException as trouble:
        trouble.add_note(f"seed {seed}, {soak.pressed} keys, at last: {' '.join(soak.done)}")
        raise


@asynccontextmanager
async def program(soak: Soak) -> AsyncIterator[Pilot[None]]:
    """The program, on the file that it saved last where there is one."""
    files = sorted(soak.folder.rglob("*.toml"))
    app = Ampledger(soak.dice.choice(files) if files else None)
    async with app.run_test(size=soak.size()) as pilot:
        await settled(pilot)
        yield pilot


async def soaked(pilot: Pilot[None], soak: Soak) -> None:
    """Press and paste until the keys are spent or the program was left; then the whole way back, and forward again."""
    app = pilot.app
    assert isinstance(app, Ampledger)
    while soak.pressed < KEYS and app.return_code is None:
        await one_deed(pilot, soak)
        if soak.dice.random() < 0.1 and app.return_code is None:  # a person who left may have dropped the edits
            assert_kept(app, soak.folder)
    if app.return_code is not None:
        return
    await to_the_place(pilot)
    document = document_of(app)
    if not document.past:
        return
    start, end, edits = document.past[0][1], document.design, len(document.past)
    refused = sum(len(table.pending) for table in app.here.query(EditTable))  # such texts go before the edits do
    await pilot.press(*["u"] * (refused + edits))
    assert not document.past
    assert document.design == start
    await settled(pilot)
    assert_kept(app, soak.folder)
    await pilot.press(*["U"] * edits)
    assert document.design == end
    await settled(pilot)
    assert_kept(app, soak.folder)
    assert_written(end, soak.folder.parent / "killed" / "end.toml")


async def one_deed(pilot: Pilot[None], soak: Soak) -> None:
    """A burst of keys, a paste, or another size."""
    what = soak.dice.random()
    if what < 0.06:
        size = soak.size()
        soak.done.append(f"[{size[0]}x{size[1]}]")
        await pilot.resize_terminal(*size)
    elif what < 0.14:
        text = soak.dice.choice(PASTES)
        soak.done.append(f"[paste {text[:20]!r}]")
        target = pilot.app.screen.focused or pilot.app.screen
        target.post_message(events.Paste(text))
        soak.pressed += 1
        await pilot.pause()
    else:
        keys = soak.keys()
        soak.done.extend(keys)
        soak.pressed += len(keys)
        await pilot.press(*keys)
    if soak.dice.random() < 0.05:
        await pilot.pause(soak.dice.uniform(0, 1))  # what runs beside the program may finish here


async def to_the_place(pilot: Pilot[None]) -> None:
    """Out of every dialog and every cell, at a size at which all of it is there."""
    await pilot.resize_terminal(100, 30)
    for _ in range(20):
        await pilot.press("escape")
        if len(pilot.app.screen_stack) == 1:
            break
    await pilot.press("escape")
    assert len(pilot.app.screen_stack) == 1, pilot.app.screen_stack
    await settled(pilot)


def document_of(app: Ampledger) -> Document:
    assert app.document is not None
    return app.document


def assert_kept(app: Ampledger, folder: Path) -> None:
    """Killed at this moment, the program would have the design to offer. (A copied journal is one whose program is gone.)"""
    document = document_of(app)
    if not document.dirty:
        return
    copy = folder.parent / "killed"
    shutil.rmtree(copy, ignore_errors=True)
    shutil.copytree(folder.parent / "state", copy)
    recovery = pending(app.session.path, folder=copy)
    assert recovery is not None
    assert recovery.design == document.design


def assert_written(design: Design, path: Path) -> None:
    """Whatever was typed and pasted can be saved and read again."""
    path.parent.mkdir(exist_ok=True)
    path.unlink(missing_ok=True)
    saved = save(untitled(design), design, path)
    assert saved.design == design
    assert open_design(path).design == design
