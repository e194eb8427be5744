"""Light going to and fro in a box: its faces, what they throw back, and the balance that settles.

The unknown is the illuminance ``E`` that reaches each face after at least one reflection:
``E = F (M / A + R E)`` with the exchange ``F``, the reflectances ``R`` (an inner sheet also passes
light to the face on its other side) and ``M``, the lamps' light after its first reflection. ``M``
is laid down so that both its amount and its place on each face are kept: what lands off the middle
of a face is shared with the neighbours.

The balance is solved on two nested meshes at once. The coarse one, solved exactly, carries what is
even over the box; one pass of the fine exchange carries the rest, so a handful of passes settle it
to 1e-5, in time proportional to the square of the number of faces. Both answers come out, and
their difference is the estimate of the error.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.first_bounce import first_light
from lamphouse.light.interior import Interior
from lamphouse.light.scene import Lamp
from lamphouse.record import Record

Floats = NDArray[np.float64]

Ints = NDArray[np.int64]

Singles = NDArray[np.float32]

SETTLED = 1e-5
"""Largest change of a pass, relative to the largest illuminance, at which the balance stands."""

SMALL = 64
"""Rows up to which a table is inverted at one go."""

MOST_PASSES = 200
"""Passes after which a balance that does not settle is a bug."""


class Field(Record):
    """The settled light of each lamp at 1 lm, columns one per lamp."""

    direct: Floats
    """(N, L) flux straight from the lamp. [lm/lm]."""
    reflected: Floats
    """(N, L) what of it each face throws back, as laid down. [lm/lm]."""
    illuminance: Floats
    """(N, L) after at least one reflection, fine mesh. [1/mm2]."""
    coarse: Floats
    """(N, L) the same on the coarse mesh, spread over the fine faces. [1/mm2]."""


class CoarseBalance(Record):
    """The balance on the coarse mesh, solved once for all."""

    area_mm2: Floats
    """(n,)."""
    bounce: Singles
    """(n, n) ``F R``."""
    later: Singles
    """(n, n) ``F R`` without what a face takes in from faces that a pass comes to before it."""
    apart: Ints
    """(a,) faces that see none of each other: the back's, over a sheet the panel's too."""
    others: Ints
    """(n - a,)."""
    onto: Singles
    """(a, n - a) ``F R`` from the others."""
    back: Singles
    """(n - a, a) ``F R`` to the others."""
    inverse: Singles
    """(n - a, n - a) of ``1 - F R`` among the others, with what comes by way of those apart."""

    def solved(self, first: Floats, *, backwards: bool = False) -> Floats:
        """Solve ``x = first + F R x``, or with ``F R`` turned round.

        What single precision leaves over is solved once more.
        """
        bounce = self.bounce.T if backwards else self.bounce
        found = self.nearly(first.astype(np.float32), backwards=backwards).astype(np.float64)
        rest = first - found + bounce @ found.astype(np.float32)
        return found + self.nearly(rest.astype(np.float32), backwards=backwards)

    def nearly(self, first: Singles, *, backwards: bool = False) -> Singles:
        """Solve ``x = first + F R x`` to single precision."""
        onto, back, inverse = self.onto, self.back, self.inverse
        if backwards:
            onto, back, inverse = back.T, onto.T, inverse.T
        found = first.copy()
        found[self.others] = inverse @ (first[self.others] + back @ first[self.apart])
        found[self.apart] += onto @ found[self.others]
        return found


def thrown_back(interior: Interior, *, illuminance: Floats) -> Floats:
    """Give what every face sends out for the light that reaches it: ``R E``, (N, L)."""
    sent = interior.reflectance[:, None] * illuminance
    if interior.box.sheet is not None:
        sent += interior.transmittance[:, None] * illuminance[interior.twin]
    return sent


def carried(interior: Interior, *, sent: Floats) -> Floats:
    """Illuminance on every face from light sent out, ``F B``, (N, L)."""
    total = np.zeros_like(sent)
    for number, table in enumerate(interior.exchange_mm2):
        own = slice(interior.first[number], interior.first[number + 1])
        total[own] = (table @ sent[own].astype(np.float32)) / interior.area_mm2[own, None]
    return total


def gathered(interior: Interior, *, balance: CoarseBalance, values: Floats) -> Floats:
    """Add values (N, L) up over the coarse faces, (n, L)."""
    count = len(balance.area_mm2)
    columns = [np.bincount(interior.parent, column, minlength=count) for column in values.T]
    return np.stack(columns, axis=1)


def _added_rows(table: Singles, *, parent: Ints, count: int) -> Singles:
    """Add up the rows of a table by parent, each of which has some."""
    order = np.argsort(parent, kind="stable")
    children = np.bincount(parent, minlength=count)
    most = np.argsort(-children, kind="stable")
    start = (np.cumsum(children) - children)[most]
    total = table.take(order[start], axis=0)
    for child in range(1, int(children.max())):
        own = start[: np.count_nonzero(children > child)]
        total[: len(own)] += table.take(order[own + child], axis=0)
    return np.asarray(total.take(np.argsort(most), axis=0))


def _turns(interior: Interior) -> Ints:
    """Tell when a pass comes to each face, (N,)."""
    counts = []
    for cavity in interior.cavities:
        cells = cavity.cell_count
        counts += [cells, cells, cavity.face_count - 2 * cells]
    return np.repeat(np.arange(len(counts)), counts)


def _apart(interior: Interior) -> tuple[Ints, Ints]:
    """Sort the coarse faces into those that see none of each other, and the others."""
    parent = interior.parent
    apart = np.zeros(int(parent.max()) + 1, dtype=np.bool_)
    apart[parent[: interior.cavities[0].cell_count]] = True
    if interior.box.sheet is not None:
        apart[parent[interior.panel()]] = True
    return np.flatnonzero(apart), np.flatnonzero(~apart)


def _inverted(table: Singles) -> Singles:
    """Invert a table whose diagonal outweighs its rows, half by half.

    Nearly all of it is products of matrices, several times faster than solving for every column.
    """
    if len(table) <= SMALL:
        return np.asarray(np.linalg.inv(table))
    half = len(table) // 2
    first, second = slice(None, half), slice(half, None)
    mine = _inverted(table[first, first])
    onto, back = mine @ table[first, second], table[second, first] @ mine
    rest = _inverted(table[second, second] - table[second, first] @ onto)
    inverse = np.zeros_like(table)
    inverse[second, second] = rest
    inverse[second, first] = -rest @ back
    inverse[first, second] = -onto @ rest
    inverse[first, first] = mine - inverse[first, second] @ back
    return inverse


def coarse_balance(interior: Interior) -> CoarseBalance:
    """Add the exchange up over the coarse faces and invert the balance."""
    parent = interior.parent
    count = int(parent.max()) + 1
    area = np.bincount(parent, interior.area_mm2).astype(np.float64)
    bounce = np.zeros((count, count), dtype=np.float32)
    for number, table in enumerate(interior.exchange_mm2):
        own = parent[interior.first[number] : interior.first[number + 1]]
        start, size = int(own.min()), int(own.max() - own.min()) + 1
        half = _added_rows(table, parent=own - start, count=size)
        whole = _added_rows(np.ascontiguousarray(half.T), parent=own - start, count=size)
        part = slice(start, start + size)
        bounce[part, part] = whole.T
    bounce /= area[:, None].astype(np.float32)
    paint = np.bincount(parent, interior.reflectance * interior.area_mm2) / area
    reflected = bounce * paint.astype(np.float32)
    if interior.box.sheet is not None:
        through = np.bincount(parent, interior.transmittance * interior.area_mm2) / area
        twin = np.zeros(count, dtype=np.int64)
        twin[parent] = parent[interior.twin]
        bounce *= through.astype(np.float32)
        reflected += bounce.take(twin, axis=1)
    turn = np.zeros(count, dtype=np.int64)
    turn[parent] = _turns(interior)
    apart, others = _apart(interior)
    onto, back, among = (
        reflected.take(rows, axis=0).take(columns, axis=1)
        for rows, columns in ((apart, others), (others, apart), (others, others))
    )
    return CoarseBalance(
        area_mm2=area,
        bounce=reflected,
        later=np.where(turn[:, None] > turn, np.float32(0.0), reflected),
        apart=apart,
        others=others,
        onto=onto,
        back=back,
        inverse=_inverted(np.eye(len(others), dtype=np.float32) - among - back @ onto),
    )


def _swept(interior: Interior, *, first: Floats, illuminance: Floats) -> Floats:
    """Pass light once over floors, ceilings and walls in turn, in place; give the change.

    Each takes in what those before it have just thrown back, and no level face sees another at its
    own height.
    """
    before = illuminance.copy()
    for number, table in enumerate(interior.exchange_mm2):
        start, cells = interior.first[number], interior.cavities[number].cell_count
        whole = len(table)
        for rows, seen in (
            ((0, cells), [(cells, whole)]),
            ((cells, 2 * cells), [(0, cells), (2 * cells, whole)]),
            ((2 * cells, whole), [(0, whole)]),
        ):
            sent = thrown_back(interior, illuminance=illuminance)[start : start + whole]
            sent = sent.astype(np.float32)
            got = sum(table[slice(*rows), slice(*part)] @ sent[slice(*part)] for part in seen)
            own = slice(start + rows[0], start + rows[1])
            illuminance[own] = first[own] + got / interior.area_mm2[own, None]
    return illuminance - before


def settle(interior: Interior, *, balance: CoarseBalance, first: Floats, guess: Floats) -> Floats:
    """Solve ``E = first + F R E`` on the fine mesh.

    Parameters
    ----------
    interior, balance
        The box and its coarse balance.
    first
        (N, L) what reaches the faces before anything is thrown back again.
    guess
        (N, L) to start from.

    Raises
    ------
    ArithmeticError
        If it does not settle; with reflectances below 1 that is a bug.
    """
    fine, weight = guess.copy(), interior.area_mm2[:, None]
    for _ in range(MOST_PASSES):
        change = _swept(interior, first=first, illuminance=fine)
        if np.all(np.abs(change).max(axis=0) <= SETTLED * np.abs(fine).max(axis=0)):
            return fine
        rest = gathered(interior, balance=balance, values=change * weight)
        rest /= balance.area_mm2[:, None]
        missing = balance.nearly(balance.later @ rest.astype(np.float32))
        fine += missing[interior.parent]
    stuck = "the balance of light does not settle"
    raise ArithmeticError(stuck)


def light_up(interior: Interior, *, balance: CoarseBalance, lamps: tuple[Lamp, ...]) -> Field:
    """Solve the balance for each lamp at 1 lm."""
    parts = [first_light(interior, lamp=lamp) for lamp in lamps]
    direct = np.stack([part[0] for part in parts], axis=1)
    reflected = np.stack([part[1] for part in parts], axis=1)
    weight = interior.area_mm2[:, None]
    first = carried(interior, sent=reflected / weight)
    rest = gathered(interior, balance=balance, values=first * weight) / balance.area_mm2[:, None]
    coarse = balance.solved(rest)[interior.parent]
    fine = settle(interior, balance=balance, first=first, guess=coarse)
    return Field(direct=direct, reflected=reflected, illuminance=fine, coarse=coarse)
