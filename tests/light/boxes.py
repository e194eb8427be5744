"""Boxes for the tests: the reference scenes as records, and small ones made up."""

import json
from math import pi
from pathlib import Path

import numpy as np

from lamphouse.light.scene import (
    Aperture,
    Baffle,
    Box,
    CosinePower,
    Diffuser,
    Disc,
    Haze,
    IntensityTable,
    Lamp,
    Patch,
    Rectangle,
    Sheet,
)
from lamphouse.record import replace

SCENES = Path(__file__).parents[1] / "reference" / "light_scenes"

OPAL = Diffuser(transmittance=0.55, reflectance=0.35)


def rectangle(left, bottom, right, top):
    return Rectangle(left_mm=left, bottom_mm=bottom, right_mm=right, top_mm=top)


def lamp(x, y, z, *, direction=(0.0, 0.0, 1.0), m=1.0, flux=1.0, name="W1"):
    return Lamp(
        name=name,
        x_mm=x,
        y_mm=y,
        z_mm=z,
        direction=direction,
        beam=CosinePower(m=m),
        flux_lm=flux,
    )


def plain_box(**changes):
    """A white box of 30 x 20 x 8 mm with one lamp and one opening."""
    box = Box(
        outline=((0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)),
        depth_mm=8.0,
        back_reflectance=0.85,
        panel_reflectance=0.85,
        wall_reflectances=(0.85,),
        lamps=(lamp(12.0, 9.0, 0.6),),
        apertures=(Aperture(name="A", shape=rectangle(3.0, 3.0, 27.0, 17.0), fill=OPAL),),
    )
    return replace(box, **changes)


def _aperture(record):
    if record["shape"] == "rect":
        shape = rectangle(*record["rect_mm"])
    elif record["shape"] == "polygon":
        shape = Patch(ring=tuple(map(tuple, record["ring_mm"])))
    else:
        x, y = record["center_mm"]
        shape = Disc(x_mm=x, y_mm=y, diameter_mm=record["diameter_mm"])
    haze = Haze(**record["haze"]) if "haze" in record else None
    fill = Diffuser(transmittance=record["tau"], reflectance=record["rho"], haze=haze)
    return Aperture(
        name=record["name"], shape=shape, fill=None if record["fill"] == "open" else fill
    )


def _lamp(record, *, name):
    if "beam" in record:
        x, y, z = record["pos_mm"]
        return Lamp(
            name=name,
            x_mm=x,
            y_mm=y,
            z_mm=z,
            direction=tuple(record["dir"]),
            beam=IntensityTable(**{key: tuple(row) for key, row in record["beam"].items()}),
            flux_lm=record["flux_lm"],
        )
    flux = 2.0 * pi * record["I0_cd"] / (record["m"] + 1.0)
    return lamp(
        *record["pos_mm"], direction=tuple(record["dir"]), m=record["m"], flux=flux, name=name
    )


def box_of(scene):
    paint, sheet = scene["reflectance"], scene["inner_sheet"]
    return Box(
        outline=tuple(map(tuple, scene["outline_mm"])),
        holes=tuple(tuple(map(tuple, ring)) for ring in scene.get("holes_mm", [])),
        depth_mm=scene["depth_mm"],
        back_reflectance=paint["back"],
        panel_reflectance=paint["panel_inside"],
        wall_reflectances=tuple(np.atleast_1d(paint["walls"]).tolist()),
        lamps=tuple(
            _lamp(led, name=f"W{number}") for number, led in enumerate(scene["leds"], start=1)
        ),
        apertures=tuple(map(_aperture, scene["apertures"])),
        baffles=tuple(
            Baffle(
                start_mm=tuple(baffle["from_mm"]),
                end_mm=tuple(baffle["to_mm"]),
                low_mm=baffle["z0_mm"],
                high_mm=baffle["z1_mm"],
                reflectance=baffle["reflectance"],
            )
            for baffle in scene["baffles"]
        ),
        sheet=sheet
        and Sheet(height_mm=sheet["z_mm"], transmittance=sheet["tau"], reflectance=sheet["rho"]),
    )


def scenes(name):
    return json.loads((SCENES / name).read_text(encoding="utf-8"))["scenes"]
