"""How much room words take, and words cut to the room there is.

A drawing cannot ask which font a reader's machine has. Widths are those of DejaVu Sans, one of the widest faces in use, so that
words in any other common one take less.
"""

from __future__ import annotations

from functools import cache
from unicodedata import combining, normalize

from model.record.report.document import printable

FAMILY = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"
ABOVE_EM, BELOW_EM = 0.78, 0.24  # of the baseline: ascenders and descenders of the same face

_REGULAR = (
    "32 40 46 84 64 95 78 27 39 39 50 84 32 36 32 34 64 64 64 64 64 64 64 64 64 64 34 34 84 84 84 53 100 68 69 70 77 63 58 77 75"
    " 29 29 66 56 86 75 79 60 79 69 63 61 73 68 99 69 61 69 39 34 39 84 50 50 61 63 55 63 62 35 63 63 28 28 58 28 97 63 61 63 63"
    " 41 52 39 63 59 82 59 59 52 64 34 64 84"
)
_BOLD = (
    "35 46 52 84 70 100 87 31 46 46 52 84 38 42 38 37 70 70 70 70 70 70 70 70 70 70 40 40 84 84 84 58 100 77 76 73 83 68 68 82 84"
    " 37 37 77 64 100 84 85 73 85 77 72 68 81 77 110 77 72 73 46 37 46 84 50 50 67 72 59 72 68 44 72 71 34 34 67 34 104 71 69 72"
    " 72 49 60 48 71 65 92 65 65 58 71 37 71 84"
)
"""Advance widths of the signs from space to tilde in hundredths of an em: DejaVu Sans 2.37."""

_REST_EM = 1.3  # ideographs take 1, emoji some 1.25
_DOTS = "…"


@cache
def _widths(bold: bool) -> dict[str, float]:
    found = {chr(32 + at): int(each) / 100 for at, each in enumerate((_BOLD if bold else _REGULAR).split())}
    return found | {"·": 0.38, "°": 0.5, "²": 0.44, "×": 0.84, "–": 0.5, _DOTS: 1.0}


def width(words: str, size: float, bold: bool = False) -> float:
    """Width of one line of letters of `size`."""
    return size * sum(_sign_em(sign, bold) for sign in words)


@cache
def _sign_em(sign: str, bold: bool) -> float:
    found = _widths(bold)
    if combining(sign):
        return 0.0
    return found[sign] if sign in found else found.get(normalize("NFKD", sign)[0], _REST_EM)


def one_line(words: str) -> str:
    """Words as a drawing may hold them: no line ends, no sign that XML forbids."""
    return " ".join(printable(words).split())


def shortened(words: str, room: float, size: float, bold: bool = False) -> str:
    """The words, or as many of their letters as the room takes, and three dots."""
    if width(words, size, bold) <= room:
        return words
    left = room - width(_DOTS, size, bold)
    for end, sign in enumerate(words):
        left -= size * _sign_em(sign, bold)
        if left < 0:
            return words[:end].rstrip() + _DOTS
    return words
