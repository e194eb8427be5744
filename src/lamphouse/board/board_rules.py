"""Rules on boards: whether parts and wires fit the holes, and the whole fits its space."""

from collections.abc import Iterable
from math import ceil, pi

from lamphouse.board.annealing import Ways, arrange
from lamphouse.board.demand import BoardDemand
from lamphouse.board.holes import HOLE_MM, PAD_MM, PITCH_MM, cut_size_mm, most_holes
from lamphouse.board.lay_board import MANY, WAYS, lay_board
from lamphouse.board.legs import CHIP_LAP_MM, Form, Posture, poses
from lamphouse.board.seatings import Ground
from lamphouse.board.soldered import BoardLayout
from lamphouse.circuit.phrases import counted, listed
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import BoardKind, Pigtail
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.record import replace

THICKEST_MM = HOLE_MM - 0.1
"""Copper that still goes through a hole [PRACTICE]."""


@rule("BRD001", Severity.WARN, "A board that does not fit its space")
def does_not_fit(demand: BoardDemand, *, free: BoardLayout | None) -> Iterable[Told]:
    """Find spaces too small for the parts and wires of a board.

    What it checks
        On the holes that fit the space, parts and wires are laid out: lying, then standing, then
        with wire links.

    Why it matters
        The board is cut and soldered before anyone sees that it does not go in. The pack then
        holds no board for it, but a card for wiring it point to point.

    Example
        ::

            sub_assemblies:
              desk:
                board: {kind: perforated, space: 8 x 6 mm, resistors: axial 1/4 W}

    Mend
        Give it the room that the finding names, take smaller resistors, or write
        ``kind: point to point``.

    Source
        Pitch [IEC60097], bends [LEAD-FORMING]. That a space holds fewer holes than there are
        leads and wires is proof; beyond that, a search that found nothing.
    """
    space = demand.space_mm or (0.0, 0.0)
    columns, rows = most_holes(space)
    least = demand.least_holes(standing=True)
    proof = (
        f"and {least} are needed at least"
        if columns * rows < least
        else "and no way to lay them was found"
    )
    larger = f"give it {_size(free)}, " if free else "give it more room, "
    yield Told(
        where=demand.where,
        message=f"{_load(demand)} do not fit {space[0]:g} x {space[1]:g} mm: it holds {columns} x "
        f"{rows} holes, {proof}",
        remedy=f"{larger}take smaller resistors, or write kind: point to point, as it is drawn now",
    )


@rule("BRD002", Severity.NOTE, "A board on which parts must stand")
def must_stand(
    demand: BoardDemand, *, laid: BoardLayout, free: BoardLayout | None
) -> Iterable[Told]:
    """Tell where parts stand upright because the space is too small for them to lie.

    What it checks
        Whether every axial part lies flat in the board's space.

    Why it matters
        A standing resistor is several times as high as a lying one, and its bare lead comes down
        beside it, where it can be pushed against its neighbour.

    Example
        ::

            sub_assemblies:
              desk:
                board: {kind: perforated, space: 11 x 11 mm, resistors: axial 1/4 W}

    Mend
        Give it the room that the finding names, or see that there is the height.

    Source
        Bends [LEAD-FORMING]; the height of the bend is [PRACTICE].
    """
    high = max(
        (
            part.body.size_mm[0] + 3.0 * part.body.lead_mm
            for part in laid.parts
            if part.posture is Posture.STANDING
        ),
        default=0.0,
    )
    if high:
        lying = f"give it {_size(free)}, on which they lie, or " if free else ""
        yield Told(
            where=demand.where,
            message=f"{_load(demand)} fit {_space(demand)} only with parts that stand, "
            f"{high:.1f} mm high",
            remedy=f"{lying}see that there is the height",
        )


@rule("BRD003", Severity.STOP, "A part that fits no board")
def no_seat(demand: BoardDemand) -> Iterable[Told]:
    """Find parts whose size does not suit the grid.

    What it checks
        A chip reaches from pad to pad and no further; the leads of other parts go through the
        holes.

    Why it matters
        There is no way to solder it down.

    Example
        ::

            sub_assemblies:
              desk:
                board: {kind: perforated, resistors: "0402"}

    Mend
        Take the size that the finding names, or write ``kind: point to point``.

    Source
        Pitch [IEC60097]; pads of 2 mm and what a chip must cover of them are [PRACTICE].
    """
    least, most = PITCH_MM - PAD_MM + 2.0 * CHIP_LAP_MM, PITCH_MM + PAD_MM
    for body in dict.fromkeys(part.body for part in demand.parts):
        if body.form is Form.CHIP and not poses(body, standing=True):
            yield Told(
                where=demand.where,
                message=f"'{body.name}' is {body.size_mm[0]:g} mm long; to lie across two pads a "
                f"chip is {least:.2f} to {most:.2f} mm long",
                remedy="take 0603, 0805 or 1206, an axial size, or write kind: point to point",
            )
        elif body.lead_mm > THICKEST_MM:
            yield Told(
                where=demand.where,
                message=f"the leads of '{body.name}' are {body.lead_mm:g} mm thick; a hole takes "
                f"{THICKEST_MM:g} mm",
                remedy="take a smaller size, or write kind: point to point",
            )


@rule("BRD004", Severity.STOP, "A wire too thick for a hole")
def thick_wire(demand: BoardDemand, *, pigtail: Pigtail) -> Iterable[Told]:
    """Find pigtails whose copper does not go through a hole of the board.

    What it checks
        The copper of the pigtail's wire is at most 0.9 mm thick.

    Why it matters
        Bored out, a hole loses its pad.

    Example
        ::

            sub_assemblies:
              desk:
                pigtail: {plug: 2-pin 2.54 mm, wire: 32/0.2 insulated, length: 150 mm}

    Mend
        Take a thinner wire, which the pigtail's current allows nearly always.

    Source
        Holes of 1 mm are [PRACTICE].
    """
    copper = pigtail.wire.copper_mm
    if copper > THICKEST_MM:
        yield Told(
            where=demand.where,
            message=f"'{pigtail.wire.name}' has {copper:.2f} mm of copper; a hole of the board "
            f"takes {THICKEST_MM:g} mm",
            remedy=f"take a wire of at most {pi / 4 * THICKEST_MM**2:.2f} mm2, 20 AWG or thinner",
        )


@rule("BRD005", Severity.NOTE, "A board without a pigtail is not drawn")
def no_lead(sub: SubAssembly) -> Iterable[Told]:
    """Tell where a board has no wires to the supply.

    What it checks
        A sub-assembly with a board and LEDs has a pigtail.

    Why it matters
        Without one it is not known which wires leave the board, so the pack holds no board.

    Example
        ::

            sub_assemblies:
              wall:
                board: {kind: perforated}
                lamps:
                  L: {type: white 0603, at: [10 mm, 10 mm], current: 5 mA}

    Mend
        Give it a pigtail.

    Source
        Design rule of this project.
    """
    if sub.board is not None and sub.leds() and sub.pigtail is None:
        yield Told(
            where=sub.board.where,
            message=f"'{sub.name}' has a board but no pigtail, so nothing leads to it",
            remedy="add one, such as pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, "
            "length: 150 mm}",
        )


def judge_board(demand: BoardDemand, *, pigtail: Pigtail, seed: int) -> tuple[Finding, ...]:
    """Run every rule on a board.

    A board whose parts can be stacked lying in its space is not searched any further, so that
    most boards take no time here; nor is a size looked for that would hold many parts.
    """
    if demand.kind is BoardKind.POINT_TO_POINT or not demand.parts:
        return ()
    unfit = (*no_seat(demand), *thick_wire(demand, pigtail=pigtail))
    if unfit or demand.space_mm is None or _stacks(demand, ways=WAYS[0], seed=seed):
        return unfit
    laid = lay_board(demand, seed=seed)
    few = len(demand.parts) <= MANY
    free = lay_board(replace(demand, space_mm=None), seed=seed) if few else None
    if laid is None:
        return does_not_fit(demand, free=free)
    return must_stand(demand, laid=laid, free=free)


def _stacks(demand: BoardDemand, *, ways: Ways, seed: int) -> bool:
    """Tell whether the parts can be stacked on the largest board that fits."""
    columns, rows = most_holes(demand.space_mm or (0.0, 0.0))
    strips = demand.kind is BoardKind.STRIPBOARD
    return any(
        arrange(
            demand,
            ground=Ground(columns=across, rows=down),
            ways=ways,
            strips=strips,
            seed=seed,
            tries=0,
        )
        for across, down in ((columns, rows), (rows, columns))[: 1 + strips]
    )


def _load(demand: BoardDemand) -> str:
    """Say what is to be laid out: ``3 resistors and 8 wires``."""
    kinds: dict[str, int] = {}
    for part in demand.parts:
        kinds[str(part.kind)] = kinds.get(str(part.kind), 0) + 1
    parts = [counted(count, kind) for kind, count in kinds.items()]
    return listed([*parts, counted(len(demand.wires), "wire")])


def _space(demand: BoardDemand) -> str:
    space = demand.space_mm or (0.0, 0.0)
    return f"{space[0]:g} x {space[1]:g} mm"


def _size(layout: BoardLayout) -> str:
    """Give the size of a board, rounded up to a tenth of a millimetre."""
    wide, high = (
        ceil(10 * side - 1e-6) / 10
        for side in cut_size_mm(columns=layout.columns, rows=layout.rows)
    )
    return f"{wide:.1f} x {high:.1f} mm"
