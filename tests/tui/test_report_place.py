"""The report on the screen: chosen, looked at, written, and never over something unasked."""

from __future__ import annotations

import json
from pathlib import Path
from zipfile import ZipFile

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from tests.tui.conftest import opened, press, screen_text
from tui.screens.report import KINDS, ReportPlace


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Everything is written into a folder of the test's own."""
    folder = tmp_path / "van"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.setenv("AMPLEDGER_FOLDER", str(folder))
    return folder


async def reported(pilot: Pilot[None]) -> ReportPlace:
    """The report, put together."""
    await press(pilot, "r")
    place = pilot.app.query_one(ReportPlace)
    await until(pilot, lambda: place.document is not None)
    return place


async def until(pilot: Pilot[None], holds: object, patience_s: float = 20) -> None:
    """Wait as long as it takes, and no longer than is reasonable."""
    for _ in range(int(patience_s / 0.05)):
        if holds():  # type: ignore[operator]
            return
        await pilot.pause(0.05)
    raise AssertionError(screen_text(pilot.app))


async def put_on(pilot: Pilot[None], place: ReportPlace, wanted: str) -> None:
    """Put the cursor on a section or on a kind of file."""
    place.choices.focus()
    place.choices.highlighted = place.choices.get_option_index(wanted)
    await pilot.pause(0.05)


async def write(pilot: Pilot[None], place: ReportPlace, ending: str, name: str) -> None:
    """Write one kind of file under a name."""
    await put_on(pilot, place, f"kind:{ending}")
    await pilot.press("enter")
    await until(pilot, lambda: pilot.app.screen.query(Input))
    pilot.app.screen.query_one(Input).value = name
    await pilot.press("enter")
    await pilot.pause(0.05)


async def test_every_kind_of_file_is_written_and_its_path_copied(here: Path) -> None:
    begins = {".html": b"<!doctype html>", ".pdf": b"%PDF-", ".md": b"# Heron", ".xlsx": b"PK", ".svg": b"<svg", ".txt": b"Heron",
              ".json": b"{", "": b""}  # fmt: skip
    assert begins.keys() == KINDS.keys()
    async with opened(size=(120, 40)) as pilot:
        place = await reported(pilot)
        for ending, head in begins.items():
            target = here / (f"out{ending}" if ending else "tables")
            await write(pilot, place, ending, target.name)
            await until(pilot, lambda: "Written: " in screen_text(pilot.app) and target.exists())  # noqa: B023
            await until(pilot, lambda: pilot.app.clipboard == str(target))  # noqa: B023
            if ending:
                assert target.read_bytes().lstrip(b"\xef\xbb\xbf")[: len(head)].lower() == head.lower(), ending
        assert {"loads.csv", "months.csv", "cable-schedule.csv"} & {one.name for one in (here / "tables").iterdir()}
        assert json.loads((here / "out.json").read_text(encoding="utf-8"))["design"]["system_v"] == 12
        assert ZipFile(here / "out.xlsx").testzip() is None


async def test_a_file_that_is_there_is_asked_about(here: Path) -> None:
    target = here / "plan.md"
    target.write_text("mine", encoding="utf-8")
    async with opened() as pilot:
        place = await reported(pilot)
        await write(pilot, place, ".md", "plan.md")
        await until(pilot, lambda: "there already" in screen_text(pilot.app))
        await pilot.press("k")
        await pilot.pause(0.1)
        assert target.read_text(encoding="utf-8") == "mine"
        await write(pilot, place, ".md", "plan.md")
        await until(pilot, lambda: "there already" in screen_text(pilot.app))
        await pilot.press("r")
        await until(pilot, lambda: target.read_text(encoding="utf-8") != "mine")


async def test_sections_that_are_left_out_are_neither_written_nor_copied(here: Path) -> None:
    async with opened() as pilot:
        place = await reported(pilot)
        await put_on(pilot, place, "section:loads")
        assert "Compressor fridge" in screen_text(pilot.app)
        await pilot.press("space")
        assert "– Loads" in screen_text(pilot.app)
        await put_on(pilot, place, "section:working")
        await press(pilot, "x")
        assert place.left_out == {"loads", "working"}
        await press(pilot, "C")
        await write(pilot, place, ".md", "short.md")
        await until(pilot, lambda: (here / "short.md").exists())
        heads = [
            line for line in (here / "short.md").read_text(encoding="utf-8").splitlines() if line.startswith("## ")
        ]
        assert "## The answers" in heads and "## Circuits" in heads
        assert "## Loads" not in heads and "## The working of every figure" not in heads
        await put_on(pilot, place, "section:loads")
        await pilot.press("enter")
        assert place.left_out == {"working"}


async def test_what_cannot_be_written_is_said_in_one_line(here: Path) -> None:
    refused = {"nowhere/plan.md": "no folder", "plan.odt": "no ending that is known", "../plan.md": "outside"}
    async with opened() as pilot:
        place = await reported(pilot)
        for name, said in refused.items():
            await write(pilot, place, ".md", name)
            await until(pilot, lambda: said in " ".join(screen_text(pilot.app).split()))  # noqa: B023
            await pilot.press("escape")  # a path that leads out is refused within the dialog
            await pilot.pause(0.05)
            assert list(here.iterdir()) == []


async def test_writing_is_offered_everywhere_and_follows_the_latest_edit(here: Path) -> None:
    async with opened() as pilot:
        await press(pilot, "x")  # the refrigerator no longer counts
        await press(pilot, "O")
        await until(pilot, lambda: pilot.app.screen.query(Input))
        pilot.app.screen.query_one(Input).value = "now.json"
        await pilot.press("enter")
        await until(pilot, lambda: (here / "now.json").exists())
        loads = json.loads((here / "now.json").read_text(encoding="utf-8"))["demand"]["loads"]
        assert [one["energy_wh_per_day"] for one in loads if one["name"] == "Compressor fridge"] in ([], [0.0])


async def test_the_shopping_list_goes_to_the_shop_alone(here: Path) -> None:
    async with opened() as pilot:
        place = await reported(pilot)
        await put_on(pilot, place, "section:papers")
        await press(pilot, "v")
        assert "each paper by itself" in screen_text(pilot.app)
        await put_on(pilot, place, "section:paper-shopping")
        await press(pilot, "X")
        await write(pilot, place, ".md", "shop.md")
        await until(pilot, lambda: (here / "shop.md").exists())
        heads = [line for line in (here / "shop.md").read_text(encoding="utf-8").splitlines() if line.startswith("#")]
        assert [head.lstrip("# ") for head in heads[1:]] == ["Papers of the job", "Shopping list"]
        await put_on(pilot, place, "section:paper-shopping")
        await press(pilot, "x")
        await write(pilot, place, ".md", "nothing.md")
        await until(pilot, lambda: "every section is left out" in " ".join(screen_text(pilot.app).split()))
        await put_on(pilot, place, "section:papers")
        await press(pilot, "x", "x")  # out as a whole, in again as they were
        await press(pilot, "X", "X")
        assert not place.left_out and not (here / "nothing.md").exists()


async def test_tables_for_programs_are_all_written_whatever_goes_into_the_report(here: Path) -> None:
    """And a link among those that are there does not lead out."""
    mine = here.parent / "mine.csv"
    mine.write_text("mine", encoding="utf-8")
    (here / "linked").mkdir()
    (here / "linked" / "loads.csv").symlink_to(mine)
    async with opened() as pilot:
        place = await reported(pilot)
        await put_on(pilot, place, "section:loads")
        await press(pilot, "x")
        await write(pilot, place, "", "tables")
        await until(pilot, lambda: (here / "tables" / "loads.csv").exists())
        await until(pilot, lambda: "Written: " in screen_text(pilot.app))
        await write(pilot, place, "", "linked")
        await until(pilot, lambda: "lies outside" in " ".join(screen_text(pilot.app).split()))
        assert mine.read_text(encoding="utf-8") == "mine"


async def test_an_edit_shows_in_the_preview(here: Path) -> None:
    async with opened() as pilot:
        await reported(pilot)
        await press(pilot, "m")
        await until(pilot, lambda: "for January" in screen_text(pilot.app))


async def test_no_name_is_cut(here: Path) -> None:
    async with opened(size=(160, 50)) as pilot:
        place = await reported(pilot)
        await press(pilot, "v")
        for size in ((160, 50), (80, 24), (60, 20)):
            await pilot.resize_terminal(*size)
            await pilot.pause(0.05)
            room = place.query_one(OptionList).size.width
            assert all(len(str(option.prompt)) <= room for option in place.choices.options)
