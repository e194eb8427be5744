"""Light going to and fro in a box: its faces, what they throw back, and the balance that settles.

The unknown is the illuminance ``E`` that reaches each face after at least one reflection:
``E = F (M / A + R E)`` with the exchange ``F``, the reflectances ``R`` (an inner sheet also passes
light to the face on its other side) and ``M``, the lamps' light after its first reflection. ``M`` is
laid down so that both its amount and its place on each face are kept: what lands off the middle of
a face is shared with the neighbours.

The balance is solved on two nested meshes at once. The coarse one, solved exactly, carries what is
even over the box; one pass of the fine exchange carries the rest, so a handful of passes settle it
to 1e-6, in time proportional to the square of the number of faces. Both answers come out, and
their difference is the estimate of the error.
"""

from dataclasses import dataclass, replace
from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter, mesh
from lamphouse.light.cover import ring_of, shares
from lamphouse.light.emitter import Pieces, Targets
from lamphouse.light.factors import Cavity, exchange, face_areas, make_cavity
from lamphouse.light.mesh import TOUCH_MM
from lamphouse.light.scene import Aperture, Box, Disc, Lamp
from lamphouse.light.sight import Screens, Sight, level_viewers, visible, wall_viewers

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

STEPS_PER_DEPTH = 3.0
"""Fine steps in the depth of a cavity, and across the narrowest part of the box."""

STEPS_WITH_SCREENS = 2.5
"""The same where inner corners or baffles hide things: the error is the sampled sight's, not the
mesh's, and the sight costs most of the time."""

SHALLOW_STEP = 0.8
"""Largest fine step in the shallower of two cavities, in depths of it."""

MOST_FACES = 3000
"""The step grows until the box has about this many faces: 72 MB for the exchange, 250 MB in all."""

SETTLED = 1e-7
"""Largest change of a pass, relative to the largest illuminance, at which the balance stands."""

MOST_PASSES = 200
"""Passes after which a balance that does not settle is a bug."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Interior:
    """The faces of a box, all cavities one after the other, and the exchange between them."""

    box: Box
    cavities: tuple[Cavity, ...]
    """From the back to the panel; two when the box has an inner sheet."""
    first: tuple[int, ...]
    """Number of each cavity's first face, and the number of all faces N."""
    area_mm2: Floats
    """(N,)."""
    exchange_mm2: tuple[Floats, ...]
    """One symmetric matrix for each cavity; its rows add up to the faces' areas."""
    reflectance: Floats
    """(N,) a panel cell that an opening covers in part has the mean."""
    transmittance: Floats
    """(N,) through the inner sheet, to the twin."""
    twin: Ints
    """(N,) the face on the other side of the inner sheet; itself elsewhere."""
    lower: Ints
    """(2, N) neighbour on one side, along two directions of the face; itself where none is."""
    upper: Ints
    """(2, N) neighbour on the other side."""
    per_mm: Floats
    """(2, N, 3) direction from lower to upper over their distance, 0 without neighbours. [1/mm]."""
    centre_mm: Floats
    """(N, 3)."""
    parent: Ints
    """(N,) face of the coarse mesh."""
    onto: tuple[Targets, ...]
    """The faces of each cavity, laid out for direct light."""
    screens: Screens
    """What casts shadows."""
    closure: float
    """Largest defect of a row of the exchange before it was evened out, relative."""

    @property
    def face_count(self) -> int:
        """Number of all faces N."""
        return self.first[-1]

    def panel(self) -> slice:
        """Numbers of the panel's cells."""
        cells = self.cavities[-1].cell_count
        return slice(self.first[-2] + cells, self.first[-2] + 2 * cells)

    def home(self, lamp: Lamp) -> int:
        """Number of the cavity a lamp is in."""
        sheet = self.box.sheet
        return int(sheet is not None and lamp.z_mm > sheet.height_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The settled light of each lamp at 1 lm, columns one per lamp."""

    direct: Floats
    """(N, L) flux straight from the lamp. [lm/lm]."""
    reflected: Floats
    """(N, L) what of it each face throws back, as laid down. [lm/lm]."""
    illuminance: Floats
    """(N, L) after at least one reflection, fine mesh. [1/mm2]."""
    coarse: Floats
    """(N, L) the same on the coarse mesh, spread over the fine faces. [1/mm2]."""


def narrowest_mm(box: Box) -> float:
    """Width of the narrowest part between walls that face each other. [mm]."""
    walls = [wall for wall in mesh.segments(box) if not wall.is_baffle]
    start = np.array([wall.start_mm for wall in walls])
    end = np.array([wall.end_mm for wall in walls])
    unit = (end - start) / np.hypot(*(end - start).T)[:, None]
    normal = np.column_stack([-unit[:, 1], unit[:, 0]])
    middle = (start + end) / 2.0
    opposed = unit @ unit.T < -0.7
    offset = middle[None] - middle[:, None]
    ahead = np.einsum("ijk,ik->ij", offset, normal)
    low = np.einsum("ijk,ik->ij", start[None] - start[:, None], unit)
    high = np.einsum("ijk,ik->ij", end[None] - start[:, None], unit)
    length = np.hypot(*(end - start).T)[:, None]
    beside = np.minimum(np.maximum(low, high), length) - np.maximum(np.minimum(low, high), 0.0)
    facing = opposed & (ahead > TOUCH_MM) & (beside > 0.3 * ahead)
    return float(np.min(ahead, where=facing, initial=np.ptp(start, axis=0).min()))


def step_mm(box: Box) -> float:
    """Choose the fine step for a box. [mm]."""
    parts = STEPS_WITH_SCREENS if len(screens_of(box).low_mm) else STEPS_PER_DEPTH
    wanted = narrowest_mm(box) / parts
    if box.sheet is None:
        wanted = min(wanted, box.depth_mm / parts)
    else:
        below, above = box.sheet.height_mm, box.depth_mm - box.sheet.height_mm
        wanted = min(wanted, max(below, above) / parts, min(below, above) * SHALLOW_STEP)
    levels = 2.0 if box.sheet is None else 4.0
    area = abs(mesh.direction(box.outline)) / 2.0
    around = sum(wall.length_mm for wall in mesh.segments(box))
    return max(wanted, sqrt((levels * area + around * box.depth_mm) / MOST_FACES))


def screens_of(box: Box) -> Screens:
    """List baffles, and the walls that are not part of the outline's hull."""
    outline = np.array(box.outline)
    rows = []
    for wall in mesh.segments(box):
        if wall.is_baffle:
            continue
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        side = (bx - ax) * (outline[:, 1] - ay) - (by - ay) * (outline[:, 0] - ax)
        if side.min() < -TOUCH_MM * wall.length_mm:
            rows.append((*wall.start_mm, *wall.end_mm, 0.0, box.depth_mm))
    rows.extend(
        (*baffle.start_mm, *baffle.end_mm, baffle.low_mm, baffle.high_mm) for baffle in box.baffles
    )
    table = np.array(rows, dtype=np.float64).reshape(-1, 6)
    return Screens(
        start_mm=table[:, :2], end_mm=table[:, 2:4], low_mm=table[:, 4], high_mm=table[:, 5]
    )


def between(screens: Screens, *, low_mm: float, high_mm: float) -> Screens:
    """Keep the screens that reach into a slice of the box."""
    kept = (screens.low_mm < high_mm - TOUCH_MM) & (screens.high_mm > low_mm + TOUCH_MM)
    return Screens(
        start_mm=screens.start_mm[kept],
        end_mm=screens.end_mm[kept],
        low_mm=screens.low_mm[kept],
        high_mm=screens.high_mm[kept],
    )


def _sight(
    cavity: Cavity, *, screens: Screens, below: tuple[Cavity, Sight] | None
) -> Sight | None:
    """Find what hides what in a cavity; where only the plan decides, as in the cavity below."""
    if not len(screens.low_mm):
        return None
    made = cavity.mesh
    low, high = float(made.height_mm[0]), float(made.height_mm[-1])
    plain = screens.reach_over(low_mm=low, high_mm=high)
    if below is not None and plain and below[1].plain:
        if np.array_equal(below[0].mesh.foot_mm, made.foot_mm):
            return below[1]
    floor, ceiling = (
        level_viewers(made.corner_mm, centre_mm=made.centre_mm, height_mm=height)
        for height in (low, high)
    )
    walls = wall_viewers(made.foot_mm, height_mm=made.height_mm)
    from_floor = visible(floor, other=walls, screens=screens)[:, 0]
    return Sight(
        plain=plain,
        plates=visible(floor, other=ceiling, screens=screens)[:, 0, :, 0],
        floor=from_floor,
        ceiling=from_floor if plain else visible(ceiling, other=walls, screens=screens)[:, 0],
        walls=visible(walls, other=walls, screens=screens),
    )


def _evened(areas: Floats, *, table: Floats) -> float:
    """Scale a symmetric exchange in place until its rows add up to the areas; give the defect."""
    closure = float(np.abs(table.sum(axis=1) / areas - 1.0).max())
    if closure > 1e-12:
        factor = np.ones(len(areas))
        for _ in range(30):
            change = np.sqrt(areas / (factor * (table @ factor)))
            factor *= change
            if np.abs(change - 1.0).max() < 1e-10:
                break
        table *= factor[:, None]
        table *= factor
    return closure


def _wanted(box: Box, *, step: float) -> list[tuple[float, float]]:
    """Corners of the openings large enough to deserve grid lines."""
    spots = []
    for aperture in box.apertures:
        ring = np.array(ring_of(aperture.shape))
        low, high = ring.min(axis=0), ring.max(axis=0)
        if not isinstance(aperture.shape, Disc) and (high - low).max() > 2.0 * step:
            spots.extend([tuple(low), tuple(high)])
    return spots


def _wall_faces(cavity: Cavity) -> tuple[Ints, Ints]:
    """Column and layer of every wall patch."""
    column, layer = np.nonzero(cavity.wall)
    return column, layer


def _neighbours(cavity: Cavity) -> tuple[Ints, Ints, Floats]:
    """Lower and upper neighbours (2, n) and centres (n, 3) of the faces of one cavity."""
    made, cells, count = cavity.mesh, cavity.cell_count, cavity.face_count
    own = np.arange(count)
    lower, upper = np.tile(own, (2, 1)), np.tile(own, (2, 1))
    for offset in (0, cells):
        for axis, (before, after) in enumerate(((0, 1), (2, 3))):
            for table, side in ((lower, before), (upper, after)):
                there = made.beside[:, side]
                table[axis, offset : offset + cells] = np.where(
                    there >= 0, there + offset, own[offset : offset + cells]
                )
    column, layer = _wall_faces(cavity)
    columns, layers = cavity.wall.shape
    number = np.full((columns + 2, layers + 2), -1)
    number[column + 1, layer + 1] = own[2 * cells :]
    wall = np.concatenate([[-1], made.column_wall, [-1]])
    for table, shift in ((lower, -1), (upper, 1)):
        along = np.where(
            wall[column + 1 + shift] == made.column_wall[column],
            number[column + 1 + shift, layer + 1],
            -1,
        )
        up = number[column + 1, layer + 1 + shift]
        for axis, there in enumerate((along, up)):
            table[axis, 2 * cells :] = np.where(there >= 0, there, own[2 * cells :])
    middle = (made.height_mm[1:] + made.height_mm[:-1]) / 2.0
    centre = np.zeros((count, 3))
    centre[:cells, :2] = centre[cells : 2 * cells, :2] = made.centre_mm
    centre[:cells, 2], centre[cells : 2 * cells, 2] = made.height_mm[0], made.height_mm[-1]
    centre[2 * cells :, :2] = made.foot_mm.mean(axis=1)[column]
    centre[2 * cells :, 2] = middle[layer]
    return lower, upper, centre


def _parents(cavity: Cavity) -> Ints:
    """Coarse face of every face of one cavity."""
    made = cavity.mesh
    column, layer = _wall_faces(cavity)
    cells = int(made.cell_parent.max()) + 1
    patch = made.column_parent[column] * len(made.layer_parent) + made.layer_parent[layer]
    _, patch = np.unique(patch, return_inverse=True)
    return np.concatenate([made.cell_parent, made.cell_parent + cells, patch + 2 * cells])


def _fill_reflectance(aperture: Aperture) -> float:
    return 0.0 if aperture.fill is None else aperture.fill.reflectance


def _paints(
    box: Box, *, cavities: tuple[Cavity, ...], first: tuple[int, ...]
) -> tuple[Floats, Floats, Ints]:
    """Reflectance, transmittance and twin of every face, openings left out."""
    count = first[-1]
    reflectance, transmittance = np.zeros(count), np.zeros(count)
    twin = np.arange(count)
    for number, cavity in enumerate(cavities):
        start, cells = first[number], cavity.cell_count
        floor = slice(start, start + cells)
        ceiling = slice(start + cells, start + 2 * cells)
        column, _ = _wall_faces(cavity)
        paint = np.array([wall.reflectance for wall in cavity.mesh.segments])
        reflectance[start + 2 * cells : first[number + 1]] = paint[cavity.mesh.column_wall[column]]
        reflectance[floor] = box.back_reflectance
        reflectance[ceiling] = box.panel_reflectance
        if box.sheet is not None:
            side = ceiling if number == 0 else floor
            reflectance[side] = box.sheet.reflectance
            transmittance[side] = box.sheet.transmittance
    if box.sheet is not None:
        cells = cavities[0].cell_count
        below, above = np.arange(cells) + first[0] + cells, np.arange(cells) + first[1]
        twin[below], twin[above] = above, below
    return reflectance, transmittance, twin


def _pieces(cavity: Cavity, *, box: Box, has_panel: bool) -> Pieces:
    """Cut the faces of one cavity for direct light.

    The panel's pieces weigh light by what they throw back, all others by 1.
    """
    made, cells = cavity.mesh, cavity.cell_count
    own = np.arange(cells)
    column, layer = _wall_faces(cavity)
    floor, ceiling = (
        emitter.level_pieces(made.corner_mm, height_mm=float(height), up=up, face=face)
        for height, up, face in (
            (made.height_mm[0], True, own),
            (made.height_mm[-1], False, own + cells),
        )
    )
    walls = emitter.upright_pieces(
        made.foot_mm[column],
        low_mm=made.height_mm[layer],
        high_mm=made.height_mm[layer + 1],
        face=np.arange(2 * cells, cavity.face_count),
    )
    return emitter.join([floor, _rimmed(ceiling, box=box) if has_panel else ceiling, walls])


def _panel_weights(panel: Pieces, *, box: Box) -> tuple[Floats, Bools]:
    """Mean reflectance of each piece of the panel, and whether the rim of an opening crosses it."""
    flat = panel.corner_mm[..., :2]
    area, _ = mesh.ring_area_centre(flat)
    weight = np.full(len(area), box.panel_reflectance)
    rim = np.zeros(len(area), dtype=np.bool_)
    for aperture in box.apertures:
        covered = shares(aperture.shape, corner_mm=flat, area_mm2=area)
        weight += covered * (_fill_reflectance(aperture) - box.panel_reflectance)
        rim |= (covered > 1e-6) & (covered < 1.0 - 1e-6)
    return weight, rim


def _rimmed(panel: Pieces, *, box: Box) -> Pieces:
    """Weigh the panel's pieces by what they throw back, cut finely along the rims of openings."""
    weight, rim = _panel_weights(panel, box=box)
    whole = replace(panel, weight=weight)
    if not rim.any():
        return whole
    fine = emitter.quartered(emitter.quartered(emitter.take(whole, which=np.flatnonzero(rim))))
    weight, _ = _panel_weights(fine, box=box)
    return emitter.join([emitter.take(whole, which=np.flatnonzero(~rim)), replace(fine, weight=weight)])


def make_interior(box: Box, *, step: float | None = None) -> Interior:
    """Cut a sound box into faces and find the exchange between them.

    Parameters
    ----------
    box
        A box that ``limits.faults`` finds no fault with.
    step
        Fine step. [mm]. None: chosen from depth and narrowest width.
    """
    fine = step_mm(box) if step is None else step
    levels = [0.0, box.depth_mm]
    if box.sheet is not None:
        levels.insert(1, box.sheet.height_mm)
    wanted = _wanted(box, step=fine)
    screens = screens_of(box)
    cavities, tables, closures = [], [], []
    below: tuple[Cavity, Sight] | None = None
    for low, high in zip(levels, levels[1:], strict=False):
        layers = max(1, ceil((high - low) / (2.0 * fine) - 1e-9))
        cavity = make_cavity(
            mesh.make_mesh(
                box,
                low_mm=low,
                high_mm=high,
                plan_step_mm=2.0 * fine,
                layer_step_mm=(high - low) / layers,
                wanted=wanted,
            )
        )
        sight = _sight(
            cavity, screens=between(screens, low_mm=low, high_mm=high), below=below
        )
        below = None if sight is None else (cavity, sight)
        table = exchange(cavity, sight=sight)
        closures.append(_evened(face_areas(cavity), table=table))
        cavities.append(cavity)
        tables.append(table)
    return _assembled(
        box, cavities=tuple(cavities), tables=tuple(tables), screens=screens, closure=max(closures)
    )


def _assembled(
    box: Box,
    *,
    cavities: tuple[Cavity, ...],
    tables: tuple[Floats, ...],
    screens: Screens,
    closure: float,
) -> Interior:
    first = tuple(int(n) for n in np.cumsum([0, *(cavity.face_count for cavity in cavities)]))
    reflectance, transmittance, twin = _paints(box, cavities=cavities, first=first)
    panel, last = cavities[-1], first[-2]
    covered = reflectance[last + panel.cell_count : last + 2 * panel.cell_count]
    for aperture in box.apertures:
        covered += shares(
            aperture.shape, corner_mm=panel.mesh.corner_mm, area_mm2=panel.mesh.area_mm2
        ) * (_fill_reflectance(aperture) - box.panel_reflectance)
    lower, upper, centre, parent, onto = [], [], [], [], []
    coarse = 0
    for number, cavity in enumerate(cavities):
        below, above, middle = _neighbours(cavity)
        lower.append(below + first[number])
        upper.append(above + first[number])
        centre.append(middle)
        parents = _parents(cavity)
        parent.append(parents + coarse)
        coarse += int(parents.max()) + 1
        onto.append(
            emitter.targets(
                _pieces(cavity, box=box, has_panel=number == len(cavities) - 1),
                count=cavity.face_count,
            )
        )
    centres = np.concatenate(centre)
    lows, highs = np.concatenate(lower, axis=1), np.concatenate(upper, axis=1)
    span = centres[highs] - centres[lows]
    distance2 = np.sum(span**2, axis=2, keepdims=True)
    return Interior(
        box=box,
        cavities=cavities,
        first=first,
        area_mm2=np.concatenate([face_areas(cavity) for cavity in cavities]),
        exchange_mm2=tables,
        reflectance=reflectance,
        transmittance=transmittance,
        twin=twin,
        lower=lows,
        upper=highs,
        per_mm=span / np.where(distance2 > 0.0, distance2, 1.0),
        centre_mm=centres,
        parent=np.concatenate(parent),
        onto=tuple(onto),
        screens=screens,
        closure=closure,
    )


def thrown_back(interior: Interior, *, illuminance: Floats) -> Floats:
    """What every face sends out for the light that reaches it: ``R E``, (N, L)."""
    sent = interior.reflectance[:, None] * illuminance
    if interior.box.sheet is not None:
        sent += interior.transmittance[:, None] * illuminance[interior.twin]
    return sent


def first_reflection(interior: Interior, *, lamp: Lamp) -> tuple[Floats, Floats]:
    """Direct flux of a lamp of 1 lm on every face, and what is thrown back, both (N,). [lm/lm]."""
    number, count = interior.home(lamp), interior.face_count
    own = slice(interior.first[number], interior.first[number + 1])
    landed = emitter.landing(lamp, onto=interior.onto[number], screens=interior.screens)
    total = landed.flux.sum()
    direct, weighed, sideways = np.zeros(count), np.zeros(count), np.zeros((2, count))
    direct[own] = landed.flux / total
    weighed[own] = landed.weighed / total
    aside = landed.moment_mm / total - weighed[own, None] * interior.centre_mm[own]
    sideways[:, own] = np.sum(aside * interior.per_mm[:, own], axis=2)
    back = interior.reflectance.copy()
    back[interior.panel()] = 1.0
    sent, shift = back * weighed, back * sideways
    if interior.box.sheet is not None:
        sent += interior.transmittance * weighed[interior.twin]
        shift += interior.transmittance * sideways[:, interior.twin]
    for axis in range(2):
        sent += np.bincount(interior.upper[axis], shift[axis], minlength=count)
        sent -= np.bincount(interior.lower[axis], shift[axis], minlength=count)
    return direct, sent


def _added_rows(table: Floats, *, parent: Ints, count: int) -> Floats:
    """Add up the rows of a table by parent."""
    order = np.argsort(parent, kind="stable")
    start = np.flatnonzero(np.diff(parent[order], prepend=-1))
    total = np.zeros((count, table.shape[1]))
    children = np.diff(np.append(start, len(order)))
    for child in range(int(children.max())):
        rows = np.flatnonzero(children > child)
        total[rows] += table[order[start[rows] + child]]
    return total


@dataclass(frozen=True, slots=True, kw_only=True)
class CoarseBalance:
    """The balance on the coarse mesh, solved once for all."""

    area_mm2: Floats
    """(n,)."""
    bounce: Floats
    """(n, n) ``F R``."""
    inverse: Floats
    """(n, n) of ``1 - F R``."""


def coarse_balance(interior: Interior) -> CoarseBalance:
    """Add the exchange up over the coarse faces and invert the balance."""
    parent = interior.parent
    count = int(parent.max()) + 1
    area = np.bincount(parent, interior.area_mm2)
    bounce = np.zeros((count, count))
    for number, table in enumerate(interior.exchange_mm2):
        own = parent[interior.first[number] : interior.first[number + 1]]
        start, size = int(own.min()), int(own.max() - own.min()) + 1
        half = _added_rows(table, parent=own - start, count=size)
        whole = _added_rows(np.ascontiguousarray(half.T), parent=own - start, count=size)
        part = slice(start, start + size)
        bounce[part, part] = whole.T / area[part, None]
    back = np.bincount(parent, interior.reflectance * interior.area_mm2) / area
    through = np.bincount(parent, interior.transmittance * interior.area_mm2) / area
    reflected = bounce * back
    if interior.box.sheet is not None:
        twin = np.zeros(count, dtype=np.int64)
        twin[parent] = parent[interior.twin]
        reflected += (bounce * through)[:, twin]
    return CoarseBalance(
        area_mm2=area,
        bounce=reflected,
        inverse=np.linalg.inv(np.eye(count) - reflected),
    )


def carried(interior: Interior, *, sent: Floats) -> Floats:
    """Illuminance on every face from light sent out, ``F B``, (N, L)."""
    total = np.zeros_like(sent)
    for number, table in enumerate(interior.exchange_mm2):
        own = slice(interior.first[number], interior.first[number + 1])
        total[own] = (table @ sent[own]) / interior.area_mm2[own, None]
    return total


def gathered(interior: Interior, *, balance: CoarseBalance, values: Floats) -> Floats:
    """Add values (N, L) up over the coarse faces, (n, L)."""
    count = len(balance.area_mm2)
    columns = [np.bincount(interior.parent, column, minlength=count) for column in values.T]
    return np.stack(columns, axis=1)


def settle(
    interior: Interior, *, balance: CoarseBalance, first: Floats, guess: Floats
) -> Floats:
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
    fine, weight = guess, interior.area_mm2[:, None]
    for _ in range(MOST_PASSES):
        change = first + carried(interior, sent=thrown_back(interior, illuminance=fine)) - fine
        fine = fine + change
        if np.all(np.abs(change).max(axis=0) <= SETTLED * np.abs(fine).max(axis=0)):
            return fine
        rest = gathered(interior, balance=balance, values=change * weight)
        rest /= balance.area_mm2[:, None]
        fine = fine + (balance.inverse @ (balance.bounce @ rest))[interior.parent]
    stuck = "the balance of light does not settle"
    raise ArithmeticError(stuck)


def light_up(interior: Interior, *, balance: CoarseBalance, lamps: tuple[Lamp, ...]) -> Field:
    """Solve the balance for each lamp at 1 lm."""
    parts = [first_reflection(interior, lamp=lamp) for lamp in lamps]
    direct = np.stack([part[0] for part in parts], axis=1)
    reflected = np.stack([part[1] for part in parts], axis=1)
    weight = interior.area_mm2[:, None]
    first = carried(interior, sent=reflected / weight)
    rest = gathered(interior, balance=balance, values=first * weight) / balance.area_mm2[:, None]
    coarse = (balance.inverse @ rest)[interior.parent]
    fine = settle(interior, balance=balance, first=first, guess=coarse)
    return Field(direct=direct, reflected=reflected, illuminance=fine, coarse=coarse)
