"""`ampledger trip` on the command line."""

import json

import pytest

from tui.commandline import run


def test_the_demonstration_has_a_trip(capsys):
    assert run(["trip"]) == 0
    told = capsys.readouterr().out
    assert told.startswith("TRIP of 22 days from 9 Feb") and "Worst stop: Goose polder" in told
    assert run(["trip", "--json", "--charge", "40 %"]) == 0
    data = json.loads(capsys.readouterr().out)["trip"]
    assert (
        data["start_charge"] == pytest.approx(0.4) and data["stops"][0]["charge_on_arrival"] == [pytest.approx(0.4)] * 5
    )


def test_what_is_no_trip_or_no_charge_is_one_line(tmp_path, capsys):
    path = tmp_path / "bare.toml"
    assert run(["new", str(path)]) == 0
    capsys.readouterr()
    assert run(["trip", str(path)]) == 2
    assert capsys.readouterr().err == "ampledger: The design has no stops, so that there is no trip to look at.\n"
    assert run(["trip", "--charge", "140 %"]) == 2
    assert capsys.readouterr().err.startswith("ampledger: ")
