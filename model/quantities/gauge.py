"""American wire gauge: its spellings, and the area behind a number."""

from __future__ import annotations

import re
from math import pi

_SIZE = r"([1-9]|[1-3][0-9]|40|[1-4]/0|0{1,4})"
_SPELLED = re.compile(rf"awg\s*#?\s*{_SIZE}|#?\s*{_SIZE}\s*(?:awg|ga|gauge)", re.IGNORECASE | re.ASCII)


def gauge_number(text: str) -> int | None:
    """The number in "12 AWG", "AWG 12", "4/0 AWG" or "0000 AWG", from 40 down to -3 for 4/0; None where it is no gauge."""
    match = _SPELLED.fullmatch(text)
    if not match:
        return None
    size = match[1] or match[2]
    if size.endswith("/0"):
        return 1 - int(size[0])
    return 1 - len(size) if size.startswith("0") else int(size)


def gauge_area_mm2(gauge: int) -> float:
    """Area of the solid round conductor of AWG number `gauge` (0 is 1/0, -3 is 4/0), mm2.

    d = 0.127 mm x 92^((36 - n) / 39): ASTM B258, from memory, to be checked against the standard.
    """
    diameter_mm: float = 0.127 * 92.0 ** ((36 - gauge) / 39)
    return pi / 4 * diameter_mm * diameter_mm
