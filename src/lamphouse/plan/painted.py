"""The paintings of a plan, proved before they are drawn."""

from lamphouse.cutting.mask_verdict import prove_masks
from lamphouse.plan.result import Plan


def painted(plan: Plan) -> Plan:
    """Prove every painting; give the plan as it is.

    Raises
    ------
    MaskFault
        If one does not come out as wanted, which is our fault.
    """
    design = plan.design
    for painting in plan.paintings:
        sub = next(one for one in design.sub_assemblies if one.name == painting.sub_assembly)
        prove_masks(
            painting,
            panel=next(one for one in sub.panels if one.name == painting.panel),
            strands=sub.strands_of(painting.panel),
            drills=design.drills,
        )
    return plan
