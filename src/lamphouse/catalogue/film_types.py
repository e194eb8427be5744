"""Films: diffusers, gels, tints and printable film."""

from collections.abc import Iterable

from lamphouse.catalogue.cells import OutOfRange, Span, amount, one_of
from lamphouse.catalogue.dyes import DyePart, dye
from lamphouse.catalogue.light_spread import FilmHaze, film_haze
from lamphouse.catalogue.measured_spectra import MeasuredSpectrum
from lamphouse.catalogue.photo_readings import Rgb, photo_readings
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, show

DIFFUSER = "diffuser"
FILM = "film"
"""Material of a film that pieces are cut from."""
_ROUNDING = 1e-9
"""Two shares written in per cent may add up to a hair above 1."""


class FilmType(Record):
    """A film or coat that light goes through."""

    name: str
    use: str
    """``diffuser``, ``gel``, ``tint coat``, ``print`` or ``decal``."""
    thickness_mm: float
    transmittance: float
    """Total visible transmittance, 0 to 1, of one film or coat, in daylight (D65). A
    print counts as clear film without ink."""
    reflectance: float
    """Diffuse reflectance on the lamp's side, 0 to 1."""
    origin: Origin
    dye: tuple[DyePart, ...] | None = None
    """What makes its colour, a guess for the class of film; none of it in a neutral film. None:
    not known, so that a gel may have any colour, and a diffuser counts as grey."""
    measured: MeasuredSpectrum | None = None
    """Its own readings, which stand in for its shares and its dye."""
    photo: tuple[Rgb, ...] | None = None
    """Red, green, blue of a photograph through 0, 1, 2 coats, which stand in likewise."""
    haze: FilmHaze | None = None
    """Where the light goes that a diffuser passes; None: not known, and taken as even."""


def as_sheet(film: FilmType) -> SheetStock:
    """Give a film as what pieces are cut from; it is sold in many sizes, so it has none."""
    return SheetStock(
        name=film.name,
        material=FILM,
        thickness_mm=film.thickness_mm,
        size_mm=None,
        origin=film.origin,
    )


def _faults(film: FilmType) -> Iterable[OutOfRange]:
    if film.transmittance + film.reflectance > 1 + _ROUNDING:
        passes = show(film.transmittance, Quantity.SHARE)
        throws = show(film.reflectance, Quantity.SHARE)
        problem = f"{passes} passed and {throws} thrown back are more light than comes in"
        left = show(1 - film.transmittance, Quantity.SHARE)
        yield OutOfRange(problem, remedy=f"write a reflectance of at most {left}")
    if film.haze is not None and film.use != DIFFUSER:
        problem = f"a haze is told of a {DIFFUSER}, and this is a {film.use}"
        yield OutOfRange(problem, remedy=f"write {DIFFUSER} as its use, or leave its haze empty")


_SHARE = Span(least=0, most=1, why="a share of the light lies between none and all of it")

FILM_TYPES = Table(
    name="film_types",
    row=FilmType,
    columns=(
        Column(
            name="use",
            fields=("use",),
            read=one_of(DIFFUSER, "gel", "tint coat", "print", "decal"),
        ),
        Column(
            name="thickness",
            fields=("thickness_mm",),
            read=amount(Quantity.LENGTH, span=Span(above=0, most=20, why="a film has a thickness")),
        ),
        Column(
            name="transmittance",
            fields=("transmittance",),
            read=amount(Quantity.SHARE, span=_SHARE),
        ),
        Column(
            name="reflectance",
            fields=("reflectance",),
            read=amount(Quantity.SHARE, span=_SHARE),
        ),
        Column(name="dye", fields=("dye",), read=dye, may_be_missing=True),
        Column(name="photo", fields=("photo",), read=photo_readings, may_be_missing=True),
        Column(name="haze", fields=("haze",), read=film_haze, may_be_missing=True),
    ),
    faults=_faults,
)
