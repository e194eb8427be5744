"""Rules on cells: that they make the voltage, last, and cannot hurt anyone."""

import math
from collections.abc import Callable, Iterable

from lamphouse.circuit.branch import SupplyLoad
from lamphouse.circuit.discharge import RunTime
from lamphouse.circuit.phrases import amps, counted, hours, volts
from lamphouse.design.supply import Holder, Supply, SupplyKind
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.record import replace

VOLTAGE_MARGIN = 0.05
"""Share by which the voltage written may differ from the cells' nominal one."""
_MOST_ROWS = 8

Rerun = Callable[[Supply], RunTime | None]
"""Gives the run time of the same strings on another supply."""


@rule("CIR050", Severity.STOP, "Cells that do not make the voltage")
def wrong_voltage(supply: Supply) -> Iterable[Told]:
    """Compare the voltage written with that of the cells.

    What it checks
        ``cells`` are given only where the supply is of ``cells``, and the nominal voltage of the
        cells in series is within 5 % of ``voltage``.

    Why it matters
        Strings are designed for ``voltage``. On other cells they are pale, or too bright.

    Example
        ::

            supply: {kind: cells, voltage: 6 V, max_current: 500 mA, cells: {type: alkaline AA, count: 3}}

    Mend
        Write the voltage or the count that the finding names.

    Source
        Kirchhoff's voltage law; the cell's row in the catalogue. The 5 % are this project's
        choice.
    """  # noqa: E501 - one line of the example is one line of a project file
    pack = supply.cells
    if pack is None:
        return
    if supply.kind is not SupplyKind.CELLS:
        yield Told(
            where=supply.where,
            message=f"cells are given, but the supply is a {supply.kind}",
            remedy="write kind: cells, or remove cells",
        )
        return
    given_V = pack.series * pack.cell.nominal_V
    if abs(supply.voltage_V - given_V) <= VOLTAGE_MARGIN * supply.voltage_V:
        return
    meant = round(supply.voltage_V / pack.cell.nominal_V)
    fits = abs(meant * pack.cell.nominal_V - supply.voltage_V) <= VOLTAGE_MARGIN * supply.voltage_V
    count = f", or count: {meant}" if meant and fits else ""
    yield Told(
        where=supply.where,
        message=f"{counted(pack.series, f'{pack.cell.name} cell')} in series give "
        f"{volts(given_V)}; the strings are designed for {volts(supply.voltage_V)}",
        remedy=f"write voltage: {volts(given_V)}{count}",
        mend=sets("voltage", volts(given_V)),
    )


@rule("CIR051", Severity.NOTE, "Cells of which nothing is known")
def unknown_cells(supply: Supply) -> Iterable[Told]:
    """Note a supply of cells that does not say which.

    What it checks
        A supply of ``cells`` names its cells.

    Why it matters
        How far they sag, how long they last and what a short would do is then not computed.

    Example
        ::

            supply: {kind: cells, voltage: 4.5 V, max_current: 500 mA}

    Mend
        Name them, such as ``cells: {type: alkaline AA, count: 3}``.

    Source
        Design rule of this project.
    """
    if supply.kind is SupplyKind.CELLS and supply.cells is None:
        yield Told(
            where=supply.where,
            message="nothing is said of the cells, so that their run time is not computed",
            remedy="name them, such as cells: {type: alkaline AA, count: "
            f"{max(round(supply.voltage_V / 1.5), 1)}}}",
        )


@rule("CIR052", Severity.STOP, "More current than the cells give")
def overdrawn(supply: Supply, *, load: SupplyLoad) -> Iterable[Told]:
    """Find cells asked for more than they give all the time.

    What it checks
        The largest total current of all strings, and of controllers themselves, is at most the continuous current of the cells'
        row, times the rows side by side.

    Why it matters
        A coin cell is made for fractions of a milliampere. Asked for ten it gives less than half
        of what is printed on it, and cells that run warm leak.

    Example
        ::

            supply:
              {kind: cells, voltage: 3 V, max_current: 20 mA, cells: {type: coin CR2032, holder: screwed}}

    Mend
        Take the larger cells or the rows that the finding asks for, or less current.

    Source
        The cell's row in the catalogue [CELLS].
    """  # noqa: E501 - one line of the example is one line of a project file
    pack = supply.cells
    if pack is None:
        return
    gives_A = pack.parallel * pack.cell.max_current_A
    if load.total_A.high > gives_A:
        rows = math.ceil(load.total_A.high / pack.cell.max_current_A)
        beside = f", or {rows} rows side by side" if rows <= _MOST_ROWS else ""
        yield Told(
            where=supply.where,
            message=f"{load.drawn_by} may take {amps(load.total_A.high)}; "
            f"the cells give {amps(gives_A)} all the time",
            remedy=f"take larger cells that give {amps(load.total_A.high)}{beside}",
        )


@rule("CIR053", Severity.STOP, "Cells on which the model is never bright")
def never_bright(supply: Supply, *, run: RunTime | None, rerun: Rerun) -> Iterable[Told]:
    """Find cells whose voltage under load is too low from the beginning.

    What it checks
        With fresh cells, sagging under the load, behind fuse and protection, every string gets
        ``circuit: least_share`` of its wanted current, there is half of the wanted light, and the
        cells are above their cut-off.

    Why it matters
        The strings are sound on a stiff supply of this voltage, and pale on these cells.

    Example
        ::

            supply:
              {kind: cells, voltage: 3 V, max_current: 20 mA, cells: {type: coin CR2032, holder: screwed}}
            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 12, step: [5 mm, 0 mm], current: 5 mA}

    Mend
        Put as many rows side by side as the finding names, or take cells of more voltage.

    Source
        [SHOCKLEY]; Ohm's law; the cell's row in the catalogue [CELLS].
    """  # noqa: E501 - one line of the example is one line of a project file
    pack = supply.cells
    if pack is None or run is None or run.bright_h.nominal > 0.0:
        return
    fresh, open_V = run.moments[0], pack.series * pack.cell.fresh_V
    rows = _rows_until(supply, rerun=rerun, enough=lambda found: found.bright_h.nominal > 0.0)
    more_V = (pack.series + 1) * pack.cell.nominal_V
    remedy = f"put {rows} rows side by side, or take" if rows else "take"
    yield Told(
        where=supply.where,
        message=f"{run.bright_ends} with fresh cells already: {volts(open_V)} without load are "
        f"{volts(fresh.pack_V)} at {amps(fresh.total_A)}",
        remedy=f"{remedy} {pack.series + 1} cells in series and write voltage: {volts(more_V)}",
    )


@rule("CIR054", Severity.WARN, "Cells or a bank that do not last")
def short_lived(
    supply: Supply, *, load: SupplyLoad, run: RunTime | None, rerun: Rerun
) -> Iterable[Told]:
    """Find cells that are weak, or a bank that is empty, before the day is over.

    What it checks
        Cells of the least capacity keep the model bright for ``hours_a_day``; a ``capacity``
        without named cells lasts that long at the nominal current.

    Why it matters
        The lights fade before the guests have gone, and cells that nobody can reach are not
        changed.

    Example
        ::

            supply:
              {kind: cells, voltage: 4.5 V, max_current: 500 mA, hours_a_day: 20 h, cells: {type: alkaline AA, count: 3}}
            sub_assemblies:
              desk:
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], count: 30, step: [5 mm, 0 mm], current: 5 mA}

    Mend
        Put as many rows side by side as the finding names, or take larger cells or less current.

    Source
        [SHOCKLEY]; the cell's row in the catalogue [CELLS].
    """  # noqa: E501 - one line of the example is one line of a project file
    wanted = supply.hours_a_day
    if wanted is None:
        return
    if load.run_time_h is not None and load.run_time_h < wanted:
        yield Told(
            where=supply.where,
            message=f"its capacity is gone after {hours(load.run_time_h)} at "
            f"{amps(load.total_A.nominal)}; {hours(wanted)} are wanted",
            remedy=f"take one of {load.total_A.nominal * wanted:.2g} Ah or more",
        )
    if run is None or run.bright_h.nominal <= 0.0:
        return
    if run.bright_h.low >= wanted:
        return
    rows = _rows_until(supply, rerun=rerun, enough=lambda found: found.bright_h.low >= wanted)
    remedy = f"put {rows} rows side by side, or take" if rows else "take"
    yield Told(
        where=supply.where,
        message=f"the model is bright for {hours(run.bright_h.low)} to {hours(run.bright_h.high)} "
        f"({run.bright_ends}); {hours(wanted)} are wanted",
        remedy=f"{remedy} larger cells, or ask for less current",
    )


@rule("CIR055", Severity.STOP, "Coin cells that a child can take out", can_be_accepted=False)
def loose_coin(supply: Supply) -> Iterable[Told]:
    """Refuse button and coin cells that come out without a tool.

    What it checks
        A supply of cells that are lower than wide has ``holder: screwed``.

    Why it matters
        A swallowed coin cell burns through a child's gullet within two hours. What is sold with
        one must need a tool, or two movements at once, to open.

    Example
        ::

            supply: {kind: cells, voltage: 3 V, max_current: 3 mA, cells: {type: coin CR2032}}

    Mend
        Use a holder that is closed by a screw and write ``holder: screwed``, or take AAA cells.

    Source
        [BUTTON-CELLS]
    """
    pack = supply.cells
    if pack is not None and pack.cell.is_coin and pack.holder is not Holder.SCREWED:
        said = "is open to the hand" if pack.holder else "is not told"
        yield Told(
            where=supply.where,
            message=f"'{pack.cell.name}' is small enough to be swallowed, and its holder {said}",
            remedy="close it with a screw and write holder: screwed, or take AAA cells",
        )


@rule("CIR056", Severity.WARN, "Lithium-ion cells joined by hand")
def joined_lithium(supply: Supply) -> Iterable[Told]:
    """Find lithium-ion cells in series or side by side.

    What it checks
        There is one lithium-ion cell, or a pack bought as one.

    Why it matters
        In series each cell needs its own watch while charging; side by side a full cell empties
        itself into an empty one at once. Both end in fire.

    Example
        ::

            supply:
              {kind: cells, voltage: 7.2 V, max_current: 1 A, cells: {type: Li-ion 18650 protected, count: 2}}

    Mend
        Buy a protected pack with its charger, or take one cell and strings for its voltage.

    Source
        [LI-ION]; [PRACTICE]
    """  # noqa: E501 - one line of the example is one line of a project file
    pack = supply.cells
    if pack is not None and pack.cell.chemistry == "Li-ion" and pack.series * pack.parallel > 1:
        yield Told(
            where=supply.where,
            message=f"{pack.series * pack.parallel} lithium-ion cells are joined by hand, and "
            "nothing watches each of them",
            remedy="buy a protected pack with its charger, or take one cell of "
            f"{volts(pack.cell.nominal_V)}",
        )


@rule("CIR057", Severity.WARN, "A rechargeable cell emptied too far")
def emptied(supply: Supply) -> Iterable[Told]:
    """Find a cut-off below what a rechargeable cell bears.

    What it checks
        ``cut_off`` of a rechargeable cell is at least that of its row in the catalogue.

    Why it matters
        Emptied further, the weakest cell of a row is charged the wrong way round by the others; a
        lithium-ion cell may not be charged again.

    Example
        ::

            supply:
              {kind: cells, voltage: 4.8 V, max_current: 1 A, cells: {type: NiMH AA, count: 4, cut_off: 0.7 V}}

    Mend
        Write the cut-off that the finding names, or leave it out.

    Source
        [LI-ION]; the cell's row in the catalogue [CELLS].
    """  # noqa: E501 - one line of the example is one line of a project file
    pack = supply.cells
    if pack is not None and pack.cell.is_rechargeable and pack.cut_off_V < pack.cell.cut_off_V:
        yield Told(
            where=supply.where,
            message=f"emptied to {volts(pack.cut_off_V)}, a '{pack.cell.name}' is harmed: it "
            f"bears {volts(pack.cell.cut_off_V)}",
            remedy=f"write cut_off: {volts(pack.cell.cut_off_V)}, or leave it out",
            mend=sets("cells cut_off", volts(pack.cell.cut_off_V)),
        )


def cell_findings(
    supply: Supply, *, load: SupplyLoad, run: RunTime | None, rerun: Rerun
) -> tuple[Finding, ...]:
    """Run every rule on the cells of a supply."""
    return (
        *wrong_voltage(supply),
        *unknown_cells(supply),
        *overdrawn(supply, load=load),
        *never_bright(supply, run=run, rerun=rerun),
        *short_lived(supply, load=load, run=run, rerun=rerun),
        *loose_coin(supply),
        *joined_lithium(supply),
        *emptied(supply),
    )


def _rows_until(supply: Supply, *, rerun: Rerun, enough: Callable[[RunTime], bool]) -> int | None:
    """Find how many rows of cells side by side are enough, if few are."""
    pack = supply.cells
    if pack is None:
        return None
    for rows in range(pack.parallel + 1, _MOST_ROWS + 1):
        found = rerun(replace(supply, cells=replace(pack, parallel=rows)))
        if found is not None and enough(found):
            return rows
    return None
