"""Light boxes and glows for drawings: figures made up, no solver behind them."""

from datetime import date
from itertools import pairwise

import numpy as np

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.tables import Origin, OriginKind
from lamphouse.design.lightbox import Baffle, InnerDiffuser, Led, LightBox, Seat
from lamphouse.design.panel import Layer, LayerKind, Opening, Outline, Panel
from lamphouse.design.whole import Look
from lamphouse.findings import Where
from lamphouse.light.box_glow import OpeningGlow
from lamphouse.light.box_scene import draw_box
from lamphouse.light.picture import Picture
from lamphouse.light.scene import Aperture, Rectangle
from lamphouse.record import replace
from lamphouse.shapes.outline import polygon

ORIGIN = Origin(source="PRACTICE", kind=OriginKind.TYPICAL, day=date(2026, 1, 1))
NOWHERE = Where(item="made up")
SHEET = SheetStock(
    name="styrene 1.0 mm",
    material="styrene",
    thickness_mm=1.0,
    size_mm=(300.0, 200.0),
    origin=ORIGIN,
)
PAINT = Finish(name="matt white paint", reflectance=0.8, shine="matt", origin=ORIGIN)
OPAL = FilmType(
    name="opal film 60",
    use="diffuser",
    thickness_mm=0.25,
    transmittance=0.6,
    reflectance=0.36,
    origin=ORIGIN,
)
WHITE = LedType(
    name="white 0603",
    package="0603",
    package_mm=(1.6, 0.8, 0.6),
    colour="white",
    peak_nm=None,
    cct_K=6000.0,
    curve=((0.001, 2.7), (0.02, 3.2)),
    spread_V=0.2,
    drift_V_per_K=-0.002,
    max_current_A=0.02,
    flux_lm=2.0,
    flux_current_A=0.005,
    beam_deg=120.0,
    origin=ORIGIN,
)


def outline(*spots):
    return Outline(corners=polygon(spots), words="polygon")


def upright(left, bottom, right, top):
    return outline((left, bottom), (right, bottom), (right, top), (left, top))


def led(name, x, y, *, seat=Seat.BACK, height=0.0):
    return Led(
        name=name,
        where=NOWHERE,
        led_type=WHITE,
        x_mm=x,
        y_mm=y,
        current_A=0.001,
        seat=seat,
        height_mm=height,
    )


def light_box(**changes):
    """A box of 40 x 20 mm, 10 mm deep, with a row of three LEDs and one beside it."""
    box = LightBox(
        name="screen box",
        where=NOWHERE,
        inside=upright(10.0, 10.0, 50.0, 30.0),
        depth_mm=10.0,
        sheet=SHEET,
        finish=PAINT,
        leds=(led("W1", 18.0, 20.0), led("W2", 30.0, 20.0), led("W3", 42.0, 20.0)),
    )
    return replace(box, **changes)


def panel(**changes):
    screen = Opening(
        name="screen",
        where=NOWHERE,
        outline=upright(14.0, 13.0, 46.0, 27.0),
        layers=(Layer(kind=LayerKind.DIFFUSER, film=OPAL),),
    )
    front = Panel(
        name="top",
        where=NOWHERE,
        outline=upright(0.0, 0.0, 60.0, 40.0),
        sheet=SHEET,
        openings=(screen,),
    )
    return replace(front, **changes)


def solved(box, front=None):
    return draw_box(front or panel(), box=box, currents={}).scene


def full_box():
    """A box with everything a section shows."""
    return light_box(
        leds=(
            led("W1", 18.0, 20.0),
            led("W2", 42.0, 20.0),
            led("B1", 30.0, 27.0),
            led("S1", 10.0, 20.0, seat=Seat.WALL, height=3.0),
        ),
        baffles=(
            Baffle(
                name="middle",
                where=NOWHERE,
                start_mm=(30.0, 10.0),
                end_mm=(30.0, 25.0),
                height_mm=4.0,
                sheet=SHEET,
            ),
        ),
        inner_diffuser=InnerDiffuser(film=OPAL, height_mm=6.0),
    )


LOOK = Look(name="lit panel", where=NOWHERE, least_cd_m2=20.0, most_cd_m2=100.0, evenness=0.7)
SCREEN = Rectangle(left_mm=14.0, bottom_mm=13.0, right_mm=46.0, top_mm=27.0)


def hump(*, depth=0.6):
    """Give a picture that is bright in its middle: 1 there, 1 - depth in the corners."""
    y, x = np.mgrid[0:56, 0:128].astype(float)
    u, v = (x - 63.5) / 63.5, (y - 27.5) / 27.5
    shares = 1.0 - depth * (u**2 + v**2) / 2.0
    return Picture(
        luminance_cd_m2=50.0 * shares / shares.mean(),
        shown=np.ones((56, 128), dtype=bool),
        left_mm=14.0,
        bottom_mm=13.0,
        pixel_mm=0.25,
    )


def opening_glow(picture, **changes):
    """Give the figures of a picture of the screen: means over 6 x 8 cells."""
    rows, columns = picture.luminance_cd_m2.shape
    edges = [
        np.linspace(0, count, parts + 1).round().astype(int)
        for count, parts in ((rows, 6), (columns, 8))
    ]
    cells = tuple(
        tuple(float(picture.luminance_cd_m2[a:b, c:d].mean()) for c, d in pairwise(edges[1]))
        for a, b in pairwise(edges[0])
    )
    flat = [value for row in cells for value in row]
    mean = sum(flat) / len(flat)
    figures = OpeningGlow(
        opening="screen",
        where=NOWHERE,
        shape=panel().openings[0].outline,
        mean_cd_m2=mean,
        bar_cd_m2=0.1,
        low_cd_m2=30.0,
        high_cd_m2=80.0,
        evenness=min(flat) / mean,
        evenness_bar=0.01,
        hot_spot=max(flat) / mean,
        hot_spot_bar=0.01,
        cells_cd_m2=cells,
        room_cd_m2=3.0,
        look=LOOK,
    )
    return replace(figures, **changes)


def aperture(shape=SCREEN):
    return Aperture(name="screen", shape=shape, fill=None)
