"""Where the parts of a board may sit: every posture at every hole, as sets of holes in bits.

Terminology
-----------
bits
    A set of holes as one whole number. A row has one bit more than the board has columns, so that
    a step to the left or right never leads into the next row.
"""

from collections.abc import Sequence
from functools import cache

from lamphouse.board.holes import PITCH_MM, Hole
from lamphouse.board.legs import BODY_GAP_MM, Form, PartBody, Pose, Posture, poses
from lamphouse.record import Record

Rectangle = tuple[float, float, float, float]
_A_HAIR_MM = 1e-9


class Ground(Record):
    """The holes of a board."""

    columns: int
    rows: int

    @property
    def stride(self) -> int:
        """Bits from a hole to the one below it."""
        return self.columns + 1

    @property
    def all(self) -> int:
        """Every hole."""
        row = (1 << self.columns) - 1
        return sum(row << (number * self.stride) for number in range(self.rows))

    def bit(self, *, row: int, column: int) -> int:
        """Give one hole as a set."""
        return 1 << (row * self.stride + column)

    def hole(self, bit: int) -> Hole:
        """Give the hole of a set of one."""
        row, column = divmod(bit.bit_length() - 1, self.stride)
        return Hole(row=row, column=column)

    def holes_of(self, bits: Sequence[int]) -> list[Hole]:
        """List the holes of sets of one."""
        return [self.hole(bit) for bit in bits]


def members(bits: int) -> list[int]:
    """List the sets of one that a set is made of, lowest first."""
    found = []
    while bits:
        low = bits & -bits
        found.append(low)
        bits ^= low
    return found


class Seating(Record):
    """A part in one posture at one place."""

    pose: Pose
    row: int
    column: int
    pins: tuple[int, ...]
    """The hole of each pin, as a set of one."""
    taken: int
    """The holes of its pins."""
    covered: int
    """Holes that neither a wire nor another lead fits, beyond its own."""


def seatings(
    body: PartBody, *, ground: Ground, standing: bool, wire_mm: float
) -> tuple[Seating, ...]:
    """List every seating of a body on a board."""
    found, stride, every_hole = [], ground.stride, ground.all
    for pose in poses(body, standing=standing):
        covers = covered_steps(body, pose, wire_mm=wire_mm)
        high = max([0, *(-down for _, down in covers)])
        # what a part covers with its first pin in this column, that pin in row ``high``
        covered = [
            sum(
                ground.bit(row=high + down, column=column + right)
                for right, down in covers
                if 0 <= column + right < ground.columns
            )
            for column in range(ground.columns)
        ]
        rights, downs = zip(*pose.steps, strict=True)
        steps = [down * stride + right for right, down in pose.steps]
        for row in range(-min(downs), ground.rows - max(downs)):
            for column in range(-min(rights), ground.columns - max(rights)):
                first = row * stride + column
                pins = tuple([1 << first + step for step in steps])
                found.append(
                    Seating(
                        pose=pose,
                        row=row,
                        column=column,
                        pins=pins,
                        taken=sum(pins),
                        covered=covered[column] << row * stride >> high * stride & every_hole,
                    )
                )
    return tuple(found)


@cache
def plan_of(body: PartBody, pose: Pose) -> tuple[Rectangle, ...]:
    """Give the rectangles a part takes seen from above, its first pin at the origin, in mm.

    The first is the body, the second the straight way of its leads.
    """
    spots = [(right * PITCH_MM, -down * PITCH_MM) for right, down in pose.steps]
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    level = max(xs) - min(xs) >= max(ys) - min(ys)
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    long, wide = body.size_mm[0], body.size_mm[1]
    if pose.posture is Posture.STANDING:
        (x, y), long = spots[pose.upright_over], wide
    right, up = (long / 2, wide / 2) if level else (wide / 2, long / 2)
    half = body.lead_mm / 2
    leads = (min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half)
    outline = (x - right, y - up, x + right, y + up)
    return (outline, leads) if body.form is Form.AXIAL else (outline,)


@cache
def covered_steps(body: PartBody, pose: Pose, *, wire_mm: float) -> tuple[tuple[int, int], ...]:
    """List the holes a part covers, as steps right and down from its first pin."""
    if body.form is Form.CHIP:
        return ()  # it lies on the other side, between its two pads
    reach = wire_mm / 2 + BODY_GAP_MM - _A_HAIR_MM
    boxes = plan_of(body, pose)
    far = 2 + round(max(abs(side) for box in boxes for side in box) / PITCH_MM)
    near = range(-far, far + 1)
    covered = {
        (down, right)
        for left, low, end, high in boxes
        for down in near
        if low - reach < -down * PITCH_MM < high + reach
        for right in near
        if left - reach < right * PITCH_MM < end + reach
    }
    return tuple(
        (right, down) for down, right in sorted(covered) if (right, down) not in pose.steps
    )


@cache
def clear_of(
    body: PartBody, pose: Pose, other: PartBody, other_pose: Pose, *, right: int, down: int
) -> bool:
    """Tell whether two parts keep their gap, the other's first pin so many holes from the first's.

    Parts on opposite sides of the board never meet.
    """
    if (body.form is Form.CHIP) != (other.form is Form.CHIP):
        return True
    shift = (right * PITCH_MM, -down * PITCH_MM)
    return not any(
        one[0] < two[2] + shift[0] + BODY_GAP_MM - _A_HAIR_MM
        and two[0] + shift[0] < one[2] + BODY_GAP_MM - _A_HAIR_MM
        and one[1] < two[3] + shift[1] + BODY_GAP_MM - _A_HAIR_MM
        and two[1] + shift[1] < one[3] + BODY_GAP_MM - _A_HAIR_MM
        for one in plan_of(body, pose)
        for two in plan_of(other, other_pose)
    )
