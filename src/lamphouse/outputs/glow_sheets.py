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
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan
from lamphouse.units.wording import decimal_text

_PICTURE_MM = (85.0, 60.0)
"""Room for a panel's picture, two side by side."""
_WORDS = (
    "As predicted from straight in front; the pictures are in grey. The bar is the error "
    "of the calculation for the box as drawn; the band is what supply, LEDs, resistors and "
    "temperature may make of it. Compare before it is closed."
)


def glow(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Show how a sub-assembly's panels will look; None when no box of it could be computed."""
    glows = [glow for glow in plan.glows if glow.sub_assembly == sub.name]
    if not glows:
        return None
    return {
        "name": sub.name,
        "words": _WORDS,
        "panels": [_panel(plan, view) for view in panel_views(plan, glows=glows)],
        "rows": _rows(glows, findings=plan.findings),
    }


def _panel(plan: Plan, view: PanelView) -> dict[str, Any]:
    pictures = [_picture(view.in_dark, "in the dark")]
    if view.in_room:
        face = f"face {FACE_REFLECTANCE:.0%} grey"
        pictures.insert(0, _picture(view.in_room, f"at {view.in_room.room_lx:g} lx, {face}"))
    return {
        "name": view.panel.name,
        "pictures": pictures,
        "boxes": [
            {
                "name": box.glow.box,
                "maps": [_drawn(drawing) for drawing in maps_of(box)],
                "section": _drawn(section_of(plan, box, panel=view.panel)),
            }
            for box in view.lit
        ],
    }


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
