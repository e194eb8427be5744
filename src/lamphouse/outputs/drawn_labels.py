"""The drawings of a plan by what they show: the pack sets them on pages, the page shows them."""

from collections.abc import Iterator, Sequence

from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.cutting.box_frame import as_built
from lamphouse.cutting.former import former_of
from lamphouse.cutting.kerf import kerf_words
from lamphouse.cutting.piece import BoxPieces
from lamphouse.design.place import SubAssembly
from lamphouse.drawings.box import box_sheets
from lamphouse.drawings.exploded import exploded
from lamphouse.drawings.face import panel_sheets
from lamphouse.drawings.former_sheet import former_sheet
from lamphouse.drawings.former_view import former_view
from lamphouse.drawings.loom_plan import loom_plan
from lamphouse.drawings.mask_view import mask_sheet, mask_view
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.schematic import schematic
from lamphouse.drawings.splitter_board import splitter_boards
from lamphouse.drawings.stock_sheet import stock_sheet
from lamphouse.drawings.wire_flags import wire_flags
from lamphouse.plan.result import Plan
from lamphouse.plan.wirings import wirings

Labels = tuple[Labelled, ...]


def schematics(plan: Plan, sub: SubAssembly, *, wired: WiredSubAssembly | None = None) -> Labels:
    """Draw a sub-assembly's circuit.

    Parameters
    ----------
    wired
        The circuit as it is soldered, when it is known already.
    """
    circuit = next((c for c in plan.circuits if c.sub_assembly == sub.name), None)
    wired = wired or next((w for w in wirings(plan) if w.sub_assembly == sub.name), None)
    if circuit is None or wired is None:
        return ()
    return schematic(wired, circuit=circuit, pigtail=sub.pigtail, paper=plan.design.paper)


def templates(plan: Plan, sub: SubAssembly) -> Labels:
    """Draw every panel of a sub-assembly at its size."""
    panels = (piece for piece in plan.panels if piece.sub_assembly == sub.name)
    return tuple(label for piece in panels for label in panel_sheets(piece))


def formers(plan: Plan, sub: SubAssembly) -> Labels:
    """Draw the formers of a sub-assembly put together, then their pieces; empty without any."""
    pieces = tuple(former_sheet(piece) for piece in plan.formers if piece.sub_assembly == sub.name)
    return (*_former_views(plan, sub), *pieces) if pieces else ()


def box_pieces(plan: Plan, sub: SubAssembly) -> Labels:
    """Draw the pieces of a sub-assembly's light boxes at their size."""
    return tuple(label for box in _boxes(plan, sub) for label in box_sheets(box))


def box_assemblies(plan: Plan, sub: SubAssembly) -> Labels:
    """Draw each light box that can be built pulled apart."""
    return tuple(_assemblies(_boxes(plan, sub), sub=sub, paper=plan.design.paper))


def masks(plan: Plan, sub: SubAssembly) -> Labels:
    """Draw each painted panel, then its masks at their size, as they are cut."""
    paintings = [one for one in plan.paintings if one.sub_assembly == sub.name and one.steps]
    views = [mask_view(one, paper=plan.design.paper) for one in paintings]
    films = [mask_sheet(piece) for one in paintings for piece in one.pieces()]
    return (*views, *films)


def loom(plan: Plan) -> Labels:
    """Draw the wiring under the floor, and its splitter boards; empty where none is laid."""
    if plan.loom is None:
        return ()
    design = plan.design
    drawing = loom_plan(plan.loom, subs=design.sub_assemblies, room=design.room, paper=design.paper)
    return (drawing, *splitter_boards(plan.loom))


def loom_flags(plan: Plan) -> Labels:
    """Draw the flags of the loom's wires; empty where none is laid."""
    return wire_flags(plan.loom, paper=plan.design.paper) if plan.loom else ()


def stock_sheets(plan: Plan) -> Labels:
    """Draw every stock sheet with its pieces; empty until they are laid."""
    kerf = kerf_words(plan.design.cutting)
    note = f"Lines in the files for cutters are compensated for {kerf}." if kerf else ""
    sheets = plan.layout.sheets if plan.layout else ()
    return tuple(stock_sheet(one, paper=plan.design.paper, note=note) for one in sheets)


def _boxes(plan: Plan, sub: SubAssembly) -> list[BoxPieces]:
    return [box for box in plan.boxes if box.sub_assembly == sub.name]


def _assemblies(boxes: Sequence[BoxPieces], *, sub: SubAssembly, paper: str) -> Iterator[Labelled]:
    panels = {panel.name: panel for panel in sub.panels}
    designed = {(panel, box.name): box for panel, box in sub.boxes}
    for made in boxes:
        box = designed.get((made.panel, made.box))
        if box and (made.standing or made.bodies):
            yield exploded(made, box=as_built(box), panel=panels[made.panel], paper=paper)


def _former_views(plan: Plan, sub: SubAssembly) -> Iterator[Labelled]:
    for panel in sub.panels:
        former = former_of(panel.curve) if panel.curve else None
        if former:
            name = f"{sub.name} / {panel.name} former"
            yield former_view(former, name=name, paper=plan.design.paper)
