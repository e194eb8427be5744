"""Units at the edge: what the maker writes turned into base units, and base units into words.

Inside the program every number is in a base unit (mm, degree, V, A, ohm, W, ...) and carries it in
its name; text is read and written here and nowhere else.

- ``quantity``: what is measured, its base unit, and every way to write its units.
- ``signs``: the plain spelling of printed signs, and what no maker types.
- ``gauges``: sizes that go by a number: drills and wire.
- ``chips``: chip packages under their imperial and metric codes.
- ``digits``: whole numbers, digits alone.
- ``wording``: base units into words.
- ``parsing``: words into base units.
"""

from lamphouse.units.chips import PackageSize, both_codes, package_size
from lamphouse.units.gauges import NUMBER_DRILLS_IN, SWG_IN, awg_mm
from lamphouse.units.parsing import parse, parse_many, parse_range, parse_scale
from lamphouse.units.quantity import Quantity, UnitError
from lamphouse.units.wording import show, show_both

__all__ = [
    "NUMBER_DRILLS_IN",
    "SWG_IN",
    "PackageSize",
    "Quantity",
    "UnitError",
    "awg_mm",
    "both_codes",
    "package_size",
    "parse",
    "parse_many",
    "parse_range",
    "parse_scale",
    "show",
    "show_both",
]
