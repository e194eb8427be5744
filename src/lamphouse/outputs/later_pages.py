"""The pages of the papers for later, in the order in which the next owner wants them."""

from collections.abc import Iterator, Sequence

from lamphouse.outputs import care_sheets
from lamphouse.outputs.cautions import Caution
from lamphouse.outputs.museum_sheet import museum
from lamphouse.outputs.page_entries import Sheet
from lamphouse.plan.result import Plan

LATER = ("label", "care", "plugs", "spares", "museum")
"""Marks of what the next owner reads first."""


def later_pages(plan: Plan, *, cautions: Sequence[Caution]) -> Iterator[Sheet]:
    """Give label, care sheet, plug map, spares bag, museum sheet and programs, as they apply."""
    kept = care_sheets.care(plan, cautions=tuple(cautions))
    for mark, heading, data in (
        ("label", "Label", care_sheets.label(plan)),
        ("care", "Care sheet", kept),
        ("plugs", "Plug map", care_sheets.plug_map(plan)),
        ("spares", "Spares bag", care_sheets.spares(plan)),
        ("museum", "Museum sheet", museum(plan)),
        ("listing", "Programs in full", care_sheets.listing(plan)),
    ):
        if data:
            yield Sheet(mark=mark, kind=mark, heading=heading, data=data)
