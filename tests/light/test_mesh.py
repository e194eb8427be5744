from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.light.cover import area_below, area_of, clipped, ring_of, shares
from lamphouse.light.factors import exchanges, face_areas, make_cavity
from lamphouse.light.mesh import LAYER_SLACK, make_mesh
from lamphouse.light.scene import Baffle, Disc
from lamphouse.light.sight import visible
from lamphouse.light.uprights import TOUCH_MM, direction, ring_area_centre
from lamphouse.light.viewers import Screens, level_viewers
from light.boxes import box_of, plain_box, rectangle, scenes
from tolerances import EXACT

SCENES = scenes("light_scenes.json") + scenes("stress.json")


def meshed(box, *, step=5.0):
    return make_mesh(box, low_mm=0.0, high_mm=box.depth_mm, plan_step_mm=step, layer_step_mm=step)


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene["name"])
def test_the_cells_fill_the_outline(scene):
    box = box_of(scene)
    mesh = meshed(box)
    area = abs(direction(box.outline)) / 2.0 - sum(abs(direction(hole)) / 2.0 for hole in box.holes)
    assert mesh.area_mm2.sum() == pytest.approx(area, rel=1e-9)
    assert (mesh.area_mm2 > 0.0).all()
    again, _ = ring_area_centre(mesh.corner_mm)
    assert again == pytest.approx(mesh.area_mm2)


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene["name"])
def test_no_coarse_cell_reaches_over_a_wall_or_baffle(scene):
    """Cells of one parent lie on one side of every foot line that passes between them."""
    mesh = meshed(box_of(scene))
    for wall in mesh.segments:
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        step = np.array([bx - ax, by - ay]) / wall.length_mm
        offset = mesh.centre_mm - np.array([ax, ay])
        side = step[0] * offset[:, 1] - step[1] * offset[:, 0]
        along = offset @ step
        for parent in np.unique(mesh.cell_parent):
            own = mesh.cell_parent == parent
            if (along[own] > 0.0).all() and (along[own] < wall.length_mm).all():
                assert side[own].min() * side[own].max() > 0.0


@settings(max_examples=20, deadline=None)
@given(
    st.lists(st.floats(0.0, 2.0 * pi), min_size=3, max_size=7, unique=True),
    st.floats(3.0, 12.0),
    st.floats(5.0, 20.0),
)
def test_a_convex_box_of_any_shape_closes(angles, depth, radius):
    """The form factors of every face add up to 1; the slanted edges are integrated by Gauss."""
    angles = sorted(angles)
    gaps = np.diff([*angles, angles[0] + 2.0 * pi])
    if gaps.min() < 0.3 or gaps.max() > 3.0:
        return
    outline = tuple((radius * np.cos(a), radius * np.sin(a)) for a in angles)
    cavity = make_cavity(meshed(plain_box(outline=outline, depth_mm=depth), step=depth))
    sums = exchanges([cavity], sights=[None])[0].sum(axis=1)
    areas = face_areas(cavity)
    assert np.abs(sums - areas).sum() < 2e-3 * areas.sum()


def test_neighbours_stop_at_a_baffle():
    baffle = Baffle(
        start_mm=(15.0, 0.0), end_mm=(15.0, 20.0), low_mm=0.0, high_mm=8.0, reflectance=0.8
    )
    mesh = meshed(plain_box(baffles=(baffle,)))
    left = mesh.centre_mm[:, 0] < 15.0
    beside = mesh.beside[left]
    assert left[beside[beside >= 0]].all()


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 9.9), st.floats(0.05, 10.0)), min_size=1, max_size=5),
    st.floats(2.0, 10.0),
)
def test_layers_end_where_baffles_do_and_lie_in_pairs(reaches, step):
    baffles = tuple(
        Baffle(
            start_mm=(4.0 + 4.0 * place, 0.0),
            end_mm=(4.0 + 4.0 * place, 9.0),
            low_mm=low,
            high_mm=min(low + height, 10.0),
            reflectance=0.5,
        )
        for place, (low, height) in enumerate(reaches)
    )
    mesh = meshed(plain_box(depth_mm=10.0, baffles=baffles), step=step)
    rooms = np.diff(mesh.height_mm)
    assert rooms.min() > 0.0
    assert rooms.max() <= LAYER_SLACK * step / 2.0 * (1.0 + EXACT)
    assert np.bincount(mesh.layer_parent).tolist() == [2] * (len(rooms) // 2)
    for baffle in baffles:
        for edge in (baffle.low_mm, baffle.high_mm):
            assert np.abs(mesh.height_mm - edge).min() <= TOUCH_MM


def screen(x, low, high):
    return Screens(
        start_mm=np.array([[x, -50.0]]),
        end_mm=np.array([[x, 0.0]]),
        low_mm=np.array([low]),
        high_mm=np.array([high]),
    )


def pair(height_1, height_2):
    corner = np.array(
        [[(0, -1), (2, -1), (2, 1), (0, 1)], [(8, -1), (10, -1), (10, 1), (8, 1)]], float
    )
    return (
        level_viewers(corner[:1], height_mm=[height_1]),
        level_viewers(corner[1:], height_mm=[height_2]),
    )


def test_half_of_the_rays_pass_a_screen_that_ends_midway():
    """By symmetry about the line y = 0 on which the screen ends."""
    one, two = pair(0.0, 8.0)
    share = visible(one, other=two, screens=screen(5.0, 0.0, 8.0))[0, 0, 0, 0]
    assert share == pytest.approx(0.5, abs=0.13)


def test_cells_cut_by_a_slanted_baffle_have_neighbours_on_their_own_side():
    """The line tells the side: the sign of the turn from its foot to a cell's middle."""
    start, end = np.array([13.0, 0.0]), np.array([17.0, 20.0])
    slanted = Baffle(
        start_mm=(13.0, 0.0), end_mm=(17.0, 20.0), low_mm=0.0, high_mm=5.0, reflectance=0.8
    )
    mesh = meshed(plain_box(baffles=(slanted,)))
    offset, way = mesh.centre_mm - start, end - start
    side = np.sign(way[0] * offset[:, 1] - way[1] * offset[:, 0])
    cut = np.ptp(mesh.corner_mm[..., 0], axis=1) * np.ptp(mesh.corner_mm[..., 1], axis=1)
    cut = cut > 1.01 * mesh.area_mm2
    assert cut.any()
    assert (mesh.beside[cut] >= 0).any(axis=1).mean() > 0.9
    cell, slot = np.nonzero(mesh.beside >= 0)
    assert (side[cell] == side[mesh.beside[cell, slot]]).all()
    apart = mesh.centre_mm[mesh.beside[cell, slot]] - mesh.centre_mm[cell]
    sign = np.array([-1.0, 1.0, -1.0, 1.0])[slot]
    assert (sign * apart[np.arange(len(cell)), slot // 2] > 0.0).all()


@pytest.mark.parametrize(
    ("low", "high", "share"), [(0.0, 3.0, 1.0), (0.0, 8.0, 0.5), (5.5, 8.0, 1.0)]
)
def test_rays_pass_over_and_under_screens_of_part_height(low, high, share):
    """Midway the rays from floor to ceiling are 3 to 5 mm up."""
    one, two = pair(0.0, 8.0)
    seen = visible(one, other=two, screens=screen(5.0, low, high))[0, 0, 0, 0]
    assert seen == pytest.approx(share, abs=0.13)


def test_a_circle_cut_into_quarters():
    ring = ring_of(Disc(x_mm=2.0, y_mm=3.0, diameter_mm=4.0))
    quarter = area_below(ring, x_mm=np.array([2.0]), y_mm=np.array([3.0]))[0]
    assert quarter == pytest.approx(pi, rel=EXACT)
    whole = area_below(ring, x_mm=np.array([9.0]), y_mm=np.array([9.0]))[0]
    assert whole == pytest.approx(4.0 * pi, rel=EXACT)
    assert area_of(Disc(x_mm=0.0, y_mm=0.0, diameter_mm=4.0)) == pytest.approx(4.0 * pi, rel=EXACT)


def test_cells_cover_an_opening_once():
    mesh = meshed(box_of(SCENES[9]), step=4.0)
    for shape in (Disc(x_mm=15.0, y_mm=11.0, diameter_mm=13.0), rectangle(8.0, 4.0, 25.0, 19.0)):
        share = shares(shape, corner_mm=mesh.corner_mm, area_mm2=mesh.area_mm2)
        assert share @ mesh.area_mm2 == pytest.approx(area_of(shape), rel=1e-9)
        assert share.min() >= 0.0
        assert share.max() <= 1.0


def test_a_ring_is_clipped_by_a_triangle():
    part = clipped(
        ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)),
        cell=np.array([(0.0, 0.0), (8.0, 0.0), (0.0, 8.0)]),
    )
    assert ring_area_centre(part[None])[0][0] == pytest.approx(16.0)
