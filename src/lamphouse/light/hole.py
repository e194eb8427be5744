"""Light lost on the way through the hole of a thick panel.

The hole is a prism of its own: the rear end sends light out evenly, the wall throws part of it back
and forth, and what reaches the front leaves. The luminance along the normal is not changed by it.
"""

import numpy as np

from lamphouse.light.cover import ring_of
from lamphouse.light.factors import exchanges, face_areas, make_cavity
from lamphouse.light.mesh import make_mesh
from lamphouse.light.scene import Box, Shape

PARTS = 8.0
"""Coarse steps across a hole."""


def passing_share(
    shape: Shape, *, panel_mm: float, rim_reflectance: float, rear_reflectance: float = 0.0
) -> float:
    """Share of the flux from the rear end of a hole that leaves at its front.

    Parameters
    ----------
    shape
        Convex outline of the hole.
    panel_mm
        Thickness of the panel, 0 or more.
    rim_reflectance
        Diffuse reflectance of the hole's wall, 0 to 1.
    rear_reflectance
        Of what closes the rear end: light the wall sends back to it may set out again.

    Returns
    -------
    float
        1 for a thin panel. For a black wall it is the form factor of the two ends [HOWELL].
    """
    if panel_mm <= 0.0:
        return 1.0
    ring = ring_of(shape)
    corner = np.array(ring)
    width = float(np.ptp(corner, axis=0).min())
    tube = Box(
        outline=ring,
        depth_mm=panel_mm,
        back_reflectance=0.0,
        panel_reflectance=0.0,
        wall_reflectances=(0.0,),
        lamps=(),
        apertures=(),
    )
    cavity = make_cavity(
        make_mesh(
            tube,
            low_mm=0.0,
            high_mm=panel_mm,
            plan_step_mm=width / PARTS * 2.0,
            layer_step_mm=min(panel_mm / 2.0, width / PARTS * 2.0),
        )
    )
    area = face_areas(cavity)
    move = exchanges([cavity], sights=[None])[0] / area[:, None]
    cells = cavity.cell_count
    back = np.full(len(area), rim_reflectance)
    back[:cells], back[cells : 2 * cells] = rear_reflectance, 0.0
    sent = np.zeros(len(area))
    sent[:cells] = 1.0
    arriving = np.linalg.solve(np.eye(len(area)) - move * back, move @ sent)
    front = slice(cells, 2 * cells)
    return float(arriving[front] @ area[front] / area[:cells].sum())
