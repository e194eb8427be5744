"""How the openings of a light box glow: the solver's front door."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cavity import (
    Field,
    coarse_balance,
    light_up,
    thrown_back,
)
from lamphouse.light.front import Look, by_lamp, direct_luminances, judged, luminances
from lamphouse.light.interior import Interior, covers, make_interior
from lamphouse.light.scene import Box
from lamphouse.light.step_size import step_mm
from lamphouse.light.views import SMALL_HOLE, make_views
from lamphouse.record import Record

Floats = NDArray[np.float64]


class Energy(Record):
    """Where the lamps' light goes."""

    emitted_lm: float
    absorbed_lm: float
    """By paint, sheets and diffusers."""
    escaped_lm: float
    """Through the openings."""

    @property
    def missing(self) -> float:
        """What does not add up, relative to what was emitted."""
        return abs(self.emitted_lm - self.absorbed_lm - self.escaped_lm) / self.emitted_lm


class Glow(Record):
    """How a light box looks from the front."""

    looks: tuple[Look, ...]
    """One for each opening, in the order of the box."""
    energy: Energy
    faces: int
    """Number of faces the box was cut into."""
    closure: float
    """Largest defect of a row of the exchange before it was evened out, relative."""


def energy_of(interior: Interior, *, field: Field, flux_lm: Floats) -> Energy:
    """Add up what the faces take in, throw back and let out on the fine mesh.

    Absorption is each face's own share of what reaches it; nothing is inferred from the balance.
    """
    box, area = interior.box, interior.area_mm2
    direct = field.direct @ flux_lm
    again = area * (field.illuminance @ flux_lm)
    back = field.reflected @ flux_lm
    back += area * (thrown_back(interior, illuminance=field.illuminance) @ flux_lm)
    panel = interior.panel()
    mesh = interior.cavities[-1].mesh
    escaped = 0.0
    for aperture in box.apertures:
        covered = covers(aperture, mesh=mesh)
        through = 1.0 if aperture.fill is None else aperture.fill.transmittance
        escaped += through * float(covered @ (direct + again)[panel])
    return Energy(
        emitted_lm=float(flux_lm.sum()),
        absorbed_lm=float((direct + again - back).sum()) - escaped,
        escaped_lm=escaped,
    )


def solve(box: Box, *, step: float | None = None) -> Glow:
    """Predict the luminance of every opening of a light box.

    Parameters
    ----------
    box
        A box that ``sound_box.faults`` finds no fault with.
    step
        Fine step of the mesh. [mm]. None: chosen from depth and narrowest width.

    Returns
    -------
    Glow
        Seen from straight in front, lamps at their flux, no light from the room.
    """
    fine_step = step_mm(box) if step is None else step
    interior = make_interior(box, step=fine_step)
    field = light_up(interior, balance=coarse_balance(interior), lamps=box.lamps)
    flux = np.array([lamp.flux_lm for lamp in box.lamps])
    views = make_views(interior, small_mm=SMALL_HOLE * fine_step)
    looks = []
    every = direct_luminances(views, interior=interior, lamps=box.lamps)
    for view, direct in zip(views, every, strict=True):
        fine, coarse = luminances(view, interior=interior, direct=direct, field=field)
        look = judged(view, fine=fine @ flux, coarse=coarse @ flux, interior=interior)
        looks.append(by_lamp(look, fine=fine, coarse=coarse, direct=direct, flux_lm=flux))
    return Glow(
        looks=tuple(looks),
        energy=energy_of(interior, field=field, flux_lm=flux),
        faces=interior.face_count,
        closure=interior.closure,
    )
