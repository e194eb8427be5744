"""Heat: closed forms, scipy's Bessel functions, an ODE for the fin, and energy balance."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from scipy.special import kv

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.heat_rules import judge_heat, resistor_rise_K
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.warmth import box_heat, film_W_m2K, plate_fin_W_K, wire_fin_W_K
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.record import replace
from tolerances import EXACT, PHYSICS

SHELF = built_in()
HEATS = dict(SHELF.sheet_heat)
AIR = {"conductivity": 0.0265, "viscosity": 1.67e-5, "prandtl": 0.706}
"""Near 35 degC, from common tables."""


def box(make, count, *, current_A, side_mm=40.0, sheet="styrene 1.0 mm"):
    corners = ((0.0, 0.0, 0.0), (side_mm, 0.0, 0.0), (side_mm, side_mm, 0.0), (0.0, side_mm, 0.0))
    return LightBox(
        name="box",
        where=Where(item="wall / box"),
        inside=Outline(words="square", corners=corners),
        depth_mm=15.0,
        sheet=SHELF.sheet_stock[sheet],
        finish=SHELF.finishes["matt white paint"],
        leds=make.leds("W", count, current_A=current_A),
    )


def warmed(make, count, *, current_A, share=1.0, **given):
    made = box(make, count, current_A=current_A, **given)
    sub = replace(make.sub(), boxes=(("panel", made),))
    circuit = design_circuit(
        sub, supply=make.supply(12.0), habits=make.habits(), package=make.PACKAGE
    )
    heat = box_heat(made, sub=sub, circuit=circuit, habits=make.habits(), heats=HEATS, share=share)
    return heat, sub, circuit


def test_the_film_of_an_upright_face_is_churchill_and_chu_s_with_radiation():
    """Their laminar formula worked at 20 K and 50 mm, by hand from the published constants."""
    rayleigh = 9.81 / (308.15 + 10.0) * 20.0 * 0.05**3 / AIR["viscosity"] ** 2 * AIR["prandtl"]
    assert 1e4 < rayleigh < 1e9
    shape = (1 + (0.492 / AIR["prandtl"]) ** (9 / 16)) ** (4 / 9)
    nusselt = 0.68 + 0.670 * rayleigh**0.25 / shape
    hot, cold = 328.15, 308.15
    radiated = 0.9 * 5.670e-8 * (hot**4 - cold**4) / 20.0
    film = film_W_m2K(20.0, height_m=0.05, air_degC=35.0)
    assert film == pytest.approx(nusselt * AIR["conductivity"] / 0.05 + radiated, rel=EXACT)
    # The rule of thumb for plates in a room, 5 to 25 W/m2K, holds it.
    assert 5.0 < film < 25.0


@pytest.mark.parametrize(("radius_m", "film"), [(0.0006, 12.0), (0.005, 30.0), (0.05, 5.0)])
def test_the_plate_fin_is_scipy_s_bessel_functions(radius_m, film):
    m = math.sqrt(2 * film / (0.16 * 0.001))
    closed = 2 * math.pi * 0.16 * 0.001 * m * radius_m * kv(1, m * radius_m) / kv(0, m * radius_m)
    found = plate_fin_W_K(radius_m=radius_m, sheet_m=0.001, conducts_W_mK=0.16, film_W_m2K=film)
    assert found == pytest.approx(closed, rel=EXACT)


def test_the_plate_fin_solves_its_differential_equation():
    """Spot of 1 K on a sheet: the heat that enters it, by a boundary value solver."""
    film, sheet, conducts, spot = 12.0, 0.001, 0.16, 0.001
    m2 = 2 * film / (conducts * sheet)

    def slope(r, y):
        return np.vstack([y[1], m2 * y[0] - y[1] / r])

    radii = spot + 0.03 * np.linspace(0.0, 1.0, 400) ** 2
    start = np.vstack([np.exp(-(radii - spot) * math.sqrt(m2)), np.zeros_like(radii)])
    solved = solve_bvp(
        slope, lambda a, b: np.array([a[0] - 1.0, b[0]]), radii, start, tol=1e-8, max_nodes=20000
    )
    entering = -conducts * sheet * 2 * math.pi * spot * solved.sol(spot)[1]
    found = plate_fin_W_K(radius_m=spot, sheet_m=sheet, conducts_W_mK=conducts, film_W_m2K=film)
    assert found == pytest.approx(float(entering), rel=PHYSICS)


def test_a_wire_carries_off_what_a_long_fin_does():
    """``sqrt(h P k A)``: twice the copper's diameter at the same outside carries twice as much."""
    thin, thick = (wire_fin_W_K(copper_m=d, outside_m=0.56e-3) for d in (0.1e-3, 0.2e-3))
    assert thick == pytest.approx(2 * thin, rel=EXACT)
    # 30 AWG: about a milliwatt for each kelvin.
    assert 0.0005 < wire_fin_W_K(copper_m=0.2546e-3, outside_m=0.56e-3) < 0.002


def test_the_walls_lose_what_the_leds_give(make):
    """Outer film, wall and inner film in turn carry the whole power, at both ends of the band."""
    heat, sub, _ = warmed(make, 6, current_A=0.015)
    ((_, made),) = sub.boxes
    face, wall = 2 * 0.04**2 + 4 * 0.04 * 0.015, 0.001
    outer = face + 2 * 4 * 0.04 * wall
    height = 0.04
    for faces, rise in ((1.0, heat.air_rise_K.low), (0.5, heat.air_rise_K.high)):

        def lost(step_K, area):
            return step_K * area * film_W_m2K(step_K, height_m=height, air_degC=35.0)

        def step(area, faces=faces):
            grid = np.linspace(1e-6, 60.0, 60001)
            given = [faces * lost(k, area) for k in grid[::60]]
            return float(np.interp(heat.power_W, given, grid[::60]))

        through = heat.power_W * wall / (0.16 * faces * face)
        assert rise == pytest.approx(step(outer) + through + step(face), rel=PHYSICS)
    assert heat.air_rise_K.low < heat.air_rise_K.nominal < heat.air_rise_K.high
    assert made.name == heat.box


def test_power_is_current_times_voltage_of_every_led(make):
    heat, _, circuit = warmed(make, 3, current_A=0.010)
    (string,) = circuit.strings
    volts = string.current_A.high * 3 * 2.9
    assert heat.power_W == pytest.approx(volts, rel=0.05)
    assert heat.power_W < 12.6 * string.current_A.high


def test_more_current_is_warmer_and_a_metal_sheet_cooler(make):
    rises = [warmed(make, 4, current_A=c)[0].seat_degC.high for c in (0.002, 0.006, 0.015)]
    assert 35.0 < rises[0] < rises[1] < rises[2]
    brass = next(name for name in SHELF.sheet_stock if name.startswith("brass"))
    heat, *_ = warmed(make, 4, current_A=0.015, sheet=brass)
    assert heat.softens_degC is None


def test_the_wedge_of_a_tilted_chip_stands_in_the_way_of_its_heat(make):
    """A slab of half the wedge's thick edge in series with the sheet: Fourier's law."""
    flat, sub, circuit = warmed(make, 3, current_A=0.015)
    ((_, made),) = sub.boxes
    leant = replace(
        made,
        leds=tuple(replace(led, tilt_deg=30.0, towards_deg=90.0) for led in made.leds),
    )
    heat = box_heat(leant, sub=sub, circuit=circuit, habits=make.habits(), heats=HEATS)
    length, width, _ = made.leds[0].led_type.package_mm
    slab = width * 0.5 / 2.0 * 1e-3 / (0.16 * length * width * 1e-6)
    over = [
        one.seat_degC.high - one.air_rise_K.high - make.habits().warmest_degC
        for one in (flat, heat)
    ]
    each_W = heat.power_W / 3
    wires = 2.0 * wire_fin_W_K(copper_m=0.127e-3, outside_m=0.14e-3)
    plate = each_W / over[0] - wires
    assert over[1] == pytest.approx(each_W / (wires + 1.0 / (1.0 / plate + slab)), rel=EXACT)
    assert over[1] > over[0]
    assert heat.air_rise_K == flat.air_rise_K


def test_a_box_without_wired_leds_or_without_space_has_no_answer(make):
    _, sub, circuit = warmed(make, 3, current_A=0.010)
    ((_, made),) = sub.boxes
    empty = replace(made, leds=())
    flat = replace(made, depth_mm=0.0)
    for other in (empty, flat):
        assert box_heat(other, sub=sub, circuit=circuit, habits=make.habits(), heats=HEATS) is None


def test_the_current_that_the_finding_names_keeps_the_seat_firm(make):
    heat, sub, circuit = warmed(make, 6, current_A=0.018)
    boxes, found = judge_heat(
        sub, circuit=circuit, habits=make.habits(), materials=tuple(HEATS.values())
    )
    assert boxes == (heat,)
    (hot,) = [finding for finding in found if finding.code == "CIR068"]
    asked = float(hot.remedy.split("ask for ")[1].split(" mA")[0]) / 1000
    for current_A, trips in ((asked * 0.99, False), (asked * 1.02, True)):
        less, *_ = warmed(make, 6, current_A=0.018, share=current_A / 0.018)
        assert (less.seat_degC.high >= less.softens_degC) == trips
    cool, sub, circuit = warmed(make, 6, current_A=0.002)
    assert cool.seat_degC.high < 45.0
    _, found = judge_heat(
        sub, circuit=circuit, habits=make.habits(), materials=tuple(HEATS.values())
    )
    assert found == ()


def test_a_resistor_at_its_rating_is_as_warm_as_its_derating_ends(make, values):
    """Rated at 70 degC and derated to nothing at 155 degC, it rises by 85 K at full power."""
    _, _, circuit = warmed(make, 1, current_A=0.010)
    (string,) = circuit.strings
    rated = replace(string, resistor_W=0.25)
    assert resistor_rise_K(rated) == pytest.approx(155 - 70)
    for degC, factor in values["resistor_derating"]["factor_155C"].items():
        if int(degC) >= 70:
            at_limit = replace(string, resistor_W=0.25 * factor)
            body = int(degC) + resistor_rise_K(at_limit)
            assert body == pytest.approx(155.0, abs=0.01)


def test_a_resistor_near_styrene_is_told_and_one_in_brass_is_not(make):
    given = {"current_A": 0.012, "count": 1}
    for sheet, told in (("styrene 1.0 mm", ["CIR069"]), (None, [])):
        name = sheet or next(name for name in SHELF.sheet_stock if name.startswith("brass"))
        _, sub, circuit = warmed(make, given["count"], current_A=given["current_A"], sheet=name)
        _, found = judge_heat(
            sub, circuit=circuit, habits=make.habits(), materials=tuple(HEATS.values())
        )
        assert [finding.code for finding in found] == told
