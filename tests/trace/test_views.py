"""Several photographs of one thick part: its walls resolved from several sides.

Synthetic: four tilted views of a plate 3 mm thick on the frame card. From one side alone a wall as
bright as the face shows the foot of the part for its edge, 0.9 mm off.
"""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from part_pictures import Photo, Plate, Spoil, packed
from truth import compared

from lamphouse.drawings import marker_card
from lamphouse.trace import frame_card, merged, part_sight, picture_file, references, traced
from lamphouse.trace.camera import View, fit_cameras
from lamphouse.trace.refused import TraceError

PLATE = Plate(holes=((5.0, 5.0, 3.0), (28.0, 6.0, 3.0), (8.0, 16.0, 6.0)), thickness_mm=3.0)
PRINTED = (marker_card.WIDTH_MM * 1.004, marker_card.HEIGHT_MM * 0.997)
SIDES = ((90.0, 1.2), (270.0, 1.2), (0.0, 1.55))
"""Roll of the camera, and room for the card in the picture."""


def shot_of(roll_deg, fill, **options):
    return Photo(
        plate=PLATE, size=(1800, 1350), tilt_deg=20.0, roll_deg=roll_deg, fill=fill, **options
    )


@pytest.fixture(scope="module")
def pictures():
    spoils = [Spoil(blur_pixels=0.8, wall=0.5, drilled=1.0, seed=n) for n in range(3)]
    return [
        picture_file.load(packed(shot_of(*side, spoil=spoil).pixels(), quality=92), name=f"{n}.jpg")
        for n, (side, spoil) in enumerate(zip(SIDES, spoils, strict=True))
    ]


def sights_of(pictures):
    seen = [frame_card.find_card(picture, printed_mm=PRINTED) for picture in pictures]
    scales = references.scaled(seen, pictures=pictures, thickness_mm=3.0)
    return [
        part_sight.look(picture, scale=one.scale, inside=one.inside, finest_hole_mm=0.9)
        for picture, one in zip(pictures, scales, strict=True)
    ]


def drawn(sights, names=("0.jpg", "1.jpg", "2.jpg")):
    together = merged.merge(sights, names=names[: len(sights)])
    part = traced.drawn(together, finest_hole_mm=0.9)
    return part, compared(part, PLATE)


def test_three_sides_resolve_the_walls_of_a_thick_part(pictures):
    one, alone = drawn(sights_of(pictures[:1]))
    part, found = drawn(sights_of(pictures))
    assert part.views == 3
    assert (found.missed, found.invented) == (0, 0)
    assert found.rms_mm < 0.03 < alone.rms_mm
    assert found.centre_mm < 0.05
    assert part.uncertain_mm < one.uncertain_mm
    assert abs(max(part.size_mm) - PLATE.width_mm) < part.uncertain_mm


def test_a_part_that_was_moved_between_the_pictures_is_told(pictures):
    sights = sights_of(pictures[:2])
    moved = sights[1].outer.points_mm + np.array((0.4, 0.0))
    other = merged.replace(sights[1], outer=merged.replace(sights[1].outer, points_mm=moved))
    part, _ = drawn([sights[0], other])
    told = [one for one in part.findings if one.code == "TRC017"]
    assert {one.where.file for one in told} & {"0.jpg", "1.jpg"}


def test_pictures_of_different_cameras_are_refused(pictures):
    seen = [frame_card.find_card(picture, printed_mm=PRINTED) for picture in pictures[:2]]
    cut = merged.replace(pictures[1], levels=pictures[1].levels[:, :-10])
    with pytest.raises(TraceError, match="1800 x 1350 pixels and another") as told:
        references.scaled(seen, pictures=[pictures[0], cut])
    assert told.value.finding.code == "TRC016"


def test_tilted_views_fix_the_focal_length_that_one_leaves_open():
    """Places projected by the pictures' own camera, with a tenth of a pixel of noise."""
    chance, views, plane = np.random.default_rng(4), [], np.array(list(marker_card.crossings()))
    for roll in (90.0, 180.0, 270.0):
        shot = Photo(tilt_deg=22.0, roll_deg=roll, fill=1.55, focal_35_mm=32.0)
        focal, lens, turn, place = shot.camera()
        seen = np.column_stack((plane, np.zeros(len(plane)))) @ turn.T + place
        flat = seen[:, :2] / seen[:, 2:]
        bent = flat * (1 + shot.bend * (flat**2).sum(axis=1, keepdims=True))
        views.append(
            View(spots=lens + focal * bent + chance.normal(0, 0.1, flat.shape), plane=plane)
        )

    def focal_of(some):
        options = {"focal_35_mm": None, "height_mm": 3.0, "share": 0.0, "words": ""}
        fitted = fit_cameras(some, size=shot.size, **options)
        return fitted[0][0].values[0], fitted[0][0].offset_mm

    one, open_ = focal_of(views[:1])
    three, closed = focal_of(views)
    assert abs(three / focal - 1.0) < 0.008 < abs(one / focal - 1.0)
    assert closed < open_
