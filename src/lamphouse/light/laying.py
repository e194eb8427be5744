"""How light that lands on the faces of a box is laid down on them: its amount and its place.

What lands off the middle of a face is shared with the neighbours.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Laying(Record):
    """What the faces n of one cavity, among all faces N, throw back of what lands on them."""

    own: slice
    """Their numbers among all."""
    back: Floats
    """(n,) of the weighed light."""
    sideways: Floats
    """(2, 4, n) makes of weighed light and its moment how far off the middle it lands, along both
    ways from lower to upper neighbour. [1, 1/mm]."""
    to: Ints
    """(R, 2, n) the faces among all that what lands off the middle is laid on."""
    share: Floats
    """(R, 1, n) how much of it, with its sign; the first two rows within the cavity."""
    twin: Ints | None
    """(n,) the faces on the other side of an inner sheet."""
    through: Floats
    """(n,) what they send out there of the weighed light."""

    def sent(self, rows: Floats, *, count: int) -> Floats:
        """Give what all faces throw back, (N,). [lm/lm].

        Parameters
        ----------
        rows
            (4, n) weighed flux, and its moment [mm]. [lm/lm].
        count
            N.
        """
        aside = np.einsum("akn,kn->an", self.sideways, rows)
        weights = (self.share * aside).ravel()
        sent = np.bincount(self.to.ravel(), weights, minlength=count).astype(np.float64, copy=False)
        sent[self.own] += self.back * rows[0]
        if self.twin is not None:
            sent[self.twin] += self.through * rows[0]
        return sent

    def sent_within(self, rows: Floats, *, face: Ints) -> Floats:
        """Give what the faces of the cavity alone throw back of what lands on a few, (n,).

        Parameters
        ----------
        rows
            (4, n) as for all.
        face
            (F,) the few.
        """
        rows = rows.take(face, axis=1)
        aside = np.einsum("akn,kn->an", self.sideways.take(face, axis=2), rows)
        weights = (self.share[:2].take(face, axis=2) * aside).ravel()
        to = (self.to[:2].take(face, axis=2) - self.own.start).ravel()
        count = len(self.back)
        sent = np.bincount(to, weights, minlength=count).astype(np.float64, copy=False)
        sent[face] += self.back[face] * rows[0]
        return sent


def laying_of(
    own: slice,
    *,
    back: Floats,
    centre_mm: Floats,
    per_mm: Floats,
    beside: tuple[Ints, Ints],
    sheet: tuple[Ints, Floats] | None,
) -> Laying:
    """Lay out how the light on the faces of one cavity is laid down.

    Parameters
    ----------
    own
        Its faces.
    back
        (n,) what they throw back.
    centre_mm
        (n, 3).
    per_mm
        (2, n, 3) what a place off the middle is multiplied by for its parts along both ways.
    beside
        (2, N) each: lower and upper neighbours of all faces.
    sheet
        (N,) the faces on the other side of an inner sheet, and what each lets through.
    """
    lower, upper = beside
    sideways = np.concatenate(
        [-np.einsum("ank,nk->an", per_mm, centre_mm)[:, None], per_mm.transpose(0, 2, 1)], axis=1
    )
    to, share = [upper[:, own], lower[:, own]], [back, -back]
    twin, through = None, np.zeros(len(back))
    if sheet is not None:
        twin, through = sheet[0][own], sheet[1][sheet[0][own]]
        to += [upper[:, twin], lower[:, twin]]
        share += [through, -through]
    return Laying(
        own=own,
        back=back,
        sideways=np.ascontiguousarray(sideways),
        to=np.stack(to),
        share=np.stack(share)[:, None],
        twin=twin,
        through=through,
    )
