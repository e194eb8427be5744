"""Rules on the supply: its voltage, its load, its fuse, and what kind of supply it is."""

from collections.abc import Iterable

from lamphouse.circuit.branch import SupplyLoad
from lamphouse.circuit.phrases import amps, ohms, percent, volts, watts
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.design.supply import Supply, SupplyKind
from lamphouse.findings import Finding, Severity, Told, rule, sets

CEILING_V = 24.0
EASY_SHARE = 0.8
"""Share of a supply's current that leaves it cool and steady [PRACTICE]."""
USB_UNASKED_A = 0.1
USB_ASKED_A = 0.5
USB_CHARGER_A = 1.5
USB_MOST_A = 3.0
USB_MOST_V = 5.5
USB_PORT_V = (4.75, 5.25)


@rule("CIR001", Severity.STOP, "A supply of more than 24 V", can_be_accepted=False)
def above_ceiling(supply: Supply) -> Iterable[Told]:
    """Refuse supplies above the tool's own ceiling.

    What it checks
        The supply's nominal voltage, and that of its cells in series, is at most 24 V. Mains is
        not among the kinds of supply at all: it stays in a bought plug-in supply, outside the
        model.

    Why it matters
        Bare joints in a model are touched while it is lit. Up to 60 V d.c. is touchable in the
        dry by the standards; 24 V keeps well below, even with a bad day of the supply. No
        string is designed until this is mended.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 36 V, max_current: 1 A}

    Mend
        Take a supply of 24 V or less.

    Source
        [SELV]; 24 V is the ceiling of this project.
    """
    if not designable_supply(supply):
        yield Told(
            where=supply.where,
            message=f"a supply of {volts(_nominal_V(supply))} is above the ceiling of "
            f"{volts(CEILING_V)} for bare joints that are touched while lit",
            remedy=f"take a supply of {volts(CEILING_V)} or less, such as 12 V",
        )


@rule("CIR002", Severity.STOP, "More current than the supply gives")
def overloaded(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find supplies that cannot feed all sub-assemblies at once.

    What it checks
        The largest total current of all strings, and of controllers themselves, is at most what the supply can give.

    Why it matters
        An overloaded supply sags, hums, or switches itself off and on.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 10 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 27, step: [9 mm, 0 mm], current: 5 mA}

    Mend
        Take a supply with the current that the finding names, or ask for less current.

    Source
        Kirchhoff's current law; the supply's own rating.
    """  # noqa: E501 - one line of the example is one line of a project file
    if load.share > 1.0:
        yield Told(
            where=supply.where,
            message=f"{load.drawn_by} may take {amps(load.total_A.high)}; the supply gives "
            f"{amps(supply.max_current_A)}",
            remedy=f"take a supply of {amps(load.total_A.high / EASY_SHARE)} or more",
        )


@rule("CIR003", Severity.WARN, "A supply loaded above four fifths")
def hard_worked(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find supplies with little to spare.

    What it checks
        The largest total current of all strings, and of controllers themselves, is at most 80 % of what the supply can give.

    Why it matters
        A small supply run at its limit gets hot in the base of a model and ages early, and
        nothing is left for the next light.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 84 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 27, step: [9 mm, 0 mm], current: 5 mA}

    Mend
        Take a supply with the current that the finding names.

    Source
        [PRACTICE]
    """  # noqa: E501 - one line of the example is one line of a project file
    if EASY_SHARE < load.share <= 1.0:
        yield Told(
            where=supply.where,
            message=f"{load.drawn_by} may take {amps(load.total_A.high)}, "
            f"{percent(load.share)} of the {amps(supply.max_current_A)} that the supply gives; "
            f"{percent(EASY_SHARE)} leave it cool",
            remedy=f"take a supply of {amps(load.total_A.high / EASY_SHARE)} or more",
        )


@rule("CIR004", Severity.STOP, "More than any USB port gives")
def beyond_usb(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find USB supplies asked for a voltage or a current that no port gives a plain load.

    What it checks
        A ``usb port`` has at most 5.5 V, and at most 3 A are counted on or drawn.

    Why it matters
        A port gives more than 5 V only to a device that negotiates for it, which a string of
        LEDs does not, and never more than 3 A at 5 V.

    Example
        ::

            supply: {kind: usb port, voltage: 12 V, max_current: 500 mA}

    Mend
        Write 5 V and the current of the port, or take a plug-in supply.

    Source
        [USB]
    """
    most_A = max(supply.max_current_A, load.total_A.high)
    if supply.kind is not SupplyKind.USB_PORT:
        return
    if supply.voltage_V > USB_MOST_V:
        yield Told(
            where=supply.where,
            message=f"{volts(supply.voltage_V)} from a USB port: it gives 5 V, at most "
            f"{volts(USB_MOST_V)}, to a load that does not negotiate",
            remedy=f"write 5 V, or take a plug-in supply of {volts(supply.voltage_V)}",
        )
    if most_A > USB_MOST_A:
        yield Told(
            where=supply.where,
            message=f"{amps(most_A)} from a USB port: no port gives more than {amps(USB_MOST_A)}",
            remedy=f"take a plug-in supply of {amps(load.total_A.high / EASY_SHARE)} or more",
        )


@rule("CIR005", Severity.WARN, "More than a USB port promises")
def unpromised_usb(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find loads that a USB port need not carry.

    What it checks
        The largest total current from a ``usb port`` is at most 100 mA.

    Why it matters
        A plain USB 2 port promises 100 mA to a load that does not speak to it; 500 mA only
        after it was asked, which strings of LEDs cannot do. Many ports give more, some switch
        off.

    Example
        ::

            supply: {kind: usb port, voltage: 5 V, max_current: 500 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 24, step: [5 mm, 0 mm], current: 5 mA}

    Mend
        Use a charger (a charging port gives up to 1.5 A unasked) or a plug-in supply of 5 V,
        and try the port with the whole load before the model is closed.

    Source
        [USB]
    """  # noqa: E501 - one line of the example is one line of a project file
    if supply.kind is SupplyKind.USB_PORT and USB_UNASKED_A < load.total_A.high <= USB_MOST_A:
        other = (
            f"use a charger, whose port gives up to {amps(USB_CHARGER_A)} unasked, or a"
            if load.total_A.high <= USB_CHARGER_A
            else "use a"
        )
        yield Told(
            where=supply.where,
            message=f"up to {amps(load.total_A.high)} from a USB port: a plain port promises "
            f"{amps(USB_UNASKED_A)} to a load that does not speak to it, {amps(USB_ASKED_A)} to "
            "one that asks",
            remedy=f"{other} plug-in supply of 5 V and "
            f"{amps(load.total_A.high / EASY_SHARE)} or more",
        )


@rule("CIR006", Severity.NOTE, "A USB port taken too exactly")
def exact_usb(supply: Supply) -> Iterable[Told]:
    """Find USB supplies whose tolerance is closer than that of a port.

    What it checks
        The band of a ``usb port`` holds 4.75 V to 5.25 V.

    Why it matters
        A white LED on 5 V leaves 2 V for its resistor; a quarter of a volt is an eighth of its
        current.

    Example
        ::

            supply: {kind: usb port, voltage: 5 V, tolerance: 1 %, max_current: 500 mA}

    Mend
        Write ``voltage: 5 V`` and ``tolerance: 5 %``.

    Source
        [USB]; 4.75 V and 5.25 V are from memory.
    """
    low, high = (supply.voltage_V * (1.0 + side * supply.tolerance) for side in (-1.0, 1.0))
    covered = low <= USB_PORT_V[0] + 1e-9 and high >= USB_PORT_V[1] - 1e-9
    if supply.kind is SupplyKind.USB_PORT and supply.voltage_V <= USB_MOST_V and not covered:
        yield Told(
            where=supply.where,
            message=f"{volts(low)} to {volts(high)} is counted on; a USB port may give "
            f"{volts(USB_PORT_V[0])} to {volts(USB_PORT_V[1])}",
            remedy="write voltage: 5 V and tolerance: 5 %",
            mend=sets("voltage", "5 V") + sets("tolerance", "5 %"),
        )


@rule("CIR007", Severity.WARN, "A power bank that may switch itself off")
def sleeping_bank(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find power banks loaded below what keeps them awake.

    What it checks
        The least total current of all strings, with every blinking one dark and every feed that
        has a switch off (all but one, when all have), is at least the ``min_load`` of a power bank.

    Why it matters
        Below it the bank takes the load for gone and switches off after some seconds.

    Example
        ::

            supply: {kind: power bank, voltage: 5 V, max_current: 1 A, min_load: 80 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 5 mA}

    Mend
        Add the resistor that the finding names across the supply, or take another supply.

    Source
        [PRACTICE]; the bank's own minimum.
    """
    short_A = supply.min_load_A - load.dimmest_A
    if supply.kind is SupplyKind.POWER_BANK and short_A > 0.0:
        low_V, high_V = (supply.voltage_V * (1 + side * supply.tolerance) for side in (-1.0, 1.0))
        values = preferred_ohm("E12")
        feeds = " and ".join(f"'{name}'" for name in load.off_feeds)
        off = f" with {feeds} switched off" if feeds else ""
        fitting = values[values <= low_V / short_A]
        remedy = (
            f"put {ohms(float(fitting[-1]))} across the supply, which takes up to "
            f"{watts(high_V**2 / float(fitting[-1]))}, or take a plug-in supply"
            if len(fitting)
            else "take a plug-in supply"
        )
        yield Told(
            where=supply.where,
            message=f"{load.drawn_by} may take as little as {amps(load.dimmest_A)}{off}; the "
            f"power bank switches itself off below {amps(supply.min_load_A)}",
            remedy=remedy,
        )


@rule("CIR008", Severity.STOP, "A fuse smaller than the load")
def small_fuse(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find fuses that the model itself would blow.

    What it checks
        The largest total current of all strings, and of controllers themselves, is at most the fuse's rating.

    Why it matters
        The fuse would age with every evening and fail in the middle of one.

    Example
        ::

            supply: {kind: plug-in supply, voltage: 12 V, max_current: 500 mA, fuse: 10 mA}
            sub_assemblies:
              wall:
                pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 27, step: [9 mm, 0 mm], current: 5 mA}

    Mend
        Take the fuse that the finding names, if the wires carry it.

    Source
        A fuse carries its rated current; a resettable one holds its hold current, less when
        warm. Fuses rest at 80 % of their rating [PRACTICE].
    """  # noqa: E501 - one line of the example is one line of a project file
    if supply.fuse_A is not None and load.total_A.high > supply.fuse_A:
        yield Told(
            where=supply.where,
            message=f"{load.drawn_by} may take {amps(load.total_A.high)}; the fuse carries "
            f"{amps(supply.fuse_A)}",
            remedy=f"take a fuse of {amps(load.total_A.high / EASY_SHARE)} or more",
        )


def designable_supply(supply: Supply) -> bool:
    """Tell whether strings are designed for this supply at all."""
    return _nominal_V(supply) <= CEILING_V


def _nominal_V(supply: Supply) -> float:
    """Give the voltage written, or that of the cells in series where it is higher."""
    pack = supply.cells
    return max(supply.voltage_V, pack.series * pack.cell.nominal_V if pack else 0.0)


def supply_findings(supply: Supply, *, load: SupplyLoad) -> tuple[Finding, ...]:
    """Run every rule on a supply and the whole load on it."""
    return (
        *overloaded(supply, load=load),
        *hard_worked(supply, load=load),
        *beyond_usb(supply, load=load),
        *unpromised_usb(supply, load=load),
        *exact_usb(supply),
        *sleeping_bank(supply, load=load),
        *small_fuse(supply, load=load),
    )
