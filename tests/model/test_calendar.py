"""Months and hours of the day as text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.calendar import (
    DAYS_IN_MONTH,
    MONTHS,
    SHORT_MONTHS,
    TIMES_OF_DAY,
    hours_of,
    month_name,
    read_month,
    read_months,
    read_when,
    write_months,
)
from model.quantities import Refusal

hour_pairs = st.tuples(st.integers(0, 23), st.integers(0, 24)).filter(lambda ends: ends[0] != ends[1])
scraps = st.text(st.sampled_from("0123456789 -–,;:htodayevningJanFebMarOct²½٣"), max_size=20) | st.text(max_size=20)


@pytest.mark.parametrize("month", range(1, 13))
def test_a_month_is_read_from_number_name_and_beginning(month):
    name = month_name(month)
    for text in (
        str(month),
        f"{month:02d}",
        name,
        name.upper(),
        name[:3],
        f" {name[:4].lower()} ",
        SHORT_MONTHS[month - 1],
    ):
        assert read_month(text) == month


def test_a_year_has_365_and_a_quarter_days():
    """The Julian year of astronomy, 365.25 days; a sidereal surplus is not a builder's concern."""
    assert sum(DAYS_IN_MONTH) == 365.25
    assert len(MONTHS) == len(SHORT_MONTHS) == len(set(SHORT_MONTHS)) == 12


@pytest.mark.parametrize("text", ["", "0", "13", "1.5", "-1", "ma", "ju", "Xmas", "²", "१२", "decembers", "012", "1e1"])
def test_what_is_no_month_is_refused(text):
    with pytest.raises(Refusal, match="is not a month: write 12, Dec or December"):
        read_month(text)


@pytest.mark.parametrize(
    ("text", "months"),
    [
        ("all", range(1, 13)),
        ("All year", range(1, 13)),
        ("none", ()),
        ("Oct-Apr", (1, 2, 3, 4, 10, 11, 12)),
        ("oct – apr", (1, 2, 3, 4, 10, 11, 12)),
        ("October to April", (1, 2, 3, 4, 10, 11, 12)),
        ("Jan, Mar, 7-9", (1, 3, 7, 8, 9)),
        ("7;8", (7, 8)),
        ("Dec-Nov", range(1, 13)),
        ("May-May", (5,)),
        ("oct", (10,)),
    ],
)
def test_months_of_use_are_read(text, months):
    assert read_months(text) == tuple(months)


@pytest.mark.parametrize("text", ["", ",", "Jan,", "Jan-", "-Jan", "Jan-Mar-May", "Jan Mar", "all, Jan", "13", "to"])
def test_what_names_no_months_is_refused(text):
    with pytest.raises(Refusal):
        read_months(text)


@given(st.sets(st.integers(1, 12)))
def test_months_come_back_from_their_text(months):
    text = write_months(months)
    assert read_months(text) == tuple(sorted(months))
    assert read_months(text.upper()) == tuple(sorted(months))
    assert write_months(read_months(text)) == text


def test_a_winter_is_written_as_one_range():
    assert write_months((1, 2, 12)) == "Dec-Feb"
    assert write_months((1, 3, 7, 8, 9)) == "Jan, Mar, Jul-Sep"


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("Day", "day"),
        ("all  day", "all day"),
        ("a", "all day"),
        ("eve", "evening"),
        ("7-9,18 - 23", "7-9, 18-23"),
        ("07:00–09:00", "7-9"),
        ("7 h to 9 h", "7-9"),
        ("22-0", "22-0"),
        ("0-24", "0-24"),
    ],
)
def test_time_of_day_has_one_spelling(text, canonical):
    assert read_when(text) == canonical
    assert read_when(canonical) == canonical


@pytest.mark.parametrize(
    "text", ["", "noon", "7", "7-7", "7-07", "24-7", "7-25", "7:30-9", "7-9,", "-7-9", "٧-٩", "7-9-11"]
)
def test_what_is_no_time_of_day_is_refused(text):
    with pytest.raises(Refusal, match="is not a time of day"):
        read_when(text)


@given(scraps)
def test_any_text_is_a_time_of_day_that_can_be_used_or_is_refused(text):
    try:
        when = read_when(text)
    except Refusal as refusal:
        assert str(refusal).isprintable()
        return
    assert read_when(when) == when
    assert sum(hours_of(when)) == pytest.approx(1)


@given(scraps)
def test_any_text_names_months_or_is_refused(text):
    try:
        months = read_months(text)
    except Refusal:
        return
    assert months == tuple(sorted(set(months))) and set(months) <= set(range(1, 13))


@given(st.lists(hour_pairs, min_size=1, max_size=4))
def test_hours_share_the_day_evenly_among_those_named(windows):
    when = read_when(", ".join(f"{start}-{end}" for start, end in windows))
    shares = hours_of(when)
    inside = {hour % 24 for start, end in windows for hour in range(start, end if end > start else end + 24)}
    assert {hour for hour, share in enumerate(shares) if share} == inside
    assert sum(shares) == pytest.approx(1, abs=1e-12)
    assert len({share for share in shares if share}) == 1


@pytest.mark.parametrize(("word", "count"), [("all day", 24), ("day", 10), ("evening", 5), ("night", 9)])
def test_words_for_times_of_day(word, count):
    """Common practice, no source: what people mean by the words."""
    assert sum(1 for share in hours_of(word) if share) == count
    assert word in TIMES_OF_DAY
