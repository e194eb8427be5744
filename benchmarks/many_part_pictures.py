"""Holes missed and invented, and how true outlines are, over many random synthetic pictures.

Run as ``OPENBLAS_NUM_THREADS=1 python benchmarks/many_part_pictures.py [SCANS [PHOTOGRAPHS
[CARDS]]]``; 80 scans at 600 dpi, 30 photographs of 12 million pixels and 60 scans of the frame card
when left out. Size, corners and holes of
the plate (0.3 to 4 mm), how it lies, blur, noise, JPEG, light, texture, shadow, tilt, lens, stretch
of the print and brightness of the walls are drawn from the number of the picture. All of it is
synthetic. A hole of which no ray meets the ground is counted apart: only its wall is seen.
"""

import sys
from pathlib import Path

import numpy as np

from lamphouse.record import Record

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "trace"))

from part_pictures import CardScan, Photo, Plate, Scan, Spoil, packed
from truth import compared

from lamphouse.drawings import marker_card
from lamphouse.trace import frame_card, picture_file, scales, traced
from lamphouse.trace.refused import TraceError

DIAMETERS = (0.3, 0.3, 0.35, 0.4, 0.5, 0.7, 1.0, 1.5, 2.0, 4.0)


class Tried(Record):
    """One picture traced."""

    holes: int
    missed: int
    invented: int
    hidden: int
    """Holes of which the camera sees the wall alone."""
    told: bool
    """Whether a finding warned of holes."""
    figures: tuple[float, float, float]
    """Largest distance of a centre, outline rms and 95 percent. [mm]."""
    apart_mm: tuple[float, ...]
    """Distance of every centre from where it is."""


def plate_of(chance: np.random.Generator, *, count: int = 8, larger: float = 1.0) -> Plate:
    """Draw a plate whose holes keep apart."""
    width, height = larger * chance.uniform(28.0, 44.0), larger * chance.uniform(18.0, 28.0)
    window = (width * 0.42, height * 0.48, width * 0.64, height * 0.75)
    holes: list[tuple[float, float, float]] = []
    while len(holes) < count:
        across = float(chance.choice(DIAMETERS))
        reach = across / 2.0 + 1.2
        x, y = chance.uniform(reach, width - reach), chance.uniform(reach, height - reach)
        is_free = all(np.hypot(x - a, y - b) > reach + c / 2.0 for a, b, c in holes)
        is_beside = not (
            window[0] - reach < x < window[2] + reach and window[1] - reach < y < window[3] + reach
        )
        if is_free and is_beside:
            holes.append((float(x), float(y), across))
    return Plate(
        width_mm=width,
        height_mm=height,
        radius_mm=chance.uniform(0.5, 5.0),
        holes=tuple(holes),
        window=window,
        thickness_mm=float(chance.choice((0.5, 0.75, 1.0))),
    )


def scan_of(seed: int) -> Scan:
    """Draw a scan."""
    chance = np.random.default_rng(seed)
    dark = chance.random() < 0.3
    spoil = Spoil(
        seed=seed,
        blur_pixels=chance.uniform(0.7, 1.5),
        noise=chance.uniform(1.0, 5.0),
        jpeg=int(chance.integers(75, 96)),
        uneven=chance.uniform(0.0, 0.45),
        texture=chance.uniform(0.01, 0.06),
        shadow=chance.uniform(0.0, 0.5) if chance.random() < 0.4 else 0.0,
        part=0.12 if dark else 0.85,
        ground=0.85 if dark else chance.uniform(0.08, 0.35),
    )
    return Scan(plate=plate_of(chance), spoil=spoil, turn_deg=chance.uniform(-40.0, 40.0))


def photograph_of(seed: int) -> Photo:
    """Draw a photograph on the frame card."""
    chance = np.random.default_rng(1000 + seed)
    spoil = Spoil(
        seed=seed,
        blur_pixels=chance.uniform(0.7, 1.1),
        noise=chance.uniform(1.0, 4.0),
        jpeg=int(chance.integers(85, 96)),
        uneven=chance.uniform(0.0, 0.4),
        texture=chance.uniform(0.01, 0.05),
        wall=chance.uniform(0.15, 0.85),
        drilled=chance.uniform(0.4, 0.8),
    )
    return Photo(
        plate=plate_of(chance),
        spoil=spoil,
        tilt_deg=chance.uniform(0.0, 25.0),
        roll_deg=90.0 + chance.uniform(-4.0, 4.0),
        fill=1.2,
        bend=chance.uniform(-0.05, 0.03),
        at_mm=(60.0, 90.0),
        turn_deg=chance.uniform(-5.0, 15.0),
        print_stretch=tuple(chance.uniform(0.994, 1.006, 2)),
    )


def card_of(seed: int) -> CardScan:
    """Draw a scan of a larger plate with many holes on the frame card."""
    chance = np.random.default_rng(2000 + seed)
    spoil = Spoil(
        seed=seed,
        blur_pixels=chance.uniform(0.7, 1.5),
        noise=chance.uniform(1.0, 5.0),
        jpeg=int(chance.integers(75, 96)),
        uneven=chance.uniform(0.0, 0.45),
        texture=chance.uniform(0.01, 0.06),
        shadow=chance.uniform(0.0, 0.5) if chance.random() < 0.4 else 0.0,
        ground=chance.uniform(0.08, 0.35),
    )
    return CardScan(
        plate=plate_of(chance, count=36, larger=2.0),
        spoil=spoil,
        stretch=tuple(chance.uniform(0.996, 1.004, 2)),
        print_stretch=tuple(chance.uniform(0.994, 1.006, 2)),
        at_mm=(chance.uniform(40.0, 46.0), chance.uniform(70.0, 90.0)),
        turn_deg=chance.uniform(-8.0, 8.0),
        lean_deg=chance.uniform(-1.5, 1.5),
    )


def hidden_in(shot: Photo) -> int:
    """Count holes of which no ray meets the ground."""
    _, _, turn, place = shot.camera()
    eye = -turn.T @ place
    found = 0
    for x, y, across in shot.plate.holes:
        angle = np.radians(shot.turn_deg)
        turned = (np.cos(angle) * x - np.sin(angle) * y, np.sin(angle) * x + np.cos(angle) * y)
        at = np.array(shot.at_mm) + np.array(turned)
        slant = np.hypot(*(eye[:2] - at)) / eye[2]
        found += slant * shot.plate.thickness_mm >= across
    return found


def tried(shot: Scan | Photo | CardScan) -> Tried:
    """Trace one picture and lay it over its plate."""
    picture = picture_file.load(packed(shot.pixels(), quality=shot.spoil.jpeg))
    inside, hidden = None, 0
    if isinstance(shot, Scan):
        scale = scales.from_dpi(shot.dpi, tagged=None)
    else:
        size = (marker_card.WIDTH_MM, marker_card.HEIGHT_MM)
        printed = tuple(one * by for one, by in zip(size, shot.print_stretch, strict=True))
        is_scan = isinstance(shot, CardScan)
        card = frame_card.from_card(
            picture,
            printed_mm=printed,
            thickness_mm=0.0 if is_scan else shot.plate.thickness_mm,
            is_scan=is_scan,
        )
        scale, inside = card.scale, card.inside
        hidden = 0 if is_scan else hidden_in(shot)
    part = traced.trace(picture, scale=scale, inside=inside)
    found = compared(part, shot.plate)
    return Tried(
        holes=len(shot.plate.holes),
        missed=found.missed,
        invented=found.invented,
        hidden=hidden,
        told=any(one.code in {"TRC029", "TRC033"} for one in part.findings),
        figures=(found.centre_mm, found.rms_mm, found.p95_mm),
        apart_mm=found.apart_mm,
    )


def main() -> None:
    """Print one line for every kind of picture, and one for each with a fault."""
    counts = [int(word) for word in sys.argv[1:]] or [80, 30, 60]
    kinds = (
        ("scans at 600 dpi", scan_of),
        ("photographs of 12 MP", photograph_of),
        ("scans at 600 dpi with the card", card_of),
    )
    for (name, draw), count in zip(kinds, counts, strict=False):
        done, refused = [], 0
        for seed in range(count):
            try:
                one = tried(draw(seed))
            except TraceError as fault:
                refused += 1
                print(f"  {name} {seed}: refused: {fault}")
                continue
            done.append(one)
            if one.missed or one.invented:
                print(
                    f"  {name} {seed}: missed {one.missed}, invented {one.invented}, hidden "
                    f"{one.hidden}, warned {one.told}",
                    flush=True,
                )
        if not done:
            continue
        figures = np.array([one.figures for one in done])
        total = {
            "holes": sum(one.holes for one in done),
            "missed": sum(one.missed for one in done),
            "invented": sum(one.invented for one in done),
            "hidden": sum(one.hidden for one in done),
            "unwarned": sum(one.missed + one.invented > 0 and not one.told for one in done),
        }
        print(
            f"{name}: {len(done)} traced, {refused} refused; of {total['holes']} holes "
            f"{total['missed']} missed ({total['hidden']} show no ground), {total['invented']} "
            f"invented; pictures with a fault nobody was warned of: {total['unwarned']}"
        )
        apart = np.concatenate([one.apart_mm for one in done])
        middle, high = np.percentile(apart, (50.0, 95.0))
        print(f"  all centres: median {middle:.4f}, 95 % {high:.4f}, worst {apart.max():.4f} mm")
        labels = ("centres", "outline rms", "outline 95 %")
        for label, column in zip(labels, figures.T, strict=True):
            print(f"  {label}: median {np.median(column):.4f}, worst {column.max():.4f} mm")


if __name__ == "__main__":
    main()
