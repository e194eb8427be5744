"""Boxes that are alike are solved once, wherever they stand and whatever they are called."""

from functools import lru_cache

from lamphouse.light import glow
from lamphouse.light.scene import (
    Aperture,
    Box,
    Disc,
    Lamp,
    Patch,
    Rectangle,
    Ring,
    Shape,
    Spot,
)
from lamphouse.record import replace

KEPT = 64
"""Boxes whose answer is kept, some 10 kB each."""
_DIGITS = 9
"""Places are told apart to 1e-9 mm, so that the same box a step further is the same."""


def solve_alike(box: Box, *, step: float | None = None) -> glow.Glow:
    """Predict the luminance of every opening of a box, as of the same box at its own datum.

    Parameters
    ----------
    box
        A box that ``sound_box.faults`` finds no fault with.
    step
        Fine step of the mesh. [mm]. None: chosen from depth and narrowest width.

    Returns
    -------
    Glow
        What :func:`lamphouse.light.glow.solve` gives for places rounded to 1e-9 mm.
    """
    solved = _solved(at_datum(box), step=step)
    looks = tuple(
        replace(look, name=aperture.name)
        for look, aperture in zip(solved.looks, box.apertures, strict=True)
    )
    return replace(solved, looks=looks)


@lru_cache(maxsize=KEPT)
def _solved(box: Box, *, step: float | None) -> glow.Glow:
    solved = glow.solve(box, step=step)
    for look in solved.looks:
        for array in (look.luminance_cd_m2, look.area_mm2, look.spot_bar_cd_m2):
            array.setflags(write=False)
    return solved


def at_datum(box: Box) -> Box:
    """Move a box so that its outline touches both axes, and take the names off what it holds."""
    moves = _Moves(left_mm=min(x for x, _ in box.outline), bottom_mm=min(y for _, y in box.outline))
    return replace(
        box,
        outline=moves.ring(box.outline),
        lamps=tuple(moves.lamp(lamp) for lamp in box.lamps),
        apertures=tuple(moves.aperture(aperture) for aperture in box.apertures),
        holes=tuple(moves.ring(hole) for hole in box.holes),
        baffles=tuple(
            replace(baffle, start_mm=moves.spot(baffle.start_mm), end_mm=moves.spot(baffle.end_mm))
            for baffle in box.baffles
        ),
        ports=tuple(
            replace(port, start_mm=moves.spot(port.start_mm), end_mm=moves.spot(port.end_mm))
            for port in box.ports
        ),
    )


class _Moves:
    """Everything of a box moved by as much."""

    def __init__(self, *, left_mm: float, bottom_mm: float) -> None:
        self.left_mm, self.bottom_mm = left_mm, bottom_mm

    def x(self, x_mm: float) -> float:
        return round(x_mm - self.left_mm, _DIGITS)

    def y(self, y_mm: float) -> float:
        return round(y_mm - self.bottom_mm, _DIGITS)

    def spot(self, spot: Spot) -> Spot:
        return self.x(spot[0]), self.y(spot[1])

    def ring(self, ring: Ring) -> Ring:
        return tuple(self.spot(spot) for spot in ring)

    def shape(self, shape: Shape) -> Shape:
        if isinstance(shape, Rectangle):
            return Rectangle(
                left_mm=self.x(shape.left_mm),
                bottom_mm=self.y(shape.bottom_mm),
                right_mm=self.x(shape.right_mm),
                top_mm=self.y(shape.top_mm),
            )
        if isinstance(shape, Disc):
            return replace(shape, x_mm=self.x(shape.x_mm), y_mm=self.y(shape.y_mm))
        return Patch(ring=self.ring(shape.ring))

    def lamp(self, lamp: Lamp) -> Lamp:
        return replace(lamp, name="", x_mm=self.x(lamp.x_mm), y_mm=self.y(lamp.y_mm))

    def aperture(self, aperture: Aperture) -> Aperture:
        return replace(
            aperture,
            name="",
            shape=self.shape(aperture.shape),
            shown=tuple(self.shape(shape) for shape in aperture.shown),
        )
