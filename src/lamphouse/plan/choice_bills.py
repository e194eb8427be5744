"""What is to be bought for a choice, beyond what is bought for the model as drawn.

Both bills are those of the whole model, less what drawer and stock hold, in whole packs: LEDs that
come out of a pack bought anyway cost nothing more.

Limits of the model: the sheet of walls, drills, strands and the loom are in neither bill; what
controllers are built from, and the resistors that other sub-assemblies take from the drawer, stay
those of the model as drawn.
"""

from collections.abc import Iterator

from lamphouse.blink.laid_time import lay_time
from lamphouse.build.buying import MoreToBuy, Shopping, beyond, shopping
from lamphouse.build.part_use import Use
from lamphouse.build.parts import parts_list
from lamphouse.catalogue.film_types import FILM
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.terminals import at_terminals
from lamphouse.circuit.trial import Stock
from lamphouse.circuit.verdict import judge_sub_assembly
from lamphouse.cutting.cutlist import LEAD_MM, cut_panel
from lamphouse.cutting.piece import Piece
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.plan.choosing import Desk, lit_sub
from lamphouse.plan.control_parts import control_parts
from lamphouse.plan.programmed import control, loads_of
from lamphouse.plan.resistor_stock import Judged, in_turn
from lamphouse.plan.suggestion import Choice
from lamphouse.plan.time_lined import played_groups
from lamphouse.plan.under_floor import run_ohms_of
from lamphouse.record import Record, replace


class DrawnBill(Record):
    """What is bought for the model as drawn, and what it is counted from."""

    circuits: tuple[SubAssemblyCircuit, ...]
    diffusers: tuple[Piece, ...]
    """Inner diffusers; of the pieces cut, films alone."""
    controls: tuple[Use, ...]
    """What controllers are built from."""
    bill: Shopping


def drawn_bill(design: Design) -> DrawnBill:
    """Count what is to be bought for the model as drawn."""
    circuits = tuple(_circuits(design))
    diffusers = tuple(
        piece for sub in design.sub_assemblies for piece in _diffusers(sub, design=design)
    )
    controls = _controls(design, circuits=circuits)
    return DrawnBill(
        circuits=circuits,
        diffusers=diffusers,
        controls=controls,
        bill=_bill(design, circuits=circuits, diffusers=diffusers, controls=controls),
    )


def more_to_buy(choice: Choice, *, desk: Desk, drawn: DrawnBill) -> MoreToBuy:
    """Count what is to be bought for a choice beyond the model as drawn.

    Parameters
    ----------
    choice
        With the circuit that was designed for it.
    desk
        It was made with.
    drawn
        Of the desk's design.
    """
    design = desk.design
    sub, _ = lit_sub(desk, panel=choice.panel, box=choice.box)
    subs = tuple(sub if one.name == sub.name else one for one in design.sub_assemblies)
    others = [one for one in drawn.circuits if one.sub_assembly != sub.name]
    kept = [piece for piece in drawn.diffusers if piece.sub_assembly != sub.name]
    bill = _bill(
        replace(design, sub_assemblies=subs),
        circuits=(*others, *([choice.circuit] if choice.circuit else [])),
        diffusers=(*kept, *_diffusers(sub, design=design)),
        controls=drawn.controls,
    )
    return beyond(bill, drawn=drawn.bill)


def _bill(
    design: Design,
    *,
    circuits: tuple[SubAssemblyCircuit, ...],
    diffusers: tuple[Piece, ...],
    controls: tuple[Use, ...],
) -> Shopping:
    parts = parts_list(design, pieces=diffusers, circuits=circuits, further=controls)
    return shopping(parts, prices=design.prices)


def _circuits(design: Design) -> Iterator[SubAssemblyCircuit]:
    """Design all sub-assemblies as drawn."""
    supply = at_terminals(design.supply, subs=design.sub_assemblies)
    ohms = run_ohms_of(design)

    def judge(sub: SubAssembly, stock: Stock) -> Judged:
        return judge_sub_assembly(
            sub,
            supply=supply,
            habits=design.habits,
            package=sub.board.resistor_package if sub.board else design.resistor_package,
            groups=design.groups,
            run_ohm=ohms.get(sub.name, 0.0),
            drawer=stock,
        )

    return (circuit for circuit, _ in in_turn(design, judge=judge) if circuit)


def _controls(design: Design, *, circuits: tuple[SubAssemblyCircuit, ...]) -> tuple[Use, ...]:
    """Count what controllers are built from, where its resistors may share a pack with strings'."""
    if not any(price.part.startswith("resistor ") for price in design.prices):
        return ()
    played = played_groups(design)
    controllers, _ = control(
        design,
        hung=loads_of(design, circuits=circuits, groups=played),
        groups=played,
        table=lay_time(played, scenes=design.scenes, seed=design.seed) if played else None,
    )
    return control_parts(controllers)


def _diffusers(sub: SubAssembly, *, design: Design) -> Iterator[Piece]:
    """Cut the inner diffusers of a sub-assembly; their drills are left out with those of walls."""
    for panel in sub.panels:
        boxes = sub.boxes_of(panel.name)
        if not any(box.inner_diffuser for box in boxes):
            continue
        cut = cut_panel(
            panel,
            strands=sub.strands_of(panel.name),
            boxes=boxes,
            sub_assembly=sub.name,
            drills=design.drills,
            lead_mm=sub.pigtail.wire.outside_mm if sub.pigtail else LEAD_MM,
        )
        for box in cut.boxes:
            for piece in box.pieces:
                if piece.sheet.material == FILM:
                    yield replace(piece, holes=())
