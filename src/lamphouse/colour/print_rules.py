"""The rules of prints: pale when lit, too coarse, cut off at the edges."""

from collections.abc import Iterable, Sequence

from lamphouse.colour.artwork_fit import Reading
from lamphouse.findings import MendEdit, Severity, Told, Where, rule, sets
from lamphouse.record import Record

ENOUGH = 0.05
"""Share of a picture out of reach that nobody minds [MEMORY]."""
PALE = 0.25
"""Share from which a print disappoints [MEMORY]."""
COARSE_DPI = 150.0
"""Pixels per inch below which a print held in the hand looks coarse [PRACTICE]."""
_GOOD_DPI = 300.0
_NOTABLE = 0.02
"""Share cut off a picture that is worth telling."""


class Tried(Record, eq=False):
    """A number of films, and how the artwork made for them reads."""

    films: int
    reading: Reading
    black: float
    """Luminance of black over that of clear places."""


def _films(count: int) -> str:
    return "one film" if count == 1 else f"{count} films"


@rule("COL020", Severity.WARN, "A print looks pale when lit")
def pale_print(
    where: Where, *, layer: int, file: str, own: Tried, more: Sequence[Tried]
) -> Iterable[Told]:
    """Warn of a print whose colours no ink brings back on so few films.

    What it checks
        The picture as it would be seen lit, with the artwork made for its lamp as well as the inks
        allow: how much of it stays far from what was drawn, and whether more films would do.

    Why it matters
        On paper light passes the ink twice, in front of a lamp once: a print of half the density,
        with greys for blacks. A second film, laid mark on mark, restores it.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [opal film 60, {film: print film, artwork: chart.png}]

    Mend
        As many films as the finding names, each with the print of the pack.

    Source
        Densities by one and two passes [CLAPPER-YULE]; how much is too much [MEMORY].
    """
    lost = own.reading.out_of_reach
    if lost <= PALE:
        return
    good = [tried for tried in more if tried.reading.out_of_reach <= ENOUGH]
    mend: tuple[MendEdit, ...] = ()
    better = good or [tried for tried in more if tried.reading.out_of_reach <= lost / 2.0]
    message = (
        f"lit, '{file[:60]}' on {_films(own.films)} stays pale however it is printed: {lost:.0%} "
        f"of it is far from what was drawn, and black passes {own.black:.1%}"
    )
    if not better:
        remedy = "draw it lighter and paler, or see lamphouse artwork --ways for gels and LEDs"
    else:
        best = better[0]
        mend = sets(f"layers {layer} films", str(best.films))
        remedy = (
            f"write films: {best.films}, printed alike and laid mark on mark "
            f"({best.reading.out_of_reach:.0%} far off, black {best.black:.1%})"
        )
    yield Told(where=where, message=message, remedy=remedy, mend=mend)


class Fit(Record):
    """A picture and the size it is printed at."""

    file: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float

    @property
    def dpi(self) -> float:
        """Pixels per inch when the picture fills the opening."""
        return 25.4 * min(self.columns / self.width_mm, self.rows / self.height_mm)

    def needed(self, dpi: float) -> str:
        """Give the pixels that would do."""
        wide, high = (round(side / 25.4 * dpi) for side in (self.width_mm, self.height_mm))
        return f"{wide} x {high} pixels"


@rule("COL021", Severity.NOTE, "Artwork is coarse")
def coarse_artwork(where: Where, *, fit: Fit) -> Iterable[Told]:
    """Tell when the pixels of a print will show.

    What it checks
        Pixels of the picture over the size of its opening: 150 to the inch and more.

    Why it matters
        A screen of a model is looked at from close by, and lit from behind every step shows.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [opal film 60, {film: print film, films: 2, artwork: chart.png}]

    Mend
        Save the picture with as many pixels as the finding names.

    Source
        Common practice [PRACTICE].
    """
    if fit.dpi < COARSE_DPI:
        yield Told(
            where=where,
            message=f"'{fit.file[:60]}' has {fit.dpi:.0f} pixels per inch at its printed size of "
            f"{fit.width_mm:.3g} x {fit.height_mm:.3g} mm; below {COARSE_DPI:.0f} they show",
            remedy=f"save it with {fit.needed(_GOOD_DPI)} or more",
        )


@rule("COL022", Severity.NOTE, "Artwork is cut off at the edges")
def cropped_artwork(where: Where, *, fit: Fit) -> Iterable[Told]:
    """Tell when a picture has another shape than its opening.

    What it checks
        Width over height of the picture and of the opening.

    Why it matters
        The picture is scaled until it fills the opening, its middle kept; what stands over is cut
        off, and with it perhaps a frame or a word.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen:
                        layers: [opal film 60, {film: print film, films: 2, artwork: chart.png}]

    Mend
        Draw the picture with as many pixels as the finding names, or in the same ratio.

    Source
        Design rule of this project.
    """
    ratio = fit.columns / fit.rows * fit.height_mm / fit.width_mm
    cut = 1.0 - min(ratio, 1.0 / ratio)
    if cut > _NOTABLE:
        sides = "left and right" if ratio > 1.0 else "top and bottom"
        yield Told(
            where=where,
            message=f"'{fit.file[:60]}' is {fit.columns} x {fit.rows} pixels, its opening "
            f"{fit.width_mm:.3g} x {fit.height_mm:.3g} mm: {cut:.0%} is cut off {sides}",
            remedy=f"draw it {fit.needed(max(_GOOD_DPI, fit.dpi))}",
        )
