"""Contacts and holders that melt while their fuse stays whole: what flows for hours against what they bear."""

from dataclasses import replace

import pytest

from model.wiring.circuit import Contact, PointLoad, Protection, Run, Source
from model.wiring.conductors import conductor
from model.wiring.findings import findings
from model.wiring.findings_contacts import HOLDER_SHARE, lasting_a
from model.wiring.wired import wired
from tests.model.wiring.circuits import FEED, one_circuit, one_run

HOURS = PointLoad("fridge", "a", 60.0, 12.0, hours_per_day=8.0)
MINUTES = replace(HOURS, name="pump", hours_per_day=0.2)


def said(circuit, part):
    return [one for one in findings(wired(circuit)) if part in one.where]


def plugged(load, rating_a, name="plug", **contact):
    run = one_run(contacts=(Contact(name, "end", rating_a, **contact),))
    return one_circuit(run=run, load=load)


def carried_a():
    return wired(one_circuit(load=HOURS)).lasting_a(0)


def test_eighty_percent_of_a_contact_is_for_hours_and_all_of_it_for_minutes():
    """The 80 % of panel makers' sheets, both sides of the limit; hours: NEC article 100, three of them."""
    limit_a = carried_a() / HOLDER_SHARE
    (warned,) = said(plugged(HOURS, limit_a * 0.99), "contacts")
    assert warned.severity == "warning" and "for hours" in warned.message
    assert not said(plugged(HOURS, limit_a * 1.01), "contacts")
    assert not said(plugged(MINUTES, limit_a * 0.99), "contacts")
    (melts,) = said(plugged(MINUTES, carried_a() * 0.99), "contacts")
    assert melts.severity == "danger"


@pytest.mark.parametrize(("hours", "counts"), [(2.99, False), (3.0, True), (24.0, True)])
def test_three_hours_a_day_are_lasting(hours, counts):
    one = wired(one_circuit(load=replace(HOURS, hours_per_day=hours)))
    assert lasting_a(one, 0) == pytest.approx(one.lasting_a(0) if counts else 0.0)


def test_only_loads_beyond_the_run_count():
    runs = (one_run(), Run("a", "b", 1.0), Run("a", "c", 1.0))
    loads = (replace(HOURS, point="b"), replace(MINUTES, point="c"))
    one = wired(one_circuit(runs=runs, loads=loads))
    assert lasting_a(one, 0) == pytest.approx(lasting_a(one, 1)) and lasting_a(one, 2) == 0.0
    assert lasting_a(one, 1) == pytest.approx(one.lasting_a(1))


@pytest.mark.parametrize("name", ["Lighter socket", "cigar plug"])
def test_a_socket_held_by_springs_is_told_for_hours_and_not_for_minutes(name):
    (warned,) = said(plugged(HOURS, 20.0, name), "contacts/0/name")
    assert "works loose" in warned.message and "locks" in warned.advice
    assert not said(plugged(MINUTES, 20.0, name), "contacts")
    assert not said(plugged(HOURS, 20.0, "screwed plug"), "contacts")


def fused(watts, device, source=FEED):
    run = one_run(conductor=conductor("mm2", "10"), protection=device)
    return one_circuit(run=run, load=replace(HOURS, power_w=watts), source=source)


def test_a_blade_in_a_holder_of_its_own_near_thirty_amperes():
    """240 W are 20 A at 12 V; the source holds 12.8 V, so the limit of 20 A lies near 256 W. Common practice, no source."""
    battery = Source("feed", "battery", 12.0, 12.8, 12.0, 13.4, ohm_least=0.02, ohm_most=0.03)
    blade = Protection(30.0, "Type C", 0.1)
    (warned,) = said(fused(270.0, blade, battery), "holder_a")
    assert "blade fuse" in warned.message
    assert not said(fused(240.0, blade, battery), "holder_a")
    assert not said(fused(270.0, replace(blade, family="terminal"), battery), "holder_a")
    assert not said(fused(270.0, replace(blade, holder_a=40.0), battery), "holder_a")
    assert not said(fused(270.0, blade), "holder_a")  # a way of the panel: the panel's rating is checked as a whole
