"""Faces painted unlike: from the maker's words to the solver's walls, and what light makes of them.

Outside witnesses: the numbered pieces of the cutting room, random walks, the integrating cavity,
and the radiosity solved at each wavelength.
"""

from importlib.util import find_spec
from math import atan, dist, pi, sqrt

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.chain import radiance
from lamphouse.colour.film_spectra import finish_spectrum
from lamphouse.colour.observer import luminance, tristimulus, uniform_chromaticity
from lamphouse.cutting.box_frame import as_built, frame_of
from lamphouse.design.box_faces import (
    face_names,
    finish_of,
    finished_faces,
    in_words,
    repainted,
    wall_ring,
)
from lamphouse.design.lightbox import (
    Baffle,
    Build,
    FaceFinish,
    Passage,
    RoundWalls,
    Seat,
    WallCoating,
)
from lamphouse.light import glow, sound_suite
from lamphouse.light.box_scene import draw_box
from lamphouse.light.figure_rules import darkened_inside
from lamphouse.light.glow_mends import brightened, is_darker, painted_words
from lamphouse.light.opening_colour import parts_of, way_of
from lamphouse.light.painted_faces import mean_grey, mean_paint, painted_mm2
from lamphouse.light.room_light import faces_of, mouth_reflectance
from lamphouse.light.solvable_rules import shiny_finish
from lamphouse.light.verify import Effort, verify
from lamphouse.record import replace
from lamphouse.shapes.outline import backwards, circle, polygon, rounded_rectangle
from light.designs import SHEET, film, led, light_box, opening, outline, panel, upright, where
from tolerances import EXACT

SHELF = built_in()
WHITE, BLACK = SHELF.finishes["matt white paint"], SHELF.finishes["matt black paint"]
BROWN, FOIL = SHELF.finishes["bare brown card"], SHELF.finishes["aluminium foil"]
L_SHAPE = ((10, 10), (60, 10), (60, 30), (35, 30), (35, 50), (10, 50))
WITH_STRAIGHT = ((10, 10), (40, 10), (60, 10), (60, 30), (35, 30), (35, 50), (10, 50), (10, 30))
OPAL = film(0.6, 0.35)
SLOT = Passage(
    name="slot",
    where=where("box / slot"),
    into="bay",
    start_mm=(30.0, 6.0),
    end_mm=(30.0, 14.0),
    low_mm=2.0,
    high_mm=6.0,
)


def box_of(corners, *leds, faces=(), finish=WHITE, **more):
    made = light_box(outline(corners), *leds, depth_mm=more.pop("depth_mm", 12.0))
    named = tuple(FaceFinish(face=face, finish=one) for face, one in faces)
    return replace(made, finish=finish, faces=named, **more)


def baffle(start, end, *, height_mm, finish=None):
    return Baffle(
        name="middle",
        where=where("baffle"),
        start_mm=start,
        end_mm=end,
        height_mm=height_mm,
        sheet=SHEET,
        finish=finish,
    )


def drawn_of(box, *openings):
    return draw_box(panel(*openings), box=box, currents={})


def pieces_of(box):
    """Give the walls of a box as the cutting room numbers them."""
    frame, _ = frame_of(
        as_built(box), panel="p", sub_assembly="s", drills=(), lead_mm=0.5, passages=(), strands=()
    )
    return frame.walls


def gap_mm(spot, wall):
    """How far a spot lies from the inner face of a wall."""
    (ax, ay), (bx, by) = wall.start, wall.end
    way = ((bx - ax) / wall.side_mm, (by - ay) / wall.side_mm)
    along = (spot[0] - ax) * way[0] + (spot[1] - ay) * way[1]
    held = min(max(along, 0.0), wall.side_mm)
    return dist(spot, (ax + held * way[0], ay + held * way[1]))


def edges_of(scene):
    ring = scene.outline
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


@pytest.mark.parametrize("corners", [L_SHAPE, WITH_STRAIGHT], ids=["l", "l with straight corners"])
@pytest.mark.parametrize("turned", [False, True], ids=["anticlockwise", "clockwise"])
@pytest.mark.parametrize("number", range(6))
def test_the_black_wall_is_the_one_whose_piece_has_its_number(corners, turned, number):
    ring = polygon(corners)
    ring = backwards(ring) if turned else ring
    box = box_of(ring, led("W", 20, 20), faces=[(f"wall {number + 1}", BLACK)])
    scene = drawn_of(box).scene
    piece = pieces_of(box)[number]
    assert len(scene.wall_reflectances) == len(scene.outline)
    for (start, end), share in zip(edges_of(scene), scene.wall_reflectances, strict=True):
        on_it = max(gap_mm(start, piece), gap_mm(end, piece)) < 1e-9
        assert share == (BLACK if on_it else WHITE).reflectance
    length = sum(
        dist(*edge)
        for edge, share in zip(edges_of(scene), scene.wall_reflectances, strict=True)
        if share == BLACK.reflectance
    )
    assert length == pytest.approx(piece.side_mm, rel=EXACT)


@pytest.mark.parametrize("more", [{"round_walls": RoundWalls.FLAT}, {"build": Build.FOLDED}])
def test_chords_of_an_arc_belong_to_the_flat_wall_that_touches_them(more):
    ring = rounded_rectangle(40.0, height_mm=30.0, radius_mm=10.0, x_mm=30.0, y_mm=30.0)
    walls = pieces_of(box_of(ring, **more))
    for number in range(len(walls)):
        box = box_of(ring, led("W", 30, 30), faces=[(f"wall {number + 1}", BLACK)], **more)
        scene = drawn_of(box).scene
        black = [
            ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
            for (a, b), share in zip(edges_of(scene), scene.wall_reflectances, strict=True)
            if share == BLACK.reflectance
        ]
        assert black
        for spot in black:
            gaps = [gap_mm(spot, wall) for wall in walls]
            assert gaps[number] == pytest.approx(min(gaps), abs=1e-9)


def test_round_walls_in_one_strip_have_no_numbers():
    box = box_of(circle(30.0, x_mm=30.0, y_mm=30.0), led("W", 30, 30), faces=[("walls", BLACK)])
    assert face_names(box) == ("back", "panel", "walls")
    assert wall_ring(box) == ()
    assert drawn_of(box).scene.wall_reflectances == (BLACK.reflectance,)


def test_what_is_not_said_otherwise_has_the_finish_of_the_box():
    box = box_of(polygon(L_SHAPE), faces=[("walls", BROWN), ("wall 2", BLACK), ("back", BLACK)])
    assert [finish_of(box, face).name for face in face_names(box)] == [
        BLACK.name,
        WHITE.name,
        BROWN.name,
        BROWN.name,
        BLACK.name,
        *[BROWN.name] * 4,
    ]
    assert in_words(box) == (
        "matt white paint, but back and wall 2 matt black paint; "
        "wall 1, wall 3, wall 4, wall 5 and wall 6 bare brown card"
    )
    assert in_words(box_of(polygon(L_SHAPE), faces=[("walls", WHITE)])) == "matt white paint"


def test_a_box_painted_alike_face_by_face_is_the_box_with_one_finish():
    plain = box_of(polygon(L_SHAPE), led("W", 20, 20))
    named = replace(
        plain,
        finish=BLACK,
        faces=tuple(
            FaceFinish(face=face, finish=WHITE) for face in face_names(plain) if face != "walls"
        ),
    )
    assert drawn_of(named).scene == drawn_of(plain).scene


def test_the_areas_of_the_faces_add_up():
    box = box_of(
        polygon(L_SHAPE),
        faces=[("wall 3", BLACK), ("back", BROWN)],
        baffles=(baffle((10, 32), (20, 32), height_mm=10.0, finish=BLACK),),
    )
    drawn = drawn_of(box, opening("o", upright(20, 15, 30, 20), OPAL))
    sums = {}
    for finish, area in painted_mm2(box, scene=drawn.scene):
        sums[finish.name] = sums.get(finish.name, 0.0) + area
    floor, around = 50 * 20 + 25 * 20, 2 * (50 + 40)
    assert sums[BROWN.name] == pytest.approx(floor, rel=EXACT)
    assert sums[BLACK.name] == pytest.approx(25 * 12 + 2 * 10 * 10, rel=EXACT)
    assert sums[WHITE.name] == pytest.approx(floor - 50 + (around - 25) * 12, rel=EXACT)
    shares = {WHITE.name: 0.8, BLACK.name: 0.05}
    spectrum = sum(
        area * (finish_spectrum(BROWN) if name == BROWN.name else shares[name])
        for name, area in sums.items()
    ) / sum(sums.values())
    assert mean_paint(box, scene=drawn.scene) == pytest.approx(spectrum, rel=EXACT)


def corner_share(reach):
    """Form factor of a level spot to a square right above one of its corners.

    Howell, A Catalog of Radiation Heat Transfer Configuration Factors (number from memory: B-3).
    """
    root = sqrt(1.0 + reach**2)
    return 2.0 * reach / root * atan(reach / root) / (2.0 * pi)


NEAR_CAVITY = 0.06
"""The integrating cavity takes light thrown back once as falling on all faces alike."""


@pytest.mark.parametrize(
    ("back", "walls", "front"),
    [(0.9, 0.7, 0.8), (0.05, 0.9, 0.9), (0.9, 0.9, 0.3), (0.8, 0.3, 0.8), (0.5, 0.95, 0.95)],
)
def test_a_cube_follows_the_integrating_cavity_by_the_mean_of_its_faces(back, walls, front):
    """``E = flux first / (A (1 - mean))``, the lamp in the panel, its first light by form factors.

    The cavity equation of lighting handbooks [CAVITY]; that a sphere of several paints obeys it
    with their mean by area is from memory (Goebel, Applied Optics 6, 125, 1967).
    """
    side = 40.0
    paints = {"back": back, "walls": walls, "panel": front}
    faces = [(face, replace(WHITE, name=face, reflectance=rho)) for face, rho in paints.items()]
    lamp = led("W", side / 2, side / 2, seat=Seat.PANEL)
    box = box_of(upright(0, 0, side, side).corners, lamp, faces=faces, depth_mm=side)
    shape = upright(6.0, 6.0, 7.0, 7.0)
    drawn = drawn_of(box, opening("o", shape, film(1.0, 0.0)))
    flux = drawn.scene.lamps[0].flux_lm
    found = glow.solve(drawn.scene).looks[0].mean_cd_m2 * pi / 1e6
    straight = 4.0 * corner_share(0.5)
    first = straight * back + (1.0 - straight) * walls
    mean = (back + front + 4.0 * walls) / 6.0
    assert mean_grey(box, scene=drawn.scene) == pytest.approx(mean, rel=1e-3)  # the opening
    cavity = flux * first / (6.0 * side**2 * (1.0 - mean))
    assert found == pytest.approx(cavity, rel=NEAR_CAVITY)


@pytest.mark.skipif(find_spec("numba") is None, reason="the compiler 'numba' is not installed")
@pytest.mark.parametrize(
    "faces",
    [[("back", BLACK)], [("wall 3", BLACK), ("panel", BROWN)], [("walls", BLACK)]],
    ids=["back", "one wall and panel", "walls"],
)
def test_random_walks_find_the_glow_of_a_box_with_dark_faces(faces):
    box = box_of(
        polygon(L_SHAPE),
        led("W1", 20, 40),
        led("W2", 45, 20),
        faces=faces,
        baffles=(baffle((10, 32), (20, 32), height_mm=8.0, finish=BLACK),),
    )
    drawn = drawn_of(box, opening("o", upright(20, 15, 40, 25), OPAL))
    solved = glow.solve(drawn.scene).looks[0]
    opinion = verify(drawn.scene, seed=1, effort=Effort(relative_error=0.0, most_walks=100_000))
    walked = opinion.openings[0]
    off = abs(solved.mean_cd_m2 - walked.mean_cd_m2)
    assert off < 4.0 * walked.mean_error_cd_m2 + 0.01 * solved.mean_cd_m2
    white = glow.solve(
        drawn_of(replace(box, faces=()), opening("o", upright(20, 15, 40, 25), OPAL)).scene
    )
    assert solved.mean_cd_m2 < 0.9 * white.looks[0].mean_cd_m2


GREY_IS_GREY = 1e-9

STEP = 0.0011
"""In u', v': a just visible step of colour, as the other tests of colours have it."""


def test_greys_however_mixed_leave_the_colour_of_the_light_alone():
    box = box_of(polygon(L_SHAPE), led("W", 20, 20), faces=[("back", BLACK), ("wall 4", BLACK)])
    drawn = drawn_of(box, opening("o", upright(20, 15, 40, 25), OPAL))
    way = way_of(drawn, window=drawn.windows[0])
    assert np.ptp(way.gain) == pytest.approx(0.0, abs=GREY_IS_GREY)
    assert way.gain[0] == pytest.approx(way.grey_gain, rel=GREY_IS_GREY)


@pytest.mark.parametrize("faces", [["back"], ["walls"], ["wall 1", "wall 2"]])
def test_a_brown_face_colours_the_light_as_radiosity_at_each_wavelength_does(faces):
    # Luminance within 0.5 %, colour within a step of 0.0011 in u', v'; a grey wall misses the step.
    box = box_of(
        upright(0, 0, 38, 28).corners,
        led("W", 15, 14),
        faces=[(face, BROWN) for face in faces],
        depth_mm=14.0,
    )
    drawn = drawn_of(box, opening("o", upright(4, 3, 34, 25), OPAL))
    look = glow.solve(drawn.scene).looks[0]
    parts, way = parts_of(drawn, look=look), way_of(drawn, window=drawn.windows[0])
    ours = radiance(parts, way=way)
    places, brown = range(0, 81, 8), finish_spectrum(BROWN)
    alone = []
    for place in places:
        here = replace(BROWN, dye=None, reflectance=float(brown[place]))
        again = repainted(box, finish=here, instead_of=lambda old: old == BROWN)
        scene = drawn_of(again, opening("o", upright(4, 3, 34, 25), OPAL)).scene
        alone.append(glow.solve(scene).looks[0].mean_cd_m2)
    theirs = parts[0].lamp * np.interp(np.arange(81), places, alone)
    assert float(luminance(ours)) == pytest.approx(float(luminance(theirs)), rel=0.005)

    def apart(light):
        place = uniform_chromaticity(tristimulus(light))
        return np.hypot(*(place - uniform_chromaticity(tristimulus(theirs))))

    assert apart(ours) < STEP
    assert apart(radiance(parts, way=replace(way, gain=np.full(81, way.grey_gain)))) > STEP


def test_an_open_box_throws_back_the_mean_of_its_faces():
    box = box_of(upright(0, 0, 30, 20).corners, faces=[("back", BLACK)], depth_mm=10.0)
    drawn = drawn_of(box, opening("o", upright(0, 0, 30, 20)))
    walls = 30 * 20 + 2 * 50 * 10
    mean = (600 * 0.05 + 1000 * 0.8) / walls
    mouth = mouth_reflectance(mean, mouth_mm2=600.0, walls_mm2=walls)
    assert faces_of(drawn)[0] == pytest.approx(np.full(81, mouth), rel=EXACT)


def test_one_shiny_face_leaves_a_box_without_figures_and_is_named():
    box = box_of(polygon(L_SHAPE), led("W", 20, 20), faces=[("wall 3", FOIL)])
    (finding,) = shiny_finish(drawn_of(box))
    assert "'aluminium foil' at wall 3" in finding.message
    assert finding.remedy.startswith("paint wall 3 'matt white paint'")
    (whole,) = shiny_finish(drawn_of(replace(box, finish=FOIL, faces=())))
    assert whole.remedy.startswith("paint it")


def test_a_shiny_baffle_is_found_too():
    own = baffle((10, 32), (20, 32), height_mm=8.0, finish=FOIL)
    (finding,) = shiny_finish(drawn_of(box_of(polygon(L_SHAPE), led("W", 20, 20), baffles=(own,))))
    assert "at baffle middle" in finding.message
    assert [face for face, one in finished_faces(box_of(polygon(L_SHAPE), baffles=(own,)))] == [
        "back",
        "walls",
        "panel",
        "baffle middle",
    ]


def test_the_hole_of_a_passage_is_painted_as_the_wall_it_goes_through():
    box = box_of(upright(0, 0, 30, 20).corners, led("W", 12, 9), passages=(SLOT,))
    beside = replace(box_of(upright(32, 0, 48, 20).corners), name="bay")
    for number, piece in enumerate(pieces_of(box), start=1):
        faces = (FaceFinish(face=f"wall {number}", finish=BLACK),)
        drawn = draw_box(panel(), box=replace(box, faces=faces), currents={}, beside=(beside,))
        through = piece.start[0] == piece.end[0] == 30.0
        assert drawn.suite.boxes[-1].back_reflectance == (BLACK if through else WHITE).reflectance
        assert not sound_suite.faults(drawn)


def test_a_shiny_face_of_a_neighbour_stops_both():
    box = box_of(upright(0, 0, 30, 20).corners, led("W", 12, 9), passages=(SLOT,))
    shiny = box_of(upright(32, 0, 48, 20).corners, faces=[("back", FOIL)])
    drawn = draw_box(panel(), box=box, currents={}, beside=(replace(shiny, name="bay"),))
    assert [fault.item for fault in sound_suite.faults(drawn)] == ["bay"]


def test_a_bare_panel_under_dark_coats_is_told_though_all_else_is_painted():
    coats = (WallCoating(coat=SHELF.wall_coats["black paint"], count=3),)
    bare = SHELF.finishes["bare white styrene"]
    box = box_of(polygon(L_SHAPE), led("W", 20, 20), faces=[("panel", bare)], coats=coats)
    (finding,) = darkened_inside(drawn_of(box))
    assert "the panel in box 'box'" in finding.message
    assert [(edit.key, edit.value) for edit in finding.mend] == [("faces panel", WHITE.name)]
    painted = box_of(polygon(L_SHAPE), faces=[("panel", WHITE)], coats=coats, finish=bare)
    assert not list(darkened_inside(drawn_of(painted)))


def test_paint_it_white_takes_every_darker_face_and_no_brighter_one():
    bright = SHELF.finishes["bright white emulsion"]
    own = baffle((10, 32), (20, 32), height_mm=8.0, finish=BLACK)
    box = box_of(polygon(L_SHAPE), faces=[("back", BLACK), ("wall 3", bright)], baffles=(own,))
    assert is_darker(box, than=WHITE)
    changed = brightened(box, finish=WHITE)
    assert dict(finished_faces(changed)) == {
        **dict.fromkeys(("back", "panel", "baffle middle"), WHITE),
        **{f"wall {number}": bright if number == 3 else WHITE for number in range(1, 7)},
    }
    assert painted_words(box, finish=WHITE) == "paint back and baffle middle 'matt white paint'"
    assert not is_darker(changed, than=WHITE)
