"""Bonds of neutral and earth in each state of supply. NEC 551.54 and IEC 60364-7-721, from memory, to be checked against the
standards: one bond in each state, that of the source."""

from itertools import product

import pytest

from model.design import Generator, Inverter, Shore
from model.design.demand import CHANGEOVERS, INVERTER_BONDS
from model.design.supply import GENERATOR_BONDS
from model.wiring.bonding import bonding_findings, states

ON_SHORE, NO_SHORE = Shore(nights_per_week=2.0), Shore()
RUNS, NO_ENGINE = Generator(hours_per_week=2.0), Generator()
LEFT = ("note", "inverter/changeover")  # what the charger is plugged into is not entered
ONE_POLE = ("warning", "inverter/changeover")
KNOWN_BONDS = [one for one in INVERTER_BONDS if one != "not known"]
KNOWN_OVER = [one for one in CHANGEOVERS if one != "not known"]


def an_inverter(bond="switched", over="both poles"):
    return Inverter(fitted=True, bond=bond, changeover=over)


def said(inverter=Inverter(), shore=NO_SHORE, generator=NO_ENGINE):  # noqa: B008 - frozen
    return {(one.severity, one.where) for one in bonding_findings(inverter, shore, generator)}


@pytest.mark.parametrize(("bond", "over"), list(product(KNOWN_BONDS, KNOWN_OVER)))
def test_the_bonds_on_shore_by_what_is_joined_to_what(bond, over):
    """Counted on the drawing: the post's own; and the inverter's if its relay does not open it and its neutral still hangs on the
    shore's, which only own sockets or a switch of both poles prevent."""
    closed, connected = bond == "fixed", over in ("one pole", "none")
    table = {one.supply: one for one in states(an_inverter(bond, over), ON_SHORE, NO_ENGINE)}
    opens = bond == "switched" and connected  # only where the shore passes through the inverter, which is not entered
    assert table["on shore power"].known == (not opens)
    assert len(table["on shore power"].joined_at) == 1 + (closed and connected)
    on_own = table["on the inverter"]
    assert len(on_own.joined_at) == (bond != "none")
    assert on_own.known == (not connected)  # a post that is still plugged in shares the neutral, and has its own bond
    assert states(an_inverter(bond, over), NO_SHORE, NO_ENGINE)[0].known  # alone there is nothing to share with
    dangers = {where for severity, where in said(an_inverter(bond, over), ON_SHORE) if severity == "danger"}
    assert bool(dangers) == (over == "none" or (closed and connected))


@pytest.mark.parametrize(("own", "bond", "over"), list(product(GENERATOR_BONDS, KNOWN_BONDS, KNOWN_OVER)))
def test_the_bonds_on_the_generator(own, bond, over):
    there = states(an_inverter(bond, over), NO_SHORE, Generator(hours_per_week=2.0, bond=own))[-1]
    assert there.supply == "on the generator" and there.known == (
        own != "not known" and not (bond == "switched" and over in ("one pole", "none"))
    )
    if there.known:
        assert len(there.joined_at) == (own == "fixed") + (bond == "fixed" and over in ("one pole", "none"))


@pytest.mark.parametrize(
    ("inverter", "shore", "generator", "expected"),
    [
        (Inverter(), NO_SHORE, NO_ENGINE, set()),
        (Inverter(), ON_SHORE, NO_ENGINE, set()),  # the post's bond alone
        (an_inverter("not known", "not known"), NO_SHORE, NO_ENGINE, set()),  # said with its circuits
        (an_inverter("none"), NO_SHORE, NO_ENGINE, {("warning", "inverter/bond")}),
        (an_inverter("fixed", "one pole"), ON_SHORE, NO_ENGINE, {("danger", "inverter/changeover"), ONE_POLE, LEFT}),
        (Inverter(), NO_SHORE, Generator(2.0, bond="none"), {("warning", "generator/bond")}),
        (an_inverter("not known"), ON_SHORE, NO_ENGINE, {("note", "inverter/bond")}),
        (an_inverter(over="not known"), ON_SHORE, NO_ENGINE, {("note", "inverter/changeover")}),
    ],
)  # fmt: skip
def test_what_is_said(inverter, shore, generator, expected):
    assert said(inverter, shore, generator) == expected


def test_a_charger_on_its_own_inverter_is_a_loop():
    looped = Shore(nights_per_week=2.0, charger_on="inverter")
    (found,) = bonding_findings(an_inverter(), looped, NO_ENGINE)
    assert found.where == "shore/charger_on" and "emptied by what they lose" in found.message
    assert bonding_findings(an_inverter(), Shore(nights_per_week=2.0, charger_on="inlet"), NO_ENGINE) == []
    assert bonding_findings(Inverter(), looped, NO_ENGINE) == []  # no inverter, no loop
    by_engine = bonding_findings(an_inverter(), Shore(charger_on="inverter"), Generator(2.0, bond="fixed"))
    assert [one.where for one in by_engine] == ["shore/charger_on"]  # the generator's charger as much as the shore's


@pytest.mark.parametrize(("bond", "own"), list(product(KNOWN_BONDS, ("none", "fixed"))))
def test_a_changeover_of_one_pole_is_told_with_every_bond(bond, own):
    """Neutrals joined by hand-drawn diagram: no state of such a van can be called right from its bonds alone."""
    found = said(an_inverter(bond, "one pole"), NO_SHORE, Generator(2.0, bond=own))
    assert ONE_POLE in found
    on_own = next(
        one
        for one in states(an_inverter(bond, "one pole"), NO_SHORE, Generator(2.0, bond=own))
        if "inverter" in one.supply
    )
    assert not on_own.known
    assert ONE_POLE not in said(an_inverter(bond, "both poles"), NO_SHORE, Generator(2.0, bond=own))


def test_the_note_names_what_is_not_entered_and_nothing_is_promised():
    (found,) = bonding_findings(an_inverter("not known", "not known"), ON_SHORE, NO_ENGINE)
    assert (
        "Not entered: the inverter's bond, how they come to the sockets, what the charger is plugged into."
        in found.message
    )
    words = " ".join(
        f"{one.message} {one.advice}" for one in bonding_findings(an_inverter("fixed", "none"), ON_SHORE, RUNS)
    )
    assert "licensed person" in words
    assert not [bad for bad in ("approved", "compliant", " safe") if bad in words]
