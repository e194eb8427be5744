"""A strip squeezed for as long as one waits by an outside library, and proved by the same proof.

The library stops by the clock, so its result depends on the machine, whatever the seed: it has no
place in what must come out byte for byte the same. It knows no cut-outs, so nothing comes to lie
in one. It reckons in single precision; a little room is added to the gap for that.
"""

from collections.abc import Sequence

from lamphouse.cutting.sheet_proof import prove_strip
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
        At least 2; it may stop a little later.
    seed
        Where its search begins. The time still changes the result.

    Raises
    ------
    SqueezeMissing
        Without the library.
    LayoutFault
        If its layout does not hold.
    """
    try:
        import spyrrow
    except ImportError as fault:
        missing = "the long squeeze needs the library spyrrow: install lamphouse[squeeze]"
        raise SqueezeMissing(missing) from fault
    arcs = any(bulge for shape in shapes for _, _, bulge in shape.outline)
    room = gap_mm + height_mm * SINGLE_PRECISION + (2.0 * CHORD_MM if arcs else 0.0)
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
            min_items_separation=room,
            num_workers=1,
            seed=seed,
        )
    )
    strip = strip_of(
        shapes,
        places=tuple(
            StripPlace(
                shape=int(one.id),
                turn_deg=one.rotation % 360.0,
                x_mm=one.translation[0],
                y_mm=one.translation[1],
            )
            for one in solved.placed_items
        ),
        height_mm=height_mm,
        gap_mm=gap_mm,
    )
    prove_strip(strip, shapes=shapes)
    return strip
