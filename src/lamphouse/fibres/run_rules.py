"""The rules of runs: room to bend, a way to the source, one group to a hole, one sub-assembly."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import ceil, hypot

from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup, Strand
from lamphouse.fibres.runs import STEP_MM, Runs, StrandRun, board_ground, lead
from lamphouse.fibres.strand_light import bend_passes
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.record import replace
from lamphouse.shapes.outline import Spot
from lamphouse.units import Quantity, show


def in_mm(length_mm: float) -> str:
    """Write a length."""
    return show(length_mm, Quantity.LENGTH, digits=3)


def flags_of(strands: Sequence[Strand]) -> str:
    """Name strands by their flags, a long list by its ends."""
    names = [strand.name for strand in strands]
    if len(names) <= 3:
        return ", ".join(f"'{name}'" for name in names)
    return f"'{names[0]}' to '{names[-1]}' ({len(names)} strands)"


def _by_group(runs: Iterable[StrandRun]) -> dict[str, list[StrandRun]]:
    found: dict[str, list[StrandRun]] = defaultdict(list)
    for run in runs:
        found[run.strand.group].append(run)
    return found


def _roomy_mm(runs: Sequence[StrandRun]) -> float:
    """Depth at which all of them swing over at their own radius."""
    needed = max(run.level_mm + 2.0 * run.strand.fibre.bend_radius_mm for run in runs)
    return STEP_MM * ceil(needed / STEP_MM)


@rule("FIB001", Severity.STOP, "No room to bend a fibre")
def no_room_to_bend(runs: Runs, *, wheres: dict[str, SourceGroup]) -> Iterable[Told]:
    """Look for strands that would have to be bent tighter than hot water can form them.

    What it checks
        Between its hole and its ferrule no strand is bent tighter than ten fibre diameters. It
        leaves the panel straight for 5 mm, turns aside and turns back into its bundle.

    Why it matters
        Acrylic fibre bent tighter cracks or goes white, at once or after some months, and its light
        leaves it in the bend.

    Example
        ::

            groups:
              dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA, at: [60 mm, 20 mm], behind: 10 mm}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [10 mm, 20 mm], group: dots}

    Mend
        Set the source as far behind the panels as the message says, or use thinner fibre.

    Source
        Ten diameters: common practice, no source. The swing is geometry.
    """
    for name, own in _by_group(runs.runs).items():
        tight = [
            run
            for run in own
            if run.radius_mm is not None and run.radius_mm < run.least_radius_mm - 1e-6
        ]
        if tight:
            worst = min(tight, key=lambda run: (run.radius_mm or 0.0) / run.least_radius_mm)
            source = wheres[name].source
            yield Told(
                where=source.where if source else worst.strand.where,
                message=f"{flags_of([run.strand for run in tight])}: with the ferrule "
                f"{in_mm(worst.behind_mm)} behind the panel the fibre is bent to a radius of "
                f"{in_mm(worst.radius_mm or 0.0)}; {in_mm(worst.least_radius_mm)} is the tightest "
                "that can be formed",
                remedy=f"write behind: {_roomy_mm(own):g} mm, where it bends by itself",
                mend=sets("source behind", f"{_roomy_mm(own):g} mm", item=f"groups / {name}"),
            )


@rule("FIB002", Severity.WARN, "A fibre must be formed with hot water")
def heat_formed(runs: Runs, *, wheres: dict[str, SourceGroup]) -> Iterable[Told]:
    """Look for strands bent tighter than their fibre keeps by itself.

    What it checks
        Each strand's tightest bend, beside a box or between panel and ferrule, against the bend
        radius of its fibre (65 fibre radii in the built-in rows).

    Why it matters
        A springy fibre pulls its ferrule askew and creeps out of its hole, and a tight bend loses
        light. Formed in hot water it stays, and the loss is the one that is told.

    Example
        ::

            groups:
              dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA, at: [60 mm, 20 mm], behind: 22 mm}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [10 mm, 20 mm], group: dots}

    Mend
        Set the source farther behind, or form the bends and accept the finding: dip the fibre in
        hot water (not boiling), bend it round a rod, let it cool. Hot water scalds.

    Source
        Loss: ray tracing of bent step-index fibre, under a tenth at 65 fibre radii (arXiv
        physics/0209058, read as an excerpt), taken on as one over the radius after Gloge (1972).
    """
    for name, own in _by_group(runs.runs).items():
        formed = [
            run
            for run in own
            if run.is_formed and (run.radius_mm or 0.0) >= run.least_radius_mm - 1e-6
        ]
        if formed:
            worst = min(
                formed, key=lambda run: (run.radius_mm or 0.0) / run.strand.fibre.diameter_mm
            )
            fibre, radius = worst.strand.fibre, worst.radius_mm or 0.0
            lost = 1.0 - bend_passes(fibre, radius_mm=radius)
            source = wheres[name].source
            roomy = _roomy_mm(own)
            mend = (
                f"write behind: {roomy:g} mm"
                if roomy > worst.behind_mm
                else f"keep {in_mm(fibre.bend_radius_mm)} free beside the boxes on its way"
            )
            yield Told(
                where=source.where if source else worst.strand.where,
                message=f"{flags_of([run.strand for run in formed])}: bent to a radius of "
                f"{in_mm(radius)}, '{fibre.name}' keeps {in_mm(fibre.bend_radius_mm)} by itself; "
                f"about {lost:.0%} of the light is lost in the bend",
                remedy=f"{mend}, or form the bends round a rod of {in_mm(2.0 * radius)} in hot "
                "water before fitting, and accept this",
            )


@rule("FIB003", Severity.STOP, "A strand finds no way to its source")
def no_way(
    runs: Runs, *, sub: SubAssembly, groups: Sequence[SourceGroup], wheres: dict[str, SourceGroup]
) -> Iterable[Told]:
    """Look for strands whose way to their source is blocked by light boxes or the board.

    What it checks
        From each hole a way leads to the source, round the light boxes that reach farther back than
        the strand may turn aside, or behind them where the ferrule lies deep enough. The board is
        in the way like a box where ``at`` says where it stands; no strand goes through it.

    Why it matters
        A fibre cannot cross a light box: it would throw its shadow there and carry its light away.

    Example
        ::

            groups:
              dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA, at: [40 mm, 20 mm], behind: 12 mm}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    boxes:
                      lamp box:
                        inside: rectangle 30 x 30 mm
                        at: [40 mm, 20 mm]
                        depth: 16 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                    strands:
                      F1: {fibre: fibre 0.25 mm, at: [10 mm, 20 mm], group: dots}

    Mend
        Leave the source's place and depth to the program, or write those of the message.

    Source
        Geometry.
    """
    blocked: dict[str, list[Strand]] = defaultdict(list)
    goals: dict[str, Spot] = {}
    for each in runs.blocked:
        blocked[each.strand.group].append(each.strand)
        goals[each.strand.group] = each.goal_mm
    for name, strands in blocked.items():
        group = wheres[name]
        x, y = goals[name]
        blocking = "light boxes or the board stand" if board_ground(sub) else "light boxes stand"
        yield Told(
            where=group.source.where if group.source else strands[0].where,
            message=f"{flags_of(strands)}: {blocking} between the holes and the source at "
            f"[{in_mm(x)}, {in_mm(y)}]",
            remedy=_opened(name, sub=sub, groups=groups),
        )


def _opened(name: str, *, sub: SubAssembly, groups: Sequence[SourceGroup]) -> str:
    """Find a seat of the source that every strand of a group reaches."""
    loose = [
        replace(each, seat=replace(each.seat, at_mm=None, behind_mm=None))
        if each.name == name
        else each
        for each in groups
    ]
    led = lead(sub, groups=loose)
    if any(each.strand.group == name for each in led.blocked):
        things = "the boxes or the board" if board_ground(sub) else "the boxes"
        return f"move the holes, or {things}, until a fibre passes between them"
    seat = next(each for each in led.seats if each.group == name)
    x, y = seat.spot_mm
    return (
        f"write at: [{in_mm(x)}, {in_mm(y)}] and behind: {in_mm(seat.behind_mm)} for its source, "
        "from where every strand is reached"
    )


@rule("FIB004", Severity.STOP, "Two groups share one hole")
def groups_in_one_hole(panels: Sequence[tuple[str, Strand]]) -> Iterable[Told]:
    """Look for strands of different groups that come out of one hole.

    What it checks
        Where a strand lies within the hole of another, both belong to one source group.

    Why it matters
        The eye cannot tell two tips in one hole apart: the point blinks with both groups, and at
        the bench nobody knows which fibre is which.

    Example
        ::

            groups:
              dots: {in: sample, source: {led: green 3 mm, current: 5 mA}}
              lamps: {in: sample, source: {led: red 3 mm, current: 5 mA}}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.25 mm, hole: 0.6 mm, at: [10 mm, 20 mm], group: dots}
                      F2: {fibre: fibre 0.25 mm, hole: 0.6 mm, at: [10.1 mm, 20 mm], group: lamps}

    Mend
        Give both strands one group, or move one of them as far as the message says.

    Source
        Geometry.
    """
    for at, (panel, strand) in enumerate(panels):
        hole = strand.hole_mm or strand.fibre.diameter_mm + strand.fibre.hole_clearance_mm[1]
        for other_panel, other in panels[:at]:
            apart = hypot(strand.x_mm - other.x_mm, strand.y_mm - other.y_mm)
            wide = max(
                hole, other.hole_mm or other.fibre.diameter_mm + other.fibre.hole_clearance_mm[1]
            )
            if panel == other_panel and other.group != strand.group and apart < wide / 2.0:
                clear = 2.0 * wide
                yield Told(
                    where=strand.where,
                    message=f"it shares its hole with '{other.name}', which belongs to "
                    f"'{other.group}' and not to '{strand.group}'",
                    remedy=f"write group: {other.group}, or move it {in_mm(clear)} away",
                )
                break


@rule("FIB005", Severity.WARN, "A strand leads into another sub-assembly")
def leads_out(runs: Runs, *, wheres: dict[str, SourceGroup]) -> Iterable[Told]:
    """Look for strands whose source stands in another sub-assembly.

    What it checks
        The source of each strand's group stands in the sub-assembly that carries the strand.

    Why it matters
        A fibre has no plug: the two parts can no longer be lifted out one by one, and how long the
        strand must be nobody can compute.

    Example
        ::

            groups:
              dots: {in: other, source: {led: green 3 mm, current: 5 mA}}
            sub_assemblies:
              other: {panels: {}}
              sample:
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [10 mm, 20 mm], group: dots}

    Mend
        Give the sub-assembly a group with a source of its own and the same pattern.

    Source
        Common practice, no source.
    """
    strangers: dict[str, list[Strand]] = defaultdict(list)
    for strand in runs.strangers:
        strangers[strand.group].append(strand)
    for name, strands in strangers.items():
        yield Told(
            where=strands[0].where,
            message=f"{flags_of(strands)} of '{runs.sub_assembly}' are lit by the source of "
            f"'{name}', which stands in '{wheres[name].sub_assembly}'",
            remedy=f"add a group in {runs.sub_assembly} with a source of its own, the pattern of "
            f"'{name}' and the same seed, and write it here",
        )


@rule("FIB011", Severity.WARN, "A board with a place and no size")
def board_of_no_size(sub: SubAssembly) -> Iterable[Told]:
    """Look for boards that strands cannot be led round.

    What it checks
        A board whose place is given has its ``space`` too, in a sub-assembly with strands.

    Why it matters
        What its size is nobody knows before it is laid out; strands led across it are too short
        when they have to go round.

    Example
        ::

            sub_assemblies:
              sample:
                board: {at: [40 mm, 20 mm]}
                panels:
                  plate:
                    outline: rectangle 80 x 40 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.25 mm, at: [10 mm, 20 mm], group: steady}

    Mend
        Write the room there is for the board.

    Source
        Design rule of this project.
    """
    board = sub.board
    if board and board.at_mm is not None and board.space_mm is None and sub.strands:
        x, y = board.at_mm
        yield Told(
            where=board.where,
            message=f"the board stands at [{in_mm(x)}, {in_mm(y)}], and nothing says how large it "
            "is; strands are not led round it",
            remedy="write space: with its width and height, such as 25 x 15 mm",
        )


def judge_runs(
    runs: Runs, *, sub: SubAssembly, groups: Sequence[SourceGroup]
) -> tuple[Finding, ...]:
    """Run every rule of runs."""
    wheres = {group.name: group for group in groups}
    return (
        *no_room_to_bend(runs, wheres=wheres),
        *heat_formed(runs, wheres=wheres),
        *no_way(runs, sub=sub, groups=groups, wheres=wheres),
        *groups_in_one_hole(sub.strands),
        *leads_out(runs, wheres=wheres),
        *board_of_no_size(sub),
    )
