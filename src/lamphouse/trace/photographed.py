"""The front door for photographs of a lit panel: pictures and its corners in, a comparison out."""

from collections.abc import Sequence
from math import sqrt

import numpy as np

from lamphouse.design.panel import Panel
from lamphouse.findings import Finding, Where
from lamphouse.light.box_glow import BoxGlow
from lamphouse.plan.pictured import PIXELS_PER_MM, pictured
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import bounds_mm
from lamphouse.trace import lit_rules
from lamphouse.trace.camera import usual_focal
from lamphouse.trace.linear_light import LitPicture, merged
from lamphouse.trace.lit_against import Against, LitOpening, compare
from lamphouse.trace.lit_findings import judge
from lamphouse.trace.lit_overlay import three_pictures
from lamphouse.trace.panel_in_photo import by_card, by_corners
from lamphouse.trace.refused import TraceError
from lamphouse.trace.scales import Places, Scale

RING_MM = 0.05
"""How far the sides of a drawn outline may lie off its arcs."""
_MOST_PIXELS = 1_000_000
_COARSEST = 1.0


class Photographed(Record):
    """What photographs say of a panel."""

    against: Against
    findings: tuple[Finding, ...]
    exposure_words: str
    place_words: str
    pixel_mm: float
    off_mm: float
    png: bytes
    """Measured, predicted and their ratio."""


def photographed(
    plan: Plan,
    *,
    sub_assembly: str,
    panel: Panel,
    pictures: Sequence[LitPicture],
    spots: Places,
    scale: Scale | None = None,
    unlit: LitPicture | None = None,
) -> Photographed:
    """Lay photographs of a lit panel over its prediction.

    Parameters
    ----------
    plan
        The whole model.
    sub_assembly, panel
        What was photographed.
    pictures
        From one place, with one exposure or several.
    spots
        (4, 2) columns and rows of the corners of the panel's outermost rectangle: lower left,
        lower right, upper right, upper left.
    scale
        Of the panel's face, where it is known from a card; else the corners are all there is.
    unlit
        The same view with the model's lights off.

    Raises
    ------
    TraceError
        If the panel is bent or has no predicted glow, the corners are not its, or the pictures do
        not go together.

    Notes
    -----
    Light is relative: one factor lays all openings of the panel over the plan together. The curve
    of the camera, its lens and its colours are taken as told in the findings.
    """
    glows = [
        one for one in plan.glows if (one.sub_assembly, one.panel) == (sub_assembly, panel.name)
    ]
    openings = tuple(_openings(glows))
    name = f"{sub_assembly} / {panel.name}"
    if panel.curve is not None or not openings:
        what = f"'{name}' is bent" if panel.curve else f"'{name}' has no opening with a glow"
        remedy = "photograph a flat panel; `lamphouse glow` lists those that are lit"
        raise TraceError(lit_rules.no_panel, what, remedy=remedy)
    first = pictures[0]
    light = merged(pictures, unlit=unlit)
    bounds = bounds_mm(panel.outline.corners)
    shape = first.light.shape
    view = (
        by_corners(spots, bounds=bounds, shape=shape)
        if scale is None
        else by_card(spots, scale=scale, bounds=bounds, shape=shape)
    )
    face = [
        np.array(flatten(outline.corners, error_mm=RING_MM))
        for outline in (panel.outline, *(opening.outline for opening in panel.openings))
    ]
    rows, columns = shape
    against = compare(
        light,
        view=view,
        openings=openings,
        face=face,
        strands=[
            (strand.x_mm, strand.y_mm)
            for sub in plan.design.sub_assemblies
            if sub.name == sub_assembly
            for at, strand in sub.strands
            if at == panel.name
        ],
        focal_pixels=usual_focal((columns, rows), first.header.focal_35_mm),
    )
    where: list[tuple[str, Where]] = [("", panel.where)]
    where += [(one.opening, one.where) for glow in glows for one in glow.openings]
    return Photographed(
        against=against,
        findings=judge(
            against,
            merged=light,
            where=where,
            has_unlit=unlit is not None,
            has_profile=first.header.has_profile,
        ),
        exposure_words=light.words,
        place_words=view.words,
        pixel_mm=view.pixel_mm,
        off_mm=view.off_mm,
        png=three_pictures(
            light, view=view, openings=openings, face=face, against=against, title=name
        ),
    )


def _openings(glows: Sequence[BoxGlow]) -> list[LitOpening]:
    """Paint every opening that has figures."""
    found = []
    for glow in glows:
        area = sum(
            (right - left) * (top - bottom)
            for left, bottom, right, top in (bounds_mm(one.shape.corners) for one in glow.openings)
        )
        fineness = min(PIXELS_PER_MM, max(_COARSEST, sqrt(_MOST_PIXELS / max(area, 1.0))))
        painted = pictured(glow, pixels_per_mm=fineness)
        by_name = {
            aperture.name: picture
            for aperture, picture in zip(glow.scene.apertures, painted.pictures, strict=True)
        }
        found += [
            LitOpening(
                name=one.opening,
                picture=by_name[one.opening],
                is_coloured=one.colour is not None and one.colour.cct_K is None,
            )
            for one in glow.openings
            if one.mean_cd_m2 > 0.0
        ]
    return found
