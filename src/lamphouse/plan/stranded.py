"""Every strand of a plan: its run, its bundle, its tip, and the one table that names it."""

from collections.abc import Iterator, Sequence

from lamphouse.build.part_use import Use
from lamphouse.circuit.plug_pins import COMMON, RETURN, pins_of
from lamphouse.cutting.piece import Piece
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Common
from lamphouse.design.whole import Design
from lamphouse.fibres.bundle import Bundle, bundle_of
from lamphouse.fibres.bundle_rules import judge_bundle
from lamphouse.fibres.run_rules import judge_runs
from lamphouse.fibres.runs import FERRULE_MM, Runs, StrandRun, lead
from lamphouse.fibres.sharing import judge_sharing, share_out, with_groups
from lamphouse.fibres.strand_table import Stop, StrandRow, metres_of, stops_of, table_of
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.plan.kept import Kept
from lamphouse.plan.programmed import Controllers
from lamphouse.record import Record, replace

COLLAR_MM = 20.0
"""Length of a collar: over the ferrule's end, the gap and the LED down to its leads [PRACTICE]."""


class StrandPlan(Record):
    """All strands of a model."""

    led: tuple[Runs, ...]
    """Of every sub-assembly that has strands."""
    bundles: tuple[Bundle, ...]
    """In the order of the groups."""
    rows: tuple[StrandRow, ...]
    stops: tuple[Stop, ...]


def share_strands(design: Design, *, kept: Kept) -> tuple[Design, tuple[Finding, ...]]:
    """Give every strand that may belong to several groups one of them."""
    if not any(strand.any_of for sub in design.sub_assemblies for _, strand in sub.strands):
        return design, ()
    shared = [kept.step(share_out, sub, groups=design.groups) for sub in design.sub_assemblies]
    subs = tuple(
        with_groups(sub, shared=each)
        for sub, each in zip(design.sub_assemblies, shared, strict=True)
    )
    found = tuple(finding for each in shared for finding in judge_sharing(each))
    return replace(design, sub_assemblies=subs), found


def lead_strands(
    design: Design,
    *,
    pieces: Sequence[Piece],
    glows: Sequence[BoxGlow],
    controllers: Controllers | None,
    kept: Kept,
) -> tuple[StrandPlan | None, tuple[Finding, ...]]:
    """Lead, pack and light every strand, and judge it.

    Returns
    -------
    tuple
        None where the model has no strand.
    """
    subs = [sub for sub in design.sub_assemblies if sub.strands]
    if not subs:
        return None, ()
    led: list[Runs] = []
    found: list[Finding] = []
    for sub in subs:
        runs = kept.step(lead, sub, groups=design.groups)
        led.append(runs)
        found += kept.step(judge_runs, runs, sub=sub, groups=design.groups)
    bundles = []
    for group in design.groups:
        own = tuple(run for runs in led for run in runs.runs if run.strand.group == group.name)
        if group.source is None or not own:
            continue
        bundle = kept.step(bundle_of, group, runs=own, tubes=design.tubes)
        lit = tuple(_lit_panels(own, glows=glows))
        found += kept.step(judge_bundle, group, bundle=bundle, runs=own, lit_panels=lit)
        if bundle:
            bundles.append(bundle)
    rows = table_of(
        led, bundles=bundles, pieces=pieces, pins=_pins(design, controllers=controllers)
    )
    plan = StrandPlan(led=tuple(led), bundles=tuple(bundles), rows=rows, stops=stops_of(led))
    return plan, tuple(found)


def _lit_panels(
    runs: Sequence[StrandRun], *, glows: Sequence[BoxGlow]
) -> Iterator[tuple[str, str, float]]:
    """Give each panel that a group's strands come out of and that glows, with its brightest."""
    panels = dict.fromkeys((run.source_sub_assembly, run.panel) for run in runs)
    for sub, panel in panels:
        means = [
            opening.mean_cd_m2
            for glow in glows
            if (glow.sub_assembly, glow.panel) == (sub, panel)
            for opening in glow.openings
        ]
        if means and max(means) > 0.0:
            yield sub, panel, max(means)


def _pins(design: Design, *, controllers: Controllers | None) -> dict[str, str]:
    """Name what switches each group: a controller's pin, else a pin of its plug."""
    found = {group.name: _plug_pin(group, design=design) for group in design.groups}
    for one in controllers.programs if controllers else ():
        for channel in one.pins.channels:
            found[channel.group] = f"{one.controller.name} {channel.pin}"
    return found


def _plug_pin(group: SourceGroup, *, design: Design) -> str:
    sub = next((sub for sub in design.sub_assemblies if sub.name == group.sub_assembly), None)
    if sub is None or sub.pigtail is None:
        return ""
    uses = pins_of(
        sub,
        groups=design.groups,
        common_positive=design.habits.common is Common.POSITIVE,
    )
    own = [use.pin for use in uses if use.means == group.name]
    steady = [use.pin for use in uses if use.means == RETURN and use.means != COMMON]
    return f"plug pin {(own or steady)[0]}" if own or steady else ""


def strand_parts(strands: StrandPlan | None) -> tuple[Use, ...]:
    """Count what strands add to the parts list: fibre by the metre, ferrules and collars."""
    return () if strands is None else tuple(_parts(strands))


def _parts(strands: StrandPlan) -> Iterator[Use]:
    for runs in strands.led:
        rows = [row for row in strands.rows if row.sub_assembly == runs.sub_assembly]
        for fibre, metres in metres_of(rows).items():
            yield Use(
                kind="fibre",
                part=fibre,
                amount=metres,
                unit="m",
                used_in=runs.sub_assembly,
                note="cut as the strand sheets say, slack included",
            )
        for strand in (*(each.strand for each in runs.blocked), *runs.strangers):
            yield Use(
                kind="fibre",
                part=strand.fibre.name,
                amount=1,
                unit="strands",
                used_in=runs.sub_assembly,
                note="length not known: see the findings",
            )
    for bundle in strands.bundles:
        for tube, length, note in (
            (bundle.ferrule, FERRULE_MM, f"ferrules of {FERRULE_MM:g} mm"),
            (bundle.collar, COLLAR_MM, f"collars of {COLLAR_MM:g} mm, black inside and out"),
        ):
            if tube:
                yield Use(
                    kind="tube",
                    part=tube.name,
                    amount=length * 1e-3,
                    unit="m",
                    used_in=bundle.group.sub_assembly,
                    note=note,
                )
