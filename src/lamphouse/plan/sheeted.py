"""The pieces of a plan on stock sheets: laid out only when a pack wants them."""

from collections.abc import Callable, Collection, Sequence

from lamphouse.build.parts import with_sheets
from lamphouse.cutting.kerf import laying
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.cutting.sheet_rules import look_at_sheets
from lamphouse.cutting.sheet_squeeze import SqueezeMissing as SqueezeMissing
from lamphouse.cutting.sheet_tightened import tightened
from lamphouse.cutting.sheets import lay_on_sheets
from lamphouse.design.whole import SheetInHand
from lamphouse.plan.result import Plan
from lamphouse.record import replace


def sheeted(plan: Plan, *, squeeze_s: int = 0, more: Sequence[SheetInHand] = ()) -> Plan:
    """Lay all pieces on sheets, prove the result, and count the sheets in the parts list.

    The findings stay as they are: a check has told them already.

    Parameters
    ----------
    squeeze_s
        How long to squeeze every sheet, 0 for not at all; squeezed, the result is no longer the
        same on every machine.
    more
        Sheets of a drawer that projects share, to use as those of the stock list are.

    Raises
    ------
    SqueezeMissing
        If it is to be squeezed without the library of the extra ``squeeze``.
    """
    design, pieces = plan.design, plan.pieces()
    habits = laying(design.cutting)
    in_hand = (*design.sheets, *more)
    locked, _ = look_at_sheets(pieces, in_hand=in_hand, habits=habits)
    layout = lay_on_sheets(pieces, in_hand=in_hand, habits=habits, locked=locked, seed=design.seed)
    if squeeze_s:
        layout = tightened(
            layout, pieces=pieces, habits=habits, seconds=squeeze_s, seed=design.seed
        )
    return replace(plan, layout=layout, parts=with_sheets(plan.parts, layout=layout))


def squeezed(
    plan: Plan, *, only: Collection[str], seconds: int, tell: Callable[[int, int, str], None]
) -> SheetLayout:
    """Squeeze some of the sheets of a plan that is laid out.

    Parameters
    ----------
    only
        Names of the sheets.
    seconds
        How long for each.
    tell
        Progress; what it raises ends the work between two sheets.

    Raises
    ------
    SqueezeMissing
        Without the library of the extra ``squeeze``.
    ValueError
        If the plan is not laid out.
    """
    if plan.layout is None:
        unlaid = "the plan has no sheets yet"
        raise ValueError(unlaid)
    return tightened(
        plan.layout,
        pieces=plan.pieces(),
        habits=laying(plan.design.cutting),
        seconds=seconds,
        seed=plan.design.seed,
        only=only,
        tell=tell,
    )
