"""The openings of a box as a suggestion would have them, as fields to be painted."""

from collections.abc import Iterator

from lamphouse.light import sound_suite
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.box_scene import draw_box
from lamphouse.plan.live_panel import LIVE_PIXELS_PER_MM, OpeningField
from lamphouse.plan.pictured import pictured
from lamphouse.plan.suggestion import Choice, Request


def choice_fields(request: Request, *, choice: Choice) -> Iterator[OpeningField]:
    """Paint the openings of a choice.

    The pattern of light is that of its LEDs at the currents it wants; each opening is brought to
    the mean that was solved for it at the currents of its circuit.

    Parameters
    ----------
    request, choice
        What was asked for, and one answer.
    """
    boxes = [box for behind, box in request.sub.boxes if behind == request.panel.name]
    beside = tuple(one for one in boxes if one.name != choice.box.name)
    together = beside if any(one.passages for one in (choice.box, *beside)) else ()
    drawn = draw_box(choice.panel, box=choice.box, currents={}, beside=together)
    if sound_suite.faults(drawn):
        return
    bare = BoxGlow(
        box=choice.box.name,
        panel=choice.panel.name,
        sub_assembly=request.sub.name,
        where=choice.box.where,
        scene=drawn.scene,
        openings=(),
        emitted_lm=0.0,
        absorbed_lm=0.0,
        escaped_lm=0.0,
        suite=drawn.suite,
        number=drawn.number,
    )
    told = {one.opening: one for one in choice.openings}
    painted = pictured(bare, pixels_per_mm=LIVE_PIXELS_PER_MM).pictures
    for aperture, picture in zip(drawn.scene.apertures, painted, strict=True):
        opening = told.get(aperture.name)
        if opening is None:
            continue
        mean = float(picture.luminance_cd_m2.mean(where=picture.shown))
        yield OpeningField(
            opening=opening.opening,
            luminance_cd_m2=picture.luminance_cd_m2 * (opening.mean_cd_m2 / mean if mean else 0.0),
            shown=picture.shown,
            left_mm=picture.left_mm,
            bottom_mm=picture.bottom_mm,
            pixel_mm=picture.pixel_mm,
            mean_cd_m2=opening.mean_cd_m2,
            bar_cd_m2=opening.bar_cd_m2,
            evenness=opening.evenness,
            hot_spot=opening.hot_spot,
        )
