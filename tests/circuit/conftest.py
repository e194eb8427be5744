"""Small LEDs, sub-assemblies and supplies for the circuit tests, and the outside witness."""

import csv
import json
import re
import subprocess
from datetime import date
from types import SimpleNamespace

import pytest

from lamphouse.catalogue.electric_parts import PlugType, ResistorPackage, WireType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.tables import Origin, OriginKind
from lamphouse.circuit.strings import lead_resistance_ohm
from lamphouse.circuit.trial import Feed
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Pigtail, StringWish, Supply, SupplyKind
from lamphouse.findings import Where
from lamphouse.record import replace

ORIGIN = Origin(source="TYPICAL", kind=OriginKind.TYPICAL, day=date(2026, 11, 25))
WHITE = LedType(
    name="white 0603",
    package="0603",
    package_mm=(1.6, 0.8, 0.6),
    colour="white",
    peak_nm=None,
    cct_K=6500.0,
    curve=((0.0003, 2.57), (0.001, 2.65), (0.005, 2.79), (0.010, 2.89), (0.020, 3.04)),
    spread_V=0.20,
    drift_V_per_K=-0.003,
    max_current_A=0.020,
    flux_lm=1.2,
    flux_current_A=0.005,
    beam_deg=120.0,
    origin=ORIGIN,
)
RED = replace(
    WHITE,
    name="red 0603",
    colour="red",
    peak_nm=632.0,
    cct_K=None,
    curve=((0.0003, 1.71), (0.001, 1.78), (0.005, 1.89), (0.010, 1.95), (0.020, 2.04)),
    spread_V=0.15,
    drift_V_per_K=-0.002,
)
QUARTER_WATT = ResistorPackage(
    name="axial 1/4 W",
    power_W=0.25,
    full_power_degC=70.0,
    zero_power_degC=155.0,
    max_V=250.0,
    body_mm=(6.3, 2.4, 2.4),
    origin=ORIGIN,
)
PLUG = PlugType(
    name="2-pin 1.25 mm",
    pins=2,
    pitch_mm=1.25,
    max_current_A=1.0,
    contact_ohm=0.03,
    body_mm=(4.25, 4.2, 3.4),
    origin=ORIGIN,
)
AWG30 = WireType(
    name="30 AWG insulated",
    copper_mm=0.2546,
    outside_mm=0.56,
    ohm_per_m=0.33855,
    max_current_A=0.5,
    origin=ORIGIN,
)


def leds(prefix, count, *, led_type=WHITE, current_A=0.0015, group=""):
    """A row of LEDs, numbered from 1."""
    return tuple(
        Led(
            name=f"{prefix}{number}",
            where=Where(item=f"wall / led {prefix}{number}", file="p.yaml", line=number),
            led_type=led_type,
            x_mm=0.0,
            y_mm=0.0,
            current_A=current_A,
            group=group,
        )
        for number in range(1, count + 1)
    )


def wish(name, *names, ohm=None):
    return StringWish(name=name, where=Where(item=f"wall / {name}"), leds=names, resistor_ohm=ohm)


def pigtail(*, length_mm=160.0, wire=AWG30, plug=PLUG):
    return Pigtail(where=Where(item="wall / pigtail"), plug=plug, wire=wire, length_mm=length_mm)


def sub(*lamps, strings=(), lead=None):
    return SubAssembly(
        name="wall",
        where=Where(item="wall"),
        stand=None,
        panels=(),
        boxes=(),
        strands=(),
        lamps=tuple(led for group in lamps for led in group),
        strings=tuple(strings),
        board=None,
        pigtail=pigtail() if lead is None else lead,
    )


def supply(voltage_V=12.0, **kept):
    given = {
        "where": Where(item="supply"),
        "kind": SupplyKind.PLUG_IN,
        "tolerance": 0.05,
        "max_current_A": 0.5,
        "fuse_A": 0.5,
    }
    return Supply(voltage_V=voltage_V, **(given | kept))


def habits(**given):
    return CircuitHabits(where=Where(item="circuit"), **given)


def feed(power=None, *, lead=None, package=QUARTER_WATT, **given):
    return Feed(
        supply=power or supply(),
        habits=habits(**given),
        package=package,
        lead_ohm=lead_resistance_ohm(pigtail() if lead is None else lead),
    )


@pytest.fixture
def make():
    """Makers of records, with parts of a small catalogue."""
    return SimpleNamespace(
        WHITE=WHITE, RED=RED, PACKAGE=QUARTER_WATT, PLUG=PLUG, WIRE=AWG30, leds=leds, wish=wish,
        pigtail=pigtail, sub=sub, supply=supply, habits=habits, feed=feed,
    )  # fmt: skip


@pytest.fixture
def values(reference):
    """Outside values of the circuit room, by topic."""
    return json.loads((reference / "circuit" / "values.json").read_text())


@pytest.fixture
def rows(reference):
    """Read one of the circuit room's tables of outside values."""

    def read(name):
        with (reference / "circuit" / name).open(newline="") as file:
            return list(csv.DictReader(file))

    return read


@pytest.fixture
def spice(tool, tmp_path):
    """Run a netlist through ngspice and give the printed values by name."""
    program = tool("ngspice")

    def run(netlist, printed):
        path = tmp_path / "case.cir"
        control = "\n".join(f"print {name}" for name in printed)
        path.write_text(
            f"case\n{netlist}\n.options temp=27 tnom=27 reltol=1e-6 abstol=1e-14 vntol=1e-8 "
            f"gmin=1e-14 itl1=1000\n.control\nset numdgt=12\nop\n{control}\n.endc\n.end\n"
        )
        answer = subprocess.run(
            [program, "-b", str(path)], capture_output=True, text=True, check=False, timeout=60
        ).stdout
        found = dict(re.findall(r"^(\S+) = (\S+)\s*$", answer, flags=re.MULTILINE))
        return {name: float(found[name]) for name in printed}

    return run
