"""Accuracy, time and memory of tracing on synthetic pictures whose truth is known.

Run as ``OPENBLAS_NUM_THREADS=1 python benchmarks/make_part_pictures.py [FOLDER]``; with a folder
the pictures are kept there. Each picture is rendered from a seed with blur, noise, JPEG, uneven
light, texture of paper and plastic, side walls of the part and, in photographs, tilt and a bent
lens; the print of the card is stretched otherwise along and across. All of it is synthetic: it
finds faults of the method and proves nothing about any real camera or scanner. The reference for
time is one Gaussian blur of 5 pixels by the image library over the same picture in the same run.
"""

import resource
import sys
import time
from pathlib import Path

import cv2
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "trace"))

from part_pictures import CardScan, Photo, Plate, Scan, Spoil, packed
from truth import compared

from lamphouse.drawings import marker_card
from lamphouse.trace import frame_card, picture_file, scales, traced
from lamphouse.trace.refused import TraceError

STRETCH = (1.004, 0.997)
PRINTED = (marker_card.WIDTH_MM * STRETCH[0], marker_card.HEIGHT_MM * STRETCH[1])
PLATE = Plate()


def cases():
    """Give name, renderer and the scale to trace by."""
    for seed in (1, 2, 3):
        yield f"scan 600 dpi, stated, seed {seed}", Scan(spoil=Spoil(seed=seed)), "dpi"
    hard = Spoil(noise=6.0, blur_pixels=1.5, jpeg=70, uneven=0.5)
    yield "scan 600 dpi, noise and uneven light", Scan(spoil=hard), "dpi"
    shade = Spoil(shadow=0.6, ground=0.5, part=0.9, texture=0.03)
    yield "scan 600 dpi, deep shadow", Scan(spoil=shade), "dpi"
    for seed in (1, 2):
        yield f"scan 600 dpi with the card, seed {seed}", CardScan(spoil=Spoil(seed=seed)), "scan"
    for tilt in (0.0, 10.0, 20.0, 25.0):
        yield f"photograph 12 MP, tilt {tilt:g}", Photo(tilt_deg=tilt), "photo"
    for wall in (0.2, 0.4, 0.6, 0.8):
        spoil = Spoil(blur_pixels=0.9, wall=wall)
        yield f"photograph 12 MP, tilt 20, walls at {wall:g}", Photo(spoil=spoil), "photo"


def main() -> None:
    """Print one line for every picture."""
    keep = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    print("centres, rms and 95 % in mm; holes missed and invented; time over one blur; s of work")
    for name, shot, how in cases():
        pixels = shot.pixels()
        data = packed(pixels, quality=shot.spoil.jpeg)
        if keep:
            (keep / f"{name}.jpg").write_bytes(data)
        begin = time.process_time()
        picture = picture_file.load(data)
        inside = None
        if how == "dpi":
            scale = scales.from_dpi(600.0, tagged=None)
        else:
            card = frame_card.from_card(
                picture,
                printed_mm=PRINTED,
                thickness_mm=PLATE.thickness_mm if how == "photo" else 0.0,
                is_scan=how == "scan",
            )
            scale, inside = card.scale, card.inside
        try:
            part = traced.trace(picture, scale=scale, inside=inside)
        except TraceError as fault:
            print(f"{name:44} refused: {fault}")
            continue
        took = time.process_time() - begin
        begin = time.process_time()
        cv2.GaussianBlur(picture.levels, (0, 0), 5.0)
        blur = time.process_time() - begin
        found = compared(part, PLATE)
        width = max(part.size_mm) - PLATE.width_mm
        sizes = max(abs(measured - true) for true, measured in found.diameters)
        print(
            f"{name:44} {found.centre_mm:.4f} {found.rms_mm:.4f} {found.p95_mm:.4f}  "
            f"{found.missed} {found.invented}  {took / max(blur, 1e-3):5.1f}x {took:.2f} s  "
            f"length {width:+.3f}, diameters within {sizes:.3f}, stated {part.uncertain_mm:.3f}"
        )
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    print(f"largest memory, renderer included: {peak:.2f} GiB; cores {cv2.getNumberOfCPUs()}")


if __name__ == "__main__":
    np.seterr(all="raise", under="ignore")
    main()
