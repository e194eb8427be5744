"""The painting of one panel: planned, proved, and judged."""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.layout import lay_out_panel
from lamphouse.cutting.mask_plan import MaskPlan, divided, mask_plan
from lamphouse.cutting.mask_rules import look_at_masks
from lamphouse.design.lightbox import LightBox
from lamphouse.design.masks import Masks
from lamphouse.design.panel import Panel
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding


def judge_masks(
    panel: Panel,
    *,
    masks: Masks,
    strands: Sequence[Strand],
    boxes: Sequence[LightBox],
    sub_assembly: str,
    drills: Sequence[Drill],
) -> tuple[MaskPlan | None, tuple[Finding, ...]]:
    """Plan the masks of a panel and judge them; the pack proves them too.

    Parameters
    ----------
    panel
        The panel.
    masks
        How it is painted.
    strands, boxes
        Those of this panel.
    sub_assembly
        For the names of the pieces.
    drills
        The drills there are.

    Returns
    -------
    plan, findings
        No plan when the panel's own outline is not sound, which another rule tells.
    """
    layout = lay_out_panel(panel, strands=strands, drills=drills)
    if not layout.has_edge:
        return None, ()
    wanted = divided(layout, masks=masks)
    plan = mask_plan(layout, masks=masks, wanted=wanted, sub_assembly=sub_assembly)
    return plan, look_at_masks(layout, masks=masks, wanted=wanted, plan=plan, boxes=boxes)


def prove_masks(
    plan: MaskPlan, *, panel: Panel, strands: Sequence[Strand], drills: Sequence[Drill]
) -> None:
    """Paint the panel as planned, and compare.

    Raises
    ------
    MaskFault
        If it does not come out as wanted, which is our fault.
    """
    from lamphouse.cutting.mask_proof import prove

    layout = lay_out_panel(panel, strands=strands, drills=drills)
    wanted = divided(layout, masks=plan.masks)
    prove(plan, face=wanted.face.without(wanted.open))
