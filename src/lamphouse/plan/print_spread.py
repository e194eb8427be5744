"""How sure the reading of a print is: the same print with ink as thin, or as dense, as may be."""

import numpy as np

from lamphouse.colour.artwork_fit import Reading, look_of, reading
from lamphouse.colour.colour_cube import read_at
from lamphouse.colour.print_chart import TYPICAL_OFF, thicker
from lamphouse.design.artwork import Print
from lamphouse.plan.artworked import ArtworkStudy, colours_of
from lamphouse.plan.printed_opening import charted
from lamphouse.record import Record, replace

BLACK_OFF = 0.05
"""Share by which a black measured with a light meter may be off [MEMORY]."""


class InkSpread(Record):
    """The inks of a print, how sure they are, and what that makes of it."""

    solids: tuple[float, float, float, float]
    """Density of solid cyan, magenta, yellow and black, on one pass."""
    off: tuple[float, float, float, float]
    """Share of it by which each may be off."""
    chart: str
    """What told them; empty where they are guesses of their kind."""
    missed: float
    """By how much the chart's readings are missed on the mean, as a share of the light."""
    thinner: Reading
    """The same print, all inks as thin as they may be."""
    denser: Reading


def ink_spread(study: ArtworkStudy) -> InkSpread:
    """Read a print with ink as thin, and as dense, as may be, laid down as ever."""
    printed = next(layer.printed for layer in study.layers if layer.printed)
    off, missed = _off(printed)
    thinner, denser = (_read(study, by=[sign * share for share in off]) for sign in (-1.0, 1.0))
    return InkSpread(
        solids=study.look.inks.solids,
        off=off,
        chart=printed.chart.name if printed.chart else "",
        missed=missed,
        thinner=thinner,
        denser=denser,
    )


def _off(printed: Print) -> tuple[tuple[float, float, float, float], float]:
    off, missed = (TYPICAL_OFF,) * 4, 0.0
    if printed.chart:
        told = charted(printed.chart, printed.printer)
        off, missed = told.off, told.missed
    if printed.black_passes is not None:
        off = (*off[:3], BLACK_OFF)
    return off, missed


def _read(study: ArtworkStudy, *, by: list[float]) -> Reading:
    inks = thicker(study.look.inks, by=by)
    layers = tuple(
        replace(layer, inks=inks) if layer.inks else layer for layer in study.look.backlit.layers
    )
    look = look_of(replace(study.look.backlit, layers=layers), inks=inks)
    drawn, shares = colours_of(study.artwork)
    printed = read_at(study.made, drawn)
    return reading(look, drawn, printed=np.asarray(printed), weights=shares)
