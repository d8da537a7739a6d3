"""Design files keep everything that was entered. Oracle for TOML itself: tomlkit, a second, independent parser."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import fields, replace
from pathlib import Path

import pytest
import tomlkit
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from model import entry
from model.design import Design, Load, Place, Price, Roof, Weather
from model.record import files, schema
from model.record.files import new_text, open_design, peek, read_text, save, untitled
from model.record.layout import lay_out
from tests.model.record.designs import designs, values

# Designs have a hundred fields: shrinking a failing one takes minutes and shows little.
COMMON = settings(
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def every_record(record: type = Design) -> set[type]:
    return {record}.union(*(every_record(inner.record) for inner in schema.nested(record).values()))


@given(designs())
@settings(COMMON, max_examples=40)
def test_a_new_file_gives_the_design_back(design: Design) -> None:
    assert read_text(new_text(design)) == design


@pytest.mark.parametrize(
    ("record", "name"),
    [
        (record, name)
        for record in sorted(every_record(), key=lambda one: one.__name__)
        for name in entry.entries(record)
    ],
    ids=lambda part: part if isinstance(part, str) else part.__name__,
)
def test_each_field_alone_comes_back(record: type, name: str) -> None:
    @given(values(record, name))
    @settings(COMMON, max_examples=8)
    def check(value: object) -> None:
        changed = replace(record(), **{name: value})
        design = _holding(changed)
        assert read_text(new_text(design)) == design

    check()


def _holding(record: object) -> Design:
    """A design with `record` in it, however deep; weather, which is none without its irradiation, gets some."""
    if isinstance(record, Weather) and not record.ghi_kwh_per_m2_day:
        record = replace(record, ghi_kwh_per_m2_day=(1.0,) * 12)
    found = _within(Design(), record)
    assert isinstance(found, Design)
    return found


def _within(holder: object, record: object) -> object | None:
    """`holder` with `record` in its place below it; None where none of its fields holds such a record."""
    if type(holder) is type(record):
        return record
    for name, inner in schema.nested(type(holder)).items():
        made = _within(inner.record(), record)
        if made is not None:
            return replace(holder, **{name: (made,) if inner.shape == "list" else made})  # type: ignore[type-var]
    return None


def test_every_field_of_the_design_has_a_place_in_the_file() -> None:
    for record in every_record():
        known = set(schema.keys(record).values())
        assert known == {item.name for item in fields(record)}
        assert len(schema.keys(record)) == len(known), f"two fields of {record.__name__} share a key"


@given(designs())
@settings(COMMON, max_examples=25)
def test_a_second_parser_reads_the_same_tables(design: Design) -> None:
    text = new_text(design)
    assert tomlkit.parse(text).unwrap() == files.tomllib.loads(text)


@given(designs())
@settings(COMMON, max_examples=8)
def test_the_layout_finds_every_value_where_it_stands(design: Design) -> None:
    text = new_text(design)
    layout, whole = lay_out(text), files.tomllib.loads(text)
    for path, span in layout.values.items():
        value: object = whole
        for step in path:
            value = value[step]  # type: ignore[index]
        assert files.tomllib.loads(f"k = {text[span.start : span.end]}")["k"] == value


def test_layout_of_every_way_to_write_toml() -> None:
    text = (
        "# title\n"
        'a = """one\n"two" \'\'\' # not a comment\n\\""""  # comment [x]\n'
        "b.'c d'.\"e\\u0041\" = '''x\n''y'''\n"
        "when = 1979-05-27 07:32:00Z\n"
        "[t.u]\r\n"
        "v = [1, [2, {w = 3, x.y = [4]}], # five ]\n  6,]\n"
        '  [[t.z]] # z\n\tq = true\n[t.z.deep]\nr=-1e5\n[[t.z]]\nq=""\n'
    )
    layout = lay_out(text)
    pieces = {path: text[span.start : span.end] for path, span in layout.values.items()}
    assert pieces["b", "c d", "eA"] == "'''x\n''y'''"
    assert pieces[("when",)] == "1979-05-27 07:32:00Z"
    assert pieces["t", "u", "v", 1, 1, "x", "y", 0] == "4"
    assert pieces["t", "u", "v", 2] == "6"
    assert [pieces["t", "z", at, "q"] for at in (0, 1)] == ["true", '""']
    assert pieces["t", "z", 0, "deep", "r"] == "-1e5"
    assert pieces[("a",)].count("\n") == 2
    lines = text.split("\n")
    expected = {
        ("when",): "when = 1979-05-27 07:32:00Z",
        ("t", "u", "v", 2): "6,]",
        ("t", "z", 0, "deep", "r"): "r=-1e5",
        ("t", "z", 1): "[[t.z]]",
        ("t", "z", 1, "q"): 'q=""',
    }
    assert {path: lines[layout.line(path) - 1].strip() for path in expected} == expected


def test_numbers_booleans_and_other_spellings_are_read() -> None:
    design = read_text(
        "format = 1\nmonth = 7\nmonths_of_use = 'Apr - sep'\n"
        "system.voltage = 24\ninverter = {fitted = true, curve = 'poor'}\n"
        "load = [{name = 'Fan', quantity = 2, power = 45, hours = 3.5, follows_heat = 'yes', on = false}]\n"
    )
    assert (design.month, design.months_of_use, design.system.nominal_v) == (7, (4, 5, 6, 7, 8, 9), 24)
    assert design.inverter.fitted is True
    assert design.loads == (Load("Fan", 2, power_w=45, hours_per_day=3.5, follows_heat=True, on=False),)


def test_small_numbers_do_not_turn_into_exponents() -> None:
    assert read_text("format = 1\n[[load]]\npower = 0.00001\n").loads[0].power_w == 0.00001


def test_unknown_keys_are_reported_with_their_line_and_a_guess(tmp_path: Path) -> None:
    path = tmp_path / "heron.toml"
    path.write_text('format = 1\ncolour = "green"\n[[load]]\nname = "Fridge"\nhour = "3 h"\n[extra]\nx = 1\n')
    notes = open_design(path).notes
    assert [note.split(":")[0] for note in notes] == [
        "heron.toml, line 2, colour",
        "heron.toml, line 5, load “Fridge”, hour",
        "heron.toml, line 6, extra",
    ]
    assert "“hours”" in notes[1]


def test_peek_gives_raw_texts_without_the_unit_library(tmp_path: Path) -> None:
    path = tmp_path / "heron.toml"
    path.write_text('format = 1\n[[load]]\nname = "Fridge"\npower = "nonsense"\nquantity = 2\non = false\n')
    code = (
        "import sys; from model.record.files import peek; print(peek(sys.argv[1]));"
        "print([name for name in ('pint', 'msgspec', 'platformdirs', 'numpy', 'pandas') if name in sys.modules])"
    )
    root = Path(files.__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True, cwd=root)
    rows, loaded = done.stdout.splitlines()
    assert rows == str([{"name": "Fridge", "power": "nonsense", "quantity": "2", "on": "no"}])
    assert loaded == "[]"


@pytest.mark.parametrize("content", [b"", b"\xff\x00", b"load = 3", b"load = [3]", b"load = {a = 1}", b"x = [" * 5000])
def test_peek_at_rubbish_shows_nothing(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(content)
    assert peek(path) == []
    assert peek(tmp_path) == peek(tmp_path / "missing.toml") == []


def test_a_new_file_reads_well() -> None:
    design = Design(
        name="Heron",
        place=Place("Marsh", 37.1, -6.4),
        loads=(Load("Fridge", power_w=45.0, hours_per_day=24.0), Load("Lamp", 6, power_w=1.75, hours_per_day=5.0)),
        battery=replace(Design().battery, prices=(Price("LFP", 300.0),)),
        roof=Roof(),
    )
    text = new_text(design)
    assert text.startswith("# ")
    assert text.isprintable() or all(line.isprintable() for line in text.split("\n"))
    assert max(map(len, text.split("\n"))) <= 120
    assert text.endswith('[[load]]\nname = "Lamp"\nquantity = 6\npower = "1.75 W"\nhours = "5 h"\n')
    commented = [line for line in text.split("\n\n") if line.startswith("#")]
    assert len(commented) >= 10, "each table says what it is for"


@given(st.lists(designs(), min_size=2, max_size=2))
@settings(COMMON, max_examples=15)
def test_saving_over_a_design_of_ours_and_opening_again(
    tmp_path_factory: pytest.TempPathFactory, pair: list[Design]
) -> None:
    path = tmp_path_factory.mktemp("d") / "van.toml"
    first = save(untitled(pair[0]), pair[0], path)
    again = save(open_design(path), pair[1])
    assert (first.notes, again.notes) == ((), ())
    assert open_design(path).design == pair[1]
    if pair[0] != pair[1]:
        assert files.backup_of(path).read_text("utf-8") == first.document
