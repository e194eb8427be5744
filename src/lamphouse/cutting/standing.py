"""Where the pieces of a light box stand in space.

Terminology
-----------
box space
    x and y as in the panel plane, z from the inner face of the back towards the panel. [mm].
seen face
    The face of a piece that its template shows; its thickness lies behind it.
"""

from lamphouse.record import Record
from lamphouse.shapes.outline import Spot

Vector = tuple[float, float, float]


class Standing(Record):
    """One piece in its place: the seen face with its right and up, the thickness behind it."""

    part: str
    """As it is called: ``wall 2``."""
    piece: str
    """Full name of the piece it is a copy of."""
    corner_mm: Vector
    """Where the piece's datum corner lies."""
    right: Vector
    """Unit vector of the piece's x."""
    up: Vector
    """Unit vector of the piece's y."""
    near_mm: Spot = (0.0, 0.0)
    """How much shorter than the template the seen face is at its left and right end."""
    far_mm: Spot = (0.0, 0.0)
    """The same of the face behind."""

    @property
    def normal(self) -> Vector:
        """Unit vector towards the reader of the seen face."""
        (ax, ay, az), (bx, by, bz) = self.right, self.up
        return ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
