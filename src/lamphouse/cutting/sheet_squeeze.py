"""A strip squeezed for as long as one waits by an outside library, and proved by the same proof.

The library stops by the clock, so its result depends on the machine, whatever the seed: it has no
place in what must come out byte for byte the same. It knows no cut-outs, so nothing comes to lie
in one. It reckons in single precision, and its layout may fail the proof by a hair; then it is
asked once more, with a little room added to the gap.
"""

from collections.abc import Sequence

from lamphouse.cutting.sheet_proof import LayoutFault, prove_strip
from lamphouse.cutting.sheet_strip import Strip, StripPlace, StripShape, strip_of
from lamphouse.shapes.flatten import flatten

SINGLE_PRECISION = 1e-5
"""Room added to the gap, over the height of the strip."""
CHORD_MM = 0.01
"""Greatest distance between an arc and its chords; the chords are given this room too."""


class SqueezeMissing(Exception):
    """The library of the extra ``squeeze`` is not installed."""


def squeeze_strip(
    shapes: Sequence[StripShape],
    *,
    height_mm: float,
    gap_mm: float = 0.0,
    seconds: int,
    seed: int,
) -> Strip:
    """Lay shapes in a strip as short as the library finds in the time.

    Parameters
    ----------
    shapes
        With sound outlines; their cut-outs are passed over.
    height_mm
        Of the strip.
    seconds
        At least 2; it may stop a little later, and takes twice as long when asked again.
    seed
        Where its search begins. The time still changes the result.

    Raises
    ------
    SqueezeMissing
        Without the library.
    LayoutFault
        If its layout does not hold.
    """
    rooms = (gap_mm, gap_mm + height_mm * SINGLE_PRECISION + 2.0 * CHORD_MM)
    for room_mm in rooms:
        strip = _solved(
            shapes, height_mm=height_mm, gap_mm=gap_mm, room_mm=room_mm, seconds=seconds, seed=seed
        )
        try:
            prove_strip(strip, shapes=shapes)
        except LayoutFault:
            if room_mm == rooms[-1]:
                raise
        else:
            break
    return strip


def _solved(
    shapes: Sequence[StripShape],
    *,
    height_mm: float,
    gap_mm: float,
    room_mm: float,
    seconds: int,
    seed: int,
) -> Strip:
    """Let the library keep some room between the shapes, none at nought."""
    try:
        import spyrrow
    except ImportError as fault:
        missing = "the long squeeze needs the library spyrrow: install lamphouse[squeeze]"
        raise SqueezeMissing(missing) from fault
    solved = spyrrow.StripPackingInstance(
        "",
        strip_height=height_mm,
        items=[
            spyrrow.Item(
                str(number),
                flatten(shape.outline, error_mm=CHORD_MM),
                demand=shape.count,
                allowed_orientations=shape.turns_deg,
            )
            for number, shape in enumerate(shapes)
        ],
    ).solve(
        spyrrow.StripPackingConfig(
            total_computation_time=seconds,
            min_items_separation=room_mm or None,
            num_workers=1,
            seed=seed,
        )
    )
    places = tuple(
        StripPlace(
            shape=int(one.id),
            turn_deg=one.rotation % 360.0,
            x_mm=one.translation[0],
            y_mm=one.translation[1],
        )
        for one in solved.placed_items
    )
    return strip_of(shapes, places=places, height_mm=height_mm, gap_mm=gap_mm)
