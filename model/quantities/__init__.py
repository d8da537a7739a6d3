"""Text -> checked number at the door, number -> text on the way out; and the project's one pint registry.

    read("1,5 kW", "power")  -> 1500.0
    write(1500.0, "power")   -> "1500 W"
    show(1234.56, "energy")  -> "1230 Wh"
    percent(0.168)           -> "17 %"

The spelling is checked first, against a short list for each kind of field, because a general parser is not to be trusted here:
pint alone reads "1,5 kW" as 15 kW and "100 ah" as attohours. What is spelled right is then converted by pint, which also
checks the dimension. Refusals are sentences for the person who typed.
"""

from model.quantities.gauge import gauge_area_mm2
from model.quantities.kinds import KINDS, Kind
from model.quantities.preferences import METRIC, Preferences
from model.quantities.reading import ask_thousands, read
from model.quantities.refusal import Refusal
from model.quantities.registry import registry
from model.quantities.writing import clear, glance, hint, percent, show, whole_figures, with_sign, write

__all__ = [
    "KINDS", "METRIC", "Kind", "Preferences", "Refusal", "ask_thousands", "clear", "gauge_area_mm2", "glance", "hint", "percent",
    "read", "registry", "show", "whole_figures", "with_sign", "write",
]  # fmt: skip
