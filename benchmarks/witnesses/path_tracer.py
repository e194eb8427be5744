"""A box for the path tracer Mitsuba 3, each opening looked at from inside and close by.

What an ideal diffuser throws back tells what it passes, so what fills an opening needs no material
of its own; the inner sheet, which light crosses, is a Lambertian transmitter written here. Lamps
are small even squares. Not said: haze, beams that are not Lambertian, and openings that are neither
upright rectangles nor discs.
"""

from math import pi
from typing import Any

import drjit as dr
import mitsuba as mi
import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Aperture, Box, CosinePower, Disc, Lamp, Patch, Rectangle
from lamphouse.record import Record
from witnesses.sighting import HAIR_MM, LAMP_MM, Sighting, summed
from witnesses.uprights_of import Upright, around, uprights
from witnesses.where_seen import ACROSS, UP, points

VARIANT = "llvm_ad_mono"
mi.set_variant(VARIANT)

Floats = NDArray[np.float64]
Parts = dict[str, Any]

NEAR_MM = 0.02
"""The eye is this near to what it looks at."""

ROULETTE = 12
"""Reflections before chance may end a path; nothing else ends one."""

LX_PER_LM_MM2 = 1e6


class EvenSheet(mi.BSDF):
    """A sheet that throws back and lets through evenly, on both sides."""

    def __init__(self, props: mi.Properties) -> None:
        super().__init__(props)
        self.reflectance = float(props["reflectance"])
        self.transmittance = float(props["transmittance"])
        both = mi.BSDFFlags.FrontSide | mi.BSDFFlags.BackSide
        back, through = mi.BSDFFlags.DiffuseReflection, mi.BSDFFlags.DiffuseTransmission
        self.m_components = [back | both, through | both]
        self.m_flags = back | through | both

    def sample(self, ctx, si, sample1, sample2, active):
        """Choose a direction by the cosine and a side by the shares."""
        total = self.reflectance + self.transmittance
        thrown = sample1 * total < self.reflectance
        out = mi.warp.square_to_cosine_hemisphere(sample2)
        side = dr.select((si.wi.z > 0.0) == thrown, 1.0, -1.0)
        found = mi.BSDFSample3f()
        found.wo = mi.Vector3f(out.x, out.y, side * out.z)
        found.pdf = self.pdf(ctx, si, found.wo, active)
        found.eta = 1.0
        found.sampled_type = dr.select(
            thrown,
            mi.UInt32(int(mi.BSDFFlags.DiffuseReflection)),
            mi.UInt32(int(mi.BSDFFlags.DiffuseTransmission)),
        )
        found.sampled_component = dr.select(thrown, mi.UInt32(0), mi.UInt32(1))
        return found, mi.Spectrum(total) & (active & (found.pdf > 0.0))

    def _share(self, si, wo):
        same = si.wi.z * wo.z > 0.0
        return dr.select(same, self.reflectance, self.transmittance) * dr.abs(wo.z) / pi

    def eval(self, ctx, si, wo, active):  # noqa: ARG002
        """Give reflectance or transmittance over pi, times the cosine."""
        return mi.Spectrum(self._share(si, wo)) & active

    def pdf(self, ctx, si, wo, active):  # noqa: ARG002
        """Give the density that ``sample`` draws from."""
        density = self._share(si, wo) / (self.reflectance + self.transmittance)
        return dr.select(active, density, 0.0)

    def eval_pdf(self, ctx, si, wo, active):
        """Give both."""
        return self.eval(ctx, si, wo, active), self.pdf(ctx, si, wo, active)

    def to_string(self) -> str:
        """Give its name."""
        return "EvenSheet"


mi.register_bsdf("even_sheet", EvenSheet)


def can_say(box: Box) -> bool:
    """Tell whether a box can be asked for."""
    plain = all(isinstance(lamp.beam, CosinePower) and lamp.beam.m == 1.0 for lamp in box.lamps)
    hazy = any(item.fill is not None and item.fill.haze is not None for item in box.apertures)
    patchy = any(isinstance(item.shape, Patch) for item in box.apertures)
    return plain and not hazy and not patchy


def _paint(reflectance: float) -> Parts:
    """Give a surface that throws light back evenly on both sides."""
    return {"type": "twosided", "bsdf": {"type": "diffuse", "reflectance": _grey(reflectance)}}


def _grey(value: float) -> Parts:
    return {"type": "uniform", "value": value}


def _plate(middle: Floats, *, one: Floats, other: Floats) -> Parts:
    """Place a rectangle by its middle and half sides; it faces along one x other."""
    normal = np.cross(one, other)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 3] = one, other, middle
    matrix[:3, 2] = normal / np.linalg.norm(normal)
    return {"type": "rectangle", "to_world": mi.ScalarTransform4f(matrix)}


def _upright(one: Upright) -> Parts:
    start, end = np.array(one.start_mm), np.array(one.end_mm)
    middle = np.array([*(start + end) / 2.0, (one.low_mm + one.high_mm) / 2.0])
    half = np.array([*(end - start) / 2.0, 0.0])
    rise = np.array([0.0, 0.0, (one.high_mm - one.low_mm) / 2.0])
    return {**_plate(middle, one=half, other=rise), "bsdf": _paint(one.reflectance)}


def _level(sides: tuple[float, float, float, float], *, height: float) -> Parts:
    """Place a level rectangle that faces down."""
    left, bottom, right, top = sides
    middle = np.array([(left + right) / 2.0, (bottom + top) / 2.0, height])
    half = np.array([(right - left) / 2.0, 0.0, 0.0])
    return _plate(middle, one=half, other=np.array([0.0, (bottom - top) / 2.0, 0.0]))


def _disc(disc: Disc, *, height: float) -> Parts:
    """Place a level disc that faces down."""
    radius = disc.diameter_mm / 2.0
    matrix = np.diag([radius, -radius, -1.0, 1.0])
    matrix[:3, 3] = (disc.x_mm, disc.y_mm, height)
    return {"type": "disk", "to_world": mi.ScalarTransform4f(matrix)}


def _sides(rectangle: Rectangle) -> tuple[float, float, float, float]:
    return rectangle.left_mm, rectangle.bottom_mm, rectangle.right_mm, rectangle.top_mm


def _lamp(lamp: Lamp) -> Parts:
    """Place a small even emitter: its peak intensity is flux over pi."""
    axis = np.array(lamp.direction) / np.linalg.norm(lamp.direction)
    aside = np.eye(3)[int(np.argmin(np.abs(axis)))]
    one = np.cross(aside, axis)
    one *= LAMP_MM / 2.0 / np.linalg.norm(one)
    radiance = lamp.flux_lm / pi / LAMP_MM**2
    return {
        **_plate(np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm]), one=one, other=np.cross(axis, one)),
        "bsdf": {"type": "diffuse", "reflectance": _grey(0.0)},
        "emitter": {"type": "area", "radiance": _grey(radiance)},
    }


def _filling(aperture: Aperture, *, depth: float) -> Parts:
    shape = aperture.shape
    if isinstance(shape, Patch):
        message = "openings with corners are not said"
        raise TypeError(message)
    placed = (
        _disc(shape, height=depth)
        if isinstance(shape, Disc)
        else _level(_sides(shape), height=depth)
    )
    return {**placed, "bsdf": _paint(0.0 if aperture.fill is None else aperture.fill.reflectance)}


def _parts(box: Box) -> Parts:
    """Place everything but the eye."""
    sides, panel = around(box), box.depth_mm + HAIR_MM
    placed: Parts = {
        "type": "scene",
        "back": {**_level(sides, height=0.0), "bsdf": _paint(box.back_reflectance)},
        "panel": {**_level(sides, height=panel), "bsdf": _paint(box.panel_reflectance)},
    }
    if box.sheet is not None:
        bsdf = {
            "type": "even_sheet",
            "reflectance": box.sheet.reflectance,
            "transmittance": box.sheet.transmittance,
        }
        placed["sheet"] = {**_level(sides, height=box.sheet.height_mm), "bsdf": bsdf}
    for number, one in enumerate(uprights(box)):
        placed[f"upright{number}"] = _upright(one)
    for number, lamp in enumerate(box.lamps):
        placed[f"lamp{number}"] = _lamp(lamp)
    for number, aperture in enumerate(box.apertures):
        placed[f"opening{number}"] = _filling(aperture, depth=box.depth_mm)
    return placed


def _eye(rectangle: Rectangle, *, height: float, up: bool) -> Parts:
    """Look squarely at a level rectangle, a pixel for each spot."""
    left, bottom, right, top = _sides(rectangle)
    sign = 1.0 if up else -1.0
    wide, high = (right - left) / 2.0, (top - bottom) / 2.0
    # The camera makes its pixels square: it shortens the picture's height by its aspect.
    matrix = np.diag([wide, sign * high * ACROSS / UP, sign, 1.0])
    matrix[:3, 3] = ((left + right) / 2.0, (bottom + top) / 2.0, height - sign * NEAR_MM)
    return {
        "type": "orthographic",
        "near_clip": NEAR_MM / 100.0,
        "far_clip": 2.0 * NEAR_MM,
        "to_world": mi.ScalarTransform4f(matrix),
        "sampler": {"type": "multijitter"},
        "film": {
            "type": "hdrfilm",
            "width": ACROSS,
            "height": UP,
            "rfilter": {"type": "box"},
            "pixel_format": "luminance",
            "component_format": "float32",
        },
    }


class Staged(Record):
    """An opening ready to be looked at."""

    scene: Any
    integrator: Any
    share: float
    """Luminance of the opening over that of what is looked at."""
    disc: Disc | None
    height_mm: float
    looks_up: bool

    @property
    def spots(self) -> int:
        """Number of spots S."""
        return ACROSS * UP if self.disc is None else 1


def stage(box: Box, *, number: int) -> Staged:
    """Place a box and the eye for one of its openings."""
    aperture, placed = box.apertures[number], _parts(box)
    fill, shape = aperture.fill, aperture.shape
    height, share = box.depth_mm, 1.0
    if fill is not None:
        share = fill.transmittance / fill.reflectance
    else:
        height = 0.0 if box.sheet is None else box.sheet.height_mm
    if isinstance(shape, Rectangle):
        placed["eye"] = _eye(shape, height=height, up=fill is not None)
    return Staged(
        scene=mi.load_dict(placed),
        integrator=mi.load_dict({"type": "path", "max_depth": -1, "rr_depth": ROULETTE}),
        share=share * LX_PER_LM_MM2,
        disc=shape if isinstance(shape, Disc) else None,
        height_mm=height,
        looks_up=fill is not None,
    )


def _at_points(staged: Staged, *, spots: Floats, seed: int) -> Floats:
    """Look up at single points (N, 2) of a level face; their radiances (N,)."""
    sampler = mi.load_dict({"type": "independent"})
    sampler.seed(seed, len(spots))
    x, y = (mi.Float(column.astype(np.float32)) for column in spots.T)
    eye = mi.Point3f(x, y, mi.Float(staged.height_mm - NEAR_MM))
    rays = mi.RayDifferential3f(mi.Ray3f(eye, mi.Vector3f(0.0, 0.0, 1.0)))
    found, _, _ = staged.integrator.sample(staged.scene, sampler, rays)
    return np.array(found, dtype=np.float64).reshape(-1)


def look(staged: Staged, *, paths: int, seed: int) -> Floats:
    """Give the luminance of every spot (S,) from so many paths for each. [cd/m2]."""
    if staged.disc is not None:
        spots = points(staged.disc, count=paths, random=np.random.default_rng(seed))[0]
        return staged.share * _at_points(staged, spots=spots, seed=seed).mean(keepdims=True)
    seen = staged.integrator.render(staged.scene, spp=paths, seed=seed)
    picture = staged.share * np.array(seen, dtype=np.float64)[..., 0]
    # Columns run against x; rows run against y where the eye looks up.
    return np.ravel(picture[::-1, ::-1] if staged.looks_up else picture[:, ::-1])


def sighting(staged: Staged, *, paths: int, runs: int, seed: int) -> Sighting:
    """Look some times, with seeds that follow one another."""
    found = [look(staged, paths=paths, seed=seed + run) for run in range(runs)]
    return summed(found, paths=paths * runs * staged.spots)
