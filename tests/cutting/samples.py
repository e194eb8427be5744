"""Small records for the tests of cutting, built by hand so that no other room is needed."""

from datetime import date

from lamphouse.catalogue.drills import standard_drills
from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.shelf import built_in
from lamphouse.catalogue.tables import Origin, OriginKind
from lamphouse.cutting.cutlist import cut_panel
from lamphouse.design.lightbox import Baffle, InnerDiffuser, Led, LightBox, Seat
from lamphouse.design.panel import Curve, CurveLayer, Opening, Outline, Panel
from lamphouse.design.strand import Strand
from lamphouse.findings import Where
from lamphouse.shapes import outline

DRILLS = standard_drills()
ORIGIN = Origin(source="PRACTICE", kind=OriginKind.TYPICAL, day=date(2026, 11, 25))


def where(item):
    return Where(item=item)


def sheet(thickness_mm=1.0, *, material="styrene"):
    return SheetStock(
        name=f"{material} {thickness_mm} mm",
        material=material,
        thickness_mm=thickness_mm,
        size_mm=(300.0, 200.0),
        origin=ORIGIN,
    )


def shape(corners, *, words="sample"):
    ring = outline.circle_of(corners)
    return Outline(corners=corners, words=words, diameter_mm=ring.diameter_mm if ring else None)


def box_shape(width, height, *, x=0.0, y=0.0):
    return outline.rectangle(width, height_mm=height, x_mm=x, y_mm=y)


def opening(name, corners, **more):
    return Opening(
        name=name, where=where(f"sample / plate / {name}"), outline=shape(corners), **more
    )


def panel(*openings, corners=None, thickness_mm=0.75, curve=None, name="plate"):
    corners = corners or box_shape(60, 40, x=30, y=20)
    return Panel(
        name=name,
        where=where(f"sample / {name}"),
        outline=shape(corners, words="rectangle 60 x 40 mm"),
        sheet=sheet(thickness_mm),
        openings=openings,
        curve=curve,
    )


def bay(*openings, inner_radius_mm=140.0, angle_deg=120.0, layers=((0.5, 1), (0.5, 2)), height=95.0,
        material="styrene"):  # fmt: skip
    from math import radians

    long = inner_radius_mm * radians(angle_deg)
    curve = Curve(
        inner_radius_mm=inner_radius_mm,
        angle_deg=angle_deg,
        along_mm=height,
        layers=tuple(
            CurveLayer(
                sheet=sheet(thick, material=material),
                holes_from=source,
                where=where(f"sample / bay / layer {number}"),
            )
            for number, (thick, source) in enumerate(layers, start=1)
        ),
    )
    return panel(
        *openings,
        corners=box_shape(long, height, x=long / 2, y=height / 2),
        thickness_mm=layers[0][0],
        curve=curve,
        name="bay",
    )


def fibre(diameter_mm=0.5, *, clearance=(0.02, 0.05)):
    return FibreType(
        name=f"fibre {diameter_mm} mm",
        diameter_mm=diameter_mm,
        numerical_aperture=0.5,
        hole_clearance_mm=clearance,
        bend_radius_mm=32.5 * diameter_mm,
        origin=ORIGIN,
    )


def strand(name, x, y, *, hole_mm=None, kind=None):
    return Strand(
        name=name,
        where=where(f"sample / plate / {name}"),
        fibre=kind or fibre(),
        x_mm=x,
        y_mm=y,
        hole_mm=hole_mm,
        group="green",
    )


def led_type(name="white 0603") -> LedType:
    return built_in().led_types[name]


def led(name, x, y, *, kind="white 0603", **more):
    return Led(
        name=name,
        where=where(f"sample / plate / box / {name}"),
        led_type=led_type(kind),
        x_mm=x,
        y_mm=y,
        current_A=0.001,
        **more,
    )


def film(thickness_mm=0.25):
    return FilmType(
        name="opal",
        use="diffuser",
        thickness_mm=thickness_mm,
        transmittance=0.6,
        reflectance=0.3,
        origin=ORIGIN,
    )


def diffuser(height_mm):
    return InnerDiffuser(film=film(), height_mm=height_mm)


def baffle(name, start, end, *, height_mm=6.0, thickness_mm=0.5, seat=Seat.BACK):
    return Baffle(
        name=name,
        where=where(f"sample / plate / box / {name}"),
        start_mm=start,
        end_mm=end,
        height_mm=height_mm,
        sheet=sheet(thickness_mm),
        seat=seat,
    )


def box(inside=None, *, name="box", depth_mm=10.0, thickness_mm=1.0, **more):
    return LightBox(
        name=name,
        where=where(f"sample / plate / {name}"),
        inside=shape(inside or box_shape(20, 16, x=30, y=20)),
        depth_mm=depth_mm,
        sheet=sheet(thickness_mm),
        finish=built_in().finishes["matt white paint"],
        **{"leds": (), **more},
    )


def cut(a_panel, *, strands=(), boxes=()):
    return cut_panel(
        a_panel,
        strands=tuple(strands),
        boxes=tuple(boxes),
        sub_assembly="sample",
        drills=DRILLS,
        lead_mm=0.56,
    )


def codes(a_panel, *, strands=(), boxes=()):
    return [finding.code for finding in cut(a_panel, strands=strands, boxes=boxes).findings]
