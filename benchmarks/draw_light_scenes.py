"""Draw light boxes by lot, from a seed, for ``make_light_references.py``.

``corners`` are boxes whose lamps stand half a millimetre or so from walls, with small holes close
by; ``baffled`` are rooms with standing, hanging and short baffles, most with a lamp beside one;
``hung`` are rooms parted from the panel down, lamps and openings right beside the baffle; ``slits``
are rooms that a narrow slit alone joins; ``beams`` are rooms lit by narrow beams from the back,
from walls, or leaning. The same seed draws the same boxes. Records have the layout of
tests/reference/light_scenes/.
"""

import numpy as np
from shapely import LineString, Point, Polygon
from shapely import box as rectangle
from shapely.affinity import translate

SEED = 20261126

OPAL = {"fill": "diffuser", "tau": 0.55, "rho": 0.35}


def rounded(values, *, digits=2):
    """Round all values."""
    return [round(float(value), digits) for value in values]


def outline_of(lot, *, wide, high):
    """Draw a rectangle, an L, or a rectangle with a cut corner."""
    kind = str(lot.choice(["rectangle", "rectangle", "L", "cut"]))
    if kind == "L":
        x, y = round(wide * lot.uniform(0.5, 0.65), 1), round(high * lot.uniform(0.5, 0.65), 1)
        return kind, [[0, 0], [wide, 0], [wide, y], [x, y], [x, high], [0, high]]
    if kind == "cut":
        cut = round(lot.uniform(4.0, 6.0), 1)
        return kind, [[0, 0], [wide, 0], [wide, high], [cut, high], [0, high - cut]]
    return kind, [[0, 0], [wide, 0], [wide, high], [0, high]]


def corner_scene(lot, *, number):
    """Draw one box with a lamp in a corner and a lamp beside a wall, both near small holes."""
    wide, high = round(lot.uniform(22.0, 40.0), 1), round(lot.uniform(14.0, 24.0), 1)
    depth = round(lot.uniform(5.0, 11.0), 1)
    kind, outline = outline_of(lot, wide=wide, high=high)
    gaps = rounded([lot.uniform(0.3, 1.0) for _ in range(3)])
    along = round(wide * lot.uniform(0.35, 0.45), 2)
    lamps = [
        {"pos_mm": [round(wide - gaps[0], 2), gaps[1], 0.6], "dir": [0.0, 0.0, 1.0]},
        {"pos_mm": [along, gaps[2], round(lot.uniform(0.5, 1.2), 2)], "dir": [0.0, 0.0, 1.0]},
    ]
    for lamp in lamps:
        lamp.update({"I0_cd": round(lot.uniform(0.1, 0.3), 3), "m": 1.0})
    near = rounded([lot.uniform(1.5, 3.0) for _ in range(3)])
    spots = [
        ("corner", [round(wide - near[0], 2), near[1]], round(lot.uniform(0.3, 1.5), 2)),
        (
            "wall",
            [round(along + lot.uniform(-1.5, 1.5), 2), near[2]],
            round(lot.uniform(0.3, 1.5), 2),
        ),
        ("far", [round(wide * 0.2, 2), round(high * 0.35, 2)], round(lot.uniform(0.3, 1.5), 2)),
    ]
    apertures = [
        {"name": name, "shape": "circle", "center_mm": spot, "diameter_mm": size, **OPAL}
        for name, spot, size in spots
    ]
    paint = round(lot.uniform(0.6, 0.9), 2)
    return {
        "name": f"c{number:02d}_{kind}",
        "note": "lamps in a corner and beside a wall, holes close by",
        "outline_mm": outline,
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": lamps,
        "apertures": apertures,
        "baffles": [],
        "inner_sheet": None,
    }


def corners(*, seed=SEED, count=16):
    """Draw boxes with lamps beside walls."""
    lot = np.random.default_rng(seed)
    return [corner_scene(lot, number=number) for number in range(1, count + 1)]


def plain_box(lot, *, left, wide, high, kind="rectangle"):
    """Draw a box of a suite without lamps: outline, depth, paint and one opening."""
    depth, paint = round(lot.uniform(5.0, 10.0), 1), round(lot.uniform(0.55, 0.9), 2)
    right, low = round(left + wide, 2), round(high * 0.4, 1)
    outline = [[left, 0], [right, 0], [right, high], [left, high]]
    if kind == "L":
        inner = round(left + wide * 0.55, 1)
        outline = [[left, 0], [right, 0], [right, low], [inner, low], [inner, high], [left, high]]
        right, high = inner, low
    edge = lot.uniform(1.5, 3.0, size=4)
    opening = rounded([left + edge[0], edge[1], right - edge[2], high - edge[3]], digits=1)
    return {
        "outline_mm": outline,
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": [],
        "apertures": [{"name": "window", "shape": "rect", "rect_mm": opening, **OPAL}],
        "baffles": [],
        "inner_sheet": None,
    }


def lit(box, lot, *, x, y):
    """Put a lamp into a box."""
    flux = round(lot.uniform(0.1, 0.4), 3)
    box["leds"].append(
        {"pos_mm": [round(x, 2), round(y, 2), 0.6], "dir": [0.0, 0.0, 1.0], "I0_cd": flux, "m": 1.0}
    )


def pair_scene(lot, *, number):
    """Draw two boxes side by side and an opening in their shared wall; every fourth time three."""
    high = round(lot.uniform(14.0, 22.0), 1)
    wide = rounded(lot.uniform(12.0, 24.0, size=3), digits=1)
    count = 3 if number % 4 == 0 else 2
    boxes, left = [], 0.0
    for place in range(count):
        kind = "L" if number % 5 == 2 and place == count - 1 else "rectangle"
        boxes.append(plain_box(lot, left=left, wide=wide[place], high=high, kind=kind))
        left = round(left + wide[place], 2)
    lit(boxes[0], lot, x=wide[0] * lot.uniform(0.3, 0.6), y=high * lot.uniform(0.3, 0.7))
    if number % 3 == 0:
        x = left - wide[count - 1] * lot.uniform(0.35, 0.65)
        lit(boxes[-1], lot, x=x, y=high * lot.uniform(0.2, 0.35))
    if number % 4 == 1:
        z = round(boxes[0]["depth_mm"] * 0.45, 1)
        boxes[0]["inner_sheet"] = {"z_mm": z, "tau": 0.6, "rho": 0.3}
    if number % 4 == 3:
        x = round(wide[0] + wide[1] * 0.5, 1)
        boxes[1]["baffles"].append(
            {
                "from_mm": [x, 0.0],
                "to_mm": [x, round(high * 0.5, 1)],
                "z0_mm": 0.0,
                "z1_mm": round(boxes[1]["depth_mm"] * 0.6, 1),
                "reflectance": 0.7,
            }
        )
    passages, x = [], 0.0
    for first in range(count - 1):
        x = round(x + wide[first], 2)
        low = round(max(0.0, boxes[first]["depth_mm"] - boxes[first + 1]["depth_mm"]), 2)
        room = round(boxes[first]["depth_mm"] - low, 2)
        span = sorted(
            rounded([high * lot.uniform(0.08, 0.2), high * lot.uniform(0.3, 0.4)], digits=1)
        )
        rise = sorted(
            rounded([low + room * lot.uniform(0.05, 0.3), low + room * lot.uniform(0.6, 0.95)])
        )
        open_ = lot.uniform() < 0.65
        passages.append(
            {
                "name": f"passage {first + 1}",
                "boxes": [first, first + 1],
                "from_mm": [x, span[0]],
                "to_mm": [x, span[1]],
                "low_mm": rise[0],
                "high_mm": rise[1],
                **({"fill": "open"} if open_ else OPAL),
            }
        )
    fills = "_".join("open" if each["fill"] == "open" else "opal" for each in passages)
    return {"name": f"p{number:02d}_{fills}", "boxes": boxes, "passages": passages}


def pairs(*, seed=SEED + 1, count=12):
    """Draw boxes that share openings in their walls."""
    lot = np.random.default_rng(seed)
    return [pair_scene(lot, number=number) for number in range(1, count + 1)]


def room_of(lot):
    """Draw a rectangle, an L, a U or a T: its width, its height, and its outline."""
    wide, high = round(lot.uniform(30.0, 60.0), 1), round(lot.uniform(20.0, 40.0), 1)
    kind = str(lot.choice(["rectangle", "rectangle", "L", "U", "T"]))
    left, right, low = rounded([wide * 0.36, wide * 0.64, high * lot.uniform(0.4, 0.6)], digits=1)
    outlines = {
        "rectangle": [[0, 0], [wide, 0], [wide, high], [0, high]],
        "L": [[0, 0], [wide, 0], [wide, low], [left, low], [left, high], [0, high]],
        "U": [
            *([0, 0], [wide, 0], [wide, high], [right, high]),
            *([right, low], [left, low], [left, high], [0, high]),
        ],
        "T": [
            *([left, 0], [right, 0], [right, low], [wide, low]),
            *([wide, high], [0, high], [0, low], [left, low]),
        ],
    }
    return kind, wide, high, outlines[kind]


def baffle_across(lot, room, *, x, depth, paint):
    """Draw a baffle from the lowest wall upwards at a place: standing, hanging, or short."""
    slant = float(lot.choice([0.0, 0.0, lot.uniform(-4.0, 4.0)]))
    _, below, _, above = room.bounds
    cut = LineString([(x, below - 1.0), (x + slant, above + 1.0)]).intersection(room)
    longest = max(getattr(cut, "geoms", [cut]), key=lambda part: part.length)
    (x0, y0), (x1, y1) = sorted(longest.coords, key=lambda spot: spot[1])
    low, high = 0.0, depth
    kind = lot.integers(3)
    if kind == 0:
        high = round(depth * lot.uniform(0.4, 0.75), 1)
    elif kind == 1:
        low = round(depth * lot.uniform(0.25, 0.6), 1)
    else:
        reach = lot.uniform(0.45, 0.75)
        x1, y1 = x0 + reach * (x1 - x0), y0 + reach * (y1 - y0)
    return {
        "from_mm": [round(x0, 6), round(y0, 6)],
        "to_mm": [round(x1, 6), round(y1, 6)],
        "z0_mm": low,
        "z1_mm": high,
        "reflectance": paint,
    }


def place_in(lot, room, *, shape, apart, margin):
    """Draw a place for a shape within a room, away from others; None where none is found."""
    left, below, right, above = room.bounds
    for _ in range(200):
        placed = translate(shape, lot.uniform(left, right), lot.uniform(below, above))
        clear = all(placed.distance(other) > gap for other, gap in apart)
        if clear and room.buffer(-margin).contains(placed):
            return placed
    return None


def baffled_scene(lot, *, number):
    """Draw a room with one or two baffles, a lamp beside one of them, and up to three openings."""
    kind, wide, _, outline = room_of(lot)
    room, depth = Polygon(outline), round(lot.uniform(5.0, 13.0), 1)
    paint = round(lot.uniform(0.6, 0.9), 2)
    first = wide * lot.uniform(0.25, 0.4)
    places = [first] if number % 3 == 0 else [first, wide * lot.uniform(0.6, 0.75)]
    baffles = [baffle_across(lot, room, x=x, depth=depth, paint=paint) for x in places]
    feet = [LineString([each["from_mm"], each["to_mm"]]) for each in baffles]
    beside = feet[0].interpolate(lot.uniform(0.15, 0.85), normalized=True)
    x = beside.x + float(lot.choice([-1.0, 1.0])) * lot.uniform(0.5, 2.5)
    boxed = {"leds": []}
    lit(boxed, lot, x=x, y=beside.y)
    if number % 2:
        free = place_in(
            lot, room, shape=Point(0, 0), apart=[(foot, 2.0) for foot in feet], margin=1.5
        )
        lit(boxed, lot, x=free.x, y=free.y)
    taken = [(foot, 0.0) for foot in feet]
    apertures = []
    for name in ("first", "second", "third"):
        size = lot.uniform(4.0, 10.0, size=2)
        spot = place_in(lot, room, shape=rectangle(0.0, 0.0, *size), apart=taken, margin=0.5)
        if spot is not None:
            taken.append((spot, 1.0))
            edges = rounded(spot.bounds, digits=1)
            apertures.append({"name": name, "shape": "rect", "rect_mm": edges, **OPAL})
    sheet = {"z_mm": round(depth * lot.uniform(0.4, 0.6), 1), "tau": 0.6, "rho": 0.3}
    return {
        "name": f"b{number:02d}_{kind}",
        "note": "baffles, and a lamp beside the first",
        "outline_mm": outline,
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": boxed["leds"],
        "apertures": apertures,
        "baffles": baffles,
        "inner_sheet": sheet if number % 4 == 0 else None,
    }


def baffled(*, seed=SEED + 2, count=20):
    """Draw rooms with baffles."""
    lot = np.random.default_rng(seed)
    return [baffled_scene(lot, number=number) for number in range(1, count + 1)]


def hung_baffle(lot, *, wide, high, depth, paint):
    """Draw a baffle that hangs from the panel across a room; every other one slants."""
    x, slant = wide * lot.uniform(0.4, 0.6), float(lot.choice([0.0, lot.uniform(-6.0, 6.0)]))
    return {
        "from_mm": [round(x, 2), 0.0],
        "to_mm": [round(x + slant, 2), high],
        "z0_mm": round(depth * lot.uniform(0.3, 0.75), 1),
        "z1_mm": depth,
        "reflectance": paint,
    }


def hung_openings(lot, *, high, foot):
    """Draw two openings, one on each side of a baffle and half a millimetre or so from its foot."""
    openings = []
    for name, side in (("left", -1.0), ("right", 1.0)):
        across, gap = lot.uniform(3.0, 8.0), lot.uniform(0.3, 1.0)
        low = high * lot.uniform(0.1, 0.4)
        top = min(low + lot.uniform(4.0, 9.0), high - 0.5)
        near = [foot.intersection(LineString([(-99, y), (999, y)])).x for y in (low, top)]
        rim = (min(near) if side < 0.0 else max(near)) + side * gap
        edges = rounded([*sorted((rim, rim + side * across)), low, top], digits=2)
        rect = [edges[0], edges[2], edges[1], edges[3]]
        openings.append({"name": name, "shape": "rect", "rect_mm": rect, **OPAL})
    return openings


def hung_scene(lot, *, number):
    """Draw a room with a hanging baffle; a lamp below it or beside it, on the back or the panel."""
    wide, high = round(lot.uniform(24.0, 50.0), 1), round(lot.uniform(14.0, 26.0), 1)
    depth, paint = round(lot.uniform(6.0, 14.0), 1), round(lot.uniform(0.6, 0.9), 2)
    baffle = hung_baffle(lot, wide=wide, high=high, depth=depth, paint=paint)
    foot = LineString([baffle["from_mm"], baffle["to_mm"]])
    spot = foot.interpolate(lot.uniform(0.2, 0.8), normalized=True)
    boxed, beside = {"leds": []}, number % 3
    aside = float(lot.choice([-1.0, 1.0])) * lot.uniform(0.5, 2.5)
    lit(boxed, lot, x=spot.x + (aside if beside else 0.0), y=spot.y)
    if beside == 2:
        lamp = boxed["leds"][0]
        lamp["pos_mm"][2], lamp["dir"] = round(depth - 0.6, 2), [0.0, 0.0, -1.0]
        lamp["pos_mm"][1] = round(high * 0.8, 2)
        at = foot.intersection(LineString([(-99, high * 0.8), (999, high * 0.8)]))
        lamp["pos_mm"][0] = round(at.x + aside, 2)
    if number % 2:
        lit(boxed, lot, x=wide * lot.uniform(0.1, 0.3), y=high * lot.uniform(0.3, 0.7))
    z = round(baffle["z0_mm"] * lot.uniform(0.5, 0.95), 1)
    sheet = {"z_mm": z, "tau": 0.6, "rho": 0.3} if number % 4 == 0 else None
    lamps = [lamp for lamp in boxed["leds"] if sheet is None or abs(lamp["pos_mm"][2] - z) > 0.5]
    return {
        "name": f"h{number:02d}_{('below', 'beside', 'panel')[beside]}",
        "note": "a baffle hangs from the panel, openings right beside it",
        "outline_mm": [[0, 0], [wide, 0], [wide, high], [0, high]],
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": lamps,
        "apertures": hung_openings(lot, high=high * 0.7, foot=foot),
        "baffles": [baffle],
        "inner_sheet": sheet,
    }


def hung(*, seed=SEED + 3, count=12):
    """Draw rooms with a baffle that hangs from the panel."""
    lot = np.random.default_rng(seed)
    return [hung_scene(lot, number=number) for number in range(1, count + 1)]


def slit_scene(lot, *, number):
    """Draw two rooms, one of them lit, and a narrow slit over or under the baffle between them."""
    wide, high = round(lot.uniform(24.0, 36.0), 1), round(lot.uniform(14.0, 22.0), 1)
    depth, paint = round(lot.uniform(7.0, 12.0), 1), round(lot.uniform(0.7, 0.85), 2)
    gap = (0.25, 0.5, 1.0, 1.5)[number % 4]
    slant = round(lot.uniform(2.0, 4.0), 1) if number > 4 else 0.0
    x = round(wide * lot.uniform(0.4, 0.5), 1)
    hangs = number % 2 == 0
    foot = LineString([(x, 0.0), (x + slant, high)])
    boxed = {"leds": []}
    lit(boxed, lot, x=wide * lot.uniform(0.75, 0.9), y=high * lot.uniform(0.3, 0.7))
    return {
        "name": f"s{number:02d}_{'under' if hangs else 'over'}_{gap:g}",
        "note": "a slit joins a lit room and a dark one",
        "outline_mm": [[0, 0], [wide, 0], [wide, high], [0, high]],
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": boxed["leds"],
        "apertures": hung_openings(lot, high=high * 0.7, foot=foot),
        "baffles": [
            {
                "from_mm": [x, 0.0],
                "to_mm": [round(x + slant, 2), high],
                "z0_mm": gap if hangs else 0.0,
                "z1_mm": depth if hangs else round(depth - gap, 2),
                "reflectance": paint,
            }
        ],
        "inner_sheet": None,
    }


def slits(*, seed=SEED + 4, count=8):
    """Draw rooms that a narrow slit over or under a baffle joins."""
    lot = np.random.default_rng(seed)
    return [slit_scene(lot, number=number) for number in range(1, count + 1)]


def narrow_lamp(lot, *, wide, high, depth, kind):
    """Draw a lamp of 12 to 40 degrees: on the back, on a wall of a rectangle, or leaning."""
    beam = float(lot.choice([12.0, 15.0, 20.0, 30.0, 40.0]))
    x, y = lot.uniform(0.08, 0.92) * wide, lot.uniform(0.08, 0.92) * high
    z, way = lot.uniform(0.6, 3.0), [0.0, 0.0, 1.0]
    if kind == "wall":
        z, aside = depth * lot.uniform(0.2, 0.8), lot.uniform(0.6, 3.0)
        if lot.integers(2):
            x, way = aside, [1.0, 0.0, 0.0]
        else:
            y, way = aside, [0.0, 1.0, 0.0]
    elif kind == "leaning":
        tilt, turn = np.radians(lot.uniform(15.0, 70.0)), lot.uniform(0.0, 2.0 * np.pi)
        way = [np.sin(tilt) * np.cos(turn), np.sin(tilt) * np.sin(turn), np.cos(tilt)]
    m = np.log(0.5) / np.log(np.cos(np.radians(beam / 2.0)))
    return {
        "pos_mm": rounded([x, y, z]),
        "dir": rounded(way, digits=6),
        "I0_cd": round(lot.uniform(0.5, 2.0), 3),
        "m": round(float(m), 4),
    }


def beam_scene(lot, *, number):
    """Draw a room with one or two narrow beams and two openings, every fourth an open hole."""
    wide, high = round(lot.uniform(20.0, 50.0), 1), round(lot.uniform(16.0, 36.0), 1)
    depth, paint = round(lot.uniform(7.0, 18.0), 1), round(lot.uniform(0.5, 0.9), 2)
    kind = ("back", "wall", "leaning")[number % 3]
    count = 1 + number % 2
    room, taken, apertures = rectangle(0.0, 0.0, wide, high), [], []
    lamps = [narrow_lamp(lot, wide=wide, high=high, depth=depth, kind=kind) for _ in range(count)]
    for name in ("first", "second"):
        size = lot.uniform(4.0, 0.5 * high, size=2)
        spot = place_in(lot, room, shape=rectangle(0.0, 0.0, *size), apart=taken, margin=0.5)
        if spot is not None:
            taken.append((spot, 1.0))
            is_hole = number % 4 == 0 and name == "first"
            rect = {"name": name, "shape": "rect", "rect_mm": rounded(spot.bounds, digits=1)}
            apertures.append({**rect, **OPAL, **({"fill": "open"} if is_hole else {})})
    return {
        "name": f"n{number:02d}_{kind}",
        "note": "narrow beams",
        "outline_mm": [[0, 0], [wide, 0], [wide, high], [0, high]],
        "holes_mm": [],
        "depth_mm": depth,
        "reflectance": {"back": paint, "walls": paint, "panel_inside": paint},
        "leds": lamps,
        "apertures": apertures,
        "baffles": [],
        "inner_sheet": None,
    }


def beams(*, seed=SEED + 5, count=18):
    """Draw rooms lit by narrow beams."""
    lot = np.random.default_rng(seed)
    return [beam_scene(lot, number=number) for number in range(1, count + 1)]
