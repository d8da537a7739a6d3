"""The shipped tables of the wiring room: complete, sourced, and possible."""

import re
from itertools import pairwise

import pytest

from model import shelf
from model.design import CHEMISTRIES
from model.storage.chemistry import chemistries
from model.wiring.conductors import AWG_SIZES, FAMILIES, conductor, sizes
from model.wiring.fuses import families, smallest_family
from model.wiring.short_circuit import bank_ohm, cell, short_circuit_a

TABLES = (
    "conductors.csv",
    "ampacity.csv",
    "fuses.csv",
    "breakers.csv",
    "insulation.csv",
    "cell_resistance.csv",
    "contacts.csv",
)
CERTAINTY = re.compile(r"seen|second-hand|own|from memory \d\d %")


@pytest.mark.parametrize("name", TABLES)
def test_every_row_names_its_source_and_how_certain_it_is(name):
    for row in shelf.rows(name):
        assert None not in row and None not in row.values(), row
        assert row["source"].strip(), row
        assert CERTAINTY.fullmatch(row["certainty"]), row
        assert re.fullmatch(r"20\d\d-\d\d-\d\d", row["checked_on"]), row
        assert row["address"] in ("", "address withheld") or re.match(r"https?://", row["address"]), row
        assert "memory" not in row["certainty"] or "memory" in row["source"] or "to be checked" in row["source"], row


def test_the_ampacity_table_has_the_sizes_from_which_the_program_chooses():
    assert tuple(row["awg"] for row in shelf.rows("ampacity.csv")) == AWG_SIZES


@pytest.mark.parametrize("family", FAMILIES)
def test_an_unknown_size_is_refused_with_the_sizes_there_are(family):
    with pytest.raises(ValueError, match=re.escape(sizes(family)[0])):
        conductor(family, "7.3")


@pytest.mark.parametrize("name", families())
def test_a_fuse_family_is_possible(name):
    family = families()[name]
    assert list(family.ratings_a) == sorted(set(family.ratings_a))
    volts, breaks = zip(*family.interrupting_a.items(), strict=True)
    assert list(volts) == sorted(volts) and list(breaks) == sorted(breaks, reverse=True)
    assert family.rating_a(family.ratings_a[-1]) == family.ratings_a[-1]
    assert family.rating_a(family.ratings_a[-1] + 0.1) is None
    for before, after in pairwise(family.ratings_a):
        assert family.rating_a(before + 1e-6) == after


def test_voltage_decides_what_a_terminal_fuse_breaks():
    """10 kA at 14 V, 5 kA at 32 V, 2 kA at 58 V; blades end at 32 V."""
    assert [families()["terminal"].breaks_a(volts) for volts in (12, 24, 48)] == [10_000, 5_000, 2_000]
    assert [families()["Type C"].breaks_a(volts) for volts in (12, 24, 48)] == [1_000, 1_000, 0]
    assert families()["terminal"].breaks_a(29) == 2_000  # full, it is at 34 V
    assert smallest_family(5, 48, 0)[0].name == "terminal"


def test_the_smallest_rating_that_can_break():
    assert smallest_family(8, 12, 500)[1] == 10
    family, rating_a = smallest_family(101, 12, 15_000)
    assert (family.name, rating_a) == ("Class T", 110)
    assert smallest_family(41, 48, 0, in_panel=True) is None  # blades end at 32 V
    assert smallest_family(41, 12, 5_000, in_panel=True) is None and smallest_family(41, 12, 5_000)[1] == 50
    assert smallest_family(100, 12, 25_000) is None
    assert smallest_family(700, 12, 0) is None


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_every_chemistry_has_a_resistance(chemistry):
    one = cell(chemistry)
    assert 0 < one.least_mohm_ah < one.most_mohm_ah and one.source
    assert one.full_v > chemistries()[chemistry].cell_nominal_v


def test_short_circuit_of_a_280_ah_lithium_battery():
    """Four LFP cells of 280 Ah with links, 1.0 to 1.5 mohm: 9 to 13 kA (typical figures, from memory, to be checked)."""
    one = cell("LFP")
    links_ohm = 3 * one.link_mohm / 1000
    assert 9_000 < short_circuit_a(4 * one.full_v, bank_ohm(one.most_mohm_ah, 4, 280, 1, links_ohm)) < 13_000
    assert 13_000 < short_circuit_a(4 * one.full_v, bank_ohm(one.least_mohm_ah, 4, 280, 1, links_ohm)) < 16_000
