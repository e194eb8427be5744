"""Chip packages under both their codes, which overlap: metric 0603 is imperial 0201."""

import re

from lamphouse.record import Record
from lamphouse.units.quantity import UnitError
from lamphouse.units.signs import plain


class PackageSize(Record):
    """One chip package."""

    imperial: str
    """Code in hundredths of an inch."""
    metric: str
    """Code in tenths of a millimetre."""
    length_mm: float
    width_mm: float
    height_mm: float
    """Of the resistor of that size; an LED's own height stands on its data sheet."""

    @property
    def words(self) -> str:
        """Both codes and the size, to be shown wherever a code is."""
        size = f"{self.length_mm} x {self.width_mm} mm"
        return f"{self.imperial} (metric {self.metric}), {size}"


_PACKAGES = tuple(
    PackageSize(
        imperial=imperial, metric=metric, length_mm=length, width_mm=width, height_mm=height
    )
    for imperial, metric, length, width, height in (
        ("01005", "0402", 0.4, 0.2, 0.13),
        ("0201", "0603", 0.6, 0.3, 0.23),
        ("0402", "1005", 1.0, 0.5, 0.30),
        ("0603", "1608", 1.6, 0.8, 0.45),
        ("0805", "2012", 2.0, 1.25, 0.50),
        ("1206", "3216", 3.2, 1.6, 0.55),
    )
)
"""Chip sizes [IEC60115-8]."""

_CODE = re.compile(r"(?:(metric|imperial) +)?(\d{4,5})(?: +(metric|imperial))?", re.ASCII)


def package_size(text: str) -> PackageSize:
    """Read a chip code: imperial unless it says ``metric``, or unless only metric has it.

    Raises
    ------
    UnitError
        If no package has the code.

    Examples
    --------
    >>> package_size("0603").words
    '0603 (metric 1608), 1.6 x 0.8 mm'
    >>> package_size("metric 0603").words
    '0201 (metric 0603), 0.6 x 0.3 mm'
    """
    given = plain(text)
    if found := _CODE.fullmatch(given):
        marks = {found[1], found[3]} - {None}
        imperial = [size for size in _PACKAGES if size.imperial == found[2]]
        metric = [size for size in _PACKAGES if size.metric == found[2]]
        meant = [] if "metric" in marks else imperial
        meant += [] if "imperial" in marks else metric
        if meant and len(marks) < 2:
            return meant[0]
    known = ", ".join(size.imperial for size in _PACKAGES)
    problem = f"'{given}' is not a chip package known here"
    raise UnitError(problem, remedy=f"write one of {known}, or mark a metric code: metric 1608")


def both_codes(text: str) -> str:
    """Give a chip package with both its codes and its size; any other name as it is.

    Examples
    --------
    >>> both_codes("0603"), both_codes("3 mm")
    ('0603 (metric 1608), 1.6 x 0.8 mm', '3 mm')
    """
    try:
        return package_size(text).words
    except UnitError:
        return text
