"""Designs for the tests: the reference scenes as a maker would write them, and a small one."""

from datetime import date
from math import acos, degrees, pi

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.tables import Origin, OriginKind
from lamphouse.design.lightbox import Baffle, InnerDiffuser, Led, LightBox, Seat
from lamphouse.design.panel import Layer, LayerKind, Opening, Outline, Panel
from lamphouse.findings import Where
from lamphouse.shapes.outline import circle, polygon, rectangle

ORIGIN = Origin(source="MEMORY", kind=OriginKind.TYPICAL, day=date(2026, 11, 25))
SHEET = SheetStock(
    name="styrene 1.0 mm",
    material="styrene",
    thickness_mm=1.0,
    size_mm=(300.0, 200.0),
    origin=ORIGIN,
)


def where(item):
    return Where(item=item)


def film(transmittance, reflectance, *, name="film", use="diffuser"):
    return FilmType(
        name=name,
        use=use,
        thickness_mm=0.2,
        transmittance=transmittance,
        reflectance=reflectance,
        origin=ORIGIN,
    )


def layers(*films):
    return tuple(Layer(kind=LayerKind(one.use), film=one) for one in films)


def finish(reflectance, *, shine="matt"):
    return Finish(name="paint", reflectance=reflectance, shine=shine, origin=ORIGIN)


def led_type(*, height_mm=0.6, flux_lm=1.0, beam_deg=120.0, cct_K=6500.0):
    return LedType(
        name="white 0603" if cct_K else "red 0603",
        package="0603",
        package_mm=(1.6, 0.8, height_mm),
        colour="white" if cct_K else "red",
        peak_nm=None if cct_K else 630.0,
        cct_K=cct_K,
        curve=((0.0003, 2.57), (0.001, 2.65), (0.02, 3.04)),
        spread_V=0.2,
        drift_V_per_K=-0.003,
        max_current_A=0.02,
        flux_lm=flux_lm,
        flux_current_A=0.005,
        beam_deg=beam_deg,
        origin=ORIGIN,
    )


def led(name, x_mm, y_mm, *, kind=None, current_A=0.005, seat=Seat.BACK, height_mm=0.0):
    return Led(
        name=name,
        where=where(f"LED {name}"),
        led_type=kind or led_type(),
        x_mm=x_mm,
        y_mm=y_mm,
        current_A=current_A,
        seat=seat,
        height_mm=height_mm,
    )


def outline(corners, *, diameter_mm=None):
    return Outline(corners=tuple(corners), words="an outline", diameter_mm=diameter_mm)


def round_outline(diameter_mm, *, x_mm, y_mm):
    return outline(circle(diameter_mm, x_mm=x_mm, y_mm=y_mm), diameter_mm=diameter_mm)


def upright(left, bottom, right, top):
    sides = {"x_mm": (left + right) / 2.0, "y_mm": (bottom + top) / 2.0}
    return outline(rectangle(right - left, height_mm=top - bottom, **sides))


def opening(name, shape, *films, look="", match=""):
    return Opening(
        name=name,
        where=where(f"opening {name}"),
        outline=shape,
        layers=layers(*films),
        look=look,
        match=match,
    )


def panel(*openings):
    return Panel(
        name="top",
        where=where("panel"),
        outline=upright(-20.0, -20.0, 80.0, 60.0),
        sheet=SHEET,
        openings=openings,
    )


def light_box(shape, *leds, depth_mm=8.0, paint=0.85, baffles=(), inner=None, shine="matt"):
    return LightBox(
        name="box",
        where=where("box"),
        inside=shape,
        depth_mm=depth_mm,
        sheet=SHEET,
        finish=finish(paint, shine=shine),
        leds=leds,
        baffles=baffles,
        inner_diffuser=inner,
    )


def _led_of(number, record):
    """An LED whose light lies where the reference has it, square to its seat."""
    (x, y, z), (across, up, rise) = record["pos_mm"], record["dir"]
    flux = 2.0 * pi * record["I0_cd"] / (record["m"] + 1.0)
    beam = 2.0 * degrees(acos(0.5 ** (1.0 / record["m"])))
    if rise == 1.0:
        kind = led_type(height_mm=z, flux_lm=flux, beam_deg=beam)
        return led(f"W{number}", x, y, kind=kind)
    assert (across, up) == (1.0, 0.0)  # on the wall to the left, x away from it
    kind = led_type(height_mm=x, flux_lm=flux, beam_deg=beam)
    return led(f"W{number}", 0.0, y, kind=kind, seat=Seat.WALL, height_mm=z)


def _opening_of(record):
    shape = (
        round_outline(
            record["diameter_mm"], x_mm=record["center_mm"][0], y_mm=record["center_mm"][1]
        )
        if record["shape"] == "circle"
        else upright(*record["rect_mm"])
    )
    assert record["fill"] == "diffuser"
    return opening(record["name"], shape, film(record["tau"], record["rho"]))


def design_of(scene):
    """The panel and the light box of a reference scene with one finish all over."""
    baffles = tuple(
        Baffle(
            name=f"baffle {number}",
            where=where(f"baffle {number}"),
            start_mm=tuple(record["from_mm"]),
            end_mm=tuple(record["to_mm"]),
            height_mm=record["z1_mm"],
            sheet=SHEET,
        )
        for number, record in enumerate(scene["baffles"], start=1)
    )
    sheet = scene["inner_sheet"]
    box = light_box(
        outline(polygon([tuple(spot) for spot in scene["outline_mm"]])),
        *(_led_of(number, record) for number, record in enumerate(scene["leds"], start=1)),
        depth_mm=scene["depth_mm"],
        paint=scene["reflectance"]["back"],
        baffles=baffles,
        inner=sheet
        and InnerDiffuser(film=film(sheet["tau"], sheet["rho"]), height_mm=sheet["z_mm"]),
    )
    return panel(*map(_opening_of, scene["apertures"])), box
