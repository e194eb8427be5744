"""The card for wiring point to point, at full size: slots, leads, and numbered joints."""

from collections.abc import Iterator

from lamphouse.board.jig_card import CardJoint, CardPart, JigCard, runs_of
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import drawing_of

_SPOT_MM = 1.2
_RING_MM = 3.4
_NUMBER_MM = 1.7


def card_view(card: JigCard) -> Drawing:
    """Draw a card to be stuck on card and cut out: its slots are cut, leads laid on the lines."""
    wide, high = card.size_mm
    items: list[Item] = [rectangle(Pen.CUT, left=0.0, bottom=-high, right=wide, top=0.0)]
    for part in card.parts:
        items += _part(part)
    for joint in card.joints:
        items += _joint(joint, card)
    return drawing_of(items, name=f"{card.sub_assembly} card")


def _part(part: CardPart) -> Iterator[Item]:
    (x, y), (long, wide, _) = part.at_mm, part.body.size_mm
    yield rectangle(
        Pen.CUT, left=x - long / 2, bottom=y - wide / 2, right=x + long / 2, top=y + wide / 2
    )
    for end in part.ends_mm:
        edge = x + (long / 2 if end[0] > x else -long / 2)
        yield segment(Pen.MARK, start=(edge, end[1]), end=end)
    room = abs(part.ends_mm[0][0] - part.ends_mm[1][0])
    words = shortened(f"{part.name} {part.value}", height_mm=LEAST_MM, room_mm=room)
    yield Text(
        x_mm=x,
        y_mm=y - wide / 2 - LEAST_MM - 0.4,
        words=words,
        height_mm=LEAST_MM,
        anchor=Anchor.MIDDLE,
        bold=True,
    )


def _joint(joint: CardJoint, card: JigCard) -> Iterator[Item]:
    """Draw a joint's spots and wires, its number beside the first spot."""
    for run in runs_of(joint, card=card):
        pen = Pen.SCORE if run.insulated else Pen.CUT
        yield segment(pen, start=run.start_mm, end=run.end_mm)
    for x, y in joint.spots_mm:
        yield Circle(pen=Pen.TEXT, x_mm=x, y_mm=y, diameter_mm=_SPOT_MM, filled=True)
    x, y = joint.spots_mm[0]
    middle = card.parts[0].at_mm[0] if card.parts else 0.0
    out = x + (_RING_MM / 2 + _SPOT_MM / 2 + 0.2) * (1 if x > middle else -1)
    yield Circle(pen=Pen.CUT, x_mm=out, y_mm=y, diameter_mm=_RING_MM)
    yield Text(
        x_mm=out,
        y_mm=y - _NUMBER_MM / 2,
        words=str(joint.number),
        height_mm=_NUMBER_MM,
        anchor=Anchor.MIDDLE,
        bold=True,
    )
