"""Logs as meters and people write them, and what is refused with its line."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from model.logged import LogDay
from model.record.disk import DiskTrouble
from model.record.log_files import LogRefused, read_log
from tui.commandline import run

EXPECTED = (LogDay(2025, 11, 1, 350.5, 1012.0, 0.45), LogDay(2025, 11, 2, 0.0, 980.0, 0.4))


@pytest.mark.parametrize(
    "text",
    [
        "day,Wh in,Wh out,min %\n2025-11-01,350.5,1012,45\n2025-11-02,0,980,40\n",
        "\ufeffDate;Out Wh;In Wh;Minimum\r\n1.11.2025;1012;350,5;45 %\r\n\r\n02.11.2025;980;0;40,0\r\n",
        "date\tmin\tin (kWh)\tout (kWh)\n1 Nov 2025\t45\t0,3505\t1,0120\n2025/11/02\t40\t0\t980 Wh\n",
        'day,in,out,min\n2025-11-01T00:00,"350,5 Wh",1.012 kWh,45\n2025-11-02 00:00:00,0,980,40\n',
        "\n\nday,note,charged,consumption,lowest charge\n2025-11-01,rain,350.5,1012,45\n2025-11-02,,0,980,40",
    ],
)
def test_spellings_of_the_same_log(text: str, tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text(text, encoding="utf-8", newline="")
    found = read_log(path)
    assert [(day.year, day.month, day.day) for day in found] == [(2025, 11, 1), (2025, 11, 2)]
    for day, expected in zip(found, EXPECTED, strict=True):
        assert (day.income_wh, day.used_wh, day.lowest) == pytest.approx(
            (expected.income_wh, expected.used_wh, expected.lowest)
        )


def test_columns_and_cells_may_be_missing(tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text("day,out,min\n2025-11-01,1012,\n2025-11-02,980\n")
    assert read_log(path) == (LogDay(2025, 11, 1, None, 1012.0, None), LogDay(2025, 11, 2, None, 980.0, None))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("\n \n", "is empty"),
        ("a,b,c\n1,2,3\n", "names no day and no energy"),
        ("day,min\n2025-11-01,3\n", "names no day and no energy"),
        ("day,in,out\n", "holds no day"),
        ("day,in,out\n2025-11-01,5,6\n2025-11-31,5,6\n", "line 3: “2025-11-31” is a day that no calendar has"),
        ("day,in,out\n11/12/2025,5,6\n", "line 2: “11/12/2025” is not a date"),
        ("day,in,out\n1 Nov,5,6\n", "line 2: “1 Nov” has no year"),
        ("day,in,out\n2025-11-01,5,6\n\n2025-11-01,5,6\n", "line 4: the day of line 2 once more"),
        ("day,in,out\n2025-11-01,-5,6\n", "line 2: "),
        ("day,in,out\n2025-11-01,,\n", "line 2: neither in nor out"),
        ("day,in,out,min\n2025-11-01,5,6,140\n", "line 2: "),
        ("day;in;out\n2025-11-01;1.012,5;6\n", "line 2: "),
        ("day,in,out\n" + "".join(f"2025-11-0{day},x,6\n" for day in range(1, 6)), "and 2 rows more"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_line(text: str, words: str, tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_text(text)
    with pytest.raises(LogRefused) as refusal:
        read_log(path)
    assert words in str(refusal.value) and "\n" not in str(refusal.value)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    content=st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda text: f"day,in,out\n{text}".encode()))
)
def test_any_bytes_are_a_log_or_refused(content: bytes, tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_bytes(content)
    try:
        days = read_log(path)
    except LogRefused:
        return
    assert days and all(1 <= day.month <= 12 for day in days)


def test_the_command_says_it_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "log.csv"
    path.write_text("day,out\n" + "".join(f"2025-12-{day:02},{900 + 10 * (day % 2)}\n" for day in range(1, 24)))
    assert run(["log", str(path)]) == 0
    told = capsys.readouterr().out
    assert "23 days of December: used 905 Wh a day" in told and "times the plan" in told
    path.write_text("day,out\n2025-12-01,many\n")
    assert run(["log", str(path)]) == 2
    assert "line 2" in capsys.readouterr().err
    assert run(["log", str(tmp_path / "none.csv")]) == 2
    with pytest.raises(DiskTrouble):
        read_log(tmp_path)
