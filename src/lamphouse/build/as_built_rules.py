"""Rules on what was built: figures that fit no item, that cannot be, or that are not as planned."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.shelf import nearest
from lamphouse.circuit.branch import StringDesign
from lamphouse.circuit.corners import MEASURED_SHARE
from lamphouse.circuit.phrases import amps, ohms, percent, volts
from lamphouse.circuit.resistors import nearest_preferred_ohm
from lamphouse.design.as_built import AsBuilt
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.findings import Severity, Told, Where, rule
from lamphouse.units import Quantity, show

MOST_NAMED = 6


@rule("ASB001", Severity.WARN, "A figure as built belongs to nothing in the model")
def of_nothing(entry: AsBuilt, *, names: Sequence[str]) -> Iterable[Told]:
    """Find a figure as built whose item is not there.

    What it checks
        Each figure under ``as_built``, or logged at the bench, is of the supply, or of a string,
        a resistor or an LED that the model has.

    Why it matters
        The plan would go on as if nothing had been measured, and nobody would know.

    Example
        ::

            as_built:
              - {item: desk / S9, resistor: 1.02 kohm}

    Mend
        Name the item as ``check`` and the bench sheet do.

    Source
        Design rule of this project.
    """
    meant = nearest(entry.item, names)
    some = ", ".join(f"'{name}'" for name in names[:MOST_NAMED])
    yield Told(
        where=entry.where,
        message=f"'{entry.item}' is no string, resistor or LED of this model",
        remedy=f"did you mean '{meant}'?" if meant else f"there is: 'supply', {some}",
    )


@rule("ASB002", Severity.WARN, "A figure as built cannot be used")
def of_no_use(where: Where, *, given: str, why: str, remedy: str) -> Iterable[Told]:
    """Find a figure as built that its item does not have, or that cannot be read.

    What it checks
        A supply has a voltage; a string or a resistor has a resistance and a current; an LED has
        a place, and the resistance and current of its string. Cells have no one voltage.

    Why it matters
        The plan cannot follow a figure that it has no place for.

    Example
        ::

            as_built:
              - {item: supply, current: 20 mA}

    Mend
        Give the figure to the item it was measured on.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{given}: {why}", remedy=remedy)


@rule("ASB003", Severity.WARN, "A resistor is not the one that was planned")
def other_resistor(
    string: StringDesign, *, measured_ohm: float, habits: CircuitHabits
) -> Iterable[Told]:
    """Find a measured resistor outside the tolerance of the planned one.

    What it checks
        A resistor as measured lies within its tolerance of the planned value, and within 1 %
        besides for the meter.

    Why it matters
        It is another value from the wrong row of the drawer, or the meter reads something beside
        it. The plan goes on with what was measured; whether the model still is as wanted, the
        other findings tell.

    Example
        ::

            as_built:
              - {item: desk / S1, resistor: 12 kohm}

    Mend
        Measure again with the plug pulled; then change the resistor, or leave it.

    Source
        [IEC60063]; the meter's 1 % is from memory.
    """
    if string.knob:
        return
    share = habits.resistor_tolerance + MEASURED_SHARE
    planned = string.resistor_ohm
    if abs(measured_ohm - planned) <= share * planned:
        return
    near = nearest_preferred_ohm(measured_ohm, series=habits.series)
    is_other = near != planned and abs(measured_ohm - near) <= share * near
    seems = f"it is a {ohms(near)}" if is_other else "no value of the series is near it"
    yield Told(
        where=string.where,
        message=f"its resistor measures {show(measured_ohm, Quantity.RESISTANCE, digits=3)}, and "
        f"{ohms(planned)} within {percent(habits.resistor_tolerance)} was planned: {seems}",
        remedy=f"measure it again with the plug pulled; then solder {ohms(planned)} in its place, "
        "or keep it if the look is right",
    )


@rule("ASB004", Severity.WARN, "A current is not that of good parts")
def other_current(
    string: StringDesign, *, measured_A: float, finder: str = "lamphouse fault"
) -> Iterable[Told]:
    """Find a measured current that no spread of good parts explains.

    What it checks
        The current of a string as measured lies within its worst case, and within 1 % besides
        for the meter.

    Why it matters
        The worst case holds every good part, supply and ambient. Outside it something is wrong
        that can still be mended now, and not behind glue.

    Example
        ::

            as_built:
              - {item: desk / S1, current: 0.7 mA}

    Mend
        Look for the fault with ``lamphouse fault``; the plan follows the current meanwhile.

    Source
        The worst case of the string itself; the meter's 1 % is from memory.
    """
    low, high = string.current_A.low, string.current_A.high
    slack = MEASURED_SHARE * measured_A
    if low - slack <= measured_A <= high + slack:
        return
    sub_assembly = string.where.item.partition(" / ")[0]
    yield Told(
        where=string.where,
        message=f"{amps(measured_A)} was measured, and good parts pass {amps(low)} to {amps(high)}",
        remedy=f'find out why: {finder} PROJECT "{sub_assembly}" with the readings you have',
    )


@rule("ASB005", Severity.WARN, "The supply is not the one that was planned")
def other_supply(supply: Supply, *, measured_V: float) -> Iterable[Told]:
    """Find a measured supply voltage outside the supply's tolerance.

    What it checks
        The voltage as measured lies within the tolerance of the supply, and within 1 % besides
        for the meter.

    Why it matters
        Every current of the model follows it. The plan goes on with what was measured.

    Example
        ::

            as_built:
              - {item: supply, voltage: 9 V}

    Mend
        Measure under load; change the supply, or put its true voltage into the project.

    Source
        The supply's own tolerance; the meter's 1 % is from memory.
    """
    share = supply.tolerance + MEASURED_SHARE
    if abs(measured_V - supply.voltage_V) <= share * supply.voltage_V:
        return
    yield Told(
        where=supply.where,
        message=f"it measures {volts(measured_V)}, and {volts(supply.voltage_V)} within "
        f"{percent(supply.tolerance)} was planned",
        remedy=f"measure it under load; then change the supply, or write voltage: "
        f"{volts(measured_V)}",
    )


@rule("ASB006", Severity.WARN, "Project and bench log differ")
def two_figures(where: Where, *, item: str, name: str, at: str) -> Iterable[Told]:
    """Find a figure that stands in the project file and, differently, in the bench log.

    What it checks
        A figure as built stands in one place only, or is the same in both.

    Why it matters
        The project file holds; what was measured later at the bench would be passed over without
        a word.

    Example
        ::

            as_built:
              - {item: desk / S1, resistor: 15.1 kohm}
              - {item: desk / S1, resistor: 14.8 kohm}

    Mend
        Take the older figure out of the project file.

    Source
        Design rule of this project.
    """
    yield Told(
        where=where,
        message=f"the {name} of '{item}' is given twice, and differently: also at {at}",
        remedy="keep the figure that is true and remove the other",
    )


@rule("ASB007", Severity.WARN, "The bench log cannot be read")
def unreadable_log(where: Where, *, what: str, remedy: str) -> Iterable[Told]:
    """Find a bench log whose figures the plan cannot follow.

    What it checks
        The file beside the project that bears the bench log's name is one, sound, and of a
        version that is known.

    Why it matters
        The plan is then that of the project file alone, and not of the model as it was built.

    Example
        ::

            # project.log.sqlite beside the project holds something else

    Mend
        What the finding names.

    Source
        Design rule of this project.
    """
    yield Told(where=where, message=f"{what}; the plan is made without it", remedy=remedy)
