"""A small body that leans on a plane: which way it looks, where its parts lie, what it covers.

The plane has its own frame: right, up, and off it towards the side one sees. All places are in mm
from the spot the body is meant for.

A flat body is held by a wedge under it: its lower edge rests on the plane, and the middle of what
it covers with its underside lies over the spot. A round one stands on two legs that come out of the
plane at the spot, bent away from the body as far as ``LEGS_MM``.
"""

from collections.abc import Sequence
from math import cos, radians, sin

from lamphouse.record import Record
from lamphouse.shapes.outline import Corners, Spot, polygon

LEGS_MM = 3.0
"""Straight leg left between the underside of a round body and the bend: nearer to it, bending
cracks the resin round the leg [MEMORY]."""
_AROUND = 32
"""Corners of a circle."""

Point = tuple[float, float, float]


class Tilted(Record):
    """A body that leans on a plane."""

    foot_mm: Point
    """Middle of its underside."""
    along: Point
    """Way of its length, of length 1."""
    across: Point
    """Way of its width, of length 1."""
    axis: Point
    """What was square to the plane before it leaned, of length 1."""
    package_mm: tuple[float, float, float]
    """Length, width and height."""
    is_round: bool
    """A cylinder with half a ball on it."""

    def spot(self, *, along_mm: float = 0.0, across_mm: float = 0.0, off_mm: float = 0.0) -> Point:
        """Place a point of the body, given from the middle of its underside. [mm]."""
        x, y, z = (
            foot + along_mm * a + across_mm * b + off_mm * c
            for foot, a, b, c in zip(self.foot_mm, self.along, self.across, self.axis, strict=True)
        )
        return x, y, z

    @property
    def top_mm(self) -> float:
        """Height of its highest point over the plane."""
        length, width, high = self.package_mm
        if self.is_round:
            radius = _radius(self.package_mm)
            return self.spot(off_mm=high - radius)[2] + radius
        raised = (length * abs(self.along[2]) + width * abs(self.across[2])) / 2.0
        return self.spot(off_mm=high)[2] + raised

    @property
    def bend_mm(self) -> Point:
        """Where the legs of a round one are bent: right over the spot they come out at."""
        legs = LEGS_MM if self.axis[:2] != (0.0, 0.0) else 0.0
        return self.spot(off_mm=-legs)

    def underside(self) -> tuple[Point, ...]:
        """List the corners of its underside, of a round one points around it."""
        length, width, _ = self.package_mm
        if self.is_round:
            radius = _radius(self.package_mm)
            turns = [radians(360.0 * number / _AROUND) for number in range(_AROUND)]
            return tuple(
                self.spot(along_mm=radius * cos(turn), across_mm=radius * sin(turn))
                for turn in turns
            )
        return tuple(
            self.spot(along_mm=a * length / 2.0, across_mm=b * width / 2.0)
            for a, b in ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
        )

    def covers(self) -> Corners:
        """Give the outline of what it covers of the plane, seen from above; a round one's legs too.

        Of a round one as a polygon.
        """
        spots = list(self.seen([(x, y) for x, y, _ in self.corners()], cap_at=self.cap_mm[:2]))
        if self.is_round:
            spots.append((0.0, 0.0))
        return polygon(hull_of(spots))

    @property
    def cap_mm(self) -> Point:
        """Middle of the ball of a round one; of another the middle of its top."""
        high = self.package_mm[2]
        return self.spot(off_mm=high - (_radius(self.package_mm) if self.is_round else 0.0))

    def corners(self) -> tuple[Point, ...]:
        """List its corners, of a round one those of its underside."""
        under = self.underside()
        if self.is_round:
            return under
        rise = [self.package_mm[2] * part for part in self.axis]
        return (*under, *((x + rise[0], y + rise[1], z + rise[2]) for x, y, z in under))

    def seen(self, corners: Sequence[Spot], *, cap_at: Spot) -> tuple[Spot, ...]:
        """Give its outline on a picture, lengths true: the least convex one round all of it.

        Parameters
        ----------
        corners
            Its corners on the picture.
        cap_at
            There the middle of its cap.
        """
        spots = list(corners)
        if self.is_round:
            radius = _radius(self.package_mm)
            turns = [radians(360.0 * number / _AROUND) for number in range(_AROUND)]
            spots += [(cap_at[0] + radius * cos(a), cap_at[1] + radius * sin(a)) for a in turns]
        return tuple(hull_of(spots))


class Wedge(Record):
    """What a flat body leans on: a prism of right-angled triangles."""

    angle_deg: float
    """At its thin edge."""
    slope_mm: float
    """Of the face the body lies on."""
    foot_mm: float
    """Of the face on the plane."""
    high_mm: float
    """Of its thick edge."""
    wide_mm: float
    """Along its edges."""
    towards_deg: float
    """Where its thin edge lies."""

    def corners(self) -> tuple[Point, ...]:
        """List its corners in the plane's frame, from the middle of its foot. [mm]."""
        (ux, uy), half = _way(self.towards_deg), self.foot_mm / 2.0
        return tuple(
            (along * ux - across * uy, along * uy + across * ux, off)
            for across in (-self.wide_mm / 2.0, self.wide_mm / 2.0)
            for along, off in ((-half, 0.0), (half, 0.0), (-half, self.high_mm))
        )


def _radius(package_mm: tuple[float, float, float]) -> float:
    return max(package_mm[:2]) / 2.0


def tilted(
    package_mm: tuple[float, float, float],
    *,
    is_round: bool,
    turn_deg: float,
    tilt_deg: float,
    towards_deg: float,
) -> Tilted:
    """Lean a body on a plane.

    It is turned about the plane's normal by ``turn_deg``, then about a line in the plane so that
    its axis leaves the normal by ``tilt_deg`` towards ``towards_deg``. With ``u`` that way along
    the plane, ``v`` a quarter turn to the left of it and ``n`` the normal, what lay along ``u``
    then lies along ``cos t u - sin t n``, what lay along ``v`` stays, and what lay along ``n`` lies
    along ``cos t n + sin t u``.

    Parameters
    ----------
    package_mm
        Length, width and height; for a round one the larger of the first two is its diameter.
    is_round
        Whether it stands on bent legs, else on a wedge.
    turn_deg, towards_deg
        Anticlockwise from the right.
    tilt_deg
        0 to 90; at 0 it stands on the plane, whatever its shape.
    """
    (ux, uy), sine, cosine = _way(towards_deg), sin(radians(tilt_deg)), cos(radians(tilt_deg))

    def leaned(off_deg: float) -> Point:
        a, b = _way(off_deg)
        return a * cosine * ux - b * uy, a * cosine * uy + b * ux, -a * sine

    along, across = leaned(turn_deg - towards_deg), leaned(turn_deg + 90.0 - towards_deg)
    shift, lift = 0.0, 0.0
    if is_round and tilt_deg:
        shift, lift = LEGS_MM * sine, max(LEGS_MM * cosine, _radius(package_mm) * sine)
    elif tilt_deg:
        length, width, _ = package_mm
        lift = (length * abs(along[2]) + width * abs(across[2])) / 2.0
    return Tilted(
        foot_mm=(shift * ux, shift * uy, lift),
        along=along,
        across=across,
        axis=(sine * ux, sine * uy, cosine),
        package_mm=package_mm,
        is_round=is_round,
    )


def wedge_of(
    package_mm: tuple[float, float, float], *, turn_deg: float, tilt_deg: float, towards_deg: float
) -> Wedge:
    """Give the wedge under a flat body that leans as ``tilted`` says: as large as its underside."""
    length, width, _ = package_mm
    (a, b), tilt = _way(turn_deg - towards_deg), radians(tilt_deg)
    slope = length * abs(a) + width * abs(b)
    return Wedge(
        angle_deg=tilt_deg,
        slope_mm=slope,
        foot_mm=slope * cos(tilt),
        high_mm=slope * sin(tilt),
        wide_mm=length * abs(b) + width * abs(a),
        towards_deg=towards_deg,
    )


def _way(angle_deg: float) -> Spot:
    """Give a unit vector; of whole quarter turns without the noise of the cosine."""
    quarters, rest = divmod(angle_deg, 90.0)
    x, y = cos(radians(rest)), sin(radians(rest))
    return ((x, y), (-y, x), (-x, -y), (y, -x))[int(quarters) % 4]


def hull_of(spots: Sequence[Spot]) -> list[Spot]:
    """Give the corners of the least convex outline round points, anticlockwise."""
    order = sorted(set(spots))
    halves: list[list[Spot]] = []
    for run in (order, order[::-1]):
        half: list[Spot] = []
        for spot in run:
            while len(half) > 1 and _turns_left(half[-2], half[-1], spot) <= 1e-12:
                half.pop()
            half.append(spot)
        halves.append(half[:-1])
    return halves[0] + halves[1]


def _turns_left(start: Spot, over: Spot, end: Spot) -> float:
    return (over[0] - start[0]) * (end[1] - start[1]) - (over[1] - start[1]) * (end[0] - start[0])
