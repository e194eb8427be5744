"""Boxes with one opening and one strand, for the shadows that strands throw."""

from math import hypot

import numpy as np

from lamphouse.design.lightbox import Baffle, InnerDiffuser, Pillar, Seat
from lamphouse.light.box_scene import draw_box
from lamphouse.light.sound_box import faults
from lamphouse.light.strand_posts import Post
from lamphouse.record import replace
from lamphouse.shapes.outline import rectangle
from lamphouse.shapes.transform import turn
from light.designs import (
    SHEET,
    film,
    led,
    light_box,
    opening,
    outline,
    panel,
    round_outline,
    upright,
    where,
)

OPAL = film(0.6, 0.36)

CASES = {
    "thick strand beside a small opening": {
        "opening": (18, 12, 24, 17), "post": (15.0, 14.7, 0.5),
        "leds": (("A", 8.0, 15.0), ("B", 32.0, 8.0)), "depth": 12.0, "paint": 0.85,
    },
    "fibre 0.5 mm": {
        "opening": (18, 12, 24, 17), "post": (16.5, 14.7, 0.25),
        "leds": (("A", 8.0, 15.0), ("B", 32.0, 8.0)), "depth": 12.0, "paint": 0.85,
    },
    "one LED in a dark box": {
        "opening": (20, 10, 28, 16), "post": (17.0, 12.0, 0.5),
        "leds": (("A", 10.0, 10.0),), "depth": 10.0, "paint": 0.4,
    },
    "LED on the wall": {
        "opening": (14, 10, 22, 16), "post": (10.0, 13.0, 0.5),
        "leds": (("A", 0.0, 13.0, "wall", 5.0),), "depth": 10.0, "paint": 0.7,
    },
    "inner diffuser": {
        "opening": (18, 12, 24, 17), "post": (16.0, 14.7, 0.5),
        "leds": (("A", 8.0, 15.0), ("B", 32.0, 8.0)), "depth": 12.0, "paint": 0.85,
        "inner": 6.0,
    },
    "behind a baffle": {
        "opening": (20, 12, 28, 18), "post": (17.0, 15.0, 0.5),
        "leds": (("A", 8.0, 15.0), ("B", 33.0, 22.0)), "depth": 12.0, "paint": 0.7,
        "baffle": ((12.0, 10.0), (12.0, 20.0), 3.0),
    },
}  # fmt: skip
"""What the model was fitted to: boxes of 40 x 30 mm; strands as x, y and radius. [mm]."""

FRESH_SEED, FRESH_COUNT = 20261126, 8
PILLARED_SEED, PILLARED_COUNT = 20261127, 3


def _drawn_by_lot(rng, *, kind):
    """A box of one of four kinds with one strand 1 to 5 mm beside its opening."""

    def between(low, high, digits=1):
        return round(float(rng.uniform(low, high)), digits)

    wide, high, depth = between(28, 70), between(22, 45), between(6, 20)
    left, bottom = between(6, wide - 20), between(5, high - 14)
    opening = (left, bottom, left + between(5, 12), bottom + between(4, 8))
    away, end = between(1, 5), bool(rng.integers(2))
    radius = between(0.2, 0.75, 2)
    post = (
        opening[2] + radius + away if end else opening[0] - radius - away,
        between(opening[1], opening[3]),
        radius,
    )
    leds = [
        (name, between(3, wide - 3), between(3, high - 3))
        for name in "ABC"[: int(rng.integers(1, 4))]
    ]
    case = {"size": (wide, high), "opening": opening, "post": post, "depth": depth}
    case["paint"] = between(0.3, 0.9, 2)
    if kind == 1:
        leds[0] = ("A", 0.0, between(5, high - 5), "wall", round(depth / 2.0, 1))
    if kind == 2:
        case["inner"] = round(depth * between(0.3, 0.7), 1)
    if kind == 3:
        x, y = between(8, wide - 8), between(0, high / 3)
        case["baffle"] = ((x, y), (x, y + high / 2.0), round(depth * between(0.2, 0.5), 1))
    return {**case, "leds": tuple(leds)}


def _is_sound(case):
    (wide, high), (x, y, radius) = case["size"], case["post"]
    _, _, right, top = case["opening"]
    clear = radius + 1.5
    line = case.get("baffle", ((-9.0, 0.0), (-9.0, 0.0)))
    return (
        clear < x < wide - clear
        and clear < y < high - clear
        and right < wide - 1.0
        and top < high - 1.0
        and all(hypot(led[1] - x, led[2] - y) > clear for led in case["leds"])
        and abs(line[0][0] - x) > clear
        and all(abs(line[0][0] - led[1]) > 1.5 for led in case["leds"])
        and not faults(drawn_case(case)[0].scene)
    )


def fresh_cases():
    """Boxes drawn by lot after the model was made, two of each kind; nothing was fitted to them."""
    rng = np.random.default_rng(FRESH_SEED)
    kinds = ("LEDs on the back", "an LED on the wall", "an inner diffuser", "a baffle")
    cases = {}
    for number in range(FRESH_COUNT):
        kind = number % len(kinds)
        case = _drawn_by_lot(rng, kind=kind)
        while not _is_sound(case):
            case = _drawn_by_lot(rng, kind=kind)
        cases[f"by lot {number + 1}, {kinds[kind]}"] = case
    return cases


def pillared_cases():
    """Boxes with an inner diffuser and pillars: one with a deep shadow on the sheet, three by lot.

    Nothing was fitted to them.
    """
    rng = np.random.default_rng(PILLARED_SEED)
    cases = {
        "LED close before the strand, 2 pillar(s)": {
            "size": (40, 30), "opening": (18, 12, 24, 17), "post": (16.0, 14.7, 0.75),
            "leds": (("A", 11.0, 15.0),), "depth": 8.0, "paint": 0.85, "inner": 5.0,
            "pillars": ((20.0, 9.0, 3.0, True), (22.0, 20.5, 3.0, False)),
        },
    }  # fmt: skip
    for number in range(PILLARED_COUNT):
        case = _with_pillars(rng)
        while not _is_sound(case):
            case = _with_pillars(rng)
        cases[f"by lot {number + 1}, {len(case['pillars'])} pillar(s)"] = case
    return cases


def _with_pillars(rng):
    """Give a box with an inner diffuser pillars within 12 mm of its strand, clear of all else."""
    case = _drawn_by_lot(rng, kind=2)
    (wide, high), (px, py, radius) = case["size"], case["post"]
    left, bottom, right, top = case["opening"]
    pillars = []
    while len(pillars) < int(rng.integers(1, 3)):
        x, y = px + rng.uniform(-12.0, 12.0), py + rng.uniform(-12.0, 12.0)
        x, y, across = (
            round(float(x), 1),
            round(float(y), 1),
            round(float(rng.uniform(1.5, 5.0)), 1),
        )
        half = across * 0.71 + 0.5
        aside = max(left - x, x - right, bottom - y, y - top)
        things = [(px, py, radius + 0.5), *((led[1], led[2], 1.5) for led in case["leds"])]
        things += [(one[0], one[1], one[2] * 0.71) for one in pillars]
        if (
            half < x < wide - half
            and half < y < high - half
            and aside > half
            and all(hypot(x - a, y - b) > half + room for a, b, room in things)
        ):
            pillars.append((x, y, across, bool(rng.integers(2))))
    return {**case, "pillars": tuple(pillars)}


def _pillar(number, x, y, across, is_round):
    square = rectangle(across, height_mm=across, x_mm=x, y_mm=y)
    shape = (
        round_outline(across, x_mm=x, y_mm=y)
        if is_round
        else outline(turn(square, angle_deg=20.0, about=(x, y)))
    )
    return Pillar(name=f"p{number}", where=where(f"p{number}"), outline=shape)


def drawn_case(case):
    """Give the box without its strand as it is solved, and the strand."""
    leds = [
        led(name, x, y, seat=Seat.WALL, height_mm=rest[1]) if rest else led(name, x, y)
        for name, x, y, *rest in case["leds"]
    ]
    baffles = ()
    if "baffle" in case:
        start, end, height = case["baffle"]
        baffles = (
            Baffle(
                name="b",
                where=where("b"),
                start_mm=start,
                end_mm=end,
                height_mm=height,
                sheet=SHEET,
            ),
        )
    inner = None
    if "inner" in case:
        inner = InnerDiffuser(film=film(0.5, 0.4), height_mm=case["inner"])
    box = light_box(
        upright(0, 0, *case.get("size", (40, 30))),
        *leds,
        depth_mm=case["depth"],
        paint=case["paint"],
        baffles=baffles,
        inner=inner,
    )
    pillars = tuple(_pillar(number, *one) for number, one in enumerate(case.get("pillars", ())))
    box = replace(box, pillars=pillars)
    top = panel(opening("A", upright(*case["opening"]), OPAL))
    x, y, radius = case["post"]
    return draw_box(top, box=box, currents={}), Post(x_mm=x, y_mm=y, radius_mm=radius)
