"""A design that names a weather file, on the command line and in a session: its own days carry the odds."""

import json
from dataclasses import replace
from pathlib import Path

import pvlib
import pytest

from model.design import Design, Load, Stop
from model.record.files import open_design, save, untitled
from model.record.weather_files import read_weather_file
from tui.commandline import run
from tui.reach import ENVIRONMENT
from tui.session import Session, measured_beside

GREENSBORO = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"


@pytest.fixture
def van(tmp_path: Path) -> Path:
    """A design with its weather file (NSRDB TMY3 723170) beside it."""
    (tmp_path / "field.csv").write_bytes(GREENSBORO.read_bytes())
    found = read_weather_file(tmp_path / "field.csv", tmp_path)
    design = Design(place=found.place, weather=found.weather, loads=(Load("fridge", power_w=45, hours_per_day=8),))
    save(untitled(design), design, tmp_path / "van.toml")
    return tmp_path / "van.toml"


def test_the_plan_in_json_counts_the_files_year(van: Path, capsys: pytest.CaptureFixture[str]):
    assert run(["plan", str(van), "--json"]) == 0
    told = capsys.readouterr()
    assert json.loads(told.out)["storage"]["years_simulated"] == 1 and told.err == ""
    (van.parent / "field.csv").unlink()
    assert run(["plan", str(van), "--json"]) == 0
    told = capsys.readouterr()
    assert json.loads(told.out)["storage"]["years_simulated"] == 100
    assert told.err == "ampledger: The weather file field.csv cannot be read: days are drawn from the monthly values.\n"


def test_a_session_finds_it_and_a_browser_reaches_no_further_than_its_folder(
    van: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    session = Session(van)
    design = session.read().design
    days = session.measured(design)
    assert days is not None and days.years == 1
    session.close()
    assert design.weather is not None
    monkeypatch.setenv(ENVIRONMENT, str(tmp_path))
    assert measured_beside(design.weather, van)[0] is days
    outside = replace(design.weather, file=GREENSBORO.as_posix())
    refused, note = measured_beside(outside, van)
    assert refused is None and "out of reach" in note


def test_the_trip_has_the_files_days_where_a_stop_is_at_its_place(van: Path, capsys: pytest.CaptureFixture[str]):
    opened = open_design(van)
    place = opened.design.place
    here = Stop(place.name, place.latitude_deg, place.longitude_deg, place.elevation_m, "1 Dec", 4)
    save(opened, replace(opened.design, stops=(here, Stop("Loire mouth", 47.28, -2.0, nights=2))))
    assert run(["trip", str(van), "--json"]) == 0
    assert [stop["measured_years"] for stop in json.loads(capsys.readouterr().out)["trip"]["stops"]] == [1, 0]
    for command in ("trip", "plan"):
        assert run([command, str(van)]) == 0
        assert "400 trips, 1 of 2 stops in the weather of 1 measured year" in capsys.readouterr().out
