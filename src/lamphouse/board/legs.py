"""Bodies of parts for a board, and the postures in which their leads reach holes of the grid.

A lead leaves its body straight for one lead diameter, never less than 0.8 mm, and then bends with
an inside radius of one lead diameter [LEAD-FORMING].
"""

from enum import StrEnum
from math import ceil

from lamphouse.board.holes import PAD_MM, PITCH_MM
from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.record import Record

LEAST_STRAIGHT_MM = 0.8
"""Straight lead at the body, where the lead is thinner [LEAD-FORMING]."""
LEAD_LENGTH_MM = 25.0
"""Of a new axial part, from its body [MEMORY]."""
BODY_GAP_MM = 0.1
"""Kept free between a body and anything else [PRACTICE]."""
CHIP_LAP_MM = 0.25
"""What each end of a chip must cover of its pad [PRACTICE]."""
_LYING_MORE = 2
"""A lying part may span so many holes more than it needs."""
_STANDING_MOST = 2


class Form(StrEnum):
    """How a body carries its leads."""

    AXIAL = "axial"
    CHIP = "chip"
    RADIAL = "radial"


class Posture(StrEnum):
    """How a part sits on its board."""

    LYING = "lying"
    STANDING = "standing"
    """Its body upright over the hole of one lead; the other lead comes down beside it."""
    CHIP = "flat on the solder side"
    RADIAL = "on its own pins"


class PartBody(Record):
    """The body of a part and its leads."""

    name: str
    form: Form
    size_mm: tuple[float, float, float]
    """Length, width and height; an axial body is as wide as it is high."""
    lead_mm: float
    """Diameter of its leads; 0 for a chip."""
    pin_steps: tuple[tuple[int, int], ...] = ()
    """Of a radial part: holes to the right and down from its first pin to each of its pins."""


TRIM_KNOB = PartBody(
    name="trim knob",
    form=Form.RADIAL,
    size_mm=(6.7, 6.7, 5.0),
    lead_mm=0.6,
    pin_steps=((0, 0), (1, 1), (2, 0)),
)
"""A single-turn knob of the 6 mm class, its three pins in a triangle [MEMORY]."""
FUSE = PartBody(
    name="resettable fuse",
    form=Form.RADIAL,
    size_mm=(7.4, 3.1, 12.0),
    lead_mm=0.6,
    pin_steps=((0, 0), (2, 0)),
)
"""A radial resettable fuse up to 0.5 A [MEMORY]."""
DIODE = PartBody(name="diode", form=Form.AXIAL, size_mm=(5.2, 2.7, 2.7), lead_mm=0.85)
"""An axial rectifier of 1 A [MEMORY]."""


def resistor_body(package: ResistorPackage) -> PartBody:
    """Give the body of a resistor.

    Parameters
    ----------
    package
        Its row of the catalogue; a name of digits alone is a chip.

    Notes
    -----
    The catalogue does not say how thick leads are: they follow the body as in [AXIAL-RESISTORS].
    """
    if package.name.isdigit():
        return PartBody(name=package.name, form=Form.CHIP, size_mm=package.body_mm, lead_mm=0.0)
    thick = package.body_mm[1]
    lead = 0.5 if thick <= 2.0 else 0.6 if thick <= 3.0 else 0.7 if thick <= 4.5 else 0.8
    return PartBody(name=package.name, form=Form.AXIAL, size_mm=package.body_mm, lead_mm=lead)


def least_span_mm(body: PartBody) -> float:
    """Give the least distance between the bent leads of a lying part [LEAD-FORMING]."""
    straight = max(LEAST_STRAIGHT_MM, body.lead_mm)
    return body.size_mm[0] + 2.0 * (straight + 1.5 * body.lead_mm)


class Pose(Record):
    """A part in one posture, turned one way."""

    posture: Posture
    steps: tuple[tuple[int, int], ...]
    """Holes to the right and down from its first pin to each pin."""
    upright_over: int = 0
    """Index of the pin whose hole a standing body stands over."""


def poses(body: PartBody, *, standing: bool) -> tuple[Pose, ...]:
    """List every way a part may sit; none where the grid does not suit it.

    Parameters
    ----------
    body
        The part.
    standing
        Whether axial parts may stand instead of lying.
    """
    if body.form is Form.RADIAL:
        return tuple(
            Pose(posture=Posture.RADIAL, steps=steps) for steps in _quarter_turns(body.pin_steps)
        )
    if body.form is Form.CHIP:
        reaches = body.size_mm[0] >= PITCH_MM - PAD_MM + 2.0 * CHIP_LAP_MM
        spans = [(Posture.CHIP, 1)] if reaches and body.size_mm[0] <= PITCH_MM + PAD_MM else []
    else:
        spans = _axial_spans(body, standing=standing)
    return tuple(
        Pose(posture=posture, steps=steps, upright_over=over)
        for posture, span in spans
        for steps in _quarter_turns(((0, 0), (span, 0)))
        for over in ((0, 1) if posture is Posture.STANDING else (0,))
    )


def _axial_spans(body: PartBody, *, standing: bool) -> list[tuple[Posture, int]]:
    least = ceil(least_span_mm(body) / PITCH_MM - 1e-9)
    spans = [(Posture.LYING, least + more) for more in range(_LYING_MORE + 1)]
    if standing:
        beside = max(body.size_mm[1] / 2 + body.lead_mm / 2 + BODY_GAP_MM, 3.0 * body.lead_mm)
        first = ceil(beside / PITCH_MM - 1e-9)
        spans += [(Posture.STANDING, span) for span in range(first, _STANDING_MOST + 1)]
    return spans


def _quarter_turns(steps: tuple[tuple[int, int], ...]) -> list[tuple[tuple[int, int], ...]]:
    turned = [steps]
    for _ in range(3):
        turned.append(tuple((-down, right) for right, down in turned[-1]))
    return turned


def fewest_holes(body: PartBody, *, standing: bool) -> int:
    """Give the holes a part takes at least: its leads, and those it covers between them.

    No wire and no lead of another part fits a hole that it covers.
    """
    if body.form is Form.RADIAL:
        return len(body.pin_steps)
    if body.form is Form.CHIP or standing:
        return 2
    return ceil(least_span_mm(body) / PITCH_MM - 1e-9) + 1
