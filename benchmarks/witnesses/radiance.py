"""A box for Radiance: ``rtrace`` is asked for the illuminance at points of each opening.

Sheets are its ``trans`` material without gloss, which is Lambertian on both sides. Lamps are small
even squares counted by their middle, so they act as points; other beams are patterns of the angle.
Not said: haze, and beams that reach behind the lamp.
"""

import os
import resource
import signal
import subprocess
from collections.abc import Sequence
from functools import partial
from itertools import pairwise
from math import ceil, pi
from pathlib import Path

import numpy as np
import pyradiance
from numpy.typing import NDArray

from lamphouse.light.scene import (
    Aperture,
    Box,
    CosinePower,
    Disc,
    IntensityTable,
    Lamp,
    Rectangle,
)
from lamphouse.record import Record
from witnesses.sighting import HAIR_MM, LAMP_MM, Sighting, summed
from witnesses.uprights_of import Upright, around, uprights
from witnesses.where_seen import points

Floats = NDArray[np.float64]

PACKAGE = Path(pyradiance.__file__).parent
BIN = PACKAGE / "bin"
AROUND = {**os.environ, "RAYPATH": f".:{PACKAGE / 'lib'}"}

CLEAR_MM = 1e-4
"""Illuminance is asked for this far from a face; the program steps back as much again."""

LX_PER_LM_MM2 = 1e6

POINT_LAMPS = ("-ds", "0", "-dj", "0", "-dt", "0", "-dc", "1", "-dr", "0", "-st", "1")
PATHS = ("-u+", "-aa", "0", "-ad", "1", "-as", "0", "-ab", "1000", "-lr", "0", "-lw", "0.1")
"""One path from each point, ended by chance: free of bias."""


def branching(count: int) -> tuple[str, ...]:
    """Give settings by which each path branches into so many, stratified, at its first step."""
    settings = list(PATHS)
    settings[settings.index("-ad") + 1] = str(count)
    settings[settings.index("-lw") + 1] = f"{0.1 / count:.3g}"
    return tuple(settings)


def can_say(box: Box) -> bool:
    """Tell whether a box can be asked for."""
    hazy = any(item.fill is not None and item.fill.haze is not None for item in box.apertures)
    behind = any(
        isinstance(lamp.beam, IntensityTable) and lamp.beam.angles_deg[-1] > 90.0
        for lamp in box.lamps
    )
    return not (hazy or behind)


def _plastic(name: str, reflectance: float) -> str:
    shade = f"{reflectance:.9g} " * 3
    return f"void plastic {name} 0 0 5 {shade} 0 0\n"


def _polygon(material: str, name: str, corners: Sequence[Sequence[float]]) -> str:
    places = " ".join(f"{value:.9g}" for corner in corners for value in corner)
    return f"{material} polygon {name} 0 0 {3 * len(corners)} {places}\n"


def _upright(one: Upright, *, name: str) -> str:
    (ax, ay), (bx, by) = one.start_mm, one.end_mm
    low, high = one.low_mm, one.high_mm
    corners = ((ax, ay, low), (bx, by, low), (bx, by, high), (ax, ay, high))
    return _plastic(f"paint_{name}", one.reflectance) + _polygon(f"paint_{name}", name, corners)


def _level(box: Box, *, height: float, material: str, name: str) -> str:
    left, bottom, right, top = around(box)
    ring = ((left, bottom), (right, bottom), (right, top), (left, top))
    return _polygon(material, name, [(x, y, height) for x, y in ring])


def _pattern(beam: CosinePower | IntensityTable) -> tuple[str, float]:
    """Give radiance as a function of the angle ``off`` from the axis, and its flux at peak 1."""
    if isinstance(beam, CosinePower):
        return f"Rdot^{beam.m - 1.0:.9g}", 2.0 * pi / (beam.m + 1.0)
    angle, value = np.radians(beam.angles_deg), np.array(beam.relative)
    rule = "0"
    for (low, high), (one, other) in zip(pairwise(angle), pairwise(value), strict=True):
        slope = (other - one) / (high - low)
        line = f"({one:.9g} + {slope:.9g} * (off - {low:.9g})) / Rdot"
        rule = f"if(off - {low:.9g}, {line}, {rule})"
    fine = np.linspace(0.0, angle[-1], 100_001)
    return rule, 2.0 * pi * float(np.trapezoid(np.interp(fine, angle, value) * np.sin(fine), fine))


class Staged(Record):
    """A box compiled for Radiance."""

    box: Box
    octree: Path


def _fill_of(aperture: Aperture, *, depth: float, name: str) -> str:
    shape, height = aperture.shape, depth
    paint = _plastic(f"fill_{name}", 0.0 if aperture.fill is None else aperture.fill.reflectance)
    if isinstance(shape, Disc):
        radius = shape.diameter_mm / 2.0
        place = f"{shape.x_mm:.9g} {shape.y_mm:.9g} {height:.9g} 0 0 -1 0 {radius:.9g}"
        return paint + f"fill_{name} ring {name} 0 0 8 {place}\n"
    if isinstance(shape, Rectangle):
        ring = (
            (shape.left_mm, shape.bottom_mm),
            (shape.right_mm, shape.bottom_mm),
            (shape.right_mm, shape.top_mm),
            (shape.left_mm, shape.top_mm),
        )
    else:
        ring = shape.ring
    return paint + _polygon(f"fill_{name}", name, [(x, y, height) for x, y in ring])


def _lamp(lamp: Lamp, *, name: str, folder: Path) -> str:
    axis = np.array(lamp.direction) / np.linalg.norm(lamp.direction)
    aside = np.eye(3)[int(np.argmin(np.abs(axis)))]
    one = np.cross(aside, axis)
    one *= LAMP_MM / 2.0 / np.linalg.norm(one)
    other = np.cross(axis, one)
    place = np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm])
    corners = [place - one - other, place + one - other, place + one + other, place - one + other]
    rule, flux = _pattern(lamp.beam)
    (folder / f"beam_{name}.cal").write_text(
        f"off = Acos(Rdot);\nbeam_{name} = if(Rdot, {rule}, 0);\n"
    )
    shade = f"{lamp.flux_lm / flux / LAMP_MM**2:.9g} " * 3
    return (
        f"void brightfunc beam_{name} 2 beam_{name} beam_{name}.cal 0 0\n"
        f"beam_{name} light light_{name} 0 0 3 {shade}\n"
        + _polygon(f"light_{name}", name, [corner.tolist() for corner in corners])
    )


def stage(box: Box, *, folder: Path) -> Staged:
    """Write a box into a folder of its own and compile it."""
    text = _plastic("paint_back", box.back_reflectance)
    text += _plastic("paint_panel", box.panel_reflectance)
    text += _level(box, height=0.0, material="paint_back", name="back")
    text += _level(box, height=box.depth_mm + HAIR_MM, material="paint_panel", name="panel")
    if box.sheet is not None:
        total = box.sheet.transmittance + box.sheet.reflectance
        shade = f"{total:.9g} " * 3
        through = box.sheet.transmittance / total
        text += f"void trans paint_sheet 0 0 7 {shade} 0 0 {through:.9g} 0\n"
        text += _level(box, height=box.sheet.height_mm, material="paint_sheet", name="sheet")
    for number, one in enumerate(uprights(box)):
        text += _upright(one, name=f"upright{number}")
    for number, aperture in enumerate(box.apertures):
        text += _fill_of(aperture, depth=box.depth_mm, name=f"opening{number}")
    for number, lamp in enumerate(box.lamps):
        text += _lamp(lamp, name=f"lamp{number}", folder=folder)
    (folder / "box.rad").write_text(text)
    made = subprocess.run(
        [BIN / "oconv", "box.rad"], cwd=folder, env=AROUND, check=True, capture_output=True
    )
    (folder / "box.oct").write_bytes(made.stdout)
    return Staged(box=box, octree=folder / "box.oct")


def _asked(box: Box, *, aperture: Aperture) -> list[tuple[float, float, float]]:
    """List what an opening shows: height, which way its face looks, luminance per illuminance."""
    if aperture.fill is not None:
        share = aperture.fill.transmittance / pi
        return [(box.depth_mm - CLEAR_MM, -1.0, share)]
    if box.sheet is None:
        return [(CLEAR_MM, 1.0, box.back_reflectance / pi)]
    height = box.sheet.height_mm
    return [
        (height + CLEAR_MM, 1.0, box.sheet.reflectance / pi),
        (height - CLEAR_MM, -1.0, box.sheet.transmittance / pi),
    ]


def _hold(limit_s: float) -> None:
    """Let this process have so much of the processor. [s]."""
    limit = ceil(limit_s)
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))


def illuminance(
    staged: Staged, *, rays: Floats, settings: Sequence[str], limit_s: float | None = None
) -> tuple[Floats, float]:
    """Ask for the illuminance at places with their normals (R, 6), in one process.

    Returns
    -------
    tuple
        Illuminance (R,) [lm/mm2] and the processor time. [s].
    """
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [BIN / "rtrace", "-h", "-w", "-I", "-fdd", "-ov", *POINT_LAMPS, *settings]
    done = subprocess.run(
        [*command, staged.octree],
        cwd=staged.octree.parent,
        env=AROUND,
        check=False,
        capture_output=True,
        input=np.ascontiguousarray(rays).tobytes(),
        preexec_fn=partial(_hold, limit_s) if limit_s else None,
    )
    if -done.returncode in {signal.SIGXCPU, signal.SIGKILL}:
        raise TimeoutError
    done.check_returncode()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    took = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return np.frombuffer(done.stdout).reshape(-1, 3)[:, 0], took


def idle_s(staged: Staged) -> float:
    """Time of a process that is asked for nothing. [s]."""
    return illuminance(staged, rays=np.zeros((0, 6)), settings=PATHS)[1]


def look(
    staged: Staged,
    *,
    number: int,
    paths: int,
    runs: int,
    seed: int,
    settings: Sequence[str] = PATHS,
    limit_s: float | None = None,
) -> tuple[Sighting, float]:
    """Look at an opening from so many points of each spot, some times over.

    All runs are one process: it takes its own seed from the second it starts in.

    Returns
    -------
    tuple
        What was seen, and the processor time. [s].

    Raises
    ------
    TimeoutError
        If it takes more than ``limit_s`` of the processor.
    """
    aperture = staged.box.apertures[number]
    random = np.random.default_rng(seed)
    spread = np.stack([points(aperture.shape, count=paths, random=random) for _ in range(runs)])
    flat = spread.reshape(-1, 2)
    total, time_s = np.zeros(spread.shape[:2]), 0.0
    for height, up, share in _asked(staged.box, aperture=aperture):
        rays = np.column_stack([flat, np.tile([height, 0.0, 0.0, up], (len(flat), 1))])
        found, took = illuminance(staged, rays=rays, settings=settings, limit_s=limit_s)
        total += LX_PER_LM_MM2 * share * found.reshape(spread.shape[:3]).mean(axis=2)
        time_s += took
    return summed(total, paths=flat.shape[0]), time_s
