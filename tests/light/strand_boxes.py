"""Boxes with one opening and one strand, for the shadows that strands throw."""

from lamphouse.design.lightbox import Baffle, InnerDiffuser, Seat
from lamphouse.light.box_scene import draw_box
from lamphouse.light.strand_posts import Post
from light.designs import SHEET, film, led, light_box, opening, panel, upright, where

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
"""All in a box of 40 x 30 mm; strands as x, y and radius. [mm]."""


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
        upright(0, 0, 40, 30),
        *leds,
        depth_mm=case["depth"],
        paint=case["paint"],
        baffles=baffles,
        inner=inner,
    )
    top = panel(opening("A", upright(*case["opening"]), OPAL))
    x, y, radius = case["post"]
    return draw_box(top, box=box, currents={}), Post(x_mm=x, y_mm=y, radius_mm=radius)
