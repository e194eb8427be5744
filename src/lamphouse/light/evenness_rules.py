"""The rules of uneven openings: hot spots, dark corners, and the rest; one cause, one finding.

As far as the smallest cell may lie below the mean, so far, as a ratio, may the largest lie above.
"""

from collections.abc import Iterable, Iterator
from math import floor, hypot

import numpy as np

from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.light.cover import ring_of
from lamphouse.light.glow_mends import ways_to_even
from lamphouse.light.glow_words import either, in_cd_m2, in_mm, in_percent
from lamphouse.light.solved_box import Sight, SolvedBox
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.views import ACROSS, UP, aperture_spots

CORNER = 2
"""A corner of a rectangle is this many cells wide and high."""


def is_hot(sight: Sight) -> bool:
    """Whether the brightest cell stands out, the solver's bar apart."""
    look, glow = sight.glow.look, sight.glow
    return (
        look is not None
        and look.evenness > 0.0
        and glow.hot_spot - glow.hot_spot_bar > 1.0 / look.evenness
    )


def is_uneven(sight: Sight) -> bool:
    """Whether the darkest cell is too dark, the solver's bar apart."""
    look, glow = sight.glow.look, sight.glow
    return (
        look is not None
        and glow.mean_cd_m2 > 0.0
        and glow.evenness + glow.evenness_bar < look.evenness
    )


def only_corners_dark(sight: Sight) -> bool:
    """Whether every cell that is too dark lies in a corner of a rectangle."""
    glow = sight.glow
    if glow.look is None or len(glow.cells_cd_m2) == 1:
        return False
    wanted = glow.look.evenness * glow.mean_cd_m2
    dark = [
        (row, column)
        for row, cells in enumerate(glow.cells_cd_m2)
        for column, cell in enumerate(cells)
        if cell < wanted
    ]
    return bool(dark) and all(
        (row < CORNER or row >= UP - CORNER) and (column < CORNER or column >= ACROSS - CORNER)
        for row, column in dark
    )


def _told(sight: Sight, *, solved: SolvedBox, fault: str) -> Iterator[Told]:
    """Tell a fault of evenness with the changes that would mend it."""
    glow = sight.glow
    if glow.look is None:
        return
    offers = ways_to_even(solved, sight=sight, evenness=glow.look.evenness)
    nothing = (
        "neither white paint, nor twice the depth, nor twice the LEDs in a grid, nor an inner "
        f"diffuser of the catalogue mends it: ask for at most {floor(100.0 * glow.evenness)} %, "
        "or divide the opening"
    )
    yield Told(
        where=glow.where,
        message=f"opening '{glow.opening}' of box '{solved.drawn.box.name}' {fault}; its least is "
        f"{in_percent(glow.evenness)} of its mean of {in_cd_m2(glow.mean_cd_m2)}, and "
        f"'{glow.look.name}' wants {in_percent(glow.look.evenness)}",
        remedy=either([str(offer) for offer in offers]) if offers else nothing,
        mend=next((offer.mend for offer in offers if offer.mend), ()),
    )


def _behind_hottest(sight: Sight, *, solved: SolvedBox) -> str:
    """Name the LED nearest to the brightest cell in plan, and the depth it has to the opening."""
    scene = solved.drawn.scene
    if not scene.lamps:
        return "where its neighbour's light comes in"
    cells = [cell for row in sight.glow.cells_cd_m2 for cell in row]
    spots = aperture_spots(scene.apertures[sight.index], small_mm=0.0)
    if len(spots) != len(cells):
        centre = ring_area_centre(np.array([ring_of(scene.apertures[sight.index].shape)]))[1][0]
    else:
        centre = ring_area_centre(spots)[1][cells.index(max(cells))]
    lamp = min(scene.lamps, key=lambda lamp: hypot(lamp.x_mm - centre[0], lamp.y_mm - centre[1]))
    return f"over LED '{lamp.name}', {in_mm(scene.depth_mm - lamp.z_mm)} behind it"


@rule("LIT010", Severity.WARN, "A lit opening is uneven")
def uneven(solved: SolvedBox) -> Iterable[Told]:
    """Look for openings whose darkest part is darker than the look allows.

    What it checks
        The smallest of the 48 equal parts of an opening has at least the share of the mean that
        its look wants. A difference within the solver's own bar is not told.

    Why it matters
        The eye takes a screen for a lit screen while its brightness changes slowly and little; the
        seam between bright and dark gives the lamp away.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        depth: 20 mm
                        leds:
                          W: {at: [15 mm, 25 mm], count: 2, step: [9 mm, 0 mm]}

    Mend
        One of the changes of the message. Each was computed by solving the changed box: LEDs in an
        even grid that share the same light, the least depth that does, or a diffuser at half depth.

    Source
        Wanted value: the look's own. For scale, [EN1838] allows signs 10 % of their brightest
        place, and [ISO12646] wants 90 % of the centre for proofing.
    """
    for sight in solved.sights:
        if is_uneven(sight) and not is_hot(sight) and not only_corners_dark(sight):
            yield from _told(sight, solved=solved, fault="glows uneven")


@rule("LIT011", Severity.WARN, "An LED shows as a hot spot")
def hot_spot(solved: SolvedBox) -> Iterable[Told]:
    """Look for openings with a spot that outshines the rest.

    What it checks
        The largest of the 48 equal parts of an opening lies no further above the mean, as a ratio,
        than the look lets the smallest lie below it: with a wanted evenness of 70 %, at most 143 %.
        A difference within the solver's own bar is not told.

    Why it matters
        A bright spot tells everyone where the LED sits.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {depth: 5 mm}

    Mend
        One of the changes of the message, each computed by solving the changed box.

    Source
        The look's own evenness, read upwards; common practice, no source.
    """
    for sight in solved.sights:
        if is_hot(sight):
            fault = (
                f"has a hot spot {_behind_hottest(sight, solved=solved)}: "
                f"{in_percent(sight.glow.hot_spot)} of the mean"
            )
            yield from _told(sight, solved=solved, fault=fault)


@rule("LIT012", Severity.WARN, "The corners of a lit opening are dark")
def dark_corners(solved: SolvedBox) -> Iterable[Told]:
    """Look for rectangular openings that are dark in their corners alone.

    What it checks
        The four parts in each corner of a rectangular opening have at least the share of the mean
        that its look wants. A difference within the solver's own bar is not told.

    Why it matters
        A screen with dark corners looks like a torch behind paper.

    Example
        ::

            looks:
              lit panel: {luminance: 20 to 100 cd/m2, evenness: 80 %}

    Mend
        One of the changes of the message, each computed by solving the changed box.

    Source
        The look's own evenness.
    """
    for sight in solved.sights:
        if is_uneven(sight) and not is_hot(sight) and only_corners_dark(sight):
            yield from _told(sight, solved=solved, fault="is dark in its corners")


def look_at_evenness(solved: SolvedBox) -> tuple[Finding, ...]:
    """Run every rule of evenness."""
    return (*uneven(solved), *hot_spot(solved), *dark_corners(solved))
