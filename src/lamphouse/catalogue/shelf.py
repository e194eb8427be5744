"""The shelf: every table of the catalogue, with the maker's own parts laid over it."""

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path, PurePosixPath
from types import MappingProxyType
from typing import Any

from lamphouse.catalogue import parts_rules
from lamphouse.catalogue.cell_types import CELL_TYPES, CellType
from lamphouse.catalogue.cells import nearest as nearest
from lamphouse.catalogue.cells import shortened
from lamphouse.catalogue.controllers import CONTROLLERS, ControllerType
from lamphouse.catalogue.drills import DRILLS, Drill, standard_drills
from lamphouse.catalogue.electric_parts import (
    PLUGS,
    RESISTOR_PACKAGES,
    WIRES,
    PlugType,
    ResistorPackage,
    WireType,
)
from lamphouse.catalogue.fibre_types import FIBRE_TYPES, FibreType
from lamphouse.catalogue.film_types import FILM_TYPES, FilmType
from lamphouse.catalogue.finishes import FINISHES, Finish
from lamphouse.catalogue.led_types import LED_TYPES, LedType, farthest_point
from lamphouse.catalogue.measured_spectra import PREFIX, read_spectrum
from lamphouse.catalogue.parts_rules import Refusal
from lamphouse.catalogue.protection import FUSES, PROTECTORS, FuseType, Protector
from lamphouse.catalogue.sheet_heat import SHEET_HEAT, SheetHeat
from lamphouse.catalogue.sheet_light import SHEET_LIGHT, SheetLight
from lamphouse.catalogue.sheet_stock import SHEET_STOCK, SheetStock
from lamphouse.catalogue.switches import SWITCHES, SwitchType
from lamphouse.catalogue.tables import Row, Table, load
from lamphouse.catalogue.timer_chips import TIMER_CHIPS, TimerChip
from lamphouse.catalogue.tube_types import TUBE_TYPES, TubeType
from lamphouse.catalogue.wall_coats import WALL_COATS, WallCoat
from lamphouse.findings import Finding, Where
from lamphouse.record import Record, replace
from lamphouse.units import Quantity, show


class Shelf(Record):
    """Every table by its name; each maps the name of a part to its row."""

    sheet_stock: Mapping[str, SheetStock]
    sheet_light: Mapping[str, SheetLight]
    """By material."""
    sheet_heat: Mapping[str, SheetHeat]
    """By material."""
    wall_coats: Mapping[str, WallCoat]
    finishes: Mapping[str, Finish]
    film_types: Mapping[str, FilmType]
    fibre_types: Mapping[str, FibreType]
    led_types: Mapping[str, LedType]
    wires: Mapping[str, WireType]
    plugs: Mapping[str, PlugType]
    resistor_packages: Mapping[str, ResistorPackage]
    cell_types: Mapping[str, CellType]
    fuses: Mapping[str, FuseType]
    protectors: Mapping[str, Protector]
    controllers: Mapping[str, ControllerType]
    switches: Mapping[str, SwitchType]
    timer_chips: Mapping[str, TimerChip]
    tube_types: Mapping[str, TubeType]
    drills: Mapping[str, Drill]
    """Thin to thick."""

    def count(self) -> int:
        """Count the rows of all tables."""
        return sum(len(getattr(self, name)) for name in TABLES)


TABLES: Mapping[str, Table[Any]] = MappingProxyType(
    {
        table.name: table
        for table in (
            SHEET_STOCK,
            SHEET_LIGHT,
            SHEET_HEAT,
            WALL_COATS,
            FINISHES,
            FILM_TYPES,
            FIBRE_TYPES,
            LED_TYPES,
            WIRES,
            PLUGS,
            RESISTOR_PACKAGES,
            CELL_TYPES,
            FUSES,
            PROTECTORS,
            CONTROLLERS,
            SWITCHES,
            TIMER_CHIPS,
            TUBE_TYPES,
            DRILLS,
        )
    }
)
"""Every table by its name, which is that of its file and of its field on the shelf."""


_DATA = Path(__file__).parent / "data"

_MEASURABLE = (
    ("film_types", "transmittance"),
    ("finishes", "reflectance"),
    ("led_types", "power"),
)
"""Tables whose rows may have a spectrum of their own, and the column it must hold."""


@cache
def built_in() -> Shelf:
    """Give the shelf as the program brings it.

    Raises
    ------
    ValueError
        If a built-in table has a fault, which is a bug.
    """
    return Shelf(
        sheet_stock=_built_in(SHEET_STOCK),
        sheet_light=_built_in(SHEET_LIGHT),
        sheet_heat=_built_in(SHEET_HEAT),
        wall_coats=_built_in(WALL_COATS),
        finishes=_built_in(FINISHES),
        film_types=_built_in(FILM_TYPES),
        fibre_types=_built_in(FIBRE_TYPES),
        led_types=_built_in(LED_TYPES),
        wires=_built_in(WIRES),
        plugs=_built_in(PLUGS),
        resistor_packages=_built_in(RESISTOR_PACKAGES),
        cell_types=_built_in(CELL_TYPES),
        fuses=_built_in(FUSES),
        protectors=_built_in(PROTECTORS),
        controllers=_built_in(CONTROLLERS),
        switches=_built_in(SWITCHES),
        timer_chips=_built_in(TIMER_CHIPS),
        tube_types=_built_in(TUBE_TYPES),
        drills=MappingProxyType({drill.name: drill for drill in standard_drills()}),
    )


def with_own(shelf: Shelf, folder_files: Mapping[str, str]) -> tuple[Shelf, tuple[Finding, ...]]:
    """Lay the maker's own parts over a shelf.

    Parameters
    ----------
    shelf
        What they override by name or stand beside.
    folder_files
        The text of each file in the project's ``parts`` folder, by its path as findings should
        name it, such as ``parts/led_types.csv``.

    Returns
    -------
    Shelf
        With every own row that has no fault.
    tuple of Finding
        CAT001 to CAT010, by file and line.
    """
    found: list[Finding] = []
    spectra = {file: text for file, text in folder_files.items() if _names_spectrum(file)}
    for file, text in sorted(folder_files.items()):
        if file in spectra:
            continue
        table = TABLES.get(PurePosixPath(file).name.removesuffix(".csv"))
        if table is None:
            found.extend(_unknown(file))
        else:
            shelf, told = _lay_over(shelf, table, text, file)
            found.extend(told)
    for file, text in sorted(spectra.items()):
        shelf, told = _with_spectrum(shelf, text, file)
        found.extend(told)
    return shelf, tuple(found)


def _names_spectrum(file: str) -> bool:
    return PurePosixPath(file).name.casefold().startswith(PREFIX)


def _with_spectrum(shelf: Shelf, text: str, file: str) -> tuple[Shelf, tuple[Finding, ...]]:
    """Give the film, finish or LED that a spectrum file is named after its readings."""
    spectrum, found = read_spectrum(text, file=file)
    if spectrum is None:
        return shelf, found
    name = PurePosixPath(file).name.removesuffix(".csv")[len(PREFIX) :]
    for table, column in _MEASURABLE:
        rows = getattr(shelf, table)
        if name not in rows:
            continue
        if getattr(spectrum, column) is None:
            return shelf, _refused(
                file, f"'{name}' needs a column '{column}'", f"add it; {table} are measured so"
            )
        laid = MappingProxyType(rows | {name: replace(rows[name], measured=spectrum)})
        return replace(shelf, **{table: laid}), ()
    names = [own for table, _ in _MEASURABLE for own in getattr(shelf, table)]
    meant = nearest(name, names)
    remedy = (
        f"rename it to '{PREFIX}{meant}.csv'" if meant else "add its row to parts/film_types.csv"
    )
    return shelf, _refused(file, f"no film, finish or LED is named '{shortened(name)}'", remedy)


def _refused(file: str, problem: str, remedy: str) -> tuple[Finding, ...]:
    where = Where(item=shortened(file), file=file)
    refusal = Refusal(where=where, what="spectrum", problem=problem, remedy=remedy)
    return parts_rules.unusable_spectrum([refusal])


def _lay_over(
    shelf: Shelf, table: Table[Any], text: str, file: str
) -> tuple[Shelf, tuple[Finding, ...]]:
    """Lay one file over its table."""
    loaded = load(text, table=table, file=file)
    known = getattr(shelf, table.name)
    by_plain = {name.casefold(): name for name in known}
    own, shared, overridden = {}, [], []
    stray: list[Refusal] = []
    for where, row in loaded.rows:
        alike = by_plain.get(row.name.casefold())
        if alike not in (None, row.name):
            shared.append(_differs_by_capitals(row.name, alike, where))
            continue
        own[row.name] = row
        if alike:
            overridden.append(_overrides(known[alike].origin.source, row, where))
            if table is LED_TYPES:
                stray.extend(_strays(row, known=known[alike], where=where))
    rows = known | own
    if table is DRILLS:
        rows = dict(sorted(rows.items(), key=lambda item: item[1].diameter_mm))
    told = (
        *loaded.found,
        *parts_rules.shared_name(shared),
        *parts_rules.overridden_part(overridden),
        *parts_rules.stray_readings(stray),
    )
    laid = replace(shelf, **{table.name: MappingProxyType(rows)})
    return laid, tuple(sorted(told, key=lambda finding: (finding.where.line, finding.code)))


def _differs_by_capitals(name: str, alike: str, where: Where) -> Refusal:
    problem = f"it differs from the built-in '{alike}' by its capitals alone"
    remedy = f"write '{alike}' to override it, or choose another name"
    return Refusal(where=where, what=f"name '{name}'", problem=problem, remedy=remedy)


def _overrides(source: str, row: Any, where: Where) -> Refusal:
    problem = f"it stands in for the built-in row, whose source is {source}"
    remedy = "nothing to do; rename it if both are wanted"
    return Refusal(where=where, what=f"'{row.name}'", problem=problem, remedy=remedy)


def _strays(own: LedType, *, known: LedType, where: Where) -> Iterator[Refusal]:
    """Tell an own forward curve that no LED of the type it stands in for would have."""
    farthest = farthest_point(own, known=known)
    if farthest is None or abs(farthest[1] - farthest[2]) <= known.spread_V:
        return
    current, given, usual, spread = (
        show(value, quantity, digits=3)
        for value, quantity in zip(
            (*farthest, known.spread_V),
            (Quantity.CURRENT, *[Quantity.VOLTAGE] * 3),
            strict=True,
        )
    )
    yield Refusal(
        where=where,
        what=f"'{own.name}'",
        problem=f"{given} at {current}, where the built-in type has {usual} within {spread}",
        remedy="measure again, with the meter across the LED alone; if it is right, this is "
        "another LED: give it a name of its own",
    )


def _unknown(file: str) -> tuple[Finding, ...]:
    meant = nearest(PurePosixPath(file).name.removesuffix(".csv"), TABLES)
    remedy = f"rename it to {meant}.csv" if meant else "move it out of the folder"
    return parts_rules.unknown_table(
        [
            Refusal(
                where=Where(item=shortened(file), file=file),
                what="file",
                problem=f"there is no such table; tables are {', '.join(TABLES)}",
                remedy=remedy,
            )
        ]
    )


def _built_in(table: Table[Row]) -> Mapping[str, Row]:
    file = f"{table.name}.csv"
    text = (_DATA / file).read_text(encoding="utf-8")
    loaded = load(text, table=table, file=file)
    if loaded.found:
        faults = "; ".join(str(finding) for finding in loaded.found)
        raise ValueError(faults)
    return MappingProxyType({row.name: row for _, row in loaded.rows})
