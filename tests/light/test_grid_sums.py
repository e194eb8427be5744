from itertools import pairwise, product

import numpy as np
import pytest

from lamphouse.light.edge_integrals import contour, face_sums, level_sums, plan_faces
from lamphouse.light.grid_sums import grid_faces
from lamphouse.light.turning import LEVEL
from tolerances import EXACT

GAPS = (0.0, 2.0, 5.0)


def rectangles(across, up):
    return np.array(
        [
            [(left, bottom), (right, bottom), (right, top), (left, top)]
            for (bottom, top), (left, right) in product(pairwise(up), pairwise(across))
        ]
    )


def edge_by_edge(one, other):
    """The sums without a grid, which test_edge_integrals.py holds against published factors."""
    contours = []
    for corner in (one, other):
        sides = 1 if corner.shape[1] == 2 else corner.shape[1]
        contours.append(
            contour(
                corner[:, :sides].reshape(-1, 2),
                end_mm=np.roll(corner, -1, axis=1)[:, :sides].reshape(-1, 2),
                face=np.repeat(np.arange(len(corner)), sides),
                count=len(corner),
            )
        )
    return level_sums(contours[0], other=contours[1], gaps_mm=GAPS)


EVEN = rectangles(np.linspace(0.0, 12.0, 7), np.linspace(0.0, 9.0, 5))
UNEVEN = rectangles([0.0, 1.0, 2.5, 2.9, 7.0], [0.0, 0.3, 4.0, 9.0])
FEET = np.array(
    [
        [(0.0, 0.0), (2.0, 0.0)],
        [(2.0, 0.0), (5.0, 0.0)],
        [(5.0, 0.0), (5.0, 3.0)],
        [(4.0, 9.0), (1.0, 9.0)],
        [(0.0, 6.0), (0.0, 2.0)],
        [(7.0, 7.0), (9.0, 8.0)],
    ]
)
TRIANGLE = np.array([[(3.0, 3.0), (4.0, 3.0), (4.0, 4.0), (4.0, 4.0)]])


@pytest.mark.parametrize("one", [EVEN, UNEVEN, FEET], ids=["even", "uneven", "feet"])
@pytest.mark.parametrize(
    "other",
    [EVEN, UNEVEN, FEET, np.concatenate([UNEVEN, TRIANGLE])],
    ids=["even", "uneven", "feet", "cut"],
)
def test_a_grid_changes_no_sum(one, other):
    mine, theirs = plan_faces(one, way=LEVEL), plan_faces(other, way=LEVEL)
    found = face_sums(mine, other=theirs, gaps_mm=GAPS)
    assert found == pytest.approx(edge_by_edge(one, other), abs=EXACT)


def test_a_grid_holds_rectangles_and_straight_feet_alone():
    groups, odd = grid_faces(np.concatenate([EVEN, TRIANGLE]))
    assert [group.along for group in groups] == [None]
    assert odd.tolist() == [len(EVEN)]
    groups, odd = grid_faces(FEET)
    assert [(group.along, group.way.tolist()) for group in groups] == [
        (0, [1.0, 1.0, -1.0]),
        (1, [1.0, -1.0]),
    ]
    assert odd.tolist() == [5]


def test_an_l_is_no_rectangle():
    corner = np.array([[(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)]], float)
    groups, odd = grid_faces(corner)
    assert not groups
    assert odd.tolist() == [0]
