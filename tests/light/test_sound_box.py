from math import inf, nan
from time import perf_counter

import pytest

from lamphouse.light.box_mesh import MOST_ROWS, rows_of
from lamphouse.light.interior import make_interior
from lamphouse.light.scene import (
    Aperture,
    Baffle,
    CosinePower,
    Diffuser,
    Disc,
    Haze,
    IntensityTable,
    Sheet,
)
from lamphouse.light.sound_box import Kind, faults
from lamphouse.light.step_size import STEPS_WITH_SCREENS, step_mm
from lamphouse.record import replace
from light.boxes import OPAL, SCENES, box_of, lamp, plain_box, rectangle, scenes


def opening(shape, **changes):
    return replace(Aperture(name="A", shape=shape, fill=OPAL), **changes)


def baffle(**changes):
    sound = Baffle(
        start_mm=(10.0, 0.0), end_mm=(10.0, 12.0), low_mm=0.0, high_mm=8.0, reflectance=0.8
    )
    return replace(sound, **changes)


FRESH = sorted(store.name for store in (SCENES / "fresh").glob("*.json"))
STORES = [
    "light_scenes.json",
    "stress.json",
    *(f"fresh/{name}" for name in FRESH if name != "pairs.json"),
]
"""All references of single boxes."""
WIDE = rectangle(3.0, 3.0, 27.0, 17.0)
SQUARE = rectangle(12.0, 8.0, 16.0, 12.0)
BOW_TIE = ((0.0, 0.0), (30.0, 20.0), (30.0, 0.0), (0.0, 20.0))
NOTCHED = (
    (0.0, 0.0),
    (30.0, 0.0),
    (30.0, 20.0),
    (16.0, 20.0),
    (15.0, 9.0),
    (14.0, 20.0),
    (0.0, 20.0),
)


@pytest.mark.parametrize(
    ("changes", "kind"),
    [
        ({"depth_mm": 0.0}, Kind.DEPTH),
        ({"depth_mm": nan}, Kind.DEPTH),
        ({"outline": BOW_TIE}, Kind.OUTLINE),
        ({"outline": ((0.0, 0.0), (30.0, 0.0))}, Kind.OUTLINE),
        ({"outline": ((0.0, 0.0), (30.0, 0.0), (60.0, 0.0))}, Kind.OUTLINE),
        ({"holes": (((40.0, 5.0), (44.0, 5.0), (42.0, 9.0)),)}, Kind.PILLAR),
        ({"back_reflectance": 1.0}, Kind.REFLECTANCE),
        ({"wall_reflectances": (0.8, -0.1, 0.8, 0.8)}, Kind.REFLECTANCE),
        ({"wall_reflectances": (0.8, 0.8)}, Kind.REFLECTANCE),
        ({"lamps": ()}, Kind.NO_LAMP),
        ({"lamps": (lamp(31.0, 9.0, 0.6),)}, Kind.LAMP_PLACE),
        ({"lamps": (lamp(3.0, 9.0, 8.0),)}, Kind.LAMP_PLACE),
        ({"lamps": (lamp(0.01, 9.0, 2.0),)}, Kind.LAMP_PLACE),
        ({"lamps": (lamp(10.0, 9.0, 2.0),), "baffles": (baffle(),)}, Kind.LAMP_PLACE),
        ({"lamps": (lamp(3.0, 9.0, 2.0, direction=(0.0, 0.0, 0.0)),)}, Kind.LAMP_BEAM),
        ({"lamps": (lamp(3.0, 9.0, 2.0, m=-1.0),)}, Kind.LAMP_BEAM),
        ({"lamps": (lamp(3.0, 9.0, 2.0, flux=-1.0),)}, Kind.LAMP_FLUX),
        ({"lamps": (lamp(3.0, 9.0, 2.0, flux=inf),)}, Kind.LAMP_FLUX),
        ({"apertures": (opening(rectangle(-1.0, 3.0, 9.0, 9.0)),)}, Kind.OPENING_PLACE),
        ({"outline": NOTCHED, "lamps": (lamp(5.0, 5.0, 1.0),)}, Kind.OPENING_PLACE),
        (
            {"apertures": (opening(Disc(x_mm=5.0, y_mm=5.0, diameter_mm=0.01)),)},
            Kind.OPENING_SIZE,
        ),
        ({"apertures": (opening(WIDE), opening(SQUARE, name="B"))}, Kind.OPENINGS_OVERLAP),
        (
            {"apertures": (opening(WIDE, fill=Diffuser(transmittance=0.7, reflectance=0.4)),)},
            Kind.DIFFUSER,
        ),
        ({"baffles": (baffle(end_mm=(10.0, 25.0)),)}, Kind.BAFFLE),
        ({"baffles": (baffle(end_mm=(10.0, 0.0)),)}, Kind.BAFFLE),
        ({"baffles": (baffle(low_mm=5.0, high_mm=4.0),)}, Kind.BAFFLE),
        ({"baffles": (baffle(start_mm=(0.0, 0.0), end_mm=(0.0, 9.0)),)}, Kind.BAFFLE),
        ({"sheet": Sheet(height_mm=7.9, transmittance=0.5, reflectance=0.4)}, Kind.SHEET),
        ({"sheet": Sheet(height_mm=4.0, transmittance=0.5, reflectance=0.6)}, Kind.DIFFUSER),
    ],
)
def test_what_cannot_be_is_refused(changes, kind):
    assert kind in {fault.kind for fault in faults(plain_box(**changes))}


def test_a_lamp_may_lie_over_or_under_a_baffle():
    over = plain_box(lamps=(lamp(10.0, 9.0, 6.0),), baffles=(baffle(high_mm=5.0),))
    under = plain_box(lamps=(lamp(10.0, 9.0, 0.6),), baffles=(baffle(low_mm=2.0),))
    assert not (*faults(over), *faults(under))


def test_a_beam_table_must_rise_and_shine():
    bad = (
        IntensityTable(angles_deg=(0.0, 30.0, 20.0), relative=(1.0, 1.0, 0.0)),
        IntensityTable(angles_deg=(0.0, 90.0), relative=(0.0, 0.0)),
        IntensityTable(angles_deg=(5.0, 90.0), relative=(1.0, 0.0)),
    )
    for beam in bad:
        box = plain_box(lamps=(replace(lamp(5.0, 5.0, 1.0), beam=beam),))
        assert [fault.kind for fault in faults(box)] == [Kind.LAMP_BEAM]
    sharp = replace(lamp(5.0, 5.0, 1.0), beam=CosinePower(m=1000.0))
    assert [fault.most for fault in faults(plain_box(lamps=(sharp,)))] == [400.0]


@pytest.mark.parametrize(
    ("half_deg", "found"), [(0.001, [Kind.LAMP_BEAM]), (3.0, [Kind.LAMP_BEAM]), (6.0, [])]
)
def test_a_beam_table_is_no_narrower_than_a_power_may_be(half_deg, found):
    """One of a thousandth of a degree lands between all points of a sum: there is no figure."""
    table = IntensityTable(angles_deg=(0.0, half_deg, 1.1 * half_deg), relative=(1.0, 1.0, 0.0))
    box = plain_box(lamps=(replace(lamp(5.0, 5.0, 1.0), beam=table),))
    assert [fault.kind for fault in faults(box)] == found


def test_the_shares_of_a_haze_add_up():
    haze = Haze(diffuse=0.5, lobe=0.4, straight=0.2, lobe_deg=10.0)
    fill = Diffuser(transmittance=0.5, reflectance=0.3, haze=haze)
    box = plain_box(apertures=(opening(WIDE, fill=fill),))
    assert [fault.kind for fault in faults(box)] == [Kind.HAZE]


def test_too_much_of_anything_is_refused_at_once():
    openings = tuple(
        opening(Disc(x_mm=1.0, y_mm=1.0, diameter_mm=0.5), name=str(number))
        for number in range(5000)
    )
    crowded = plain_box(apertures=openings)
    lamps = tuple(lamp(3.0, 3.0, 1.0) for _ in range(5000))
    comb = tuple((x, y) for x in range(200) for y in ((0.0, 15.0) if x % 2 else (15.0, 0.0)))
    begin = perf_counter()
    assert [fault.kind for fault in faults(crowded)] == [Kind.COUNT]
    assert [fault.kind for fault in faults(plain_box(lamps=lamps))] == [Kind.COUNT]
    assert faults(plain_box(outline=(*comb, (199.0, 20.0), (0.0, 20.0))))
    assert perf_counter() - begin < 2.0


def slatted(baffles, *, openings=4, depth_mm=4.0):
    """A box of 60 x 40 mm with slanted baffles, half as high as it is deep."""
    return plain_box(
        outline=((0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (0.0, 40.0)),
        depth_mm=depth_mm,
        lamps=(lamp(3.75, 12.0, 0.6),),
        baffles=tuple(
            Baffle(
                start_mm=(60.0 * (number + 0.55) / baffles, 4.0),
                end_mm=(60.0 * (number + 0.6) / baffles, 24.0),
                low_mm=0.0,
                high_mm=depth_mm / 2.0,
                reflectance=0.8,
            )
            for number in range(baffles)
        ),
        apertures=tuple(
            opening(
                rectangle(
                    60.0 * (number + 0.1) / openings, 8.0, 60.0 * (number + 0.9) / openings, 32.0
                ),
                name=str(number),
            )
            for number in range(openings)
        ),
    )


def test_a_box_cut_into_too_many_pieces_is_cut_more_coarsely_or_refused():
    """Counted are the pieces themselves: slanted baffles and rims add to the cells of the grid."""
    plain, cut, too_much = slatted(1, openings=1), slatted(5), slatted(8)
    assert step_mm(plain) == pytest.approx(4.0 / STEPS_WITH_SCREENS)
    assert faults(plain) == faults(cut) == ()
    assert step_mm(cut) > 1.1 * step_mm(plain)
    for box in (plain, cut):
        assert make_interior(box).face_count <= rows_of(box, step_mm=step_mm(box), most=MOST_ROWS)
        assert rows_of(box, step_mm=step_mm(box), most=MOST_ROWS) <= MOST_ROWS
    refused = faults(too_much)
    assert [(fault.kind, fault.most) for fault in refused] == [(Kind.DETAIL, MOST_ROWS)]
    assert refused[0].given > 2 * MOST_ROWS


def test_baffles_of_many_heights_count_every_layer():
    alike = slatted(5)
    heights = tuple(
        replace(one, high_mm=1.0 + 0.5 * number) for number, one in enumerate(alike.baffles)
    )
    uneven = replace(alike, baffles=heights)
    rows = [rows_of(box, step_mm=2.0, most=MOST_ROWS) for box in (alike, uneven)]
    assert rows[1] > 1.3 * rows[0]


def test_a_box_too_flat_or_too_detailed_for_its_memory_is_refused():
    flat = plain_box(outline=((0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)), depth_mm=3.0)
    assert [fault.kind for fault in faults(flat)] == [Kind.TOO_FLAT]
    stairs = [(float(x + step), float(x)) for x in range(60) for step in (0, 1)]
    outline = (*stairs, (60.0, 100.0), (0.0, 100.0))
    cut = plain_box(outline=outline, lamps=(lamp(5.0, 80.0, 1.0),), apertures=())
    assert [fault.kind for fault in faults(cut)] == [Kind.DETAIL]


@pytest.mark.parametrize(
    "scene", [scene for store in STORES for scene in scenes(store)], ids=lambda scene: scene["name"]
)
def test_sound_boxes_pass(scene):
    assert faults(box_of(scene)) == ()
