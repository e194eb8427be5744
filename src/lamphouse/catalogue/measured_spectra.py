"""Spectra the maker measured: a file of readings for one film, coat, finish or LED.

Terminology
-----------
spectrum file
    ``spectrum NAME.csv`` in the project's ``parts`` folder. Its first line is
    ``wavelength,transmittance`` and may go on with ``reflectance`` for a film; for a finish it is
    ``wavelength,reflectance``; for an LED ``wavelength,power``. Wavelengths rise, with ``nm`` or
    bare; shares have ``%`` in each cell or behind the name in the first line, or are 0 to 1.
"""

import csv
from collections.abc import Sequence
from io import StringIO
from math import isfinite

from lamphouse.catalogue import parts_rules
from lamphouse.catalogue.cells import shortened
from lamphouse.catalogue.parts_rules import Refusal
from lamphouse.findings import Finding, Where
from lamphouse.record import Record

PREFIX = "spectrum "
"""How the name of a spectrum file begins."""
COLUMNS = ("transmittance", "reflectance", "power")
MOST_READINGS = 5000
LONGEST_TEXT = 1_000_000
"""Characters."""
WIDEST_GAP_NM = 20.0
"""Between two readings; a dye may do anything in a wider one."""
MUST_REACH_NM = (400.0, 700.0)
"""0.1 % of the light of any white lies outside [CIE-1931]."""
NOISE = 0.01
"""Readings this little below nothing are a meter's noise and count as zero."""
_ABOVE_ONE = 1.02
"""A share this much is still a meter's noise."""


class MeasuredSpectrum(Record):
    """Readings of one thing."""

    wavelengths_nm: tuple[float, ...]
    """Rising."""
    transmittance: tuple[float, ...] | None = None
    reflectance: tuple[float, ...] | None = None
    power: tuple[float, ...] | None = None
    """In any unit."""


class _Unusable(ValueError):
    """Why a file makes no spectrum."""

    def __init__(self, problem: str, *, remedy: str, line: int = 1) -> None:
        super().__init__(problem)
        self.problem, self.remedy, self.line = problem, remedy, line


def read_spectrum(text: str, *, file: str) -> tuple[MeasuredSpectrum | None, tuple[Finding, ...]]:
    """Read the text of a spectrum file.

    Parameters
    ----------
    text
        The whole file.
    file
        Its name, for the findings.

    Returns
    -------
    tuple
        The spectrum, and CAT010 with the line where it is not one.
    """
    try:
        return _spectrum(text), ()
    except _Unusable as fault:
        where = Where(item=shortened(file), file=file, line=fault.line)
        refusal = Refusal(where=where, what="spectrum", problem=fault.problem, remedy=fault.remedy)
        return None, parts_rules.unusable_spectrum([refusal])


def _spectrum(text: str) -> MeasuredSpectrum:
    head, rows = _rows(text)
    units = ["%" in name for name in head]
    names = [name.replace("%", "").replace("(", "").replace(")", "").strip() for name in head]
    known = len(set(names)) == len(names) and set(names[1:]) <= set(COLUMNS)
    if len(names) < 2 or not names[0].startswith("wavelength") or not known:
        problem = f"its first line is '{shortened(','.join(head))}'"
        raise _Unusable(problem, remedy="make it wavelength,transmittance or wavelength,power")
    at = [_number(cells[0], line=line, unit="nm") for line, cells in rows]
    _refuse_wavelengths(at, lines=[line for line, _ in rows])
    columns: dict[str, tuple[float, ...]] = {}
    for place, name in enumerate(names[1:], start=1):
        read = [_share(cells, place, line=line, percent=units[place]) for line, cells in rows]
        columns[name] = _checked(read, name=name, lines=[line for line, _ in rows])
    return MeasuredSpectrum(wavelengths_nm=tuple(at), **columns)


def _rows(text: str) -> tuple[list[str], list[tuple[int, list[str]]]]:
    if len(text) > LONGEST_TEXT:
        problem = f"it has {len(text):,} characters"
        raise _Unusable(problem, remedy=f"keep at most {LONGEST_TEXT:,}")
    lines = csv.reader(StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
    rows: list[tuple[int, list[str]]] = []
    try:
        for cells in lines:
            if any(cell.strip() for cell in cells):
                rows.append((lines.line_num, [cell.strip() for cell in cells]))
            if len(rows) > MOST_READINGS + 1:
                problem = f"it has more than {MOST_READINGS:,} readings"
                raise _Unusable(problem, remedy="export steps of 1 nm or 5 nm")
    except csv.Error as error:
        problem = f"it is not comma-separated text ({error})"
        raise _Unusable(problem, remedy="close every quote", line=lines.line_num) from None
    if len(rows) < 3:
        problem = "it holds no readings"
        raise _Unusable(problem, remedy="begin it with wavelength,transmittance, then one a line")
    (line, head), *body = rows
    if len(head) == 1 and ";" in head[0]:
        problem = "its columns are separated by semicolons"
        raise _Unusable(problem, remedy="save it with commas, and points in numbers", line=line)
    for line, cells in body:
        if len(cells) != len(head):
            problem = f"{len(cells)} cells stand under {len(head)} columns"
            raise _Unusable(problem, remedy="write one number for each column", line=line)
    return [name.casefold() for name in head], body


def _number(cell: str, *, line: int, unit: str = "") -> float:
    try:
        value = float(cell.removesuffix(unit).strip())
    except ValueError:
        value = float("nan")
    if not isfinite(value):
        problem = f"'{shortened(cell)}' is not a number"
        raise _Unusable(problem, remedy="write a number with a point", line=line)
    return value


def _share(cells: Sequence[str], place: int, *, line: int, percent: bool) -> float:
    value = _number(cells[place], line=line, unit="%")
    return value / 100.0 if percent or cells[place].endswith("%") else value


def _refuse_wavelengths(at: Sequence[float], *, lines: Sequence[int]) -> None:
    largest = max(at)
    for factor, unit in ((1000.0, "um"), (0.1, "angstrom")):
        if 300.0 <= largest * factor <= 1200.0 and not 300.0 <= largest <= 1200.0:
            problem = f"wavelengths up to {largest:g} look like {unit}, and nm are wanted"
            remedy = f"multiply them by {factor:g}"
            raise _Unusable(problem, remedy=remedy, line=lines[0])
    for line, before, after in zip(lines[1:], at, at[1:], strict=False):
        if after <= before:
            problem = f"{after:g} nm stands below {before:g} nm"
            raise _Unusable(problem, remedy="sort the readings by wavelength, each once", line=line)
        if after - before > WIDEST_GAP_NM:
            problem = (
                f"nothing is read between {before:g} nm and {after:g} nm; a gap may be at most "
                f"{WIDEST_GAP_NM:g} nm wide"
            )
            raise _Unusable(problem, remedy="measure in steps of 10 nm or finer", line=line)
    least, most = MUST_REACH_NM
    if at[0] > least or at[-1] < most:
        problem = f"readings from {at[0]:g} to {at[-1]:g} nm do not reach from 400 to 700 nm"
        raise _Unusable(problem, remedy="measure 400 to 700 nm at least", line=lines[0])


def _checked(read: Sequence[float], *, name: str, lines: Sequence[int]) -> tuple[float, ...]:
    """Refuse shares no film has, and percents that are not marked."""
    most = max(read)
    floor = -NOISE * (most if name == "power" else 1.0)
    for line, value in zip(lines, read, strict=True):
        if value < floor:
            problem = f"{name} {value:g} is below nothing"
            remedy = "take the dark reading again and subtract it from all"
            raise _Unusable(problem, remedy=remedy, line=line)
    if name != "power" and most > _ABOVE_ONE:
        if most <= 100.0 * _ABOVE_ONE:
            problem = f"{name}s up to {most:g} look like per cent, and shares of 1 are wanted"
            remedy = f"write '{name} %' in the first line"
            raise _Unusable(problem, remedy=remedy)
        problem = f"{name} {most:g} is more than all of the light"
        line = lines[list(read).index(most)]
        raise _Unusable(problem, remedy="measure against the bare lamp again", line=line)
    if most <= 0.0:
        problem = f"every {name} is zero"
        raise _Unusable(problem, remedy="measure again with the lamp on")
    return tuple(
        max(value, 0.0) if name == "power" else min(max(value, 0.0), 1.0) for value in read
    )
