"""Panels as pieces with cut-outs and numbered holes, and everything said about them."""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.behind_rules import outside_of
from lamphouse.cutting.drill import number_holes
from lamphouse.cutting.hole_rules import look_at_holes
from lamphouse.cutting.layout import Layout
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.neighbours import neighbours
from lamphouse.cutting.opening_rules import look_at_openings
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.pillar_feet import marks_of
from lamphouse.cutting.seats import baffle_foot, hanging_baffles
from lamphouse.cutting.wedges import tilt_notes
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import LightBox, Seat
from lamphouse.design.panel import Opening, Outline, Panel
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding
from lamphouse.record import replace
from lamphouse.shapes.outline import circle_of
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure


def look_at_panel(
    layout: Layout, *, strands: Sequence[Strand], drills: Sequence[Drill]
) -> tuple[Finding, ...]:
    """Run every rule of a panel's outlines, openings and holes."""
    pairs = neighbours(layout)
    edge = Enclosure(layout.edge) if layout.has_edge else None
    if edge:
        edge.measure([spot.corners for spot in layout.spots])
    return (
        *look_at_openings(layout, pairs=pairs, edge=edge),
        *look_at_holes(layout, pairs=pairs, edge=edge, strands=strands, drills=drills),
    )


def stands_behind(boxes: Sequence[LightBox]) -> tuple[Outline, ...]:
    """Give the edges of boxes behind a panel, of their LEDs and pillars, and of what hangs from it.

    In the panel plane. LEDs on a box's walls face sideways; they are drawn on their walls alone.
    """
    edges = []
    for box in boxes:
        if flaw_of(box.inside.corners):
            continue
        edges.append(Outline(corners=outside_of(box), words=f"box {box.name}"))
        edges.extend(
            Outline(
                corners=package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm),
                words=f"LED {led.name}",
            )
            for led in box.leds
            if led.seat is not Seat.WALL
        )
        edges.extend(
            Outline(corners=baffle_foot(baffle), words=f"baffle {baffle.name}")
            for baffle in hanging_baffles(box)
        )
        edges.extend(marks_of(box))
    return tuple(edges)


def _layer_note(opening: Opening) -> str:
    """List what goes behind an opening, from lamp to eye."""
    layers = [
        layer.film.name if layer.count == 1 else f"{layer.count} x {layer.film.name}"
        for layer in opening.layers
    ]
    return f"behind {opening.name}, lamp to eye: {', '.join(layers)}"


def _hung_notes(boxes: Sequence[LightBox]) -> tuple[str, ...]:
    """Say which baffles are glued to the panel itself."""
    return tuple(
        f"baffle {baffle.name} of box {box.name} is glued to the rear, over its outline"
        for box in boxes
        if not flaw_of(box.inside.corners)
        for baffle in hanging_baffles(box)
    )


def _traced_note(panel: Panel) -> tuple[str, ...]:
    """Say where a traced outline comes from."""
    if panel.traced is None:
        return ()
    within, nudged = in_mm(panel.traced.within_mm), panel.traced.nudged_mm
    by_hand = f", then moved by hand by at most {in_mm(nudged)}" if nudged else ""
    return (f"traced from {panel.traced.picture}: any place within {within}{by_hand}",)


def panel_piece(
    layout: Layout, *, boxes: Sequence[LightBox], sub_assembly: str, drills: Sequence[Drill]
) -> Piece | None:
    """Make the template of a panel seen from the front. It keeps the panel plane.

    Parameters
    ----------
    layout
        The panel with its openings and strand holes.
    boxes
        Those that stand behind it.
    sub_assembly
        For the piece's name.
    drills
        The drills there are.

    Returns
    -------
    Piece or None
        None when the panel's own outline is not sound. Openings that are not sound are left out.
    """
    if not layout.has_edge:
        return None
    panel = layout.panel
    cut = [spot for spot in layout.openings if spot.is_cut]
    return Piece(
        name=f"{sub_assembly} / {panel.name}",
        where=panel.where,
        sub_assembly=sub_assembly,
        sheet=panel.sheet,
        outline=Outline(
            corners=layout.edge, words=panel.outline.words, diameter_mm=panel.outline.diameter_mm
        ),
        cutouts=tuple(
            Outline(
                corners=spot.corners,
                words=spot.words,
                diameter_mm=ring.diameter_mm if (ring := circle_of(spot.corners)) else None,
            )
            for spot in cut
        ),
        cutout_names=tuple(spot.label for spot in cut),
        holes=number_holes([spot.aim for spot in layout.spots if spot.aim], drills=drills),
        behind=stands_behind(boxes),
        glued=tuple(
            replace(overlay.outline, words=f"overlay {overlay.name}")
            for overlay in panel.overlays
            if not flaw_of(overlay.outline.corners)
        ),
        face="front",
        grain=panel.grain,
        notes=(
            *_traced_note(panel),
            *(_layer_note(opening) for opening in panel.openings if opening.layers),
            *_hung_notes(boxes),
            *(f"overlay {one.name} goes on the front, over its outline" for one in panel.overlays),
            *tilt_notes(
                (led for box in boxes for led in box.leds if led.seat is Seat.PANEL), arrows=False
            ),
        ),
    )
