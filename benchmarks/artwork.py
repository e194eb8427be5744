"""Times a picture of a million pixels on its way to the printer and to the screen.

Usage: ``python benchmarks/artwork.py``. Process times; the ratio is to the tetrahedral
interpolation of an open package over the same cube and pixels in the same run. Every pixel of the
picture has another colour, so nothing can be looked up twice.
"""

import statistics
import time
import warnings
from collections.abc import Callable
from importlib.resources import files

import numpy as np

from lamphouse.colour.artwork_fit import print_cube
from lamphouse.colour.artwork_look import Condition
from lamphouse.colour.colour_cube import read_pixels
from lamphouse.colour.display import SRGB
from lamphouse.colour.palette import palette
from lamphouse.colour.printer import driver
from lamphouse.design.artwork import Artwork, Print
from lamphouse.outputs.artwork_pictures import picture_in
from lamphouse.plan import make
from lamphouse.plan.artworked import read_through
from lamphouse.plan.print_ways import ways
from lamphouse.plan.printed_opening import find, with_print
from lamphouse.project.read import read_text

RUNS = 5
SIDE = 1000
LIMIT_S = 0.5


def timed(work: Callable[[], object]) -> float:
    """Median process time of a call. [s]."""
    times = []
    for _ in range(RUNS):
        begin = time.process_time()
        work()
        times.append(time.process_time() - begin)
    return statistics.median(times)


def main() -> None:
    """Time every step and the whole."""
    text = (files("lamphouse.project") / "scenarios/saltmarsh/mended.yaml").read_text("utf-8")
    reading = read_text(text, file="mended.yaml")
    plan = make.plan(reading.design)
    place = find(plan.design, glows=plan.glows, name="screen")
    pixels = np.random.default_rng(1).integers(0, 256, (SIDE, SIDE, 3), dtype=np.uint8)
    artwork = Artwork(file="noise", columns=SIDE, rows=SIDE, pixels=pixels.tobytes())
    print_ = Print(artwork=artwork)
    film = reading.shelf.film_types["print film"]
    layers = with_print(place.opening.layers, print_=print_, film=film, films=2)
    room = plan.design.room

    def read():
        return read_through(place, print_=print_, layers=layers, room=room)

    def whole():
        look = read().look
        made = np.round(read_pixels(print_cube(look), pixels) * 255.0).astype(np.uint8)
        return picture_in(look, made, condition=Condition.ROOM, screen=SRGB)

    begin = time.process_time()
    driver(read().look.inks)
    print(f"the printer, once in a run {time.process_time() - begin:6.2f} s")
    look = read().look
    cube = print_cube(look)
    print(f"medians of {RUNS} runs; a picture of {SIDE * SIDE / 1e6:g} million pixels")
    print(f"its palette                {timed(lambda: palette(pixels)):6.3f} s")
    print(f"look and figures           {timed(read):6.3f} s")
    print(f"what to print, as a cube   {timed(lambda: print_cube(look)):6.3f} s")
    ours = timed(lambda: read_pixels(cube, pixels))
    print(f"the picture to print       {ours:6.3f} s")
    print(f"all, with one view of it   {timed(whole):6.3f} s (wanted under {LIMIT_S:g})")
    ranked = timed(
        lambda: ways(place, print_=print_, layers=layers, shelf=reading.shelf, room=room)
    )
    print(f"other ways ranked          {ranked:6.3f} s")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from colour.algebra import table_interpolation_tetrahedral
    table, shares = cube.values.astype(np.float64), pixels / 255.0
    theirs = timed(lambda: table_interpolation_tetrahedral(shares, table))
    print(f"the open package           {theirs:6.3f} s; ours takes {ours / theirs:.2f} of that")
    off = np.abs(read_pixels(cube, pixels) - table_interpolation_tetrahedral(shares, table)).max()
    print(f"largest difference         {off:.1e}")


if __name__ == "__main__":
    main()
