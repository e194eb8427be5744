"""How warm LEDs make a closed light box and their own seats: an estimate with a band.

The heat of all LEDs passes from the air in the box through its walls to the air around it. Each
LED stands above the air in the box by what its seat and its two wires do not carry off: the sheet
around it is a fin, and so is each wire. A tilted chip's heat passes its wedge first.
"""

import math
from collections.abc import Mapping

import numpy as np

from lamphouse.catalogue.sheet_heat import SheetHeat
from lamphouse.circuit.branch import Band, SubAssemblyCircuit
from lamphouse.circuit.curve import fit
from lamphouse.design.led_body import is_dome, wedge_under
from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits
from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.shapes.measure import area_mm2, length_mm

AIR_W_MK = 0.0265
"""Conductivity of air near 35 degC, as are the next two; common tables, from memory."""
AIR_NU_M2_S = 1.67e-5
AIR_PRANDTL = 0.706
COPPER_W_MK = 390.0
"""From memory."""
GRAVITY_M_S2 = 9.81
STEFAN_W_M2K4 = 5.670e-8
EMISSIVITY = 0.9
"""Of plastic, paint and enamel in the infrared [PRACTICE]."""
THIN_WIRE_MM = (0.127, 0.14)
"""Copper and enamel of the thinnest wire that LEDs hang on, 36 AWG: the warm end of the band."""
THICK_WIRE_MM = (0.255, 0.56)
"""Of the thickest, 30 AWG insulated: the cool end."""
_HALVINGS = 50
_STYRENE_W_MK = 0.16
_SHUT_IN = 0.5
"""Share of a box's faces that meet air that moves, where it stands in a closed base [PRACTICE]."""


class BoxHeat(Record):
    """How warm a closed box gets."""

    sub_assembly: str
    box: str
    where: Where
    power_W: float
    """Of all its LEDs at their largest current, as if none of it left as light."""
    air_rise_K: Band
    """Of the air in the box over the air around it."""
    led: str
    """The warmest."""
    seat_degC: Band
    """Its seat in the warmest air."""
    softens_degC: float | None
    """Where the sheet it sits on begins to soften; None where that is not known."""


class _Case(Record):
    """One end of the band."""

    wire_mm: tuple[float, float]
    faces: float
    """Share of the faces that carry heat off."""


_COOL = _Case(wire_mm=THICK_WIRE_MM, faces=1.0)
_WARM = _Case(wire_mm=THIN_WIRE_MM, faces=_SHUT_IN)


def box_heat(
    box: LightBox,
    *,
    sub: SubAssembly,
    circuit: SubAssemblyCircuit,
    habits: CircuitHabits,
    heats: Mapping[str, SheetHeat],
    share: float = 1.0,
) -> BoxHeat | None:
    """Estimate how warm a box and the seats of its LEDs get.

    Parameters
    ----------
    box
        Closed; its panel counts as one more wall of the same sheet.
    sub, circuit
        Where its LEDs are wired.
    habits
        For the warmest air.
    heats
        What is known of sheets, by material. Without its own a sheet carries heat as styrene does.
    share
        Of the currents as designed, for asking what less would do.

    Returns
    -------
    BoxHeat or None
        None when none of its LEDs is wired, and for a box without a space inside.

    Notes
    -----
    An estimate: steady state, every face at one temperature, blinking LEDs lit all the time, all
    power turned to heat (a fifth to a third of it leaves as light). The cool end has the box in
    free air and its LEDs on 30 AWG, the warm end has it shut in with half of its faces cooled and
    its LEDs on 36 AWG. The middle is their geometric mean.

    References
    ----------
    [CHURCHILL-CHU] for the walls; [FINS] for sheet and wires; Stefan and Boltzmann's law.
    """
    own = {led.name: led for led in box.leds}
    powers = {
        led.name: _power_W(led, share * string.current_A.high)
        for string in circuit.strings
        for led in string.leds
        if led.name in own
    }
    if not powers or min(area_mm2(box.inside.corners), box.depth_mm) <= 0.0:
        return None
    warmest = max(
        powers,
        key=lambda name: (powers[name] / _radius_m(own[name]), own[name].tilt_deg, name),
    )
    total_W = sum(powers.values())
    heat = heats.get(box.sheet.material)
    conducts = heat.conductivity_W_mK if heat else _STYRENE_W_MK
    air, seat = [], []
    for case in (_COOL, _WARM):
        rise = _air_rise_K(box, power_W=total_W, conducts_W_mK=conducts, case=case, habits=habits)
        local = powers[warmest] / _seat_W_K(
            own[warmest], sheet_m=box.sheet.thickness_mm * 1e-3, conducts_W_mK=conducts, case=case
        )
        air.append(rise)
        seat.append(rise + local)
    return BoxHeat(
        sub_assembly=sub.name,
        box=box.name,
        where=box.where,
        power_W=total_W,
        air_rise_K=_band(*air),
        led=warmest,
        seat_degC=_band(*seat, above=habits.warmest_degC),
        softens_degC=heat.softens_degC if heat else None,
    )


def film_W_m2K(rise_K: float, *, height_m: float, air_degC: float) -> float:
    """Give what an upright face loses to still air for each kelvin, by convection and radiation.

    Parameters
    ----------
    rise_K
        Of the face over the air; positive. [K]
    height_m
        Of the face. [m]
    air_degC
        Of the air. [degC]

    References
    ----------
    [CHURCHILL-CHU]; Stefan and Boltzmann's law with an emissivity of 0.9.
    """
    air_K = air_degC + 273.15
    beta = 1.0 / (air_K + rise_K / 2)
    rayleigh = GRAVITY_M_S2 * beta * rise_K * height_m**3 / AIR_NU_M2_S**2 * AIR_PRANDTL
    shape = (1.0 + (0.492 / AIR_PRANDTL) ** (9 / 16)) ** (4 / 9)
    nusselt: float = 0.68 + 0.670 * rayleigh**0.25 / shape
    return nusselt * AIR_W_MK / height_m + _radiation(air_K, air_K + rise_K)


def plate_fin_W_K(
    *, radius_m: float, sheet_m: float, conducts_W_mK: float, film_W_m2K: float
) -> float:
    """Give what a round spot on a wide sheet loses for each kelvin through the sheet.

    Parameters
    ----------
    radius_m, sheet_m
        Of the spot, and the thickness of the sheet, which meets air on both sides. [m]
    conducts_W_mK, film_W_m2K
        Of the sheet, and from its faces to the air.

    References
    ----------
    [FINS]: the annular fin of infinite radius, ``2 pi k t m a K1(m a) / K0(m a)``.
    """
    m = math.sqrt(2.0 * film_W_m2K / (conducts_W_mK * sheet_m))
    ratio = _bessel_k(1, m * radius_m) / _bessel_k(0, m * radius_m)
    return 2.0 * math.pi * conducts_W_mK * sheet_m * m * radius_m * ratio


def wire_fin_W_K(*, copper_m: float, outside_m: float) -> float:
    """Give what a long thin wire in still air carries off for each kelvin.

    Its film is that of a thin cylinder in air that hardly moves, a Nusselt number of 0.36, and of
    radiation.

    References
    ----------
    [FINS]: the very long fin, ``sqrt(h P k A)``; 0.36 is the limit of Churchill and Chu's formula
    for a level cylinder, from memory.
    """
    film = 0.36 * AIR_W_MK / outside_m + _radiation(308.0, 318.0)
    area = math.pi * copper_m**2 / 4
    return math.sqrt(film * math.pi * outside_m * COPPER_W_MK * area)


def _air_rise_K(
    box: LightBox, *, power_W: float, conducts_W_mK: float, case: _Case, habits: CircuitHabits
) -> float:
    """Give the rise of the air in a box: outer film, wall, inner film."""
    wall_m = box.sheet.thickness_mm * 1e-3
    around_m, depth_m = length_mm(box.inside.corners) * 1e-3, box.depth_mm * 1e-3
    face_m2 = area_mm2(box.inside.corners) * 1e-6
    inner_m2 = 2.0 * face_m2 + around_m * depth_m
    outer_m2 = inner_m2 + 2.0 * around_m * wall_m
    height_m = math.sqrt(face_m2)
    outer, inner = (
        _film_rise_K(power_W / (case.faces * area), height_m=height_m, air_degC=habits.warmest_degC)
        for area in (outer_m2, inner_m2)
    )
    return outer + power_W * wall_m / (conducts_W_mK * case.faces * inner_m2) + inner


def _film_rise_K(flux_W_m2: float, *, height_m: float, air_degC: float) -> float:
    """Find the rise at which a face loses a flux, by halving: it loses ever more when warmer."""
    least, most = 0.0, flux_W_m2 * height_m / (0.68 * AIR_W_MK)
    for _ in range(_HALVINGS):
        rise = 0.5 * (least + most)
        if rise * film_W_m2K(rise, height_m=height_m, air_degC=air_degC) < flux_W_m2:
            least = rise
        else:
            most = rise
    return 0.5 * (least + most)


def _seat_W_K(led: Led, *, sheet_m: float, conducts_W_mK: float, case: _Case) -> float:
    """Give what an LED's seat and its two wires carry off for each kelvin."""
    copper_mm, outside_mm = case.wire_mm
    film = film_W_m2K(10.0, height_m=0.02, air_degC=35.0)
    plate = plate_fin_W_K(
        radius_m=_radius_m(led), sheet_m=sheet_m, conducts_W_mK=conducts_W_mK, film_W_m2K=film
    )
    wedge = _wedge_K_W(led, conducts_W_mK=conducts_W_mK)
    seat = plate / (1.0 + plate * wedge)
    return seat + 2.0 * wire_fin_W_K(copper_m=copper_mm * 1e-3, outside_m=outside_mm * 1e-3)


def _wedge_K_W(led: Led, *, conducts_W_mK: float) -> float:
    """Give what each watt warms the upper face of a wedge of the box's sheet over its foot.

    Taken as a slab of half its thick edge, as large as the chip: a little too warm, since more goes
    through its thin side. Nothing for an LED that stands straight, or on its legs.
    """
    if not led.tilt_deg or is_dome(led.led_type):
        return 0.0
    length, width, _ = led.led_type.package_mm
    return wedge_under(led).high_mm / 2.0 * 1e-3 / (conducts_W_mK * length * width * 1e-6)


def _radius_m(led: Led) -> float:
    """Radius of the disc as large as the LED's seat."""
    length, width, _ = led.led_type.package_mm
    return math.sqrt(length * width / math.pi) * 1e-3


def _power_W(led: Led, current_A: float) -> float:
    return current_A * float(fit(led.led_type).voltage(current_A))


def _radiation(cool_K: float, warm_K: float) -> float:
    return EMISSIVITY * STEFAN_W_M2K4 * (cool_K**2 + warm_K**2) * (cool_K + warm_K)


def _bessel_k(order: int, x: float) -> float:
    """Integrate ``exp(-x cosh t) cosh(n t)`` from 0: Bessel's K, modified, of the second kind.

    The integrand and all its odd derivatives are nothing at both ends, so that equal steps
    converge faster than any power.
    """
    step = 0.05
    t = np.arange(0.0, math.acosh(1.0 + 700.0 / x), step)
    values = np.exp(-x * np.cosh(t)) * np.cosh(order * t)
    return float(step * (values.sum() - 0.5 * values[0]))


def _band(cool_K: float, warm_K: float, *, above: float = 0.0) -> Band:
    low, high = above + cool_K, above + warm_K
    return Band(low=low, nominal=above + math.sqrt(cool_K * warm_K), high=high)
