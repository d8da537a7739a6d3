"""Processes at work that are killed with signal 9, and what must be found afterwards."""

from __future__ import annotations

import os
import random
import signal
import time
import warnings
from collections.abc import Callable
from pathlib import Path

from model.design import Design, Load
from model.record.files import Opened, backup_of, open_design, save, untitled
from model.record.journal import Journal, pending


def numbered(number: int) -> Design:
    """A design that carries a number, with enough loads to take a few writes' time."""
    return Design(name=str(number), loads=tuple(Load(f"load {at}", power_w=float(at + number % 7)) for at in range(40)))


def fork() -> int:
    """os.fork; Python from 3.12 on warns where the test runner has threads, of which the child uses none."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        return os.fork()


def save_for_ever(mine: Opened, path: Path, told: int) -> None:
    """Save design after design and tell each number once its save has come back."""
    for number in range(1, 1_000_000):
        mine = save(mine, numbered(number))
        os.write(told, b"%d\n" % number)


def killed(work: Callable[[int], None], after_s: float) -> int:
    """Run `work` in a process of its own, kill -9 it, and return the last number it told (0: none)."""
    read_end, write_end = os.pipe()
    child = fork()
    if not child:
        os.close(read_end)
        try:
            work(write_end)
        finally:
            os._exit(1)
    os.close(write_end)
    with os.fdopen(read_end, "rb") as told:
        first = told.readline()  # the kill comes while it is at work, not while it starts
        time.sleep(after_s)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        lines = (first + told.read()).split(b"\n")
    return int(lines[-2]) if len(lines) > 1 else 0


def kill_while_saving(folder: Path, chance: random.Random) -> None:
    path = folder / "van.toml"
    mine = save(untitled(numbered(0)), numbered(0), path, overwrite_changed=True)
    told = killed(lambda out: save_for_ever(mine, path, out), chance.uniform(0, 0.03))
    found = int(open_design(path).design.name)
    assert found in (told, told + 1), "the last finished save, or the one that was under way"
    assert open_design(path).design == numbered(found)
    kept = backup_of(path)
    assert int(open_design(kept).design.name) in (found - 1, found)
    for part in folder.glob(".ampledger-*"):
        part.unlink()


def edit_for_ever(path: Path, state: Path, told: int) -> None:
    """Accept edit after edit, tell each, and save after every tenth."""
    journal = Journal(path, folder=state)
    mine = open_design(path)
    for number in range(1, 1_000_000):
        journal.append(numbered(number))
        os.write(told, b"%d\n" % number)
        if number % 10 == 0:
            mine = save(mine, numbered(number))
            journal.clear()


def kill_while_editing(folder: Path, chance: random.Random) -> None:
    path, state = folder / "van.toml", folder / "state"
    save(untitled(numbered(0)), numbered(0), path, overwrite_changed=True)
    told = killed(lambda out: edit_for_ever(path, state, out), chance.uniform(0, 0.03))
    saved = int(open_design(path).design.name)
    left = pending(path, folder=state)
    assert saved % 10 == 0
    if left is None:
        assert saved == told, "nothing to recover only where the last edit was saved"
    else:
        assert int(left.design.name) in (told, told + 1)
        assert left.design == numbered(int(left.design.name))
        mine = Journal(path, folder=state)
        mine.take_over(left)
        assert not left.journal.exists()
        assert pending(path, folder=state) is None, "it is in the journal of a living program now"
        mine.clear()
    assert list(state.iterdir()) == []
