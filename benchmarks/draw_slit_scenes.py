"""Draw rooms that narrow slits of many kinds alone join, for references by random walks.

A slit over a baffle, under it, or both, with a lamp right beside it or far away; two baffles in a
row, alike or slanting each its own way; slits through a slice over an inner sheet; a slit beside a
free end. The same seed draws the same rooms. Records have the layout of
tests/reference/light_scenes/.
"""

import numpy as np
from draw_light_scenes import OPAL, SEED, hung_openings, lit, rounded
from shapely import LineString

KINDS = ("near_over", "near_under", "both", "row", "crooked", "sheet_over", "on_sheet", "free_end")


def _gap(lot):
    """Draw the width of a slit, small ones as often as large ones."""
    return round(float(np.exp(lot.uniform(np.log(0.25), np.log(1.5)))), 2)


def _foot(lot, *, x, high, slants):
    slant = lot.uniform(-4.0, 4.0) if slants else 0.0
    return LineString([(round(x, 2), 0.0), (round(x + slant, 2), high)])


def _baffle(foot, *, low, top, paint):
    (ax, ay), (bx, by) = foot.coords
    return {
        "from_mm": [ax, ay],
        "to_mm": [round(bx, 2), by],
        "z0_mm": round(low, 2),
        "z1_mm": round(top, 2),
        "reflectance": paint,
    }


def _baffles(lot, *, kind, feet, depth, sheet, paint):
    """Set baffles on their foot lines, the slits over or under them."""
    gap, over = _gap(lot), bool(lot.integers(2))
    first, last = feet[0], feet[-1]
    if kind == "near_over":
        spans = [(last, 0.0, depth - gap)]
    elif kind == "near_under":
        spans = [(last, gap, depth)]
    elif kind == "both":
        spans = [(last, gap, depth - _gap(lot))]
    elif kind in {"row", "crooked"}:
        spans = [(last, 0.0, depth - gap) if over else (last, gap, depth)]
        gap, over = _gap(lot) + 0.5, bool(lot.integers(2))
        spans.append((first, 0.0, depth - gap) if over else (first, gap, depth))
    elif kind == "sheet_over":
        spans = [(last, 0.0, depth - gap)]
    elif kind == "on_sheet":
        spans = [(last, 0.0, sheet), (last, sheet + gap, depth)]
    else:
        (ax, ay), (bx, by) = last.coords
        part = lot.uniform(0.75, 0.9)
        short = LineString([(ax, ay), (round(ax + part * (bx - ax), 2), round(part * by, 2))])
        spans = [(short, 0.0, depth - gap)]
    return [_baffle(foot, low=low, top=top, paint=paint) for foot, low, top in spans]


def _openings(lot, *, feet, high):
    """Draw an opening on each side of the last baffle, and one before the first of two."""
    openings = hung_openings(lot, high=high * 0.7, foot=feet[-1])
    if len(feet) > 1:
        low, top = high * 0.2, high * 0.6
        near = [feet[0].intersection(LineString([(-99, y), (999, y)])).x for y in (low, top)]
        right = min(min(near) - lot.uniform(0.3, 0.6), openings[0]["rect_mm"][0] - 0.3)
        edges = rounded([0.8, low, right, top])
        openings.append({"name": "first", "shape": "rect", "rect_mm": edges, **OPAL})
    return openings


def slit_room(lot, *, number):
    """Draw a lit room and one or two dark ones."""
    kind, slants = KINDS[number % len(KINDS)], bool(lot.integers(2))
    wide, high = round(lot.uniform(26.0, 38.0), 1), round(lot.uniform(14.0, 22.0), 1)
    depth, paint = round(lot.uniform(7.0, 12.0), 1), round(lot.uniform(0.6, 0.85), 2)
    sheet = round(depth * lot.uniform(0.4, 0.5), 1)
    feet = [_foot(lot, x=wide * lot.uniform(0.45, 0.55), high=high, slants=slants)]
    if kind in {"row", "crooked"}:
        behind = _foot(lot, x=wide * lot.uniform(0.2, 0.25), high=high, slants=kind == "crooked")
        if kind == "row":
            (ax, _), (bx, _) = feet[0].coords
            slant = bx - ax
            behind = LineString([(behind.coords[0][0], 0.0), (behind.coords[0][0] + slant, high)])
        feet.insert(0, behind)
    boxed = {"leds": []}
    x, y = wide * lot.uniform(0.75, 0.9), high * lot.uniform(0.3, 0.7)
    if kind.startswith("near"):
        y = high * lot.uniform(0.2, 0.8)
        x = feet[-1].intersection(LineString([(-99, y), (999, y)])).x + lot.uniform(0.8, 2.5)
    lit(boxed, lot, x=x, y=y)
    if number % 3 == 0:
        lit(boxed, lot, x=wide * 0.85, y=high * lot.uniform(0.2, 0.8))
    return {
        "name": f"r{number:02d}_{kind}",
        "note": "narrow slits join a lit room and dark ones",
        "outline_mm": [[0, 0], [wide, 0], [wide, high], [0, high]],
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": boxed["leds"],
        "apertures": _openings(lot, feet=feet, high=high),
        "baffles": _baffles(lot, kind=kind, feet=feet, depth=depth, sheet=sheet, paint=paint),
        "inner_sheet": {"z_mm": sheet, "tau": 0.6, "rho": 0.3} if "sheet" in kind else None,
    }


def slit_rooms(*, seed=SEED + 6, count=32):
    """Draw rooms with narrow slits."""
    lot = np.random.default_rng(seed)
    return [slit_room(lot, number=number) for number in range(1, count + 1)]


def unseen_slits(*, seed=SEED + 7, count=16):
    """Draw rooms of the same kinds on which nothing was chosen."""
    return slit_rooms(seed=seed, count=count)
