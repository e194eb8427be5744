"""Rules on what must pass the wire exit of a light box: the wires of its LEDs."""

from collections import Counter
from collections.abc import Iterable
from itertools import groupby

from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.laid_loom import stepped
from lamphouse.circuit.phrases import counted
from lamphouse.circuit.wire_bundle import SNUG, bundle_mm
from lamphouse.design.lightbox import Led, Lid, LightBox, Seat
from lamphouse.design.place import SubAssembly
from lamphouse.findings import Severity, Told, rule, sets
from lamphouse.units import Quantity, show

DRILL_STEP_MM = 0.1
"""Between the diameters of metric drills."""
_SAME_MM = 1e-6
_OUTSIDE = -1


@rule("CIR014", Severity.WARN, "Wires that do not pass a light box's exit")
def tight_exit(circuit: SubAssemblyCircuit, *, sub: SubAssembly) -> Iterable[Told]:
    """Find light boxes whose wire exit is too narrow for the wires of their LEDs.

    What it checks
        Two wires for every stretch of a string that lies in a box, of the pigtail's wire, pass its
        wire exit as one bundle. LEDs with wire holes of their own are left out: those on a wall,
        and those on a back without a lid over it.

    Why it matters
        The strings are soldered before the box is closed. Wires that do not fit are pinched under
        the wall, or hold the box open: a glowing seam.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box: {lid: lid over back, wire_exit: 0.8 mm}

    Mend
        Drill or cut the exit to the width that the finding gives, or let the LEDs of the box share
        fewer strings.

    Source
        Bundles of wires after [CIRCLE-PACKING]; 5 percent of play is [PRACTICE].
    """
    if sub.pigtail is None:
        return
    wire = sub.pigtail.wire
    stretches = _stretches(circuit, sub=sub)
    for index, (_, box) in enumerate(sub.boxes):
        wires = 2 * stretches[index]
        needed_mm = stepped(SNUG * bundle_mm((wire.outside_mm,) * wires), DRILL_STEP_MM)
        if 0.0 < box.wire_exit_mm < needed_mm - _SAME_MM:
            yield Told(
                where=box.where,
                message=f"the wire exit of box '{box.name}' is {_mm(box.wire_exit_mm)} wide; "
                f"{counted(wires, 'wire')} '{wire.name}' need {_mm(needed_mm)}, "
                f"{SNUG - 1.0:.0%} of play included",
                remedy=f"write wire_exit: {_mm(needed_mm)} and drill or cut it so, or put the LEDs "
                "of the box into fewer strings",
                mend=sets("wire_exit", _mm(needed_mm)),
            )


def _stretches(circuit: SubAssemblyCircuit, *, sub: SubAssembly) -> Counter[int]:
    """Count, by box, what strings join within it; each stretch has two wires out of it."""
    box_of = {
        led.name: index
        for index, (_, box) in enumerate(sub.boxes)
        for led in box.leds
        if not _has_holes(led, box=box)
    }
    return Counter(
        index
        for string in circuit.strings
        for index, _ in groupby(box_of.get(led.name, _OUTSIDE) for led in string.leds)
        if index != _OUTSIDE
    )


def _has_holes(led: Led, *, box: LightBox) -> bool:
    """Tell whether an LED's wires leave through two holes beside it."""
    return led.seat is Seat.WALL or (led.seat is Seat.BACK and box.lid is Lid.BACK)


def _mm(length_mm: float) -> str:
    return show(length_mm, Quantity.LENGTH, digits=4)
