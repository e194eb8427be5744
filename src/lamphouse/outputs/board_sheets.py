"""The board of a sub-assembly as data for the typesetter: both views, tables, and the steps."""

from collections.abc import Sequence
from typing import Any

from lamphouse.board.demand import BoardWire
from lamphouse.board.jig_card import JigCard
from lamphouse.board.legs import Posture
from lamphouse.board.planned_board import BoardPlan
from lamphouse.board.solder_order import CARD_STEPS, SolderStep, solder_steps
from lamphouse.board.soldered import PlacedPart, WirePad
from lamphouse.circuit.wire_colours import WORDS
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import BoardKind
from lamphouse.drawings.board_view import enlargement, life_size, parts_view, solder_view
from lamphouse.drawings.card_view import card_view
from lamphouse.drawings.drawing import Drawing
from lamphouse.drawings.paper import upright
from lamphouse.outputs.svg import render
from lamphouse.plan.result import Plan

_KINDS = {BoardKind.PERFORATED: "Perforated board", BoardKind.STRIPBOARD: "Stripboard"}
_MARGINS_MM = 34.0
"""Left and right of a sheet of text together."""
_LEGEND = (
    "A ring with a number is a wire; a dot is the end of a lead. Thick bars are solder bridges, "
    "thin ones tails and bare wire, dashed lines insulated links, crosses cuts."
)


def board(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Say how a sub-assembly's board is soldered; None without a board that is laid out."""
    planned = next((one for one in plan.boards if one.sub_assembly == sub.name), None)
    if planned is None:
        return None
    width = upright(plan.design.paper).width_mm - _MARGINS_MM
    return _of_card(planned.card) if planned.card else _of_layout(planned, width)


def _of_layout(planned: BoardPlan, room_mm: float) -> dict[str, Any]:
    layout = planned.layout
    if layout is None:
        neither = "a planned board has neither layout nor card"
        raise ValueError(neither)
    scale = enlargement(layout, room_mm=room_mm)
    views = (
        _picture(parts_view(layout, scale=scale), "top view, parts side", _drawn(scale)),
        _picture(solder_view(layout, scale=scale), "solder view, mirrored", _drawn(scale)),
        _picture(life_size(layout), "full size", "1:1, lay the board on it"),
    )
    wide, high = layout.size_mm
    return {
        "name": layout.sub_assembly,
        "above": "Board",
        "words": f"{_KINDS[layout.kind]}, {layout.columns} by {layout.rows} holes at 2.54 mm: "
        f"{wide:.1f} by {high:.1f} mm. Letters and numbers name the same holes on both sides.",
        "legend": _LEGEND,
        "pictures": list(views),
        "parts": [_part(part) for part in layout.parts],
        "wires": [_wire(wire, wire.hole.name) for wire in layout.wires],
        "points": [
            {"name": probe.name, "hole": probe.hole.name, "words": probe.words}
            for probe in layout.probes
        ],
        "joints": [],
        "steps": _steps(solder_steps(layout)),
    }


def _of_card(card: JigCard) -> dict[str, Any]:
    return {
        "name": card.sub_assembly,
        "above": "Point to point",
        "words": "No board: stick this drawing on card at full size, cut the slots, and set the "
        "parts in. Solder joint by joint, then cut the card away or leave it.",
        "legend": "A ring with a number is a joint; thick lines are bare wire, dashed lines are "
        "insulated.",
        "pictures": [_picture(card_view(card), "card", "1:1")],
        "parts": [
            {
                "name": part.name,
                "value": part.value,
                "bands": list(part.bands),
                "code": part.code,
                "where": f"slot {number}",
                "how": "flat",
            }
            for number, part in enumerate(card.parts, start=1)
        ],
        "wires": [
            _wire(wire, f"joint {joint.number}") for joint in card.joints for wire in joint.wires
        ],
        "points": [],
        "joints": [
            {
                "number": str(joint.number),
                "parts": ", ".join(
                    f"{pin.part} end {pin.pin}"
                    for pin in joint.pins
                    if any(pin.part == part.name for part in card.parts)
                ),
                "wires": ", ".join(f"{wire.number} ({wire.flag})" for wire in joint.wires),
            }
            for joint in card.joints
        ],
        "steps": _steps(CARD_STEPS),
    }


def _steps(steps: Sequence[SolderStep]) -> list[dict[str, Any]]:
    return [
        {"heading": step.heading, "words": step.words, "places": list(step.places)}
        for step in steps
    ]


def _drawn(scale: float) -> str:
    return f"{scale:.3g}:1"


def _picture(drawing: Drawing, name: str, words: str) -> dict[str, Any]:
    return {
        "name": name,
        "words": words,
        "svg": render(drawing),
        "width": drawing.width_mm,
        "height": drawing.height_mm,
    }


def _part(part: PlacedPart) -> dict[str, Any]:
    holes = [hole.name for hole in part.holes]
    if part.posture is Posture.STANDING and part.upright_over:
        holes.reverse()
    return {
        "name": part.name,
        "value": part.value,
        "bands": list(part.bands),
        "code": part.code,
        "where": ", ".join(holes),
        "how": str(part.posture),
    }


def _wire(wire: WirePad | BoardWire, where: str) -> Sequence[str]:
    """Give a row of the table of wires; a plus or minus is not parted from its name."""
    name, space, sign = wire.flag.rpartition(" ")
    flag = f"{name}\u00a0{sign}" if space and not sign.isalnum() else wire.flag
    return [str(wire.number), f"{wire.colour} {WORDS[wire.colour]}", flag, where]
