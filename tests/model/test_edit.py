"""Edits by path: what is put is there, everything else is the same object, and no path leads astray."""

from dataclasses import fields, is_dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model import edit, entry
from model.design import (
    Battery,
    Circuit,
    Connector,
    Design,
    Load,
    Obstacle,
    Price,
    Roof,
    Run,
    Stop,
    Tap,
    Weather,
)
from model.quantities import Refusal

DESIGN = Design(
    loads=(Load("lamp", power_w=5), Load("fan", power_w=20), Load("pump", current_a=4)),
    roof=Roof(obstacles=(Obstacle("hatch", 1.0, 0.2), Obstacle("fan", 2.0, 0.2))),
    battery=Battery(prices=(Price("LFP", 300), Price("AGM", 150))),
    weather=Weather(ghi_kwh_per_m2_day=(1.0,) * 12),
    stops=(Stop("marsh", arrival="24 Dec"),),
    circuits=(
        Circuit(
            "lamps",
            runs=(Run("panel", "A", conductor="2.5 mm2", connectors=(Connector("plug"),)),),
            taps=(Tap("lamp", "A"),),
        ),
    ),
)


def paths(record, before=""):
    """Every path of a typed field below `record`."""
    found = []
    for item in fields(record):
        value, path = getattr(record, item.name), f"{before}{item.name}"
        if "entry" in item.metadata:
            found.append(path)
        elif isinstance(value, tuple):
            found += [inner for at, row in enumerate(value) for inner in paths(row, f"{path}/{at}/")]
        elif is_dataclass(value):
            found += paths(value, f"{path}/")
    return found


PATHS = paths(DESIGN)
rows = st.lists(st.integers(0, 20).map(lambda number: Load(f"load {number}")), max_size=6).map(tuple)


def test_all_records_have_their_paths():
    assert {
        "month",
        "loads/2/name",
        "roof/obstacles/1/x_m",
        "battery/prices/0/per_kwh",
        "weather/source",
        "circuits/0/runs/0/connectors/0/rating_a",
    } <= set(PATHS)


@pytest.mark.parametrize("path", PATHS)
def test_what_is_put_is_there_and_only_there(path):
    marker = object()
    changed = edit.put(DESIGN, path, marker)
    assert edit.get(changed, path) is marker
    assert all(edit.get(changed, other) is edit.get(DESIGN, other) for other in PATHS if other != path)
    assert edit.put(changed, path, edit.get(DESIGN, path)) == DESIGN
    head = path.split("/")[0]
    for item in fields(Design):
        same = getattr(changed, item.name) is getattr(DESIGN, item.name)
        assert same == (item.name != head), "what did not change stays the same object"


@pytest.mark.parametrize("path", PATHS)
def test_a_field_takes_its_own_text_back(path):
    assert edit.put_text(DESIGN, path, edit.text_at(DESIGN, path)) == DESIGN
    record, name = edit.record_at(DESIGN, path)
    assert edit.hint_at(DESIGN, path) == entry.hint(record, name)


@pytest.mark.parametrize(
    "path",
    [
        "", "/", "colour", "month/", "/month", "loads/", "loads/3", "loads/3/name", "loads/-1", "loads/-1/name", "loads/x/name",
        "loads/ 1/name", "loads/1_0/name", "loads/٢/name", "loads/0/__class__", "loads/0/name/upper", "__class__",
        "system/__init__", "month/real", "loads/99999999999999/name", "loads/0/name/0", "roof/obstacles/2/x_m", "loads/²/name",
    ],
)  # fmt: skip
def test_a_path_that_leads_nowhere_is_a_key_error(path):
    with pytest.raises(KeyError):
        edit.get(DESIGN, path)
    with pytest.raises(KeyError):
        edit.put(DESIGN, path, 1)
    with pytest.raises(KeyError):
        edit.put_text(DESIGN, path, "1")


def test_no_weather_no_field_of_it():
    bare = Design()
    assert edit.hint_at(bare, "weather/source") == entry.hint(Weather, "source")
    with pytest.raises(KeyError):
        edit.get(bare, "weather/source")
    with_it = edit.put(bare, "weather", Weather("typed"))
    assert edit.get(with_it, "weather/source") == "typed"
    assert edit.put(with_it, "weather", None) == bare


def test_a_text_that_does_not_fit_changes_nothing():
    for path, text in [
        ("loads/0/power_w", "fast"),
        ("loads/0/hours_per_day", "25"),
        ("month", "13"),
        ("roof/length_m", "3"),
    ]:
        with pytest.raises(Refusal):
            edit.put_text(DESIGN, path, text)
    assert edit.put_text(DESIGN, "loads/0/power_w", "0,8 kW").loads[0].power_w == 800


@given(rows, st.data())
def test_rows_that_come_and_go_leave_the_others_as_they_were(loads, data):
    design = edit.put(DESIGN, "loads", loads)
    index = data.draw(st.integers(0, len(loads)))
    fresh = data.draw(rows)
    longer = edit.insert(design, "loads", index, fresh)
    assert longer.loads[index : index + len(fresh)] == fresh
    assert edit.remove(longer, "loads", range(index, index + len(fresh))) == design


@given(rows.filter(len), st.data())
def test_a_moved_row_keeps_all_rows_and_comes_back(loads, data):
    design = edit.put(DESIGN, "loads", loads)
    index, by = data.draw(st.integers(0, len(loads) - 1)), data.draw(st.integers(-8, 8))
    moved = edit.move(design, "loads", index, by)
    assert sorted(load.name for load in moved.loads) == sorted(load.name for load in loads)
    target = min(len(loads) - 1, max(0, index + by))
    assert moved.loads[target] is loads[index]
    assert edit.move(moved, "loads", target, index - target) == design


def test_a_duplicate_stands_below_and_tells_its_name():
    twice = edit.duplicate(DESIGN, "loads", 1)
    assert [load.name for load in twice.loads] == ["lamp", "fan", "fan copy", "pump"]
    assert twice.loads[2].power_w == 20
    assert [price.chemistry for price in edit.duplicate(DESIGN, "battery/prices", 0).battery.prices] == [
        "LFP",
        "LFP",
        "AGM",
    ]
    nameless = edit.duplicate(edit.put(DESIGN, "loads", (Load(),)), "loads", 0)
    assert nameless.loads == (Load(), Load())
    longest = "x" * entry.LONGEST_TEXT
    assert entry.read(Load, "name", edit.duplicate(Design(loads=(Load(longest),)), "loads", 0).loads[1].name) == longest


@pytest.mark.parametrize("path", edit.ROWS)
def test_every_list_of_rows_is_one(path):
    assert all(type(row) is edit.ROWS[path] for row in edit.get(DESIGN, path))
    fresh = edit.ROWS[path]()
    assert edit.get(edit.insert(DESIGN, path, 0, [fresh]), f"{path}/0") == fresh
