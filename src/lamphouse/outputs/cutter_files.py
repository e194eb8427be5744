"""The files for cutters of one piece or one stock sheet: SVG and DXF."""

from collections.abc import Collection, Iterator

from lamphouse.cutting.kerf import followed, kerf_words
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import LaidSheet
from lamphouse.drawings.drawing import Drawing
from lamphouse.drawings.face import draw
from lamphouse.drawings.pens import CUTTER
from lamphouse.drawings.stock_sheet import draw_sheet
from lamphouse.outputs import dxf, svg
from lamphouse.plan.result import Plan
from lamphouse.record import replace
from lamphouse.storage.file_names import safe_name


def cutter_name(plan: Plan, what: Piece | LaidSheet, *, taken: Collection[str] = ()) -> str:
    """Give the name of the files, without ending; it says where lines follow the tool."""
    return safe_name(f"{what.name} {kerf_words(plan.design.cutting)}".rstrip(), taken=taken)


def lines_of(plan: Plan, what: Piece | LaidSheet) -> Iterator[tuple[str, bytes]]:
    """Give the lines, along the way of the tool where that is wanted, each after its ending."""
    kerf = kerf_words(plan.design.cutting)
    kerf_mm = plan.design.cutting.kerf_mm if kerf else 0.0
    if isinstance(what, LaidSheet):
        drawing = _titled(draw_sheet(what, kerf_mm=kerf_mm), kerf)
    else:
        drawing = _titled(draw(followed(what, kerf_mm=kerf_mm)), kerf)
    yield "svg", svg.render(drawing, pens=CUTTER).encode()
    yield "dxf", dxf.render(drawing, pens=CUTTER, note=kerf)


def _titled(drawing: Drawing, kerf: str) -> Drawing:
    if not kerf:
        return drawing
    return replace(drawing, name=f"{drawing.name}, compensated for {kerf}, drilled holes as drawn")
