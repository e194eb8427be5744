"""Pieces and circuits made by hand, for the tests of drawings and of what is written from them."""

from datetime import date

from lamphouse.catalogue.drills import Drill
from lamphouse.catalogue.electric_parts import PlugType, ResistorPackage, WireType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.tables import Origin, OriginKind
from lamphouse.circuit.branch import Band, StringDesign, SubAssemblyCircuit
from lamphouse.cutting.piece import BoxPieces, DrilledHole, Piece, SeatMark
from lamphouse.design.lightbox import Led
from lamphouse.design.panel import Outline
from lamphouse.design.supply import Pigtail
from lamphouse.drawings.title import TitleBlock
from lamphouse.findings import Where

ORIGIN = Origin(source="PRACTICE", kind=OriginKind.TYPICAL, day=date(2026, 1, 1))
WHERE = Where(item="sample")
SHEET = SheetStock(
    name="styrene 1.0 mm",
    material="styrene",
    thickness_mm=1.0,
    size_mm=(300.0, 200.0),
    origin=ORIGIN,
)
TITLE = TitleBlock(project="Saltmarsh", revision="A", day="2026-11-25", model_scale="1:24")


def block(width, height, left=0.0, bottom=0.0):
    right, top = left + width, bottom + height
    corners = ((left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0))
    return Outline(corners=corners, words=f"{width:g} x {height:g} mm")


def round_(diameter, x, y):
    reach = diameter / 2
    return Outline(
        corners=((x - reach, y, 1.0), (x + reach, y, 1.0)),
        words=f"Ø{diameter:g} mm",
        diameter_mm=diameter,
    )


def hole(number, x, y, diameter=0.53):
    drill = Drill(name="#75", diameter_mm=diameter, origin=ORIGIN)
    return DrilledHole(
        number=number,
        purpose=f"G{number}",
        where=WHERE,
        x_mm=x,
        y_mm=y,
        wanted_mm=diameter,
        drill=drill,
        pilot=None,
    )


def piece(name, outline, **more):
    return Piece(name=name, where=WHERE, sub_assembly="bay", sheet=SHEET, outline=outline, **more)


FASCIA = piece(
    "console / left fascia",
    block(40.0, 18.0),
    holes=tuple(hole(n + 1, 4.0 + 2.9 * n, 12.0) for n in range(12)),
    grain="along x",
)
CROWDED = piece(
    "console / crowded",
    block(40.0, 18.0),
    holes=tuple(
        hole(n + 1 + 12 * row, 4.0 + 2.9 * n, 14.0 - 2.5 * row)
        for row in range(4)
        for n in range(12)
    ),
)
WALL = piece(
    "wall / wall",
    block(160.0, 110.0),
    cutouts=(
        round_(32.0, 45.0, 62.0),
        block(60.0, 15.0, 85.0, 54.5),
        block(3.0, 20.0, 140.0, 80.0),
    ),
    cutout_names=("plotting display", "tide board", "slot beside the door"),
    holes=(hole(1, 8.0, 8.0, 3.0),),
    behind=(block(40.0, 40.0, 25.0, 42.0),),
    notes=("Drill before cutting the openings.",),
)
CEILING = piece(
    "ceiling / ceiling",
    block(356.0, 256.0),
    cutouts=(round_(60.0, 178.0, 128.0),),
    cutout_names=("dome",),
    holes=tuple(hole(n + 1, 60.0 + 46.0 * n, 90.0 + 14.0 * n, 1.6) for n in range(6)),
)
BACK = piece(
    "table / screen box / back",
    block(58.0, 40.0),
    face="inside",
    seats=tuple(
        SeatMark(
            led=f"W{n + 1}",
            colour="white",
            x_mm=11.0 + 12.0 * n,
            y_mm=20.0,
            turn_deg=0.0,
            length_mm=1.6,
            width_mm=0.8,
        )
        for n in range(4)
    ),
)
BOX = BoxPieces(
    box="screen box",
    where=WHERE,
    sub_assembly="table",
    outside_mm=(58.0, 40.0, 15.0),
    pieces=(
        BACK,
        piece("table / screen box / long wall", block(58.0, 14.0), face="inside", count=2),
        piece("table / screen box / short wall", block(38.0, 14.0), face="inside", count=2),
        piece("table / screen box / ledge", block(56.0, 2.0), face="inside", count=2),
        piece("table / screen box / lid", block(58.0, 40.0), face="inside"),
        piece("table / screen box / baffle", block(38.0, 8.0), face="inside"),
    ),
)

WHITE = LedType(
    name="white 0603",
    package="0603",
    package_mm=(1.6, 0.8, 0.7),
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
AXIAL = ResistorPackage(
    name="axial 1/4 W",
    power_W=0.25,
    full_power_degC=70.0,
    zero_power_degC=155.0,
    max_V=250.0,
    body_mm=(6.3, 2.3, 2.3),
    origin=ORIGIN,
)


def string(name, leds):
    return StringDesign(
        name=name,
        where=WHERE,
        leds=tuple(
            Led(
                name=f"{name}-{n + 1}",
                where=WHERE,
                led_type=WHITE,
                x_mm=0.0,
                y_mm=0.0,
                current_A=0.0015,
            )
            for n in range(leds)
        ),
        chosen_by="tool",
        resistor_ohm=2700.0,
        resistor_colour_bands=("red", "violet", "red", "gold"),
        resistor_code="",
        resistor_package=AXIAL,
        wanted_A=0.0015,
        current_A=Band(low=0.00121, nominal=0.00149, high=0.00176),
        leds_V=Band(low=8.0, nominal=8.1, high=8.4),
        resistor_W=0.01,
        resistor_limit_W=0.25,
        headroom=0.3,
        reason="Three LEDs leave 3.9 V of 12 V across the resistor.",
    )


def circuit(*leds_of_strings):
    return SubAssemblyCircuit(
        sub_assembly="table",
        where=WHERE,
        strings=tuple(string(f"S{n + 1}", leds) for n, leds in enumerate(leds_of_strings)),
        total_A=Band(low=0.0041, nominal=0.0049, high=0.0056),
        lead_ohm=0.1,
        lead_drop_V=0.0005,
    )


PIGTAIL = Pigtail(
    where=WHERE,
    plug=PlugType(
        name="2-pin 1.25 mm",
        pins=2,
        pitch_mm=1.25,
        max_current_A=1.0,
        contact_ohm=0.02,
        body_mm=(5.0, 3.0, 4.0),
        origin=ORIGIN,
    ),
    wire=WireType(
        name="30 AWG insulated",
        copper_mm=0.255,
        outside_mm=0.6,
        ohm_per_m=0.34,
        max_current_A=0.5,
        origin=ORIGIN,
    ),
    length_mm=160.0,
)
