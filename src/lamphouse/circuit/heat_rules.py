"""Rules on heat: where LEDs and resistors come near to what softens the plastic around them."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from lamphouse.catalogue.sheet_heat import SheetHeat
from lamphouse.circuit.branch import StringDesign, SubAssemblyCircuit
from lamphouse.circuit.phrases import amps, ohms, watts
from lamphouse.circuit.warmth import BoxHeat, box_heat
from lamphouse.design.lightbox import LightBox
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits
from lamphouse.findings import Finding, Severity, Told, rule

_HALVINGS = 30
_LEAST_SHARE = 0.02
"""Of the current; below it nobody would call it a mend."""

AtShare = Callable[[float], BoxHeat | None]
"""Gives the same box at a share of its currents."""


@rule("CIR068", Severity.WARN, "LEDs that may soften their box")
def hot_seat(heat: BoxHeat, *, sub: SubAssembly, at_share: AtShare) -> Iterable[Told]:
    """Find light boxes in which the seat of an LED may come to where its sheet softens.

    What it checks
        In the warmest air, with every LED at its largest current, the warm end of the estimate
        for the warmest seat is below the softening of the box's sheet.

    Why it matters
        The wall sags slowly, the joint opens, and light leaks where nobody can reach. The light
        of an LED that sits so warm fades early too.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        leds:
                          W: {type: white 0603, at: [20 mm, 25 mm], count: 2, step: [16 mm, 0 mm], current: 15 mA}

    Mend
        Ask for the current that the finding names, sit the LEDs on a strip of copper foil, or
        open the box at top and bottom.

    Source
        [CHURCHILL-CHU], [FINS]; the softening of the sheet's row [SOFTENING]. An estimate, whose
        band is told.
    """  # noqa: E501 - one line of the example is one line of a project file
    softens = heat.softens_degC
    if softens is None or heat.seat_degC.high < softens:
        return
    led = next(led for led in sub.leds() if led.name == heat.led)
    share = _largest_share(at_share, softens_degC=softens)
    less = f"ask for {amps(share * led.current_A)} at most, or " if share > _LEAST_SHARE else ""
    yield Told(
        where=heat.where,
        message=f"the seat of '{heat.led}' may come to {heat.seat_degC.low:.0f} to "
        f"{heat.seat_degC.high:.0f} degC (an estimate; {watts(heat.power_W)} in the closed box), "
        f"and its sheet softens from {softens:g} degC",
        remedy=f"{less}sit the LEDs on a strip of copper foil, or open the box at top and bottom",
    )


@rule("CIR069", Severity.WARN, "A resistor that may soften the plastic it touches")
def hot_resistor(
    circuit: SubAssemblyCircuit,
    *,
    sub: SubAssembly,
    heats: Mapping[str, SheetHeat],
    habits: CircuitHabits,
) -> Iterable[Told]:
    """Find resistors that get as warm as what softens the sheet around them.

    What it checks
        In the warmest air, at its largest power, the body of every resistor stays below the
        softening of the sheets of its sub-assembly.

    Why it matters
        A resistor may be within its own rating and still melt its way into a styrene wall that
        it leans on.

    Example
        ::

            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 12 mA}

    Mend
        Put more LEDs in series so that less is burnt, take a larger resistor, or keep it clear of
        the plastic on its board.

    Source
        [IEC60115-8]: derated to nothing at the temperature its body bears, a resistor warms by
        that much above the air at its rated power; in between in proportion. The softening of
        the sheet's row [SOFTENING].
    """
    sheets = {panel.sheet.material for panel in sub.panels}
    sheets |= {box.sheet.material for _, box in sub.boxes}
    known = [heats[material] for material in sheets if material in heats]
    if not known:
        return
    softest = min(known, key=lambda heat: (heat.softens_degC, heat.name))
    for string in circuit.strings:
        body_degC = habits.warmest_degC + resistor_rise_K(string)
        if body_degC >= softest.softens_degC and string.resistor_W <= string.resistor_limit_W:
            yield Told(
                where=string.where,
                message=f"its resistor of {ohms(string.resistor_ohm)} may turn "
                f"{watts(string.resistor_W)} into heat and come to {body_degC:.0f} degC; "
                f"{softest.name} softens from {softest.softens_degC:g} degC",
                remedy="put more LEDs in series, take a larger resistor, or keep it clear of the "
                "plastic, in moving air",
            )


def resistor_rise_K(string: StringDesign) -> float:
    """Give how far the body of a string's resistor rises above the air at its largest power."""
    package = string.resistor_package
    per_W = (package.zero_power_degC - package.full_power_degC) / package.power_W
    return per_W * string.resistor_W


def judge_heat(
    sub: SubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    habits: CircuitHabits,
    materials: Sequence[SheetHeat],
) -> tuple[tuple[BoxHeat, ...], tuple[Finding, ...]]:
    """Estimate the heat of every box of a sub-assembly, and tell what comes too warm."""
    heats = {material.name: material for material in materials}
    found: list[Finding] = []
    boxes: list[BoxHeat] = []
    for _, box in sub.boxes:

        def at_share(share: float, box: LightBox = box) -> BoxHeat | None:
            return box_heat(box, sub=sub, circuit=circuit, habits=habits, heats=heats, share=share)

        heat = at_share(1.0)
        if heat is not None:
            boxes.append(heat)
            found += hot_seat(heat, sub=sub, at_share=at_share)
    found += hot_resistor(circuit, sub=sub, heats=heats, habits=habits)
    return tuple(boxes), tuple(found)


def _largest_share(at_share: AtShare, *, softens_degC: float) -> float:
    """Find the largest share of the currents at which the seat stays firm, by halving."""
    least, most = 0.0, 1.0
    for _ in range(_HALVINGS):
        share = 0.5 * (least + most)
        heat = at_share(share)
        if heat is not None and heat.seat_degC.high < softens_degC:
            least = share
        else:
            most = share
    return least
