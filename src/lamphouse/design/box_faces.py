"""The faces inside a light box by name, and which finish each of them has.

Terminology
-----------
face
    ``back``, ``panel`` (its rear face inside the box), ``walls`` for all of them, and ``wall 1``
    on: the walls as their pieces are called. Baffles and pillars are named by themselves.
wall
    A flat piece on one straight side of the inside, numbered anticlockwise along the outline.
    Where round walls are one strip, or a printed body, no wall has a number.
"""

from collections.abc import Callable, Iterator, Sequence

from lamphouse.catalogue.finishes import Finish
from lamphouse.design.lightbox import Baffle, Build, FaceFinish, LightBox, Pillar, RoundWalls
from lamphouse.record import replace
from lamphouse.shapes.measure import anticlockwise, drop_straight_corners
from lamphouse.shapes.outline import Spot, polygon
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.tangents import straight_around

BACK, PANEL, WALLS = "back", "panel", "walls"


def wall_name(index: int) -> str:
    """Name a wall by its number in the outline, from 0."""
    return f"wall {index + 1}"


def stands_straight(box: LightBox) -> bool:
    """Tell whether round pieces of the inside get flat walls."""
    if box.build is Build.FOLDED:
        return True
    return box.round_walls is RoundWalls.FLAT and box.build is not Build.PRINTED


def wall_ring(box: LightBox) -> tuple[Spot, ...]:
    """Give the corners between which the numbered walls stand, anticlockwise; none of one strip."""
    corners = box.inside.corners
    if any(bulge for _, _, bulge in corners):
        if not stands_straight(box):
            return ()
        corners = polygon(straight_around(corners))
    return drop_straight_corners([(x, y) for x, y, _ in anticlockwise(corners)])


def face_names(box: LightBox) -> tuple[str, ...]:
    """List the names of faces that may have a finish of their own."""
    return (BACK, PANEL, WALLS, *map(wall_name, range(len(wall_ring(box)))))


def finish_of(box: LightBox, face: str) -> Finish:
    """Give the finish of a face: its own, of a wall that of all walls, else that of the box."""
    own = {one.face: one.finish for one in box.faces}
    if face in own:
        return own[face]
    if face not in (BACK, PANEL) and WALLS in own:
        return own[WALLS]
    return box.finish


def baffle_finish(box: LightBox, baffle: Baffle) -> Finish:
    """Give the finish of both faces of a baffle."""
    return baffle.finish or box.finish


def pillar_finish(box: LightBox, pillar: Pillar) -> Finish:
    """Give the finish of a pillar all round."""
    return pillar.finish or box.finish


def wall_beside(box: LightBox, spot: Spot) -> str:
    """Name the wall that lies nearest to a spot in the panel plane; ``walls`` without numbers."""
    ring = wall_ring(box)
    return wall_name(nearest_side(spot, ring=ring).index) if ring else WALLS


def edge_finishes(box: LightBox, *, ring: Sequence[Spot]) -> tuple[Finish, ...]:
    """Give the finish of the wall behind each edge of a ring along the inside.

    Parameters
    ----------
    box
        With a sound outline.
    ring
        Points on the outline of its inside, anticlockwise; round pieces as chords.
    """
    walls = wall_ring(box) if box.faces else ()
    if not walls:
        return (finish_of(box, WALLS),) * len(ring)
    ends = zip(ring, (*ring[1:], *ring[:1]), strict=True)
    return tuple(
        finish_of(
            box,
            wall_name(
                nearest_side(
                    ((ax + bx) / 2.0, (ay + by) / 2.0), ring=walls, way=(bx - ax, by - ay)
                ).index
            ),
        )
        for (ax, ay), (bx, by) in ends
    )


def finished_faces(box: LightBox) -> Iterator[tuple[str, Finish]]:
    """Go through all faces of a box with their finish, each once; walls alike count as one."""
    yield BACK, finish_of(box, BACK)
    yield from finished_walls(box)
    yield PANEL, finish_of(box, PANEL)
    for baffle in box.baffles:
        yield f"baffle {baffle.name}", baffle_finish(box, baffle)
    for pillar in box.pillars:
        yield f"pillar {pillar.name}", pillar_finish(box, pillar)


def finished_walls(box: LightBox) -> Iterator[tuple[str, Finish]]:
    """Go through the walls of a box with their finish; walls alike count as one."""
    names = [wall_name(index) for index in range(len(wall_ring(box)))] if box.faces else []
    walls = [(name, finish_of(box, name)) for name in names]
    if len({finish for _, finish in walls}) > 1:
        yield from walls
    else:
        yield WALLS, walls[0][1] if walls else finish_of(box, WALLS)


def finishes_in(box: LightBox) -> tuple[Finish, ...]:
    """List the finishes inside a box, each once."""
    return tuple(dict.fromkeys(finish for _, finish in finished_faces(box)))


def in_words(box: LightBox, *, faces: Sequence[tuple[str, Finish]] | None = None) -> str:
    """Say which face has which finish: ``matt white paint, but back matt black paint``.

    Parameters
    ----------
    box
        The box.
    faces
        Those that are spoken of, with their finish; None: all.
    """
    named: dict[str, list[str]] = {}
    for face, finish in finished_faces(box) if faces is None else faces:
        named.setdefault(finish.name, []).append(face)
    if len(named) == 1:
        return next(iter(named))
    usual = box.finish.name
    others = [f"{_listed(own)} {name}" for name, own in named.items() if name != usual]
    return f"{usual}, but {'; '.join(others)}" if usual in named else "; ".join(others)


def repainted(box: LightBox, *, finish: Finish, instead_of: Callable[[Finish], bool]) -> LightBox:
    """Give a box with a finish on every face, baffle and pillar whose own it takes the place of."""

    def over(old: Finish) -> Finish:
        return finish if instead_of(old) else old

    return replace(
        box,
        finish=over(box.finish) if box.finish in finishes_in(box) else box.finish,
        faces=tuple(FaceFinish(face=one.face, finish=over(one.finish)) for one in box.faces),
        baffles=tuple(replace(one, finish=one.finish and over(one.finish)) for one in box.baffles),
        pillars=tuple(replace(one, finish=one.finish and over(one.finish)) for one in box.pillars),
    )


def repainted_faces(box: LightBox, *, before: LightBox) -> tuple[str, ...]:
    """List the faces, named by the maker, whose finish is another than before."""
    was = {one.face: one.finish for one in before.faces}
    old = {one.name: one.finish for one in before.baffles}
    stood = {one.name: one.finish for one in before.pillars}
    return (
        *(one.face for one in box.faces if was.get(one.face) != one.finish),
        *(f"baffle {one.name}" for one in box.baffles if old.get(one.name) != one.finish),
        *(f"pillar {one.name}" for one in box.pillars if stood.get(one.name) != one.finish),
    )


def _listed(names: Sequence[str]) -> str:
    """Join names: ``back, wall 1 and wall 2``."""
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
