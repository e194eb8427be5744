"""Pages rasterised by poppler, and dark lines measured in them."""

import subprocess

import numpy as np

INCH_MM = 25.4


def raster(pdftoppm, pdf, *, page, box_mm, dpi):
    """Rasterise a part of a page; the box is left, top, width and height from its upper left."""
    left, top, width, height = (round(side / INCH_MM * dpi) for side in box_mm)
    command = [pdftoppm, "-r", str(dpi), "-gray", "-f", str(page), "-l", str(page)]
    command += ["-x", str(left), "-y", str(top), "-W", str(width), "-H", str(height), str(pdf)]
    data = subprocess.run(command, capture_output=True, check=True).stdout
    kind, size, most, pixels = data.split(b"\n", 3)
    assert (kind, most) == (b"P5", b"255")
    across, down = map(int, size.split())
    return np.frombuffer(pixels, dtype=np.uint8).reshape(down, across)


def lines_mm(grey, *, dpi):
    """Give the middles of the dark runs along a row of grey pixels, weighed by their darkness."""
    ink = 255.0 - grey.astype(float)
    dark = np.concatenate(([False], ink > 64, [False]))
    starts, ends = np.flatnonzero(dark[1:] & ~dark[:-1]), np.flatnonzero(~dark[1:] & dark[:-1])
    places = np.arange(len(ink)) + 0.5
    middles = [
        np.average(places[a - 1 : b + 1], weights=ink[a - 1 : b + 1] + 1e-9)
        for a, b in zip(starts, ends, strict=True)
    ]
    return np.array(middles) * INCH_MM / dpi
