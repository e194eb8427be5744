"""Rules on the surge at switch-on, where a capacitor stands across the plugs.

LEDs, resistors and wires hold no charge, so that nothing surges without one. A capacitor on a
source of fixed voltage behind a resistance takes ``V / R`` at first; what heats a fuse is the
integral of the current's square, ``C V^2 / (2 R)``, half of the charge's energy over the
resistance.
"""

from collections.abc import Iterable

from lamphouse.circuit.phrases import ohms, volts
from lamphouse.circuit.terminals import feed_ohm, fresh_V
from lamphouse.design.supply import Supply, SupplyKind
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.units import Quantity, show

USB_MOST_F = 10e-6
"""What a device may put across a port at the moment it is plugged in [USB]."""
STRAY_OHM = 0.1
"""Of leads, contacts and the capacitor itself [PRACTICE]."""
MELTS_PER_A2 = 0.1
"""Least melting integral of a quick fuse over the square of its rating: ten times its rating for
a millisecond. [s]."""


@rule("CIR037", Severity.WARN, "More capacitance than a USB port starts")
def heavy_for_usb(supply: Supply) -> Iterable[Told]:
    """Find capacitors that a USB port need not charge.

    What it checks
        ``buffer`` on a ``usb port`` is at most 10 uF.

    Why it matters
        The port sees a short at the moment of plugging in, and may switch itself off.

    Example
        ::

            supply: {kind: usb port, voltage: 5 V, max_current: 500 mA, buffer: 470 uF}

    Mend
        Take a capacitor of 10 uF or less, or a plug-in supply.

    Source
        [USB]; the 10 uF are from memory.
    """
    if supply.kind is SupplyKind.USB_PORT and supply.buffer_F > USB_MOST_F:
        yield Told(
            where=supply.where,
            message=f"{_farads(supply.buffer_F)} stand across the port; it has to start "
            f"{_farads(USB_MOST_F)}",
            remedy=f"take {_farads(USB_MOST_F)} or less, or a plug-in supply of 5 V",
        )


@rule("CIR038", Severity.WARN, "A capacitor that may melt the fuse at switch-on")
def melting_surge(supply: Supply) -> Iterable[Told]:
    """Find melting fuses that the charge of a capacitor passes through too fast.

    What it checks
        The square of the charging current, summed over the surge, is at most the least that melts
        a quick fuse of this rating. A fuse without a type is taken for such a one.

    Why it matters
        The fuse ages a little at each switching on, and one evening the model stays dark.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 1 A, fuse: 500 mA, buffer: 1000 uF}

    Mend
        Put the resistor that the finding names into the plus lead before the capacitor, or take a
        resettable fuse.

    Source
        ``C V^2 / (2 R)``: half of the energy of the charge over the resistance. That a quick fuse
        bears ten times its rating for a millisecond is from memory.
    """  # noqa: E501 - one line of the example is one line of a project file
    fuse = supply.fuse_type
    if supply.fuse_A is None or (fuse is not None and fuse.construction == "resettable"):
        return
    surge, melts = surge_A2s(supply), MELTS_PER_A2 * supply.fuse_A**2
    if surge > melts:
        needed_ohm = surge / melts * _charging_ohm(supply)
        lost_V = needed_ohm * min(supply.fuse_A, supply.max_current_A)
        yield Told(
            where=supply.where,
            message=f"charging {_farads(supply.buffer_F)} to {volts(fresh_V(supply))} sends "
            f"{surge:.2g} A2s through the fuse; a quick one of this rating may melt at "
            f"{melts:.2g} A2s",
            remedy=f"put {ohms(needed_ohm)} into the plus lead before it, which takes at most "
            f"{volts(lost_V)}, or take a resettable fuse",
        )


def surge_A2s(supply: Supply) -> float:
    """Give the integral of the square of the current that charges the buffer, in A2 s."""
    return supply.buffer_F * fresh_V(supply) ** 2 / (2.0 * _charging_ohm(supply))


def surge_findings(supply: Supply) -> tuple[Finding, ...]:
    """Run every rule on the surge at switch-on."""
    return (*heavy_for_usb(supply), *melting_surge(supply))


def _charging_ohm(supply: Supply) -> float:
    """Give what limits the surge: fuse, protection, cells, and what is never missing."""
    pack = supply.cells
    cells = pack.series / pack.parallel * pack.cell.fresh_ohm if pack else 0.0
    return feed_ohm(supply) + cells + STRAY_OHM


def _farads(capacitance_F: float) -> str:
    return show(capacitance_F, Quantity.CAPACITANCE)
