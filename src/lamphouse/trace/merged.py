"""Several photographs of one part made one: every edge where the views together put it.

All views know the part on the same reference, so their edges lie on one another but for a small
shift and turn that is taken off. Along the normal of the first view's edge every other view says
how far off it is, weighed by how exactly it can know: a wall that shows makes a view doubtful on
that side, and the view from the other side has no wall there. So two or three tilted views leave
of a thick part's walls nothing, and of chance the less the more they are.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.findings import Finding
from lamphouse.record import replace
from lamphouse.trace import part_hole_rules, scale_rules
from lamphouse.trace.part_sight import SeenEdge, Sight
from lamphouse.trace.refused import finding, of_file

_NEAR_MM = 1.5
"""Edges of two views farther apart than this are not the same."""
_SAME_HOLE_SHARE = 0.5
_LEAST_SAME_HOLE_MM = 0.3
"""Holes of two views are the same when their middles are within the larger of these, the share
being that of the hole."""
_APART_MM = 0.1
_APART_SIGMAS = 4.0
"""A twentieth of an edge may not lie farther from the others by more than this many times what is
allowed for."""
_ROUNDS = 4
_LEAST_LOOSE_MM = 0.01
_SURE = 3.0
"""Only places are registered by whose uncertainty is at most so many times that of the surest."""
_FREE_POINTS = 10.0
"""An edge is worth so many independent points, however many it has."""
_MOST_WIDER = 2.0
"""A hole that another view shows more than this much larger or smaller is another hole."""


def merge(sights: Sequence[Sight], *, names: Sequence[str]) -> Sight:
    """Merge what several pictures of a part tell.

    Parameters
    ----------
    sights
        Of the same part on the same reference; one is given back as it is.
    names
        Of the pictures, for what is told.

    Returns
    -------
    Sight
        On the plane and with the scale of the first.
    """
    first = sights[0]
    if len(sights) == 1:
        return first
    moves = [(np.eye(2), np.zeros(2))] + [_laid(one, first) for one in sights[1:]]
    outers = [_moved(one.outer, move) for one, move in zip(sights, moves, strict=True)]
    outer, rests = _together(outers)
    told = [one for sight in sights for one in sight.findings if one.code not in _SETTLED]
    told += _apart(rests, moves, sights, names)
    holes, unseen = _holes(sights, moves)
    told += unseen
    left = float(2.0 * (np.percentile(outer.sigma_mm, 95.0) - outer.sigma_mm.min()))
    spread = float(np.sqrt(np.mean([rest**2 for rest, _ in rests]) / len(sights)))
    return replace(
        first,
        outer=outer,
        holes=tuple(holes),
        doubt_mm=float(np.hypot(left, 2.0 * spread)),
        pixel_mm=first.pixel_mm / len(sights) ** 0.5,
        views=len(sights),
        findings=tuple(dict.fromkeys(told)),
    )


_SETTLED = frozenset({"TRC029", "TRC030"})
"""Doubts about walls in one picture, which the others settle."""


def _moved(edge: SeenEdge, move: tuple[NDArray[np.float64], NDArray[np.float64]]) -> SeenEdge:
    turn, shift = move
    return replace(edge, points_mm=edge.points_mm @ turn + shift)


def _laid(one: Sight, first: Sight) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Find the small turn and shift that lay one view on the first, by the sure places of both.

    They are held near none, as closely as the reference tells the place of the part: or else walls
    that look like the face would draw one view over the other.
    """
    from scipy.spatial import cKDTree

    rim, outward = first.outer.points_mm, first.outer.outward
    tree = cKDTree(rim)
    turn, shift, turned = np.eye(2), np.zeros(2), 0.0
    start = one.outer.middle_mm
    loose = max(_LEAST_LOOSE_MM, float(np.hypot(one.scale.offset_mm, first.scale.offset_mm)) / 2.0)
    reach = float(np.ptp(rim, axis=0).max()) / 2.0
    for _ in range(_ROUNDS):
        placed = one.outer.points_mm @ turn + shift
        far, near = tree.query(placed)
        use = far < _NEAR_MM
        if use.sum() < 20:
            return np.eye(2), np.zeros(2)
        normal = outward[near[use]]
        off = ((placed[use] - rim[near[use]]) * normal).sum(axis=1)
        middle = start @ turn + shift
        arm = placed[use] - middle
        spin = normal[:, 1] * arm[:, 0] - normal[:, 0] * arm[:, 1]
        sigma = np.hypot(one.outer.sigma_mm[use], first.outer.sigma_mm[near[use]])
        scatter = max(1.4826 * float(np.median(np.abs(off))), 1e-4)
        weight = 1.0 / sigma / np.maximum(1.0, np.abs(off) / (3.0 * scatter))
        weight *= (_FREE_POINTS / len(off)) ** 0.5  # neighbours share their errors
        weight[sigma > _SURE * np.percentile(sigma, 10.0)] = 0.0
        held = np.diag((1.0, 1.0, reach)) / loose
        moved = np.array((*(middle - start), turned))
        terms = np.vstack((np.column_stack((normal, spin)) * weight[:, None], held))
        step = np.linalg.lstsq(terms, -np.append(off * weight, held @ moved), rcond=None)[0]
        cosine, sine = np.cos(step[2]), np.sin(step[2])
        change = np.array(((cosine, sine), (-sine, cosine)))
        turn, shift = turn @ change, (shift - middle) @ change + middle + step[:2]
        turned += step[2]
    return turn, shift


def _together(edges: Sequence[SeenEdge]) -> tuple[SeenEdge, list[tuple[float, bool]]]:
    """Put every point of the first edge where all views want it, weighed.

    Returns
    -------
    SeenEdge, list of float and bool
        The edge, how far each view lies from it where it is sure [mm, rms], and whether much of it
        lies farther off than its uncertainty allows.
    """
    from scipy.spatial import cKDTree

    lead = edges[0]
    points, outward = lead.points_mm, lead.outward
    offs, weights = [np.zeros(len(points))], [lead.sigma_mm**-2.0]
    for edge in edges[1:]:
        far, near = cKDTree(edge.points_mm).query(points)
        off = ((edge.points_mm[near] - points) * outward).sum(axis=1)
        offs.append(off)
        weights.append(np.where(far < _NEAR_MM, edge.sigma_mm[near] ** -2.0, 0.0))
    off, weight = np.array(offs), np.array(weights)
    total = weight.sum(axis=0)
    shift = (off * weight).sum(axis=0) / total
    rest = off - shift
    sure = weight * np.median(lead.sigma_mm) ** 2
    rests = []
    for one, own, worth in zip(rest, weight, sure, strict=True):
        rms = float(np.sqrt((one**2 * worth).sum() / max(worth.sum(), 1e-12)))
        unlikely = float(np.percentile(np.abs(one) * np.sqrt(own), 95.0)) > _APART_SIGMAS
        rests.append((rms, unlikely))
    merged = replace(
        lead, points_mm=points + shift[:, None] * outward, sigma_mm=1.0 / np.sqrt(total)
    )
    return merged, rests


def _apart(
    rests: Sequence[tuple[float, bool]],
    moves: Sequence[tuple[NDArray[np.float64], NDArray[np.float64]]],
    sights: Sequence[Sight],
    names: Sequence[str],
) -> list[Finding]:
    """Tell of views that lie farther from the merged outline than chance allows."""
    told = []
    for (rest, unlikely), (turn, shift), sight, name in zip(
        rests, moves, sights, names, strict=True
    ):
        middle = sight.outer.middle_mm
        moved = float(np.hypot(*(middle @ turn + shift - middle)))
        allowed = max(_APART_MM, 3.0 * float(np.median(sight.outer.sigma_mm)))
        if rest > allowed or unlikely or moved > max(_APART_MM, 1.5 * sight.scale.offset_mm):
            what = (
                f"this view lies {rest:.2f} mm (rms) from the outline of all views together, after "
                f"a shift of {moved:.2f} mm; {allowed:.2f} mm was to be expected"
            )
            remedy = "leave the part where it is between the pictures, or leave this picture out"
            told.append(of_file(finding(scale_rules.views_apart, what, remedy=remedy), name))
    return told


def _holes(
    sights: Sequence[Sight], moves: Sequence[tuple[NDArray[np.float64], NDArray[np.float64]]]
) -> tuple[list[SeenEdge], list[Finding]]:
    """Bring the holes of all views together."""
    groups: list[list[SeenEdge]] = []
    for sight, move in zip(sights, moves, strict=True):
        for hole in sight.holes:
            seen = _moved(hole, move)
            group = next((one for one in groups if _is_same(one[0], seen)), None)
            if group is None:
                groups.append([seen])
            else:
                group.append(seen)
    found, told = [], []
    for group in groups:
        group.sort(key=lambda one: not one.shows_ground)
        x, y = group[0].middle_mm
        if len(group) < len(sights):
            keeps = len(group) * 2 >= len(sights) or group[0].shows_ground
            what = (
                f"a hole {_across(group[0]):.2f} mm across is seen in {len(group)} of "
                f"{len(sights)} pictures; it was {'kept' if keeps else 'left out'}"
            )
            remedy = f"look at the part at {x:.1f}, {y:.1f} mm of the reference with a lens"
            told.append(finding(part_hole_rules.hole_not_in_all, what, remedy=remedy))
            if not keeps:
                continue
        sure = [one for one in group if one.shows_ground] or group
        found.append(_together(sure)[0])
    return found, told


def _is_same(one: SeenEdge, two: SeenEdge) -> bool:
    wide = (_across(one), _across(two))
    if not 1.0 / _MOST_WIDER < wide[0] / max(wide[1], 1e-9) < _MOST_WIDER:
        return False
    near = max(_LEAST_SAME_HOLE_MM, _SAME_HOLE_SHARE * min(wide))
    return bool(np.hypot(*(one.middle_mm - two.middle_mm)) < near)


def _across(edge: SeenEdge) -> float:
    return float(np.hypot(*np.ptp(edge.points_mm, axis=0)) / 2.0**0.5)
