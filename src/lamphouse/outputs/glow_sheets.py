"""The glow sheet of a sub-assembly as data for the typesetter: pictures, maps and figures."""

from collections.abc import Sequence
from decimal import Context
from typing import Any

from lamphouse.design.place import SubAssembly
from lamphouse.drawings.drawing import Drawing
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.outputs.glow_lines import OpeningSummary, colour_words, lines_of
from lamphouse.outputs.glow_picture import FACE_REFLECTANCE, PanelPicture
from lamphouse.outputs.glow_views import PanelView, maps_of, panel_views, section_of
from lamphouse.outputs.panel_colours import pictures_of, prints_of
from lamphouse.outputs.svg import render
from lamphouse.plan.artworked import ArtworkStudy
from lamphouse.plan.result import Plan
from lamphouse.shapes.measure import size_mm
from lamphouse.units.wording import decimal_text

_PICTURE_MM = (85.0, 60.0)
"""Room for a panel's picture, two side by side."""
_WORDS = (
    "As predicted from straight in front. The bar is the error "
    "of the calculation for the box as drawn; the band is what supply, LEDs, resistors and "
    "temperature may make of it. Compare before it is closed."
)
_COLOUR_MM = (55.0, 60.0)
"""Room for one in colour, three side by side."""
_COLOUR_PX = 400
_COLOUR_WORDS = (
    "In colour as an eye used to the room sees it, lamps on and off, each picture as bright as "
    "paper allows; striped where neither print nor common screen shows the colour seen."
)


def glow(
    plan: Plan, sub: SubAssembly, *, prints: Sequence[ArtworkStudy] = ()
) -> dict[str, Any] | None:
    """Show how a sub-assembly's panels will look; None when no box of it could be computed.

    Parameters
    ----------
    prints
        What is printed for its openings.
    """
    glows = [glow for glow in plan.glows if glow.sub_assembly == sub.name]
    if not glows:
        return None
    return {
        "name": sub.name,
        "words": _WORDS,
        "panels": [_panel(plan, view, prints=prints) for view in panel_views(plan, glows=glows)],
        "rows": _rows(glows, findings=plan.findings),
    }


def _panel(plan: Plan, view: PanelView, *, prints: Sequence[ArtworkStudy]) -> dict[str, Any]:
    pictures = [_picture(view.in_dark, "in grey, in the dark")]
    if view.in_room:
        face = f"face {FACE_REFLECTANCE:.0%} grey"
        pictures.insert(
            0, _picture(view.in_room, f"in grey, at {view.in_room.room_lx:g} lx, {face}")
        )
    return {
        "name": view.panel.name,
        "pictures": pictures,
        "colours": _colours(plan, view, prints=prints),
        "colour_words": _COLOUR_WORDS,
        "boxes": [
            {
                "name": box.glow.box,
                "maps": [_drawn(drawing) for drawing in maps_of(box)],
                "section": _drawn(section_of(plan, box, panel=view.panel)),
            }
            for box in view.lit
        ],
    }


def _colours(
    plan: Plan, view: PanelView, *, prints: Sequence[ArtworkStudy]
) -> list[dict[str, Any]]:
    """Show a panel in colour, lit and unlit."""
    wide, high = size_mm(view.panel.outline.corners)
    share = min(1.0, _COLOUR_MM[0] / wide, _COLOUR_MM[1] / high)
    seen = pictures_of(
        view.panel,
        lit=view.lit,
        prints=prints_of(prints, sub_assembly=view.sub_assembly, panel=view.panel.name),
        room=plan.design.room,
        longest_px=_COLOUR_PX,
    )
    return [
        {
            "png": list(one.png),
            "width": wide * share,
            "height": high * share,
            "words": one.words,
        }
        for one in seen
    ]


def _picture(picture: PanelPicture, words: str) -> dict[str, Any]:
    share = min(1.0, _PICTURE_MM[0] / picture.width_mm, _PICTURE_MM[1] / picture.height_mm)
    return {
        "png": list(picture.png),
        "width": picture.width_mm * share,
        "height": picture.height_mm * share,
        "words": f"{words}; white is {picture.white_cd_m2:.3g} cd/m²",
    }


def _drawn(drawing: Drawing) -> dict[str, Any]:
    return {
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
        "name": drawing.name,
    }


def _rows(glows: Sequence[BoxGlow], *, findings: Sequence[Finding]) -> list[tuple[str, ...]]:
    return [_row(line) for line in lines_of(glows, findings=findings)]


def _row(line: OpeningSummary) -> tuple[str, ...]:
    return (
        line.opening,
        _digits(line.mean_cd_m2.nominal, count=3),
        f"±{_digits(line.bar_cd_m2, count=1)}",
        f"{_digits(line.mean_cd_m2.low)} to {_digits(line.mean_cd_m2.high)}",
        _digits(line.room_cd_m2),
        f"{line.evenness:.0%}",
        f"{line.hot_spot:.0%}",
        colour_words(line.colour),
        line.look,
        line.verdict,
    )


def _digits(value: float, *, count: int = 2) -> str:
    """Write a number with so many significant digits and never as a power of ten."""
    return decimal_text(Context(prec=count).create_decimal(repr(value)))
