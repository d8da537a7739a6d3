"""The kill -9 tests of the record room, many times over (minutes: run by `make prove`)."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.model.record.killing import kill_while_editing, kill_while_saving

KILLS = 500


@pytest.mark.parametrize("seed", range(2))
def test_storm_while_saving(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(KILLS):
        kill_while_saving(tmp_path, chance)


@pytest.mark.parametrize("seed", range(2))
def test_storm_while_editing(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(KILLS):
        kill_while_editing(tmp_path, chance)
