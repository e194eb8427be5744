"""A camera over a flat card: where it stands, how far it bends lines, and what that costs.

The model is a pinhole with square pixels and one radial term, ``r' = r (1 + k r^2)``. One picture
of a flat card hardly fixes focal length and middle of the lens; so both are held near what is
likely, and what they leave open goes into the stated uncertainty. Several pictures by one camera,
tilted one against another, fix them: they are fitted together [ZHANG]. A part's face stands above
the card by its thickness, nearer to the camera: rays are met at that height.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace.scales import Places

PHONE_FOCAL_MM = 27.0
"""Focal length of a phone's main camera, as on 35 mm film; common practice, no source."""
_FILM_DIAGONAL_MM = 43.267
"""Of a frame of 24 x 36 mm."""
PIXEL_SIGMA = 0.1
"""How exactly a crossing is found. [pixel]."""
_UNKNOWN_SPREAD, _TOLD_SPREAD = 0.3, 0.05
"""Relative spread of the focal length when the picture does not tell it, and when it does."""
_FARTHEST_ZOOM = 8.0
"""The focal length is looked for from the likely one over this up to it times this."""
_MIDDLE_SPREAD = 0.01
"""Of the lens's middle from the picture's, over the picture's diagonal."""
_BEND_SPREAD, _OWN_BEND_SPREAD = 0.3, 0.03
"""Of the radial term, where many places tell it, and where the four corners of a sheet or card do
not: there a phone is trusted to have straightened its pictures; common practice, no source."""
_TELLING_PLACES = 12
_FREE_ON_SIDE = 6.0
"""Places along a side of a sheet are worth so many."""
_LENS = 4
"""Values all views share: focal length, middle of the lens (2), radial term."""
_MOST_BEND_STEPS = 12


class Camera(Record):
    """A picture taken by a camera over a card; a way of scaling as in ``scales``."""

    words: str
    share: float
    offset_mm: float
    pixel_mm: float
    values: tuple[float, ...]
    """Focal length and middle in pixels, radial term, turn (3) and place (3) of the card."""
    height_mm: float
    """Of the part's face above the card."""
    base_mm: float = 0.0
    """Of what the part lies on above the card's face; below 0 when the card lies beside it."""
    reach_mm: float = 0.0
    """Size of the card the camera was fitted to; ``offset_mm`` is meant over this length."""

    @property
    def eye_mm(self) -> NDArray[np.float64]:
        """Give where the camera stands: x, y and height above the card."""
        values = np.array(self.values)
        return np.asarray(-values[7:10] @ _turn(values[4:7]))

    def to_mm(self, places: Places) -> Places:
        """Map pixels to mm on the part's face."""
        return _to_plane(np.array(self.values), places, self.height_mm)

    def to_pixels(self, places: Places) -> Places:
        """Map mm on the part's face to pixels."""
        return _project(np.array(self.values), places, self.height_mm)

    def foot(self, places: Places) -> Places:
        """Tell where the foot of a wall stands, seen from its upper edge. [pixel]."""
        values = np.array(self.values)
        on_face = _to_plane(values, places, self.height_mm)
        return _project(values, on_face, self.base_mm) - places

    def to_ground_mm(self, places: Places) -> Places:
        """Map pixels to mm on what the part lies on."""
        return _to_plane(np.array(self.values), places, self.base_mm)


class View(Record):
    """Places on the card as one picture shows them."""

    spots: Places
    """(n, 2) in pixels."""
    plane: Places
    """(n, 2) on the card in mm, y up."""
    sigma_pixels: float = PIXEL_SIGMA
    """How exactly the places are found."""
    sides: tuple[Places, ...] = ()
    """Places along straight sides, each side from one of ``plane`` to the next and round again:
    whatever bends all sides alike is the lens."""
    reach: float = 1.0
    """How far the part may lie from the middle of the places, over how far they lie themselves."""


def usual_focal(size: tuple[int, int], focal_35_mm: float | None) -> float:
    """Give the focal length a picture was likely taken with. [pixel]."""
    return (focal_35_mm or PHONE_FOCAL_MM) / _FILM_DIAGONAL_MM * float(np.hypot(*size))


def fit_camera(
    spots: Places,
    plane: Places,
    *,
    size: tuple[int, int],
    focal_35_mm: float | None,
    height_mm: float,
    share: float,
    words: str,
) -> tuple[Camera, NDArray[np.float64]]:
    """Fit a camera to places on the card in one picture; see :func:`fit_cameras`."""
    (one,) = fit_cameras(
        (View(spots=spots, plane=plane),),
        size=size,
        focal_35_mm=focal_35_mm,
        height_mm=height_mm,
        share=share,
        words=words,
    )
    return one


def fit_cameras(
    views: Sequence[View],
    *,
    size: tuple[int, int],
    focal_35_mm: float | None,
    height_mm: float,
    base_mm: float = 0.0,
    share: float,
    words: str,
) -> list[tuple[Camera, NDArray[np.float64]]]:
    """Fit one lens and a place of the camera for every picture.

    Parameters
    ----------
    views
        Places on the card in every picture.
    size
        Columns and rows of every picture.
    focal_35_mm
        Focal length as on 35 mm film, when the pictures tell it.
    height_mm
        Of the part's face above the card's.
    base_mm
        Of what the part lies on above the card's face.
    share
        Relative uncertainty of the card's own lengths.
    words
        Where the scale comes from.

    Returns
    -------
    list of Camera and array
        For every view the camera, and (n, 2) how far the places lie from where they should. [mm].
    """
    from scipy.optimize import least_squares

    diagonal = float(np.hypot(*size))
    focal = usual_focal(size, focal_35_mm)
    spread = _TOLD_SPREAD if focal_35_mm else _UNKNOWN_SPREAD
    middle = (np.array(size) - 1.0) / 2.0
    bend = _BEND_SPREAD if len(views[0].spots) >= _TELLING_PLACES else _OWN_BEND_SPREAD
    poses = [_first_pose(view, focal=focal, middle=middle) for view in views]
    first = np.concatenate(((focal, *middle, 0.0), *poses))

    def misfit(values: NDArray[np.float64]) -> NDArray[np.float64]:
        off = [
            (_project(_of_view(values, number), view.plane, 0.0) - view.spots).ravel()
            / view.sigma_pixels
            for number, view in enumerate(views)
        ]
        likely = (
            np.log(max(values[0], 1.0) / focal) / spread,
            *((values[1:3] - middle) / (_MIDDLE_SPREAD * diagonal)),
            values[3] / bend,
        )
        straight = [_off_sides(_of_view(values, number), view) for number, view in enumerate(views)]
        return np.concatenate((*off, *straight, likely))

    steps = [np.array((focal, *middle, 0.1))]
    steps += [np.array((1.0, 1.0, 1.0, *([max(abs(pose[5]), 1.0)] * 3))) for pose in poses]
    # seen from straight above the focal length is free: a long step must not lose it
    low, high = (np.full(len(first), end) for end in (-np.inf, np.inf))
    low[0], high[0] = focal / _FARTHEST_ZOOM, focal * _FARTHEST_ZOOM
    found = least_squares(
        misfit, first, bounds=(low, high), x_scale=np.concatenate(steps), max_nfev=200
    )
    covered = np.linalg.pinv(found.jac.T @ found.jac) * max(1.0, _rough(found.fun, len(found.x)))
    fitted = []
    for number, view in enumerate(views):
        values = _of_view(found.x, number)
        rows = [*range(_LENS), *range(_LENS + 6 * number, _LENS + 6 * number + 6)]
        camera = Camera(
            words=words,
            share=share,
            offset_mm=_open(covered[np.ix_(rows, rows)], values, height_mm, _beyond(view)),
            pixel_mm=_pixel_mm(values, view.plane, height_mm),
            values=tuple(float(value) for value in values),
            height_mm=height_mm,
            base_mm=base_mm,
            reach_mm=view.reach * float(np.hypot(*np.ptp(view.plane, axis=0))),
        )
        fitted.append((camera, _to_plane(values, view.spots, 0.0) - view.plane))
    return fitted


def proportions(
    corners: Places, *, size: tuple[int, int], focal_35_mm: float | None, sigma_pixels: float
) -> tuple[float, float]:
    """Find how much longer a rectangle is one way than the other, from its four corners.

    Lens and place of the camera are held near what is likely, as when a card is fitted.

    Parameters
    ----------
    corners
        (4, 2) in pixels, one after another round the rectangle.
    size
        Columns and rows of the picture.
    focal_35_mm
        Focal length as on 35 mm film, when the picture tells it.
    sigma_pixels
        How exactly the corners are found.

    Returns
    -------
    float, float
        Natural logarithm of the side from the second corner to the third over that from the first
        to the second, and its standard deviation.
    """
    from scipy.optimize import least_squares

    focal = usual_focal(size, focal_35_mm)
    spread = _TOLD_SPREAD if focal_35_mm else _UNKNOWN_SPREAD
    middle = (np.array(size) - 1.0) / 2.0
    loose = _MIDDLE_SPREAD * float(np.hypot(*size))
    unit = np.array(((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)))
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    ratio = float(np.log((sides[1] + sides[3]) / (sides[0] + sides[2])))

    def plane(ratio: float) -> Places:
        return np.asarray(unit * (np.exp(-ratio / 2.0), np.exp(ratio / 2.0)))

    def misfit(values: NDArray[np.float64]) -> NDArray[np.float64]:
        lens = (focal * np.exp(values[0]), *(middle + loose * values[1:3]))
        camera = np.array((*lens, values[3], *values[4:10]))
        off = _project(camera, plane(values[10]), 0.0) - corners
        likely = (values[0] / spread, *values[1:3], values[3] / _OWN_BEND_SPREAD)
        return np.concatenate((off.ravel() / sigma_pixels, likely))

    best = None
    for first in _both_poses(View(spots=corners, plane=plane(ratio)), focal=focal, middle=middle):
        start = np.concatenate((np.zeros(4), first, (ratio,)))
        found = least_squares(misfit, start, x_scale="jac", max_nfev=200)
        if best is None or found.cost < best.cost:
            best = found
    if best is None:
        return ratio, np.inf
    covered = np.linalg.pinv(best.jac.T @ best.jac)
    return float(best.x[10]), float(np.sqrt(covered[10, 10]))


def _off_sides(values: NDArray[np.float64], view: View) -> NDArray[np.float64]:
    """Give how far the places along sides lie from them, weighed as few for they err together."""
    found = [np.zeros(0)]
    for number, spots in enumerate(view.sides):
        begin, end = view.plane[number], view.plane[(number + 1) % len(view.plane)]
        way = (end - begin) / np.hypot(*(end - begin))
        gap = _to_plane(values, spots, 0.0) - begin
        pixel_mm = np.hypot(*(end - begin)) / np.hypot(
            *(view.spots[(number + 1) % len(view.plane)] - view.spots[number])
        )
        off = (way[0] * gap[:, 1] - way[1] * gap[:, 0]) / pixel_mm
        found.append(off / view.sigma_pixels * (_FREE_ON_SIDE / len(spots)) ** 0.5)
    return np.concatenate(found)


def _of_view(values: NDArray[np.float64], number: int) -> NDArray[np.float64]:
    """Give the lens and the place of the camera in one view."""
    pose = _LENS + 6 * number
    return np.concatenate((values[:_LENS], values[pose : pose + 6]))


def _beyond(view: View) -> Places:
    """Give places as far out as the part may lie."""
    middle = (view.plane.min(axis=0) + view.plane.max(axis=0)) / 2.0
    return np.asarray(middle + view.reach * (view.plane - middle))


def _rough(off: NDArray[np.float64], unknown: int) -> float:
    """Give how much worse the places fit than was to be expected, as a ratio of squares."""
    return float((off**2).sum()) / max(len(off) - unknown, 1)


def _open(
    spread: NDArray[np.float64], values: NDArray[np.float64], height_mm: float, plane: Places
) -> float:
    """Find how far places on the part's face may be off by what the card leaves open. [2 sigma].

    A shift or turn of the whole face is none: it changes no part.
    """
    low, high = plane.min(axis=0), plane.max(axis=0)
    corners = np.array(((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])))
    at = _project(values, corners, height_mm)
    sizes = np.sqrt(np.maximum(np.diag(spread), 0.0))
    moves = []
    for index, size in enumerate(sizes):
        step = max(0.1 * size, 1e-9)
        moved = values.copy()
        moved[index] += step
        moves.append((_to_plane(moved, at, height_mm) - corners).ravel() / step)
    gain = np.array(moves) @ _unmoved(corners)
    return float(2.0 * np.sqrt(np.maximum(np.diag(gain.T @ spread @ gain), 0.0).max()))


def _unmoved(corners: Places) -> NDArray[np.float64]:
    """Give the matrix that takes shift and turn off small moves of places."""
    arm = corners - corners.mean(axis=0)
    ways = np.stack(
        (
            np.tile((1.0, 0.0), len(arm)),
            np.tile((0.0, 1.0), len(arm)),
            np.stack((-arm[:, 1], arm[:, 0]), axis=1).ravel(),
        ),
        axis=1,
    )
    base, _ = np.linalg.qr(ways)
    return np.asarray(np.eye(2 * len(arm)) - base @ base.T)


def _pixel_mm(values: NDArray[np.float64], plane: Places, height_mm: float) -> float:
    middle = _project(values, plane.mean(axis=0)[None], height_mm)
    around = middle + np.array(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)))
    spots = _to_plane(values, around, height_mm)
    return float(np.hypot(*(spots[1:] - spots[0]).T).max())


def _first_pose(view: View, *, focal: float, middle: NDArray[np.float64]) -> NDArray[np.float64]:
    return _both_poses(view, focal=focal, middle=middle)[0]


def _both_poses(
    view: View, *, focal: float, middle: NDArray[np.float64]
) -> list[NDArray[np.float64]]:
    """Give where the camera may stand, the likelier first; a flat thing leaves two places."""
    import cv2

    lens = np.array(((focal, 0.0, middle[0]), (0.0, focal, middle[1]), (0.0, 0.0, 1.0)))
    solid = np.column_stack((view.plane, np.zeros(len(view.plane))))
    _, turns, places, _ = cv2.solvePnPGeneric(
        solid, view.spots, lens, None, flags=cv2.SOLVEPNP_IPPE
    )
    return [
        np.concatenate((turn.ravel(), place.ravel()))
        for turn, place in zip(turns, places, strict=True)
    ]


def _turn(vector: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give the matrix of a turn by Rodrigues' formula."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array(((0.0, -z, y), (z, 0.0, -x), (-y, x, 0.0)))
    return np.asarray(np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * (cross @ cross))


def _project(values: NDArray[np.float64], plane: Places, height_mm: float) -> Places:
    solid = np.column_stack((plane, np.full(len(plane), height_mm)))
    seen = solid @ _turn(values[4:7]).T + values[7:10]
    flat = seen[:, :2] / seen[:, 2:]
    bent = flat * (1.0 + values[3] * (flat**2).sum(axis=1))[:, None]
    return np.asarray(bent * values[0] + values[1:3])


def _to_plane(values: NDArray[np.float64], spots: Places, height_mm: float) -> Places:
    bent = (spots - values[1:3]) / values[0]
    flat = bent.copy()
    for _ in range(_MOST_BEND_STEPS):
        flat = bent / (1.0 + values[3] * (flat**2).sum(axis=1))[:, None]
    turn, place = _turn(values[4:7]), values[7:10]
    rays = np.column_stack((flat, np.ones(len(flat)))) @ turn
    eye = -place @ turn
    far = (height_mm - eye[2]) / rays[:, 2]
    return np.asarray(eye[:2] + far[:, None] * rays[:, :2])
