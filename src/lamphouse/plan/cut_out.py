"""The flat work of a plan: panels, overlays, boxes and formers cut, and masks to paint through."""

from collections.abc import Iterator

from lamphouse.build.stock_rules import film_runs_out
from lamphouse.cutting.cutlist import LEAD_MM, CutList, cut_panel
from lamphouse.cutting.kerf import laying
from lamphouse.cutting.kerf_rules import look_at_kerf
from lamphouse.cutting.mask_plan import MaskPlan
from lamphouse.cutting.mask_verdict import judge_masks
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.design.masks import Masks
from lamphouse.design.panel import Outline, Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.plan.kept import Kept
from lamphouse.plan.shared_holes import holes_between
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.transform import move


class CutOut(Record):
    """What is cut from sheet and film."""

    panels: tuple[Piece, ...]
    boxes: tuple[BoxPieces, ...]
    formers: tuple[Piece, ...]
    paintings: tuple[MaskPlan, ...]

    def pieces(self) -> tuple[Piece, ...]:
        """List every piece there is to cut."""
        of_boxes = (piece for box in self.boxes for piece in box.pieces)
        films = (piece for painting in self.paintings for piece in painting.pieces())
        return (*self.panels, *of_boxes, *self.formers, *films)


def cut_out(design: Design, *, kept: Kept) -> tuple[CutOut, tuple[Finding, ...]]:
    """Cut every panel with what it carries, and judge the cutting."""
    cuts = [
        _cut(piece, carrier=carrier, sub=sub, design=design, kept=kept)
        for sub in design.sub_assemblies
        for panel in sub.panels
        for piece, carrier in ((panel, panel.name), *_overlays(panel))
    ]
    painted = [
        _paint(masks, panel=panel, sub=sub, design=design, kept=kept)
        for sub in design.sub_assemblies
        for name, masks in sub.masks
        for panel in sub.panels
        if panel.name == name
    ]
    out = CutOut(
        panels=tuple(piece for cut in cuts for piece in cut.pieces),
        boxes=tuple(box for cut in cuts for box in cut.boxes),
        formers=tuple(piece for cut in cuts for piece in cut.formers),
        paintings=tuple(painting for painting, _ in painted if painting),
    )
    pieces = out.pieces()
    told = [finding for cut in cuts for finding in cut.findings]
    told += [finding for _, findings in painted for finding in findings]
    told += look_at_sheets(pieces, in_hand=design.sheets, habits=laying(design.cutting))[1]
    told += look_at_kerf(pieces, habits=design.cutting)
    told += film_runs_out(design, pieces=pieces)
    return out, tuple(told)


def _cut(panel: Panel, *, carrier: str, sub: SubAssembly, design: Design, kept: Kept) -> CutList:
    boxes = sub.boxes_of(carrier)
    return kept.step(
        cut_panel,
        panel,
        strands=sub.strands_of(carrier),
        boxes=boxes,
        passages=holes_between(boxes),
        sub_assembly=sub.name,
        drills=design.drills,
        lead_mm=sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM,
    )


def _paint(
    masks: Masks, *, panel: Panel, sub: SubAssembly, design: Design, kept: Kept
) -> tuple[MaskPlan | None, tuple[Finding, ...]]:
    return kept.step(
        judge_masks,
        panel,
        masks=masks,
        strands=sub.strands_of(panel.name),
        boxes=sub.boxes_of(panel.name),
        sub_assembly=sub.name,
        drills=design.drills,
    )


def _overlays(panel: Panel) -> Iterator[tuple[Panel, str]]:
    """Give the overlays of a panel as pieces that carry neither boxes nor strands."""
    for overlay in panel.overlays:
        yield _by_itself(overlay, name=f"{panel.name} {overlay.name}"), ""


def _by_itself(overlay: Panel, *, name: str) -> Panel:
    """Give an overlay with its own datum, its lower left corner."""
    left, bottom, _, _ = bounds_mm(overlay.outline.corners)

    def moved(outline: Outline) -> Outline:
        return replace(outline, corners=move(outline.corners, x_mm=-left, y_mm=-bottom))

    cutouts = tuple(replace(each, outline=moved(each.outline)) for each in overlay.openings)
    return replace(overlay, name=name, outline=moved(overlay.outline), openings=cutouts)
