"""All pieces of a light box in their places."""

from collections.abc import Iterator, Sequence

from lamphouse.cutting.baffle_ends import Stretch
from lamphouse.cutting.baffle_joints import Baffling, baffle_outline
from lamphouse.cutting.box_back import rear_outline
from lamphouse.cutting.box_fixing import FixPlace
from lamphouse.cutting.frame import Frame
from lamphouse.cutting.inner_diffuser import standing_diffuser
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.ring import Wall
from lamphouse.cutting.seats import LEDGE_MM
from lamphouse.cutting.standing import Standing
from lamphouse.cutting.wall_piece import ledge_parts, ledge_strips
from lamphouse.design.lightbox import Blocks, Lid
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Spot

_LETTERS = "abcdefghijklmnopqrstuvwxyz"


def standing_of(
    frame: Frame, *, pieces: Sequence[Piece], baffling: Baffling, places: Sequence[FixPlace]
) -> tuple[Standing, ...]:
    """Stand every flat piece of a box in its place; bent and folded ones have none."""
    by_part = {part: piece.name for piece in pieces for part in _parts(piece)}
    found = [
        *_flat(frame, by_part=by_part, places=places),
        *_walls(frame, by_part=by_part, baffling=baffling),
        *_blocks(frame, by_part=by_part, pieces=pieces, places=places),
        *standing_diffuser(frame, by_part=by_part, baffling=baffling),
    ]
    for stretch in baffling.stretches:
        part = f"baffle {stretch.baffle.name}"
        if part in by_part:
            corner = bounds_mm(baffle_outline(frame, stretch=stretch, baffling=baffling))[:2]
            found.append(upright_baffle(part, piece=by_part[part], stretch=stretch, datum=corner))
    return tuple(found)


def _parts(piece: Piece) -> Iterator[str]:
    """Give the parts that a piece stands for: ``walls 2, 4`` for walls 2 and 4."""
    own = piece.name.rpartition(" / ")[2]
    kind, _, numbers = own.partition(" ")
    if kind in {"walls", "ledges"}:
        yield from (f"{kind[:-1]} {number}" for number in numbers.split(", "))
    else:
        yield own


def _flat(
    frame: Frame, *, by_part: dict[str, str], places: Sequence[FixPlace]
) -> Iterator[Standing]:
    over = frame.box.lid is Lid.OVER
    rear = rear_outline(frame, places=places)
    for part, rim, z in (
        ("back", frame.inside if over else rear, 0.0),
        ("lid", rear, -frame.under_mm),
    ):
        if part in by_part:
            left, bottom, _, _ = bounds_mm(rim)
            yield level(part, piece=by_part[part], corner=(left, bottom), z_mm=z)


def _walls(frame: Frame, *, by_part: dict[str, str], baffling: Baffling) -> Iterator[Standing]:
    for index, wall in enumerate(frame.walls):
        part = f"wall {index + 1}"
        if part in by_part:
            yield upright_wall(part, piece=by_part[part], wall=wall, z_mm=-frame.under_mm)
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return
    for index, ledge in enumerate(ledge_strips(frame) if frame.walls else ()):
        parts = ledge_parts(frame, index=index, baffling=baffling)
        for letter, (start, _) in zip(_LETTERS, parts, strict=False):
            part = f"ledge {index + 1}{letter if len(parts) > 1 else ''}"
            wall = frame.walls[index]
            if part in by_part:
                yield upright_wall(
                    part,
                    piece=by_part[part],
                    wall=wall,
                    z_mm=diffuser.height_mm - min(LEDGE_MM, diffuser.height_mm),
                    inward_mm=frame.box.sheet.thickness_mm,
                    left_mm=wall.to_mm - wall.side_mm + ledge.from_mm + start,
                )


def _blocks(
    frame: Frame,
    *,
    by_part: dict[str, str],
    pieces: Sequence[Piece],
    places: Sequence[FixPlace],
) -> Iterator[Standing]:
    """Stack the layers of each block: those with a hole at the rear, then its floor."""
    fixing, thick = frame.box.fixing, frame.box.sheet.thickness_mm
    if fixing is None or "block" not in by_part:
        return
    count = len(places)
    stack = [
        name
        for part in ("block", "block floor")
        if part in by_part
        for piece in pieces
        if piece.name == by_part[part]
        for name in [piece.name] * (piece.count // count)
    ]
    foot = 0.0 if fixing.blocks is Blocks.INSIDE else -frame.under_mm
    for number, place in enumerate(places, start=1):
        x, y, _ = place.block[0]
        nx, ny, _ = place.block[1]
        side = ((nx - x) ** 2 + (ny - y) ** 2) ** 0.5
        way = ((nx - x) / side, (ny - y) / side)
        for layer, name in enumerate(stack, start=1):
            yield Standing(
                part=f"block {number}",
                piece=name,
                corner_mm=(x, y, foot + layer * thick),
                right=(*way, 0.0),
                up=(-way[1], way[0], 0.0),
            )


def level(part: str, *, piece: str, corner: Spot, z_mm: float) -> Standing:
    """Stand a piece flat, seen from the panel."""
    return Standing(
        part=part,
        piece=piece,
        corner_mm=(*corner, z_mm),
        right=(1.0, 0.0, 0.0),
        up=(0.0, 1.0, 0.0),
    )


def upright_wall(
    part: str, *, piece: str, wall: Wall, z_mm: float, inward_mm: float = 0.0, left_mm: float = 0.0
) -> Standing:
    """Stand a wall, or a strip glued to it, seen from inside with the panel's edge up.

    Parameters
    ----------
    wall
        Its last end lies to the left.
    z_mm
        Of its lower edge.
    inward_mm
        From the wall's inner face to the seen face.
    left_mm
        From the wall's last end to the piece's left edge.
    """
    (ax, ay), (bx, by) = wall.start, wall.end
    dx, dy = (bx - ax) / wall.side_mm, (by - ay) / wall.side_mm
    along = wall.to_mm - left_mm
    return Standing(
        part=part,
        piece=piece,
        corner_mm=(
            ax + along * dx - inward_mm * dy,
            ay + along * dy + inward_mm * dx,
            z_mm,
        ),
        right=(-dx, -dy, 0.0),
        up=(0.0, 0.0, 1.0),
        near_mm=(wall.to_mm - wall.near_to_mm, wall.near_from_mm - wall.from_mm),
        far_mm=(wall.to_mm - wall.far_to_mm, wall.far_from_mm - wall.from_mm),
    )


def upright_baffle(part: str, *, piece: str, stretch: Stretch, datum: Spot) -> Standing:
    """Stand a baffle on the back or hang it from the panel, seen from its near side.

    Parameters
    ----------
    datum
        Of the piece: right of where the baffle begins, and above the back.
    """
    half = stretch.baffle.sheet.thickness_mm / 2.0
    x, y = stretch.spot(stretch.from_mm + datum[0], off_mm=half)
    dx, dy = stretch.way
    return Standing(
        part=part,
        piece=piece,
        corner_mm=(x, y, datum[1]),
        right=(dx, dy, 0.0),
        up=(0.0, 0.0, 1.0),
        near_mm=(stretch.first.near_mm - stretch.from_mm, stretch.to_mm - stretch.last.near_mm),
        far_mm=(stretch.first.far_mm - stretch.from_mm, stretch.to_mm - stretch.last.far_mm),
    )
