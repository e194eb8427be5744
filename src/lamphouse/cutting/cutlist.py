"""Every flat piece of one panel and its light boxes, with everything said about their cutting."""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.behind_rules import look_behind_panel, outside_of
from lamphouse.cutting.box_frame import as_built
from lamphouse.cutting.curve_rules import laid_flat, look_at_curve
from lamphouse.cutting.former import former_pieces
from lamphouse.cutting.hanging_rules import look_at_hanging
from lamphouse.cutting.inside_rules import look_into_box
from lamphouse.cutting.lamination import layer_pieces
from lamphouse.cutting.layout import lay_out_panel
from lamphouse.cutting.overlay_rules import fibre_of, look_at_overlays
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.pillar_rules import look_at_pillars
from lamphouse.cutting.template import look_at_panel, panel_piece
from lamphouse.cutting.wall_hole_rules import look_at_passages
from lamphouse.cutting.wall_holes import Through
from lamphouse.cutting.walls import box_pieces
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding
from lamphouse.record import Record
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure

LEAD_MM = 0.6
"""Outside of the wires at the LEDs where no pigtail says otherwise: about 30 AWG, insulated
[TYPICAL]."""


class CutList(Record):
    """The flat pieces of one panel and of the light boxes behind it."""

    pieces: tuple[Piece, ...]
    """The panel; of a curved one its layers, innermost first; none when it cannot be cut."""
    boxes: tuple[BoxPieces, ...]
    formers: tuple[Piece, ...]
    """What a bent panel is bent over."""
    findings: tuple[Finding, ...]


def cut_panel(
    panel: Panel,
    *,
    strands: Sequence[Strand],
    boxes: Sequence[LightBox],
    sub_assembly: str,
    drills: Sequence[Drill],
    lead_mm: float,
    passages: Sequence[Through] = (),
) -> CutList:
    """Cut one panel and the light boxes behind it.

    Parameters
    ----------
    panel
        Flat or curved.
    strands
        Those that come out of it.
    boxes
        Those that stand behind it.
    sub_assembly
        For the pieces' names.
    drills
        The drills there are.
    lead_mm
        Outside diameter of the wires soldered to chips; ``LEAD_MM`` where none is known.
    passages
        Those between the boxes that fit; a box that is not among ``boxes`` is passed over.

    Returns
    -------
    CutList
        What cannot be cut is missing and said in the findings.
    """
    layout = lay_out_panel(panel, strands=strands, drills=drills)
    boxes = [as_built(box) for box in boxes]
    is_cone = panel.curve is not None and panel.curve.slope_deg != 0.0
    drawn = (
        *look_at_panel(layout, strands=strands, drills=drills),
        *look_at_overlays(layout, strands=strands, boxes=() if is_cone else boxes),
    )
    found = [
        *(laid_flat(drawn) if is_cone else drawn),
        *look_at_curve(layout),
        *look_behind_panel(layout, boxes=boxes),
        *look_at_hanging(layout, boxes=() if is_cone else boxes),
        *look_at_passages(passages, boxes=boxes, lead_mm=lead_mm),
    ]
    if panel.curve:
        pieces = layer_pieces(layout, boxes=boxes, sub_assembly=sub_assembly, drills=drills)
    else:
        piece = panel_piece(layout, boxes=boxes, sub_assembly=sub_assembly, drills=drills)
        pieces = (piece,) if piece else ()
    built: list[BoxPieces] = []
    feet = {box.name: _foot(box) for box in boxes}
    for box in boxes:
        running = _running_through(box, strands=strands)
        made, in_the_way = box_pieces(
            box,
            panel=panel.name,
            sub_assembly=sub_assembly,
            drills=drills,
            lead_mm=lead_mm,
            strands=running,
            passages=[half for one in passages for half in one.halves if half.box == box.name],
            around=[foot for name, foot in feet.items() if foot and name != box.name],
            within=layout.edge if layout.has_edge else None,
            openings=[
                *(spot.corners for spot in layout.openings),
                *(fibre_of(strand) for strand in strands),
            ],
        )
        found.extend((*in_the_way, *look_into_box(box, drills=drills, lead_mm=lead_mm)))
        found.extend(look_at_pillars(box, layout=layout, strands=running))
        if made:
            built.append(made)
            feet[box.name] = made.foot
    return CutList(
        pieces=pieces,
        boxes=tuple(built),
        formers=former_pieces(panel, sub_assembly=sub_assembly),
        findings=tuple(found),
    )


def _foot(box: LightBox) -> Corners:
    """Give what a box covers of the panel's rear side, without ears; nothing of an unsound one."""
    return () if flaw_of(box.inside.corners) else outside_of(box)


def _running_through(box: LightBox, *, strands: Sequence[Strand]) -> tuple[Strand, ...]:
    """List the strands that come out of the panel over a sound box."""
    if flaw_of(box.inside.corners):
        return ()
    inside = Enclosure(box.inside.corners)
    return tuple(strand for strand in strands if inside.margin_mm(fibre_of(strand)) > 0.0)
