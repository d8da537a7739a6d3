"""A plan through synthetic or measured years, hour by hour: its odds, and the way back from a chance to a size.

`year` and `chances` run it, `battery_map` and `lightest_system` go back; `hours` makes of a plan what the simulation needs,
`working` says it in words.
"""

from model.year.hours import NoYear
from model.year.run import Year, chances, year
from model.year.sizes import KG_PER_W, battery_map, lightest_system
from model.year.watching import Cancelled

__all__ = ["KG_PER_W", "Cancelled", "NoYear", "Year", "battery_map", "chances", "lightest_system", "year"]
