"""The boxes of a suite made ready to be solved together, and rays that go from one to another.

Rays pass an open passage as if it were not there; every other passage is a face like any wall.
"""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cavity import CoarseBalance, coarse_balance
from lamphouse.light.face_rays import LOST, Slice, meet, slices
from lamphouse.light.interior import Interior, make_interior
from lamphouse.light.scene import Box, Passage, Port, Suite
from lamphouse.light.step_size import step_mm
from lamphouse.light.views import SMALL_HOLE, View, make_views
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

KEPT = 6
"""Boxes kept ready for figures, and as many, cut more coarsely, for searches."""

AT_ONCE = 8_000
"""Rays followed at once: their arrays stay in the processor's cache."""

MOST_PASSED = 8
"""Passages a ray goes through at most."""


class Chamber(Record):
    """One box of a suite, its ports cut into its walls."""

    number: int
    interior: Interior
    balance: CoarseBalance
    views: tuple[View, ...]
    slices: tuple[Slice, ...]
    passages: tuple[int, ...]
    """Number of the passage of each port."""
    port: Ints
    """(N,) port that each face is part of; -1 for none."""

    @property
    def levels_mm(self) -> tuple[float, ...]:
        """Heights of back, inner sheet if any, and panel."""
        sheet = self.interior.box.sheet
        middle = () if sheet is None else (sheet.height_mm,)
        return (0.0, *middle, self.interior.box.depth_mm)

    def cavity_at(self, z_mm: Floats) -> Ints:
        """Tell in which cavity heights are."""
        return np.searchsorted(np.array(self.levels_mm[1:-1]), z_mm, side="right")

    def faces_of(self, passage: int) -> Ints:
        """List the faces that a passage takes up."""
        if passage not in self.passages:
            return np.zeros(0, dtype=np.int64)
        return np.flatnonzero(self.port == self.passages.index(passage))


class Ends(Record):
    """Where rays end after all open passages."""

    box: Ints
    """(P,)."""
    face: Ints
    """(P,) face of that box, or LOST."""
    place_mm: Floats
    """(P, 3) heights above that box's own back."""
    first_face: Ints
    """(P,) what each met first in the box it started in; a port's face if it left that box."""
    lowest: Ints
    """(P,) lowest number of the passages gone through; a large number for none."""


def _port_of(passage: Passage, *, box: Box, rise_mm: float) -> Port:
    return Port(
        start_mm=passage.start_mm,
        end_mm=passage.end_mm,
        low_mm=max(passage.low_mm + rise_mm, 0.0),
        high_mm=min(passage.high_mm + rise_mm, box.depth_mm),
        reflectance=0.0 if passage.fill is None else passage.fill.reflectance,
    )


def with_ports(suite: Suite, *, number: int) -> tuple[Box, tuple[int, ...]]:
    """Give a box of a suite its ports, and tell to which passages they belong."""
    box = suite.boxes[number]
    own = tuple(n for n, passage in enumerate(suite.passages) if number in passage.boxes)
    ports = tuple(
        _port_of(
            suite.passages[n],
            box=box,
            rise_mm=suite.rise_mm(start=suite.passages[n].boxes[0], end=number),
        )
        for n in own
    )
    return replace(box, ports=ports), own


def _ports(interior: Interior) -> Ints:
    port = np.full(interior.face_count, -1)
    for number, cavity in enumerate(interior.cavities):
        column, _ = cavity.patches()
        own = np.array([segment.port for segment in cavity.mesh.segments])
        start = interior.first[number] + 2 * cavity.cell_count
        port[start : interior.first[number + 1]] = own[cavity.mesh.column_wall[column]]
    return port


def make_chamber(
    suite: Suite, *, number: int, step: float | None = None, coarser: float = 1.0
) -> Chamber:
    """Make a box of a suite ready.

    Parameters
    ----------
    suite, number
        The suite and which of its boxes.
    step
        Fine step. [mm]. None: chosen from depth and narrowest width.
    coarser
        What the chosen step is multiplied by.
    """
    box, passages = with_ports(suite, number=number)
    box = replace(box, lamps=())
    fine = coarser * step_mm(box) if step is None else step
    made = _made_coarsely(box, fine=fine) if coarser > 1.0 else _made(box, fine=fine)
    return replace(made, number=number, passages=passages)


@lru_cache(maxsize=KEPT)
def _made(box: Box, *, fine: float) -> Chamber:
    return _make(box, fine=fine)


@lru_cache(maxsize=KEPT)
def _made_coarsely(box: Box, *, fine: float) -> Chamber:
    return _make(box, fine=fine)


def _make(box: Box, *, fine: float) -> Chamber:
    """Make a box ready; neighbours stay as they are while one box of a suite is changed."""
    interior = make_interior(box, step=fine)
    return Chamber(
        number=0,
        interior=interior,
        balance=coarse_balance(interior),
        views=make_views(interior, small_mm=SMALL_HOLE * fine),
        slices=slices(interior.cavities, first=interior.first),
        passages=(),
        port=_ports(interior),
    )


def other_box(passage: Passage, *, box: int) -> int:
    """Tell which box lies beyond a passage."""
    return passage.boxes[1] if passage.boxes[0] == box else passage.boxes[0]


def follow(
    suite: Suite, *, chambers: tuple[Chamber, ...], box: int, start_mm: Floats, way: Floats
) -> Ends:
    """Follow rays from one box to the faces where they end.

    Parameters
    ----------
    suite, chambers
        The boxes.
    box
        Where the rays start.
    start_mm
        (P, 3) in the box or on its faces.
    way
        (P, 3) directions.
    """
    parts = [
        _followed(
            suite,
            chambers=chambers,
            box=box,
            start_mm=start_mm[first : first + AT_ONCE],
            way=way[first : first + AT_ONCE],
        )
        for first in range(0, max(len(way), 1), AT_ONCE)
    ]
    return Ends(
        box=np.concatenate([part.box for part in parts]),
        face=np.concatenate([part.face for part in parts]),
        place_mm=np.concatenate([part.place_mm for part in parts]),
        first_face=np.concatenate([part.first_face for part in parts]),
        lowest=np.concatenate([part.lowest for part in parts]),
    )


def _followed(
    suite: Suite, *, chambers: tuple[Chamber, ...], box: int, start_mm: Floats, way: Floats
) -> Ends:
    count = len(way)
    boxes, place = np.full(count, box), start_mm.copy()
    face, first = np.full(count, LOST), np.full(count, LOST)
    lowest = np.full(count, len(suite.passages))
    # A ray on the rim of two cavities belongs to the one it goes into.
    hair = 1e-9 * np.sign(way[:, 2])
    going = np.arange(count)
    for turn in range(MOST_PASSED + 1):
        left = []
        for number, cavity, rays in _groups(
            chambers, going=going, boxes=boxes, z=place[:, 2] + hair
        ):
            chamber = chambers[number]
            hits = meet(chamber.slices[cavity], start_mm=place[rays], way=way[rays])
            face[rays], place[rays] = hits.face, hits.place_mm
            if turn == 0:
                first[rays] = hits.face
            port = np.where(hits.face == LOST, -1, chamber.port[hits.face])
            for own, passage in enumerate(chamber.passages):
                if suite.passages[passage].fill is not None:
                    continue
                through = rays[port == own]
                beyond = other_box(suite.passages[passage], box=number)
                boxes[through] = beyond
                place[through, 2] += suite.rise_mm(start=number, end=beyond)
                lowest[through] = np.minimum(lowest[through], passage)
                face[through] = LOST
                left.append(through)
        going = np.concatenate(left) if left else np.zeros(0, dtype=np.int64)
        if not len(going):
            break
    return Ends(box=boxes, face=face, place_mm=place, first_face=first, lowest=lowest)


def _groups(
    chambers: tuple[Chamber, ...], *, going: Ints, boxes: Ints, z: Floats
) -> Iterator[tuple[int, int, Ints]]:
    """Put rays together by box and cavity."""
    for number in np.unique(boxes[going]).tolist():
        own = going[boxes[going] == number]
        cavity = chambers[number].cavity_at(z[own])
        for each in range(len(chambers[number].slices)):
            rays = own[cavity == each]
            if len(rays):
                yield number, each, rays


def on_passage(
    passage: Passage, *, across: Floats, up: Floats, low_mm: float, high_mm: float
) -> Floats:
    """Give places on a passage by shares of its width and height, (P, 3)."""
    (ax, ay), (bx, by) = passage.start_mm, passage.end_mm
    return np.column_stack(
        [ax + across * (bx - ax), ay + across * (by - ay), low_mm + up * (high_mm - low_mm)]
    )


def into(chamber: Chamber, *, passage: int) -> Floats:
    """Give the level unit normal of a passage that points into a chamber, (2,)."""
    port = chamber.passages.index(passage)
    wall = next(
        segment
        for cavity in chamber.interior.cavities
        for segment in cavity.mesh.segments
        if segment.port == port
    )
    step = np.array(wall.end_mm) - np.array(wall.start_mm)
    return np.array([-step[1], step[0]]) / wall.length_mm
