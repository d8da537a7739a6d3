"""Whatever stands in a file: a message with line, field and way out, or the right design; never a traceback."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Design
from model.record import disk
from model.record.files import Damaged, DiskTrouble, new_text, open_design, read_text

TOP = "format = 1\nname = 'x'\n"  # two lines

# text of the file, line, field, words of the message
CASES = {
    "empty file": ("", 1, "", "format = 1"),
    "some other TOML": ("[project]\nname = 'x'\n", 1, "", "no design file"),
    "later format": ("# van\nformat = 2\n", 2, "format", "newer program"),
    "format as a text": ("format = '1'\n", 1, "format", "format = 1"),
    "format of yes": ("format = true\n", 1, "format", "format = 1"),
    "no value": (TOP + "month =\n", 3, "", "neither"),
    "no quotation marks": (TOP + "month = Dec\n", 3, "", "quotation marks"),
    "text not ended": (TOP + "month = 'Dec\n", 3, "", "has none at its end"),
    "text goes on": (TOP + 'month = "Dec\nyear"\n', 3, "", "must end on the line"),
    "backslash": (TOP + 'month = "a\\d"\n', 3, "", "written twice"),
    "header not ended": (TOP + "[[load]\nname='x'\n", 3, "", "in brackets"),
    "text never ended": (TOP + "month = '''Dec\n\n", 3, "", "has none at its end"),
    "list not ended": (TOP + "[weather]\nirradiation = [1, 2\n", 4, "", "no ] at its end"),
    "stray word": (TOP + "hello\n", 3, "", "key = value"),
    "key twice": (TOP + "[[load]]\nname = 'a'\nname = 'b'\n", 5, "", "second time"),
    "table twice": (TOP + "[roof]\n[roof]\n", 4, "", "second time"),
    "wrong unit": (TOP + "[[load]]\nname = 'Fridge'\npower = '45 Ah'\n", 5, "load “Fridge”, power", ""),
    "hours above 24": (TOP + "[[load]]\n[[load]]\nname = 'Lamp'\n\nhours = '25 h'\n", 7, "load “Lamp”, hours", "24"),
    "hours above 24, bare": (TOP + "load = [\n {hours = 3},\n {hours = 25}]\n", 5, "load 2, hours", "24"),
    "not a number": (TOP + "[[load]]\npower = nan\n", 4, "load 1, power", ""),
    "infinite": (TOP + "[[load]]\npower = -inf\n", 4, "load 1, power", ""),
    "negative": (TOP + "[[load]]\npower = -3\n", 4, "load 1, power", ""),
    "a very long number": (TOP + f"[[load]]\npower = 0x{'f' * 5000}\n", 4, "load 1, power", "too long"),
    "yes for a number": (TOP + "[[load]]\nhours = true\n", 4, "load 1, hours", "true"),
    "date for a text": (TOP + "month = 2020-01-01\n", 3, "month", "one value belongs here"),
    "list for a value": (TOP + "[place]\nname = 'x'\nlatitude = [1]\n", 5, "place, latitude", "one value belongs here"),
    "value for a table": ("place = 'Seville'\nformat = 1\n", 1, "place", "[place]"),
    "table for rows": (TOP + "[load]\nname = 'x'\n", 3, "load", "[[load]]"),
    "number for a row": (TOP + "load = [{}, 3]\n", 3, "load 2", "[[load]]"),
    "rows for a table": (TOP + "[[roof]]\n", 3, "roof", "[roof]"),
    "value for a list": (TOP + "[weather]\nirradiation = true\n", 4, "weather, irradiation", "list"),
    "table in a list": (TOP + "[weather]\nirradiation = [1,\n{}]\n", 5, "weather, irradiation 2", "one value"),
    "eleven months": (
        TOP + "[weather]\nirradiation = [1,2,3,4,5,6,7,8,9,1,1]\n",
        4,
        "weather, irradiation",
        "12 values",
    ),
    "weather without irradiation": (TOP + "[weather]\nlowest = -3\n", 3, "weather", "irradiation"),
    "unknown month": (TOP + "month = 'Decembre'\n", 3, "month", "Dec"),
    "unknown choice": (TOP + "[battery]\nchemistry = 'lead'\nplace='moon'\n", 5, "battery, place", "outside"),
    "control character": (TOP + '[[load]]\nname = "a\\u001bb"\n', 4, "load 1, name", "character"),
    "deep in a row": (TOP + "[roof]\n[[roof.obstacle]]\n[[roof.obstacle]]\nx = '3 W'\n", 6, "roof, obstacle 2, x", ""),
    "Windows line ends": ("format = 1\r\n\r\n[[load]]\r\nhours = 30\r\n", 4, "load 1, hours", "24"),
    "a key without end": (TOP + "[" + "a . " * 100_000 + "b]\n", 3, "", "fifty parts"),
    "too many rows": (TOP + "[[load]]\n" * 1001, 1003, "load 1001", "1000"),
}


@pytest.mark.parametrize("case", CASES)
def test_each_kind_of_damage_is_told_with_line_field_and_way_out(tmp_path: Path, case: str) -> None:
    text, line, field, words = CASES[case]
    path = tmp_path / "heron.toml"
    path.write_bytes(text.encode())
    with pytest.raises(Damaged) as caught:
        open_design(path)
    damaged = caught.value
    assert (damaged.path, damaged.line, damaged.field) == (path, line, field)
    said = str(damaged)
    assert said.startswith(f"heron.toml, line {line}{', ' if field else ''}{field}: ")
    assert words in said
    assert "\n" not in said
    assert said.isprintable()
    assert "correct it in a text editor" in said


def test_everything_wrong_is_found_at_once_and_counted(tmp_path: Path) -> None:
    path = tmp_path / "heron.toml"
    path.write_text("format = 1\nmonth = 13\n[place]\nlatitude = {}\n[[load]]\nhours = 25\nduty = 'much'\n")
    path.with_name("heron.toml~").write_text("format = 1\n")
    with pytest.raises(Damaged) as caught:
        open_design(path)
    assert [(one.line, one.field) for one in caught.value.problems] == [
        (2, "month"), (4, "place, latitude"), (6, "load 1, hours"), (7, "load 1, duty"),
    ]  # fmt: skip
    assert "(and 3 more: line 4, 6, 7)" in str(caught.value)
    assert "heron.toml~" in str(caught.value)


@pytest.mark.parametrize(
    ("content", "line", "words"),
    [
        (b"format = 1\n\xff\xfe\n", 2, "UTF-8"),
        (b"format = 1\nname = '\xe9t\xe9'\n", 2, "UTF-8"),
        ("format = 1\n".encode("utf-16"), 1, "UTF-8"),
        (b"format = 1\nname = '\0'\n", 2, "NUL"),
        (b"\x7fELF\0\0", 1, "NUL"),
        (b"format = 1\nx = " + b"[" * 100_000, None, "nested"),
        (b"format = 1\nx = " + b"9" * 10_000 + b"\n", None, "TOML"),
        (b"format = 1\rname = 'x'\r", 1, ""),
    ],
)
def test_what_is_no_text(tmp_path: Path, content: bytes, line: int | None, words: str) -> None:
    path = tmp_path / "heron.toml"
    path.write_bytes(content)
    with pytest.raises(Damaged) as caught:
        open_design(path)
    assert caught.value.line == line
    assert words in str(caught.value)
    assert str(caught.value).isprintable()


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
@settings(deadline=None, max_examples=200)
def test_any_bytes_give_a_message_or_a_design(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.toml"
    for whole in (content, b"format = 1\n" + content, b"format = 1\n[[load]]\nname = " + content):
        path.write_bytes(whole)
        try:
            assert isinstance(open_design(path).design, Design)
        except Damaged as damaged:
            assert str(damaged).isprintable()


LINES = st.sampled_from(
    ["[[load]]", "[roof]", "[[roof.obstacle]]", "load", "hours", "weather", "=", "{", "}", "[", "]", ",", "."]
)
VALUES = st.sampled_from(
    ["'45 W'", "3", "-1e9", "nan", "true", "1979-05-27 07:32:00", '"""', "'", "#", " ", "\n", "\r\n", "name"]
)


@given(st.lists(LINES | VALUES, max_size=30))
@settings(deadline=None, max_examples=300)
def test_any_pieces_of_a_design_file_give_a_message_or_a_design(pieces: list[str]) -> None:
    try:
        design = read_text("format = 1\n" + "".join(pieces))
    except Damaged as damaged:
        assert str(damaged).isprintable()
    else:
        assert read_text(new_text(design)) == design


@given(st.data())
@settings(deadline=None, max_examples=60)
def test_a_design_file_with_one_wound(data: st.DataObject) -> None:
    text = new_text(Design())
    at = data.draw(st.integers(0, len(text)))
    wound = data.draw(st.text("[]{}=\"'#\n,.x9\\", max_size=3))
    try:
        read_text(text[:at] + wound + text[at + data.draw(st.integers(0, 5)) :])
    except Damaged as damaged:
        assert str(damaged).isprintable()


def test_no_file_a_folder_a_pipe_a_socket_a_device(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / "loop.toml").symlink_to(tmp_path / "loop.toml")
    names = {
        "missing.toml": "no such file",
        ".": "folder",
        "pipe.toml": "pipe",
        "loop.toml": "symbolic link",
        "a\0b": "null byte",
    }
    for name, words in names.items():
        with pytest.raises(DiskTrouble, match=words) as caught:
            open_design(tmp_path / name)
        assert "\n" not in str(caught.value)
    with pytest.raises(DiskTrouble, match="device"):
        open_design("/dev/zero")
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(tmp_path / "s"))
        with pytest.raises(DiskTrouble):
            open_design(tmp_path / "s")


def test_a_huge_file_is_refused_without_being_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.toml"
    with path.open("wb") as file:
        file.truncate(20_000_000_000)  # a sparse file: it takes no room
    with pytest.raises(DiskTrouble, match="larger than 5 MB"):
        open_design(path)
    path.write_bytes(b"format = 1\n" + b"#" * (disk.LARGEST_BYTES - 11))
    assert open_design(path).design == Design()
