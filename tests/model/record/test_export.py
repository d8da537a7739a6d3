"""Files that leave the program: each ending, and what happens where something is in the way."""

from __future__ import annotations

import csv
import errno
import json
import os
from pathlib import Path
from xml.etree import ElementTree

import pytest

from model.record import disk
from model.record.export import ENDINGS, DiskTrouble, NotWritten, Subject, check, export
from model.record.report import pdf
from model.record.report.csv import as_csv
from model.record.report.document import Column, Table, text
from tests.model.record.reports import demo, demo_json
from tests.model.record.test_diagram import crowded
from tui.commandline import run

BEGINS = {
    ".html": b"<!DOCTYPE html>", ".pdf": b"%PDF-", ".md": b"# ", ".txt": b"Heron", ".json": b"{", ".svg": b"<svg",
    ".xlsx": b"PK\x03\x04",
}  # fmt: skip


def test_every_ending_has_a_beginning_here():
    assert set(ENDINGS) == {*BEGINS, ".csv"}


@pytest.mark.parametrize("ending", BEGINS)
def test_the_ending_says_what_is_written(tmp_path, ending):
    out = tmp_path / f"plan{ending}"
    assert export(demo(), out) == (out,)
    assert out.read_bytes().startswith(BEGINS[ending])
    assert [path.name for path in tmp_path.iterdir()] == [out.name]


def test_a_design_with_25_circuits_leaves_in_every_form(tmp_path):
    subject = Subject(crowded(25))
    for ending in BEGINS:
        export(subject, tmp_path / f"plan{ending}")
    assert len(list(tmp_path.iterdir())) == len(BEGINS)
    keys = [one.key for one in subject.plan.wiring.circuits]
    drawn = "".join(ElementTree.parse(tmp_path / "plan.svg").getroot().itertext())
    told = (tmp_path / "plan.html").read_text(encoding="utf-8")
    assert len(keys) > 25 and all(key in drawn for key in keys if key[0].isupper()) and all(key in told for key in keys)


def test_json_is_the_contract(tmp_path):
    export(demo(), tmp_path / "plan.json")
    assert json.loads((tmp_path / "plan.json").read_text(encoding="utf-8")) == demo_json()


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_a_folder_takes_every_table_with_all_digits(tmp_path):
    written = export(demo(), f"{tmp_path / 'tables'}/")
    assert {path.name for path in written} >= {
        "loads.csv",
        "months.csv",
        "chemistries.csv",
        "odds.csv",
        "cable-schedule.csv",
    }
    assert set(written) == set((tmp_path / "tables").iterdir())
    loads, wanted = rows(tmp_path / "tables" / "loads.csv"), demo_json()["demand"]["loads"]
    assert [row["Load"] for row in loads] == [load["name"] for load in wanted]
    assert [float(row["Use (Wh a day)"]) for row in loads] == pytest.approx(
        [load["energy_wh_per_day"] for load in wanted],
        rel=1e-14,  # fifteen decimal digits of some seventeen
    )
    months = rows(tmp_path / "tables" / "odds.csv")
    assert [float(row["Chance of an empty day (%)"]) for row in months] == pytest.approx(
        [100 * month["chance_of_empty_day"] for month in demo_json()["storage"]["months"]], rel=1e-14
    )


def test_one_table_goes_by_its_name(tmp_path):
    export(demo(), tmp_path / "months.csv")
    assert len(rows(tmp_path / "months.csv")) == 12
    with pytest.raises(NotWritten, match=r"loads\.csv"):
        export(demo(), tmp_path / "plan.csv")
    assert not (tmp_path / "plan.csv").exists()


def test_what_is_there_is_replaced_only_when_told(tmp_path):
    out = tmp_path / "plan.txt"
    out.write_text("mine")
    with pytest.raises(NotWritten, match="already"):
        export(demo(), out)
    assert out.read_text() == "mine"
    export(demo(), out, force=True)
    assert out.read_text(encoding="utf-8").startswith("Heron")


def test_a_folder_with_the_name_of_a_file_is_no_file(tmp_path):
    (tmp_path / "plan.html").mkdir()
    with pytest.raises(NotWritten, match=r"plan\.html is a folder"):
        check(tmp_path / "plan.html", force=True)
    assert check(f"{tmp_path / 'plan.html'}/", force=False) is None


def test_one_file_in_the_way_keeps_a_folder_as_it_is(tmp_path):
    (tmp_path / "odds.csv").write_text("mine")
    with pytest.raises(NotWritten, match=r"odds\.csv"):
        export(demo(), tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["odds.csv"]


def test_a_link_stays_a_link(tmp_path):
    (tmp_path / "behind.txt").write_text("mine")
    (tmp_path / "plan.txt").symlink_to("behind.txt")
    export(demo(), tmp_path / "plan.txt", force=True)
    assert (tmp_path / "plan.txt").is_symlink()
    assert (tmp_path / "behind.txt").read_text(encoding="utf-8").startswith("Heron")


def full(handle: int, content: bytes) -> None:
    os.write(handle, content[:100])
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("out", ["plan.html", "plan.pdf", "plan.xlsx", "wiring.svg", "months.csv", "tables/"])
def test_a_full_disk_leaves_nothing_behind(tmp_path, monkeypatch, out):
    monkeypatch.setattr(disk, "write_all", full)
    with pytest.raises(DiskTrouble, match=r"[Nn]o space") as caught:
        export(demo(), f"{tmp_path}/{out}")
    assert "\n" not in str(caught.value)
    assert list(tmp_path.iterdir()) == []


def test_pages_that_cannot_be_set_are_one_line_and_no_file(tmp_path, monkeypatch):
    monkeypatch.setattr(pdf, "SETTING", "import sys; sys.exit('no room\\nfor pages')")
    with pytest.raises(NotWritten, match=r"could not be set: no room for pages$"):
        export(demo(), tmp_path / "plan.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_fills_up_half_way_leaves_no_new_folder(tmp_path, monkeypatch):
    write, calls = disk.write_all, []

    def third(handle: int, content: bytes) -> None:
        calls.append(handle)
        (full if len(calls) > 2 else write)(handle, content)

    monkeypatch.setattr(disk, "write_all", third)
    with pytest.raises(DiskTrouble):
        export(demo(), f"{tmp_path}/tables/")
    assert list(tmp_path.iterdir()) == []


def test_a_protected_folder_or_file_is_said_before_anything_is_worked_out(tmp_path, monkeypatch):
    (tmp_path / "plan.html").write_text("mine")
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path) != tmp_path)
    with pytest.raises(DiskTrouble, match="write-protected"):
        check(tmp_path / "new.html")
    monkeypatch.setattr(os, "access", lambda path, mode: Path(path) != tmp_path / "plan.html")
    with pytest.raises(DiskTrouble, match="write-protected"):
        check(tmp_path / "plan.html", force=True)


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The one line of an error."""
    assert run(("export", *arguments)) == 2
    captured = capsys.readouterr()
    assert captured.out == "" and captured.err.count("\n") == 1 and "Traceback" not in captured.err
    return captured.err


def test_the_command_writes_and_says_so(capsys, tmp_path):
    assert run(("export", str(tmp_path / "plan.txt"), "--month", "june")) == 0
    captured = capsys.readouterr()
    assert captured.out == f"{tmp_path / 'plan.txt'} written\n" and captured.err == ""
    assert "June" in (tmp_path / "plan.txt").read_text(encoding="utf-8")


def test_every_refusal_is_one_line(capsys, tmp_path):
    unknown = said(capsys, str(tmp_path / "plan.docx"))
    assert all(ending in unknown for ending in ENDINGS)
    assert "no ending" in said(capsys, str(tmp_path / "plan"))
    assert "folder" in said(capsys, str(tmp_path), str(tmp_path / "plan.txt"))
    assert "no folder" in said(capsys, str(tmp_path / "nowhere" / "plan.txt"))
    assert "nowhere" in said(capsys, f"{tmp_path}/nowhere/at/all/")
    assert "loads.csv" in said(capsys, str(tmp_path / "other.csv"))
    assert "cannot be" in said(capsys, f"{tmp_path}/{'x' * 300}.html")
    assert "cannot be" in said(capsys, f"{tmp_path}/a\0b.html")
    (tmp_path / "plan.md").write_text("mine")
    assert "--force" in said(capsys, str(tmp_path / "plan.md"))
    assert [path.name for path in tmp_path.iterdir()] == ["plan.md"]


def test_texts_stay_texts_in_a_spreadsheet():
    table = Table(
        "",
        (Column("What"),),
        tuple((text(words),) for words in ("1/0", "1-2", "0012", "1E5", "2026-12-24", "C1-1", "12 V")),
    )
    assert as_csv(table).split("\r\n")[1:-1] == ["'1/0", "'1-2", "'0012", "'1E5", "2026-12-24", "C1-1", "12 V"]


def test_csv_files_say_that_they_are_utf_8_and_remarks_go_along(tmp_path):
    written = {path.name: path for path in export(demo(), f"{tmp_path / 'tables'}/")}
    assert all(path.read_bytes().startswith(b"\xef\xbb\xbf") for path in written.values())
    remarks = rows(written["remarks.csv"])
    assert {row["Paper"] for row in remarks} >= {"Shopping list", "Commissioning sheet"}
