"""A traced part laid over the plate it is a picture of."""

import numpy as np

from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten


class Compared(Record):
    """How far a traced part is from the truth, after the best turn and shift. [mm]."""

    centre_mm: float
    """Largest distance of a hole's centre from where it is."""
    rms_mm: float
    p95_mm: float
    missed: int
    invented: int
    diameters: tuple
    """``(true, measured)`` of every round hole."""
    apart_mm: tuple = ()
    """Distance of every found hole's centre from where it is, in the order of ``diameters``."""


def compared(part, plate):
    """Compare by the plate's own distance function, without any outline of ours."""
    outline = _dense(np.array(flatten(part.corners, error_mm=0.001)))
    edges = [
        outline,
        *(
            _dense(np.array(flatten(hole.corners, error_mm=0.001)))
            for hole in part.holes
            if not hole.round
        ),
    ]
    spots = np.vstack(edges)
    shift, angle, best = np.zeros(2), 0.0, np.inf
    for quarter in range(4):  # the traced part may lie on any of its sides
        first = quarter * np.pi / 2.0
        placed = _placed(outline, first, np.zeros(2))
        start = (
            np.array((plate.width_mm, plate.height_mm)) / 2.0
            - (placed.min(axis=0) + placed.max(axis=0)) / 2.0
        )
        off = plate.inside(*_placed(spots, first, start).T)
        score = np.abs(off).mean()
        if score < best:
            best, shift, angle = score, start, first
    for _ in range(12):
        step = 1e-4
        off = plate.inside(*_placed(spots, angle, shift).T)
        slopes = np.stack(
            [
                (plate.inside(*_placed(spots, angle, shift + np.array((step, 0))).T) - off) / step,
                (plate.inside(*_placed(spots, angle, shift + np.array((0, step))).T) - off) / step,
                (plate.inside(*_placed(spots, angle + step, shift).T) - off) / step,
            ],
            axis=1,
        )
        move = np.linalg.lstsq(slopes, -off, rcond=None)[0]
        shift, angle = shift + move[:2], angle + move[2]
    off = np.abs(plate.inside(*_placed(spots, angle, shift).T))
    rings = [hole.round for hole in part.holes if hole.round]
    centres = _placed(np.array([(r.x_mm, r.y_mm) for r in rings]).reshape(-1, 2), angle, shift)
    far, pairs, taken = [0.0], [], set()
    for x, y, diameter in plate.holes:
        gaps = np.hypot(*(centres - (x, y)).T) if len(centres) else np.array([np.inf])
        near = int(gaps.argmin())
        if gaps[near] < diameter / 2.0:
            taken.add(near)
            far.append(float(gaps[near]))
            pairs.append((diameter, rings[near].measured_mm))
    return Compared(
        centre_mm=max(far),
        rms_mm=float(np.sqrt((off**2).mean())),
        p95_mm=float(np.percentile(off, 95)),
        missed=len(plate.holes) - len(pairs),
        invented=len(rings) - len(taken) + max(0, len(part.holes) - len(rings) - 1),
        diameters=tuple(pairs),
        apart_mm=tuple(far[1:]),
    )


def _placed(spots, angle, shift):
    turn = np.array(((np.cos(angle), np.sin(angle)), (-np.sin(angle), np.cos(angle))))
    return spots @ turn + shift


def _dense(corners, pitch_mm=0.05):
    """Go along a closed line in small equal steps."""
    ring = np.vstack((corners, corners[:1]))
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))
    marks = np.arange(0.0, along[-1], pitch_mm)
    return np.stack([np.interp(marks, along, ring[:, axis]) for axis in (0, 1)], axis=1)
