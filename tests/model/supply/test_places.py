"""The place search: what it forgives, what it refuses, and how fast it is."""

import gzip

import pytest
from hypothesis import given
from hypothesis import strategies as st

from data.scripts.distil_places import is_written_name, latin_name, region_names
from model import shelf
from model.supply import places
from model.supply.places import BadPlace, FoundPlace, fold, parse_coordinates, resolve, search

# --- coordinates ------------------------------------------------------------------------------------------------------

MINUTE = 1 / 60  # of a degree, by definition; 3 600 seconds make a degree


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("36.1, -79.95", (36.1, -79.95, None)),
        ("36.1 -79.95", (36.1, -79.95, None)),
        ("36.1,-79.95", (36.1, -79.95, None)),
        ("36,-79", (36, -79, None)),
        ("36, 1", (36, 1, None)),
        ("(36.1, -79.95)", (36.1, -79.95, None)),
        ("36,1; -79,95", (36.1, -79.95, None)),
        ("36,1 -79,95", (36.1, -79.95, None)),
        ("36,1 -79,95 273", (36.1, -79.95, 273)),
        ("36.1,-79.95,273", (36.1, -79.95, 273)),
        ("36.1, -79.95, 273 m", (36.1, -79.95, 273)),
        ("36.1 -79.95 273m", (36.1, -79.95, 273)),
        ("36.1; -79.95; -12", (36.1, -79.95, -12)),
        ("36.1, -79.95, 1000 ft", (36.1, -79.95, 304.8)),  # the international foot, 0.3048 m exactly
        ("36 06 N 79 57 W", (36 + 6 * MINUTE, -79 - 57 * MINUTE, None)),
        ("36 06 n 79 57 w, 273", (36 + 6 * MINUTE, -79 - 57 * MINUTE, 273)),
        ("36 06 N 79 57 W 273 m", (36 + 6 * MINUTE, -79 - 57 * MINUTE, 273)),
        ("36°06'N 79°57'W", (36 + 6 * MINUTE, -79 - 57 * MINUTE, None)),
        ("36°06′30″N, 79°57′00″W", (36 + 6.5 * MINUTE, -79 - 57 * MINUTE, None)),
        ("36:06:30 N 79:57 W", (36 + 6.5 * MINUTE, -79 - 57 * MINUTE, None)),
        ("36° 06.5' N 79° 57' W", (36 + 6.5 * MINUTE, -79 - 57 * MINUTE, None)),
        ("36°06' -79°57'", (36 + 6 * MINUTE, -79 - 57 * MINUTE, None)),
        ("36.1°, -79.95°", (36.1, -79.95, None)),
        ("N36.1 W79.95", (36.1, -79.95, None)),
        ("N36.1, W79.95, 273", (36.1, -79.95, 273)),
        ("N36 06 W79 57 27 m", (36 + 6 * MINUTE, -79 - 57 * MINUTE, 27)),
        ("36,1N 79,95W", (36.1, -79.95, None)),
        ("79.95 W 36.1 N", (36.1, -79.95, None)),
        ("−33.9; 18.4", (-33.9, 18.4, None)),  # a typographer's minus
        ("33.9 S 18.4 E", (-33.9, 18.4, None)),
        ("90 -180", (90, -180, None)),
        ("0, 0", (0, 0, None)),
    ],
)
def test_coordinates_are_read(text: str, expected: tuple[float, float, float | None]) -> None:
    latitude_deg, longitude_deg, elevation_m = expected
    read = parse_coordinates(text)
    assert read is not None
    assert read[:2] == pytest.approx((latitude_deg, longitude_deg), abs=1e-12)
    assert read[2] == (None if elevation_m is None else pytest.approx(elevation_m))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("91, 0", "latitude 91 is not between -90 and 90"),
        ("36.1, 200", "longitude 200 is not between -180 and 180"),
        ("36.1, -79.95, 9999", "elevation in metres 9999 is not between -500 and 9000"),
        ("95 N 10 E", "latitude 95"),
        ("36", "one certain way"),
        ("36.1,", "one certain way"),
        ("36,1", "one certain way"),  # one number with a decimal comma, or two
        ("36,1, 5", "one certain way"),  # 36.1 and 5, or 36, 1 and an elevation
        ("36,1,-79,95", "one certain way"),
        ("36 06 -79 57", "one certain way"),
        ("36 60 N 79 57 W", "one certain way"),  # sixty minutes
        ("36.5 06 N 79 57 W", "one certain way"),  # half a degree and minutes
        ("36 N 79 N", "one certain way"),
        ("36 N", "one certain way"),
        ("-36 N 79 W", "one certain way"),  # a sign and a letter
        ("36.1, -79.95, 273, 4", "one certain way"),
        ("36.1, -79.95, 273, 4 m", "one certain way"),
        ("9" * 90 + ", 1", "latitude"),
    ],
)
def test_coordinates_are_refused(text: str, says: str) -> None:
    with pytest.raises(BadPlace, match=r"latitude and longitude as 36\.1, -79\.95") as refusal:
        parse_coordinates(text)
    assert says in str(refusal.value)
    with pytest.raises(BadPlace):
        resolve(text)


@pytest.mark.parametrize(
    "text", ["", " ", "Sevilla", "N", "100 Mile House", "٣٦, ٥", "36.1, -79.95, high up", "7" * 200]
)
def test_other_text_is_not_coordinates(text: str) -> None:
    assert parse_coordinates(text) is None


@given(st.floats(-90, 90), st.floats(-180, 180), st.none() | st.floats(-500, 9000))
def test_coordinates_round_trip(latitude_deg: float, longitude_deg: float, elevation_m: float | None) -> None:
    numbers = [latitude_deg, longitude_deg] if elevation_m is None else [latitude_deg, longitude_deg, elevation_m]
    written = [f"{number:.6f}" for number in numbers]
    expected = tuple(map(float, written)) + (() if elevation_m is not None else (None,))
    assert parse_coordinates(", ".join(written)) == expected
    assert parse_coordinates("; ".join(written).replace(".", ",")) == expected


@given(st.integers(0, 89), st.integers(0, 59), st.sampled_from("NS"), st.integers(0, 179), st.sampled_from("EW"))
def test_degrees_and_minutes(degrees: int, minutes: int, north: str, east_degrees: int, east: str) -> None:
    latitude_deg = (degrees + minutes / 60) * (1 if north == "N" else -1)
    longitude_deg = (east_degrees + minutes / 60) * (1 if east == "E" else -1)
    for text in (
        f"{degrees} {minutes:02} {north} {east_degrees} {minutes:02} {east}",
        f"{degrees}°{minutes}'{north} {east_degrees}°{minutes}'{east}",
        f"{north}{degrees} {minutes} {east}{east_degrees} {minutes}",
    ):
        read = parse_coordinates(text)
        assert read is not None
        assert read[:2] == pytest.approx((latitude_deg, longitude_deg), abs=1e-9)


# --- names ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("query", "name", "country"),
    [
        # Names in other languages and without their accents, from general knowledge.
        ("munchen", "Munich", "Germany"),
        ("München", "Munich", "Germany"),
        ("muenchen", "Munich", "Germany"),
        ("koeln", "Köln", "Germany"),
        ("kobenhavn", "Copenhagen", "Denmark"),
        ("København", "Copenhagen", "Denmark"),
        ("lisboa", "Lisbon", "Portugal"),
        ("wien", "Vienna", "Austria"),
        ("seville", "Sevilla", "Spain"),
        ("TROMSO", "Tromsø", "Norway"),
        ("sao paulo", "São Paulo", "Brazil"),
        ("coria del rio", "Coria del Río", "Spain"),
        ("st johns", "St. John's", "Canada"),
        # Spelling mistakes: a letter missing, doubled, wrong, swapped, a space left out.
        ("sevila", "Sevilla", "Spain"),
        ("fort willaim", "Fort William", "United Kingdom"),
        ("rovanemi", "Rovaniemi", "Finland"),
        ("edinborough", "Edinburgh", "United Kingdom"),
        ("kopenhagn", "Copenhagen", "Denmark"),
        ("greensborro", "Greensboro", "United States"),
        ("newyork", "New York City", "United States"),
        ("amsterdma", "Amsterdam", "The Netherlands"),
        ("ullapol", "Ullapool", "United Kingdom"),
        # As typed so far.
        ("reykj", "Reykjavík", "Iceland"),
        ("fort wil", "Fort William", "United Kingdom"),
        # Narrowed by country or region, by name or code, with mistakes there too.
        ("seville, us", "Seville", "United States"),
        ("seville, spain", "Sevilla", "Spain"),
        ("seville, spian", "Sevilla", "Spain"),
        ("sevilla, andalucia", "Sevilla", "Spain"),
        ("greensboro, nc", "Greensboro", "United States"),
        ("greensboro, nc, usa", "Greensboro", "United States"),
        ("nelson, bc", "Nelson", "Canada"),
        ("perth, uk", "Perth", "United Kingdom"),
        ("alkmaar, netherlands", "Alkmaar", "The Netherlands"),
        ("perth, wa", "Perth", "Australia"),
        ("sand point, alaska", "Sand Point", "United States"),
        # An area that is not on the list does not hide the place.
        ("munchen, bayern", "Munich", "Germany"),
    ],
)
def test_search_finds(query: str, name: str, country: str) -> None:
    found = search(query)
    assert (found[0].name, found[0].country) == (name, country)


def test_ranks_and_order() -> None:
    """Equal names first, then beginnings, then what holds the word, then near spellings; the most populous first."""
    ranked = places._ranked("victoria", (), limit=5000)
    assert ranked is not None
    order = ["exact", "start", "slip", "other start", "inside", "similar"]
    ranks = [rank for rank, _ in ranked]
    assert ranks == sorted(ranks, key=order.index)
    assert set(ranks) == set(order)
    for rank in order[:3]:
        populations = [place.population for found, place in ranked if found == rank]
        assert populations == sorted(populations, reverse=True)
    names = {rank: [fold(place.name) for found, place in ranked if found == rank] for rank in order}
    assert names["exact"].count("victoria") > 3
    assert not any("victoria" in names[rank] for rank in order[1:])
    assert not any("victoria" in name for name in names["similar"])


@pytest.mark.parametrize(
    ("query", "name"),
    [("granda", "Granada"), ("berln", "Berlin"), ("londn", "London"), ("sevila", "Sevilla"), ("rovanemi", "Rovaniemi")],
)
def test_one_slip_comes_before_other_names_that_happen_to_hold_it(query: str, name: str) -> None:
    assert search(query)[0].name == name


def test_regions_are_named() -> None:
    found = search("greensboro, nc")[0]
    assert (found.region, found.country) == ("North Carolina", "United States")
    assert search("fort william")[0].region == "Scotland"
    assert {place.region for place in search("springfield", limit=5)} >= {"Missouri", "Massachusetts", "Illinois"}


def test_thinly_settled_land_has_places() -> None:
    """Below 5 000 people, but the largest for 30 km around, or north of 60 degrees (figures of the list itself)."""
    for query in ("ullapool, scotland", "sand point, alaska", "jokkmokk, sweden", "utsjoki, finland"):
        assert 0 < search(query)[0].population < 5000


@pytest.mark.parametrize(
    "query", ["", " ", ",", ", spain", "...", "\x00", "\ud800", "москва", "🚐", "|", "\n", "a" * 10_000]
)
def test_search_finds_nothing(query: str) -> None:
    assert search(query) == []


@given(st.text(st.characters(exclude_categories=())), st.integers(-2, 30))
def test_search_never_raises(query: str, limit: int) -> None:
    found = search(query, limit)
    assert len(found) <= max(limit, 0)
    assert len(set(found)) == len(found)


@given(st.text(st.characters(exclude_categories=())) | st.text("0123456789.,;-+°'\" NSEWMft"))
def test_resolve_raises_only_bad_place(text: str) -> None:
    try:
        place = resolve(text)
    except BadPlace as refusal:
        assert "36.1, -79.95" in str(refusal)
        assert str(refusal).isprintable()
    else:
        assert -90 <= place.latitude_deg <= 90
        assert -180 <= place.longitude_deg <= 180


@given(st.text(st.characters(exclude_categories=())))
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold(fold(text)) == fold(text)
    assert "|" not in fold(text)


def test_resolve_takes_coordinates_and_names() -> None:
    assert resolve("36 06 N 79 57 W, 273") == FoundPlace(
        "36.10° N, 79.95° W", "", "", pytest.approx(36.1), pytest.approx(-79.95), 0, 273.0
    )
    assert resolve("seville, us").country == "United States"
    assert resolve("fort willaim").name == "Fort William"
    assert resolve(places.label(search("greensboro, nc")[0])) == search("greensboro, nc")[0]


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("Sevilla, Atlantis", "Sevilla, Andalusia, Spain"),
        ("Rovxnxxmi", "Rovaniemi, Lapland, Finland"),
        ("s", "Shanghai"),  # the start of thousands of names is no name
        ("qqqqqqqqqq", "no such place"),
        ("", "an empty text"),
    ],
)
def test_resolve_refuses_with_near_names(text: str, near: str) -> None:
    with pytest.raises(BadPlace, match="no such place on the list") as refusal:
        resolve(text)
    assert near in str(refusal.value)
    assert "place name, or latitude and longitude" in str(refusal.value)
    assert str(refusal.value).count(";") <= 2 + places.ACCEPTED.count(";")  # three near names at most


# --- the packed list --------------------------------------------------------------------------------------------------


def test_the_pack_is_whole() -> None:
    packed = shelf.path(places.PACK).read_bytes()
    assert len(packed) <= 2_500_000
    assert packed[4:8] == bytes(4)  # no time stamp (RFC 1952, 2.3.1), so that the same sources give the same bytes
    listed = places._List(packed)
    lines = listed.all.keys.split("\n")
    found = [listed.place(row) for row in range(len(lines))]
    assert len(lines) == len(listed.places) > 69_000
    populations = [place.population for place in found]
    assert populations == sorted(populations, reverse=True)
    assert all(line.startswith(f"|{fold(place.name)}|") for line, place in zip(lines, found, strict=True))
    assert listed.all.keys.isascii()
    assert all(
        place.country and -90 <= place.latitude_deg <= 90 and -180 <= place.longitude_deg <= 180 for place in found
    )
    assert sum(bool(place.region) for place in found) > 0.98 * len(found)


def test_the_pack_is_plain_text() -> None:
    areas, rows, keys = gzip.decompress(shelf.path(places.PACK).read_bytes()).decode().split("\n\n")
    assert areas.count("\n") < rows.count("\n") == keys.removesuffix("\n").count("\n")


# --- how it is made ---------------------------------------------------------------------------------------------------


def test_alternates_are_names_as_people_write_them() -> None:
    assert all(map(is_written_name, ["München", "L'Aquila", "Stratford-upon-Avon", "St. Ives"]))
    assert not any(map(is_written_name, ["", "MUC", "mynkn", "Мюнхен", "Munich (Bavaria)", "M" * 41]))


def test_a_name_in_two_alphabets_keeps_the_latin_words() -> None:
    assert latin_name({"name": "Al-Medy Village, قرية المدي", "alternatenames": []}) == "Al-Medy Village"
    assert latin_name({"name": "Петровец", "alternatenames": ["petrofts", "Petrovec"]}) == "Petrovec"


def test_regions_are_named_by_a_clear_majority() -> None:
    def place(code: str, latitude: float) -> dict[str, object]:
        return {"countrycode": "ES", "admin1code": code, "latitude": latitude, "longitude": 0.0}

    def named(name: str, latitude: float) -> dict[str, object]:
        return {"country_code": "ES", "state": name, "latitude": latitude, "longitude": 0.0}

    listed = {str(number): place("51", number) for number in range(5)} | {"8": place("07", 8), "9": place("07", 9)}
    sources = [named("Andalusia", number) for number in range(4)] + [named("Murcia", 4), named("A", 8), named("B", 9)]
    assert region_names(listed, sources) == {("ES", "51"): "Andalusia"}
