"""A panel as a small picture: lit, in colour, in a room as light as one wants."""

from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.light.box_glow import BoxGlow
from lamphouse.outputs.panel_colours import panel_in_light
from lamphouse.plan.artworked import studies
from lamphouse.plan.pictured import pictured
from lamphouse.plan.result import Plan
from lamphouse.shapes.measure import size_mm

_PAPER, _DARK = (1.0, 0.992, 0.969), (0.075, 0.082, 0.098)
"""Of the page round the picture, in its two lights."""
_DARK_LX = 20.0
"""Below this the page is dark."""
_LEAST_PER_MM, _MOST_PER_MM = 0.25, 4.0


def lit_panels(plan: Plan, sub: SubAssembly) -> tuple[Panel, ...]:
    """List the panels of a sub-assembly with a light box whose glow is known."""
    lit = {glow.panel for glow in plan.glows if glow.sub_assembly == sub.name}
    return tuple(panel for panel in sub.panels if panel.name in lit)


def glows_behind(plan: Plan, sub: SubAssembly, panel: Panel) -> tuple[BoxGlow, ...]:
    """List the boxes behind a panel whose glow is known."""
    here = (sub.name, panel.name)
    return tuple(glow for glow in plan.glows if (glow.sub_assembly, glow.panel) == here)


def panel_thumb(
    plan: Plan, *, sub: SubAssembly, panel: Panel, lx: float, longest_px: int = 240
) -> bytes:
    """Make the picture.

    Parameters
    ----------
    plan
        The whole.
    sub, panel
        Which panel.
    lx
        Illuminance of the room.
    longest_px
        Longer side of the picture.

    Returns
    -------
    bytes
        A PNG; the same bytes for the same panel, boxes and light.
    """
    glows = glows_behind(plan, sub, panel)
    fineness = longest_px / max(size_mm(panel.outline.corners))
    fineness = min(max(fineness, _LEAST_PER_MM), _MOST_PER_MM)
    prints = {study.place.opening.name: study for study in studies(plan.design, glows=glows)}
    return panel_in_light(
        panel,
        lit=tuple(pictured(glow, pixels_per_mm=fineness) for glow in glows),
        prints=prints,
        room=plan.design.room,
        lx=lx,
        longest_px=longest_px,
        ground=_DARK if lx < _DARK_LX else _PAPER,
    )
