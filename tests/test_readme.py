"""README.md says what is so: its tables and outputs are those of the program, its links lead somewhere, its commands run."""

from __future__ import annotations

import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest

from model.design import Design
from model.record import schema
from model.record.files import read_text
from tests import readme
from tests.readme import README, ROOT, Printed, cut_like, keycap, printed, with_tables
from tui.commandline import COMMANDS

TEXT = README.read_text(encoding="utf-8")
PAPERS = ("README.md", "DEVELOPERS.md", "CHANGELOG.md", "data/SOURCES.md")
RENEW = "python -m tests.readme renews it"
NEEDS_A_NETWORK = ("git clone", "uvx", "uv tool install", "pipx install")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", TEXT, re.DOTALL | re.MULTILINE)


def test_the_tables_are_those_of_the_program() -> None:
    assert with_tables(TEXT) == TEXT, RENEW


def test_every_key_of_a_design_file_is_mentioned() -> None:
    tables = {path: record for path, record, _ in readme.records()}
    assert tables[""] is Design and {"load", "roof.obstacle", "battery.price", "weather"} <= tables.keys()
    for path, record in tables.items():
        assert not path or f"[{path}]" in TEXT
        nested = {inner.key for inner in schema.nested(record).values()}
        for key in schema.keys(record).keys() - nested:
            assert f"| `{key}` |" in TEXT


def test_the_example_of_a_design_file_is_one() -> None:
    (example,) = blocks("toml")
    design = read_text(example)  # refuses whatever is wrong
    assert [load.name for load in design.loads] == ["Fridge"]
    assert list(schema.unknown(tomllib.loads(example))) == []


@pytest.fixture(scope="module")
def runs(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Printed, subprocess.CompletedProcess[str]]]:
    """Every printed command, run in README's order in one folder."""
    folder = tmp_path_factory.mktemp("newcomer")
    return [(one, readme.run(one.line, folder)) for one in printed(TEXT)]


def test_every_printed_command_runs(runs: list[tuple[Printed, subprocess.CompletedProcess[str]]]) -> None:
    assert {one.line.split()[1] for one, _ in runs} >= {"plan", "places", "new"}
    for one, done in runs:
        assert (done.returncode, done.stderr) == (0, ""), one.line


def test_printed_outputs_are_what_comes_out(runs: list[tuple[Printed, subprocess.CompletedProcess[str]]]) -> None:
    for one, done in runs:
        assert cut_like(done.stdout, one.shown) == one.shown, f"{one.line}: {RENEW}"


@pytest.mark.skipif(shutil.which("make") is None, reason="make is not here")
def test_other_command_lines_are_make_targets_or_need_a_network() -> None:
    lines = [line for block in blocks("sh") for line in block.splitlines()]
    targets = {line.split()[1] for line in lines if line.startswith("make ")}
    assert targets == {"run", "test"}
    for line in lines:
        assert line.startswith(("make ", "cd ", *NEEDS_A_NETWORK)), line
    for target in targets:
        subprocess.run(["make", "--dry-run", target], cwd=ROOT, check=True, capture_output=True)


def test_every_command_of_the_command_line_is_in_the_table() -> None:
    for name in COMMANDS:
        assert re.search(rf"^\| `ampledger {name}\b", TEXT, re.MULTILINE), name


@pytest.mark.parametrize("paper", PAPERS)
def test_links_and_pictures_lead_somewhere(paper: str) -> None:
    text = (ROOT / paper).read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if target.startswith(("http://", "https://")):
            continue
        name, _, anchor = target.partition("#")
        found = (ROOT / paper).parent / name if name else ROOT / paper
        assert found.exists(), target
        if anchor:
            assert anchor in headings(found), target


def headings(page: Path) -> set[str]:
    """Anchors of a page's headings, as code hosts make them."""
    titles = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def test_nothing_is_promised_that_the_program_cannot_keep() -> None:
    assert not re.search(r"\b(safe|safely|compliant|approved)\b", TEXT, re.IGNORECASE)


def test_keys_are_named_as_on_the_keyboard() -> None:
    named = [keycap(key) for key in ("l", "M", "ctrl+z", "question_mark", "shift+up", "delete", "f1")]
    assert named == ["l", "Shift+M", "Ctrl+Z", "?", "Shift+Up", "Del", "F1"]


def test_outputs_are_cut_where_the_page_cuts_them() -> None:
    assert cut_like("1\n2\n3\n4\n", ("a", "…", "z")) == ("1", "…", "4")
    assert cut_like("1\n2\n3\n", ("…",)) == ("…",)
    assert cut_like("1 \n2\n", ("old",)) == ("1", "2")
