"""Where the van stands: a place found by name without a network, or by typed latitude and longitude.

Names come from data/places.txt.gz (GeoNames, CC BY 4.0), which data/scripts/distil_places.py makes. The file is unpacked at
the first search and kept. Its places are in order of falling population, so the first hits of any scan are the largest.
"""

from __future__ import annotations

import unicodedata
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from itertools import accumulate, islice
from typing import Any, Literal

from model import shelf
from model.supply.coordinates import ACCEPTED, BadPlace, Coordinates, as_shown, parse_coordinates

__all__ = [
    "ACCEPTED",
    "BadPlace",
    "FoundPlace",
    "as_entered",
    "at",
    "fold",
    "label",
    "parse_coordinates",
    "resolve",
    "search",
]

PACK = "places.txt.gz"
LONGEST_QUERY = 100  # characters of a query that are looked at; the longest name on the list has fewer
FEWEST_FOR_SPELLING = 4  # letters below which a similar name is only chance
FEWEST_FOR_START = 3  # letters below which `resolve` takes no name for its start alone

Rank = Literal["exact", "start", "slip", "other start", "inside", "similar"]


@dataclass(frozen=True, slots=True)
class FoundPlace:
    """A place on the list, or typed coordinates (then without country, region and population)."""

    name: str
    country: str
    region: str  # first-order division where it is known, else ""
    latitude_deg: float  # north positive
    longitude_deg: float  # east positive
    population: int  # 0 where it is not known
    elevation_m: float | None = None  # only when it was typed


def search(query: str, limit: int = 12) -> list[FoundPlace]:
    """At most `limit` places that answer to `query`, best first. Any text is allowed; what names nothing finds nothing.

    Accents, case and signs do not matter. First come names equal to the query, then places whose own name begins with it,
    then those whose own name is one slip away from it, then other names that begin with it, names that hold it, and names
    spelled much like it; the largest population first among equals. Words after a comma narrow the
    search to a country or region: "seville, us", "greensboro, nc"; where they name none, they are passed over.
    """
    name, areas = _split(query)
    found = _ranked(name, areas, limit)
    if found is None:
        found = _ranked(name, (), limit) or []
    return [place for _, place in found]


def resolve(text: str) -> FoundPlace:
    """The one place meant by `text`: typed coordinates, or the best name of the list.

    Taken are a name that is equal, or begins so, or is spelled much like it. Raises BadPlace for anything else, with up to
    three near names, and for coordinates that cannot be read.
    """
    coordinates = parse_coordinates(text)
    if coordinates is not None:
        return at(coordinates)
    name, areas = _split(text)
    for rank, place in _ranked(name, areas, limit=50) or ():
        if rank in ("exact", "slip", "similar") or (rank.endswith("start") and len(name) >= FEWEST_FOR_START):
            return place
    near = [place for _, place in _ranked(name, (), 3, patience=2) or ()]
    hint = f" Near it: {'; '.join(map(label, near))}." if near else ""
    raise BadPlace(f"{as_shown(text) or 'an empty text'}: no such place on the list.{hint} Type {ACCEPTED}")


def at(coordinates: Coordinates) -> FoundPlace:
    """Typed coordinates as a place; its name is the coordinates, to a hundredth of a degree."""
    latitude_deg, longitude_deg, elevation_m = coordinates
    north = f"{abs(latitude_deg):.2f}° {'N' if latitude_deg >= 0 else 'S'}"
    east = f"{abs(longitude_deg):.2f}° {'E' if longitude_deg >= 0 else 'W'}"
    return FoundPlace(f"{north}, {east}", "", "", latitude_deg, longitude_deg, 0, elevation_m)


def label(place: FoundPlace) -> str:
    """Name, region and country, as `resolve` would find it again."""
    return ", ".join(part for part in (place.name, place.region, place.country) if part)


def as_entered(place: FoundPlace) -> dict[str, Any]:
    """What a place is called in a design and where it lies: fields that `design.Place` and `design.Stop` have alike."""
    return {
        "name": label(place),
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": place.elevation_m,
    }


# --- how names are compared -------------------------------------------------------------------------------------------

# Latin letters that Unicode does not take apart into a plain letter and an accent.
_PLAIN = str.maketrans(
    {"ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i", "ħ": "h", "ŧ": "t", "ŋ": "n"}
    | {"ə": "e", "ǝ": "e", "ɓ": "b", "ɗ": "d", "ɖ": "d", "ƙ": "k", "ƴ": "y", "ɛ": "e", "ɔ": "o", "ĸ": "k", "ɨ": "i"}
)
_SILENT = frozenset("'’‘ʻʼʹʺʾʿ`´.·")


def fold(text: str) -> str:
    """`text` as it is compared: lower case, no accents, no apostrophes or points, any other sign one space."""
    letters = unicodedata.normalize("NFKD", text.casefold()).casefold()
    plain = unicodedata.normalize("NFKD", letters).translate(_PLAIN)
    kept = (
        letter if letter.isalnum() else " "
        for letter in plain
        if letter not in _SILENT and not unicodedata.combining(letter)
    )
    return " ".join("".join(kept).split())


def _split(query: str) -> tuple[str, tuple[str, ...]]:
    """The folded name, and the folded countries and regions after the commas."""
    name, *areas = (fold(part) for part in query[:LONGEST_QUERY].split(","))
    return name, tuple(area for area in areas if area)


# --- the list ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Names:
    """Some places of the list: `keys` has a line `|key|key|` for each of the row numbers in `rows`."""

    keys: str
    rows: range | tuple[int, ...]

    def holding(self, text: str) -> Iterator[int]:
        """Rows with `text` in their line, in the order of the list."""
        index, counted, found = 0, 0, self.keys.find(text)
        while found >= 0:
            index += self.keys.count("\n", counted, found)
            counted = found
            yield self.rows[index]
            end = self.keys.find("\n", found)
            found = self.keys.find(text, end) if end >= 0 else -1

    def beginning(self, text: str) -> Iterator[int]:
        """Rows whose own name, the first key of their line, begins with `text`, in the order of the list."""
        for line in _starts(self.keys, f"|{text}"):
            yield self.rows[line]

    @cached_property
    def own_names(self) -> list[str]:
        """The first key of every line."""
        return [line[1 : line.find("|", 1)] for line in self.keys.split("\n")]

    def one_slip(self, text: str) -> Iterator[int]:
        """Rows whose own name is one wrong, missing, surplus or swapped letter away, in the order of the list."""
        if not self.rows:
            return
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        near = process.extract(text, self.own_names, scorer=OSA.distance, score_cutoff=1, limit=None)
        for line in sorted(line for _, distance, line in near if distance == 1):
            yield self.rows[line]

    @cached_property
    def single_keys(self) -> list[str]:
        """Every key for itself, line after line."""
        return self.keys[1:-1].replace("|\n|", "|").split("|")

    @cached_property
    def ends(self) -> list[int]:
        """For each line, the position in `single_keys` after its last key."""
        return list(accumulate(line.count("|") - 1 for line in self.keys.split("\n")))

    def similar(self, text: str, patience: int) -> Iterator[int]:
        """Rows with a key at most `mistakes(text)` x `patience` wrong letters away, nearest first, then by the list."""
        if not self.rows:
            return
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        worst = mistakes(text) * patience
        near = process.extract(text, self.single_keys, scorer=OSA.distance, score_cutoff=worst, limit=None)
        for _, line in sorted((distance, bisect_right(self.ends, index)) for _, distance, index in near):
            yield self.rows[line]


def _starts(lines: str, text: str) -> Iterator[int]:
    """Numbers of the lines that begin with `text`."""
    if lines.startswith(text):
        yield 0
    line, counted, found = 0, 0, lines.find(f"\n{text}")
    while found >= 0:
        line += lines.count("\n", counted, found + 1)
        counted = found + 1
        yield line
        found = lines.find(f"\n{text}", found + 1)


def mistakes(text: str) -> int:
    """How many wrong, missing, surplus or swapped letters are forgiven: one in four or so."""
    return (len(text) + 1) // 4


class _List:
    """The unpacked list: areas (a country or one of its regions), places, and the names that each answers to."""

    def __init__(self, packed: bytes) -> None:
        import gzip

        areas, places, keys = gzip.decompress(packed).decode("utf-8").removesuffix("\n").split("\n\n")
        self.areas = areas.split("\n")
        self.places = places.split("\n")
        self.all = _Names(keys, range(len(self.places)))

    def place(self, row: int) -> FoundPlace:
        name, area, latitude, longitude, population = self.places[row].split("\t")
        country, region, _ = self.areas[int(area)].split("\t")
        return FoundPlace(name, country, region, float(latitude), float(longitude), int(population))

    @cached_property
    def area_names(self) -> _Names:
        """What the areas answer to: country, its codes, region, its code."""
        return _Names("\n".join(area.rpartition("\t")[2] for area in self.areas), range(len(self.areas)))

    @cached_property
    def area_of(self) -> list[int]:
        """For each place, the number of its area."""
        return [int(place.split("\t", 2)[1]) for place in self.places]

    @lru_cache(maxsize=4)  # noqa: B019  (there is one list for the life of the program)
    def within(self, areas: tuple[str, ...]) -> _Names | None:
        """The places that lie in all of `areas`, or None where one of them names no country or region."""
        wanted = set(range(len(self.areas)))
        for text in areas:
            names = self.area_names
            named = set(names.holding(f"|{text}|")) or set(names.holding(f"|{text}"))
            if not named and len(text) >= FEWEST_FOR_SPELLING:
                named = set(names.similar(text, patience=1))
            if not named:
                return None
            wanted &= named
        rows = tuple(row for row, area in enumerate(self.area_of) if area in wanted)
        lines = self.all.keys.split("\n")
        return _Names("\n".join(lines[row] for row in rows), rows)


@cache
def _list() -> _List:
    return _List(shelf.path(PACK).read_bytes())


def _ranked(name: str, areas: tuple[str, ...], limit: int, patience: int = 1) -> list[tuple[Rank, FoundPlace]] | None:
    """At most `limit` places, best first, each with how it was found; None where `areas` names no country or region."""
    if not name:
        return []
    every = _list()
    names = every.within(areas) if areas else every.all
    if names is None:
        return None
    ranks: list[tuple[Rank, Iterable[int]]] = [
        ("exact", names.holding(f"|{name}|")),
        ("start", names.beginning(name)),
        ("other start", names.holding(f"|{name}")),
        ("inside", names.holding(name)),
    ]
    if len(name) > FEWEST_FOR_SPELLING:
        ranks.insert(2, ("slip", names.one_slip(name)))
    if len(name) >= FEWEST_FOR_SPELLING:
        ranks.append(("similar", names.similar(name, patience)))
    found: dict[int, Rank] = {}
    for rank, rows in ranks:
        if len(found) >= limit:
            break
        new = (row for row in rows if row not in found)
        found |= dict.fromkeys(islice(new, limit - len(found)), rank)
    return [(rank, every.place(row)) for row, rank in found.items()]
