"""A small plan built by hand from records, with names that try to be markup and formulas."""

from datetime import date
from functools import cache

from lamphouse.build.parts import PartLine
from lamphouse.catalogue.drills import Drill
from lamphouse.catalogue.electric_parts import PlugType, ResistorPackage, WireType
from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.tables import Origin, OriginKind
from lamphouse.circuit.branch import Band, StringDesign, SubAssemblyCircuit, SupplyLoad
from lamphouse.circuit.laid_loom import lay_loom, member_of
from lamphouse.circuit.loom_load import load_loom
from lamphouse.cutting.piece import BoxPieces, DrilledHole, Piece, SeatMark
from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.loom import LoomWishes
from lamphouse.design.panel import Layer, LayerKind, Opening, Outline, Panel
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.place import Room, Stand, SubAssembly
from lamphouse.design.strand import SourceGroup, Strand
from lamphouse.design.supply import (
    Board,
    BoardKind,
    CircuitHabits,
    Pigtail,
    StringWish,
    Supply,
    SupplyKind,
)
from lamphouse.design.whole import Design, Look
from lamphouse.findings import Finding, Severity, Where
from lamphouse.light.judging import judge_box
from lamphouse.plan.result import Plan
from lamphouse.record import replace

NASTY = ('#panic("no")', "$x$ *bold* _under_", "=1+2", "</text><script>", "`raw` \\ // @ref <a>")
"""Names that a typesetter, a spreadsheet or a browser would take for more than words."""
ORIGIN = Origin(source="PRACTICE", kind=OriginKind.TYPICAL, day=date(2026, 1, 1))
SHEET = SheetStock(
    name="styrene 0.75 mm",
    material="styrene",
    thickness_mm=0.75,
    size_mm=(300.0, 200.0),
    origin=ORIGIN,
)
THICK = replace(SHEET, name="styrene 1.0 mm", thickness_mm=1.0)
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
GREEN = replace(WHITE, name="green 3 mm", package="3 mm", colour="green", peak_nm=525.0, cct_K=None)
PLUG = PlugType(
    name="2-pin 1.25 mm",
    pins=2,
    pitch_mm=1.25,
    max_current_A=1.0,
    contact_ohm=0.02,
    body_mm=(5.0, 4.0, 3.5),
    origin=ORIGIN,
)
WIRE = WireType(
    name="30 AWG insulated",
    copper_mm=0.255,
    outside_mm=0.8,
    ohm_per_m=0.34,
    max_current_A=0.5,
    origin=ORIGIN,
)
AXIAL = ResistorPackage(
    name="axial 1/4 W",
    power_W=0.25,
    full_power_degC=70.0,
    zero_power_degC=155.0,
    max_V=250.0,
    body_mm=(6.3, 2.4, 2.4),
    origin=ORIGIN,
)
FIBRE = FibreType(
    name="fibre 0.5 mm",
    diameter_mm=0.5,
    numerical_aperture=0.5,
    hole_clearance_mm=(0.02, 0.1),
    bend_radius_mm=16.25,
    origin=ORIGIN,
)
OPAL = FilmType(
    name="opal film 60",
    use="diffuser",
    thickness_mm=0.2,
    transmittance=0.6,
    reflectance=0.3,
    origin=ORIGIN,
)
PAINT = Finish(name="matt white paint", reflectance=0.85, shine="matt", origin=ORIGIN)
DRILL_75 = Drill(name="#75", diameter_mm=0.5334, origin=ORIGIN)
DRILL_2 = Drill(name="2.0 mm", diameter_mm=2.0, origin=ORIGIN)


ROOM = Room(
    width_mm=360.0,
    depth_mm=260.0,
    height_mm=180.0,
    room_light_lx=50.0,
    viewing_distance_mm=600.0,
)


def where(item, line=0):
    return Where(item=item, file="project.yaml", line=line)


def rectangle(width, height, left=0.0, bottom=0.0):
    corners = (
        (left, bottom, 0.0),
        (left + width, bottom, 0.0),
        (left + width, bottom + height, 0.0),
        (left, bottom + height, 0.0),
    )
    return Outline(corners=corners, words=f"rectangle {width:g} x {height:g} mm")


def led(name, x, y, *, kind=WHITE, current=0.0015, group=""):
    place = where(f"chart table / {name}")
    return Led(
        name=name, where=place, led_type=kind, x_mm=x, y_mm=y, current_A=current, group=group
    )


LIT_PANEL = Look(
    name="lit panel", where=where("lit panel"), least_cd_m2=20.0, most_cd_m2=100.0, evenness=0.7
)
WHITES = tuple(led(f"W{n}", 16.0 + 12 * (n - 1), 26.0) for n in (1, 2, 3, 4))
DESK_LAMP = led("desk lamp", 76.0, 40.0, current=0.001)
SOURCE = led("green steady", 0.0, 0.0, kind=GREEN, current=0.005, group="green steady")


def string(name, leds, ohm, bands, current):
    return StringDesign(
        name=name,
        where=where(f"chart table / string {name}"),
        leds=leds,
        chosen_by="tool",
        resistor_ohm=ohm,
        resistor_colour_bands=bands,
        resistor_code="",
        resistor_package=AXIAL,
        wanted_A=current,
        current_A=Band(low=current * 0.83, nominal=current * 1.02, high=current * 1.19),
        leds_V=Band(low=5.2, nominal=5.5, high=5.9),
        resistor_W=0.012,
        resistor_limit_W=0.25,
        headroom=0.54,
        reason="Two in series leave 54 percent of 12 V across the resistor.",
    )


def screen_box():
    return LightBox(
        name="screen box",
        where=where("chart table / screen box"),
        inside=rectangle(56, 38, 6, 7),
        depth_mm=14.0,
        sheet=THICK,
        finish=PAINT,
        leds=WHITES,
    )


def chart_table(name):
    screen = Opening(
        name="screen",
        where=where(f"{name} / top / screen"),
        outline=rectangle(48, 30, 10, 11),
        layers=(Layer(kind=LayerKind.DIFFUSER, film=OPAL, count=2),),
        look="lit panel",
    )
    top = Panel(
        name="top",
        where=where(f"{name} / top"),
        outline=rectangle(84, 52),
        sheet=SHEET,
        openings=(screen,),
        grain="along x",
    )
    return SubAssembly(
        name=name,
        where=where(name, 41),
        stand=Stand(x_mm=40.0, y_mm=60.0),
        panels=(top,),
        boxes=(("top", screen_box()),),
        strands=(),
        lamps=(DESK_LAMP,),
        strings=(
            StringWish(name="S1", where=where(f"{name} / string S1"), leds=("W1", "W2")),
            StringWish(name="S2", where=where(f"{name} / string S2"), leds=("W3", "W4")),
        ),
        board=Board(
            where=where(f"{name} / board"), kind=BoardKind.PERFORATED, resistor_package=AXIAL
        ),
        pigtail=Pigtail(where=where(f"{name} / pigtail"), plug=PLUG, wire=WIRE, length_mm=160.0),
    )


def strands():
    return tuple(
        (
            "left fascia",
            Strand(
                name=f"G{n}",
                where=where(f"console / G{n}"),
                fibre=FIBRE,
                x_mm=4.0 + 2.9 * (n - 1),
                y_mm=12.0,
                hole_mm=None,
                group="green steady",
            ),
        )
        for n in range(1, 13)
    )


def console(name):
    fascia = Panel(
        name="left fascia",
        where=where(f"{name} / left fascia"),
        outline=rectangle(40, 18),
        sheet=SHEET,
        openings=(),
    )
    return SubAssembly(
        name=name,
        where=where(name, 107),
        stand=None,
        panels=(fascia,),
        boxes=(),
        strands=strands(),
        lamps=(SOURCE,),
        strings=(),
        board=None,
        pigtail=Pigtail(where=where(f"{name} / pigtail"), plug=PLUG, wire=WIRE, length_mm=150.0),
    )


def design(first="chart table", second="console", *, paper="A4"):
    green = SourceGroup(
        name="green steady",
        where=where("green steady"),
        pattern=Pattern(kind=PatternKind.BEACON, period_s=6.0, fade_s=0.3),
        sub_assembly=second,
        source=SOURCE,
    )
    return Design(
        name="Saltmarsh Pilot Station",
        revision="A",
        where=where("project"),
        day=date(2026, 11, 25),
        scale=24.0,
        seed=7,
        paper=paper,
        room=ROOM,
        supply=Supply(
            where=where("supply", 17),
            kind=SupplyKind.PLUG_IN,
            voltage_V=12.0,
            tolerance=0.05,
            max_current_A=0.5,
            fuse_A=0.5,
        ),
        habits=CircuitHabits(where=where("circuit")),
        looks=(LIT_PANEL,),
        groups=(green,),
        sub_assemblies=(chart_table(first), console(second)),
        drills=(DRILL_75, DRILL_2),
        resistor_package=AXIAL,
    )


def panels(first, second):
    top = Piece(
        name=f"{first} / top",
        where=where(f"{first} / top"),
        sub_assembly=first,
        sheet=SHEET,
        outline=rectangle(84, 52),
        cutouts=(rectangle(48, 30, 10, 11),),
        cutout_names=("screen",),
        behind=(rectangle(56, 38, 6, 7),),
        grain="along x",
    )
    holes = tuple(
        DrilledHole(
            number=n,
            purpose=f"G{n}",
            where=where(f"{second} / G{n}"),
            x_mm=4.0 + 2.9 * (n - 1),
            y_mm=12.0,
            wanted_mm=0.53,
            drill=DRILL_75,
            pilot=None,
        )
        for n in range(1, 13)
    )
    fascia = Piece(
        name=f"{second} / left fascia",
        where=where(f"{second} / left fascia"),
        sub_assembly=second,
        sheet=SHEET,
        outline=rectangle(40, 18),
        holes=holes,
    )
    return top, fascia


def box(first):
    def piece(part, width, height, **more):
        return Piece(
            name=f"{first} / screen box / {part}",
            where=where(f"{first} / screen box"),
            sub_assembly=first,
            sheet=THICK,
            outline=rectangle(width, height),
            face="inside",
            **more,
        )

    seats = tuple(
        SeatMark(
            led=one.name,
            colour="white",
            x_mm=one.x_mm - 5,
            y_mm=one.y_mm - 6,
            turn_deg=0.0,
            length_mm=1.6,
            width_mm=0.8,
        )
        for one in WHITES
    )
    exit_hole = DrilledHole(
        number=1,
        purpose="wire",
        where=where(f"{first} / screen box"),
        x_mm=29.0,
        y_mm=4.0,
        wanted_mm=2.0,
        drill=DRILL_2,
        pilot=DRILL_75,
    )
    return BoxPieces(
        box="screen box",
        where=where(f"{first} / screen box"),
        sub_assembly=first,
        pieces=(
            piece("long wall", 58, 14, count=2),
            piece("short wall", 38, 14, count=2),
            piece("back", 58, 40, seats=seats, holes=(exit_hole,)),
        ),
        outside_mm=(58.0, 40.0, 15.0),
    )


def circuits(first, second):
    def total(nominal):
        return Band(low=nominal * 0.83, nominal=nominal, high=nominal * 1.2)

    strings = (
        string("S1", WHITES[:2], 4700.0, ("yellow", "violet", "red", "gold"), 0.0015),
        string("S2", WHITES[2:], 4700.0, ("yellow", "violet", "red", "gold"), 0.0015),
        string("S3", (DESK_LAMP,), 10_000.0, ("brown", "black", "orange", "gold"), 0.001),
    )
    yield SubAssemblyCircuit(
        sub_assembly=first,
        where=where(first),
        strings=strings,
        total_A=total(0.0041),
        lead_ohm=0.15,
        lead_drop_V=0.0006,
    )
    yield SubAssemblyCircuit(
        sub_assembly=second,
        where=where(second),
        strings=(string("S1", (SOURCE,), 1800.0, ("brown", "grey", "red", "gold"), 0.005),),
        total_A=total(0.0051),
        lead_ohm=0.14,
        lead_drop_V=0.0007,
    )


def findings(first):
    return (
        Finding(
            code="CIR003",
            severity=Severity.WARN,
            where=where(f"{first} / string S3", 77),
            message="the current may fall to 70 % of the wanted 1 mA",
            remedy="use 8k2",
        ),
        Finding(
            code="CIR002",
            severity=Severity.STOP,
            where=where(f"{first} / string S1", 76),
            message="four LEDs of 2.9 V in series leave 0.4 V of 12 V for the resistor",
            remedy="put 2 in each string",
        ),
        Finding(
            code="CUT004",
            severity=Severity.NOTE,
            where=where(f"{first} / top", 45),
            message="the screen is 3 mm from the edge",
            remedy="leave 4 mm",
            accepted="tried on scrap, it holds",
        ),
    )


def parts(first, second):
    return (
        PartLine(
            part="styrene 0.75 mm",
            kind="sheet",
            need=50.88,
            unit="cm2",
            spares=0.0,
            have=1200.0,
            used_in=(first, second),
            note="rectangles around the pieces, before laying them out",
        ),
        PartLine(
            part="white 0603",
            kind="led",
            need=5.0,
            unit="pieces",
            spares=1.0,
            have=2.0,
            used_in=(first,),
            note="one batch, bought together",
        ),
    )


@cache
def glow(first):
    """Judge the screen box as the plan does, at the currents the maker wants."""
    sub = chart_table(first)
    judged, _ = judge_box(
        sub.panels[0],
        box=screen_box(),
        sub_assembly=first,
        currents=(),
        looks=(LIT_PANEL,),
        room=ROOM,
    )
    return judged


def laid(whole):
    """Lay the loom of a design as the plan does; None where nothing has a pigtail."""
    members = tuple(
        member_of(sub, groups=whole.groups, supply_V=12.0) for sub in whole.sub_assemblies
    )
    asked = LoomWishes(where=where("loom"), trunk=WIRE)
    return lay_loom(members, wishes=asked, room=whole.room)


def sample(first="chart table", second="console", *, paper="A4"):
    """Build the plan; the sub-assemblies take the names given."""
    whole = design(first, second, paper=paper)
    loom = laid(whole)
    return Plan(
        design=whole,
        loom=loom,
        loom_load=load_loom(loom, circuits=tuple(circuits(first, second))),
        panels=panels(first, second),
        boxes=(box(first),),
        circuits=tuple(circuits(first, second)),
        load=SupplyLoad(
            total_A=Band(low=0.0076, nominal=0.0092, high=0.011), share=0.022, run_time_h=None
        ),
        glows=(glow(first),),
        parts=parts(first, second),
        findings=findings(first),
    )
