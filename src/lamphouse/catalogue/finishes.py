"""Finishes: what the inside of a light box is painted or lined with."""

from lamphouse.catalogue.cells import Span, amount, one_of
from lamphouse.catalogue.dyes import DyePart, dye
from lamphouse.catalogue.measured_spectra import MeasuredSpectrum
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity

_BARE = ("bare ", "white card", "white foam board")
"""How the names of finishes begin that are the sheet itself."""


class Finish(Record):
    """A surface seen from inside the box."""

    name: str
    reflectance: float
    """Share of the light it throws back, 0 to below 1: diffusely when matt, as a mirror when
    shiny."""
    shine: str
    """``matt`` or ``shiny``; no diffuse glow can be computed for a box with shiny walls."""
    origin: Origin
    dye: tuple[DyePart, ...] | None = None
    """What makes its colour, a guess for the class; None: it is grey, or measured."""
    measured: MeasuredSpectrum | None = None
    """Its own readings, which stand in for its reflectance and its dye."""

    @property
    def is_bare(self) -> bool:
        """Whether it is the sheet itself, with nothing laid on it."""
        return self.name.startswith(_BARE)


FINISHES = Table(
    name="finishes",
    row=Finish,
    columns=(
        Column(
            name="reflectance",
            fields=("reflectance",),
            read=amount(
                Quantity.SHARE,
                span=Span(least=0, most=0.995, why="a surface throws back less light than it gets"),
            ),
        ),
        Column(name="shine", fields=("shine",), read=one_of("matt", "shiny")),
        Column(name="dye", fields=("dye",), read=dye, may_be_missing=True),
    ),
)
