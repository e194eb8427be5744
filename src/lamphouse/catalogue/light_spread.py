"""How light is spread over directions: the readings of a film's haze and of an LED's beam."""

import re
from itertools import pairwise

from lamphouse.catalogue.cells import OutOfRange, Span, pair, shortened
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse, show

MOST_POINTS = 40
"""Points a beam may have."""
_ROUNDING = 1e-6
_PART = re.compile(r"(\S+ ?%) +(?:(even|straight)|within +(\S.*))")
_SHARE = Span(least=0, most=1, why="a share of the light lies between none and all of it")
_WIDTH = Span(least=2.5, most=90, why="a lobe is narrower than even light and wider than a ray")
_HAZE_LIKE = "such as 60 % even; 30 % within 24 deg; 10 % straight"
_BEAM_LIKE = "such as 100 % at 0 deg; 50 % at 60 deg; 0 % at 90 deg"


class FilmHaze(Record):
    """Where the light that passes a film goes; the three shares add up to 1."""

    even: float
    """Share that leaves evenly in all directions."""
    lobe: float
    """Share scattered about its own direction."""
    straight: float
    """Share that goes straight on; one less the haze of a haze meter, which counts what leaves by
    more than 2.5 degrees [HAZE-METER]."""
    width_deg: float
    """Full width of the lobe at half of its peak."""


def film_haze(text: str) -> FilmHaze:
    """Read where passed light goes: ``60 % even; 30 % within 24 deg; 10 % straight``.

    Raises
    ------
    UnitError
        If a part is not clear.
    OutOfRange
        If the shares do not add up to 100 %, or a lobe is no lobe.
    """
    shares = {"even": 0.0, "lobe": 0.0, "straight": 0.0}
    width = _WIDTH.most or 0.0
    for part in filter(None, (part.strip() for part in text.split(";"))):
        found = _PART.fullmatch(part)
        if found is None:
            problem = f"'{shortened(part)}' is no part of a haze"
            raise UnitError(problem, remedy=f"write a share and where it goes, {_HAZE_LIKE}")
        share = parse(found[1], Quantity.SHARE)
        _SHARE.check(share, given=found[1], words=lambda value: show(value, Quantity.SHARE))
        if found[3]:
            width = parse(found[3], Quantity.ANGLE)
            _WIDTH.check(width, given=found[3], words=lambda value: show(value, Quantity.ANGLE))
        name = found[2] or "lobe"
        if shares[name]:
            problem = f"'{shortened(part)}' is the second of its kind"
            raise UnitError(problem, remedy=f"write each kind once, {_HAZE_LIKE}")
        shares[name] = share
    whole = sum(shares.values())
    if abs(whole - 1.0) > _ROUNDING:
        problem = f"the shares of the haze add up to {show(whole, Quantity.SHARE, digits=3)}"
        raise OutOfRange(problem, remedy=f"write shares that make 100 %, {_HAZE_LIKE}")
    return FilmHaze(
        even=shares["even"] / whole,
        lobe=shares["lobe"] / whole,
        straight=shares["straight"] / whole,
        width_deg=width,
    )


def beam_points(text: str) -> tuple[tuple[float, float], ...]:
    """Read the intensity of an LED by angle: ``100 % at 0 deg; 50 % at 60 deg; 0 % at 90 deg``.

    Returns
    -------
    tuple of (float, float)
        Angle from the axis [degree] and intensity as a share of any one value, rising in angle
        from 0; what lies beyond the last is dark.

    Raises
    ------
    UnitError
        If a point is not clear, or there are fewer than two or more than ``MOST_POINTS``.
    OutOfRange
        If the points do not begin on the axis, or all of them are dark.
    """
    spans = (
        Span(least=0, most=10, why="an intensity is none or more, beside that on the axis"),
        Span(least=0, most=180, why="an angle is counted from the axis"),
    )
    point = pair(Quantity.SHARE, Quantity.ANGLE, spans=spans)
    written = [part for part in text.split(";") if part.strip()]
    if not 2 <= len(written) <= MOST_POINTS:
        problem = f"a beam has 2 to {MOST_POINTS} points, not {len(written)}"
        raise UnitError(problem, remedy=f"write points with ; between, {_BEAM_LIKE}")
    points = sorted((angle, share) for share, angle in map(point, written))
    if points[0][0] > 0.0 or any(one[0] == other[0] for one, other in pairwise(points)):
        problem = "a beam begins at 0 deg and has one intensity at each angle"
        raise OutOfRange(problem, remedy=f"write each angle once, {_BEAM_LIKE}")
    if not any(share for _, share in points):
        problem = "no angle of this beam has any light"
        raise OutOfRange(problem, remedy=f"write intensities above 0, {_BEAM_LIKE}")
    return tuple(points)


def half_width_deg(points: tuple[tuple[float, float], ...]) -> float:
    """Give the full width at half of the greatest intensity, between points by straight lines.

    Counted to the outermost such angle; twice the last angle where the beam ends brighter.
    """
    half = max(share for _, share in points) / 2.0
    for (low, bright), (high, dark) in reversed(list(pairwise(points))):
        if bright >= half > dark:
            return 2.0 * (low + (high - low) * (bright - half) / (bright - dark))
    return 2.0 * points[-1][0]
