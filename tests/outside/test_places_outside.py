"""Coordinates of known cities against sources that do not draw on the list behind the place search."""

import pytest

from model.supply.places import search

# IANA time zone database 2025b, zone1970.tab: ISO 6709 coordinates of each zone's principal city (public domain).
ZONE_TAB = [
    ("Lisbon", "+3843-00908"),
    ("Madrid", "+4024-00341"),
    ("Berlin", "+5230+01322"),
    ("Helsinki", "+6010+02458"),
    ("London", "+5130-00007"),
    ("Abidjan", "+0519-00402"),
    ("Nairobi", "-0117+03649"),
    ("Windhoek", "-2234+01706"),
    ("Tokyo", "+3539+13944"),
    ("Adelaide", "-3455+13835"),
    ("Hobart", "-4253+14719"),
    ("Auckland", "-3652+17446"),
    ("Santiago, Chile", "-3327-07040"),
    ("Anchorage", "+6113-14954"),
    ("Denver", "+3944-10459"),
]
# Heads of the TMY files that ship with pvlib 0.16: 723170TYA.CSV and 703165TY.csv (NSRDB, TMY3), 12839.tm2 (TMY2). The
# stations are airports at the edge of their towns.
STATIONS = [
    ("Greensboro, NC", 36.1, -79.95),
    ("Sand Point, AK", 55.317, -160.517),
    ("Miami, FL", 25 + 48 / 60, -(80 + 16 / 60)),
]
# The tables give the centre to a minute of arc, stations lie up to 20 km out; cities are that wide.
TOLERANCE_DEG = 0.2


@pytest.mark.parametrize(("query", "iso_6709"), ZONE_TAB)
def test_cities_of_the_time_zone_table(query: str, iso_6709: str) -> None:
    latitude_deg = float(iso_6709[:3]) + float(iso_6709[0] + iso_6709[3:5]) / 60
    longitude_deg = float(iso_6709[5:9]) + float(iso_6709[5] + iso_6709[9:11]) / 60
    found = search(query)[0]
    assert found.latitude_deg == pytest.approx(latitude_deg, abs=TOLERANCE_DEG)
    assert found.longitude_deg == pytest.approx(longitude_deg, abs=TOLERANCE_DEG)


@pytest.mark.parametrize(("query", "latitude_deg", "longitude_deg"), STATIONS)
def test_towns_of_the_weather_stations(query: str, latitude_deg: float, longitude_deg: float) -> None:
    found = search(query)[0]
    assert found.latitude_deg == pytest.approx(latitude_deg, abs=TOLERANCE_DEG)
    assert found.longitude_deg == pytest.approx(longitude_deg, abs=TOLERANCE_DEG)
