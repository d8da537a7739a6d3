"""Typed coordinates: latitude, longitude and, if given, elevation, in the spellings people copy from maps and papers."""

from __future__ import annotations

import re
import unicodedata

Coordinates = tuple[float, float, float | None]  # latitude and longitude in degrees, elevation in m or None

ACCEPTED = (
    "a place name, or latitude and longitude as 36.1, -79.95 or 36 06 N 79 57 W or 36,1; -79,95, "
    "with the elevation after them if you like (36.1, -79.95, 273 m)"
)
LONGEST = 100  # characters; longer text is no pair of coordinates
LOWEST_M, HIGHEST_M = -500.0, 9000.0  # below the shore of the Dead Sea, above Mount Everest
METRES_PER_UNIT = {"": 1.0, "M": 1.0, "FT": 0.3048}  # the international foot is exact


class BadPlace(ValueError):
    """A place that cannot be read or is not on the list; the message names what is accepted."""


def as_shown(text: str) -> str:
    """`text` fit for a message: on one line, not long, nothing in it that a terminal cannot print."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text[:LONGEST]).split())


def parse_coordinates(text: str) -> Coordinates | None:
    """Latitude and longitude in degrees (north and east positive) and the elevation in m, or None without one.

    Reads decimal degrees with point or comma, degrees with minutes and seconds, signs or N, S, E, W. Text that does not
    look like coordinates gives None. Raises BadPlace where it does but is out of range, incomplete or can be read in two
    ways, rather than guess.
    """
    plain = _plain_signs(text)
    if len(plain) > LONGEST or not _LOOKS_LIKE.fullmatch(plain):
        return None
    tail = _ELEVATION_WITH_UNIT.fullmatch(plain)
    body = tail["body"] if tail else plain
    if _LETTER.search(body):
        read = _with_letters(body)
    elif "°" in body:
        read = _with_degree_signs(body)
    else:
        read = _plain_numbers(body, most=2 if tail else 3)
    if tail and read:
        read = None if read[2] is not None else (*read[:2], _number(tail["height"]) * METRES_PER_UNIT[tail["unit"]])
    if read is None:
        raise BadPlace(f"{as_shown(text)}: these coordinates cannot be read in one certain way; type {ACCEPTED}")
    _check_range(read, as_shown(text))
    return read


_SIGNS = str.maketrans(
    {"−": "-", "‐": "-", "‑": "-", "–": "-", "′": "'", "’": "'", "‘": "'", "ʹ": "'", "″": '"', "”": '"', "“": '"'}
    | {"º": "°", "˚": "°"}
)
_LOOKS_LIKE = re.compile(r"""(?=.*[0-9])[-+0-9.,;:°'" NSEW]+(?: ?(?:M|FT))?""")
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_ELEVATION_WITH_UNIT = re.compile(rf"(?P<body>.*[^ ,;])[ ,;]+(?P<height>[-+]?{_NUMBER}) ?(?P<unit>M|FT)")
_ELEVATION_AT_END = re.compile(rf"(?P<body>.*[^ ,;])(?:, |;) ?(?P<height>[-+]?{_NUMBER})")
_LETTER = re.compile(r"([NSEW])")
# Degrees, then perhaps minutes, then perhaps seconds; the signs between them may be left out where N, S, E, W stand.
_ANGLE = re.compile(rf"""({_NUMBER})(?:[°: ]+({_NUMBER})(?:[': ]+({_NUMBER}))?)?[°'" ]*""")
_SIGNED = rf"""([-+]?)({_NUMBER} ?°(?: ?{_NUMBER} ?'(?: ?{_NUMBER} ?")?)?)"""
_SIGNED_PAIR = re.compile(rf"{_SIGNED}[ ,;]*{_SIGNED}(?:[ ,;]+([-+]?{_NUMBER}))?")


def _plain_signs(text: str) -> str:
    """`text` in capitals, with plain quotes and minus, one space where there were several, no brackets around it."""
    signs = unicodedata.normalize("NFC", text[: 10 * LONGEST]).translate(_SIGNS).upper().replace("''", '"')
    return " ".join(signs.split()).removeprefix("(").removesuffix(")").strip()


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _angle(text: str) -> float | None:
    """Degrees, minutes and seconds (no sign) as degrees. Only the last of them may have decimals."""
    found = _ANGLE.fullmatch(text.strip(" ,;"))
    if not found:
        return None
    parts = [part for part in found.groups() if part is not None]
    if any("." in part or "," in part for part in parts[:-1]) or any(_number(part) >= 60 for part in parts[1:]):
        return None
    return sum((_number(part) / 60.0**power for power, part in enumerate(parts)), start=0.0)


def _with_letters(text: str) -> Coordinates | None:
    """`36 06 N 79 57 W` or `N36.1 W79.95`, either axis first, perhaps with an elevation after a comma or at the end."""
    height = None
    if _LETTER.match(text):  # the letters stand before their angles
        tail = _ELEVATION_AT_END.fullmatch(text)
        if tail:
            text, height = tail["body"], _number(tail["height"])
        _, *pieces = _LETTER.split(text)
        letters, angles = pieces[0::2], pieces[1::2]
    else:
        *pieces, rest = _LETTER.split(text)
        letters, angles = pieces[1::2], pieces[0::2]
        rest = rest.strip(" ,;")
        if rest and not re.fullmatch(rf"[-+]?{_NUMBER}", rest):
            return None
        height = _number(rest) if rest else None
    values = [_angle(angle) for angle in angles]
    by_axis = {
        "NS".find(letter) >= 0: value if letter in "NE" else -value
        for letter, value in zip(letters, values, strict=True)
        if value is not None
    }
    if len(letters) != 2 or len(by_axis) != 2:
        return None
    return by_axis[True], by_axis[False], height


def _with_degree_signs(text: str) -> Coordinates | None:
    """`36°06' -79°57'` or `36.1°, -79.95°`, perhaps with an elevation after it."""
    found = _SIGNED_PAIR.fullmatch(text)
    if not found:
        return None
    latitude, longitude = _angle(found[2]), _angle(found[4])
    if latitude is None or longitude is None:
        return None
    height = _number(found[5]) if found[5] else None
    return (-latitude if found[1] == "-" else latitude), (-longitude if found[3] == "-" else longitude), height


def _plain_numbers(text: str, most: int) -> Coordinates | None:
    """Two numbers, or three where `most` is 3. None unless all ways to read the commas agree."""
    if re.fullmatch(r"[-+]?[0-9]+,[0-9]+", text):
        return None  # 36,1 is one number to half of the world
    ways = (
        re.split(r" ?; ?", text),  # 36,1; -79,95
        re.split(r" ?, ?| ", text),  # 36.1, -79.95
        re.split(r",? ", text),  # 36,1 -79,95
    )
    readings: set[Coordinates] = set()
    for numbers in ways:
        if 2 <= len(numbers) <= most and all(re.fullmatch(rf"[-+]?{_NUMBER}", number) for number in numbers):
            latitude, longitude, *height = map(_number, numbers)
            readings.add((latitude, longitude, height[0] if height else None))
    return readings.pop() if len(readings) == 1 else None


def _check_range(read: Coordinates, text: str) -> None:
    latitude_deg, longitude_deg, elevation_m = read
    for what, value, low, high in (
        ("latitude", latitude_deg, -90.0, 90.0),
        ("longitude", longitude_deg, -180.0, 180.0),
        ("elevation in metres", elevation_m, LOWEST_M, HIGHEST_M),
    ):
        if value is not None and not low <= value <= high:
            raise BadPlace(f"{text}: the {what} {value:g} is not between {low:g} and {high:g}; type {ACCEPTED}")
