"""Synthetic photographs of known luminance, read back: errors, faults found, refusals."""

import sys
from pathlib import Path

import numpy as np
import pytest

from lamphouse.record import replace

sys.path.insert(0, str(Path(__file__).parent))
from lit_photographs import Camera, corners, longer, photograph

from lamphouse.drawings import marker_card
from lamphouse.findings import RULES
from lamphouse.plan import make
from lamphouse.project.read import read_project
from lamphouse.shapes.measure import bounds_mm
from lamphouse.trace import lit_rules
from lamphouse.trace.frame_card import from_card
from lamphouse.trace.linear_light import lit_picture
from lamphouse.trace.lit_against import ACROSS, UP
from lamphouse.trace.panel_in_photo import by_card, by_corners
from lamphouse.trace.photographed import photographed
from lamphouse.trace.picture_file import load
from lamphouse.trace.refused import TraceError
from tolerances import BENCH

SALTMARSH = Path(__file__).parents[2] / "src/lamphouse/project/scenarios/saltmarsh/mended.yaml"
SUB, PANEL = "instrument wall", "wall"
TIDE = "tide board"
WHITE = 120.0


@pytest.fixture(scope="module")
def plan():
    return make.plan(read_project(SALTMARSH).design)


@pytest.fixture(scope="module")
def panel(plan):
    (sub,) = (one for one in plan.design.sub_assemblies if one.name == SUB)
    return next(one for one in sub.panels if one.name == PANEL)


@pytest.fixture(scope="module")
def bounds(panel):
    return bounds_mm(panel.outline.corners)


@pytest.fixture(scope="module")
def wall(plan, panel, bounds):
    return plan, panel, bounds


@pytest.fixture(scope="module")
def frames(panel):
    """Give the frame of every lit opening."""
    lit = {"plotting display", TIDE}
    return {one.name: bounds_mm(one.outline.corners) for one in panel.openings if one.name in lit}


def waves(frames, *, level=1.0):
    """Give a luminance of our own making: waves in every opening, nothing beside them."""

    def luminance(spots):
        x, y = spots.T
        total = np.zeros(len(spots))
        for number, (left, bottom, right, top) in enumerate(frames.values()):
            inside = (x >= left) & (x <= right) & (y >= bottom) & (y <= top)
            if number == 0:  # the round one
                middle = (left + right) / 2.0, (bottom + top) / 2.0
                inside = np.hypot(x - middle[0], y - middle[1]) <= (right - left) / 2.0
            across, up = (x - left) / (right - left), (y - bottom) / (top - bottom)
            wave = 1.0 + 0.25 * np.cos(2.0 * np.pi * across) - 0.15 * np.cos(2.0 * np.pi * up)
            total += np.where(inside, level * (40.0 + 20.0 * number) * wave, 0.0)
        return total

    return luminance


def true_evenness(luminance, frame):
    """Average the known luminance of a rectangle over 8 x 6 cells, finely."""
    left, bottom, right, top = frame
    fine = 20
    x = left + (np.arange(ACROSS * fine) + 0.5) / (ACROSS * fine) * (right - left)
    y = bottom + (np.arange(UP * fine) + 0.5) / (UP * fine) * (top - bottom)
    values = luminance(np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2))
    cells = values.reshape(UP, fine, ACROSS, fine).mean(axis=(1, 3))
    return cells.min() / cells.mean(), cells.max() / cells.mean()


def taken(plan, panel, bounds, *, luminance, cameras, white=WHITE, unlit=None, spots=None):
    pictures = [
        lit_picture(photograph(luminance, bounds=bounds, camera=one, white=white), name=f"{n}.png")
        for n, one in enumerate(cameras)
    ]
    off = None
    if unlit is not None:
        dark = photograph(unlit, bounds=bounds, camera=replace(cameras[0], seed=9), white=white)
        off = lit_picture(dark, name="unlit.png")
    return photographed(
        plan,
        sub_assembly=SUB,
        panel=panel,
        pictures=pictures,
        spots=corners(cameras[0], bounds) if spots is None else spots,
        unlit=off,
    )


def opening(seen, name=TIDE):
    return next(one for one in seen.against.openings if one.opening == name)


def codes(seen):
    return [one.code for one in seen.findings]


@pytest.mark.parametrize(
    ("camera", "most"),
    [
        (Camera(noise=False, blur_pixels=0.0), 0.01),
        (Camera(), 0.01),
        (Camera(tilt_deg=(12.0, -10.0), turn_deg=8.0), 0.01),
        (Camera(jpeg=85), 0.01),
        (Camera(bend=-0.03), 0.01),
        (Camera(scatter=0.02), 0.01),
        (Camera(vignetting=0.5, share=0.5), 0.02),
        (Camera(columns=480, rows=360), 0.1),
    ],
    ids=["ideal", "usual", "tilted", "jpeg", "lens", "scatter", "dark rim", "coarse"],
)
def test_evenness_of_known_luminance_comes_back(wall, frames, camera, most):
    """The rim that is not read takes a little off the unevenness; the bar knows of it."""
    luminance = waves(frames)
    seen = opening(taken(*wall, luminance=luminance, cameras=[camera]))
    evenness, hot = true_evenness(luminance, frames[TIDE])
    assert seen.evenness == pytest.approx(evenness, abs=most)
    assert seen.hot_spot == pytest.approx(hot, abs=most)
    assert abs(seen.evenness - evenness) <= seen.evenness_bar


def test_the_ratio_between_openings_is_that_of_their_light(plan, panel, bounds, frames):
    """Twice the light behind one opening alone: the ratio doubles whatever the plan says."""
    once = taken(plan, panel, bounds, luminance=waves(frames), cameras=[Camera()])

    def brighter(spots):
        return waves(frames)(spots) * np.where(spots[:, 0] > 85.0, 2.0, 1.0)

    twice = taken(plan, panel, bounds, luminance=brighter, cameras=[Camera()], white=2.0 * WHITE)
    before, after = (
        opening(one).beside_others / opening(one, "plotting display").beside_others
        for one in (once, twice)
    )
    assert after / before == pytest.approx(2.0, rel=BENCH)


def test_two_exposures_hold_what_one_loses_and_check_the_curve(plan, panel, bounds, frames):
    luminance = waves(frames)
    camera = Camera(exposure=2.5)
    one = taken(plan, panel, bounds, luminance=luminance, cameras=[camera])
    assert opening(one).evenness is None
    assert "PHO002" in codes(one)
    both = taken(plan, panel, bounds, luminance=luminance, cameras=[camera, longer(camera, 0.25)])
    assert opening(both).evenness == pytest.approx(
        true_evenness(luminance, frames[TIDE])[0], abs=0.01
    )
    assert "exposures of 1 : 0.25, as the files tell" in both.exposure_words
    (left,) = (each for each in both.findings if each.code == "PHO005")
    assert "nothing checked" not in left.message


def test_a_camera_that_moved_between_two_exposures_is_refused(plan, panel, bounds, frames):
    cameras = [Camera(), Camera(exposure=0.5, turn_deg=2.6, tilt_deg=(4.6, -3.4))]
    with pytest.raises(TraceError, match="the camera moved by"):
        taken(plan, panel, bounds, luminance=waves(frames), cameras=cameras)


def test_a_dark_corner_counts_as_dark(plan, panel, bounds, frames):
    """What is next to black in the picture is still read, and not left out as unknown."""

    def fading(spots):
        x = spots[:, 0]
        return waves(frames)(spots) * np.clip((x - 85.0) / 40.0, 0.0, 1.0) ** 3

    seen = opening(taken(plan, panel, bounds, luminance=fading, cameras=[Camera()]))
    assert seen.evenness < 0.02
    assert seen.read > 0.8


def test_exposures_that_no_file_tells_are_found_in_the_pictures(plan, panel, bounds, frames):
    luminance = waves(frames)
    pictures = [
        lit_picture(photograph(luminance, bounds=bounds, camera=one, white=WHITE), name="a")
        for one in (Camera(), Camera(exposure=0.37, seed=5))
    ]
    bare = [replace(one, header=replace(one.header, exposure_s=None)) for one in pictures]
    seen = photographed(
        plan, sub_assembly=SUB, panel=panel, pictures=bare, spots=corners(Camera(), bounds)
    )
    ratio = float(seen.exposure_words.split(" : ")[1].split(",")[0])
    assert ratio == pytest.approx(0.37, rel=BENCH)


def test_a_camera_with_a_curve_of_its_own_is_told(plan, panel, bounds, frames):
    cameras = [Camera(exposure=0.4, curve=0.75), Camera(exposure=0.9, curve=0.75, seed=4)]
    assert "PHO004" in codes(taken(plan, panel, bounds, luminance=waves(frames), cameras=cameras))
    honest = [replace(one, curve=1.0) for one in cameras]
    assert "PHO004" not in codes(
        taken(plan, panel, bounds, luminance=waves(frames), cameras=honest)
    )


def test_the_light_of_the_room_is_taken_off(plan, panel, bounds, frames):
    def room(spots):
        return 8.0 + 0.05 * spots[:, 0]

    def both(spots):
        return waves(frames)(spots) + room(spots)

    truth = true_evenness(waves(frames), frames[TIDE])[0]
    washed = opening(taken(plan, panel, bounds, luminance=both, cameras=[Camera()]))
    mended = opening(taken(plan, panel, bounds, luminance=both, cameras=[Camera()], unlit=room))
    assert abs(washed.evenness - truth) > 0.03
    assert mended.evenness == pytest.approx(truth, abs=0.015)


def predicted(plan, *, extra=None):
    """Give the plan's own luminance as if it were true, with what was built otherwise."""
    from scipy import ndimage

    from lamphouse.plan.pictured import pictured

    pictures = [
        picture
        for glow in plan.glows
        if (glow.sub_assembly, glow.panel) == (SUB, PANEL)
        for picture in pictured(glow).pictures
    ]

    def luminance(spots):
        total = np.zeros(len(spots))
        for one in pictures:
            at = [
                (spots[:, 1] - one.bottom_mm) / one.pixel_mm - 0.5,
                (spots[:, 0] - one.left_mm) / one.pixel_mm - 0.5,
            ]
            shown = ndimage.map_coordinates(one.shown.astype(float), at, order=0)
            glow = ndimage.map_coordinates(one.luminance_cd_m2, at, order=1, mode="nearest")
            total += np.where(shown > 0.5, glow, 0.0)
        return total + (extra(spots) if extra else 0.0)

    return luminance


def blob(x, y, *, peak, wide):
    return lambda spots: (
        peak * np.exp(-((spots[:, 0] - x) ** 2 + (spots[:, 1] - y) ** 2) / 2.0 / wide**2)
    )


def test_a_model_that_is_as_predicted_has_nothing_to_tell(plan, panel, bounds):
    seen = taken(plan, panel, bounds, luminance=predicted(plan), cameras=[Camera()], white=250.0)
    assert codes(seen) == ["PHO005"]
    assert seen.against.leaks == ()
    for one in seen.against.openings:
        assert one.evenness == pytest.approx(one.predicted_evenness, abs=0.01)
        assert one.beside_others == pytest.approx(1.0, abs=BENCH)


def test_a_hot_spot_and_a_leak_are_found_where_they_are(plan, panel, bounds):
    spot, leak = blob(52.0, 66.0, peak=30.0, wide=1.2), blob(130.0, 20.0, peak=6.0, wide=3.0)

    def extra(spots):
        return spot(spots) + leak(spots)

    seen = taken(
        plan,
        panel,
        bounds,
        luminance=predicted(plan, extra=extra),
        cameras=[Camera(jpeg=92, scatter=0.01)],
        white=250.0,
    )
    (found,) = opening(seen, "plotting display").spots
    assert (found.x_mm, found.y_mm) == pytest.approx((52.0, 66.0), abs=0.4)
    assert 1.3 < found.ratio < 1.9
    assert opening(seen).spots == ()
    (light,) = seen.against.leaks
    assert (light.x_mm, light.y_mm) == pytest.approx((130.0, 20.0), abs=1.0)
    assert codes(seen).count("PHO006") == 2


def test_a_shadow_is_found_too(plan, panel, bounds):
    def shaded(spots):
        return predicted(plan)(spots) * (1.0 - blob(115.0, 64.0, peak=0.6, wide=1.5)(spots))

    seen = taken(plan, panel, bounds, luminance=shaded, cameras=[Camera()], white=250.0)
    (found,) = opening(seen).spots
    assert found.ratio < 0.75
    assert (found.x_mm, found.y_mm) == pytest.approx((115.0, 64.0), abs=0.4)


def test_the_frame_card_takes_off_what_the_lens_bends(plan, panel, bounds, frames):
    left, bottom, right, top = bounds
    middle = (left + right) / 2.0, (bottom + top) / 2.0
    wide, high = marker_card.HEIGHT_MM, marker_card.WIDTH_MM  # the card lies on its side
    around = (
        middle[0] - wide / 2.0, middle[1] - high / 2.0,
        middle[0] + wide / 2.0, middle[1] + high / 2.0,
    )  # fmt: skip
    black = np.array(marker_card.modules())
    pitch = marker_card.SQUARE_MM / marker_card.MODULES

    def card(spots):
        x = marker_card.WIDTH_MM / 2.0 + (spots[:, 1] - middle[1])
        y = marker_card.HEIGHT_MM / 2.0 - (spots[:, 0] - middle[0])
        row, column = (np.floor(one / pitch).astype(int) for one in (y, x))
        on = (row >= 0) & (row < len(black)) & (column >= 0) & (column < len(black[0]))
        ink = black[np.clip(row, 0, len(black) - 1), np.clip(column, 0, len(black[0]) - 1)]
        return np.where(on & ink, 5.0, 90.0)

    camera = Camera(bend=-0.04, share=0.85, columns=1400, rows=1120)
    luminance = waves(frames)
    lit = lit_picture(
        photograph(luminance, bounds=around, camera=camera, white=WHITE), name="lit.png"
    )
    drawn = load(photograph(card, bounds=around, camera=camera, white=WHITE), name="card.png")
    scale = from_card(drawn, printed_mm=(marker_card.WIDTH_MM, marker_card.HEIGHT_MM)).scale
    size = (around[2] - around[0], around[3] - around[1])
    true = np.array(((left, bottom), (right, bottom), (right, top), (left, top)))
    spots = camera.to_pixels(true, size=size, middle=np.array(middle))
    seen = photographed(
        plan, sub_assembly=SUB, panel=panel, pictures=[lit], spots=spots, scale=scale
    )
    assert opening(seen).evenness == pytest.approx(
        true_evenness(luminance, frames[TIDE])[0], abs=0.01
    )
    inner = np.array([(x, y) for x in (20.0, 80.0, 140.0) for y in (0.0, 55.0, 110.0)])
    where = camera.to_pixels(inner, size=size, middle=np.array(middle))
    views = (
        by_card(spots, scale=scale, bounds=bounds, shape=lit.light.shape),
        by_corners(spots, bounds=bounds, shape=lit.light.shape),
    )
    off = [float(np.hypot(*(view.to_pixels(inner) - where).T).max()) for view in views]
    assert off[0] < 1.0
    assert off[1] > 3.0
    with pytest.raises(TraceError, match="from those of a panel"):
        photographed(
            plan, sub_assembly=SUB, panel=panel, pictures=[lit], spots=spots * 0.9, scale=scale
        )


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda spots: spots[[1, 0, 3, 2]], "wrong way round"),
        (lambda spots: spots[[0, 2, 1, 3]], "sides cross"),
        (lambda spots: spots + 1e6, "outside the photograph"),
        (lambda spots: spots * np.nan, "outside the photograph"),
        (lambda spots: spots[0] + (spots - spots[0]) * 0.01, "pixels apart"),
    ],
)
def test_corners_that_cannot_be_are_refused(wall, frames, change, told):
    _, _, bounds = wall
    with pytest.raises(TraceError, match=told):
        taken(
            *wall,
            luminance=waves(frames),
            cameras=[Camera(columns=400, rows=300)],
            spots=change(corners(Camera(columns=400, rows=300), bounds)),
        )


def test_a_dark_photograph_is_told(plan, panel, bounds, frames):
    cameras = [Camera(exposure=0.004)]
    seen = taken(plan, panel, bounds, luminance=waves(frames), cameras=cameras)
    assert "PHO003" in codes(seen)


def test_an_opening_that_is_out_is_told_and_leaves_the_others_alone(plan, panel, bounds):
    def one_out(spots):
        return predicted(plan)(spots) * np.where(spots[:, 0] > 85.0, 0.0, 1.0)

    seen = taken(plan, panel, bounds, luminance=one_out, cameras=[Camera()])
    dark, lit = opening(seen), opening(seen, "plotting display")
    assert dark.beside_others == pytest.approx(0.0, abs=0.01)
    assert lit.beside_others == pytest.approx(1.0, abs=BENCH)
    assert dark.evenness is None
    assert "PHO006" in codes(seen)

    def unlit(spots):
        return np.zeros(len(spots))

    nothing = taken(
        plan, panel, bounds, luminance=lambda spots: 0.0 * spots[:, 0], cameras=[Camera()]
    )
    assert opening(nothing).evenness is None
    assert nothing.against.leaks == ()


def test_a_bent_or_unlit_panel_is_refused(plan, panel, bounds, frames):
    lit = lit_picture(
        photograph(waves(frames), bounds=bounds, camera=Camera(), white=WHITE), name="a"
    )
    with pytest.raises(TraceError, match="no opening with a glow"):
        photographed(
            plan,
            sub_assembly="console",
            panel=panel,
            pictures=[lit],
            spots=corners(Camera(), bounds),
        )


def test_every_code_of_photographs_is_tripped_here():
    text = Path(__file__).read_text(encoding="utf-8") + "PHO001"
    assert lit_rules
    assert {code for code in RULES if code.startswith("PHO") and code not in text} == set()
