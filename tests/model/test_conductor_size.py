"""Conductor sizes and dates as people write them."""

from __future__ import annotations

import pytest

from model.calendar import day_of_year, read_date
from model.quantities.conductor_size import read_conductor
from model.quantities.refusal import Refusal


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("2.5 mm2", "2.5 mm2"),
        ("2,5mm²", "2.5 mm2"),
        ("70 sqmm", "70 mm2"),
        ("12 AWG", "12 AWG"),
        ("#12 awg", "12 AWG"),
        ("AWG 2/0", "2/0 AWG"),
        ("0000 awg", "4/0 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("sae 12", "SAE 12"),
        ("1/0 sae", "SAE 1/0"),
    ],
)
def test_spellings(text: str, name: str) -> None:
    assert read_conductor(text) == name
    assert read_conductor(name) == name


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("2.5", "no conductor size"),
        ("6 mm", "outside diameter"),
        ("2.6 mm2", "is not made"),
        ("SAE 13", "is not made"),
        ("30 AWG", "thinner"),
        ("12 AWG CCA", "copper-clad"),
        ("thick", "no conductor size"),
    ],
)
def test_refusals(text: str, word: str) -> None:
    with pytest.raises(Refusal, match=word):
        read_conductor(text)


@pytest.mark.parametrize(
    ("text", "date", "day"),
    [
        ("2026-12-24", "2026-12-24", 358),
        ("24 Dec", "24 Dec", 358),
        ("dec 24", "24 Dec", 358),
        ("24. December 2026", "2026-12-24", 358),
        ("1 Jan", "1 Jan", 1),
        ("29 feb", "29 Feb", 59),
        ("2024-02-29", "2024-02-29", 59),
        ("31 Dec", "31 Dec", 365),
    ],
)
def test_dates(text: str, date: str, day: int) -> None:
    assert read_date(text) == date == read_date(date)
    assert day_of_year(date) == day


@pytest.mark.parametrize("text", ["2026-02-29", "31 Apr", "12/24/2026", "24.12.2026", "Dec", "0 Jan", "2026-13-01", ""])
def test_days_that_no_calendar_has(text: str) -> None:
    with pytest.raises(Refusal):
        read_date(text)
