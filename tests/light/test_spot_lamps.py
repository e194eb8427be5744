import numpy as np
import pytest

from lamphouse.light.emitter import is_narrow
from lamphouse.light.first_bounce import first_light, vicinity
from lamphouse.light.glow import solve
from lamphouse.light.interior import first_reflection, make_interior
from lamphouse.light.landing import landing, light_on, summed
from lamphouse.light.live import looks, make_live, response
from lamphouse.light.near_spots import laid_spots
from lamphouse.light.scene import Aperture, Baffle, Disc, IntensityTable, Sheet
from lamphouse.light.spot_lamps import FAINT, spot_light
from lamphouse.light.stance import stance_of
from lamphouse.light.step_size import step_mm
from lamphouse.record import replace
from light.boxes import OPAL, box_of, lamp, plain_box, rectangle, scenes
from tolerances import PHYSICS

AT_WALL = lamp(6.0, 5.0, 3.0, direction=(-0.9, 0.3, 0.2), m=45.0)
"""A beam of 20 degrees."""

FLAT = IntensityTable(angles_deg=(0.0, 5.0, 7.0, 8.0, 9.0), relative=(1.0, 1.0, 0.9, 0.2, 0.0))
"""A beam as even as a torch's, with a steep rim."""

SOFTER = (1.0, 1.05, 0.95, 0.5, 0.08, 0.0)

ROOM = ((0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0))


def light_of(interior, *, source):
    onto = interior.onto[0]
    stance = stance_of(onto, lamp=source)
    spots = laid_spots((), interior=interior)
    near = vicinity(interior, lamp=source, views=(), spots=spots, stance=stance)
    parts = light_on(source, onto=onto, screens=interior.screens, stance=stance)
    return spot_light(
        interior,
        cavity=0,
        piece=near.by.piece,
        parts=parts,
        onto=onto,
        landed=summed(parts, onto=onto),
    )


@pytest.mark.parametrize("sheet", [None, Sheet(height_mm=4.0, transmittance=0.6, reflectance=0.3)])
def test_small_lamps_send_what_the_faces_throw_back_and_let_through(sheet):
    interior = make_interior(plain_box(sheet=sheet, apertures=()))
    light = light_of(interior, source=AT_WALL)
    sent = light.lamps().flux_lm
    assert sent.sum() == pytest.approx(light.mesh.sum(), rel=PHYSICS)
    whole = first_reflection(interior, lamp=AT_WALL)[1].sum()
    assert (1.0 - 20.0 * FAINT) * whole < sent.sum() < (1.0 + PHYSICS) * whole
    assert sent.min() > 0.0


def test_what_small_lamps_light_anew_is_taken_from_other_faces():
    interior = make_interior(plain_box(apertures=()))
    change = first_light(interior, lamp=AT_WALL)[1] - first_reflection(interior, lamp=AT_WALL)[1]
    assert np.abs(change).max() > PHYSICS
    assert change.sum() == pytest.approx(0.0, abs=PHYSICS)


@pytest.mark.parametrize("place", [(10.0, 9.0, 3.0), (5.0, 5.0, 0.6), (17.0, 15.0, 6.0)])
def test_all_light_of_a_beam_with_a_steep_rim_lands(place):
    """Sums over the faces; the beam is normed by its exact integral."""
    source = replace(lamp(*place, direction=(0.8, 0.3, 0.4), flux=1.0), beam=FLAT, name="a torch")
    interior = make_interior(plain_box(outline=ROOM))
    landed = landing(source, onto=interior.onto[0], screens=interior.screens)
    assert is_narrow(FLAT)
    assert landed.flux.sum() == pytest.approx(1.0, abs=0.1 * PHYSICS)


@pytest.mark.parametrize("sheet", [None, Sheet(height_mm=4.0, transmittance=0.6, reflectance=0.3)])
@pytest.mark.parametrize("direction", [(1.0, 0.05, 0.1), (0.7, 0.7, 0.0), (0.5, 0.0, 0.8)])
def test_no_spot_shines_past_a_baffle_that_fills_the_box(sheet, direction):
    full = Baffle(
        start_mm=(19.0, 0.0), end_mm=(22.0, 20.0), low_mm=0.0, high_mm=8.0, reflectance=0.8
    )
    openings = tuple(
        Aperture(name=name, shape=rectangle(left, 5.0, left + 8.0, 14.0), fill=OPAL)
        for name, left in (("near", 5.0), ("far", 26.0))
    )
    source = lamp(15.0, 9.0, 1.5, direction=direction, m=45.0)
    box = plain_box(outline=ROOM, apertures=openings, baffles=(full,), sheet=sheet, lamps=(source,))
    near, far = solve(box).looks
    assert far.luminance_cd_m2.max() < 1e-6 * near.mean_cd_m2


@pytest.mark.parametrize(
    ("direction", "baffle"),
    [((0.0, 0.0, 1.0), False), ((0.5, 0.1, 0.6), False), ((0.9, 0.2, 0.3), True)],
)
def test_spots_on_a_sheet_or_a_baffle_are_those_of_half_steps(direction, baffle):
    short = Baffle(
        start_mm=(14.0, 0.0), end_mm=(15.0, 12.0), low_mm=0.0, high_mm=10.0, reflectance=0.7
    )
    source = lamp(8.0, 8.0, 1.2, direction=direction, m=90.0)
    box = plain_box(
        outline=ROOM,
        depth_mm=10.0,
        lamps=(source,),
        apertures=(
            Aperture(name="A", shape=rectangle(3.0, 4.0, 13.0, 12.0), fill=OPAL),
            Aperture(name="B", shape=rectangle(17.0, 9.0, 24.0, 16.0), fill=OPAL),
        ),
        baffles=(short,) if baffle else (),
        sheet=None if baffle else Sheet(height_mm=5.0, transmittance=0.6, reflectance=0.3),
    )
    usual, fine = solve(box), solve(box, step=0.5 * step_mm(box))
    for one, other in zip(usual.looks, fine.looks, strict=True):
        assert one.mean_cd_m2 == pytest.approx(other.mean_cd_m2, rel=5.0 * PHYSICS)


def test_a_torch_that_just_fills_a_round_hole():
    """What little lands beside it lights the rest of the box; against half steps."""
    torch = IntensityTable(angles_deg=(0.0, 7.2, 10.8, 12.1, 13.3, 15.7), relative=SOFTER)
    source = replace(lamp(11.85, 6.3, 4.61), beam=torch)
    hole = Aperture(name="hole", shape=Disc(x_mm=11.85, y_mm=6.35, diameter_mm=3.43), fill=OPAL)
    dark = Aperture(name="dark", shape=rectangle(22.3, 0.7, 30.1, 10.4), fill=OPAL)
    box = plain_box(
        outline=((0.0, 0.0), (32.4, 0.0), (32.4, 13.9), (0.0, 13.9)),
        depth_mm=11.4,
        lamps=(source,),
        apertures=(hole, dark),
    )
    usual, fine = solve(box).looks[1], solve(box, step=0.5 * step_mm(box)).looks[1]
    assert usual.mean_cd_m2 == pytest.approx(fine.mean_cd_m2, rel=5.0 * PHYSICS)


@pytest.mark.parametrize("store", ["fresh/beams.json", "fresh/aimed.json"])
def test_boxes_kept_solved_follow_narrow_beams_nearly_as_well(store):
    """They do so without small lamps: as near as openings were before these stood for spots."""
    off = []
    for scene in scenes(store):
        box = box_of(scene)
        kept = make_live(box)
        live = looks(
            kept,
            responses=[response(kept, lamp=source) for source in box.lamps],
            flux_lm=[source.flux_lm for source in box.lamps],
        )
        off += [
            abs(one.mean_cd_m2 / other.mean_cd_m2 - 1.0)
            for one, other in zip(live, solve(box).looks, strict=True)
        ]
    assert max(off) < 0.015
    assert np.median(off) < 0.0015
