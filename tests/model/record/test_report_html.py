"""The report as HTML, read by a parser that follows the standard to the letter (html5lib, strict)."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from xml.etree.ElementTree import Element

import html5lib
import pytest

from model.record.report.content import document
from model.record.report.html import html
from tests.model.record.reports import FORBIDDEN, HOSTILE, at, demo_document, demo_json, hostile_document, odd_plans

H = "{http://www.w3.org/1999/xhtml}"
S = "{http://www.w3.org/2000/svg}"


@cache
def page() -> Element:
    """The demonstration's report. A strict parser raises on the first error."""
    found: Element = html5lib.HTMLParser(strict=True).parse(html(demo_document()))
    return found


def words(element: Element) -> str:
    return " ".join("".join(element.itertext()).split())


def test_it_is_one_file_that_fetches_and_runs_nothing():
    text = html(demo_document())
    assert (
        not list(page().iter(f"{H}script"))
        and not list(page().iter(f"{H}link"))
        and not list(page().iter(f"{H}iframe"))
    )
    for element in page().iter():
        for name, value in element.attrib.items():
            assert not name.lower().startswith("on"), (element.tag, name)
            if name.split("}")[-1] in ("href", "src", "data", "poster", "srcset"):
                assert value.startswith("#"), (element.tag, value)
    css = text.split("<style>")[1].split("</style>")[0]
    assert "url(" not in css and "@import" not in css
    assert not re.search(r"url\((?!#plot-)", text)


def test_every_name_of_a_place_in_it_is_unique_and_is_there():
    ids = [element.attrib["id"] for element in page().iter() if "id" in element.attrib]
    assert len(ids) == len(set(ids)) > 20
    for element in page().iter():
        for name in ("href", "aria-labelledby", "fill"):
            value = element.attrib.get(name, "")
            for wanted in value.removeprefix("url(").removesuffix(")").split():
                if name == "aria-labelledby" or wanted.startswith("#"):
                    assert wanted.removeprefix("#") in ids


def test_a_screen_reader_finds_language_headings_captions_and_what_a_drawing_shows():
    root = page()
    assert root.attrib["lang"] == "en"
    levels = [int(element.tag[-1]) for element in root.iter() if re.fullmatch(rf"{H}h[1-6]", element.tag)]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    tables = list(root.iter(f"{H}table"))
    assert len(tables) > 10
    for table in tables:
        assert words(table.find(f"{H}caption"))
        heads = list(table.find(f"{H}thead").iter(f"{H}th"))
        assert heads and all(head.attrib["scope"] == "col" and words(head) for head in heads)
        for row in table.find(f"{H}tbody").iter(f"{H}tr"):
            assert len(row) == len(heads)
            assert row[0].attrib["scope"] == "row"
    drawings = list(root.iter(f"{S}svg"))
    assert len(drawings) >= 3
    for drawing in drawings:
        assert drawing.attrib["role"] == "img"
        assert words(drawing.find(f"{S}title")) and len(words(drawing.find(f"{S}desc"))) > 20


SHARES = ("chance_of_empty_day", "chance_error", "unmet_fraction", "charge_on_arrival", "charge_on_leaving")


def shown_as(text: str, value: float) -> bool:
    """Whether the number that begins `text` is `value`, rounded; shares may be written as percentages.

    Zeros that end a whole number may come from rounding, behind the third digit: 1240 for 1241.15.
    """
    match = re.match(r"-?(\d+)(?:\.(\d+))?(?:e([-+]\d+))?", text)
    assert match, text
    whole, decimals, exponent = match[1], match[2] or "", int(match[3] or 0)
    rounded_off = 0 if decimals else min(len(whole) - len(whole.rstrip("0")), max(len(whole) - 3, 0))
    step = 10.0 ** (exponent - len(decimals) + rounded_off)
    meant = 100 * value if text.endswith("%") else value
    return abs(float(match[0]) - meant) <= step / 2 + 1e-9 * abs(meant)


def test_every_figure_is_that_of_the_contract():
    """All that have a key, in the whole report: the value to the last digit, the text to its own."""
    figures = [element for element in page().iter() if "data-key" in element.attrib]
    assert len(figures) > 500
    for element in figures:
        key, text = element.attrib["data-key"], words(element)
        wanted = at(demo_json(), key)
        if wanted is None:
            assert "data-value" not in element.attrib and text in ("-", "∞"), key
        elif isinstance(wanted, str):
            assert " ".join(element.attrib["data-value"].split()) == " ".join(wanted.split()) == text, key
        else:
            assert float(element.attrib["data-value"]) == wanted, key
            if key != "supply.worst_month":  # written as the month's name
                share = any(part in SHARES for part in key.split("."))  # the sign may stand in the head of the column
                said = (
                    text.removesuffix("%")
                    if key.endswith("_percent")
                    else f"{text.removesuffix('%')}%"
                    if share
                    else text
                )
                assert shown_as(said, wanted), (key, text)


def test_the_first_page_answers_what_is_asked_first():
    first = page().find(f".//{H}main/{H}section")
    assert first.attrib["id"] == "answers"
    keys = {element.attrib["data-key"] for element in first.iter() if "data-key" in element.attrib}
    assert keys >= {
        "demand.energy_wh_per_day", "demand.charge_ah_per_day", "storage.chosen", "storage.autonomy_days",
        "supply.array_w", "supply.array_needed_w", "supply.array_needed_cautious_w", "supply.worst_month",
        "storage.months.11.chance_of_empty_day", "storage.months.11.chance_error",
    }  # fmt: skip
    told = words(first)
    for finding in demo_json()["findings"]:
        assert " ".join(finding["message"].split()) in told
        assert " ".join(finding["advice"].split()) in told


def test_what_follows_is_all_there():
    ids = {element.attrib.get("id") for element in page().iter(f"{H}section")}
    assert ids >= {
        "loads", "sun", "battery", "odds", "circuits", "papers", "paper-schedule", "paper-labels", "working", "cautions",
        "left-out", "data",
    }  # fmt: skip
    told = words(page())
    for step in demo_json()["steps"]:
        assert " ".join(step["formula"].split()) in told and " ".join(step["source"].split()) in told
    assert "CC BY 4.0" in told and "GeoNames" in told and "MERRA-2" in told and "Copernicus" in told


def test_it_promises_nothing():
    assert not FORBIDDEN.findall(words(page()))


def test_what_was_typed_is_text_and_nothing_else():
    root = html5lib.HTMLParser(strict=True).parse(html(hostile_document()))
    assert not list(root.iter(f"{H}script"))
    assert words(root.find(f".//{H}h1")) == HOSTILE
    assert words(root).count(HOSTILE) > 5


@pytest.mark.parametrize(
    ("text", "right", "wrong"), [("12.4 Ah", 12.4444, 12.46), ("5.2 %", 0.05249, 0.0526), ("1240 Wh", 1241.15, 1246.0)]
)
def test_the_check_of_roundings_sees_a_wrong_digit(text, right, wrong):
    assert shown_as(text, right)
    assert not shown_as(text, wrong)


@pytest.mark.parametrize("name", odd_plans())
def test_a_design_at_the_edge_is_a_page_too(name):
    page = html(document(odd_plans()[name]))
    page.encode()
    html5lib.HTMLParser(strict=True).parse(page)
