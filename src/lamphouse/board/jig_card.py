"""Point to point: parts side by side in the slots of a card, and the joints between their ends.

The card holds the parts while their leads are twisted and soldered; then it is cut away, or glued
in as it is. Every net is one numbered joint: all that meets there is listed with it.

Terminology
-----------
joint
    Leads and wires twisted together, or hung on one bare wire that runs from spot to spot.
spot
    Where a lead of the card's parts ends.
"""

from collections.abc import Sequence
from itertools import combinations, pairwise
from math import dist

from lamphouse.board.demand import BoardDemand, BoardPart, BoardWire
from lamphouse.board.legs import Form, PartBody
from lamphouse.circuit.wired import Pin
from lamphouse.findings import Where
from lamphouse.record import Record

LEAD_MM = 10.0
"""Lead left straight at each side of a body, for a twist of three turns [PRACTICE]."""
ROW_MM = 7.0
"""From part to part at least, so that its name and a soldering iron get between [PRACTICE]."""
EDGE_MM = 5.0
APART_MM = 1.0
"""Between ends of different leads at least."""
_BUS_MM = 6.0
"""From the outermost spots to the joint of a net that only joins wires."""

Spot = tuple[float, float]


class CardPart(Record):
    """A part in its slot."""

    name: str
    value: str
    bands: tuple[str, ...]
    code: str
    body: PartBody
    at_mm: Spot
    """Middle of its body: x to the right, y up, from the card's upper left corner."""
    ends_mm: tuple[Spot, ...]
    """Where its pins end, in order."""


class CardJoint(Record):
    """Everything that is soldered together in one net."""

    number: int
    """From 1; written beside it on the card."""
    net: str
    pins: tuple[Pin, ...]
    """Of the parts on the card, and where its wires go."""
    spots_mm: tuple[Spot, ...]
    """A bare wire runs from the first to the last; a single spot is a twist."""
    wires: tuple[BoardWire, ...]


class JigCard(Record):
    """A sub-assembly's parts without a board, at full size."""

    sub_assembly: str
    where: Where
    size_mm: tuple[float, float]
    parts: tuple[CardPart, ...]
    joints: tuple[CardJoint, ...]


def make_card(demand: BoardDemand) -> JigCard:
    """Set the parts of a sub-assembly in a column of slots, with a joint for every net.

    First pins end on the left, the others on the right; a net that is on both sides is led round
    the card by an insulated wire, which is the maker's to bend.

    Parameters
    ----------
    demand
        Parts and wires; its space counts for nothing.
    """
    long = max((part.body.size_mm[0] for part in demand.parts), default=0.0)
    wide = max((part.body.size_mm[1] for part in demand.parts), default=0.0)
    row = max(ROW_MM, wide + 4.0)
    reach = long / 2 + LEAD_MM
    loose = [net for net in demand.nets() if not any(net in p.nets for p in demand.parts)]
    middle = EDGE_MM + reach
    rows = max(len(demand.parts), 1)
    parts = tuple(
        _part(part, (middle, -EDGE_MM - (number + 0.5) * row), reach, row)
        for number, part in enumerate(demand.parts)
    )
    lines = {
        net: (middle + reach + (place + 1) * _BUS_MM, -EDGE_MM, -EDGE_MM - rows * row)
        for place, net in enumerate(loose)
    }
    return JigCard(
        sub_assembly=demand.sub_assembly,
        where=demand.where,
        size_mm=(
            2 * EDGE_MM + 2 * reach + len(loose) * _BUS_MM,
            2 * EDGE_MM + rows * row,
        ),
        parts=parts,
        joints=tuple(
            _joint(number, net, demand, parts, lines)
            for number, net in enumerate(demand.nets(), start=1)
        ),
    )


def _part(part: BoardPart, at: Spot, reach: float, row: float) -> CardPart:
    """Give a part its ends; of three pins the last two share the right, a third of a row apart."""
    x, y = at
    out = part.body.size_mm[0] / 2 if part.body.form is Form.CHIP else reach
    ends = [(x - out, y), (x + out, y)]
    if len(part.nets) > 2:
        ends = [(x - out, y), (x + out, y + row / 3), (x + out, y - row / 3)]
    return CardPart(
        name=part.name,
        value=part.value,
        bands=part.bands,
        code=part.code,
        body=part.body,
        at_mm=at,
        ends_mm=tuple(ends),
    )


def _joint(
    number: int,
    net: str,
    demand: BoardDemand,
    parts: Sequence[CardPart],
    lines: dict[str, tuple[float, float, float]],
) -> CardJoint:
    pins, spots = [], []
    for part, placed in zip(demand.parts, parts, strict=True):
        for pin, (own, end) in enumerate(zip(part.nets, placed.ends_mm, strict=True), start=1):
            if own == net:
                pins.append(Pin(part=part.name, pin=pin))
                spots.append(end)
    if net in lines:
        x, top, bottom = lines[net]
        spots = [(x, top), (x, bottom)]
    wires = tuple(wire for wire in demand.wires if wire.net == net)
    return CardJoint(
        number=number,
        net=net,
        pins=(*pins, *(wire.pin for wire in wires)),
        spots_mm=tuple(spots),
        wires=wires,
    )


class CardRun(Record):
    """A wire from one spot of a joint to the next."""

    start_mm: Spot
    end_mm: Spot
    insulated: bool
    """Bare only where it runs straight past no spot of another joint."""


def runs_of(joint: CardJoint, *, card: JigCard) -> tuple[CardRun, ...]:
    """List the wires that join the spots of a joint, one after another."""
    others = [s for one in card.joints if one.number != joint.number for s in one.spots_mm]
    return tuple(
        CardRun(start_mm=start, end_mm=end, insulated=not _is_free(start, end, others))
        for start, end in pairwise(joint.spots_mm)
    )


def _is_free(start: Spot, end: Spot, others: Sequence[Spot]) -> bool:
    low, high = sorted((start[1], end[1]))
    return start[0] == end[0] and not any(x == start[0] and low < y < high for x, y in others)


def card_faults(card: JigCard, *, nets: Sequence[Sequence[Pin]]) -> tuple[str, ...]:
    """Prove a card: its joints are exactly the nets, bodies lie apart, ends lie apart on the card.

    Parameters
    ----------
    card
        As made.
    nets
        The pins of every net that reaches the board.
    """
    faults = []
    made = sorted(sorted(map(str, joint.pins)) for joint in card.joints)
    if made != sorted(sorted(map(str, pins)) for pins in nets):
        faults.append("the joints are not the nets")
    boxes = [(part.at_mm, part.body.size_mm) for part in card.parts]
    for ((x, y), (long, wide, _)), ((u, v), (other_long, other_wide, _)) in combinations(boxes, 2):
        if abs(x - u) < (long + other_long) / 2 and abs(y - v) < (wide + other_wide) / 2:
            faults.append("two slots overlap")
    ends = [end for part in card.parts for end in part.ends_mm]
    faults += ["two ends coincide" for a, b in combinations(ends, 2) if dist(a, b) < APART_MM]
    width, height = card.size_mm
    faults += [
        "an end lies off the card" for x, y in ends if not (0 <= x <= width and -height <= y <= 0)
    ]
    return tuple(faults)
