"""The command line as a script meets it: exit status, one clear line for each error, and the contract of `plan --json`."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from model import shelf
from tui.commandline import COMMANDS, run

DEMO = shelf.path("heron.toml")

CONTRACT = {
    "design": {"name", "system_v", "place", "month"},
    "demand": {"energy_wh_per_day", "charge_ah_per_day", "peak_w", "surge_w", "loads", "months"},
    "supply": {
        "ghi_kwh_per_m2_day", "ghi_cautious_kwh_per_m2_day", "poa_kwh_per_m2_day", "yield_wh_per_w_day", "temperature_c",
        "array_w", "array_needed_w", "array_needed_cautious_w", "harvest_wh_per_day", "months",
    },
    "storage": {"chosen", "autonomy_days_asked", "autonomy_days", "options", "months"},
    "wiring": {"circuits", "panel", "cables", "labels"},
}  # fmt: skip
ROWS = {
    ("design", "place"): {"name", "latitude", "longitude", "elevation_m", "climate"},
    ("demand", "loads"): {"name", "energy_wh_per_day", "charge_ah_per_day"},
    ("supply", "months"): {
        "month", "ghi_kwh_per_m2_day", "ghi_cautious_kwh_per_m2_day", "poa_kwh_per_m2_day", "yield_wh_per_w_day",
        "temperature_c", "harvest_wh_per_day", "other_income_wh_per_day", "use_wh_per_day",
    },
    ("storage", "options"): {
        "chemistry", "depth_of_discharge", "capacity_needed_wh", "capacity_needed_ah", "units_series", "units_parallel",
        "installed_ah", "usable_wh", "mass_kg", "volume_l", "life_years", "governs",
    },
}  # fmt: skip


def output(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = run(arguments)
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The one line of an error, with its exit status checked."""
    try:
        status = run(arguments)
    except SystemExit as stop:
        status = stop.code
    captured = capsys.readouterr()
    assert status == 2
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    assert "Traceback" not in captured.err
    return captured.err


def test_plan_json_holds_the_contract(capsys):
    status, out, err = output(capsys, "plan", "--json")
    assert (status, err) == (0, "")
    plan = json.loads(out)
    for section, keys in CONTRACT.items():
        assert keys <= plan[section].keys(), section
    for (section, name), keys in ROWS.items():
        rows = plan[section][name]
        for row in rows if isinstance(rows, list) else [rows]:
            assert keys <= row.keys(), (section, name)
    assert len(plan["demand"]["months"]) == len(plan["supply"]["months"]) == 12
    assert len(plan["storage"]["options"]) == 8
    assert {"severity", "where", "message", "advice"} <= plan["findings"][0].keys()
    assert {"stage", "label", "formula", "value", "unit", "source"} <= plan["steps"][0].keys()
    assert {step["stage"] for step in plan["steps"]} >= {"demand", "supply", "storage"}
    assert all(step["source"] for step in plan["steps"])


def test_the_odds_of_each_month_are_in_the_contract(capsys):
    storage = json.loads(output(capsys, "plan", "--json")[1])["storage"]
    assert [month["month"] for month in storage["months"]] == list(range(1, 13))
    assert all(
        0 <= month["chance_of_empty_day"] <= 1 and 0 <= month["unmet_fraction"] <= 1 for month in storage["months"]
    )
    assert storage["months"][11]["chance_of_empty_day"] > storage["months"][5]["chance_of_empty_day"]
    assert storage["years_simulated"] == 100
    assert {"locked_days", "refused_wh_per_day", "days_since_full_mean", "days_since_full_max"} <= set(
        storage["months"][0]
    )
    assert storage["longest_dark_spell_survived_days"] > 0 and storage["refill_days_mean"] > 0


def test_energy_adds_up_over_the_loads_of_the_contract(capsys):
    plan = json.loads(output(capsys, "plan", "--json")[1])
    total = sum(load["energy_wh_per_day"] for load in plan["demand"]["loads"])
    assert total == pytest.approx(plan["demand"]["energy_wh_per_day"], rel=1e-12)


def test_place_and_month_replace_those_of_the_file(capsys):
    plan = json.loads(output(capsys, "plan", "--json", "--place", "36.1,-79.95,273", "--month", "july")[1])
    assert plan["design"]["month"] == 7
    place = plan["design"]["place"]
    assert (place["latitude"], place["longitude"], place["elevation_m"]) == (36.1, -79.95, 273)
    named = json.loads(output(capsys, "plan", "--json", "--place", "Greensboro, US", "--month", "7")[1])
    assert named["design"]["place"]["latitude"] == pytest.approx(36.07, abs=0.1)


def test_plan_as_text_says_verdict_findings_and_cautions(capsys):
    status, out, _ = output(capsys, "plan", str(DEMO))
    assert status == 0
    for words in (
        "Use ",
        "autonomy",
        "LOADS",
        "Compressor fridge",
        "SUN",
        "BATTERY",
        "LFP",
        "FINDINGS",
        "Local codes",
    ):
        assert words in out
    for word in ("compliant", "approved"):
        assert word not in out


def test_check_answers_by_exit_status(capsys, tmp_path):
    assert output(capsys, "check")[0] == 0
    dangerous = tmp_path / "danger.toml"
    dangerous.write_text(DEMO.read_text(encoding="utf-8").replace('limit_voltage = "75 V"', 'limit_voltage = "20 V"'))
    status, out, _ = output(capsys, "check", str(dangerous))
    assert status == 1
    assert "DANGER" in out


def test_a_place_without_climate_is_refused_in_words_not_by_failing(capsys):
    status, out, _ = output(capsys, "plan", "--place", "21.3,-157.85")
    assert status == 0
    assert "twelve monthly values" in out
    assert json.loads(output(capsys, "plan", "--json", "--place", "21.3,-157.85")[1])["supply"] is None


def test_the_polar_night_is_json_too(capsys):
    plan = json.loads(output(capsys, "plan", "--json", "--place", "69.65,18.96", "--month", "12")[1])
    assert plan["supply"]["array_needed_w"] is None or plan["supply"]["array_needed_w"] > 1e4


def test_places_finds_in_spite_of_spelling(capsys):
    status, out, _ = output(capsys, "places", "sevila")
    assert status == 0
    assert out.startswith("Sevilla")


def test_new_writes_a_file_that_opens(capsys, tmp_path):
    target = tmp_path / "mine.toml"
    assert output(capsys, "new", str(target))[0] == 0
    assert output(capsys, "plan", str(target))[0] == 0
    before = target.read_bytes()
    assert "already" in refused(capsys, "new", str(target))
    assert target.read_bytes() == before


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("plan", "missing.toml"), "missing.toml"),
        (("plan", "--month", "13"), "month"),
        (("plan", "--month", "smarch"), "month"),
        (("plan", "--place", "95,0"), "latitude"),
        (("plan", "--place", "xqzwvk"), "xqzwvk"),
        (("plan", "--nonsense"), "nonsense"),
        (("frobnicate.toml",), "frobnicate.toml"),
        (("a.toml", "b.toml"), "one design at a time"),
        (("places", "qqqqqqqqqqqqqq"), "qqqqqqqqqqqqqq"),
        (("new", "/nowhere/at/all.toml"), "nowhere"),
        (("export", "nowhere/at/all.html"), "nowhere"),
        (("export", "plan.docx"), ".docx"),
        (("export", "folder"), "ending in /"),
        (("export", "--paper", "A5", "out.pdf"), "A4 or Letter"),
        (("export", "--sections", "loads", "out.xlsx"), ".html, .pdf, .md"),
        (("export", "--sections", "loads,lables", "out.md"), "Labels"),
        (("--frob",), "frob"),
    ],
)
def test_errors_are_one_line_and_status_two(capsys, arguments, words):
    assert words in refused(capsys, *arguments)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"\x00\xff\xfe junk", "junk.toml"),
        (b"format = 1\n[[load]]\nname = 'x'\nhours = '25 h'\n", "line 4"),
        (b"format = 1\n[[load]]\nname = 'x'\npower = '1,500 W'\n", "1500 or 1,5"),
        (b"format = 99\n", "format"),
    ],
)
def test_damaged_files_name_line_and_way_out(capsys, tmp_path, text, words):
    damaged = tmp_path / "junk.toml"
    damaged.write_bytes(text)
    assert words in refused(capsys, "plan", str(damaged))
    assert damaged.read_bytes() == text


def test_export_writes_the_sections_that_were_asked_for(capsys, tmp_path):
    out = tmp_path / "plan.md"
    assert output(capsys, "export", "--sections", "loads,Cut list", str(out))[0] == 0
    headings = [line for line in out.read_text().splitlines() if line.startswith("#")]
    assert headings[1:] == ["## Loads", "## Papers of the job", "### Cut list"]


def test_without_a_terminal_the_program_prints_the_plan(tmp_path: Path):
    done = subprocess.run(
        [sys.executable, "-m", "tui"], capture_output=True, text=True, stdin=subprocess.DEVNULL, check=False
    )
    assert done.returncode == 0
    assert "Compressor fridge" in done.stdout
    assert done.stderr == ""


@pytest.mark.parametrize("name", ["", *COMMANDS])
def test_help_of_every_command_prints(capsys: pytest.CaptureFixture[str], name: str) -> None:
    with pytest.raises(SystemExit) as stop:
        run([*([name] if name else []), "--help"])
    assert stop.value.code == 0
    assert capsys.readouterr().out.startswith(f"usage: ampledger {name}".rstrip())
