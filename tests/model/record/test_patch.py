"""What the owner wrote by hand survives every edit made on screen."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from model.design import Battery, Connector, Design, Load, Obstacle, Price, Run, Tap, Weather
from model.record.files import new_text, open_design, read_text, save
from model.record.patch import pairs, patch
from tests.model.record.designs import designs

COMMON = settings(
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

HAND_WRITTEN = """\
# Our van, second try.
format = 1        # do not touch
name = 'Heron'
month   =   "dec"  # the dark one

[system]
voltage = 12      # as bought
my_note = "ask Kim"

# -- loads --

# bought at the market
[[load]]
name = "Fridge"   # the small one
power = "0,045 kW"
hours = "24h"
shelf = 3

# a present
[[load]]
  name = "Lamp"
  quantity = 6
  power = "1.75 W"
  # five hours in winter
  hours = 5

[[load]]
name = "Heater"
current = "1.5 A"
# heater: see manual, page 4

# the end
[battery]
autonomy_days = 2.0
[mine]
x = [1, 2]
"""


def hand_written() -> Design:
    return read_text(HAND_WRITTEN)


def edited(change: Design) -> str:
    text = patch(HAND_WRITTEN, hand_written(), change)
    assert read_text(text) == change
    return text


def test_one_value_changes_and_nothing_else() -> None:
    design = hand_written()
    change = replace(design, loads=(replace(design.loads[0], hours_per_day=12.0), *design.loads[1:]))
    assert edited(change) == HAND_WRITTEN.replace('"24h"', '"12 h"')


def test_a_new_key_joins_its_table_and_leaves_the_comment_of_the_next_alone() -> None:
    design = hand_written()
    change = replace(design, loads=(design.loads[0], replace(design.loads[1], duty=0.5), design.loads[2]))
    lines = edited(change).split("\n")
    at = lines.index("  hours = 5")
    assert lines[at + 1].startswith("  duty = ")
    assert lines[at + 2] == ""
    del lines[at + 1]
    assert "\n".join(lines) == HAND_WRITTEN


def test_a_removed_row_takes_its_own_comment_and_leaves_the_next() -> None:
    design = hand_written()
    text = edited(replace(design, loads=(design.loads[0], design.loads[2])))
    start, end = HAND_WRITTEN.index("# a present"), HAND_WRITTEN.index('[[load]]\nname = "Heater"')
    assert text == HAND_WRITTEN[:start] + HAND_WRITTEN[end:]


def test_removing_the_last_row_leaves_the_comment_of_the_next_table() -> None:
    design = hand_written()
    text = edited(replace(design, loads=design.loads[:2]))
    start, end = HAND_WRITTEN.index('[[load]]\nname = "Heater"'), HAND_WRITTEN.index("# the end")
    assert text == HAND_WRITTEN[:start] + HAND_WRITTEN[end:]


def test_rows_move_with_their_comments_and_unknown_keys() -> None:
    design = hand_written()
    text = edited(replace(design, loads=(design.loads[2], design.loads[0], design.loads[1])))
    assert (
        text.index("see manual")
        < text.index("bought at the market")
        < text.index("shelf = 3")
        < text.index("a present")
    )
    assert sorted(text.split("\n")) == sorted(HAND_WRITTEN.split("\n"))
    assert text.index("# -- loads --") < text.index("[[load]]")


@pytest.mark.parametrize("place", range(4))
def test_an_added_row_stands_where_it_was_put(place: int) -> None:
    design = hand_written()
    loads = [*design.loads]
    loads.insert(place, Load("Pump", power_w=60.0))
    text = edited(replace(design, loads=tuple(loads)))
    assert [row["name"] for row in tomllib.loads(text)["load"]] == [load.name for load in loads]
    block = '[[load]]\nname = "Pump"\nquantity = 1\npower = "60 W"\nhours = "0 h"\n\n'
    assert text.replace(block, "", 1) == HAND_WRITTEN


def test_all_rows_go_and_come_back() -> None:
    design = hand_written()
    bare = edited(replace(design, loads=()))
    assert "[[load]]" not in bare
    assert "# -- loads --" in bare
    assert "# the end" in bare
    assert read_text(patch(bare, read_text(bare), design)) == design


def test_tables_that_are_not_there_yet() -> None:
    design = hand_written()
    change = replace(
        design,
        weather=Weather(ghi_kwh_per_m2_day=tuple(map(float, range(1, 13)))),
        roof=replace(design.roof, obstacles=(Obstacle("fan"),)),
        battery=replace(design.battery, prices=(Price("AGM", 150.0),)),
        place=replace(design.place, name="Marsh"),
    )
    text = edited(change)
    assert [line for line in HAND_WRITTEN.split("\n") if line not in text.split("\n")] == []
    without = replace(change, weather=None, roof=design.roof)
    assert read_text(patch(text, change, without)) == without


def test_a_value_taken_away_keeps_its_line() -> None:
    design = hand_written()
    text = edited(replace(design, loads=(replace(design.loads[0], power_w=None), *design.loads[1:])))
    assert text == HAND_WRITTEN.replace('"0,045 kW"', '""')


def test_inline_tables_and_dotted_keys_are_patched_too() -> None:
    text = 'format = 1\nplace.name = "x" # here\nroof = {length = "2 m"}\nload = [{name = "a"}, {name = "b"}] # two\n'
    old = read_text(text)
    new = replace(
        old,
        place=replace(old.place, latitude_deg=5.0),
        roof=replace(old.roof, width_m=1.0),
        loads=(old.loads[0], replace(old.loads[1], quantity=3.0)),
    )
    patched = patch(text, old, new)
    assert read_text(patched) == new
    assert "# here" in patched
    assert "# two" in patched


def test_what_cannot_be_patched_is_written_anew_and_said(tmp_path: Path) -> None:
    path = tmp_path / "inline.toml"
    path.write_text('format = 1\n# rows\nload = [{name = "a"}, {name = "b"}]\n')
    opened = open_design(path)
    saved = save(opened, replace(opened.design, loads=opened.design.loads[1:]))
    assert "written anew" in saved.notes[0]
    assert open_design(path).design == saved.design
    assert "# rows" in path.with_name("inline.toml~").read_text()


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("tail", ["", "last"])
def test_line_ends_mark_and_missing_last_newline_stay(tmp_path: Path, end: str, mark: bytes, tail: str) -> None:
    text = HAND_WRITTEN.replace("\n", end)
    content = mark + (text.rstrip("\r\n") if tail else text).encode()
    path = tmp_path / "van.toml"
    path.write_bytes(content)
    opened = open_design(path)
    assert save(opened, opened.design).notes == opened.notes
    assert path.read_bytes() == content
    loads = opened.design.loads
    changed = replace(
        opened.design,
        loads=(Load("Pump"), loads[1], replace(loads[0], quantity=2.0)),
        battery=Battery(margin=0.2),
    )
    saved = save(opened, changed)
    after = path.read_bytes()
    assert not any("anew" in note for note in saved.notes)
    assert after.startswith(mark + b"# Our van")
    assert after.endswith(end.encode()) is not bool(tail)
    assert after.count(b"\r\n") == (after.count(b"\n") if end == "\r\n" else 0)


@given(designs(), st.data())
@settings(COMMON, max_examples=20)
def test_any_edit_of_any_design_keeps_the_comments_of_all_that_stays(before: Design, data: st.DataObject) -> None:
    """Every line carries a comment of its own; afterwards those of removed loads are gone, the others stand with their load."""
    before = replace(before, loads=tuple(replace(load, name=f"load {at}") for at, load in enumerate(before.loads)))
    text = commented(new_text(before))
    assert read_text(text) == before
    kept = data.draw(st.lists(st.sampled_from(range(len(before.loads))), unique=True)) if before.loads else []
    loads = [replace(before.loads[at], quantity=data.draw(st.integers(0, 9).map(float))) for at in kept]
    added = data.draw(st.integers(0, len(loads)))
    loads.insert(added, Load("added"))
    after = replace(data.draw(designs()), loads=tuple(loads), weather=before.weather)
    patched = patch(text, before, after)
    assert read_text(patched) == after
    old_blocks, new_blocks = blocks(text), blocks(patched)
    for table in ("", "system", "place", "weather", "inverter", "roof", "module", "array", "controller", "battery"):
        assert NOTES.findall(old_blocks.get(table, [""])[0]) == NOTES.findall(new_blocks.get(table, [""])[0])
    expected = [NOTES.findall(old_blocks["load"][at]) for at in kept]
    expected.insert(added, [])
    assert [NOTES.findall(block) for block in new_blocks["load"]] == expected


CIRCUITS = """\
format = 1

# lamps first
[[circuit]]
name = "Lamps"  # all six

# along the ceiling
[[circuit.run]]
to = "A"  # first lamp

# the pump
[[circuit]]
name = "Pump"
# end of the pump

[battery]
autonomy_days = 2.0  # asked
"""


@pytest.mark.parametrize("place", [0, 1])
def test_rows_within_a_row_are_added_and_removed_within_it(place: int) -> None:
    """A header means the row above it, so runs and taps of the first circuit must not come to stand below the second."""
    design = read_text(CIRCUITS)
    circuit = design.circuits[place]
    wider = replace(circuit, runs=(*circuit.runs, Run("A", "B")), taps=(Tap("Lamp", "A"), Tap("Lamp", "B")))
    wider = replace(wider, runs=(replace(wider.runs[0], connectors=(Connector("plug"),)), *wider.runs[1:]))
    for changed in (wider, replace(circuit, runs=(), taps=()), replace(wider, runs=())):
        circuits = (changed, design.circuits[1]) if place == 0 else (design.circuits[0], changed)
        for new in (replace(design, circuits=circuits), replace(design, circuits=circuits[::-1])):
            text = patch(CIRCUITS, design, new)
            assert read_text(text) == new
            assert all(note in text for note in ("# lamps first", "# all six", "# the pump", "# end of", "# asked"))
            assert read_text(back := patch(text, new, design)) == design
            assert all(note in back for note in ("# lamps first", "# all six", "# the pump", "# end of", "# asked"))


def test_all_of_the_rows_within_a_row_are_replaced_by_others() -> None:
    """The removed one ends where its circuit ends, and so does what is added: both edits meet at one place."""
    design = read_text(CIRCUITS)
    first = replace(design.circuits[0], runs=(Run("X", "Y", 9.0, "4 mm2"),), taps=(Tap("Lamp", "Y"),))
    text = patch(CIRCUITS, design, replace(design, circuits=(first, design.circuits[1])))
    assert read_text(text).circuits == (first, design.circuits[1])


NOTES = re.compile(r"# note[0-9]+\.$", re.MULTILINE)


def commented(text: str) -> str:
    """Each header and key with a comment behind it; lines of lists that run over several lines without."""
    lines = text.split("\n")
    plain = [re.fullmatch(r"\[+[a-z.]+\]+|[a-z_]+ = .*[^\[]", line) is not None for line in lines]
    return "\n".join(f"{line}  # note{at}." if plain[at] else line for at, line in enumerate(lines))


def blocks(text: str) -> dict[str, list[str]]:
    """Header -> the texts under it, in order; "" for what stands above the first."""
    found: dict[str, list[str]] = {}
    for part in re.split(r"^(?=\[)", text, flags=re.MULTILINE):
        header = re.match(r"\[+([a-z.]+)\]+", part)
        found.setdefault(header[1] if header else "", []).append(part)
    return found


def test_a_renamed_row_keeps_its_comments_while_others_come_and_go() -> None:
    design = hand_written()
    first, second, third = design.loads
    text = edited(replace(design, loads=(Load("Pump"), replace(first, name="Compressor fridge"), third)))
    assert (
        text.index('name = "Pump"')
        < text.index("bought at the market")
        < text.index('name = "Compressor fridge"   # the')
    )
    assert "a present" not in text
    assert pairs([first, second], [Load("Pump", power_w=60.0)]) == [None]


@given(st.lists(st.sampled_from("abcd"), max_size=6), st.lists(st.sampled_from("abcd"), max_size=6))
def test_each_old_row_is_used_once_at_most_and_equal_ones_first(old: list[str], new: list[str]) -> None:
    origin = pairs([Load(name) for name in old], [Load(name) for name in new])
    used = [index for index in origin if index is not None]
    assert len(used) == len(set(used))
    equal = sum(min(old.count(name), new.count(name)) for name in "abcd")
    assert sum(index is not None and old[index] == new[at] for at, index in enumerate(origin)) == equal
