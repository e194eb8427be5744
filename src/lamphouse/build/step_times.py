"""How long steps take and how long things dry: common practice, no source [PRACTICE].

Hands-on minutes are for a builder who has done it before; they are for spreading work over
evenings, not for a race. Where a maker's paint or glue says otherwise, that holds.
"""

from math import ceil

STEP_MIN = 5.0
"""Minutes are told in whole fives."""

CUT_MIN, CUT_OUT_MIN = 6.0, 2.0
"""A piece cut with the knife, and each cut-out in it."""
DRILL_SET_MIN, HOLE_MIN = 5.0, 0.75
"""Pieces marked and taped down, and each hole with its pilot."""
FOLD_MIN = 4.0
"""A fold scored and folded."""
PRINT_BODY_MIN = 15.0
"""A printed body started, taken off and cleaned."""
FORMER_MIN = 4.0
"""A rib or upright of a former set and glued."""
LAMINATE_MIN = 20.0
"""A layer bent and glued over its former."""
PRIME_MIN, COAT_MIN, MASK_MIN, UNMASK_MIN = 10.0, 15.0, 4.0, 5.0
"""Coats with their cleaning up; a piece of mask cut and rubbed down; all masks taken off."""
INSIDE_MIN, BLACK_MIN, TINT_MIN, CLEAR_MIN = 10.0, 8.0, 10.0, 10.0
"""The inside of a box; a coat against light; a tint coat; a clear coat."""
FILM_MIN, DECAL_MIN, PRINT_MIN = 5.0, 10.0, 5.0
"""A film cut and laid, a decal, a film printed."""
SLICE_MIN, BAR_MIN = 3.0, 5.0
"""A slice of a pillar cut and glued on the one before it; a rod or bar cut square to its length."""
JOINT_MIN = 3.0
"""A piece of a box glued on."""
SEAM_MIN = 10.0
"""The seams of a box taped or filled."""
LED_TEST_MIN, LEADS_MIN, SET_LED_MIN, SLEEVE_MIN = 0.5, 4.0, 2.0, 0.5
"""For each LED: tested, its leads soldered on, glued down, its sleeves slid on."""
TILT_LED_MIN = 5.0
"""For each tilted LED more: its wedge filed, or its legs bent."""
BOARD_SET_MIN, PART_MIN, PLUG_MIN, JOIN_MIN = 15.0, 3.0, 10.0, 3.0
"""A board cut and begun, each part soldered to it, a plug, each lead joined."""
READING_MIN, LOOK_MIN = 1.0, 5.0
"""A reading taken; a look at it in the dark."""
KNOB_MIN = 4.0
"""A string set by its knob, and the resistor soldered in its place."""
STRAND_MIN, HEAD_MIN, BUNDLE_MIN, COUPLE_MIN = 2.0, 1.0, 15.0, 8.0
"""A strand threaded and glued, its head melted or trimmed; a bundle; a source coupled to it."""
RUN_MIN, SPLITTER_MIN, FLOOR_HOLE_MIN = 4.0, 15.0, 2.0
"""Of the loom: a wire laid and soldered at both ends, a splitter board, a hole in the floor."""
INSTALL_MIN, CLOSE_MIN = 10.0, 10.0
PROGRAM_MIN, PROVE_MIN, CONTROLLER_MIN = 15.0, 10.0, 45.0
"""A program loaded, watched through its patterns; a controller with its drivers soldered."""

PRIMER_H, PAINT_H, BLACK_H, TINT_H, CLEAR_H = 6.0, 12.0, 6.0, 12.0, 24.0
INSIDE_H = 6.0
GLUE_H, LAMINATE_H, STRAND_GLUE_H, FERRULE_H, LED_GLUE_H, CLOSE_H = 2.0, 24.0, 12.0, 12.0, 2.0, 6.0
DECAL_H, INK_H = 12.0, 2.0
PRINTER_H = 3.0
"""While a 3D printer works alone."""


def whole(minutes: float) -> float:
    """Round up to whole fives, five at least.

    Examples
    --------
    >>> whole(12.0), whole(0.5)
    (15.0, 5.0)
    """
    return STEP_MIN * max(1, ceil(minutes / STEP_MIN - 1e-9))
