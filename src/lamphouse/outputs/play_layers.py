"""A panel in layers of light, one for each source group behind it, for the page to play."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.artwork_look import eye
from lamphouse.colour.display import SRGB, linear_of
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.observer import tristimulus
from lamphouse.colour.spectrum import Array
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import Panel
from lamphouse.design.place import SubAssembly
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.scene import Box, Lamp
from lamphouse.outputs.glow_picture import resampled, window_of
from lamphouse.outputs.panel_colours import judged_room, light_of_panel, white_at
from lamphouse.outputs.panel_thumb import glows_behind
from lamphouse.plan.artworked import studies
from lamphouse.plan.pictured import Pictured, pictured
from lamphouse.plan.result import Plan
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import bounds_mm, size_mm

_WHOLE = 65535
_LEAST_SHARE = 1e-6
_DIMMEST_CD_M2 = 1e-6
_LEAST_PER_MM, _MOST_PER_MM = 0.5, 4.0


class Dot(Record):
    """The tip of a strand."""

    group: str
    x_mm: float
    y_mm: float
    """From the upper left corner of the picture, down."""
    diameter_mm: float
    rgb: tuple[float, float, float]
    """Linear values of the screen at full light, 1 being its white."""


class PlayLayers(Record, eq=False):
    """A panel in layers: add them, each by its group's light, and show the sum."""

    rows: int
    columns: int
    pixels_per_mm: float
    steady: NDArray[np.uint16]
    """(rows, columns, 3), the upper row first; linear values of the screen, 65535 its white."""
    groups: Mapping[str, NDArray[np.uint16]]
    """The same of each group that lights an opening, at full light."""
    shown: NDArray[np.uint8]
    """(rows, columns), 255 where the pixel is panel."""
    dots: tuple[Dot, ...]
    white_cd_m2: float


def played_panels(plan: Plan) -> tuple[tuple[str, str], ...]:
    """List the panels on which a played group shows: sub-assembly and panel."""
    names = set(plan.time_line.table.groups) if plan.time_line else set()
    return tuple(
        (sub.name, panel.name)
        for sub in plan.design.sub_assemblies
        for panel in sub.panels
        if _shows(sub, panel, names)
    )


def _shows(sub: SubAssembly, panel: Panel, names: set[str]) -> bool:
    strands = any(strand.group in names for strand in sub.strands_of(panel.name))
    leds = (led for box in sub.boxes_of(panel.name) for led in box.leds)
    return strands or any(led.group in names for led in leds)


def play_layers(
    plan: Plan, *, sub: SubAssembly, panel: Panel, lx: float, longest_px: int = 320
) -> PlayLayers:
    """Part the light of a panel by source group, in a room as light as one wants.

    Light of LEDs adds up, so that each group's part of an opening is found by solving its box with
    that group's LEDs alone; what the parts leave over is steady.
    """
    fineness = min(
        max(longest_px / max(size_mm(panel.outline.corners)), _LEAST_PER_MM), _MOST_PER_MM
    )
    glows = glows_behind(plan, sub, panel)
    lit = tuple(pictured(glow, pixels_per_mm=fineness) for glow in glows)
    room = judged_room(plan.design.room)
    light = light_of_panel(
        panel,
        lit=lit,
        prints={one.place.opening.name: one for one in studies(plan.design, glows=glows)},
        room=room,
        longest_px=longest_px,
    )
    shape = light.lit.shape[:2]
    shares = _shares(plan, sub, panel, lit, shape=shape, per_mm=light.pixels_per_mm)
    steady = 1.0 - sum(shares.values(), np.zeros(shape))
    white = white_at(lx, room=room)
    adapted = eye(white, full_cd_m2=1.0)
    thrown = lx / room.room_light_lx * light.thrown

    def linear(xyz: Array) -> Array:
        return np.maximum(linear_of(xyz @ adapted.T, screen=SRGB), 0.0)

    full = max(float(linear(light.lit + thrown).max()), float(white[1]), _DIMMEST_CD_M2)

    def whole(xyz: Array) -> NDArray[np.uint16]:
        scaled = np.minimum(linear(xyz) / full, 1.0) * _WHOLE
        return np.asarray(np.rint(scaled)[::-1], dtype=np.uint16)

    return PlayLayers(
        rows=shape[0],
        columns=shape[1],
        pixels_per_mm=light.pixels_per_mm,
        steady=whole(light.lit * np.maximum(steady, 0.0)[..., None] + thrown),
        groups={name: whole(light.lit * share[..., None]) for name, share in shares.items()},
        shown=np.rint(light.shown * 255.0).astype(np.uint8)[::-1],
        dots=tuple(_dots(plan, sub, panel, adapted=adapted, full=full)),
        white_cd_m2=full,
    )


def _shares(
    plan: Plan,
    sub: SubAssembly,
    panel: Panel,
    lit: Sequence[Pictured],
    *,
    shape: tuple[int, int],
    per_mm: float,
) -> dict[str, Array]:
    """Give the share of each played group in the light of every pixel."""
    played = plan.time_line.table.groups if plan.time_line else ()
    groups = {led.name: led.group for _, box in sub.boxes for led in box.leds}
    left, bottom, _, _ = bounds_mm(panel.outline.corners)
    shares: dict[str, Array] = {}
    for box in lit:
        lamps = {groups.get(lamp.name, "") for lamp in _lamps(box.glow)}
        for name in (one for one in played if one in lamps):
            alone = {led for led, group in groups.items() if group == name}
            part = pictured(_only(box.glow, lamps=alone), pixels_per_mm=per_mm)
            grid = shares.setdefault(name, np.zeros(shape))
            for aperture, all_, own in zip(
                box.glow.scene.apertures, box.pictures, part.pictures, strict=True
            ):
                opening = next((o for o in panel.openings if o.name == aperture.name), None)
                if opening is None:
                    continue
                at = window_of(opening.outline, (left, bottom), shape, per_mm)
                both = resampled(all_, x_mm=at.x_mm, y_mm=at.y_mm)
                some = resampled(own, x_mm=at.x_mm, y_mm=at.y_mm)
                share = np.clip(some / np.maximum(both, _LEAST_SHARE), 0.0, 1.0)
                inner = grid[at.rows, at.columns]
                np.copyto(inner, share, where=at.cover > 0.0)
    return shares


def _lamps(glow: BoxGlow) -> Iterator[Lamp]:
    boxes = glow.suite.boxes if glow.suite else (glow.scene,)
    return (lamp for box in boxes for lamp in box.lamps)


def _only(glow: BoxGlow, *, lamps: set[str]) -> BoxGlow:
    """Give a glow with some of its lamps alone; the others are dark."""

    def dimmed(box: Box) -> Box:
        return replace(
            box,
            lamps=tuple(
                lamp if lamp.name in lamps else replace(lamp, flux_lm=0.0) for lamp in box.lamps
            ),
        )

    suite = glow.suite and replace(glow.suite, boxes=tuple(map(dimmed, glow.suite.boxes)))
    return replace(glow, scene=dimmed(glow.scene), suite=suite)


def _dots(
    plan: Plan, sub: SubAssembly, panel: Panel, *, adapted: Array, full: float
) -> Iterator[Dot]:
    left, _, _, top = bounds_mm(panel.outline.corners)
    sources: dict[str, Led] = {g.name: g.source for g in plan.design.groups if g.source}
    sizes = {one.fibre.name: one.fibre.diameter_mm for _, one in sub.strands}
    for row in plan.strands.rows if plan.strands else ():
        source = sources.get(row.group)
        if (row.sub_assembly, row.panel) != (sub.name, panel.name) or source is None:
            continue
        colour = tristimulus(lamp_spectrum(source.led_type).values)
        xyz = colour / max(float(colour[1]), _DIMMEST_CD_M2) * (row.tip_cd_m2 or 0.0)
        rgb = np.maximum(linear_of(xyz @ adapted.T, screen=SRGB), 0.0) / full
        rgb = rgb / max(1.0, float(rgb.max()))
        yield Dot(
            group=row.group,
            x_mm=row.x_mm - left,
            y_mm=top - row.y_mm,
            diameter_mm=sizes.get(row.fibre, 0.5),
            rgb=(float(rgb[0]), float(rgb[1]), float(rgb[2])),
        )
