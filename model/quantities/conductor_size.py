"""The size of a conductor as people write it: "2.5 mm2", "12 AWG", "SAE 12"."""

from __future__ import annotations

import re

from model import shelf
from model.quantities.gauge import gauge_number
from model.quantities.refusal import Refusal, quoted

TABLE = "conductors.csv"
THINNEST_AWG = 26
_MM2 = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?(?:mm2|mm²|mm\^2|sqmm|sq mm)", re.IGNORECASE | re.ASCII)
_SAE = re.compile(r"sae ?#? ?([0-9]/?0?|1[0-9])|#? ?([0-9]/?0?|1[0-9]) ?sae", re.IGNORECASE | re.ASCII)
_OUTSIDE = re.compile(r"[0-9.,]+ ?mm", re.IGNORECASE | re.ASCII)
_CLAD = re.compile(r"\b(cca|clad|al|alu|aluminium|aluminum)\b", re.IGNORECASE)


def read_conductor(text: str) -> str:
    """The canonical name of a conductor; Refusal, which says what there is, for everything else."""
    words = " ".join(text.split())
    if _CLAD.search(words):
        raise Refusal("aluminium and copper-clad aluminium are not planned with: they heat and loosen; take copper")
    gauge = gauge_number(words)
    if gauge is not None:
        if gauge > THINNEST_AWG:
            raise Refusal(f"{quoted(text)} is thinner than any cable here: write {THINNEST_AWG} AWG or thicker")
        return f"{gauge if gauge > 0 else f'{1 - gauge}/0'} AWG"
    if match := _SAE.fullmatch(words):
        return f"SAE {_listed('SAE', match[1] or match[2], text)}"
    if match := _MM2.fullmatch(words):
        size = f"{float(match[1].replace(',', '.')):g}"
        return f"{_listed('mm2', size, text)} mm2"
    if _OUTSIDE.fullmatch(words):
        raise Refusal(f"{quoted(text)} may be an outside diameter: write the copper's section, 2.5 mm2 or 12 AWG")
    raise Refusal(f"{quoted(text)} is no conductor size: write 2.5 mm2, 12 AWG or SAE 12")


def _listed(family: str, size: str, text: str) -> str:
    sizes = [row["size"] for row in shelf.rows(TABLE) if row["family"] == family]
    if size not in sizes:
        unit = "mm2" if family == "mm2" else "SAE"
        raise Refusal(f"{quoted(text)} is not made: {unit} sizes are {', '.join(sizes)}")
    return size
