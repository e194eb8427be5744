"""The pieces of a plan on stock sheets: laid out only when a pack wants them."""

from dataclasses import replace

from lamphouse.build.parts import with_sheets
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.cutting.sheets import lay_on_sheets
from lamphouse.plan.result import Plan


def sheeted(plan: Plan) -> Plan:
    """Lay all pieces on sheets, prove the result, and count the sheets in the parts list.

    The findings stay as they are: a check has told them already.
    """
    design, pieces = plan.design, plan.pieces()
    locked, _ = look_at_sheets(pieces, in_hand=design.sheets, habits=design.cutting)
    layout = lay_on_sheets(
        pieces, in_hand=design.sheets, habits=design.cutting, locked=locked, seed=design.seed
    )
    return replace(plan, layout=layout, parts=with_sheets(plan.parts, layout=layout))
