"""Draw rooms lit by narrow beams that are aimed, by lot, for ``make_light_references.py``.

At an opening, its rim or beside it, a baffle, a corner, an edge, or straight up from the back. The
same seed draws the same rooms. Records have the layout of tests/reference/light_scenes/.
"""

import numpy as np
from draw_light_scenes import OPAL, SEED, baffle_across, hung_baffle, place_in, room_of, rounded
from shapely import LineString, Point, Polygon
from shapely import box as rectangle

AIMS = ("opening", "rim", "beside", "baffle", "corner", "edge", "straight")

OPEN = 0.12
"""Share of the openings that are open holes."""


def beam_of(lot):
    """Draw a beam of 12 to 40 degrees: a cosine power, a bell with a skirt, or flat with a rim."""
    half, kind = lot.uniform(6.0, 20.0), lot.integers(4)
    if kind < 2:
        m = float(np.log(0.5) / np.log(np.cos(np.radians(half))))
        return {"I0_cd": round(lot.uniform(0.025, 0.1) * (m + 1.0), 3), "m": round(m, 3)}
    if kind == 2:
        shares, values = (0.0, 0.5, 1.0, 1.5, 2.2), (1.0, 0.84, 0.5, 0.21, 0.045)
    else:
        shares, values = (0.0, 0.6, 0.9, 1.0, 1.1), (1.0, 1.05, 0.95, 0.5, 0.08)
    beam = {
        "angles_deg": [*rounded(half * np.array(shares)), round(3.0 * half, 2)],
        "relative": [*values, 0.0],
    }
    return {"beam": beam, "flux_lm": round(lot.uniform(0.3, 1.5), 3)}


def shape_of(lot):
    """Draw a rectangle, a disc, or a turned triangle, square or hexagon about the origin."""
    kind, (w, h) = lot.integers(4), lot.uniform(3.0, 10.0, size=2)
    if kind == 2:
        return "circle", Point(0.0, 0.0).buffer(w / 2.0, 32)
    if kind == 3:
        count, turn = int(lot.choice([3, 4, 6])), lot.uniform(0.0, 60.0)
        angles = np.radians(turn + 360.0 * np.arange(count) / count)
        ring = np.column_stack([np.cos(angles) * w, np.sin(angles) * h]) / 2.0
        return "polygon", Polygon(ring)
    return "rect", rectangle(-w / 2.0, -h / 2.0, w / 2.0, h / 2.0)


def record_of(kind, placed):
    """Give where an opening lies."""
    if kind == "circle":
        left, _, right, _ = placed.bounds
        middle = rounded([placed.centroid.x, placed.centroid.y])
        return {"center_mm": middle, "diameter_mm": round(right - left, 2)}
    if kind == "polygon":
        return {"ring_mm": [rounded(spot) for spot in placed.exterior.coords[:-1]]}
    return {"rect_mm": rounded(placed.bounds, digits=1)}


def goal_of(lot, aim, *, room, depth, shapes, feet, baffles):
    """Draw what a beam is aimed at."""
    shape = shapes[int(lot.integers(len(shapes)))]
    if aim == "baffle":
        number = int(lot.integers(len(feet)))
        spot = feet[number].interpolate(lot.uniform(0.05, 0.98), normalized=True)
        return [spot.x, spot.y, lot.uniform(baffles[number]["z0_mm"], baffles[number]["z1_mm"])]
    if aim == "corner":
        x, y = room.exterior.coords[int(lot.integers(len(room.exterior.coords) - 1))]
        return [x, y, lot.uniform(0.0, depth)]
    if aim == "edge":
        spot = room.exterior.interpolate(lot.uniform(), normalized=True)
        return [spot.x, spot.y, depth]
    line = shape.buffer(lot.uniform(0.5, 2.5)).exterior if aim == "beside" else shape.exterior
    spot = line.interpolate(lot.uniform(), normalized=True)
    if aim in ("opening", "straight"):
        spot = shape.representative_point()
    return [spot.x, spot.y, depth]


def lamp_of(lot, aim, *, room, depth, feet, goal):
    """Draw a lamp that shines at a goal, or straight up below it; None where none fits."""
    z = round(float(lot.choice([0.6, lot.uniform(0.6, 0.5 * depth)])), 2)
    spot = place_in(
        lot, room, shape=Point(0.0, 0.0), apart=[(foot, 2.0) for foot in feet], margin=1.0
    )
    if aim == "straight":
        spot = Point(goal[:2])
    near = [foot.distance(spot) for foot in feet]
    if not room.buffer(-1.0).contains(spot) or min(near, default=2.0) < 1.0:
        return None
    way = np.array(goal) - [spot.x, spot.y, z]
    long = np.linalg.norm(way)
    if long < 2.0 or way[2] < 0.0:
        return None
    return {
        "pos_mm": rounded([spot.x, spot.y, z]),
        "dir": rounded(way / long, digits=6),
        **beam_of(lot),
    }


def aimed_scene(lot, *, number):
    """Draw one room; None where the lot leaves no place for something."""
    aim = AIMS[number % len(AIMS)]
    kind, wide, high, outline = room_of(lot)
    room, depth = Polygon(outline), round(lot.uniform(6.0, 16.0), 1)
    paint, baffles = round(lot.uniform(0.5, 0.9), 2), []
    if aim == "baffle" or number % 3 == 0:
        if kind == "rectangle" and number % 2:
            baffles = [hung_baffle(lot, wide=wide, high=high, depth=depth, paint=paint)]
        else:
            x = wide * lot.uniform(0.3, 0.7)
            baffles = [baffle_across(lot, room, x=x, depth=depth, paint=paint)]
    feet = [LineString([each["from_mm"], each["to_mm"]]) for each in baffles]
    apertures, taken = [], [(foot, 0.0) for foot in feet]
    for name in ("first", "second"):
        form, shape = shape_of(lot)
        placed = place_in(lot, room, shape=shape, apart=taken, margin=0.5)
        if placed is None:
            return None
        taken.append((placed, 1.0))
        fill = {"fill": "open"} if lot.uniform() < OPEN else {}
        record = {"name": name, "shape": form, **record_of(form, placed)}
        apertures.append({**record, **OPAL, **fill})
    shapes, lamps = [shape for shape, _ in taken[len(feet) :]], []
    for way in (aim, *(("opening", "edge")[: number % 2])):
        goal = goal_of(lot, way, room=room, depth=depth, shapes=shapes, feet=feet, baffles=baffles)
        lamps.append(lamp_of(lot, way, room=room, depth=depth, feet=feet, goal=goal))
    sheet = None
    if number % 5 == 2 and not baffles:
        sheet = {"z_mm": round(depth * lot.uniform(0.55, 0.7), 1), "tau": 0.6, "rho": 0.3}
    if None in lamps or any(sheet and lamp["pos_mm"][2] > sheet["z_mm"] - 1.0 for lamp in lamps):
        return None
    return {
        "name": f"a{number:02d}_{kind}_{aim}",
        "note": "narrow beams, the first aimed",
        "outline_mm": outline,
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": lamps,
        "apertures": apertures,
        "baffles": baffles,
        "inner_sheet": sheet,
    }


def aimed(*, seed=SEED + 6, count=21):
    """Draw rooms lit by aimed narrow beams."""
    lot, found = np.random.default_rng(seed), []
    while len(found) < count:
        scene = aimed_scene(lot, number=len(found) + 1)
        found += [] if scene is None else [scene]
    return found
