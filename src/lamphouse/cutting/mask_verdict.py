"""The painting of one panel: planned, proved, and judged."""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.layout import lay_out_panel
from lamphouse.cutting.mask_plan import MaskPlan, divided, mask_plan
from lamphouse.cutting.mask_proof import prove
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
    """Plan the masks of a panel and prove them.

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

    Raises
    ------
    MaskFault
        If the proof fails, which is our fault.
    """
    layout = lay_out_panel(panel, strands=strands, drills=drills)
    if not layout.has_edge:
        return None, ()
    wanted = divided(layout, masks=masks)
    plan = mask_plan(layout, masks=masks, sub_assembly=sub_assembly)
    prove(plan, face=wanted.face.without(wanted.open))
    return plan, look_at_masks(layout, masks=masks, wanted=wanted, plan=plan, boxes=boxes)
